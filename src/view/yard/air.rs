//! Draws what gives the bags their air: controller and cylinder beside the vehicle, and the
//! hoses from there to the bags.

use super::bag::{SEEN_M, plates, stub};
use super::form::{Form, two_sided};
use super::shown::{Brought, Drawing, Drawn, refurnished};
use crate::scene::{RestsOn, Scene};
use bevy::camera::visibility::NoFrustumCulling;
use bevy::prelude::*;

/// Side of the vehicle on which the controller stands (+Z), and how far beyond it, m.
const CONTROLLER_BESIDE_M: f32 = 1.35;
const CONTROLLER_X_M: f32 = -1.9;
/// The point of a hose at which a second leg leaves it.
const Y_AT: usize = 8;

/// The hose of an outlet, or a leg of its Y, the ends of all its legs as they were last drawn,
/// and whether it was torn off.
#[derive(Component)]
struct Hose<const YARD: usize> {
    outlet: usize,
    leg: usize,
    drawn: (Vec<Vec3>, bool),
}

pub fn plugin<const YARD: usize>(app: &mut App) {
    app.add_systems(Update, build::<YARD>.run_if(refurnished::<YARD>).in_set(Drawing::Build))
        .add_systems(Update, lead_hoses::<YARD>.in_set(Drawing::Pose));
}

fn build<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    brought: Res<Brought<YARD>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let Some(scene) = &shown.scene else { return };
    let mut matte =
        |r: f32, g: f32, b: f32, rough: f32| materials.add(two_sided(Color::srgb(r, g, b), rough));
    let hose = matte(0.24, 0.27, 0.31, 0.7);
    let steel = matte(0.58, 0.60, 0.62, 0.45);
    let case = matte(0.33, 0.36, 0.40, 0.7);
    let legs = scene.air.outlets.iter().enumerate();
    for (outlet, leg) in legs.flat_map(|(i, o)| (0..o.bags().count()).map(move |leg| (i, leg))) {
        commands.spawn((
            Mesh3d(meshes.add(Form::default().build())),
            MeshMaterial3d(hose.clone()),
            Visibility::default(),
            NoFrustumCulling,
            Hose::<YARD> { outlet, leg, drawn: (Vec::new(), false) },
            ChildOf(brought.0),
        ));
    }
    let (mut steel_form, mut case_form) = (Form::default(), Form::default());
    controller(&mut case_form, &mut steel_form, scene);
    for (form, material) in [(steel_form, steel), (case_form, case)] {
        commands.spawn((
            Mesh3d(meshes.add(form.build())),
            MeshMaterial3d(material),
            ChildOf(brought.0),
        ));
    }
}

/// Where the controller stands on the ground.
fn controller_at(scene: &Scene) -> Vec3 {
    // On its side the vehicle reaches as far over the ground as it was high.
    let v = &scene.vehicle;
    let reach =
        if scene.lies == RestsOn::RightSide { v.profile.header[1] } else { v.half_width.body };
    Vec3::new(CONTROLLER_X_M, 0.0, reach as f32 + CONTROLLER_BESIDE_M)
}

/// Where outlet `i` of `n` leaves the controller.
fn outlet_at(scene: &Scene, i: usize) -> Vec3 {
    let n = scene.air.outlets.len().max(1) as f32;
    controller_at(scene) + Vec3::new((i as f32 - (n - 1.0) / 2.0) * 0.11, 0.13, -0.15)
}

fn controller(case: &mut Form, steel: &mut Form, scene: &Scene) {
    let at = controller_at(scene);
    let width = 0.12 + 0.055 * scene.air.outlets.len() as f32;
    case.cushion(at + Vec3::Y * 0.15, Vec3::new(width, 0.10, 0.14), Quat::IDENTITY);
    for x in [-0.8, 0.8] {
        case.cuboid(at + Vec3::new(x * width, 0.025, 0.0), Vec3::new(0.02, 0.025, 0.12));
    }
    for i in 0..scene.air.outlets.len() {
        let out = outlet_at(scene, i);
        // The outlet's stub, and its lever on top.
        steel.bar(out + Vec3::Z * 0.05, out - Vec3::Z * 0.03, 0.017, 10);
        let lever = Vec3::new(out.x, at.y + 0.25, at.z - 0.02);
        steel.bar(lever, lever + Vec3::Y * 0.03, 0.014, 10);
        steel.capsule(lever + Vec3::Y * 0.035, lever + Vec3::new(0.0, 0.05, 0.08), 0.012, 0.010);
    }
    // The cylinder lies behind it, with its regulator towards the controller.
    let foot = at + Vec3::new(-0.95, 0.09, 0.12);
    case.capsule(foot, foot + Vec3::X * 0.48, 0.088, 0.088);
    let neck = foot + Vec3::X * 0.56;
    steel.bar(neck, neck + Vec3::X * 0.09, 0.022, 12);
    steel.bar(neck + Vec3::new(0.05, 0.0, -0.05), neck + Vec3::new(0.05, 0.0, 0.07), 0.03, 14);
    let wheel = neck + Vec3::new(0.09, 0.0, 0.0);
    case.bar(wheel, wheel + Vec3::X * 0.025, 0.035, 14);
    case.tube(
        &curve(
            neck + Vec3::new(0.05, 0.0, -0.05),
            neck + Vec3::new(0.05, -0.07, -0.25),
            at + Vec3::new(-width - 0.25, 0.05, -0.05),
            at + Vec3::new(-width + 0.02, 0.13, 0.0),
        ),
        0.011,
        8,
    );
}

/// A cubic curve that never dips into the ground.
fn curve(a: Vec3, b: Vec3, c: Vec3, d: Vec3) -> Vec<Vec3> {
    (0..=28)
        .map(|i| {
            let t = i as f32 / 28.0;
            let u = 1.0 - t;
            let mut p = a * u * u * u + b * 3.0 * u * u * t + c * 3.0 * u * t * t + d * t * t * t;
            p.y = p.y.max(0.014);
            p
        })
        .collect()
}

fn lead_hoses<const YARD: usize>(
    shown: Res<Drawn<YARD>>,
    mut hoses: Query<(&mut Hose<YARD>, &Mesh3d, &mut Visibility)>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let Some(scene) = &shown.scene else { return };
    for (mut hose, mesh, mut visibility) in &mut hoses {
        let (outlet, leg) = (hose.outlet, hose.leg);
        let bags = &shown.snapshot.bags;
        let hosed = (0..bags.len()).filter(|&bag| bags[bag].hose == Some(outlet));
        let ends: Vec<(usize, Vec3)> = hosed
            .filter_map(|bag| {
                let [_, to] = stub(plates(&shown, bag)?, scene.bags[bag].size[1] as f32);
                Some((bag, to))
            })
            .collect();
        let Some(&(bag, _)) = ends.get(leg) else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        visibility.set_if_neq(Visibility::Inherited);
        let burst = bags[bag].torn;
        let ends: Vec<Vec3> = ends.into_iter().map(|(_, to)| to).collect();
        let (drawn, was_burst) = &hose.drawn;
        let near = |(a, b): (&Vec3, &Vec3)| a.distance(*b) < SEEN_M;
        let same = drawn.len() == ends.len() && drawn.iter().zip(&ends).all(near);
        if same && *was_burst == burst {
            continue;
        }
        let sideways = 0.10 * (outlet as f32 - 0.5);
        let led = |from: Vec3, to: Vec3| {
            curve(
                from,
                Vec3::new(from.x + sideways, -0.10, from.z - 0.9),
                Vec3::new(to.x + sideways, -0.05, to.z.max(from.z - 1.2) + 0.35),
                to,
            )
        };
        let first = led(outlet_at(scene, outlet), ends[0]);
        // A Y's second leg leaves the first where it has come down to the ground.
        let path = if leg == 0 { first } else { led(first[Y_AT], ends[leg]) };
        hose.drawn = (ends, burst);
        let mut form = Form::default();
        if burst {
            // The two ends of a burst hose lie apart.
            form.tube(&path[..13], 0.012, 8);
            form.tube(&path[15..], 0.012, 8);
        } else {
            form.tube(&path, 0.012, 8);
        }
        if let Some(mut mesh) = meshes.get_mut(&mesh.0) {
            *mesh = form.build();
        }
    }
}

//! Draws every bag as the pillow that the membrane law describes, between its two
//! face plates; hoses, controller and cylinder beside the vehicle.

use super::form::Form;
use super::shown::{Brought, Drawing, Drawn, place_of, refurnished};
use crate::bag_law::Membrane;
use crate::scene::{RestsOn, Scene};
use crate::session::Shown;
use crate::snapshot::PartKind;
use crate::tables::BAG_FACE_M;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::prelude::*;
use std::f32::consts::{FRAC_PI_2, PI};

const RUBBER: Color = Color::srgb(0.20, 0.21, 0.23);
/// A pale band around the middle of the edge shows how far a bag has swelled.
const BAND: Color = Color::srgb(0.80, 0.79, 0.72);
/// Side of the vehicle on which the controller stands (+Z), and how far beyond it, m.
const CONTROLLER_BESIDE_M: f32 = 1.35;
const CONTROLLER_X_M: f32 = -1.9;

/// A face that has moved by less than this is drawn where it was, m: a new shape is sent to
/// the graphics device as a whole, and nobody sees a fifth of a millimetre.
const SEEN_M: f32 = 2e-4;

/// The envelope of a bag, and where its faces were when it was last drawn.
#[derive(Component)]
struct Pillow<const YARD: usize> {
    bag: usize,
    drawn: [Transform; 2],
}

/// The hose of an outlet, its ends as they were last drawn, and whether it had burst.
#[derive(Component)]
struct Hose<const YARD: usize> {
    outlet: usize,
    drawn: (Vec3, bool),
}

/// A place where a face never is: the next frame then counts as moved.
const NEVER: Transform = Transform::from_translation(Vec3::NAN);

/// Whether a face of this size has moved, as three of its corners show.
fn moved(size: [f32; 2], a: &Transform, b: &Transform) -> bool {
    [[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0]].iter().any(|[x, z]| {
        let corner = Vec3::new(0.5 * x * size[0], 0.0, 0.5 * z * size[1]);
        let by = (*a * corner).distance(*b * corner);
        by.is_nan() || by >= SEEN_M
    })
}

pub fn plugin<const YARD: usize>(app: &mut App) {
    app.add_systems(Update, build::<YARD>.run_if(refurnished::<YARD>).in_set(Drawing::Build))
        .add_systems(Update, (swell::<YARD>, lead_hoses::<YARD>).in_set(Drawing::Pose));
}

fn build<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    brought: Res<Brought<YARD>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let Some(scene) = &shown.scene else { return };
    let mut matte = |r: f32, g: f32, b: f32, rough: f32| {
        materials.add(StandardMaterial {
            base_color: Color::srgb(r, g, b),
            perceptual_roughness: rough,
            double_sided: true,
            cull_mode: None,
            ..default()
        })
    };
    let rubber = matte(1.0, 1.0, 1.0, 0.8);
    let hose = matte(0.24, 0.27, 0.31, 0.7);
    let steel = matte(0.58, 0.60, 0.62, 0.45);
    let case = matte(0.33, 0.36, 0.40, 0.7);
    for bag in 0..scene.bags.len() {
        commands.spawn((
            Mesh3d(meshes.add(Form::default().build())),
            MeshMaterial3d(rubber.clone()),
            Visibility::default(),
            NoFrustumCulling,
            Pillow::<YARD> { bag, drawn: [NEVER; 2] },
            ChildOf(brought.0),
        ));
    }
    for outlet in 0..scene.air.outlets.len() {
        commands.spawn((
            Mesh3d(meshes.add(Form::default().build())),
            MeshMaterial3d(hose.clone()),
            Visibility::default(),
            NoFrustumCulling,
            Hose::<YARD> { outlet, drawn: (Vec3::NAN, false) },
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

/// The two face plates of a bag, each as its pose, lower first.
fn plates(shown: &Shown, bag: usize) -> Option<[Transform; 2]> {
    let plate = |upper| {
        let id = shown.find(PartKind::BagFace { bag, upper })?;
        shown.parts[id].present.then(|| place_of(shown, id)).flatten()
    };
    Some([plate(false)?, plate(true)?])
}

/// Rebuilds each pillow to the height its faces have now.
fn swell<const YARD: usize>(
    shown: Res<Drawn<YARD>>,
    mut pillows: Query<(&mut Pillow<YARD>, &Mesh3d, &mut Visibility)>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let Some(scene) = &shown.scene else { return };
    for (mut pillow, mesh, mut visibility) in &mut pillows {
        let bag = pillow.bag;
        let Some(plates) = plates(&shown, bag) else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        visibility.set_if_neq(Visibility::Inherited);
        let size = scene.bags[bag].size.map(|s| s as f32);
        if !plates.iter().zip(&pillow.drawn).any(|(now, then)| moved(size, now, then)) {
            continue;
        }
        pillow.drawn = plates;
        let height = shown.snapshot.bags.get(bag).map_or(0.0, |b| b.height_m as f32);
        let form = envelope(size, height, plates);
        if let Some(mut mesh) = meshes.get_mut(&mesh.0) {
            *mesh = form.build();
        }
    }
}

/// The envelope: the membrane's flat patch on either face, and half circles around the
/// edge between them.
fn envelope(size: [f32; 2], height: f32, [lower, upper]: [Transform; 2]) -> Form {
    let face = BAG_FACE_M as f32 / 2.0;
    let membrane = Membrane::of_size([size[0].into(), size[1].into()]);
    // Half of either side of the patch; a bag blown round keeps a sliver.
    let patch = membrane.patch_m(height.max(0.0).into()).map(|s| (0.5 * s as f32).max(0.02));
    // Around the patch: corner by corner, the outward way swinging by a quarter each.
    let mut rim: Vec<(Vec2, Vec2)> = Vec::new();
    for (k, [sx, sz]) in
        [[1.0f32, 1.0f32], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]].iter().enumerate()
    {
        for i in 0..=6 {
            let a = FRAC_PI_2 * (k as f32 + i as f32 / 6.0);
            rim.push((Vec2::new(sx * patch[0], sz * patch[1]), Vec2::new(a.cos(), a.sin())));
        }
    }
    rim.push(rim[0]);
    let mut form = Form::default();
    let ring = |form: &mut Form, from: usize, to: usize, color: Color| {
        const STEPS: f32 = 12.0;
        let rows: Vec<Vec<Vec3>> = (from..=to)
            .map(|i| {
                let a = PI * i as f32 / STEPS;
                rim.iter()
                    .map(|(p, out)| {
                        let low = lower * Vec3::new(p.x, -face, p.y);
                        let high = upper * Vec3::new(p.x, face, p.y);
                        let middle = 0.5 * (low + high);
                        let out = Vec3::new(out.x, 0.0, out.y);
                        let way = (lower.rotation * out + upper.rotation * out).normalize_or_zero();
                        let radius = 0.5 * low.distance(high);
                        middle - (high - low) * 0.5 * a.cos() + way * radius * a.sin()
                    })
                    .collect()
            })
            .collect();
        form.grid(&rows);
        form.paint(color.to_linear());
    };
    ring(&mut form, 0, 5, RUBBER);
    ring(&mut form, 5, 7, BAND);
    ring(&mut form, 7, 12, RUBBER);
    for (plate, y) in [(lower, -face), (upper, face)] {
        let at = |sx: f32, sz: f32| plate * Vec3::new(sx * patch[0], y, sz * patch[1]);
        form.quad([at(-1.0, -1.0), at(-1.0, 1.0), at(1.0, 1.0), at(1.0, -1.0)]);
    }
    form.paint(RUBBER.to_linear());
    // The hose's stub at the edge that looks to the controller.
    let stub = stub([lower, upper], size[1]);
    form.bar(stub[0], stub[1], 0.016, 10);
    form.paint(Color::srgb(0.62, 0.58, 0.46).to_linear());
    form
}

/// From the edge of a bag outwards, in the middle of its +Z side.
fn stub([lower, upper]: [Transform; 2], length: f32) -> [Vec3; 2] {
    let at = |z: f32| 0.5 * (lower * Vec3::new(0.0, 0.0, z) + upper * Vec3::new(0.0, 0.0, z));
    let half = 0.5 * length;
    [at(half - 0.03), at(half + 0.05)]
}

fn lead_hoses<const YARD: usize>(
    shown: Res<Drawn<YARD>>,
    mut hoses: Query<(&mut Hose<YARD>, &Mesh3d, &mut Visibility)>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    let Some(scene) = &shown.scene else { return };
    for (mut hose, mesh, mut visibility) in &mut hoses {
        let outlet = hose.outlet;
        let bag = shown.snapshot.bags.iter().position(|b| b.hose == Some(outlet));
        let burst = shown.snapshot.outlets.get(outlet).is_some_and(|o| o.burst);
        let Some((bag, plates)) = bag.and_then(|bag| Some((bag, plates(&shown, bag)?))) else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        visibility.set_if_neq(Visibility::Inherited);
        let from = outlet_at(scene, outlet);
        let [_, to] = stub(plates, scene.bags[bag].size[1] as f32);
        let (end, was_burst) = hose.drawn;
        if end.distance(to) < SEEN_M && was_burst == burst {
            continue;
        }
        hose.drawn = (to, burst);
        let sideways = 0.10 * (outlet as f32 - 0.5);
        let path = curve(
            from,
            Vec3::new(from.x + sideways, -0.10, from.z - 0.9),
            Vec3::new(to.x + sideways, -0.05, to.z.max(from.z - 1.2) + 0.35),
            to,
        );
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

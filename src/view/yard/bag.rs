//! Draws every bag as the pillow that the bag law describes, between its two
//! face plates.

use super::form::{Form, two_sided};
use super::shown::{Brought, Drawing, Drawn, place_of, refurnished};
use crate::bag_law::Membrane;

use crate::session::Shown;
use crate::snapshot::PartKind;
use crate::tables::BAG_FACE_M;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::prelude::*;
use std::f32::consts::{FRAC_PI_2, PI};

const RUBBER: Color = Color::srgb(0.20, 0.21, 0.23);
/// A pale band around the middle of the edge shows how far a bag has swelled.
const BAND: Color = Color::srgb(0.80, 0.79, 0.72);
/// A face that has moved by less than this is drawn where it was, m: a new shape is sent to
/// the graphics device as a whole, and nobody sees a fifth of a millimetre.
pub(super) const SEEN_M: f32 = 2e-4;

/// The envelope of a bag, and where its faces were when it was last drawn.
#[derive(Component)]
struct Pillow<const YARD: usize> {
    bag: usize,
    drawn: [Transform; 2],
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
        .add_systems(Update, swell::<YARD>.in_set(Drawing::Pose));
}

fn build<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    brought: Res<Brought<YARD>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let Some(scene) = &shown.scene else { return };
    let rubber = materials.add(two_sided(Color::WHITE, 0.8));
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
}

/// The two face plates of a bag, each as its pose, lower first.
pub(super) fn plates(shown: &Shown, bag: usize) -> Option<[Transform; 2]> {
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
pub(super) fn stub([lower, upper]: [Transform; 2], length: f32) -> [Vec3; 2] {
    let at = |z: f32| 0.5 * (lower * Vec3::new(0.0, 0.0, z) + upper * Vec3::new(0.0, 0.0, z));
    let half = 0.5 * length;
    [at(half - 0.03), at(half + 0.05)]
}

//! A plain training dummy: one calm colour, no face, nothing harmed. It lies as the scene's
//! bodies do.

use super::form::{Form, two_sided};
use super::shown::{Drawing, Drawn, Root, renewed, vec3};
use crate::scene::{Scene, Segment, bodies};
use bevy::prelude::*;

const CLOTH: Color = Color::srgb(0.62, 0.62, 0.62);

pub fn plugin<const YARD: usize>(app: &mut App) {
    app.add_systems(Update, build::<YARD>.run_if(renewed::<YARD>).in_set(Drawing::Build));
}

fn build<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    root: Res<Root<YARD>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let Some(scene) = &shown.scene else { return };
    let form = dummy(scene);
    if form.is_empty() {
        return;
    }
    commands.spawn((
        Mesh3d(meshes.add(form.build())),
        MeshMaterial3d(materials.add(StandardMaterial {
            // It lies in the vehicle's shadow and is to be seen there.
            emissive: CLOTH.to_linear() * 0.10,
            reflectance: 0.2,
            ..two_sided(CLOTH, 0.95)
        })),
        ChildOf(root.0),
    ));
}

/// Every body as the scene's rules know it: what is kept clear is what is seen.
fn dummy(scene: &Scene) -> Form {
    let mut form = Form::default();
    for body in bodies(scene) {
        for segment in &body.segments {
            // Head, trunk, hands and feet are cushions, limbs and neck are round.
            let flat = segment.side.is_none() || segment.is_tip();
            if flat { slab(&mut form, segment) } else { round(&mut form, segment) }
        }
    }
    form
}

fn round(form: &mut Form, segment: &Segment) {
    let [a, b] = segment.ends.map(vec3);
    // A trapped part is no thicker than its pad.
    let [from, to] = segment.half.map(|[breadth, thickness]| breadth.min(thickness) as f32);
    form.capsule(a, b, from, to);
}

fn slab(form: &mut Form, segment: &Segment) {
    /// Parts that are rounded off reach a little into their neighbours.
    const OVERLAP: f32 = 1.12;
    let [a, b] = segment.ends.map(vec3);
    let along = (b - a).try_normalize().unwrap_or(Vec3::X);
    let across = Vec3::Y.cross(along).try_normalize().unwrap_or(Vec3::Z);
    let turn = Quat::from_mat3(&Mat3::from_cols(across, along.cross(across), along));
    let [breadth, thickness] = segment.half[0].map(|m| m as f32);
    let length = OVERLAP * 0.5 * a.distance(b);
    form.cushion(a.midpoint(b), Vec3::new(breadth, thickness, length), turn);
}

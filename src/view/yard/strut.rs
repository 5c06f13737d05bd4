//! Draws struts: tube, head and foot; and the straps that tie them.

use super::bag::SEEN_M;
use super::form::{Form, two_sided};
use super::shown::{Brought, Drawing, Drawn, Follows, half_size, refurnished, vec3};
use crate::snapshot::PartKind;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::prelude::*;

/// How large head and foot are drawn, and how thick a strap, m.
const HEAD_M: f32 = 0.04;
const STRAP_M: f32 = 0.014;

/// A strap by its index, and its ends as they were last drawn.
#[derive(Component)]
struct DrawnStrap<const YARD: usize> {
    strap: usize,
    drawn: [Vec3; 2],
}

pub fn plugin<const YARD: usize>(app: &mut App) {
    app.add_systems(Update, build::<YARD>.run_if(refurnished::<YARD>).in_set(Drawing::Build))
        .add_systems(Update, lead_straps::<YARD>.in_set(Drawing::Pose));
}

fn build<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    brought: Res<Brought<YARD>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let mut matte =
        |r: f32, g: f32, b: f32, rough: f32| materials.add(two_sided(Color::srgb(r, g, b), rough));
    let steel = matte(0.62, 0.64, 0.66, 0.45);
    let webbing = matte(0.86, 0.52, 0.12, 0.8);
    for (id, part) in shown.parts.iter().enumerate() {
        let half = half_size(&part.shape);
        let mut form = Form::default();
        match part.kind {
            PartKind::Strut(_) => {
                let ball = HEAD_M;
                let (foot, head) = (Vec3::NEG_Y * half.y, Vec3::Y * half.y);
                form.capsule(foot, foot, ball, ball);
                form.capsule(head, head, ball, ball);
                // The inner tube slides in the outer one.
                form.bar(foot, Vec3::Y * 0.2 * half.y, half.x, 16);
                form.bar(Vec3::Y * 0.2 * half.y, head, 0.8 * half.x, 16);
            }
            PartKind::StrutFoot(_) => form.cuboid(Vec3::ZERO, half),
            _ => continue,
        }
        commands.spawn((
            Mesh3d(meshes.add(form.build())),
            MeshMaterial3d(steel.clone()),
            Transform::default(),
            Visibility::Hidden,
            Follows::<YARD>(id),
            ChildOf(brought.0),
        ));
    }
    let straps = shown.scene.as_ref().map_or(0, |scene| scene.straps.len());
    for strap in 0..straps {
        commands.spawn((
            Mesh3d(meshes.add(Form::default().build())),
            MeshMaterial3d(webbing.clone()),
            Visibility::Hidden,
            NoFrustumCulling,
            DrawnStrap::<YARD> { strap, drawn: [Vec3::ZERO; 2] },
            ChildOf(brought.0),
        ));
    }
}

/// Straps run straight from end to end; one that has parted is gone.
fn lead_straps<const YARD: usize>(
    shown: Res<Drawn<YARD>>,
    mut straps: Query<(&mut DrawnStrap<YARD>, &Mesh3d, &mut Visibility)>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    for (mut strap, mesh, mut visibility) in &mut straps {
        let state = shown.snapshot.straps.get(strap.strap);
        let Some(state) = state.filter(|state| !state.parted) else {
            visibility.set_if_neq(Visibility::Hidden);
            continue;
        };
        let ends = state.ends.map(vec3);
        visibility.set_if_neq(Visibility::Inherited);
        if ends.iter().zip(&strap.drawn).all(|(now, then)| now.distance(*then) < SEEN_M) {
            continue;
        }
        strap.drawn = ends;
        let mut form = Form::default();
        form.bar(ends[0], ends[1], STRAP_M, 6);
        if let Some(mut mesh) = meshes.get_mut(&mesh.0) {
            *mesh = form.build();
        }
    }
}

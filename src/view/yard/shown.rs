//! The moment that is drawn, and the root that everything drawn hangs from. The
//! window and the off-screen studio both fill [`Drawn`]; the drawing files read it.
//! Several yards can be drawn at once, [`HERE`] and those beside it: each drawing file builds
//! any by the same systems, far enough apart that none is seen from another.

use crate::class::MOST_BESIDE;
use crate::scene::Scene;
use crate::session::Shown;
use crate::snapshot::{PartId, Pose, Shape};
use bevy::prelude::*;

/// The yard of the run that is worked on.
pub const HERE: usize = 0;
/// The yards of the runs to compare with: the first and the second.
pub const BESIDE: [usize; MOST_BESIDE] = [1, 2];

/// How many yards there are.
pub const YARDS: usize = 1 + MOST_BESIDE;

/// Where a yard lies, m: beyond the haze and the reach of the others' cameras, and near
/// enough that single precision still places a part to within a tenth of a millimetre.
pub const fn shift(yard: usize) -> Vec3 {
    Vec3::new(400.0 * yard as f32, 0.0, 0.0)
}

/// What is drawn now in one of the yards.
#[derive(Resource, Default, Deref, DerefMut)]
pub struct Drawn<const YARD: usize>(pub Shown);

/// Where a part of a yard is, as Bevy has it.
pub fn place_of(shown: &Shown, id: PartId) -> Option<Transform> {
    shown.snapshot.poses.get(id).map(|pose| transform(*pose))
}

/// A part's pose as Bevy has it. A turn that is not one shows the part unturned.
fn transform(pose: Pose) -> Transform {
    let turn = Quat::from_array(pose.turn);
    let turn = if turn.is_finite() && turn.length_squared() > 1e-6 { turn } else { Quat::IDENTITY };
    Transform::from_translation(Vec3::from_array(pose.position)).with_rotation(turn.normalize())
}

/// Half sizes of a part's shape in its own frame.
pub fn half_size(shape: &Shape) -> Vec3 {
    match shape {
        Shape::Box(half) => vec3(*half),
        Shape::Hull(points) => points.iter().map(|p| vec3(*p).abs()).fold(Vec3::ZERO, Vec3::max),
        Shape::Vehicle => Vec3::ONE,
    }
}

pub fn vec3(p: [f64; 3]) -> Vec3 {
    Vec3::new(p[0] as f32, p[1] as f32, p[2] as f32)
}

/// The ground frame as it lies on screen: turned so that gravity points down.
pub fn ground_turn(scene: &Scene) -> Quat {
    Quat::from_rotation_arc(vec3(scene.ground.down()).normalize(), Vec3::NEG_Y)
}

/// The entity that everything in the ground frame of a yard hangs from.
#[derive(Resource)]
pub struct Root<const YARD: usize>(pub Entity);

/// The entity below it that everything the crew brought hangs from.
#[derive(Resource)]
pub struct Brought<const YARD: usize>(pub Entity);

/// An entity that follows a part.
#[derive(Component)]
pub struct Follows<const YARD: usize>(pub PartId);

/// The order of a frame's drawing work.
#[derive(SystemSet, Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Drawing {
    /// A new root where the scene has changed.
    Renew,
    /// Things that stay for the whole scene, and parts that came on the way.
    Build,
    /// Everything moves to where it is now.
    Pose,
}

/// True once after each change of scene.
pub fn renewed<const YARD: usize>(mut seen: Local<u64>, shown: Res<Drawn<YARD>>) -> bool {
    let new = *seen != shown.epoch;
    *seen = shown.epoch;
    new && shown.scene.is_some()
}

/// True once after each change of set-up.
pub fn refurnished<const YARD: usize>(mut seen: Local<u64>, shown: Res<Drawn<YARD>>) -> bool {
    let new = *seen != shown.brought;
    *seen = shown.brought;
    new && shown.scene.is_some()
}

pub fn plugin<const YARD: usize>(app: &mut App) {
    app.init_resource::<Drawn<YARD>>()
        .configure_sets(Update, (Drawing::Renew, Drawing::Build, Drawing::Pose).chain())
        .add_systems(Startup, |mut commands: Commands| {
            let mut empty = || commands.spawn((Transform::default(), Visibility::default())).id();
            let (root, brought) = (empty(), empty());
            commands.insert_resource(Root::<YARD>(root));
            commands.insert_resource(Brought::<YARD>(brought));
        })
        .add_systems(
            Update,
            (renew::<YARD>.in_set(Drawing::Renew), follow::<YARD>.in_set(Drawing::Pose)),
        );
}

fn renew<const YARD: usize>(
    mut commands: Commands,
    mut seen: Local<[u64; 2]>,
    shown: Res<Drawn<YARD>>,
    mut root: ResMut<Root<YARD>>,
    mut brought: ResMut<Brought<YARD>>,
) {
    let [epoch, set_up] = *seen;
    *seen = [shown.epoch, shown.brought];
    if set_up == shown.brought {
        return;
    }
    commands.entity(brought.0).despawn();
    if epoch != shown.epoch {
        commands.entity(root.0).despawn();
        let turn = shown.scene.as_ref().map_or(Quat::IDENTITY, |scene| ground_turn(scene));
        let at = Transform::from_rotation(turn).with_translation(shift(YARD));
        root.0 = commands.spawn((at, Visibility::default())).id();
    }
    brought.0 = commands.spawn((Transform::default(), Visibility::default(), ChildOf(root.0))).id();
}

fn follow<const YARD: usize>(
    shown: Res<Drawn<YARD>>,
    mut parts: Query<(&Follows<YARD>, &mut Transform, &mut Visibility)>,
) {
    for (&Follows(id), mut at, mut visibility) in &mut parts {
        let here = shown.parts.get(id).is_some_and(|part| part.present);
        match place_of(&shown, id).filter(|_| here) {
            Some(pose) => {
                *at = pose;
                visibility.set_if_neq(Visibility::Inherited);
            }
            None => {
                visibility.set_if_neq(Visibility::Hidden);
            }
        }
    }
}

//! The camera that walks around the vehicle, and the places it goes to.

use super::shown::{BESIDE, ground_turn, shift, vec3};
use super::surroundings::haze;
use crate::framing::Stand;
use crate::session::{Shown, View};
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::prelude::*;

/// Where a camera looks and from where: a turn about Y and upwards, rad, and how far, m.
#[derive(Clone, Copy, Debug)]
pub struct CameraPose {
    pub focus: Vec3,
    pub yaw: f32,
    pub pitch: f32,
    pub radius: f32,
}

impl CameraPose {
    pub fn new(view: View, shown: &Shown) -> Self {
        let turn = shown.scene.as_ref().map_or(Quat::IDENTITY, |scene| ground_turn(scene));
        let middle = turn * Vec3::new(0.0, 0.62, 0.0);
        match view {
            View::ThreeQuarter => {
                // From the end at which the lift is made.
                let stacks = shown.scene.as_ref().map_or(&[][..], |s| &s.stacks);
                let sum: f64 = stacks.iter().map(|s| s.at[0]).sum();
                let at_the_tail = sum < -0.9 * stacks.len().max(1) as f64;
                let yaw = if at_the_tail { -0.72 } else { 0.62 };
                Self { focus: middle, yaw, pitch: 0.27, radius: 6.1 }
            }
            View::Side => Self { focus: middle, yaw: 0.0, pitch: 0.09, radius: 6.3 },
            View::Front => Self { focus: middle, yaw: 1.5, pitch: 0.12, radius: 5.4 },
            View::Stacks => Self::before_stacks(shown, turn),
            View::Casualty => {
                let limbs = shown.scene.as_ref().map_or(&[][..], |s| &s.limbs);
                let count = limbs.len().max(1) as f32;
                let sum: Vec2 =
                    limbs.iter().map(|l| Vec2::new(l.at[0] as f32, l.at[1] as f32)).sum();
                let at = sum / count;
                let reach = limbs.iter().map(|l| (l.at[0] as f32 - at.x).abs()).fold(0.0, f32::max);
                // From the side on which the casualty lies, near enough to see all of it.
                let yaw = if at.y < 0.0 { std::f32::consts::PI - 0.35 } else { 0.35 };
                Self {
                    focus: turn * Vec3::new(at.x, 0.22, at.y),
                    yaw,
                    pitch: 0.16,
                    radius: 2.5 + 1.2 * reach,
                }
            }
        }
    }

    /// Across the vehicle, from the casualty's side, near enough that the stacks and the limbs
    /// fill the picture.
    fn before_stacks(shown: &Shown, turn: Quat) -> Self {
        let scene = shown.scene.as_ref();
        let limbs = scene.map_or(&[][..], |scene| &scene.limbs);
        let stacks = scene.map_or(&[][..], |scene| &scene.stacks);
        let places = stacks.iter().map(|stack| stack.at).chain(limbs.iter().map(|limb| limb.at));
        let along: Vec<f32> = places.map(|at| at[0] as f32).collect();
        let [first, last] = [f32::min, f32::max].map(|of| along.iter().copied().reduce(of));
        let (first, last) = (first.unwrap_or(-1.0), last.unwrap_or(1.0));
        let far_side = limbs.iter().map(|limb| limb.at[1]).sum::<f64>() < 0.0;
        Self {
            focus: turn * Vec3::new(0.5 * (first + last), 0.65, 0.0),
            yaw: if far_side { std::f32::consts::PI } else { 0.0 },
            pitch: 0.07,
            radius: 2.1 + 0.95 * (last - first),
        }
    }

    /// At a place of the ground frame to look from.
    pub fn standing(stand: Stand, shown: &Shown) -> Self {
        let turn = shown.scene.as_ref().map_or(Quat::IDENTITY, |scene| ground_turn(scene));
        let focus = turn * vec3(stand.focus);
        Self {
            // Never under the ground, nor where nothing can be drawn.
            focus: if focus.is_finite() { focus.with_y(focus.y.clamp(0.0, 3.0)) } else { Vec3::Y },
            yaw: stand.yaw_rad as f32,
            pitch: stand.pitch_rad as f32,
            radius: stand.radius_m as f32,
        }
    }

    pub fn transform(&self) -> Transform {
        let turn = Quat::from_rotation_y(self.yaw) * Quat::from_rotation_x(-self.pitch);
        let eye = self.focus + turn * Vec3::Z * self.radius;
        Transform::from_translation(eye).looking_at(self.focus, Vec3::Y)
    }
}

/// Height of the picture, rad, where it is wide enough.
const FOV_RAD: f32 = 0.72;
/// Narrower than this a picture keeps its width instead, so that the whole vehicle stays in it.
const LEAST_ASPECT: f32 = 1.25;

/// The height of a picture of this width and height, rad.
pub fn fov_rad(size: Vec2) -> f32 {
    let narrow = (LEAST_ASPECT * size.y / size.x.max(1.0)).clamp(1.0, 4.0);
    2.0 * ((0.5 * FOV_RAD).tan() * narrow).atan()
}

/// What every camera of the yard has.
pub fn lens() -> impl Bundle {
    (
        Camera3d::default(),
        Projection::Perspective(PerspectiveProjection {
            fov: FOV_RAD,
            near: 0.05,
            far: 200.0,
            ..default()
        }),
        Tonemapping::None,
        haze(),
    )
}

/// Marks the one camera that draws the yard of the run that is worked on.
#[derive(Component)]
pub struct YardCamera;

/// Marks one that draws a yard beside it, by its place, from the same place of that yard.
#[derive(Component)]
pub struct BesideCamera(pub usize);

/// A camera that goes smoothly from where it is to where it was sent.
#[derive(Component)]
pub struct Orbit {
    now: CameraPose,
    goal: CameraPose,
}

/// How fast it gets there, 1/s.
const PACE: f32 = 9.0;
/// Turn a point of drag, rad.
const TURN_RAD: f32 = 0.006;
/// Share of the distance that a point of scrolling takes.
const NEARER: f32 = 0.0035;
/// How far from the middle of the yard one can look, m.
const REACH_M: f32 = 8.0;

impl Orbit {
    pub fn new(stand: CameraPose) -> Self {
        Self { now: stand, goal: stand }
    }

    /// Stands there at once.
    pub fn jump(&mut self, stand: CameraPose) {
        *self = Self::new(stand);
    }

    pub fn go(&mut self, stand: CameraPose) {
        self.goal = stand;
        // The shorter way around.
        let turns = ((self.now.yaw - stand.yaw) / std::f32::consts::TAU).round();
        self.goal.yaw += turns * std::f32::consts::TAU;
    }

    /// Turns around by a drag of this many points.
    pub fn turn(&mut self, drag: Vec2) {
        self.goal.yaw -= drag.x * TURN_RAD;
        // Never under the ground.
        self.goal.pitch = (self.goal.pitch + drag.y * TURN_RAD).clamp(0.02, 1.5);
    }

    /// Shifts the point that is looked at by a drag of this many points.
    pub fn shift(&mut self, drag: Vec2) {
        let at = self.goal.transform();
        let a_point = self.goal.radius * 0.0011;
        let focus = self.goal.focus + (at.up() * drag.y - at.right() * drag.x) * a_point;
        let level = Vec2::new(focus.x, focus.z).clamp_length_max(REACH_M);
        self.goal.focus = Vec3::new(level.x, focus.y.clamp(0.0, 3.0), level.y);
    }

    /// Zooms in by this many points of scrolling.
    pub fn nearer(&mut self, scroll: f32) {
        let share = (-scroll * NEARER).clamp(-0.7, 0.7).exp();
        self.goal.radius = (self.goal.radius * share).clamp(0.7, 16.0);
    }
}

pub fn plugin(app: &mut App) {
    app.add_systems(Update, (ease, stand_beside).chain());
}

fn stand_beside(
    here: Single<&Transform, (With<YardCamera>, Without<BesideCamera>)>,
    mut beside: Query<(&BesideCamera, &mut Transform)>,
) {
    for (BesideCamera(place), mut stand) in &mut beside {
        *stand = here.with_translation(here.translation + shift(BESIDE[*place]));
    }
}

fn ease(time: Res<Time<Real>>, mut cameras: Query<(&mut Orbit, &mut Transform)>) {
    let t = 1.0 - (-PACE * time.delta_secs().min(0.25)).exp();
    for (mut orbit, mut at) in &mut cameras {
        let (now, goal) = (orbit.now, orbit.goal);
        orbit.now = CameraPose {
            focus: now.focus.lerp(goal.focus, t),
            yaw: now.yaw + t * (goal.yaw - now.yaw),
            pitch: now.pitch + t * (goal.pitch - now.pitch),
            radius: now.radius + t * (goal.radius - now.radius),
        };
        *at = orbit.now.transform();
    }
}

//! The camera that walks around the vehicle, and the four places it jumps to.

use super::shown::{Shown, ground_turn};
use super::yard::haze;
use bevy::core_pipeline::tonemapping::Tonemapping;
use bevy::prelude::*;
use bevy_panorbit_camera::{PanOrbitCamera, PanOrbitCameraPlugin};

/// A place to look from, the same in the window and off screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    ThreeQuarter,
    Side,
    Front,
    Casualty,
}

impl View {
    pub const ALL: [(View, &str); 4] = [
        (View::ThreeQuarter, "Three-quarter"),
        (View::Side, "Side"),
        (View::Front, "Front"),
        (View::Casualty, "Casualty"),
    ];
}

/// Where a camera looks and from where: a turn about Y and upwards, rad, and how far, m.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stand {
    pub focus: Vec3,
    pub yaw: f32,
    pub pitch: f32,
    pub radius: f32,
}

impl Stand {
    pub fn of(view: View, shown: &Shown) -> Self {
        let turn = shown.scene.as_ref().map_or(Quat::IDENTITY, |scene| ground_turn(scene));
        let middle = turn * Vec3::new(0.0, 0.62, 0.0);
        match view {
            View::ThreeQuarter => Self { focus: middle, yaw: 0.62, pitch: 0.27, radius: 6.1 },
            View::Side => Self { focus: middle, yaw: 0.0, pitch: 0.09, radius: 6.3 },
            View::Front => Self { focus: middle, yaw: 1.5, pitch: 0.12, radius: 5.4 },
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

    pub fn transform(&self) -> Transform {
        let turn = Quat::from_rotation_y(self.yaw) * Quat::from_rotation_x(-self.pitch);
        let eye = self.focus + turn * Vec3::Z * self.radius;
        Transform::from_translation(eye).looking_at(self.focus, Vec3::Y)
    }
}

/// What every camera of the yard has.
pub(super) fn lens() -> impl Bundle {
    (
        Camera3d::default(),
        Projection::Perspective(PerspectiveProjection {
            fov: 0.72,
            near: 0.05,
            far: 200.0,
            ..default()
        }),
        Tonemapping::None,
        haze(),
        YardCamera,
    )
}

/// Marks the one camera that draws the yard.
#[derive(Component)]
pub(super) struct YardCamera;

/// An orbit camera at a stand.
pub(super) fn orbit(stand: Stand) -> impl Bundle {
    PanOrbitCamera {
        focus: stand.focus,
        target_focus: stand.focus,
        yaw: Some(stand.yaw),
        pitch: Some(stand.pitch),
        radius: Some(stand.radius),
        target_yaw: stand.yaw,
        target_pitch: stand.pitch,
        target_radius: stand.radius,
        // Never under the ground, never lost in the haze.
        pitch_lower_limit: Some(0.02),
        pitch_upper_limit: Some(1.5),
        zoom_lower_limit: 0.6,
        zoom_upper_limit: Some(16.0),
        pan_sensitivity: 0.8,
        orbit_smoothness: 0.3,
        pan_smoothness: 0.3,
        zoom_smoothness: 0.3,
        use_real_time: true,
        ..default()
    }
}

/// Sends an orbit camera to a stand.
pub(super) fn go(camera: &mut PanOrbitCamera, stand: Stand) {
    camera.target_focus = stand.focus;
    camera.target_yaw = stand.yaw;
    camera.target_pitch = stand.pitch;
    camera.target_radius = stand.radius;
    camera.force_update = true;
}

pub(super) fn plugin(app: &mut App) {
    app.add_plugins(PanOrbitCameraPlugin);
}

//! What the vehicle did before the lift began.

use crate::scene::Scene;

/// How the vehicle has moved since it was laid down: by itself first, then while what stands
/// around it was set.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Settling {
    /// Way over the ground where it bears, m.
    pub slide_m: f64,
    /// Turn about its length, rad; the sign as in [`super::VehicleState::roll_rad`].
    pub roll_rad: f64,
    /// By how much its nose has come down, rad.
    pub pitch_rad: f64,
}

impl Settling {
    /// Where sheet metal gives way under it the vehicle finds its seat within this, m (assumed).
    const SEATS_M: f64 = 0.025;
    /// ... and within this, rad (assumed).
    const SEATS_RAD: f64 = 10_f64.to_radians();

    /// The way from which on it slides instead of finding its seat, m: no less than the scene
    /// lets it slide in the lift.
    pub fn slide_limit_m(scene: &Scene) -> f64 {
        scene.aims.slide_m.max(Self::SEATS_M)
    }

    /// The turn from which on it rolls, or tips over its nose or tail, rad.
    pub fn turn_limit_rad(scene: &Scene) -> f64 {
        scene.aims.roll_rad.max(Self::SEATS_RAD)
    }

    /// The larger of its two turns, rad.
    pub fn turned_rad(&self) -> f64 {
        if self.pitch_rad.abs() > self.roll_rad.abs() { self.pitch_rad } else { self.roll_rad }
    }

    /// It found its seat and did not go on from there.
    pub fn is_still(&self, scene: &Scene) -> bool {
        self.slide_m <= Self::slide_limit_m(scene)
            && self.turned_rad().abs() <= Self::turn_limit_rad(scene)
    }
}

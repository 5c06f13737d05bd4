//! Roll: the vehicle turns about its length past the limit.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Measured, NearestApproach};
use crate::units::Dimension;

/// Uneven settling stays below this, rad.
const ONSET_RAD: f64 = 0.005;

#[derive(Clone, Default)]
pub(super) struct Roll(LimitTracker);

impl Roll {
    pub fn observe(&mut self, seen: &Observation<'_>) -> Option<Finding> {
        let (roll_rad, limit_rad) = (seen.now.vehicle.roll_rad, seen.scene.aims.roll_rad);
        let began_s = self.0.track(seen.now.t_s, roll_rad.abs(), ONSET_RAD, limit_rad, 0.0)?;
        let measured = Measured::Roll { roll_rad, limit_rad };
        Some(seen.finding(began_s, &seen.scene.vehicle.name, seen.now.vehicle.com, measured))
    }

    pub fn nearest(&self, scene: &Scene) -> Option<NearestApproach> {
        self.0.nearest(Cause::Roll, &scene.vehicle.name, Dimension::Angle)
    }
}

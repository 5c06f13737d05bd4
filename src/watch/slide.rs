//! Slide: the vehicle travels over the ground where it bears on it.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Measured, NearestApproach, PartKind};
use crate::units::Dimension;

/// Seating moves the vehicle less than this, m.
const ONSET_M: f64 = 0.005;

#[derive(Clone, Default)]
pub(super) struct SlideWatch(LimitTracker);

impl SlideWatch {
    pub fn observe(&mut self, seen: &Observation<'_>) -> Option<Finding> {
        let (travel_m, limit_m) = (seen.now.vehicle.slide_m, seen.scene.aims.slide_m);
        let began_s = self.0.track(seen.now.t_s, travel_m, ONSET_M, limit_m, 0.0)?;
        let place = seen
            .now
            .loads
            .iter()
            .filter(|l| {
                l.by.is_none()
                    && matches!(seen.parts[l.on].kind, PartKind::Vehicle | PartKind::Wheel(_))
            })
            .max_by(|a, b| a.force[1].total_cmp(&b.force[1]))
            .map_or(seen.now.vehicle.com, |l| l.point);
        let measured = Measured::Slide { travel_m, limit_m };
        Some(seen.finding(began_s, &seen.scene.vehicle.name, place, measured))
    }

    pub fn nearest(&self, scene: &Scene) -> Option<NearestApproach> {
        self.0.nearest(Cause::Slide, &scene.vehicle.name, Dimension::Length)
    }
}

//! Step chocks: one slides out from under the vehicle, or its step is crushed.

use super::limit_tracker::{FOOT_SLIDES_M, LimitTracker};
use super::observation::Observation;
use crate::scene::{Cause, Scene, StepChock};
use crate::snapshot::{Finding, Measured, NearestApproach, PartKind};
use crate::units::Dimension;

/// A step is crushed when that lasts so long, s: a jolt of the solver does not count.
const HOLD_S: f64 = 0.1;

#[derive(Clone, Default)]
struct StepChockTrackers {
    slide: LimitTracker,
    load: LimitTracker,
}

#[derive(Clone, Default)]
pub(super) struct StepChockWatch(Vec<StepChockTrackers>);

impl StepChockWatch {
    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        self.0.resize_with(seen.scene.step_chocks.len(), StepChockTrackers::default);
        let states = seen.scene.step_chocks.iter().zip(&seen.now.step_chocks);
        for (index, (known, (chock, state))) in self.0.iter_mut().zip(states).enumerate() {
            let t_s = seen.now.t_s;
            let place = seen.place_of(PartKind::StepChock(index)).unwrap_or_default();
            let mut tell = |began_s, measured| {
                found.push(seen.finding(began_s, &chock.name, place, measured));
            };
            if let Some(began_s) = known.slide.track_foot(t_s, state.slid_m) {
                tell(
                    began_s,
                    Measured::StepSlide { travel_m: state.slid_m, limit_m: FOOT_SLIDES_M },
                );
            }
            let limit_n = seen.scene.wood.bearing_pa * chock.step_m2();
            let load_n = state.load_n;
            if let Some(began_s) = known.load.track(t_s, load_n, limit_n, limit_n, HOLD_S) {
                tell(began_s, Measured::StepCrushed { load_n, limit_n });
            }
        }
        found
    }

    pub fn nearest(&self, scene: &Scene) -> Vec<NearestApproach> {
        let near = |(seen, chock): (&StepChockTrackers, &StepChock)| {
            [
                seen.load.nearest(Cause::Crush, &chock.name, Dimension::Force),
                seen.slide.nearest(Cause::KickOut, &chock.name, Dimension::Length),
            ]
        };
        self.0.iter().zip(&scene.step_chocks).flat_map(near).flatten().collect()
    }
}

//! Sink: a base goes down into the ground.

use super::limit_tracker::LimitTracker;
use super::observation::{Observation, name_of};
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Footing, Measured, NearestApproach};
use crate::units::Dimension;

/// A corner that has gone down this far has lost a fair part of an inch of lift, and it has
/// passed the inch at which soil gives way: it does not come back, m.
const LIMIT_M: f64 = 0.030;
/// Soil under a base that stays elastic gives less than this under usual loads, m.
const ONSET_M: f64 = 0.015;
/// A base that is set down hard dips for a moment, s.
const HOLD_S: f64 = 0.2;

#[derive(Clone)]
pub(super) struct SinkWatch(Vec<(Footing, LimitTracker)>);

impl SinkWatch {
    pub fn new(seen: &Observation<'_>) -> Self {
        Self(seen.now.bases.iter().map(|base| (base.of, LimitTracker::default())).collect())
    }

    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for ((_, tracker), base) in self.0.iter_mut().zip(&seen.now.bases) {
            let Some(began_s) =
                tracker.track(seen.now.t_s, base.deepest_m, ONSET_M, LIMIT_M, HOLD_S)
            else {
                continue;
            };
            let scene = seen.scene;
            let at = match base.of {
                Footing::Stack(i) => scene.stacks[i].at,
                Footing::VoidFill(i) => scene.void_fill[i].at,
                Footing::Capture(i) => scene.captures[i].at,
                Footing::Chock(i) => scene.chocks[i].at,
            };
            let place = [at[0], -base.deepest_m, at[1]];
            let measured = Measured::Sink { base: *base, limit_m: LIMIT_M };
            found.push(seen.finding(began_s, name_of(scene, base.of), place, measured));
        }
        found
    }

    pub fn nearest<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = NearestApproach> + 'a {
        self.0.iter().filter_map(|(of, tracker)| {
            tracker.nearest(Cause::Sink, name_of(scene, *of), Dimension::Length)
        })
    }
}

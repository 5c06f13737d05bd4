//! Straps: one pulls more than its lashing capacity, parts, drags its anchor, or comes slack.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{Cause, Scene, Strap};
use crate::snapshot::{Finding, Measured, NearestApproach};
use crate::units::Dimension;

/// It is over its lashing capacity when that lasts so long, s: a jolt of the solver does not count.
const HOLD_S: f64 = 0.1;
/// An anchor that has come so far through the ground does not hold, m, and it begins to come
/// here, m (common practice, no source).
const DRAGGED_M: f64 = 0.05;
const ONSET_M: f64 = 0.005;
/// A strap that was drawn tight is slack when it pulls with less than this, N, for so long, s
/// (common practice, no source).
const SLACK_N: f64 = 1.0;
const SLACK_S: f64 = 1.0;

#[derive(Clone, Default)]
struct StrapTrackers {
    load: LimitTracker,
    anchor: LimitTracker,
    slack_since_s: Option<f64>,
    slack: bool,
    parted: bool,
    last_n: f64,
}

#[derive(Clone, Default)]
pub(super) struct StrapWatch(Vec<StrapTrackers>);

impl StrapWatch {
    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        self.0.resize_with(seen.scene.straps.len(), StrapTrackers::default);
        let states = seen.scene.straps.iter().zip(&seen.now.straps);
        for (known, (strap, state)) in self.0.iter_mut().zip(states) {
            let (t_s, tension_n) = (seen.now.t_s, state.tension_n);
            let mut tell = |began_s, measured| {
                found.push(seen.finding(began_s, &strap.name, state.ends[0], measured));
            };
            let dragged_m = state.dragged_m;
            if let Some(began_s) = known.anchor.track(t_s, dragged_m, ONSET_M, DRAGGED_M, 0.0) {
                tell(began_s, Measured::StrapAnchor { dragged_m, limit_m: DRAGGED_M });
            }
            if state.parted {
                if !known.parted && !known.anchor.passed() {
                    let limit_n = Strap::PARTS_AT * strap.capacity_n;
                    tell(t_s, Measured::StrapParted { tension_n: known.last_n, limit_n });
                }
                known.parted = true;
                continue;
            }
            known.last_n = tension_n;
            let limit_n = strap.capacity_n;
            if let Some(began_s) = known.load.track(t_s, tension_n, limit_n, limit_n, HOLD_S) {
                tell(began_s, Measured::StrapLoad { tension_n, limit_n });
            }
            if tension_n >= SLACK_N || strap.preload_n < SLACK_N {
                known.slack_since_s = None;
                continue;
            }
            let since_s = *known.slack_since_s.get_or_insert(t_s);
            if !known.slack && t_s - since_s >= SLACK_S {
                known.slack = true;
                tell(since_s, Measured::StrapSlack { tension_n, preload_n: strap.preload_n });
            }
        }
        found
    }

    pub fn nearest(&self, scene: &Scene) -> Vec<NearestApproach> {
        let named = self.0.iter().zip(&scene.straps);
        let near = |(seen, strap): (&StrapTrackers, &Strap)| {
            let load = seen.load.nearest(Cause::Strap, &strap.name, Dimension::Force);
            // An anchor that nothing drags has nothing to tell.
            let anchor = seen.anchor.nearest(Cause::Strap, &strap.name, Dimension::Length);
            [load, anchor.filter(|near| near.value > 0.0)]
        };
        named.flat_map(near).flatten().collect()
    }
}

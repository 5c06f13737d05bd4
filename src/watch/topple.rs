//! Topple: a stack leans until its top has moved by half a timber; it begins where
//! the thrust line comes to the edge of a layer. So does timber under the beam.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, LeastThrust, Measured, NearestApproach};
use crate::units::Dimension;

/// A thrust line this near a layer's edge is about to leave it, m.
const EDGE_M: f64 = 0.008;
/// A loaded stack seats itself by less than this, m.
const SEATING_M: f64 = 0.010;

#[derive(Clone)]
pub(super) struct ToppleWatch {
    stacks: Vec<LimitTracker>,
    /// Of each capture stack. One under the vehicle goes with that and is not looked at.
    captures: Vec<LimitTracker>,
}

impl ToppleWatch {
    pub fn new(seen: &Observation<'_>) -> Self {
        let trackers = |count| vec![LimitTracker::default(); count];
        let Scene { stacks, captures, .. } = seen.scene;
        Self { stacks: trackers(stacks.len()), captures: trackers(captures.len()) }
    }

    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for ((tracker, stack), spec) in
            self.stacks.iter_mut().zip(&seen.now.stacks).zip(&seen.scene.stacks)
        {
            let weakest = stack
                .thrust
                .iter()
                .enumerate()
                .filter(|(_, t)| t.is_loaded())
                .min_by(|a, b| a.1.margin_m.total_cmp(&b.1.margin_m));
            let at_edge = weakest.is_some_and(|(_, t)| t.margin_m < EDGE_M);
            // The lean decides; a thrust line at the edge only dates its beginning.
            let limit = spec.timber.width_m / 2.0;
            let value = if at_edge { stack.lean_m.max(SEATING_M * 1.001) } else { stack.lean_m };
            let Some(began_s) = tracker.track(seen.now.t_s, value, SEATING_M, limit, 0.0) else {
                continue;
            };
            let [x, z] = spec.at;
            let place = weakest.map_or([x, spec.height_m(), z], |(_, t)| t.point);
            let thrust = weakest.map(|(joint, t)| LeastThrust { joint, margin_m: t.margin_m });
            let measured = Measured::Topple { lean_m: stack.lean_m, limit_m: limit, thrust };
            found.push(seen.finding(began_s, &spec.name, place, measured));
        }
        found.extend(self.observe_captures(seen));
        found
    }

    fn observe_captures(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        let states = seen.now.captures.iter().zip(&seen.scene.captures);
        for (tracker, (state, spec)) in self.captures.iter_mut().zip(states) {
            if !spec.is_under_beam() {
                continue;
            }
            let (lean_m, limit_m) = (state.lean_m, spec.lowest().width_m / 2.0);
            if let Some(began_s) = tracker.track(seen.now.t_s, lean_m, SEATING_M, limit_m, 0.0) {
                let [x, z] = spec.at;
                let measured = Measured::Topple { lean_m, limit_m, thrust: None };
                found.push(seen.finding(began_s, &spec.name, [x, spec.height_m(), z], measured));
            }
        }
        found
    }

    pub fn nearest<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = NearestApproach> + 'a {
        let stacks = self.stacks.iter().zip(scene.stacks.iter().map(|stack| &stack.name));
        let captures = self.captures.iter().zip(&scene.captures);
        let captures = captures.filter(|(_, spec)| spec.is_under_beam());
        let named = stacks.chain(captures.map(|(tracker, spec)| (tracker, &spec.name)));
        named.filter_map(|(t, name)| t.nearest(Cause::Topple, name, Dimension::Length))
    }
}

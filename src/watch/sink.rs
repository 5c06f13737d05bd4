//! Sink: a base goes down into the ground, or the vehicle where it bears on it. How far the
//! vehicle had gone in before the lift belongs to how it lay; what counts is what it goes further.

use super::limit_tracker::LimitTracker;
use super::observation::{Observation, name_of};
use crate::scene::{Cause, Scene};
use crate::snapshot::{BaseState, Finding, Footing, Measured, NearestApproach};
use crate::tables::SINK_LIMIT_M;
use crate::units::Dimension;

/// Soil under a base that stays elastic gives less than this under usual loads, m.
const ONSET_M: f64 = 0.015;
/// A base that is set down hard dips for a moment, s.
const HOLD_S: f64 = 0.2;

#[derive(Clone)]
pub(super) struct SinkWatch(Vec<Base>);

#[derive(Clone)]
struct Base {
    of: Footing,
    /// How deep it was in the ground before the lift, m.
    lay_m: f64,
    tracker: LimitTracker,
}

impl SinkWatch {
    pub fn new(seen: &Observation<'_>) -> Self {
        let base = |base: &BaseState| {
            let lay_m = match base.of {
                Footing::Vehicle(_) => base.deepest_m,
                _ => 0.0,
            };
            Base { of: base.of, lay_m, tracker: LimitTracker::default() }
        };
        Self(seen.now.bases.iter().map(base).collect())
    }

    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for (Base { lay_m, tracker, .. }, base) in self.0.iter_mut().zip(&seen.now.bases) {
            let base = BaseState { deepest_m: base.deepest_m - *lay_m, ..*base };
            let Some(began_s) =
                tracker.track(seen.now.t_s, base.deepest_m, ONSET_M, SINK_LIMIT_M, HOLD_S)
            else {
                continue;
            };
            let scene = seen.scene;
            let at = match base.of {
                Footing::Vehicle(edge) => {
                    scene.vehicle.edge_place(scene.lies, edge).unwrap_or_default()
                }
                Footing::Stack(i) => scene.stacks[i].at,
                Footing::VoidFill(i) => scene.void_fill[i].at,
                Footing::Capture(i) => scene.captures[i].at,
                Footing::Chock(i) => scene.chocks[i].at,
                Footing::StepChock(i) => scene.step_chocks[i].at,
                Footing::Strut(i) => scene.struts[i].at,
            };
            let place = [at[0], -base.deepest_m, at[1]];
            let measured = Measured::Sink { base, limit_m: SINK_LIMIT_M };
            found.push(seen.finding(began_s, name_of(scene, base.of), place, measured));
        }
        found
    }

    pub fn nearest<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = NearestApproach> + 'a {
        self.0.iter().filter_map(|Base { of, tracker, .. }| {
            tracker.nearest(Cause::Sink, name_of(scene, *of), Dimension::Length)
        })
    }
}

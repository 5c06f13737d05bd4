//! Struts: a foot slides, a strut bears more than it is rated for, folds, or comes loose.

use super::limit_tracker::{FOOT_SLIDES_M, LimitTracker};
use super::observation::Observation;
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Measured, NearestApproach, PartKind};
use crate::units::Dimension;

/// It is over its rated load when that lasts so long, s: a jolt of the solver does not count.
const HOLD_S: f64 = 0.1;
/// A strut that bears less than this is loose, N, where it bore so much before, N, and when that
/// lasts so long, s (all common practice, no source).
const LOOSE_N: f64 = 5.0;
const BORE_N: f64 = 200.0;
const LOOSE_S: f64 = 1.0;

#[derive(Clone, Default)]
struct StrutTrackers {
    slide: LimitTracker,
    load: LimitTracker,
    most_n: f64,
    loose_since_s: Option<f64>,
    loose: bool,
    buckled: bool,
}

#[derive(Clone, Default)]
pub(super) struct StrutWatch(Vec<StrutTrackers>);

impl StrutWatch {
    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        self.0.resize_with(seen.scene.struts.len(), StrutTrackers::default);
        let states = seen.scene.struts.iter().zip(&seen.now.struts);
        for (index, (known, (strut, state))) in self.0.iter_mut().zip(states).enumerate() {
            let t_s = seen.now.t_s;
            let place = seen.place_of(PartKind::StrutFoot(index)).unwrap_or_default();
            let mut tell = |began_s, measured| {
                found.push(seen.finding(began_s, &strut.name, place, measured));
            };
            if let Some(began_s) = known.slide.track_foot(t_s, state.slid_m) {
                tell(
                    began_s,
                    Measured::StrutSlide { travel_m: state.slid_m, limit_m: FOOT_SLIDES_M },
                );
            }
            let (axial_n, limit_n) = (state.axial_n, strut.capacity_n);
            if let Some(began_s) = known.load.track(t_s, axial_n, limit_n, limit_n, HOLD_S) {
                tell(began_s, Measured::StrutLoad { axial_n, limit_n });
            }
            if state.buckled {
                if !known.buckled {
                    known.buckled = true;
                    let (euler_n, length_m) = (state.euler_n, state.length_m);
                    tell(t_s, Measured::StrutBuckled { axial_n, euler_n, length_m });
                }
                continue;
            }
            known.most_n = known.most_n.max(axial_n);
            if axial_n >= LOOSE_N || known.most_n < BORE_N {
                known.loose_since_s = None;
                continue;
            }
            let since_s = *known.loose_since_s.get_or_insert(t_s);
            if !known.loose && t_s - since_s >= LOOSE_S {
                known.loose = true;
                tell(since_s, Measured::StrutLoose { axial_n, bore_n: known.most_n });
            }
        }
        found
    }

    pub fn nearest(&self, scene: &Scene) -> Vec<NearestApproach> {
        let named = self.0.iter().zip(&scene.struts);
        let near = |(seen, strut): (&StrutTrackers, &crate::scene::Strut)| {
            let of = |tracker: &LimitTracker, dimension| {
                tracker.nearest(Cause::Strut, &strut.name, dimension)
            };
            [of(&seen.load, Dimension::Force), of(&seen.slide, Dimension::Length)]
        };
        named.flat_map(near).flatten().collect()
    }
}

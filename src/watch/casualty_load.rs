//! Casualty load: a trapped limb carries more than it did at the start.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Measured, NearestApproach};
use crate::units::Dimension;

/// Contact readings waver by less than this; a rise must pass both, N and share.
const NOISE_N: f64 = 15.0;
const NOISE_SHARE: f64 = 0.03;
/// ... and last this long, s.
const HOLD_S: f64 = 0.1;

#[derive(Clone)]
pub(super) struct CasualtyLoad {
    start_n: Vec<f64>,
    trackers: Vec<LimitTracker>,
}

impl CasualtyLoad {
    pub fn new(seen: &Observation<'_>) -> Self {
        let start_n: Vec<f64> = seen.now.limbs.iter().map(|l| l.load_n).collect();
        Self { trackers: vec![LimitTracker::default(); start_n.len()], start_n }
    }

    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for (i, limb) in seen.now.limbs.iter().enumerate() {
            let start = self.start_n[i];
            let limit = start + NOISE_N.max(NOISE_SHARE * start);
            let onset = start + NOISE_N / 2.0;
            let Some(began_s) =
                self.trackers[i].track(seen.now.t_s, limb.load_n, onset, limit, HOLD_S)
            else {
                continue;
            };
            let spec = &seen.scene.limbs[i];
            let place = [spec.at[0], limb.gap_m, spec.at[1]];
            let measured = Measured::CasualtyLoad { load_n: limb.load_n, start_n: start };
            found.push(seen.finding(began_s, &spec.name, place, measured));
        }
        found
    }

    pub fn nearest<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = NearestApproach> + 'a {
        let trackers = self.trackers.iter().zip(&scene.limbs);
        trackers
            .filter_map(|(t, spec)| t.nearest(Cause::CasualtyLoad, &spec.name, Dimension::Force))
    }
}

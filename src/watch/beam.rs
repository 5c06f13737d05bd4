//! Beam: it cracks, or breaks. That it carries more than its design values is no failure
//! yet, and the debrief tells it among the largest values.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::Cause;
use crate::snapshot::{BeamState, Finding, Measured, NearestApproach, PartKind};
use crate::units::Dimension;

/// What a jolt does to it is not what it carries, s.
const HOLD_S: f64 = 0.1;
/// It begins at this share of what makes it crack.
const ONSET_SHARE: f64 = 0.9;

#[derive(Clone, Default)]
pub(super) struct Beam {
    cracked: LimitTracker,
    broken: LimitTracker,
}

impl Beam {
    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        let Some(beam) = seen.now.beam else { return found };
        let t_s = seen.now.t_s;
        let broken = f64::from(u8::from(beam.broken));
        if let Some(began_s) = self.broken.track(t_s, broken, 0.5, 0.5, 0.0) {
            found.push(finding(seen, began_s, beam));
        }
        if beam.broken {
            return found;
        }
        let (stress_pa, limit_pa) = (beam.bending_pa, beam.cracks_pa);
        let onset_pa = ONSET_SHARE * limit_pa;
        if let Some(began_s) = self.cracked.track(t_s, stress_pa, onset_pa, limit_pa, HOLD_S) {
            found.push(finding(seen, began_s, beam));
        }
        found
    }

    pub fn nearest(&self) -> Option<NearestApproach> {
        self.cracked.nearest(Cause::Beam, "beam", Dimension::Stress)
    }
}

/// At the place where the beam bends most.
fn finding(seen: &Observation<'_>, began_s: f64, beam: BeamState) -> Finding {
    let part = seen.parts.iter().position(|p| p.kind == PartKind::Beam);
    let place = part.and_then(|id| seen.now.poses.get(id)).map_or([0.0; 3], |pose| {
        let along = pose.turned([0.0, 0.0, beam.at_m]);
        let at = pose.at();
        [0, 1, 2].map(|i| at[i] + along[i])
    });
    seen.finding(began_s, "beam", place, Measured::Beam(beam))
}

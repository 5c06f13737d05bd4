//! Crush: the timbers of a crib are pressed in across the grain where they cross.

use super::limit_tracker::LimitTracker;
use super::observation::{Observation, name_of};
use crate::scene::{Cause, Scene};
use crate::snapshot::{CrossingState, Finding, Footing, Measured, NearestApproach, PartKind};
use crate::units::Dimension;

/// A crossing this much thinner is seen and heard, m; a crib of eight layers has then lost
/// half an inch.
const LIMIT_M: f64 = 0.002;
/// The first of it, m: below this a lift's own jolts might have done it.
const ONSET_M: f64 = 0.000_2;

#[derive(Clone, Default)]
pub(super) struct Crush(Vec<(Footing, LimitTracker)>);

/// The crib that a crossing belongs to.
fn crib(kind: PartKind) -> Option<Footing> {
    match kind {
        PartKind::StackTimber { stack, .. } => Some(Footing::Stack(stack)),
        PartKind::CaptureTimber { capture, .. } => Some(Footing::Capture(capture)),
        PartKind::VoidFill(i) => Some(Footing::VoidFill(i)),
        _ => None,
    }
}

impl Crush {
    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        // The worst crossing of each crib.
        let mut worst: Vec<(Footing, &CrossingState)> = Vec::new();
        for state in &seen.now.crossings {
            let Some(of) = crib(seen.parts[state.lower].kind) else { continue };
            match worst.iter_mut().find(|(other, _)| *other == of) {
                Some((_, before)) if before.set_m < state.set_m => *before = state,
                Some(_) => {}
                None => worst.push((of, state)),
            }
        }
        let mut found = Vec::new();
        for (of, state) in worst {
            let known = self.0.iter().position(|(other, _)| *other == of);
            let index = known.unwrap_or_else(|| {
                self.0.push((of, LimitTracker::default()));
                self.0.len() - 1
            });
            let tracker = &mut self.0[index].1;
            let Some(began_s) = tracker.track(seen.now.t_s, state.set_m, ONSET_M, LIMIT_M, 0.0)
            else {
                continue;
            };
            let measured = Measured::Crush {
                upper: seen.parts[state.upper].name.clone(),
                crossing: *state,
                limit_m: LIMIT_M,
            };
            found.push(seen.finding(began_s, name_of(seen.scene, of), state.at, measured));
        }
        found
    }

    pub fn nearest<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = NearestApproach> + 'a {
        self.0.iter().filter_map(|(of, tracker)| {
            tracker.nearest(Cause::Crush, name_of(scene, *of), Dimension::Length)
        })
    }
}

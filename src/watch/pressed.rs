//! Pressed: the vehicle comes down onto head or trunk of somebody, which was free before.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{FreePart, free_parts};
use crate::snapshot::{Finding, Measured};

/// How long it lasts before it counts, s.
const HOLD_S: f64 = 0.1;

#[derive(Clone)]
pub(super) struct PressedWatch {
    parts: Vec<(FreePart, Option<LimitTracker>)>,
}

impl PressedWatch {
    pub fn new(seen: &Observation<'_>) -> Self {
        let parts = free_parts(seen.scene).into_iter().zip(&seen.now.over_people_m);
        let track = |(part, room_m): (FreePart, &f64)| {
            // What was not free before the lift is not looked at.
            let free = *room_m >= (1.0 - FreePart::GIVES_SHARE) * part.depth_m;
            (part, free.then(LimitTracker::default))
        };
        Self { parts: parts.map(track).collect() }
    }

    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for ((part, tracker), room_m) in self.parts.iter_mut().zip(&seen.now.over_people_m) {
            let Some(tracker) = tracker else { continue };
            let depth_m = part.depth_m;
            let limit_m = FreePart::GIVES_SHARE * depth_m;
            let pressed_m = depth_m - room_m;
            let began = tracker.track(seen.now.t_s, pressed_m, 0.0, limit_m, HOLD_S);
            if let Some(began_s) = began {
                let measured = Measured::Pressed { pressed_m, depth_m, limit_m };
                found.push(seen.finding(began_s, &part.name, part.at, measured));
            }
        }
        found
    }
}

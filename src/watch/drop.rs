//! Drop: a lift point comes down although nobody lets it down.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{Cause, Rest, Scene};
use crate::snapshot::{Finding, Measured, NearestApproach};
use crate::units::Dimension;

/// A load settles by less than this when bags give and wedges seat, m.
const ONSET_M: f64 = 0.006;

#[derive(Clone)]
pub(super) struct Drop {
    /// Highest rise of each lift point since it was last let down, m.
    peaks_m: Vec<f64>,
    trackers: Vec<LimitTracker>,
}

impl Drop {
    pub fn new(seen: &Observation<'_>) -> Self {
        let count = seen.now.lift_rise_m.len();
        Self { peaks_m: vec![0.0; count], trackers: vec![LimitTracker::default(); count] }
    }

    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let let_down = seen.now.outlets.iter().any(|o| o.opening < 0.0 && !o.burst);
        let limit = seen.scene.aims.drop_m;
        let topmost = topmost(seen.scene);
        let mut found = Vec::new();
        for (i, &rise) in seen.now.lift_rise_m.iter().enumerate() {
            if let_down {
                self.peaks_m[i] = rise;
                continue;
            }
            self.peaks_m[i] = self.peaks_m[i].max(rise);
            let fallen = self.peaks_m[i] - rise;
            let Some(began_s) = self.trackers[i].track(seen.now.t_s, fallen, ONSET_M, limit, 0.0)
            else {
                continue;
            };
            let part = topmost.get(i).copied().unwrap_or("load");
            let measured = Measured::Drop { fallen_m: fallen, limit_m: limit };
            found.push(seen.finding(began_s, part, seen.now.vehicle.com, measured));
        }
        found
    }

    pub fn nearest(&self, scene: &Scene) -> Vec<NearestApproach> {
        let topmost = topmost(scene);
        let points = self.trackers.iter().enumerate();
        points
            .filter_map(|(i, tracker)| {
                let part = topmost.get(i).copied().unwrap_or("load");
                tracker.nearest(Cause::Drop, part, Dimension::Length)
            })
            .collect()
    }
}

/// Names of the bags that the load lies on, in the order of the lift points.
fn topmost(scene: &Scene) -> Vec<&str> {
    let below = |i| scene.bags.iter().any(|b| b.on == Rest::Bag(i));
    let bags = scene.bags.iter().enumerate();
    bags.filter(|(i, _)| !below(*i)).map(|(_, b)| b.name.as_str()).collect()
}

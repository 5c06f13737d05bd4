//! Drop: a lift point comes down although nobody lets it down.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{CarriedBy, Cause, Scene};
use crate::snapshot::{Finding, Measured, NearestApproach};
use crate::units::Dimension;

/// A load settles by less than this when bags give and wedges seat, m.
const ONSET_M: f64 = 0.006;

#[derive(Clone)]
pub(super) struct DropWatch {
    /// Highest rise of each lift point since it was last let down, m.
    peaks_m: Vec<f64>,
    /// Of each lift point, the bag below it that has let its air out of an open coupling since
    /// then.
    open: Vec<Option<usize>>,
    trackers: Vec<LimitTracker>,
}

impl DropWatch {
    pub fn new(seen: &Observation<'_>) -> Self {
        let count = seen.now.lift_rise_m.len();
        let open = vec![None; count];
        Self { peaks_m: vec![0.0; count], open, trackers: vec![LimitTracker::default(); count] }
    }

    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let let_down = seen.now.outlets.iter().any(|o| o.opening < 0.0 && !o.burst);
        let limit = seen.scene.aims.drop_m;
        let topmost = topmost(seen.scene);
        let mut found = Vec::new();
        for (i, &rise) in seen.now.lift_rise_m.iter().enumerate() {
            if let_down {
                (self.peaks_m[i], self.open[i]) = (rise, None);
                continue;
            }
            if rise > self.peaks_m[i] {
                (self.peaks_m[i], self.open[i]) = (rise, None);
            }
            self.open[i] = venting(seen, topmost.get(i).copied()).or(self.open[i]);
            let fallen = self.peaks_m[i] - rise;
            let Some(began_s) = self.trackers[i].track(seen.now.t_s, fallen, ONSET_M, limit, 0.0)
            else {
                continue;
            };
            let part = topmost.get(i).map_or("load", |&bag| seen.scene.bags[bag].name.as_str());
            let open = self.open[i].map(|bag| seen.scene.bags[bag].name.clone());
            let measured = Measured::Drop { fallen_m: fallen, limit_m: limit, open };
            found.push(seen.finding(began_s, part, seen.now.vehicle.com, measured));
        }
        found
    }

    pub fn nearest(&self, scene: &Scene) -> Vec<NearestApproach> {
        let topmost = topmost(scene);
        let points = self.trackers.iter().enumerate();
        points
            .filter_map(|(i, tracker)| {
                let part = topmost.get(i).map_or("load", |&bag| scene.bags[bag].name.as_str());
                tracker.nearest(Cause::Drop, part, Dimension::Length)
            })
            .collect()
    }
}

/// The bags that the load lies on, in the order of the lift points.
fn topmost(scene: &Scene) -> Vec<usize> {
    let below = |i| scene.bags.iter().any(|b| b.on == CarriedBy::Bag(i));
    (0..scene.bags.len()).filter(|&i| !below(i)).collect()
}

/// The first bag under a lift point, from the load down, that loses its air through its open
/// coupling now.
fn venting(seen: &Observation<'_>, topmost: Option<usize>) -> Option<usize> {
    let bags = &seen.now.bags;
    let below = |&bag: &usize| match seen.scene.bags[bag].on {
        CarriedBy::Bag(below) => Some(below),
        CarriedBy::Stack(_) => None,
    };
    std::iter::successors(topmost, below)
        .find(|&bag| bags.get(bag).is_some_and(|b| b.open && b.gauge_pa > 0.0))
}

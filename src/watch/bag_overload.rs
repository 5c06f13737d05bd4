//! Bag overload: a bag is asked for more force or height than it can give.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Measured, NearestApproach, PartKind};
use crate::units::Dimension;

/// Past this share of the height at which its contact area is used up, a bag stands
/// on almost nothing.
const HEIGHT_SHARE: f64 = 0.85;
/// The relief valve may blow off this long while a lever is let go, s.
const RELIEF_S: f64 = 0.5;

#[derive(Clone)]
pub(super) struct BagOverload {
    height: Vec<LimitTracker>,
    relief: Vec<LimitTracker>,
}

impl BagOverload {
    pub fn new(seen: &Observation<'_>) -> Self {
        let fresh = vec![LimitTracker::default(); seen.scene.bags.len()];
        Self { height: fresh.clone(), relief: fresh }
    }

    pub fn observe(&mut self, seen: &Observation<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for (i, bag) in seen.now.bags.iter().enumerate() {
            let spec = &seen.scene.bags[i];
            let upper = PartKind::BagFace { bag: i, upper: true };
            let mut add = |began_s, measured| {
                let place = seen.place_of(upper).unwrap_or_default();
                found.push(seen.finding(began_s, &spec.name, place, measured));
            };
            let (t_s, height_m) = (seen.now.t_s, bag.height_m);
            let limit_m = HEIGHT_SHARE * bag.height_limit_m;
            if let Some(began_s) = self.height[i].track(t_s, height_m, limit_m, limit_m, 0.0) {
                add(began_s, Measured::BagHeight { height_m, limit_m });
            }
            let blowing = f64::from(u8::from(bag.relieving));
            if let Some(began_s) = self.relief[i].track(t_s, blowing, 0.5, 0.5, RELIEF_S) {
                let measured = Measured::BagRelief {
                    gauge_pa: bag.gauge_pa,
                    limit_pa: spec.working_pa,
                    force_n: bag.force_n,
                    height_m,
                };
                add(began_s, measured);
            }
        }
        found
    }

    /// By height, and by pressure once a relief valve has opened for good.
    pub fn nearest<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = NearestApproach> + 'a {
        self.height.iter().zip(&self.relief).zip(&scene.bags).flat_map(|((height, relief), bag)| {
            let blown = relief.passed().then(|| NearestApproach {
                cause: Cause::BagOverload,
                part: bag.name.clone(),
                dimension: Dimension::Pressure,
                value: bag.working_pa,
                limit: bag.working_pa,
            });
            let high = height.nearest(Cause::BagOverload, &bag.name, Dimension::Length);
            blown.or(high)
        })
    }
}

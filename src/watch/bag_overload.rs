//! Bag overload: a bag is asked for more force or height than it can give, or has used up its
//! height before it bears.

use super::limit_tracker::LimitTracker;
use super::observation::Observation;
use crate::scene::{CarriedBy, Cause, Scene};
use crate::snapshot::{Finding, Measured, NearestApproach, PartKind};
use crate::tables::FREE_STROKE_SHARE;
use crate::units::Dimension;

/// Past this share of the height at which its contact area is used up, a bag stands
/// on almost nothing.
const HEIGHT_SHARE: f64 = 0.85;
/// The relief valve may blow off this long while a lever is let go, s.
const RELIEF_S: f64 = 0.5;
/// A bag swells by this much before it counts as climbing, m.
const ONSET_M: f64 = 0.010;
/// A lift point has taken up its load once its stack bears so much more than at the start, N
/// (assumed: little beside any vehicle).
const TAKEN_UP_N: f64 = 200.0;

#[derive(Clone)]
pub(super) struct BagOverloadWatch {
    height: Vec<LimitTracker>,
    relief: Vec<LimitTracker>,
    free: Vec<FreeStroke>,
}

/// How far a bag climbs before its lift point has taken up the load.
#[derive(Clone)]
struct FreeStroke {
    /// The stack under it.
    stack: usize,
    /// What that bore at the start, N.
    start_n: f64,
    taken_up: bool,
    tracker: LimitTracker,
}

impl BagOverloadWatch {
    pub fn new(seen: &Observation<'_>) -> Self {
        let bags = &seen.scene.bags;
        let fresh = vec![LimitTracker::default(); bags.len()];
        let free = |bag: usize| {
            let stack = CarriedBy::Bag(bag).stack(bags);
            FreeStroke {
                stack,
                start_n: seen.now.stacks.get(stack).map_or(0.0, |s| s.load_n),
                taken_up: false,
                tracker: LimitTracker::default(),
            }
        };
        let free = (0..bags.len()).map(free).collect();
        Self { height: fresh.clone(), relief: fresh, free }
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
            let free = &mut self.free[i];
            let bears_n = seen.now.stacks.get(free.stack).map_or(0.0, |s| s.load_n);
            free.taken_up |= bears_n > free.start_n + TAKEN_UP_N;
            let limit_m = FREE_STROKE_SHARE * bag.height_limit_m;
            if !free.taken_up
                && let Some(began_s) = free.tracker.track(t_s, height_m, ONSET_M, limit_m, 0.0)
            {
                add(began_s, Measured::FreeStroke { height_m, limit_m });
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

    /// By height, by what it climbed for nothing where that was too much, and by pressure once
    /// a relief valve has opened for good.
    pub fn nearest<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = NearestApproach> + 'a {
        let trackers = self.height.iter().zip(&self.relief).zip(&self.free);
        trackers.zip(&scene.bags).flat_map(|(((height, relief), free), bag)| {
            let blown = relief.passed().then(|| NearestApproach {
                cause: Cause::BagOverload,
                part: bag.name.clone(),
                dimension: Dimension::Pressure,
                value: bag.working_pa,
                limit: bag.working_pa,
            });
            let by_height = if free.tracker.passed() { &free.tracker } else { height };
            let high = by_height.nearest(Cause::BagOverload, &bag.name, Dimension::Length);
            blown.or(high)
        })
    }
}

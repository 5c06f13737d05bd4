//! What the vehicle did over each trapped limb, from moment to moment: how what was above it
//! came down and slid, and whether it was still there.

use super::moment::{Part, PartId, PartKind, Pose, Snapshot};
use crate::scene::Scene;

/// What bears no more than this on a limb does not hold it, N (assumed: the weight of half a
/// kilogram).
const HELD_N: f64 = 5.0;

/// A limb and the vehicle over it at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverLimb {
    pub t_s: f64,
    /// Free height between the ground and the vehicle above the limb, m.
    pub gap_m: f64,
    /// Force that the vehicle puts on it, N.
    pub load_n: f64,
    /// Some of the vehicle is above it.
    pub covered: bool,
    /// The way since the moment before of what of the vehicle was above it then, m; nothing
    /// where none of it was.
    pub moved_m: [f64; 3],
    /// How fast that went down on the way, m/s; below zero where it rose.
    pub falls_m_s: f64,
}

/// The vehicle over one limb, moment by moment.
#[derive(Clone, Debug, PartialEq)]
pub struct LimbTrace {
    /// The limb, by its index in the scene, and its middle on the ground, m.
    limb: usize,
    at: [f64; 2],
    vehicle: Option<PartId>,
    /// The vehicle's pose at the last moment.
    pose: Pose,
    /// In turn of time.
    pub moments: Vec<OverLimb>,
}

impl LimbTrace {
    /// One for each limb, from a lift's first moment.
    pub fn at_start(scene: &Scene, parts: &[Part], first: &Snapshot) -> Vec<Self> {
        let vehicle = parts.iter().position(|part| part.kind == PartKind::Vehicle);
        let limbs = scene.limbs.iter().enumerate();
        limbs
            .map(|(limb, spec)| {
                let mut trace =
                    Self { limb, at: spec.at, vehicle, pose: Pose::ORIGIN, moments: Vec::new() };
                trace.follow(first);
                trace
            })
            .collect()
    }

    /// One for each limb, over a lift's moments in turn.
    pub fn over(scene: &Scene, parts: &[Part], moments: &[&Snapshot]) -> Vec<Self> {
        let [first, rest @ ..] = moments else { return Vec::new() };
        let mut traces = Self::at_start(scene, parts, first);
        for now in rest {
            traces.iter_mut().for_each(|trace| trace.follow(now));
        }
        traces
    }

    /// Whether the vehicle held the limb at the first moment.
    pub fn was_held(&self) -> bool {
        self.moments.first().is_some_and(|first| first.load_n > HELD_N)
    }

    /// Takes in the next moment.
    pub fn follow(&mut self, now: &Snapshot) {
        let Some(&state) = now.limbs.get(self.limb) else { return };
        let pose = self.vehicle.and_then(|part| now.poses.get(part)).copied();
        let pose = pose.unwrap_or(Pose::ORIGIN);
        let (mut moved_m, mut falls_m_s) = ([0.0; 3], 0.0);
        if let Some(before) = self.moments.last().filter(|before| before.covered) {
            let place = [self.at[0], before.gap_m, self.at[1]];
            // Both by the same way round, so that what rests has not moved at all.
            let on_vehicle = self.pose.local(place);
            let (was, is) = (self.pose.ground(on_vehicle), pose.ground(on_vehicle));
            moved_m = [0, 1, 2].map(|i| is[i] - was[i]);
            falls_m_s = -moved_m[1] / (now.t_s - before.t_s).max(f64::MIN_POSITIVE);
        }
        self.pose = pose;
        self.moments.push(OverLimb {
            t_s: now.t_s,
            gap_m: state.gap_m,
            load_n: state.load_n,
            covered: state.covered,
            moved_m,
            falls_m_s,
        });
    }
}

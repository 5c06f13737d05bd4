//! The largest values over a lift, and the gap at each limb.

use crate::scene::Scene;
use crate::snapshot::{BaseState, Footing, LimbState, Snapshot};
use std::collections::VecDeque;

/// A value that lasts this long is held, s: a vehicle that bobs on its bags swings back and
/// forth within it (assumed).
const HELD_S: f64 = 0.5;
/// Moments less than this apart are one, s: far less than a tick.
const SAME_S: f64 = 1e-6;

/// Gap at one limb over the lift, m.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    pub at: String,
    pub needed_m: f64,
    pub start_m: f64,
    pub end_m: f64,
    pub max_m: f64,
    /// Load on the limb at the start and the most it reached, N.
    pub start_load_n: f64,
    pub max_load_n: f64,
}

/// A largest value of a load, or of what goes with one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Peak {
    /// The most it reached at any moment, however short.
    pub most: f64,
    /// The most that it was not under for half a second on end.
    pub held: f64,
    first_s: Option<f64>,
    /// Time and value of late moments, each smaller than all that follow.
    lately: VecDeque<(f64, f64)>,
}

impl Peak {
    /// Takes the next moment's value in.
    fn follow(&mut self, t_s: f64, value: f64) {
        self.most = self.most.max(value);
        while self.lately.back().is_some_and(|(_, before)| *before >= value) {
            self.lately.pop_back();
        }
        self.lately.push_back((t_s, value));
        while self.lately.front().is_some_and(|(then_s, _)| t_s - then_s > HELD_S + SAME_S) {
            self.lately.pop_front();
        }
        if t_s - *self.first_s.get_or_insert(t_s) >= HELD_S - SAME_S {
            self.held = self.held.max(self.lately.front().map_or(0.0, |(_, least)| *least));
        }
    }
}

/// Largest values over the lift.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Peaks {
    pub roll_rad: f64,
    pub slide_m: f64,
    pub roof_set_m: f64,
    pub rise_m: f64,
    pub bag_gauge_pa: Peak,
    pub bag_height_m: f64,
    /// What lies on a bag.
    pub bag_load_n: Peak,
    pub stack_load_n: Peak,
    pub stack_lean_m: f64,
    /// Least distance of a loaded thrust line inside a stack's bearing corners; `None` where no
    /// stack was loaded.
    pub least_thrust_margin_m: Option<f64>,
    pub beam_moment_nm: Peak,
    /// Of the beam's design values, for a load of ten minutes.
    pub beam_design_share: Peak,
    pub beam_sag_m: f64,
    /// Pressure where timbers cross.
    pub crossing_pa: Peak,
    /// The deepest corner of a base.
    pub sunk_m: f64,
}

impl Gap {
    /// One for each limb, from before the orders.
    pub(super) fn at_start(scene: &Scene, first: &Snapshot) -> Vec<Self> {
        scene
            .limbs
            .iter()
            .zip(&first.limbs)
            .map(|(limb, state)| Self {
                at: limb.name.clone(),
                needed_m: limb.gap_needed_m,
                start_m: state.gap_m,
                end_m: state.gap_m,
                max_m: state.gap_m,
                start_load_n: state.load_n,
                max_load_n: state.load_n,
            })
            .collect()
    }

    /// One for each limb, over a lift's moments in turn.
    pub fn over(scene: &Scene, moments: &[&Snapshot]) -> Vec<Self> {
        let [first, rest @ ..] = moments else { return Vec::new() };
        let mut gaps = Self::at_start(scene, first);
        for now in rest {
            gaps.iter_mut().zip(&now.limbs).for_each(|(gap, limb)| gap.follow(limb));
        }
        gaps
    }

    /// Takes in the limb's next moment.
    pub(super) fn follow(&mut self, now: &LimbState) {
        self.end_m = now.gap_m;
        self.max_m = self.max_m.max(now.gap_m);
        self.max_load_n = self.max_load_n.max(now.load_n);
    }

    /// The limb is free at the end.
    pub fn is_enough(&self) -> bool {
        self.end_m >= self.needed_m
    }
}

impl Peaks {
    /// Over a lift's moments.
    pub fn over(moments: &[&Snapshot]) -> Self {
        let mut peaks = Self::default();
        moments.iter().for_each(|now| peaks.follow(now));
        peaks
    }

    /// Takes the next moment in.
    pub(super) fn follow(&mut self, now: &Snapshot) {
        let most = |peak: &mut f64, value: f64| *peak = peak.max(value);
        most(&mut self.roll_rad, now.vehicle.roll_rad.abs());
        most(&mut self.slide_m, now.vehicle.slide_m);
        most(&mut self.roof_set_m, now.vehicle.roof_set_m);
        most(&mut self.rise_m, now.rise_m);
        for bag in &now.bags {
            most(&mut self.bag_height_m, bag.height_m);
        }
        if let Some(beam) = now.beam {
            most(&mut self.beam_sag_m, beam.sag_m);
            self.beam_moment_nm.follow(now.t_s, beam.moment_nm.abs());
            self.beam_design_share.follow(now.t_s, beam.design_share);
        }
        let largest = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0, f64::max);
        for (peak, value) in [
            (&mut self.bag_gauge_pa, largest(&mut now.bags.iter().map(|bag| bag.gauge_pa))),
            (&mut self.bag_load_n, largest(&mut now.bags.iter().map(|bag| bag.load_n))),
            (&mut self.stack_load_n, largest(&mut now.stacks.iter().map(|stack| stack.load_n))),
            (&mut self.crossing_pa, largest(&mut now.crossings.iter().map(|c| c.bearing_pa()))),
        ] {
            peak.follow(now.t_s, value);
        }
        let is_base = |base: &&BaseState| !matches!(base.of, Footing::Vehicle(_));
        for base in now.bases.iter().filter(is_base) {
            most(&mut self.sunk_m, base.deepest_m);
        }
        for stack in &now.stacks {
            most(&mut self.stack_lean_m, stack.lean_m);
            let least = [self.least_thrust_margin_m, stack.least_margin_m()];
            self.least_thrust_margin_m = least.into_iter().flatten().reduce(f64::min);
        }
    }
}

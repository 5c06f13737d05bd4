//! The largest values over a lift, and the gap at each limb.

use crate::scene::Scene;
use crate::snapshot::{LimbState, Snapshot};

/// Gap at one limb over the lift, m.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    pub at: String,
    pub needed_m: f64,
    pub start_m: f64,
    pub end_m: f64,
    pub max_m: f64,
    /// Load on the limb at the start and the most it came to, N.
    pub start_load_n: f64,
    pub max_load_n: f64,
}

/// Largest values over the lift.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Peaks {
    pub roll_rad: f64,
    pub slide_m: f64,
    pub roof_set_m: f64,
    pub rise_m: f64,
    pub bag_gauge_pa: f64,
    pub bag_height_m: f64,
    pub bag_force_n: f64,
    pub stack_load_n: f64,
    pub stack_lean_m: f64,
    /// Least distance of a loaded thrust line inside a stack's bearing corners; `None` where no
    /// stack was loaded.
    pub least_thrust_margin_m: Option<f64>,
    pub beam_moment_nm: f64,
    /// Of the beam's design values, for a load of ten minutes.
    pub beam_design_share: f64,
    pub beam_sag_m: f64,
    /// Pressure where timbers cross.
    pub crossing_pa: f64,
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
            most(&mut self.bag_gauge_pa, bag.gauge_pa);
            most(&mut self.bag_height_m, bag.height_m);
            most(&mut self.bag_force_n, bag.force_n);
        }
        if let Some(beam) = now.beam {
            most(&mut self.beam_moment_nm, beam.moment_nm.abs());
            most(&mut self.beam_design_share, beam.design_share);
            most(&mut self.beam_sag_m, beam.sag_m);
        }
        for crossing in &now.crossings {
            most(&mut self.crossing_pa, crossing.bearing_pa());
        }
        for base in &now.bases {
            most(&mut self.sunk_m, base.deepest_m);
        }
        for stack in &now.stacks {
            most(&mut self.stack_load_n, stack.load_n);
            most(&mut self.stack_lean_m, stack.lean_m);
            let least = [self.least_thrust_margin_m, stack.least_margin_m()];
            self.least_thrust_margin_m = least.into_iter().flatten().reduce(f64::min);
        }
    }
}

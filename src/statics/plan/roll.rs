//! One side of the lift against another: rises that differ roll the vehicle, and the far end
//! holds against the roll as long as it can.

use super::lift::LiftPlan;
use super::points::LiftPoint;
use super::step::{OrderOutcome, mean};
use crate::statics::gap;
use crate::statics::supports::Roll;
use crate::statics::vehicle::State;

/// What is rigid at the far end stands against a roll with all that it holds once the vehicle
/// has rolled this much, rad: packing gives (assumed).
const NOSE_GIVES_RAD: f64 = 0.005;

/// Slices across a strip of sheet metal.
const SLICES: u32 = 32;

/// How the far end stands against a roll.
struct Tipped {
    /// What packing on the side that goes down holds against it, and sheet metal, N m.
    fill_nm: f64,
    metal_nm: f64,
    /// Force of the lift, N.
    lift_n: f64,
}

impl LiftPlan {
    /// Middle of the lift points along Z, m.
    pub fn middle_z(&self) -> f64 {
        mean(&self.points.iter().map(|p| self.scene.stacks[p.stack].at[1]).collect::<Vec<_>>())
    }

    /// Roll of the vehicle with each lift point at its rise, rad: the line through them.
    pub(super) fn roll_rad(&self, rises_m: &[f64]) -> f64 {
        let (middle, level) = (self.middle_z(), mean(rises_m));
        let (mut moment, mut spread) = (0.0, 0.0);
        for (point, rise) in self.points.iter().zip(rises_m) {
            let z = self.scene.stacks[point.stack].at[1] - middle;
            moment += z * (rise - level);
            spread += z * z;
        }
        if spread > 1e-9 { (moment / spread).atan() } else { 0.0 }
    }

    /// Force of the vehicle on each point with the vehicle rolled, N. The far end stands
    /// against the roll with all that it holds (see [`super::Sideways`]): the side that goes down is
    /// eased, and the other one carries more. No side pulls.
    pub(super) fn forces_n(&self, state: &State, roll_rad: f64) -> Vec<f64> {
        let unrolled_n: Vec<f64> = self.points.iter().map(|p| self.force_n(p, state)).collect();
        if roll_rad == 0.0 || self.points.len() < 2 {
            return unrolled_n;
        }
        let side = &self.sideways;
        let holds = side.rigid_nm.max(1.0);
        let level = (-side.rolls_nm / holds).clamp(-1.0, 1.0);
        let share = (level + roll_rad / NOSE_GIVES_RAD).clamp(-1.0, 1.0);
        let rolled = self.tipped(state, roll_rad);
        let (moment, lift_n) = rolled.map_or_else(
            || (share * holds + side.metal_nm(roll_rad), state.lift_n),
            |on| (share * on.fill_nm + on.metal_nm, on.lift_n),
        );
        let moment = side.rolls_nm + moment;
        let middle = self.middle_z();
        let arm = |p: &LiftPoint| self.scene.stacks[p.stack].at[1] - middle;
        let spread: f64 = self.points.iter().map(|p| arm(p).powi(2)).sum();
        let even = lift_n / self.points.len() as f64;
        let forces: Vec<f64> =
            self.points.iter().map(|p| (even + moment * arm(p) / spread).max(0.0)).collect();
        let all: f64 = forces.iter().sum();
        forces.iter().map(|n| if all > 0.0 { n * lift_n / all } else { 0.0 }).collect()
    }

    /// How the far end stands against a roll where sheet metal and packing share it.
    ///
    /// The vehicle turns about the packing on the side that goes down, at `z` off its middle,
    /// and its middle comes up there by `z phi`. The lift keeps its height, so beyond the packing
    /// it comes up by the ratio of the arms more. Sheet metal that was pressed in further when
    /// the load stood higher has kept that. The moment about the lift stays: what the metal
    /// loses, packing takes by the ratio of their arms.
    fn tipped(&self, state: &State, roll_rad: f64) -> Option<Tipped> {
        let tips = self.tips?;
        let panel = &self.scene.vehicle.panels[tips.panel];
        let was_m = self.steps.iter().map(|s| s.rise_m).fold(state.rise_m, f64::max);
        let was = self.at(was_m);
        let up_again = self.turn_rad(&was) - self.turn_rad(state);
        let pressed_m = was.on_metal_n / panel.stiffness_n_m
            - up_again * (tips.metal_arm_m - tips.fill_arm_m)
            - tips.fill_z * roll_rad.abs() * tips.metal_arm_m / tips.fill_arm_m;
        let most_m = panel.plateau_n / panel.stiffness_n_m;
        let (mut left_n, mut metal_nm) = (0.0, 0.0);
        for slice in 0..SLICES {
            let z = panel.half_width_m * (2.0 * (f64::from(slice) + 0.5) / f64::from(SLICES) - 1.0);
            let here_m = (pressed_m + z * roll_rad.abs()).clamp(0.0, most_m);
            let here_n = panel.stiffness_n_m * here_m / f64::from(SLICES);
            left_n += here_n;
            metal_nm += here_n * z;
        }
        let lost_n = state.on_metal_n - left_n;
        // Limbs are free by then.
        let fill_n = state.loads_n.iter().sum::<f64>() - state.on_metal_n
            + lost_n * tips.metal_arm_m / tips.fill_arm_m;
        Some(Tipped {
            fill_nm: fill_n.max(0.0) * tips.fill_z,
            metal_nm: metal_nm * roll_rad.signum(),
            lift_n: state.lift_n + lost_n * (1.0 - tips.metal_arm_m / tips.fill_arm_m),
        })
    }

    /// The gap at a limb after an order, m.
    pub fn gap_m(&self, step: &OrderOutcome, limb: usize) -> Option<f64> {
        self.rolled_gap_m(&self.at(step.rise_m), limb, step.roll_rad)
    }

    /// The rise at which every limb has its gap, m; as far as was worked out where that is
    /// not enough.
    pub fn rise_that_frees(&self) -> f64 {
        let free = |state: &State| {
            self.scene.limbs.iter().enumerate().all(|(i, limb)| {
                self.rolled_gap_m(state, i, 0.0).is_none_or(|gap| gap >= limb.gap_needed_m)
            })
        };
        let state = self.states.iter().find(|s| free(s)).or(self.states.last());
        state.map_or(0.0, |s| s.rise_m)
    }

    /// Largest angle that the openings of the hoses leave between left and right, rad: the
    /// rise goes as the air let in.
    pub fn uneven_rad(&self) -> Option<f64> {
        let rates: Vec<(f64, f64)> = self
            .points
            .iter()
            .filter_map(|p| {
                let o = self
                    .scene
                    .air()
                    .outlets
                    .iter()
                    .find(|o| o.bags().any(|bag| p.bags.contains(&bag)))?;
                Some((self.scene.stacks[p.stack].at[1], o.conductance * o.opening))
            })
            .collect();
        let [first, .., last] = rates.as_slice() else { return None };
        let mean = f64::midpoint(first.1, last.1);
        let apart = (last.0 - first.0).abs();
        (apart > 0.1 && mean > 0.0)
            .then(|| (self.rise_m * (first.1 - last.1).abs() / mean / apart).atan())
    }

    /// The gap at a limb at a state, m, with the vehicle rolled further by an angle about the
    /// middle of the lift points.
    pub(super) fn rolled_gap_m(&self, state: &State, limb: usize, roll_rad: f64) -> Option<f64> {
        let roll = Roll { rad: state.roll.rad + roll_rad, about_z: self.middle_z() };
        gap::gap_m(&self.scene, state.side_pose, roll, limb)
    }
}

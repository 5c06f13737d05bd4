//! How the bags of a lift point stand under the vehicle, which follows an arc as it turns.

use super::lift::LiftPlan;
use super::points::LiftPoint;
use super::step::OrderOutcome;
use crate::scene::Bag;
use crate::statics::vehicle::{LiftLine, State};
use crate::statics::{column, panel};

/// What a point is lifted by, and how far.
#[derive(Clone, Copy)]
pub(super) struct Pushed {
    pub rise_m: f64,
    pub force_n: f64,
}

/// How the bags of a point stand under what they lift, which follows an arc.
#[derive(Clone, Debug)]
pub struct ColumnState {
    /// Way of what lies on the bags across the axis of the column, m: along the ground, or along
    /// the wedge under them. Towards the nose is positive.
    pub way_m: f64,
    pub lean: column::Lean,
    /// Sideways force on the stack, N.
    pub sideways_n: f64,
    /// Force along the axis of the column, N: what the bags bear.
    pub along_n: f64,
    /// Height of all bags of the point together, m, and of each.
    pub swell_m: f64,
    pub gaps_m: Vec<f64>,
}

impl LiftPlan {
    /// How the bags of a point stand at a rise, by the order that lifts there: its bag gives what
    /// the others, as that order leaves them, do not. Where no order fills them the lowest gives
    /// it all.
    pub fn column(&self, point: &LiftPoint, rise_m: f64) -> ColumnState {
        let up = &self.steps[..self.highest_at().map_or(0, |at| at + 1)];
        let ends = |s: &&OrderOutcome| (s.rise_m - rise_m).abs() < 1e-9;
        let step = up.iter().rev().find(ends);
        let step = step.or_else(|| up.iter().find(|s| s.rise_m > rise_m)).or(up.last());
        let gaps_m = step.map_or_else(
            || vec![0.0; point.bags.len()],
            |s| point.bags.iter().map(|&b| s.bags[b].gap_m).collect(),
        );
        let moved = |s: &OrderOutcome| point.bags.iter().position(|b| s.moved.contains(b));
        let gives = step.and_then(moved).unwrap_or(0);
        let state = self.at(rise_m);
        let on = Pushed { rise_m, force_n: self.force_n(point, &state) };
        self.column_with(point, &state, on, gaps_m, gives)
    }

    /// How the bags of a point stand at a state when all but one of them keep their gaps:
    /// that one gives what is still missing for the rise.
    ///
    /// They have to give the rise, the slack, what sheet metal and soil cost, and what is lost
    /// as they lean and as the face, which is higher further back, slips over them.
    pub(super) fn column_with(
        &self,
        point: &LiftPoint,
        state: &State,
        on: Pushed,
        mut gaps_m: Vec<f64>,
        gives: usize,
    ) -> ColumnState {
        let turn = self.turn_rad(state);
        // The column is worked out along and across its own axis, which leans with the wedge
        // under it, and turned back to the ground at the end.
        let leans = point.leans_rad();
        let slope = self.across_rad(point, state);
        let (sin, cos) = slope.sin_cos();
        let cone = |mu: f64| [-mu, mu].map(|mu| (slope + mu.atan()).clamp(-1.5, 1.5).tan());
        let tilt_rad = self.tilt_rad(point, state);
        let side_m = point.bags.last().map_or(0.0, |&b| self.scene.bags[b].size[0]);
        let ground_m =
            state.side_pose.ground(self.lift)[0] - self.place[0] - turn.sin() * point.stiff_m;
        let force_n = on.force_n.max(0.0);
        let up_m = on.rise_m + point.stiff_m * (1.0 - turn.cos()) + self.sunk_m(point, force_n);
        let way_m =
            ground_m * leans.cos() - up_m * leans.sin() + column::touched_m(side_m, tilt_rad);
        let along_m = point.slack_m + up_m * leans.cos() + ground_m * leans.sin();
        let others: f64 = gaps_m.iter().sum::<f64>() - gaps_m[gives];
        // Metal gives way along its normal: down and, where it slopes, along the ground too.
        let lean = |gaps_m: &[f64], pressed_m: f64| {
            let columns = point.bags.iter().zip(gaps_m);
            let bags: Vec<column::ColumnBag> = columns
                .map(|(&b, &gap_m)| column::ColumnBag {
                    gap_m,
                    arm_m: self.scene.membrane(b).tilt_arms_m(gap_m)[1],
                })
                .collect();
            let above = column::Above {
                tilt_rad,
                way_m: way_m + pressed_m * sin,
                cone: cone(self.face_mu[0]),
                slipping: cone(self.face_mu[1]),
                room_m: point.room_m.map(|room| room * cos),
            };
            column::lean(&bags, above)
        };
        let mut pressed_m = 0.0;
        let mut stands = lean(&gaps_m, pressed_m);
        // The loss depends on the heights by less than a tenth: a few rounds settle it.
        for _ in 0..6 {
            let over = point.stops.map_or(f64::INFINITY, |stop| {
                point.stiff_m + Bag::column_m(gaps_m[stop + 1..].iter().copied())
            });
            let along_n = column::along_n(force_n, leans, stands.push);
            let normal_n = along_n * (cos + stands.push * sin);
            pressed_m = self.pressed_m(point, normal_n).min(over);
            let lost = pressed_m * cos + stands.dip_m + stands.slip_m * slope.tan();
            gaps_m[gives] = (along_m + lost - others).max(0.0);
            stands = lean(&gaps_m, pressed_m);
        }
        let along_n = column::along_n(force_n, leans, stands.push);
        let seat_m = point.seat.map_or(0.0, |seat| seat.middle_m);
        let lean = stands.on_seat(leans, seat_m);
        ColumnState {
            way_m,
            sideways_n: -lean.push * force_n,
            along_n,
            lean,
            swell_m: gaps_m.iter().sum(),
            gaps_m,
        }
    }

    /// What the bags of a point bear along their own axis at a state, N.
    pub(super) fn bears_n(
        &self,
        point: &LiftPoint,
        state: &State,
        on: Pushed,
        gaps_m: Vec<f64>,
    ) -> f64 {
        match point.seat {
            Some(_) => self.column_with(point, state, on, gaps_m, 0).along_n,
            None => on.force_n,
        }
    }

    /// How all columns together push at each state of the lift.
    pub(super) fn lines(&self) -> Vec<LiftLine> {
        let of = |p: &LiftPoint, state: &State| {
            let [x, y] = state.side_pose.ground(self.lift);
            let lean = self.column(p, state.rise_m).lean;
            let up_m = y - self.scene.stacks[p.stack].height_m();
            let off_m = self.place[0] + lean.enters_m + lean.push * up_m - x;
            (p.share, lean.push, off_m)
        };
        let line = |state: &State| {
            let mut all = LiftLine::default();
            for (share, push, off_m) in self.points.iter().map(|p| of(p, state)) {
                all.push += share * push;
                all.off_m += share * off_m;
            }
            all
        };
        self.states.iter().map(line).collect()
    }

    /// How far the metal over a point is pressed in along its normal by a force along it, m.
    fn pressed_m(&self, point: &LiftPoint, normal_n: f64) -> f64 {
        point.panel.map_or(0.0, |i| {
            let p = &self.scene.vehicle.panels[i];
            panel::height_lost_m(normal_n, p.stiffness_n_m, p.plateau_n, p.depth_m)
        })
    }
}

//! Works through a scene's orders: each bag's height, pressure and air, and the rise of each
//! lift point, after every one of them.

use super::column::Pushed;
use super::lift::LiftPlan;
use super::points::LiftPoint;
use super::step::{BagNow, LeftOut, NotWorkedOut, OrderOutcome, Stuck, mean};
use crate::scene::{Order, Until};
use crate::statics::{air, bags};
use crate::tables::FIRM_M;
use std::sync::Arc;

/// Step in which orders are worked through, m of rise.
const GRAIN_M: f64 = 0.00125;
/// A step is no shorter than this share of it.
const LEAST_STEP: f64 = 0.01;

/// A shut bag gives less than this within a step, m.
const SHUT_GIVES_M: f64 = 0.02;

/// Works through the orders.
pub struct OrderSolver<'a> {
    plan: &'a mut LiftPlan,
    bags: Vec<BagNow>,
    /// Hoses: the bags at the ends of each outlet's.
    hoses: Vec<Vec<usize>>,
    locked: Vec<bool>,
    /// Bags that air goes into or out of, each with the share of its valve that is open.
    open: Vec<(usize, f64)>,
    /// Air goes out.
    down: bool,
    /// Rise of each lift point, m.
    rises_m: Vec<f64>,
    /// Captures hold the load at this rise, m.
    captured_m: f64,
    /// Air let out so far, J.
    vented_j: f64,
}

/// How everything stands with each lift point at its rise.
struct StepState {
    rises_m: Vec<f64>,
    bags: Vec<BagNow>,
    loads_n: Vec<f64>,
    roll_rad: f64,
    /// Time that each point has taken, s.
    times_s: Vec<f64>,
    vented_j: f64,
}

impl<'a> OrderSolver<'a> {
    /// Everything empty and nothing risen.
    pub fn new(plan: &'a mut LiftPlan) -> Self {
        let scene = &plan.scene;
        let empty = BagNow { gap_m: 0.0, force_n: 0.0, gauge_pa: 0.0, air_j: bags::empty_j() };
        Self {
            bags: vec![empty; scene.bags.len()],
            hoses: scene.air().outlets.iter().map(|o| o.bags().collect()).collect(),
            locked: vec![false; scene.bags.len()],
            open: Vec::new(),
            down: false,
            rises_m: vec![0.0; plan.points.len()],
            captured_m: f64::NEG_INFINITY,
            vented_j: 0.0,
            plan,
        }
    }

    fn rise_m(&self) -> f64 {
        mean(&self.rises_m)
    }

    /// Adds to the plan what each order comes to.
    pub fn work(&mut self) {
        let scene = Arc::clone(&self.plan.scene);
        for (index, order) in scene.orders().iter().enumerate() {
            match order {
                Order::Raise { bags, opening, until, at_most_s } => {
                    self.open_valves(index, false, bags, *opening, *until, *at_most_s);
                }
                Order::Lower { bags, opening, until, at_most_s } => {
                    self.open_valves(index, true, bags, *opening, *until, *at_most_s);
                }
                Order::Wait { until, at_most_s } if !self.open.is_empty() => {
                    self.go(index, *until, *at_most_s);
                }
                Order::Stop { bags } | Order::LockOut { bags } => {
                    self.open.retain(|(b, _)| !bags.contains(b));
                    if matches!(order, Order::LockOut { .. }) {
                        bags.iter().for_each(|&b| self.locked[b] = true);
                    }
                }
                Order::Unlock { bags } => {
                    bags.iter().for_each(|&b| self.locked[b] = false);
                    if bags.iter().any(|&b| self.loses_air(b)) {
                        return self.leave_out(index, NotWorkedOut::LetsItselfDown);
                    }
                }
                Order::MoveHose { outlet, from, to } => {
                    let legs = &mut self.hoses[*outlet];
                    let from = from.unwrap_or(legs[0]);
                    legs.iter_mut().filter(|leg| **leg == from).for_each(|leg| *leg = *to);
                    if self.loses_air(from) {
                        return self.leave_out(index, NotWorkedOut::LetsItselfDown);
                    }
                }
                Order::Capture { .. } => self.captured_m = self.rise_m(),
                Order::SetChocks { .. } | Order::Wait { .. } => {}
            }
        }
    }

    /// The bag holds air, and neither a hose nor its shut-off keeps it in.
    fn loses_air(&self, bag: usize) -> bool {
        !self.locked[bag] && self.hose_of(bag).is_none() && self.bags[bag].gauge_pa > 0.0
    }

    /// The other bag of a Y, where both are open to it.
    fn y_with(&self, bag: usize) -> Option<usize> {
        let legs = &self.hoses[self.hose_of(bag)?];
        let other = legs.iter().copied().find(|&leg| leg != bag)?;
        (!self.locked[bag] && !self.locked[other]).then_some(other)
    }

    /// Two bags on a Y hold air, and its valve stays shut: they feed each other as others move.
    fn y_left_shut(&self) -> bool {
        let moves = |bag: usize| self.open.iter().any(|(b, _)| *b == bag);
        let holds = |bag: usize| self.bags[bag].gauge_pa > 0.0;
        (0..self.bags.len()).any(|b| holds(b) && !moves(b) && self.y_with(b).is_some())
    }

    /// The outlet whose hose goes to a bag.
    fn hose_of(&self, bag: usize) -> Option<usize> {
        self.hoses.iter().position(|legs| legs.contains(&bag))
    }

    fn leave_out(&mut self, index: usize, why: NotWorkedOut) {
        self.plan.left_out.push(LeftOut { order: index, why });
    }

    fn open_valves(
        &mut self,
        index: usize,
        down: bool,
        bags: &[usize],
        opening: f64,
        until: Until,
        at_most_s: f64,
    ) {
        if self.down != down && !self.open.is_empty() {
            self.leave_out(index, NotWorkedOut::BothWays);
            return;
        }
        self.down = down;
        let can: Vec<(usize, f64)> = bags
            .iter()
            .filter(|&&b| !self.locked[b] && self.hose_of(b).is_some())
            .map(|&b| (b, opening))
            .collect();
        if can.len() < bags.len() {
            self.leave_out(index, NotWorkedOut::LockedOrNoHose);
        }
        self.open.extend(can);
        // Air that goes to one bag of a Y goes to the other.
        let fed = self.open.clone();
        for (bag, opening) in fed {
            let other = self.y_with(bag);
            let other = other.filter(|other| !self.open.iter().any(|(b, _)| b == other));
            self.open.extend(other.map(|other| (other, opening)));
        }
        if self.y_left_shut() {
            self.open.clear();
            return self.leave_out(index, NotWorkedOut::FeedsEachOther);
        }
        if until != Until::Now {
            self.go(index, until, at_most_s);
            self.open.clear();
        }
    }

    /// Lets air in or out until the order is done. The points whose bags are open move
    /// together; the bags of the others give as the load on them changes.
    fn go(&mut self, index: usize, until: Until, at_most_s: f64) {
        let reach = self.plan.states.last().map_or(0.0, |s| s.rise_m);
        let begun = self.time_zero();
        let mut at = begun;
        let (mut roll_most_rad, mut rises_most_m) = (at.roll_rad, at.rises_m.clone());
        let mut stuck = None;
        while !self.there(until, &at) {
            if !self.down && self.rise_m() >= reach {
                stuck = Some(Stuck::HeightLimit);
                break;
            }
            if self.down && self.rise_m() <= self.captured_m {
                stuck = Some(Stuck::Captured);
                break;
            }
            match self.moved(until, &at) {
                Ok(next) if next.times_s.iter().all(|&t| t <= at_most_s) => {
                    self.bags.clone_from(&next.bags);
                    self.rises_m.clone_from(&next.rises_m);
                    self.vented_j = next.vented_j;
                    if next.roll_rad.abs() > roll_most_rad.abs() {
                        roll_most_rad = next.roll_rad;
                        rises_most_m.clone_from(&next.rises_m);
                    }
                    at = next;
                }
                Ok(_) => {
                    stuck = Some(Stuck::TimeOver { at_most_s });
                    break;
                }
                Err(why) => {
                    stuck = Some(why);
                    break;
                }
            }
        }
        self.plan.steps.push(OrderOutcome {
            order: index,
            moved: self.open.iter().map(|(b, _)| *b).collect(),
            on_y: self.on_y().into_iter().map(|pair| pair.map(|(_, b)| b)).collect(),
            down: self.down,
            rise_m: self.rise_m(),
            rises_m: at.rises_m,
            roll_rad: at.roll_rad,
            roll_most_rad,
            rises_most_m,
            loads_n: at.loads_n,
            bags: self.bags.clone(),
            time_s: at.times_s.iter().copied().fold(0.0, f64::max),
            vented_j: self.vented_j,
            stuck,
        });
    }

    /// How it stands as an order begins.
    fn time_zero(&self) -> StepState {
        let state = self.plan.at(self.rise_m());
        let roll_rad = self.plan.roll_rad(&self.rises_m);
        let forces = self.plan.forces_n(&state, roll_rad);
        let loads_n = self.plan.points.iter().zip(forces).map(|(p, n)| n + p.dead_n).collect();
        StepState {
            rises_m: self.rises_m.clone(),
            bags: self.bags.clone(),
            loads_n,
            roll_rad,
            times_s: vec![0.0; self.rises_m.len()],
            vented_j: self.vented_j,
        }
    }

    fn there(&self, until: Until, at: &StepState) -> bool {
        let beyond = |value: f64, goal: f64| {
            if self.down { value <= goal + 1e-9 } else { value >= goal - 1e-9 }
        };
        match until {
            // Captures are not weighed on paper: the load stays where it is.
            Until::Now | Until::OnTimber(_) => true,
            Until::For(s) => at.times_s.iter().copied().fold(0.0, f64::max) >= s,
            Until::Rise(m) => beyond(self.rise_m(), m),
            Until::Height(m) => self.open.iter().all(|(b, _)| beyond(at.bags[*b].gap_m, m)),
            Until::Gap { limb, m } => {
                let state = self.plan.at(self.rise_m());
                let gap_m = self.plan.rolled_gap_m(&state, limb, at.roll_rad);
                gap_m.is_some_and(|gap| beyond(gap, m))
            }
        }
    }

    /// The bag of a point that air goes into or out of, with the share of its valve.
    fn opened(&self, point: &LiftPoint) -> Option<(usize, f64)> {
        self.open.iter().copied().find(|(b, _)| point.bags.contains(b))
    }

    /// One step further.
    fn moved(&self, until: Until, at: &StepState) -> Result<StepState, Stuck> {
        let points = &self.plan.points;
        let moves: Vec<bool> = points.iter().map(|p| self.opened(p).is_some()).collect();
        if !moves.contains(&true) {
            return Err(Stuck::NoBagOpen);
        }
        let mut rises_m = at.rises_m.clone();
        for (rise, moves) in rises_m.iter_mut().zip(&moves) {
            match (moves, self.down) {
                (true, true) => *rise -= GRAIN_M,
                (true, false) => *rise += GRAIN_M,
                _ => {}
            }
        }
        // Where all move together, the last step ends where the order says.
        let [from, to] = [mean(&at.rises_m), mean(&rises_m)];
        let ends_m = match until {
            Until::Rise(m) => Some(m),
            Until::Gap { limb, m } => self.rise_at_gap_m(limb, m, [from, to], at.roll_rad),
            _ => None,
        };
        if let (Some(ends_m), false) = (ends_m, moves.contains(&false)) {
            let over = to - ends_m;
            if over > 0.0 && !self.down || over < 0.0 && self.down {
                rises_m.iter_mut().for_each(|rise| *rise -= over);
            }
        }
        // Shut bags give with their load, which depends on how far each side stands. Where a
        // side stands higher it carries more and its bags are lower: one height fits.
        for (i, point) in points.iter().enumerate().filter(|(i, _)| !moves[*i]) {
            let was: f64 = point.bags.iter().map(|&b| at.bags[b].gap_m).sum();
            let (mut low, mut high) = (at.rises_m[i] - SHUT_GIVES_M, at.rises_m[i] + SHUT_GIVES_M);
            for _ in 0..20 {
                rises_m[i] = f64::midpoint(low, high);
                let given = at.rises_m[i] + self.shut_m(i, &rises_m, at) - was;
                if rises_m[i] < given { low = rises_m[i] } else { high = rises_m[i] }
            }
            // Bags that hold no air stay as they are.
            if was <= 0.0 {
                rises_m[i] = at.rises_m[i];
            }
        }
        let next = self.stand_evenly(rises_m, at);
        self.take_air(at, next)
    }

    /// The pairs of points whose open bags are on one Y, with those bags.
    fn on_y(&self) -> Vec<[(usize, usize); 2]> {
        let points = self.plan.points.iter().enumerate();
        let opened: Vec<(usize, usize)> =
            points.filter_map(|(i, point)| Some((i, self.opened(point)?.0))).collect();
        let pair = |&(i, bag): &(usize, usize)| {
            let other = self.y_with(bag)?;
            let (j, _) = *opened.iter().find(|(j, b)| *b == other && *j > i)?;
            Some([(i, bag), (j, other)])
        };
        opened.iter().filter_map(pair).collect()
    }

    /// [`Self::stand_at`], the two points of a Y so far apart about their mean that their bags
    /// come to one pressure: the point that bears more lower, until its bag is flat.
    fn stand_evenly(&self, mut rises_m: Vec<f64>, before: &StepState) -> StepState {
        let pairs = self.on_y();
        for &[(i, first), (j, second)] in &pairs {
            let [from, to] = [rises_m[i], rises_m[j]];
            // As far as either bag has gone down flat.
            let room_m = |point: usize, bag: usize, rise: f64| {
                rise - before.rises_m[point] + before.bags[bag].gap_m
            };
            let (mut low, mut high) = (-room_m(i, first, from), room_m(j, second, to));
            for _ in 0..30 {
                let apart_m = f64::midpoint(low, high);
                (rises_m[i], rises_m[j]) = (from + apart_m, to - apart_m);
                let at = self.stand_at(rises_m.clone(), before);
                // The higher a bag stands, the less of it bears and the more it needs.
                let over_pa = at.bags[first].gauge_pa - at.bags[second].gauge_pa;
                if over_pa > 0.0 { high = apart_m } else { low = apart_m }
            }
        }
        let mut next = self.stand_at(rises_m, before);
        for [(_, first), (_, second)] in pairs {
            // One that lies flat has no more than the other's pressure, which does not lift it.
            let pa = next.bags[first].gauge_pa.min(next.bags[second].gauge_pa);
            for bag in [first, second] {
                let now = &mut next.bags[bag];
                now.gauge_pa = pa;
                now.air_j = bags::air_j(self.plan.scene.membrane(bag), pa, now.gap_m);
            }
        }
        next
    }

    /// The rise at which a limb has a gap, m, where that lies within one grain: the straight
    /// line between its ends, with the roll as it is before. Never so near that it stands still:
    /// the roll goes on as it rises.
    fn rise_at_gap_m(
        &self,
        limb: usize,
        goal_m: f64,
        [from, to]: [f64; 2],
        roll_rad: f64,
    ) -> Option<f64> {
        let gap_m = |rise| self.plan.rolled_gap_m(&self.plan.at(rise), limb, roll_rad);
        let (low, high) = (gap_m(from)?, gap_m(to)?);
        let share = (goal_m - low) / (high - low);
        let lies_between = (0.0..=1.0).contains(&share);
        lies_between.then_some(from + share.max(LEAST_STEP) * (to - from))
    }

    /// Height of the shut bags of a point under the load that the rises put on it, m.
    fn shut_m(&self, index: usize, rises_m: &[f64], before: &StepState) -> f64 {
        let point = &self.plan.points[index];
        let state = self.plan.at(mean(rises_m));
        let roll_rad = self.plan.roll_rad(rises_m);
        let force_n = self.plan.forces_n(&state, roll_rad)[index];
        let on = Pushed { rise_m: rises_m[index], force_n };
        let gaps_m = point.bags.iter().map(|&b| before.bags[b].gap_m).collect();
        let load_n = self.plan.bears_n(point, &state, on, gaps_m) + point.dead_n;
        let gap_m = |&b: &usize| {
            let now = before.bags[b];
            if now.gauge_pa > 0.0 {
                air::shut_gap_m(self.plan.scene.membrane(b), now.air_j, load_n)
            } else {
                now.gap_m
            }
        };
        point.bags.iter().map(gap_m).sum()
    }

    /// Loads and heights with the points at their rises; the air in open bags is not yet
    /// counted.
    fn stand_at(&self, rises_m: Vec<f64>, before: &StepState) -> StepState {
        let plan = &self.plan;
        let state = plan.at(mean(&rises_m));
        let roll_rad = plan.roll_rad(&rises_m);
        let forces = plan.forces_n(&state, roll_rad);
        let mut bags = before.bags.clone();
        for ((point, force_n), rise_m) in plan.points.iter().zip(&forces).zip(&rises_m) {
            let on = Pushed { rise_m: *rise_m, force_n: *force_n };
            let gaps_m = point.bags.iter().map(|&b| bags[b].gap_m).collect();
            let load_n = plan.bears_n(point, &state, on, gaps_m) + point.dead_n;
            let opened = self.opened(point).map(|(b, _)| b);
            for &b in point.bags.iter().filter(|&&b| Some(b) != opened) {
                let bag = self.plan.scene.membrane(b);
                let now = &mut bags[b];
                if now.gauge_pa > 0.0 {
                    now.gap_m = air::shut_gap_m(bag, now.air_j, load_n);
                    now.gauge_pa = bags::pressure_needed_pa(bag, load_n, now.gap_m);
                }
                now.force_n = load_n;
            }
            if let Some(gives) = opened.and_then(|b| point.bags.iter().position(|&o| o == b)) {
                let gaps_m = point.bags.iter().map(|&b| bags[b].gap_m).collect();
                let column = plan.column_with(point, &state, on, gaps_m, gives);
                let b = point.bags[gives];
                let gap_m = column.gaps_m[gives];
                let bag = self.plan.scene.membrane(b);
                let gauge_pa = bags::pressure_needed_pa(bag, load_n, gap_m);
                let air_j = bags::air_j(bag, gauge_pa, gap_m);
                bags[b] = BagNow { gap_m, force_n: load_n, gauge_pa, air_j };
            }
        }
        let loads_n = plan.points.iter().zip(forces).map(|(p, n)| n + p.dead_n).collect();
        let (times_s, vented_j) = (before.times_s.clone(), before.vented_j);
        StepState { rises_m, bags, loads_n, roll_rad, times_s, vented_j }
    }

    /// The air that goes into or out of the open bags, and the time that it takes.
    fn take_air(&self, before: &StepState, mut next: StepState) -> Result<StepState, Stuck> {
        let supply = self.plan.scene.air().regulator_pa.min(self.plan.scene.air().cylinder_pa);
        for (i, point) in self.plan.points.iter().enumerate() {
            let Some((b, opening)) = self.opened(point) else { continue };
            let Some(outlet) = self.hose_of(b) else { continue };
            let outlet = &self.plan.scene.air().outlets[outlet];
            let open = outlet.conductance * outlet.opening * opening;
            let spec = &self.plan.scene.bags[b];
            let (was, now) = (before.bags[b], next.bags[b]);
            // One valve for both bags of a Y; what its legs hold back is left out.
            let other = self.y_with(b);
            let air_j =
                |bags: &[BagNow]| bags[b].air_j + other.map_or(0.0, |other| bags[other].air_j);
            let (was_j, now_j) = (air_j(&before.bags), air_j(&next.bags));
            let (from, to) = ((was_j, was.gauge_pa), (now_j, now.gauge_pa));
            if self.down {
                if was.gap_m <= 0.0 && other.is_none_or(|other| before.bags[other].gap_m <= 0.0) {
                    return Err(Stuck::BagEmpty(b));
                }
                next.times_s[i] += air::empty_s(open, from, to).max(0.0);
                // Counted at the first of two.
                if other.is_none_or(|other| b < other) {
                    next.vented_j += (was_j - now_j).max(0.0);
                }
                continue;
            }
            let force_n = now.force_n - point.dead_n;
            if self.plan.sunk_m(point, force_n) >= FIRM_M {
                return Err(Stuck::SoilGivesWay { stack: point.stack });
            }
            if now.gauge_pa > spec.working_pa.min(supply) {
                return Err(Stuck::PressureShort(b));
            }
            match air::fill_s(open, supply, from, to) {
                Some(s) => next.times_s[i] += s.max(0.0),
                None => return Err(Stuck::NothingFlows { bag: b }),
            }
        }
        Ok(next)
    }
}

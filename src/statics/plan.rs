//! A scene's lift worked out from its own orders: the vehicle at every rise, and each
//! bag's height, pressure and air after every order. Numbers only; [`super::sheet`] says
//! what they mean.

use super::vehicle::{Balance, Change, On, State, at_rise, face_slope_rad, panel_at};
use super::{air, bags, column, gap, lever, panel};
use crate::membrane::Membrane;
use crate::scene::{Bag, Lies, Lying, Order, Rest, Scene, Until, Wedge};
use crate::tables::{BAG_FACE_KG_M2, Material, TIMBER_KG_M3};
use crate::units::GRAVITY_M_S2;

/// Room left over a wedge or a shim that is pushed in by hand, m (assumed).
const SNUG_M: f64 = 0.001;
/// The start of a lift for a force: the load is off what it lay on, m.
pub const OFF_THE_GROUND_M: f64 = 0.010;
/// Grain in which orders are worked through, m of rise.
const GRAIN_M: f64 = 0.00125;
/// How far in from the body's side a beam's shims bear, m (assumed), and their length
/// along the beam, m.
pub const SHIM_IN_M: f64 = 0.07;
pub const SHIM_LENGTH_M: f64 = 0.10;

/// A place where the vehicle is lifted: one stack with its bags.
#[derive(Clone, Debug)]
pub struct Point {
    pub stack: usize,
    /// From the lowest up.
    pub bags: Vec<usize>,
    /// Share of the lift, 0 to 1.
    pub share: f64,
    /// What the bags must swell before they bear, m.
    pub slack_m: f64,
    /// The zone of thin metal they press on.
    pub panel: Option<usize>,
    /// How far that can slip over them, m, towards the nose and towards the tail: the edge
    /// of the dent stops it.
    pub room_m: [f64; 2],
    /// A wedge squares the face above them.
    pub wedged: bool,
    /// Height of the wedge, or of the beam with its shims, m: it turns with the vehicle.
    pub stiff_m: f64,
    /// Weight on the stack beside the vehicle, N: bags, wedge, its share of the beam.
    pub dead_n: f64,
}

/// A bag after an order.
#[derive(Clone, Copy, Debug)]
pub struct BagNow {
    pub gap_m: f64,
    pub force_n: f64,
    pub gauge_pa: f64,
    pub air_j: f64,
}

/// What an order that moves air came to.
#[derive(Clone, Debug)]
pub struct Step {
    /// Its index among the scene's orders.
    pub order: usize,
    pub moved: Vec<usize>,
    pub rise_m: f64,
    pub bags: Vec<BagNow>,
    /// Time it takes, s; the slowest hose decides.
    pub time_s: f64,
    /// Why it does not get where it was told.
    pub stuck: Option<String>,
}

/// The lift itself.
#[derive(Clone, Debug)]
pub struct LiftPlan {
    /// Where the force acts as it lies, m.
    pub place: [f64; 2],
    /// The same place in the vehicle's frame.
    pub lift: [f64; 2],
    pub points: Vec<Point>,
    pub states: Vec<State>,
    /// The same without void fill.
    pub unpacked: Vec<State>,
    /// The same with weak inputs at either end: mass, and centre of mass.
    pub changed: [Vec<State>; 4],
    /// Rise at the end, m, and where that figure comes from.
    pub rise_m: f64,
    pub rise_from: &'static str,
    pub steps: Vec<Step>,
    /// Orders that could not be worked out, in words.
    pub left_out: Vec<String>,
    /// Slope of the face that is lifted by, as it lies, rad.
    pub face_rad: f64,
    pub by_beam: bool,
    /// Friction between that face and what lifts it.
    pub face_mu: f64,
}

/// How the bags of a point stand under what they lift, which follows an arc.
#[derive(Clone, Debug)]
pub struct Stand {
    /// Way of what lies on the bags along the ground, m; towards the nose is positive.
    pub way_m: f64,
    pub lean: column::Lean,
    /// Sideways force on the stack, N.
    pub sideways_n: f64,
    /// Height of all bags of the point together, m, and of each.
    pub swell_m: f64,
    pub gaps_m: Vec<f64>,
}

/// Everything about a scene on paper.
#[derive(Clone, Debug)]
pub struct Plan {
    pub weight_n: f64,
    /// Centre of mass as it lies, m.
    pub com: [f64; 3],
    pub balance: Balance,
    /// On its limbs alone, before void fill.
    pub found: State,
    /// With void fill in place.
    pub start: State,
    /// For each void fill, whether there is room for it.
    pub packed: Vec<bool>,
    /// None where the scene names nothing that lifts.
    pub lift: Option<LiftPlan>,
}

fn membrane(bag: &Bag) -> Membrane {
    Membrane { width_m: bag.size[0], length_m: bag.size[1] }
}

impl Plan {
    /// None where the vehicle lies on its side or on its wheels: the sheet balances it in the
    /// side view, on its roof.
    pub fn of(scene: &Scene) -> Option<Self> {
        if scene.lies != Lies::Roof {
            return None;
        }
        let v = &scene.vehicle;
        let lie = v.lie()?;
        let lying = Lying::posed(v, lie);
        let columns = columns(scene);
        let lift_ground = lift_place(scene, &lying, &columns);
        let tail = lie.ground(v.profile.deck_rear);
        let lift = lie.profile(lift_ground.unwrap_or(tail));
        let bare = Balance::of(scene, lift, Change::NONE)?;
        let found = bare.clone().settle();
        let (balance, packed) = packed_up(scene, bare.clone());
        let start = balance.clone().settle();
        let com = start.lie.ground([v.com_m[0], v.com_m[1]]);
        let mut plan = Self {
            weight_n: v.mass_kg * GRAVITY_M_S2,
            com: [com[0], com[1], -v.com_m[2]],
            balance,
            found,
            start,
            packed,
            lift: None,
        };
        if lift_ground.is_some() {
            plan.lift = Some(plan.work_out(scene, &bare, columns, lift)?);
        }
        Some(plan)
    }

    fn work_out(
        &self,
        scene: &Scene,
        bare: &Balance,
        columns: Vec<Vec<usize>>,
        lift: [f64; 2],
    ) -> Option<LiftPlan> {
        let lie = self.start.lie;
        let lying = Lying::posed(&scene.vehicle, lie);
        let (_, along) = super::slide::weight_on_slope_n(
            self.weight_n,
            scene.ground.slope_rad,
            scene.ground.cross_slope_rad,
        );
        let at_z = self.com[2] + along[1] * self.com[1] / self.balance.pressed_n;
        let stacks: Vec<usize> = columns.iter().map(|c| stack_under(scene, c[0])).collect();
        let places: Vec<f64> = stacks.iter().map(|&s| scene.stacks[s].at[1]).collect();
        let shares = lever::row_shares(&places, at_z);
        let points: Vec<Point> = columns
            .into_iter()
            .zip(stacks)
            .zip(shares)
            .map(|((bags, stack), share)| point(scene, &lying, bags, stack, share))
            .collect();
        let reach = points
            .iter()
            .map(|p| p.bags.iter().map(|&b| membrane(&scene.bags[b]).height_limit_m()).sum())
            .fold(0.0, f64::max);
        let with = |change| -> Option<Vec<State>> {
            Some(packed_up(scene, Balance::of(scene, lift, change)?).0.raise(reach))
        };
        let states = self.balance.raise(reach);
        let wheelbase = scene.vehicle.wheel_x_m[0] - scene.vehicle.wheel_x_m[1];
        let mass = |share| Change { mass_share: share, com_m: 0.0 };
        let com = |share: f64| Change { mass_share: 0.0, com_m: share * wheelbase };
        let changed = [
            with(mass(-scene.spread.mass_share))?,
            with(mass(scene.spread.mass_share))?,
            with(com(-COM_SHARE))?,
            with(com(COM_SHARE))?,
        ];
        let by_beam = scene.beam.is_some();
        let mut plan = LiftPlan {
            place: self.balance.lift_place(),
            lift,
            face_rad: lifted_face_rad(scene, lie, &points, by_beam),
            points,
            unpacked: bare.raise(reach),
            states,
            changed,
            rise_m: 0.0,
            rise_from: "",
            steps: Vec::new(),
            left_out: Vec::new(),
            by_beam,
            face_mu: face_friction(scene, by_beam).map_or(0.0, |[mu, _]| mu),
        };
        Book::new(scene, &mut plan).work();
        if let Some(last) = plan.steps.last() {
            plan.rise_m = plan.steps.iter().map(|s| s.rise_m).fold(last.rise_m, f64::max);
            plan.rise_from = "what the orders raise";
        } else {
            plan.rise_m = plan.rise_that_frees(scene).min(reach);
            plan.rise_from = "what frees every limb; the scene has no order `raise`";
        }
        Some(plan)
    }

    /// Load on the ground and on void fill, N.
    pub fn on_ground_n(&self, state: &State) -> f64 {
        self.balance.load_on(state, |on| matches!(on, On::Ground | On::Panel(_))).0
    }

    pub fn on_fill_n(&self, state: &State) -> f64 {
        self.balance.load_on(state, |on| matches!(on, On::VoidFill(_))).0
    }

    pub fn on_limb_n(&self, state: &State, limb: usize) -> f64 {
        self.balance.load_on(state, |on| on == On::Limb(limb)).0
    }

    /// Where it turns: what it bears on besides limbs, weighted by load, m along X.
    pub fn pivot_x(&self, state: &State) -> Option<f64> {
        self.balance.load_on(state, |on| !matches!(on, On::Limb(_))).1
    }
}

/// Friction between the lifted face and what lifts it, static and what it may fall to:
/// timber where a beam or a wedge bears, else rubber.
pub fn face_friction(scene: &Scene, by_beam: bool) -> Option<[f64; 2]> {
    let timber = by_beam || !scene.wedges.is_empty();
    let under = if timber { Material::Timber } else { Material::Rubber };
    let pair = scene.friction(Material::Sheet, under)?;
    Some(pair.friction(scene.ground.wet))
}

/// Its centre of mass to this share of the wheelbase (assumed).
pub const COM_SHARE: f64 = 0.05;

fn packed_up(scene: &Scene, mut balance: Balance) -> (Balance, Vec<bool>) {
    let packed = scene
        .void_fill
        .iter()
        .enumerate()
        .map(|(i, v)| balance.pack(&scene.vehicle, i, v))
        .collect();
    balance.settle();
    (balance, packed)
}

/// Bags in columns, each from the lowest up.
fn columns(scene: &Scene) -> Vec<Vec<usize>> {
    let on = |rest| scene.bags.iter().position(|b| b.on == rest);
    (0..scene.stacks.len())
        .filter_map(|stack| {
            let mut column = vec![on(Rest::Stack(stack))?];
            while let Some(next) = column.last().and_then(|&b| on(Rest::Bag(b))) {
                column.push(next);
            }
            Some(column)
        })
        .collect()
}

fn stack_under(scene: &Scene, bag: usize) -> usize {
    match scene.bags[bag].on {
        Rest::Stack(s) => s,
        Rest::Bag(b) => stack_under(scene, b),
    }
}

/// Height of the top of a column of empty bags, m.
fn column_top_m(scene: &Scene, column: &[usize]) -> f64 {
    scene.stacks[stack_under(scene, column[0])].height_m() + column.len() as f64 * Bag::FLAT_M
}

/// Where the lift acts as the vehicle lies: under the belt line for a beam, else in the
/// middle of what the bags press on.
fn lift_place(scene: &Scene, lying: &Lying<'_>, columns: &[Vec<usize>]) -> Option<[f64; 2]> {
    if columns.is_empty() {
        return None;
    }
    if let Some(beam) = &scene.beam {
        let [_, belt] = lying.opening_heights([beam.at[0]; 2])?;
        return Some([beam.at[0], belt]);
    }
    let places: Vec<[f64; 2]> = columns
        .iter()
        .filter_map(|c| {
            let [x, z] = scene.stacks[stack_under(scene, c[0])].at;
            Some([x, lying.underside([x, z])?])
        })
        .collect();
    let mean = |i: usize| places.iter().map(|p| p[i]).sum::<f64>() / places.len() as f64;
    (!places.is_empty()).then(|| [mean(0), mean(1)])
}

fn point(scene: &Scene, lying: &Lying<'_>, bags: Vec<usize>, stack: usize, share: f64) -> Point {
    let at = scene.stacks[stack].at;
    let top = column_top_m(scene, &bags);
    let above = lying.underside(at).unwrap_or(top);
    let topmost = bags[bags.len() - 1];
    let wedge = scene.wedges.iter().find(|w| w.on == topmost);
    let mut dead_kg: f64 = bags
        .iter()
        .map(|&b| 2.0 * BAG_FACE_KG_M2 * scene.bags[b].size[0] * scene.bags[b].size[1])
        .sum();
    let mut room_m = [f64::INFINITY; 2];
    let (slack_m, panel, stiff_m) = match (&scene.beam, wedge) {
        (Some(beam), _) => {
            let columns = beam.rests_on.len().max(1) as f64;
            dead_kg +=
                TIMBER_KG_M3 * beam.timber.width_m * beam.timber.height_m * beam.length_m / columns;
            let half = beam.timber.width_m / 2.0;
            let belt = lying.opening_heights([beam.at[0] - half, beam.at[0] + half]);
            let room = belt.map_or(0.0, |[_, belt]| belt - top - beam.timber.height_m).max(0.0);
            let depth = beam.timber.height_m;
            if beam.shims { (SNUG_M, None, depth + room) } else { (room, None, depth) }
        }
        (None, wedge) => {
            if let Some(w) = wedge {
                let thick = (above - top).max(Wedge::LEAST_M);
                dead_kg += TIMBER_KG_M3 * w.size[0] * w.size[1] * thick;
            }
            let x = lying.lie().profile([at[0], above])[0];
            let panel = panel_at(&scene.vehicle, x)
                .and_then(|p| scene.vehicle.panels.iter().position(|q| q.name == p.name));
            if let Some(zone) = panel.map(|i| &scene.vehicle.panels[i]) {
                let half = wedge.map_or(scene.bags[topmost].size[0], |w| w.size[0]) / 2.0;
                let edge = |dx: f64| {
                    let [x, z] = [at[0] + dx, at[1]];
                    lying.lie().profile([x, lying.underside([x, z]).unwrap_or(above)])[0]
                };
                room_m = [edge(-half) - zone.x[1], zone.x[0] - edge(half)].map(|m| m.max(0.0));
            }
            let room = (above - top).max(0.0);
            if wedge.is_some() { (SNUG_M, panel, room) } else { (room, panel, 0.0) }
        }
    };
    let wedged = wedge.is_some();
    let dead_n = dead_kg * GRAVITY_M_S2;
    Point { stack, bags, share, slack_m, panel, room_m, wedged, stiff_m, dead_n }
}

/// Slope of the face that is lifted by: the belt line over a beam, else the outline over
/// the first column.
fn lifted_face_rad(scene: &Scene, lie: crate::scene::Lie, points: &[Point], by_beam: bool) -> f64 {
    let p = &scene.vehicle.profile;
    if by_beam {
        return face_slope_rad(lie, p.cowl, p.deck_front);
    }
    let Some(first) = points.first() else { return 0.0 };
    let at = scene.stacks[first.stack].at;
    let lying = Lying::posed(&scene.vehicle, lie);
    let middle = lie.profile([at[0], lying.underside(at).unwrap_or(0.0)])[0];
    let ends = [middle + 0.02, middle - 0.02].map(|x| [x, p.upper_y(x)]);
    face_slope_rad(lie, ends[0], ends[1])
}

impl LiftPlan {
    pub fn at(&self, rise_m: f64) -> State {
        at_rise(&self.states, rise_m)
    }

    pub fn end(&self) -> State {
        self.at(self.rise_m)
    }

    /// Force of the vehicle on a point, N.
    pub fn force_n(&self, point: &Point, state: &State) -> f64 {
        point.share * state.lift_n
    }

    /// Height lost to sheet metal, m.
    pub fn lost_m(&self, scene: &Scene, point: &Point, force_n: f64) -> f64 {
        point.panel.map_or(0.0, |i| {
            let p = &scene.vehicle.panels[i];
            panel::height_lost_m(
                force_n,
                p.stiffness_n_m,
                panel::yields_n(p.plateau_n, self.face_rad),
                p.depth_m,
            )
        })
    }

    /// Turn of the vehicle about its pivot since the start, rad.
    pub fn turn_rad(&self, state: &State) -> f64 {
        state.lie.pitch_rad - self.states[0].lie.pitch_rad
    }

    /// How the bags of a point stand at a state when all but one of them keep their gaps:
    /// that one gives what is still missing for the rise.
    ///
    /// They have to give the rise, the slack, what sheet metal costs, and what is lost as
    /// they lean and as the face, which is higher further back, slips over them.
    fn stand_with(
        &self,
        scene: &Scene,
        point: &Point,
        state: &State,
        mut gaps_m: Vec<f64>,
        gives: usize,
    ) -> Stand {
        let turn = self.turn_rad(state);
        let slope = self.face_rad + turn;
        let hold = self.face_mu.atan();
        let tilt_rad = self.tilt_rad(point, state);
        let side_m = point.bags.last().map_or(0.0, |&b| scene.bags[b].size[0]);
        let way_m = state.lie.ground(self.lift)[0] - self.place[0] - turn.sin() * point.stiff_m
            + column::touched_m(side_m, tilt_rad);
        let above = column::Above {
            tilt_rad,
            way_m,
            cone: [-hold, hold].map(|hold| (slope + hold).clamp(-1.5, 1.5).tan()),
            room_m: point.room_m,
        };
        let force_n = self.force_n(point, state).max(0.0);
        let upright = point.slack_m
            + state.rise_m
            + self.lost_m(scene, point, force_n)
            + point.stiff_m * (1.0 - turn.cos());
        let others: f64 = gaps_m.iter().sum::<f64>() - gaps_m[gives];
        let lean = |gaps_m: &[f64]| {
            let sides = point.bags.iter().map(|&b| scene.bags[b].size[0]);
            let bags: Vec<column::Bag> =
                sides.zip(gaps_m).map(|(side_m, &gap_m)| column::Bag { side_m, gap_m }).collect();
            column::lean(&bags, above)
        };
        gaps_m[gives] = (upright - others).max(0.0);
        let mut stand = lean(&gaps_m);
        // What is lost hangs on the heights by less than a tenth: a few rounds settle it.
        for _ in 0..4 {
            let lost = stand.dip_m + stand.slip_m * slope.tan();
            gaps_m[gives] = (upright + lost - others).max(0.0);
            stand = lean(&gaps_m);
        }
        Stand {
            way_m,
            sideways_n: -stand.push * force_n,
            lean: stand,
            swell_m: gaps_m.iter().sum(),
            gaps_m,
        }
    }

    /// How the bags of a point stand at a rise, by the last order that ends at or below it.
    /// Where no order fills them the lowest gives it all.
    pub fn stand(&self, scene: &Scene, point: &Point, rise_m: f64) -> Stand {
        let step = self.steps.iter().rev().find(|s| s.rise_m <= rise_m + 1e-9);
        let step = step.or_else(|| self.steps.first());
        let gaps_m = step.map_or_else(
            || vec![0.0; point.bags.len()],
            |s| point.bags.iter().map(|&b| s.bags[b].gap_m).collect(),
        );
        let moved = |s: &Step| point.bags.iter().position(|b| s.moved.contains(b));
        let gives = step.and_then(moved).unwrap_or(0);
        self.stand_with(scene, point, &self.at(rise_m), gaps_m, gives)
    }

    /// Tilt that the bags of a point have to take at a state, rad.
    pub fn tilt_rad(&self, point: &Point, state: &State) -> f64 {
        let turned = self.turn_rad(state);
        if self.by_beam || point.wedged { turned } else { self.face_rad + turned }
    }

    /// The rise at which every limb has its gap, m; as far as was worked out where that is
    /// not enough.
    pub fn rise_that_frees(&self, scene: &Scene) -> f64 {
        let free = |state: &State| {
            scene.limbs.iter().all(|limb| {
                gap::gap_m(&scene.vehicle, state.lie, limb).is_none_or(|g| g >= limb.gap_needed_m)
            })
        };
        let state = self.states.iter().find(|s| free(s)).or(self.states.last());
        state.map_or(0.0, |s| s.rise_m)
    }

    /// Free air let into the bags, m³.
    pub fn air_used_m3(&self, scene: &Scene) -> f64 {
        let empty: f64 = scene.bags.iter().map(|b| bags::air_j(membrane(b), 0.0, 0.0)).sum();
        self.steps.last().map_or(0.0, |last| {
            air::free_air_m3(last.bags.iter().map(|b| b.air_j).sum::<f64>() - empty)
        })
    }

    /// Largest angle that the openings of the hoses leave between left and right, rad: the
    /// rise goes as the air let in.
    pub fn uneven_rad(&self, scene: &Scene) -> Option<f64> {
        let rates: Vec<(f64, f64)> = self
            .points
            .iter()
            .filter_map(|p| {
                let o = scene.air.outlets.iter().find(|o| p.bags.contains(&o.to))?;
                Some((scene.stacks[p.stack].at[1], o.conductance * o.opening))
            })
            .collect();
        let [first, .., last] = rates.as_slice() else { return None };
        let mean = f64::midpoint(first.1, last.1);
        let apart = (last.0 - first.0).abs();
        (apart > 0.1 && mean > 0.0)
            .then(|| (self.rise_m * (first.1 - last.1).abs() / mean / apart).atan())
    }
}

/// Works through the orders.
struct Book<'a> {
    scene: &'a Scene,
    plan: &'a mut LiftPlan,
    bags: Vec<BagNow>,
    /// Hoses: the bag at the end of each outlet.
    hoses: Vec<usize>,
    locked: Vec<bool>,
    /// Bags being filled, each with the share of its valve that is open.
    open: Vec<(usize, f64)>,
    rise_m: f64,
}

impl<'a> Book<'a> {
    fn new(scene: &'a Scene, plan: &'a mut LiftPlan) -> Self {
        let empty = |b: &Bag| BagNow {
            gap_m: 0.0,
            force_n: 0.0,
            gauge_pa: 0.0,
            air_j: bags::air_j(membrane(b), 0.0, 0.0),
        };
        Self {
            bags: scene.bags.iter().map(empty).collect(),
            hoses: scene.air.outlets.iter().map(|o| o.to).collect(),
            locked: vec![false; scene.bags.len()],
            open: Vec::new(),
            rise_m: 0.0,
            scene,
            plan,
        }
    }

    fn work(&mut self) {
        for (index, order) in self.scene.orders.iter().enumerate() {
            match order {
                Order::Raise { bags, opening, until, at_most_s } => {
                    let can: Vec<(usize, f64)> = bags
                        .iter()
                        .filter(|&&b| !self.locked[b] && self.hoses.contains(&b))
                        .map(|&b| (b, *opening))
                        .collect();
                    if can.len() < bags.len() {
                        self.leave_out(index, "a bag of it is locked out or has no hose");
                    }
                    self.open.extend(can);
                    if *until != Until::Now {
                        self.raise(index, *until, *at_most_s);
                        self.open.clear();
                    }
                }
                Order::Wait { until, at_most_s } if !self.open.is_empty() => {
                    self.raise(index, *until, *at_most_s);
                }
                Order::Stop { bags } | Order::LockOut { bags } => {
                    self.open.retain(|(b, _)| !bags.contains(b));
                    if matches!(order, Order::LockOut { .. }) {
                        bags.iter().for_each(|&b| self.locked[b] = true);
                    }
                }
                Order::Unlock { bags } => bags.iter().for_each(|&b| self.locked[b] = false),
                Order::MoveHose { outlet, to } => self.hoses[*outlet] = *to,
                Order::Lower { .. } => self.leave_out(
                    index,
                    "letting down is not worked out: how fast a bag gives its air back, and which \
                     side comes down first, only the played lift shows; the rows are for the \
                     highest point before it",
                ),
                Order::Capture { .. } | Order::SetChocks { .. } | Order::Wait { .. } => {}
            }
        }
    }

    fn leave_out(&mut self, index: usize, why: &str) {
        self.plan.left_out.push(format!("order {}: {why}", index + 1));
    }

    /// Lets air in until the order is done; every point rises alike.
    fn raise(&mut self, index: usize, until: Until, at_most_s: f64) {
        let points = self.plan.points.clone();
        let filled = |p: &Point, open: &[(usize, f64)]| {
            open.iter().copied().find(|(b, _)| p.bags.contains(b))
        };
        if points.iter().any(|p| filled(p, &self.open).is_none()) {
            self.leave_out(
                index,
                "it fills bags under some of the lift points only: the vehicle rolls, and the sheet \
                 balances it in the side view alone; worked out as if none rose",
            );
            return;
        }
        let reach = self.plan.states.last().map_or(0.0, |s| s.rise_m);
        let mut times = vec![0.0; points.len()];
        let mut stuck = None;
        loop {
            let slowest = times.iter().copied().fold(0.0, f64::max);
            let there = match until {
                Until::Now => true,
                Until::For(s) => slowest >= s,
                Until::Rise(m) => self.rise_m >= m - 1e-9,
                Until::Height(m) => self.open.iter().all(|(b, _)| self.bags[*b].gap_m >= m),
                Until::Gap { limb, m } => {
                    let lie = self.plan.at(self.rise_m).lie;
                    gap::gap_m(&self.scene.vehicle, lie, &self.scene.limbs[limb])
                        .is_some_and(|g| g >= m)
                }
            };
            if there {
                break;
            }
            if self.rise_m >= reach {
                stuck = Some("the bags are at their height limit".to_owned());
                break;
            }
            let mut rise = self.rise_m + GRAIN_M;
            if let Until::Rise(m) = until {
                rise = rise.min(m.max(self.rise_m));
            }
            match self.lift_to(&points, rise, &times) {
                Ok((bags, next)) if next.iter().all(|&t| t <= at_most_s) => {
                    (self.bags, times, self.rise_m) = (bags, next, rise);
                }
                Ok(_) => {
                    stuck = Some(format!("its time of {at_most_s:.0} s is over"));
                    break;
                }
                Err(why) => {
                    stuck = Some(why);
                    break;
                }
            }
        }
        self.plan.steps.push(Step {
            order: index,
            moved: self.open.iter().map(|(b, _)| *b).collect(),
            rise_m: self.rise_m,
            bags: self.bags.clone(),
            time_s: times.iter().copied().fold(0.0, f64::max),
            stuck,
        });
    }

    /// The bags once the lift points stand `rise_m` high, and the time each point has taken.
    fn lift_to(
        &self,
        points: &[Point],
        rise_m: f64,
        times: &[f64],
    ) -> Result<(Vec<BagNow>, Vec<f64>), String> {
        let state = self.plan.at(rise_m);
        let mut bags = self.bags.clone();
        let mut next = times.to_vec();
        for (point, time) in points.iter().zip(&mut next) {
            let Some(&(filled, opening)) = self.open.iter().find(|(b, _)| point.bags.contains(b))
            else {
                continue;
            };
            let force = self.plan.force_n(point, &state) + point.dead_n;
            for &b in point.bags.iter().filter(|&&b| b != filled) {
                let bag = membrane(&self.scene.bags[b]);
                let now = &mut bags[b];
                if now.gauge_pa > 0.0 {
                    now.gap_m = bags::shut_gap_m(bag, now.air_j, force);
                    now.gauge_pa = bags::pressure_needed_pa(bag, force, now.gap_m);
                }
                now.force_n = force;
            }
            let spec = &self.scene.bags[filled];
            let bag = membrane(spec);
            let gaps_m = point.bags.iter().map(|&b| bags[b].gap_m).collect();
            let gives = point.bags.iter().position(|&b| b == filled).unwrap_or(0);
            let stand = self.plan.stand_with(self.scene, point, &state, gaps_m, gives);
            let gap_m = stand.gaps_m[gives];
            let gauge_pa = bags::pressure_needed_pa(bag, force, gap_m);
            let outlet = self.hoses.iter().position(|&b| b == filled);
            let Some(outlet) = outlet.map(|o| &self.scene.air.outlets[o]) else { continue };
            let supply = self.scene.air.regulator_pa.min(self.scene.air.cylinder_pa);
            if gauge_pa > spec.working_pa.min(supply) {
                return Err(format!(
                    "the {} bag cannot carry the load any higher at its pressure",
                    spec.name
                ));
            }
            let now = BagNow {
                gap_m,
                force_n: force,
                gauge_pa,
                air_j: bags::air_j(bag, gauge_pa, gap_m),
            };
            let before = self.bags[filled];
            let open = outlet.conductance * outlet.opening * opening;
            let took = air::fill_s(
                open,
                supply,
                (before.air_j, before.gauge_pa),
                (now.air_j, now.gauge_pa),
            );
            match took {
                Some(s) => *time += s.max(0.0),
                None => return Err(format!("nothing flows to the {} bag", spec.name)),
            }
            bags[filled] = now;
        }
        Ok((bags, next))
    }
}

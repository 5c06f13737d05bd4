//! A scene's lift worked out from its own orders: the vehicle at every rise, and each
//! bag's height, pressure and air after every order. Numbers only; [`super::sheet`] says
//! what they mean.

use super::vehicle::{Balance, Change, On, State, at_rise, face_slope_rad, panel_at};
use super::{air, bags, column, gap, ground, lever, panel, plane, slide};
use crate::membrane::Membrane;
use crate::scene::{Bag, Lie, Limb, Lying, Order, Rest, Scene, Until, Wedge};
use crate::tables::{BAG_FACE_KG_M2, Material, TIMBER_KG_M3};
use crate::units::GRAVITY_M_S2;

/// Room left over a wedge or a shim that is pushed in by hand, m (assumed).
pub const SNUG_M: f64 = 0.001;
/// The start of a lift for a force is not read sooner than this, m: the beam and the bags
/// have found their seat (assumed).
pub const SEATED_M: f64 = 0.010;

/// Grain in which orders are worked through, m of rise.
const GRAIN_M: f64 = 0.00125;
/// The far end stands against a roll with all that it holds once the vehicle has rolled this
/// much, rad: metal and packing give (assumed).
const NOSE_GIVES_RAD: f64 = 0.005;
/// A shut bag gives less than this within a grain, m.
const SHUT_GIVES_M: f64 = 0.02;
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
    /// How far that can slip over them along the metal, m, towards the nose and towards the
    /// tail: the edge of the dent stops it.
    pub room_m: [f64; 2],
    /// The uppermost bag, counted from the lowest, that is longer than the metal left beside it
    /// and comes to bear on the body round the dent.
    pub stops: Option<usize>,
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
    /// It lets air out.
    pub down: bool,
    /// Rise of the lift points at its end, m: of all together, and of each.
    pub rise_m: f64,
    pub rises_m: Vec<f64>,
    /// Roll of the vehicle at its end, and the most on the way, rad; the left higher is
    /// positive.
    pub roll_rad: f64,
    pub roll_most_rad: f64,
    /// Rise of each lift point when it rolls most, m.
    pub rises_most_m: Vec<f64>,
    /// Load on each point's stack, N.
    pub loads_n: Vec<f64>,
    pub bags: Vec<BagNow>,
    /// Time it takes, s; the slowest hose decides.
    pub time_s: f64,
    /// Air let out of bags until then, J.
    pub vented_j: f64,
    /// Why it does not get where it was told.
    pub stuck: Option<String>,
}

/// What a point is lifted by, and how far.
#[derive(Clone, Copy)]
struct Pushed {
    rise_m: f64,
    force_n: f64,
}

/// The lift itself.
#[derive(Clone, Debug)]
pub struct LiftPlan {
    /// Where the force acts as it lies, m.
    pub place: [f64; 2],
    /// The same place in the vehicle's frame.
    pub lift: [f64; 2],
    pub points: Vec<Point>,
    pub sideways: Sideways,
    pub states: Vec<State>,
    /// Rise at which the load is off what it lay on, m: the lift and the far end carry it
    /// alone, limbs apart.
    pub off_m: f64,
    /// The same as the states, without void fill.
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

/// Left against right once the load is off what it lay on. Bags that are filled alike push
/// alike; what would roll the vehicle is held by the end that stays down, which bears over a
/// width, and only what is too much for that goes on to the stacks.
#[derive(Clone, Copy, Debug)]
pub struct Sideways {
    /// What would roll the vehicle over its length if the stacks bore alike, N m.
    pub rolls_nm: f64,
    /// What the end that stays down can hold of it, N m.
    pub holds_nm: f64,
    /// Where the stacks' forces act together, m along Z.
    pub at_z: f64,
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
    /// The scene in the plane that it is balanced in.
    pub scene: Scene,
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
    /// None where the vehicle would not lie still, or on its wheels is lifted on both sides.
    pub fn of(scene: &Scene) -> Option<Self> {
        let scene = &plane::of(scene)?;
        let v = &scene.vehicle;
        let lie = v.lie()?;
        let lying = Lying::posed(v, lie);
        let columns = columns(scene);
        let lift_ground = lift_place(scene, &lying, &columns);
        let tail = lie.ground(v.profile.deck_rear);
        let place = lift_ground.unwrap_or(tail);
        // It settles a little forwards from where its outline would rest.
        let settled = Balance::of(scene, lie.profile(place), Change::NONE)?.lie();
        let lift = settled.profile(place);
        let bare = Balance::of(scene, lift, Change::NONE)?;
        let found = bare.clone().settle();
        let (balance, packed) = packed_up(scene, bare.clone());
        let start = balance.clone().settle();
        let com = start.lie.ground([v.com_m[0], v.com_m[1]]);
        let mut plan = Self {
            scene: scene.clone(),
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
        let stacks: Vec<usize> = columns.iter().map(|c| stack_under(scene, c[0])).collect();
        let places: Vec<f64> = stacks.iter().map(|&s| scene.stacks[s].at[1]).collect();
        let reach = columns
            .iter()
            .map(|c| c.iter().map(|&b| membrane(&scene.bags[b]).height_limit_m()).sum())
            .fold(0.0, f64::max);
        let states = self.balance.raise(reach);
        let off_m = self.off_m(&states, lift);
        let sideways = self.sideways(scene, &at_rise(&states, off_m), &places);
        let shares = lever::row_shares(&places, sideways.at_z);
        let points: Vec<Point> = columns
            .into_iter()
            .zip(stacks)
            .zip(shares)
            .map(|((bags, stack), share)| point(scene, &lying, bags, stack, share))
            .collect();
        let with = |change| -> Option<Vec<State>> {
            Some(packed_up(scene, Balance::of(scene, lift, change)?).0.raise(reach))
        };
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
            sideways,
            unpacked: bare.raise(reach),
            states,
            off_m,
            changed,
            rise_m: 0.0,
            rise_from: "",
            steps: Vec::new(),
            left_out: Vec::new(),
            by_beam,
            face_mu: face_friction(scene, by_beam).map_or(0.0, |[mu, _]| mu),
        };
        Book::new(scene, &mut plan).work();
        if let Some(highest) = plan.highest() {
            plan.rise_m = highest.rise_m;
            plan.rise_from = "what the orders raise";
        } else {
            plan.rise_m = plan.rise_that_frees(scene).min(reach);
            plan.rise_from = "what frees every limb; the scene has no order `raise`";
        }
        Some(plan)
    }

    /// Rise at which the load is off what it lay on, m: nothing bears any more on the lift's
    /// side of the centre of mass. Where the far end gives way that takes longer.
    fn off_m(&self, states: &[State], lift: [f64; 2]) -> f64 {
        let lies_off = |state: &State| {
            let com_x = state.lie.ground(self.balance.com)[0];
            let side = (state.lie.ground(lift)[0] - com_x).signum();
            let mut bears = self.balance.supports.iter().zip(&state.loads_n);
            bears.all(|(support, n)| {
                let on_its_side = side * (support.acts_x(state.lie) - com_x) > 0.0;
                matches!(support.on, On::Limb(_)) || !on_its_side || *n < 1.0
            })
        };
        let off = states.iter().find(|s| s.rise_m >= SEATED_M && lies_off(s));
        off.map_or(SEATED_M, |s| s.rise_m)
    }

    /// Left against right at a state, for stacks at places along Z.
    fn sideways(&self, scene: &Scene, state: &State, places: &[f64]) -> Sideways {
        let (_, along) = slide::weight_on_slope_n(
            self.weight_n,
            scene.ground.slope_rad,
            scene.ground.cross_slope_rad,
        );
        let mean = places.iter().sum::<f64>() / places.len() as f64;
        let lift_n = state.lift_n.max(1.0);
        let rolls_nm =
            self.balance.pressed_n * self.com[2] + along[1] * self.com[1] - lift_n * mean;
        let half_m = |on| match on {
            On::Ground => scene.vehicle.half_width.roof,
            On::Panel(i) => scene.vehicle.panels[i].half_width_m,
            On::VoidFill(i) => scene.void_fill[i].at[1].abs(),
            On::Limb(_) => 0.0,
        };
        let bears = self.balance.supports.iter().zip(&state.loads_n);
        let holds_nm = bears.map(|(support, n)| n * half_m(support.on)).sum::<f64>();
        let rest_nm = rolls_nm.signum() * (rolls_nm.abs() - holds_nm).max(0.0);
        Sideways { rolls_nm, holds_nm, at_z: mean + rest_nm / lift_n }
    }

    /// What pulls at all stacks across the vehicle on ground that falls sideways, N: the lifted
    /// end would swing downhill about the end that stays down. Friction there, which also
    /// keeps it from swinging, is left out.
    pub fn across_n(&self, scene: &Scene, lift: &LiftPlan, state: &State) -> f64 {
        let pulls_n = self.weight_n * scene.ground.cross_slope_rad.sin();
        let com_x = state.lie.ground(self.balance.com)[0];
        let lift_x = state.lie.ground(lift.lift)[0];
        let pivot = self.pivot_x(state).unwrap_or(com_x);
        let lever = (pivot - com_x) / (pivot - lift_x);
        if lever.is_finite() { pulls_n * lever } else { 0.0 }
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
        let (load_n, at) = self.balance.load_on(state, |on| !matches!(on, On::Limb(_)));
        let (up_n, x) = (state.braced.up_n, self.balance.brace_x().unwrap_or(0.0));
        Some((load_n * at? + up_n * x) / (load_n + up_n))
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
    let packed =
        scene.void_fill.iter().enumerate().map(|(i, fill)| balance.pack(scene, i, fill)).collect();
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
    let mut stops = None;
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
                // Along the metal, which slopes in the vehicle too.
                let [front, rear] = zone.x.map(|x| [x, scene.vehicle.profile.upper_y(x)]);
                let along = (front[0] - rear[0]).hypot(front[1] - rear[1]) / (front[0] - rear[0]);
                let beside = |half: f64| [edge(-half) - zone.x[1], zone.x[0] - edge(half)];
                room_m = beside(half).map(|m| m.max(0.0) * along);
                let under = if wedge.is_some() { bags.len() } else { bags.len() - 1 };
                let past =
                    |&b: &usize| beside(scene.bags[b].size[0] / 2.0).iter().any(|room| *room < 0.0);
                stops = bags[..under].iter().rposition(past);
            }
            let room = (above - top).max(0.0);
            if wedge.is_some() { (SNUG_M, panel, room) } else { (room, panel, 0.0) }
        }
    };
    let wedged = wedge.is_some();
    let dead_n = dead_kg * GRAVITY_M_S2;
    Point { stack, bags, share, slack_m, panel, room_m, stops, wedged, stiff_m, dead_n }
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

    /// How far the metal over a point is pressed in along its normal by a force along it, m.
    fn pressed_m(&self, scene: &Scene, point: &Point, normal_n: f64) -> f64 {
        point.panel.map_or(0.0, |i| {
            let p = &scene.vehicle.panels[i];
            panel::height_lost_m(normal_n, p.stiffness_n_m, p.plateau_n, p.depth_m)
        })
    }

    /// How far the stack of a point goes down under a force, m; nothing on hard ground.
    pub fn sunk_m(&self, scene: &Scene, point: &Point, force_n: f64) -> f64 {
        scene.ground.soil.map_or(0.0, |bed| {
            let stack = &scene.stacks[point.stack];
            let soil = ground::spring(bed, stack.bearing_area_m2(), stack.bearing_strip_m());
            ground::settles_m(soil, force_n + point.dead_n)
        })
    }

    /// Turn of the vehicle about its pivot since the start, rad.
    pub fn turn_rad(&self, state: &State) -> f64 {
        state.lie.pitch_rad - self.states[0].lie.pitch_rad
    }

    /// How the bags of a point stand at a state when all but one of them keep their gaps:
    /// that one gives what is still missing for the rise.
    ///
    /// They have to give the rise, the slack, what sheet metal and soil cost, and what is lost
    /// as they lean and as the face, which is higher further back, slips over them.
    fn stand_with(
        &self,
        scene: &Scene,
        point: &Point,
        state: &State,
        on: Pushed,
        mut gaps_m: Vec<f64>,
        gives: usize,
    ) -> Stand {
        let turn = self.turn_rad(state);
        let slope = self.face_rad + turn;
        let (sin, cos) = slope.sin_cos();
        let hold = self.face_mu.atan();
        let tilt_rad = self.tilt_rad(point, state);
        let side_m = point.bags.last().map_or(0.0, |&b| scene.bags[b].size[0]);
        let way_m = state.lie.ground(self.lift)[0] - self.place[0] - turn.sin() * point.stiff_m
            + column::touched_m(side_m, tilt_rad);
        let force_n = on.force_n.max(0.0);
        let upright = point.slack_m
            + on.rise_m
            + point.stiff_m * (1.0 - turn.cos())
            + self.sunk_m(scene, point, force_n);
        let others: f64 = gaps_m.iter().sum::<f64>() - gaps_m[gives];
        // Metal gives way along its normal: down and, where it slopes, along the ground too.
        let lean = |gaps_m: &[f64], pressed_m: f64| {
            let sides = point.bags.iter().map(|&b| scene.bags[b].size[0]);
            let bags: Vec<column::Bag> =
                sides.zip(gaps_m).map(|(side_m, &gap_m)| column::Bag { side_m, gap_m }).collect();
            let above = column::Above {
                tilt_rad,
                way_m: way_m + pressed_m * sin,
                cone: [-hold, hold].map(|hold| (slope + hold).clamp(-1.5, 1.5).tan()),
                room_m: point.room_m.map(|room| room * cos),
            };
            column::lean(&bags, above)
        };
        let mut pressed_m = 0.0;
        let mut stand = lean(&gaps_m, pressed_m);
        // What is lost hangs on the heights by less than a tenth: a few rounds settle it.
        for _ in 0..6 {
            let over = point.stops.map_or(f64::INFINITY, |stop| {
                point.stiff_m + gaps_m[stop + 1..].iter().map(|gap| gap + Bag::FLAT_M).sum::<f64>()
            });
            let normal_n = force_n * (cos + stand.push * sin);
            pressed_m = self.pressed_m(scene, point, normal_n).min(over);
            let lost = pressed_m * cos + stand.dip_m + stand.slip_m * slope.tan();
            gaps_m[gives] = (upright + lost - others).max(0.0);
            stand = lean(&gaps_m, pressed_m);
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
        let up = &self.steps[..self.highest_at().map_or(0, |at| at + 1)];
        let step = up.iter().rev().find(|s| s.rise_m <= rise_m + 1e-9);
        let step = step.or_else(|| up.first());
        let gaps_m = step.map_or_else(
            || vec![0.0; point.bags.len()],
            |s| point.bags.iter().map(|&b| s.bags[b].gap_m).collect(),
        );
        let moved = |s: &Step| point.bags.iter().position(|b| s.moved.contains(b));
        let gives = step.and_then(moved).unwrap_or(0);
        let state = self.at(rise_m);
        let on = Pushed { rise_m, force_n: self.force_n(point, &state) };
        self.stand_with(scene, point, &state, on, gaps_m, gives)
    }

    fn highest_at(&self) -> Option<usize> {
        let by_rise =
            |(_, a): &(usize, &Step), (_, b): &(usize, &Step)| a.rise_m.total_cmp(&b.rise_m);
        self.steps.iter().enumerate().max_by(by_rise).map(|(at, _)| at)
    }

    /// The order after which the load stands highest.
    pub fn highest(&self) -> Option<&Step> {
        self.steps.get(self.highest_at()?)
    }

    /// Middle of the lift points along Z, m.
    pub fn middle_z(&self, scene: &Scene) -> f64 {
        mean(&self.points.iter().map(|p| scene.stacks[p.stack].at[1]).collect::<Vec<_>>())
    }

    /// Roll of the vehicle with each lift point at its rise, rad: the line through them.
    fn roll_rad(&self, scene: &Scene, rises_m: &[f64]) -> f64 {
        let (middle, level) = (self.middle_z(scene), mean(rises_m));
        let (mut moment, mut spread) = (0.0, 0.0);
        for (point, rise) in self.points.iter().zip(rises_m) {
            let z = scene.stacks[point.stack].at[1] - middle;
            moment += z * (rise - level);
            spread += z * z;
        }
        if spread > 1e-9 { (moment / spread).atan() } else { 0.0 }
    }

    /// Force of the vehicle on each point with the vehicle rolled, N. The far end stands
    /// against the roll with all that it holds (see [`Sideways`]): the side that goes down is
    /// eased, and the other one carries more. No side pulls.
    fn forces_n(&self, scene: &Scene, state: &State, roll_rad: f64) -> Vec<f64> {
        let alike: Vec<f64> = self.points.iter().map(|p| self.force_n(p, state)).collect();
        if roll_rad == 0.0 || self.points.len() < 2 {
            return alike;
        }
        let side = &self.sideways;
        let holds = side.holds_nm.max(1.0);
        let level = (-side.rolls_nm / holds).clamp(-1.0, 1.0);
        let share = (level + roll_rad / NOSE_GIVES_RAD).clamp(-1.0, 1.0);
        let moment = side.rolls_nm + share * holds;
        let middle = self.middle_z(scene);
        let arm = |p: &Point| scene.stacks[p.stack].at[1] - middle;
        let spread: f64 = self.points.iter().map(|p| arm(p).powi(2)).sum();
        let even = state.lift_n / self.points.len() as f64;
        let forces: Vec<f64> =
            self.points.iter().map(|p| (even + moment * arm(p) / spread).max(0.0)).collect();
        let all: f64 = forces.iter().sum();
        forces.iter().map(|n| if all > 0.0 { n * state.lift_n / all } else { 0.0 }).collect()
    }

    /// The gap at a limb after an order, m.
    pub fn gap_m(&self, scene: &Scene, step: &Step, limb: &Limb) -> Option<f64> {
        let lie = self.at(step.rise_m).lie;
        rolled_gap_m(scene, lie, limb, (step.roll_rad, self.middle_z(scene)))
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

    /// Free air let into the bags until the load stands highest, m³.
    pub fn air_used_m3(&self, scene: &Scene) -> f64 {
        let empty: f64 = scene.bags.iter().map(|b| bags::air_j(membrane(b), 0.0, 0.0)).sum();
        self.highest().map_or(0.0, |at| {
            let held: f64 = at.bags.iter().map(|b| b.air_j).sum();
            air::free_air_m3(held + at.vented_j - empty)
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
struct Standing {
    rises_m: Vec<f64>,
    bags: Vec<BagNow>,
    loads_n: Vec<f64>,
    roll_rad: f64,
    /// Time that each point has taken, s.
    times_s: Vec<f64>,
    vented_j: f64,
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
            down: false,
            rises_m: vec![0.0; plan.points.len()],
            captured_m: f64::NEG_INFINITY,
            vented_j: 0.0,
            scene,
            plan,
        }
    }

    fn rise_m(&self) -> f64 {
        mean(&self.rises_m)
    }

    fn work(&mut self) {
        for (index, order) in self.scene.orders.iter().enumerate() {
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
                    if bags.iter().any(|b| !self.hoses.contains(b) && self.full(*b)) {
                        self.leave_out(index, "a bag of it holds air and has no hose");
                    } else {
                        bags.iter().for_each(|&b| self.locked[b] = false);
                    }
                }
                Order::MoveHose { outlet, to } => {
                    let from = self.hoses[*outlet];
                    if !self.locked[from] && self.full(from) {
                        self.leave_out(index, "the bag that the hose leaves is not locked out");
                    } else {
                        self.hoses[*outlet] = *to;
                    }
                }
                Order::Capture { .. } => self.captured_m = self.rise_m(),
                Order::SetChocks { .. } | Order::Wait { .. } => {}
            }
        }
    }

    /// The bag would lose air if it were open, so the crew does not open it.
    fn full(&self, bag: usize) -> bool {
        self.bags[bag].gauge_pa > 0.0
    }

    fn leave_out(&mut self, index: usize, why: &str) {
        self.plan.left_out.push(format!("order {}: {why}", index + 1));
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
            self.leave_out(index, "air goes into some bags and out of others at the same time");
            return;
        }
        self.down = down;
        let can: Vec<(usize, f64)> = bags
            .iter()
            .filter(|&&b| !self.locked[b] && self.hoses.contains(&b))
            .map(|&b| (b, opening))
            .collect();
        if can.len() < bags.len() {
            self.leave_out(index, "a bag of it is locked out or has no hose");
        }
        self.open.extend(can);
        if until != Until::Now {
            self.go(index, until, at_most_s);
            self.open.clear();
        }
    }

    /// Lets air in or out until the order is done. The points whose bags are open move alike;
    /// the bags of the others give as the load on them changes.
    fn go(&mut self, index: usize, until: Until, at_most_s: f64) {
        let reach = self.plan.states.last().map_or(0.0, |s| s.rise_m);
        let begun = self.time_zero();
        let mut at = begun;
        let (mut roll_most_rad, mut rises_most_m) = (at.roll_rad, at.rises_m.clone());
        let mut stuck = None;
        while !self.there(until, &at) {
            if !self.down && self.rise_m() >= reach {
                stuck = Some("the bags are at their height limit".to_owned());
                break;
            }
            if self.down && self.rise_m() <= self.captured_m {
                stuck = Some("the captures carry it from here".to_owned());
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
    fn time_zero(&self) -> Standing {
        let state = self.plan.at(self.rise_m());
        let roll_rad = self.plan.roll_rad(self.scene, &self.rises_m);
        let forces = self.plan.forces_n(self.scene, &state, roll_rad);
        let loads_n = self.plan.points.iter().zip(forces).map(|(p, n)| n + p.dead_n).collect();
        Standing {
            rises_m: self.rises_m.clone(),
            bags: self.bags.clone(),
            loads_n,
            roll_rad,
            times_s: vec![0.0; self.rises_m.len()],
            vented_j: self.vented_j,
        }
    }

    fn there(&self, until: Until, at: &Standing) -> bool {
        let beyond = |value: f64, goal: f64| {
            if self.down { value <= goal + 1e-9 } else { value >= goal - 1e-9 }
        };
        match until {
            Until::Now => true,
            Until::For(s) => at.times_s.iter().copied().fold(0.0, f64::max) >= s,
            Until::Rise(m) => beyond(self.rise_m(), m),
            Until::Height(m) => self.open.iter().all(|(b, _)| beyond(at.bags[*b].gap_m, m)),
            Until::Gap { limb, m } => {
                let limb = &self.scene.limbs[limb];
                let lie = self.plan.at(self.rise_m()).lie;
                let roll = (at.roll_rad, self.plan.middle_z(self.scene));
                rolled_gap_m(self.scene, lie, limb, roll).is_some_and(|gap| beyond(gap, m))
            }
        }
    }

    /// The bag of a point that air goes into or out of, with the share of its valve.
    fn opened(&self, point: &Point) -> Option<(usize, f64)> {
        self.open.iter().copied().find(|(b, _)| point.bags.contains(b))
    }

    /// One grain further.
    fn moved(&self, until: Until, at: &Standing) -> Result<Standing, String> {
        let points = &self.plan.points;
        let moves: Vec<bool> = points.iter().map(|p| self.opened(p).is_some()).collect();
        if !moves.contains(&true) {
            return Err("no bag of the lift is open".into());
        }
        let mut rises_m = at.rises_m.clone();
        for (rise, moves) in rises_m.iter_mut().zip(&moves) {
            match (moves, self.down) {
                (true, true) => *rise -= GRAIN_M,
                (true, false) => *rise += GRAIN_M,
                _ => {}
            }
        }
        // Where all move alike, the last grain ends where the order says.
        let [from, to] = [mean(&at.rises_m), mean(&rises_m)];
        let ends_m = match until {
            Until::Rise(m) => Some(m),
            Until::Gap { limb, m } => self.rise_at_gap_m(limb, m, [from, to]),
            _ => None,
        };
        if let (Some(ends_m), false) = (ends_m, moves.contains(&false)) {
            let over = to - ends_m;
            if over > 0.0 && !self.down || over < 0.0 && self.down {
                rises_m.iter_mut().for_each(|rise| *rise -= over);
            }
        }
        // Shut bags give with their load, which hangs on how far each side stands. Where a side
        // stands higher it carries more and its bags are lower: one height fits.
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
        let next = self.stand_at(rises_m, at);
        self.take_air(at, next)
    }

    /// The rise at which a limb has a gap, m, where that lies within one grain: the straight
    /// line between its ends.
    fn rise_at_gap_m(&self, limb: usize, goal_m: f64, [from, to]: [f64; 2]) -> Option<f64> {
        let gap_m =
            |rise| gap::gap_m(&self.scene.vehicle, self.plan.at(rise).lie, &self.scene.limbs[limb]);
        let (low, high) = (gap_m(from)?, gap_m(to)?);
        let share = (goal_m - low) / (high - low);
        (0.0..=1.0).contains(&share).then_some(from + share * (to - from))
    }

    /// Height of the shut bags of a point under the load that the rises put on it, m.
    fn shut_m(&self, index: usize, rises_m: &[f64], before: &Standing) -> f64 {
        let point = &self.plan.points[index];
        let state = self.plan.at(mean(rises_m));
        let roll_rad = self.plan.roll_rad(self.scene, rises_m);
        let load_n = self.plan.forces_n(self.scene, &state, roll_rad)[index] + point.dead_n;
        let gap_m = |&b: &usize| {
            let now = before.bags[b];
            if now.gauge_pa > 0.0 {
                bags::shut_gap_m(membrane(&self.scene.bags[b]), now.air_j, load_n)
            } else {
                now.gap_m
            }
        };
        point.bags.iter().map(gap_m).sum()
    }

    /// Loads and heights with the points at their rises; the air in open bags is not yet
    /// counted.
    fn stand_at(&self, rises_m: Vec<f64>, before: &Standing) -> Standing {
        let plan = &self.plan;
        let state = plan.at(mean(&rises_m));
        let roll_rad = plan.roll_rad(self.scene, &rises_m);
        let forces = plan.forces_n(self.scene, &state, roll_rad);
        let mut bags = before.bags.clone();
        for ((point, force_n), rise_m) in plan.points.iter().zip(&forces).zip(&rises_m) {
            let load_n = force_n + point.dead_n;
            let opened = self.opened(point).map(|(b, _)| b);
            for &b in point.bags.iter().filter(|&&b| Some(b) != opened) {
                let bag = membrane(&self.scene.bags[b]);
                let now = &mut bags[b];
                if now.gauge_pa > 0.0 {
                    now.gap_m = bags::shut_gap_m(bag, now.air_j, load_n);
                    now.gauge_pa = bags::pressure_needed_pa(bag, load_n, now.gap_m);
                }
                now.force_n = load_n;
            }
            if let Some(gives) = opened.and_then(|b| point.bags.iter().position(|&o| o == b)) {
                let gaps_m = point.bags.iter().map(|&b| bags[b].gap_m).collect();
                let on = Pushed { rise_m: *rise_m, force_n: *force_n };
                let stand = plan.stand_with(self.scene, point, &state, on, gaps_m, gives);
                let b = point.bags[gives];
                let gap_m = stand.gaps_m[gives];
                let bag = membrane(&self.scene.bags[b]);
                let gauge_pa = bags::pressure_needed_pa(bag, load_n, gap_m);
                let air_j = bags::air_j(bag, gauge_pa, gap_m);
                bags[b] = BagNow { gap_m, force_n: load_n, gauge_pa, air_j };
            }
        }
        let loads_n = plan.points.iter().zip(forces).map(|(p, n)| n + p.dead_n).collect();
        let (times_s, vented_j) = (before.times_s.clone(), before.vented_j);
        Standing { rises_m, bags, loads_n, roll_rad, times_s, vented_j }
    }

    /// The air that goes into or out of the open bags, and the time that it takes.
    fn take_air(&self, before: &Standing, mut next: Standing) -> Result<Standing, String> {
        let supply = self.scene.air.regulator_pa.min(self.scene.air.cylinder_pa);
        for (i, point) in self.plan.points.iter().enumerate() {
            let Some((b, opening)) = self.opened(point) else { continue };
            let Some(outlet) = self.hoses.iter().position(|&hose| hose == b) else { continue };
            let outlet = &self.scene.air.outlets[outlet];
            let open = outlet.conductance * outlet.opening * opening;
            let spec = &self.scene.bags[b];
            let (was, now) = (before.bags[b], next.bags[b]);
            let (from, to) = ((was.air_j, was.gauge_pa), (now.air_j, now.gauge_pa));
            if self.down {
                if was.gap_m <= 0.0 {
                    return Err(format!("the {} bag is empty", spec.name));
                }
                next.times_s[i] += air::empty_s(open, from, to).max(0.0);
                next.vented_j += (was.air_j - now.air_j).max(0.0);
                continue;
            }
            let force_n = now.force_n - point.dead_n;
            if self.plan.sunk_m(self.scene, point, force_n) >= ground::FIRM_M {
                let stack = &self.scene.stacks[point.stack].name;
                return Err(format!("the soil under {stack} gives way"));
            }
            if now.gauge_pa > spec.working_pa.min(supply) {
                return Err(format!(
                    "the {} bag cannot carry the load any higher at its pressure",
                    spec.name
                ));
            }
            match air::fill_s(open, supply, from, to) {
                Some(s) => next.times_s[i] += s.max(0.0),
                None => return Err(format!("nothing flows to the {} bag", spec.name)),
            }
        }
        Ok(next)
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

/// The gap at a limb with the vehicle rolled by an angle about a place along Z, m.
fn rolled_gap_m(scene: &Scene, lie: Lie, limb: &Limb, (roll, z): (f64, f64)) -> Option<f64> {
    Some(gap::gap_m(&scene.vehicle, lie, limb)? + roll.tan() * (limb.at[1] - z))
}

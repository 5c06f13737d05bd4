//! A scene's lift worked out from its own orders: the vehicle at every rise, and each
//! bag's height, pressure and air after every order. Numbers only; [`super::sheet`] says
//! what they mean.

mod column;
mod lift;
mod orders;
mod points;
mod roll;
mod step;

pub use column::ColumnState;
pub use lift::{LiftPlan, RiseFrom, Sideways, Tips};
pub use points::{LiftPoint, column_top_m};
pub use step::{BagNow, LeftOut, NotWorkedOut, OrderOutcome, Stuck};

use super::plane::LaidOut;
use super::supports::{SnugStep, SupportKind};
use super::vehicle::{Balance, InputVariation, LiftLine, State, at_rise};
use super::{bags, load_shares, panel, slide};
use crate::bag_law::Membrane;
use crate::scene::{CarriedBy, Envelope, Scene};
use crate::units::GRAVITY_M_S2;
use orders::OrderSolver;
use points::{columns, face_friction, lift_place, lifted_face_rad, point};
use std::sync::Arc;

/// The start of a lift for a force is not read sooner than this, m: the beam and the bags
/// have found their seat (assumed).
const SEATED_M: f64 = 0.010;
/// Its centre of mass is known to this share of the wheelbase (assumed).
pub const COM_SHARE: f64 = 0.05;

/// Everything about a scene on paper.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The scene in the plane that it is balanced in.
    pub scene: Arc<LaidOut>,
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
    /// For each step chock, the step that is snug.
    pub snug: Vec<Option<SnugStep>>,
    /// None where the scene names nothing that lifts.
    pub lift: Option<LiftPlan>,
}

impl Plan {
    /// None where the vehicle would not lie still, or on its wheels is lifted on both sides.
    pub fn new(scene: &Scene) -> Option<Self> {
        let scene = &Arc::new(LaidOut::new(scene)?);
        let v = &scene.vehicle;
        let side_pose = v.roof_pose()?;
        let envelope = Envelope::posed(v, side_pose);
        let columns = columns(scene);
        let lift_ground = lift_place(scene, &envelope, &columns);
        let tail = side_pose.ground(v.profile.deck_rear);
        let place = lift_ground.unwrap_or(tail);
        // It settles a little forwards from where its outline would rest.
        let settled =
            Balance::new(scene, side_pose.profile(place), InputVariation::NONE)?.side_pose();
        let lift = settled.profile(place);
        let bare = Balance::new(scene, lift, InputVariation::NONE)?;
        let found = bare.clone().settle();
        let (balance, packed, snug) = packed_up(scene, bare.clone());
        let start = balance.clone().settle();
        let com = start.side_pose.ground([v.com_m[0], v.com_m[1]]);
        let mut plan = Self {
            scene: Arc::clone(scene),
            weight_n: v.mass_kg * GRAVITY_M_S2,
            com: [com[0], com[1], -v.com_m[2]],
            balance,
            found,
            start,
            packed,
            snug,
            lift: None,
        };
        if lift_ground.is_some() {
            // Bags that are pushed sideways push back, and a tilted bag bears off its middle, which
            // changes the balance by a little; by how much follows from how they stand without that.
            let upright = plan.work_out(&bare, &columns, lift, &[])?;
            plan.lift = Some(plan.work_out(&bare, &columns, lift, &upright.lines())?);
        }
        Some(plan)
    }

    fn work_out(
        &self,
        bare: &Balance,
        columns: &[Vec<usize>],
        lift: [f64; 2],
        lines: &[LiftLine],
    ) -> Option<LiftPlan> {
        let (scene, side_pose) = (&self.scene, self.start.side_pose);
        let envelope = Envelope::posed(&scene.vehicle, side_pose);
        let stacks: Vec<usize> =
            columns.iter().map(|c| CarriedBy::Bag(c[0]).stack(&scene.bags)).collect();
        let places: Vec<f64> = stacks.iter().map(|&s| scene.stacks[s].at[1]).collect();
        let reach = columns
            .iter()
            .map(|c| c.iter().map(|&b| scene.membrane(b).height_limit_m()).sum())
            .fold(0.0, f64::max);
        let states = self.balance.raise(reach, lines);
        let off_m = self.off_m(&states, lift);
        let mut points: Vec<LiftPoint> = (columns.iter().zip(stacks))
            .map(|(bags, stack)| point(scene, &envelope, bags.clone(), stack, 1.0))
            .collect();
        let off = at_rise(&states, off_m);
        let bags_nm_rad = bags_nm_rad(scene, &points, &places, &off);
        let sideways = self.sideways(&off, &places, bags_nm_rad);
        for (point, share) in points.iter_mut().zip(load_shares::row_shares(&places, sideways.at_z))
        {
            point.share = share;
        }
        let with = |change| -> Option<Vec<State>> {
            Some(packed_up(scene, Balance::new(scene, lift, change)?).0.raise(reach, lines))
        };
        let wheelbase = scene.vehicle.wheel_x_m[0] - scene.vehicle.wheel_x_m[1];
        let mass = |share| InputVariation { mass_share: share, com_m: 0.0 };
        let com = |share: f64| InputVariation { mass_share: 0.0, com_m: share * wheelbase };
        let changed = [
            with(mass(-scene.spread().mass_share))?,
            with(mass(scene.spread().mass_share))?,
            with(com(-COM_SHARE))?,
            with(com(COM_SHARE))?,
        ];
        let by_beam = scene.beam().is_some();
        let mut plan = LiftPlan {
            scene: Arc::clone(scene),
            place: self.balance.lift_place(),
            lift,
            face_rad: lifted_face_rad(scene, side_pose, &points, by_beam),
            points,
            sideways,
            tips: self.tips(&off, lift),
            unpacked: bare.raise(reach, lines),
            states,
            off_m,
            changed,
            rise_m: 0.0,
            rise_from: RiseFrom::Orders,
            steps: Vec::new(),
            left_out: Vec::new(),
            by_beam,
            face_mu: face_friction(scene, by_beam).unwrap_or_default(),
        };
        OrderSolver::new(&mut plan).work();
        if let Some(highest) = plan.highest() {
            plan.rise_m = highest.rise_m;
        } else {
            plan.rise_m = plan.rise_that_frees().min(reach);
            plan.rise_from = RiseFrom::Limbs;
        }
        Some(plan)
    }

    /// Rise at which the load is off what it lay on, m: nothing bears any more on the lift's
    /// side of the centre of mass. Where the far end gives way that takes longer.
    fn off_m(&self, states: &[State], lift: [f64; 2]) -> f64 {
        let lies_off = |state: &State| {
            let com_x = state.side_pose.ground(self.balance.com)[0];
            let side = (state.side_pose.ground(lift)[0] - com_x).signum();
            let mut bears = self.balance.supports.iter().zip(&state.loads_n);
            bears.all(|(support, n)| {
                let on_its_side = side * (support.acts_x(state.side_pose) - com_x) > 0.0;
                matches!(support.on, SupportKind::Limb(_)) || !on_its_side || *n < 1.0
            })
        };
        let off = states.iter().find(|s| s.rise_m >= SEATED_M && lies_off(s));
        off.map_or(SEATED_M, |s| s.rise_m)
    }

    /// Left against right at a state, for stacks at places along Z whose bags hold so much
    /// against a roll.
    fn sideways(&self, state: &State, places: &[f64], bags_nm_rad: f64) -> Sideways {
        let scene = &self.scene;
        let (_, along) = slide::weight_on_slope_n(
            self.weight_n,
            scene.ground.slope_rad,
            scene.ground.cross_slope_rad,
        );
        let mean = places.iter().sum::<f64>() / places.len() as f64;
        let lift_n = state.lift_n.max(1.0);
        // Where it stands on springs, they alone hold it: what they leave, and how stiff they are.
        if let Some([rolls_nm, metal_nm_rad]) = self.balance.wheels_nm(state) {
            let holds_nm = state.loads_n.iter().sum::<f64>() * scene.vehicle.half_width.roof;
            let mut side = Sideways { rolls_nm, holds_nm, rigid_nm: 0.0, metal_nm_rad, at_z: mean };
            let roll_rad = rolls_nm / (metal_nm_rad + bags_nm_rad).max(1.0);
            side.at_z += (rolls_nm - side.metal_nm(roll_rad)) / lift_n;
            return side;
        }
        let rolls_nm =
            self.balance.pressed_n * self.com[2] + along[1] * self.com[1] - lift_n * mean;
        let (mut rigid_nm, mut metal_most_nm, mut metal_nm_rad) = (0.0, 0.0, 0.0);
        for (support, n) in self.balance.supports.iter().zip(&state.loads_n) {
            match support.on {
                SupportKind::Ground => rigid_nm += n * scene.vehicle.half_width.roof,
                SupportKind::VoidFill(i) => rigid_nm += n * scene.void_fill[i].at[1].abs(),
                SupportKind::StepChock(i) => rigid_nm += n * scene.step_chocks[i].at[1].abs(),
                SupportKind::Strut(i) => rigid_nm += n * scene.strut_heads[i][2].abs(),
                SupportKind::Limb(_) => {}
                SupportKind::Panel(i) => {
                    let p = &scene.vehicle.panels[i];
                    metal_most_nm += n * p.half_width_m;
                    // Past its plateau more roll asks for no more force.
                    if (1.0..p.plateau_n).contains(n) {
                        metal_nm_rad += panel::roll_stiffness_nm(p.stiffness_n_m, p.half_width_m);
                    }
                }
            }
        }
        let beyond_nm = rolls_nm.signum() * (rolls_nm.abs() - rigid_nm).max(0.0);
        let holds_nm = rigid_nm + metal_most_nm;
        let mut side = Sideways { rolls_nm, holds_nm, rigid_nm, metal_nm_rad, at_z: mean };
        let roll_rad = beyond_nm / (metal_nm_rad + bags_nm_rad).max(1.0);
        side.at_z += (beyond_nm - side.metal_nm(roll_rad)) / lift_n;
        side
    }

    /// What it turns about when it rolls, at a state.
    fn tips(&self, state: &State, lift: [f64; 2]) -> Option<Tips> {
        let on = |on: SupportKind| self.balance.load_on(state, |other| other == on);
        if on(SupportKind::Ground).0 > 1.0 {
            return None;
        }
        let zones = (0..self.scene.vehicle.panels.len()).map(|i| (i, on(SupportKind::Panel(i))));
        let (panel, (_, metal_x)) = zones.max_by(|(_, a), (_, b)| a.0.total_cmp(&b.0))?;
        let (mut z, mut x, mut fills_n) = (0.0, 0.0, 0.0);
        for (i, fill) in self.scene.void_fill.iter().enumerate() {
            let (n, at) = on(SupportKind::VoidFill(i));
            z += n * fill.at[1].abs();
            x += n * at.unwrap_or(0.0);
            fills_n += n;
        }
        let lift_x = state.side_pose.ground(lift)[0];
        let metal_x = metal_x?;
        (fills_n > 1.0).then(|| Tips {
            fill_z: z / fills_n,
            fill_arm_m: x / fills_n - lift_x,
            metal_arm_m: metal_x - lift_x,
            panel,
        })
    }

    /// What pulls at all stacks across the vehicle on ground that falls sideways, N: the lifted
    /// end would swing downhill about the end that stays down. Friction there, which also
    /// keeps it from swinging, is left out.
    pub fn across_n(&self, lift: &LiftPlan, state: &State) -> f64 {
        let pulls_n = self.weight_n * self.scene.ground.cross_slope_rad.sin();
        let com_x = state.side_pose.ground(self.balance.com)[0];
        let lift_x = state.side_pose.ground(lift.lift)[0];
        let pivot = self.pivot_x(state).unwrap_or(com_x);
        let lever = (pivot - com_x) / (pivot - lift_x);
        if lever.is_finite() { pulls_n * lever } else { 0.0 }
    }

    /// Load on the ground, N; on packing, step chocks among it, and on struts below.
    pub fn on_ground_n(&self, state: &State) -> f64 {
        self.balance
            .load_on(state, |on| matches!(on, SupportKind::Ground | SupportKind::Panel(_)))
            .0
    }

    pub fn on_fill_n(&self, state: &State) -> f64 {
        let packing = |on| matches!(on, SupportKind::VoidFill(_) | SupportKind::StepChock(_));
        self.balance.load_on(state, packing).0
    }

    /// What a strut's head bears of the vehicle, upright, N.
    pub fn on_strut_n(&self, state: &State, strut: usize) -> f64 {
        self.balance.load_on(state, |on| on == SupportKind::Strut(strut)).0
    }

    /// What all struts bear of the vehicle, upright, N.
    pub fn on_struts_n(&self, state: &State) -> f64 {
        self.balance.load_on(state, |on| matches!(on, SupportKind::Strut(_))).0
    }

    /// What it bears on besides limbs and the chocks that the nose leans on, N.
    pub fn stands_n(&self, state: &State) -> f64 {
        self.stands_on(state).0
    }

    /// The same, and where that acts along X, m.
    fn stands_on(&self, state: &State) -> (f64, Option<f64>) {
        self.balance.load_on(state, |on| !matches!(on, SupportKind::Limb(_)))
    }

    pub fn on_limb_n(&self, state: &State, limb: usize) -> f64 {
        self.balance.load_on(state, |on| on == SupportKind::Limb(limb)).0
    }

    /// Where it turns: what it bears on besides limbs, weighted by load, m along X.
    pub fn pivot_x(&self, state: &State) -> Option<f64> {
        let (load_n, at) = self.stands_on(state);
        let (up_n, x) = (state.braced.up_n, self.balance.brace_x().unwrap_or(0.0));
        Some((load_n * at? + up_n * x) / (load_n + up_n))
    }
}

/// How the bags of all points hold against a roll about their middle, N m/rad, at a state: each
/// shut bag by `(p + p_a) A^2 / V - p dA/dh`, its lowest bags alone filled.
fn bags_nm_rad(scene: &LaidOut, points: &[LiftPoint], places: &[f64], state: &State) -> f64 {
    let mean = places.iter().sum::<f64>() / places.len() as f64;
    let each_n = state.lift_n.max(1.0) / points.len() as f64;
    let holds = |(point, z): (&LiftPoint, &f64)| {
        let bag = Membrane::of_size(scene.bags[point.bags[0]].size);
        let gap_m = point.slack_m + state.rise_m;
        (z - mean).powi(2) * bags::stiffness_n_m(bag, each_n, gap_m)
    };
    points.iter().zip(places).map(holds).sum()
}

/// With void fill, step chocks and struts; and which void fill has room, and the steps that are snug.
fn packed_up(scene: &LaidOut, mut balance: Balance) -> (Balance, Vec<bool>, Vec<Option<SnugStep>>) {
    let packed = (0..scene.void_fill.len()).map(|i| balance.pack(scene, i)).collect();
    let snug = (0..scene.step_chocks.len()).map(|i| balance.set_step_chock(scene, i)).collect();
    balance.set_struts(scene);
    balance.settle();
    (balance, packed, snug)
}

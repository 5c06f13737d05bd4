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
pub use lift::{LiftPlan, RiseFrom, Sideways};
pub use points::{LiftPoint, column_top_m, face_friction};
pub use step::{BagNow, LeftOut, NotWorkedOut, OrderOutcome, Stuck};

use super::plane::LaidOut;
use super::supports::SupportKind;
use super::vehicle::{Balance, InputVariation, State, at_rise};
use super::{lever, slide};
use crate::scene::{Envelope, Scene};
use crate::units::GRAVITY_M_S2;
use orders::OrderSolver;
use points::{columns, lift_place, lifted_face_rad, point, stack_under};
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
        let (balance, packed) = packed_up(scene, bare.clone());
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
            lift: None,
        };
        if lift_ground.is_some() {
            plan.lift = Some(plan.work_out(&bare, columns, lift)?);
        }
        Some(plan)
    }

    fn work_out(
        &self,
        bare: &Balance,
        columns: Vec<Vec<usize>>,
        lift: [f64; 2],
    ) -> Option<LiftPlan> {
        let (scene, side_pose) = (&self.scene, self.start.side_pose);
        let envelope = Envelope::posed(&scene.vehicle, side_pose);
        let stacks: Vec<usize> = columns.iter().map(|c| stack_under(scene, c[0])).collect();
        let places: Vec<f64> = stacks.iter().map(|&s| scene.stacks[s].at[1]).collect();
        let reach = columns
            .iter()
            .map(|c| c.iter().map(|&b| scene.membrane(b).height_limit_m()).sum())
            .fold(0.0, f64::max);
        let states = self.balance.raise(reach);
        let off_m = self.off_m(&states, lift);
        let sideways = self.sideways(&at_rise(&states, off_m), &places);
        let shares = lever::row_shares(&places, sideways.at_z);
        let points: Vec<LiftPoint> = columns
            .into_iter()
            .zip(stacks)
            .zip(shares)
            .map(|((bags, stack), share)| point(scene, &envelope, bags, stack, share))
            .collect();
        let with = |change| -> Option<Vec<State>> {
            Some(packed_up(scene, Balance::new(scene, lift, change)?).0.raise(reach))
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
            unpacked: bare.raise(reach),
            states,
            off_m,
            changed,
            rise_m: 0.0,
            rise_from: RiseFrom::Orders,
            steps: Vec::new(),
            left_out: Vec::new(),
            by_beam,
            face_mu: face_friction(scene, by_beam).map_or(0.0, |[mu, _]| mu),
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

    /// Left against right at a state, for stacks at places along Z.
    fn sideways(&self, state: &State, places: &[f64]) -> Sideways {
        let scene = &self.scene;
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
            SupportKind::Ground => scene.vehicle.half_width.roof,
            SupportKind::Panel(i) => scene.vehicle.panels[i].half_width_m,
            SupportKind::VoidFill(i) => scene.void_fill[i].at[1].abs(),
            SupportKind::Limb(_) => 0.0,
        };
        let bears = self.balance.supports.iter().zip(&state.loads_n);
        let holds_nm = bears.map(|(support, n)| n * half_m(support.on)).sum::<f64>();
        let rest_nm = rolls_nm.signum() * (rolls_nm.abs() - holds_nm).max(0.0);
        Sideways { rolls_nm, holds_nm, at_z: mean + rest_nm / lift_n }
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

    /// Load on the ground and on void fill, N.
    pub fn on_ground_n(&self, state: &State) -> f64 {
        self.balance
            .load_on(state, |on| matches!(on, SupportKind::Ground | SupportKind::Panel(_)))
            .0
    }

    pub fn on_fill_n(&self, state: &State) -> f64 {
        self.balance.load_on(state, |on| matches!(on, SupportKind::VoidFill(_))).0
    }

    pub fn on_limb_n(&self, state: &State, limb: usize) -> f64 {
        self.balance.load_on(state, |on| on == SupportKind::Limb(limb)).0
    }

    /// Where it turns: what it bears on besides limbs, weighted by load, m along X.
    pub fn pivot_x(&self, state: &State) -> Option<f64> {
        let (load_n, at) = self.balance.load_on(state, |on| !matches!(on, SupportKind::Limb(_)));
        let (up_n, x) = (state.braced.up_n, self.balance.brace_x().unwrap_or(0.0));
        Some((load_n * at? + up_n * x) / (load_n + up_n))
    }
}

fn packed_up(scene: &LaidOut, mut balance: Balance) -> (Balance, Vec<bool>) {
    let packed = (0..scene.void_fill.len()).map(|i| balance.pack(scene, i)).collect();
    balance.settle();
    (balance, packed)
}

//! The lift on paper: where it lifts, every state of the vehicle on the way up, and what
//! each order comes to.

use super::points::LiftPoint;
use super::step::{LeftOut, OrderOutcome};
use crate::statics::plane::LaidOut;
use crate::statics::vehicle::{State, at_rise};
use crate::statics::{air, bags, ground, panel};
use std::fmt;
use std::sync::Arc;

/// The lift itself.
#[derive(Clone, Debug)]
pub struct LiftPlan {
    /// The scene that it is worked out for, in the plane that it is balanced in.
    pub scene: Arc<LaidOut>,
    /// Where the force acts as it lies, m.
    pub place: [f64; 2],
    /// The same place in the vehicle's frame.
    pub lift: [f64; 2],
    pub points: Vec<LiftPoint>,
    pub sideways: Sideways,
    /// What it turns about when it rolls; none where sheet metal and packing do not share the
    /// far end.
    pub tips: Option<Tips>,
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
    pub rise_from: RiseFrom,
    pub steps: Vec<OrderOutcome>,
    /// Orders that could not be worked out.
    pub left_out: Vec<LeftOut>,
    /// Slope of the face that is lifted by, as it lies, rad.
    pub face_rad: f64,
    pub by_beam: bool,
    /// Friction between that face and what lifts it, at rest and once it slips.
    pub face_mu: [f64; 2],
}

/// Where the rise at the end comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RiseFrom {
    /// The orders raise it so far.
    Orders,
    /// No order raises anything: so far frees every limb.
    Limbs,
}

impl fmt::Display for RiseFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Orders => "what the orders raise",
            Self::Limbs => "what frees every limb; the scene has no order `raise`",
        })
    }
}

/// Left against right once the load is off what it lay on. Bags that are filled equally push
/// equally; what would roll the vehicle is held by the end that stays down, which bears over a
/// width. What is rigid there holds all that it can. What is too much for it rolls the
/// vehicle, and sheet metal there and the bags share it by how stiff they are.
#[derive(Clone, Copy, Debug)]
pub struct Sideways {
    /// What would roll the vehicle over its length if the stacks bore equal loads, N m.
    pub rolls_nm: f64,
    /// What the end that stays down can hold of it, N m: all, and what is rigid there.
    pub holds_nm: f64,
    pub rigid_nm: f64,
    /// How sheet metal there holds against a roll, N m/rad: `k w^2 / 12`, a strip of springs; of
    /// a vehicle on its wheels their springs, `sum k z^2`, which hold it alone.
    pub metal_nm_rad: f64,
    /// Where the stacks' forces act together, m along Z.
    pub at_z: f64,
}

/// Sheet metal and packing that share the far end: once the vehicle rolls it turns about the
/// packing on the side that goes down, and sheet metal beyond it is eased.
#[derive(Clone, Copy, Debug)]
pub struct Tips {
    /// Where packing stands off the middle, m.
    pub fill_z: f64,
    /// How far packing and sheet metal are from the lift along X, m: towards the nose.
    pub fill_arm_m: f64,
    pub metal_arm_m: f64,
    /// The zone of sheet metal, by its index.
    pub panel: usize,
}

impl Sideways {
    /// What sheet metal holds against a roll, N m: no more than what bears on it can tilt.
    pub(super) fn metal_nm(&self, roll_rad: f64) -> f64 {
        let most_nm = self.holds_nm - self.rigid_nm;
        (self.metal_nm_rad * roll_rad).clamp(-most_nm, most_nm)
    }
}

impl LiftPlan {
    /// The states until it has risen as far as the orders raise it.
    pub fn up_to_rise(&self) -> impl Iterator<Item = &State> {
        self.states.iter().take_while(|state| state.rise_m <= self.rise_m + 1e-9)
    }

    /// The vehicle at a rise.
    pub fn at(&self, rise_m: f64) -> State {
        at_rise(&self.states, rise_m)
    }

    /// The vehicle at full height.
    pub fn end(&self) -> State {
        self.at(self.rise_m)
    }

    /// Force of the vehicle on a point, N.
    pub fn force_n(&self, point: &LiftPoint, state: &State) -> f64 {
        point.share * state.lift_n
    }

    /// Height lost to sheet metal, m.
    pub fn lost_m(&self, point: &LiftPoint, force_n: f64) -> f64 {
        point.panel.map_or(0.0, |i| {
            let p = &self.scene.vehicle.panels[i];
            panel::height_lost_m(
                force_n,
                p.stiffness_n_m,
                panel::yields_n(p.plateau_n, self.face_rad),
                p.depth_m,
            )
        })
    }

    /// How far the stack of a point goes down under a force, m; nothing on hard ground.
    pub fn sunk_m(&self, point: &LiftPoint, force_n: f64) -> f64 {
        self.scene.ground.soil.map_or(0.0, |bed| {
            let stack = &self.scene.stacks[point.stack];
            let soil = ground::spring(bed, stack.bearing_area_m2(), stack.bearing_strip_m());
            ground::settles_m(soil, force_n + point.dead_n)
        })
    }

    /// Turn of the vehicle about its pivot since the start, rad.
    pub fn turn_rad(&self, state: &State) -> f64 {
        state.side_pose.pitch_rad - self.states[0].side_pose.pitch_rad
    }

    pub(super) fn highest_at(&self) -> Option<usize> {
        let by_rise = |(_, a): &(usize, &OrderOutcome), (_, b): &(usize, &OrderOutcome)| {
            a.rise_m.total_cmp(&b.rise_m)
        };
        // An order that lets down leaves it no higher than the one before did.
        let raised = self.steps.iter().enumerate().filter(|(_, step)| !step.down);
        raised.max_by(by_rise).map(|(at, _)| at)
    }

    /// The order after which the load stands highest.
    pub fn highest(&self) -> Option<&OrderOutcome> {
        self.steps.get(self.highest_at()?)
    }

    /// Slope of the lifted face at a state against what the bags of a point lie on, rad.
    pub fn across_rad(&self, point: &LiftPoint, state: &State) -> f64 {
        self.face_rad + self.turn_rad(state) - point.leans_rad()
    }

    /// Tilt that the bags of a point have to take at a state, rad: between both faces.
    pub fn tilt_rad(&self, point: &LiftPoint, state: &State) -> f64 {
        if self.by_beam || point.wedged {
            self.turn_rad(state)
        } else {
            self.across_rad(point, state)
        }
    }

    /// Free air let into the bags until the load stands highest, m³.
    pub fn air_used_m3(&self) -> f64 {
        let empty = self.scene.bags.len() as f64 * bags::empty_j();
        self.highest().map_or(0.0, |at| {
            let held: f64 = at.bags.iter().map(|b| b.air_j).sum();
            air::free_air_m3(held + at.vented_j - empty)
        })
    }
}

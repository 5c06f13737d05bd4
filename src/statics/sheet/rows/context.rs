//! What every family of rows is made from, and what several of them share.

use crate::scene::{Bag, Limb, RestsOn, Stack};
use crate::statics::job::Job;
use crate::statics::plan::{LiftPlan, Plan};
use crate::statics::plane::LaidOut;
use crate::statics::sheet::RowPart;
use crate::statics::take::KitCount;
use crate::statics::vehicle::State;
use crate::units::UnitSystem;

/// Sources that several rows share.
pub const STATICS: &str = "statics of a rigid body (textbook)";
pub const THUMB: &str = "common practice, no source";

/// What the rows are made from.
pub struct RowContext<'a> {
    pub scene: &'a LaidOut,
    pub plan: &'a Plan,
    pub job: &'a Job,
    /// None where the scene names no kit.
    pub kit: Option<&'a KitCount<'a>>,
    pub units: UnitSystem,
}

impl<'a> RowContext<'a> {
    /// Else it turns about its tyres, in its cross-section.
    pub fn on_roof(&self) -> bool {
        self.scene.lies() == RestsOn::Roof
    }

    pub fn lift(&self) -> Option<&'a LiftPlan> {
        self.plan.lift.as_ref()
    }
}

/// Why there is nothing to lift by.
pub fn no_lift(d: &RowContext<'_>) -> &'static str {
    if d.scene.bags.is_empty() {
        "the scene names no `bags` on a stack"
    } else if d.scene.beam().is_some() {
        "the beam lies where the vehicle has no opening above its roof"
    } else {
        "no bag of the scene has the vehicle above it as it lies"
    }
}

/// The most that a strut's head bears of the vehicle in a lift, upright, N. The strut by its index.
pub fn most_on_strut_n(d: &RowContext<'_>, lift: &LiftPlan, strut: usize) -> f64 {
    let on = |state: &State| d.plan.on_strut_n(state, strut);
    lift.up_to_rise().map(on).fold(on(&lift.end()), f64::max)
}

pub fn stack_part(stack: &Stack) -> RowPart {
    RowPart::Stack(stack.name.clone())
}

pub fn bag_part(bag: &Bag) -> RowPart {
    RowPart::Bag(bag.name.clone())
}

pub fn limb_part(limb: &Limb) -> RowPart {
    RowPart::Limb(limb.name.clone())
}

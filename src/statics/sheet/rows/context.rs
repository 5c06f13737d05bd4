//! What every family of rows is made from, and what several of them share.

use crate::scene::{Bag, Limb, RestsOn, Stack};
use crate::statics::plan::{LiftPlan, Plan};
use crate::statics::plane::LaidOut;
use crate::statics::sheet::RowPart;
use crate::units::UnitSystem;

/// Sources that several rows share.
pub const STATICS: &str = "statics of a rigid body (textbook)";
pub const THUMB: &str = "common practice, no source";

/// What the rows are made from.
pub struct RowContext<'a> {
    pub scene: &'a LaidOut,
    pub plan: &'a Plan,
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

pub fn stack_part(stack: &Stack) -> RowPart {
    RowPart::Stack(stack.name.clone())
}

pub fn bag_part(bag: &Bag) -> RowPart {
    RowPart::Bag(bag.name.clone())
}

pub fn limb_part(limb: &Limb) -> RowPart {
    RowPart::Limb(limb.name.clone())
}

//! The rows of the sheet, one family a file.

mod bags;
mod beam;
mod face;
mod ground;
mod lift;
mod orders;
mod stacks;

use super::Row;
use crate::scene::Scene;
use crate::statics::plan::{LiftPlan, Plan};
use crate::units::System;

/// Sources that several rows share.
const STATICS: &str = "statics of a rigid body (textbook)";
const THUMB: &str = "common practice, no source";

/// What the rows are made from.
struct Desk<'a> {
    scene: &'a Scene,
    plan: &'a Plan,
    units: System,
}

impl<'a> Desk<'a> {
    fn lift(&self) -> Option<&'a LiftPlan> {
        self.plan.lift.as_ref()
    }
}

/// Every row, in the order of the sheet.
pub fn all(scene: &Scene, plan: &Plan, units: System) -> Vec<Row> {
    let desk = Desk { scene, plan, units };
    [
        lift::vehicle(&desk),
        lift::force(&desk),
        lift::gaps(&desk),
        bags::bags(&desk),
        bags::air(&desk),
        orders::orders(&desk),
        stacks::stacks(&desk),
        beam::beam(&desk),
        face::face(&desk),
        face::metal(&desk),
        ground::ground(&desk),
        ground::sliding(&desk),
    ]
    .concat()
}

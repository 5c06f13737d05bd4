//! The rows of the sheet, one family a file.

mod bags;
mod beam;
mod face;
mod ground;
mod lift;
mod orders;
mod stacks;
mod turn;

use super::Row;
use crate::scene::{Lies, Scene};
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
    /// Else it turns about its tyres, in its cross-section.
    fn on_roof(&self) -> bool {
        self.scene.lies == Lies::Roof
    }

    fn lift(&self) -> Option<&'a LiftPlan> {
        self.plan.lift.as_ref()
    }
}

/// Every row, in the order of the sheet.
pub fn all(plan: &Plan, units: System) -> Vec<Row> {
    let desk = Desk { scene: &plan.scene, plan, units };
    let rows = [
        lift::vehicle(&desk),
        lift::force(&desk),
        lift::gaps(&desk),
        bags::bags(&desk),
        bags::air(&desk),
        orders::orders(&desk),
        stacks::stacks(&desk),
    ];
    let rest = if desk.on_roof() {
        vec![
            beam::beam(&desk),
            face::face(&desk),
            face::metal(&desk),
            ground::ground(&desk),
            ground::sliding(&desk),
        ]
    } else {
        vec![face::face(&desk), ground::ground(&desk), turn::turn(&desk)]
    };
    rows.into_iter().chain(rest).flatten().collect()
}

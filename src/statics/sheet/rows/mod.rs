//! The rows of the sheet, one family a file.

mod bags;
mod beam;
mod context;
mod face;
mod gaps;
mod ground;
mod job;
mod kit;
mod lift;
mod measured;
mod orders;
mod stacks;
mod step_chocks;
mod struts;
mod thrust;
mod turn;
mod vehicle;

use super::Row;
pub use context::RowContext;

/// Every row, in the order of the sheet.
pub fn all(context: &RowContext<'_>) -> Vec<Row> {
    let rows = [
        measured::measured(context),
        kit::kit(context),
        job::job(context),
        vehicle::vehicle(context),
        lift::force(context),
        gaps::gaps(context),
        bags::bags(context),
        bags::air(context),
        orders::orders(context),
        stacks::stacks(context),
    ];
    let rest = if context.on_roof() {
        vec![
            beam::beam(context),
            face::face(context),
            face::metal(context),
            ground::ground(context),
            ground::sliding(context),
        ]
    } else {
        vec![face::face(context), ground::ground(context), turn::turn(context)]
    };
    let held = step_chocks::step_chocks(context).into_iter().chain(struts::struts(context));
    rows.into_iter().chain(rest).flatten().chain(held).collect()
}

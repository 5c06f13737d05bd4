//! How long the job takes the crew, until the lift can begin and until every limb is free.

use super::context::RowContext;
use crate::statics::job::{Held, Job, Pace};
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity};

const ASSUMED: &str =
    "assumed times of tasks: put your own drills in their place (`measured.drills`)";
const DRILLED: &str = "times of tasks from your own drills; those not timed are assumed";

pub fn job(d: &RowContext<'_>) -> Vec<Row> {
    let job = Job::new(d.scene.as_told(), d.plan);
    let source = if job.drilled > 0 { DRILLED } else { ASSUMED };
    let people = format!("{} people", job.hands);
    let formula = "each task once those before it are done and hands are free";
    let between = |of: &dyn Fn(Pace) -> f64| {
        [Pace::Fastest, Pace::Slowest].map(|pace| Figure::Work(of(pace)))
    };
    let ready = |pace| job.ready_s(pace);
    let row = Row::new(RowGroup::Job, RowQuantity::ReadyToLift, Figure::Work(ready(Pace::Usual)))
        .by(formula, format!("{} tasks, {people}", job.first_order), source)
        .between(between(&ready))
        .note("A played lift begins when everything stands, and carries orders out at once.");
    let Some(usual_s) = job.freed_s(Pace::Usual) else {
        let why = "no order of the plan frees every limb";
        return vec![row, Row::missing(RowGroup::Job, RowQuantity::FreedAfter, why)];
    };
    let freed = |pace| job.freed_s(pace).unwrap_or(usual_s);
    let order = |index| d.scene.order_text(index, d.units);
    let slots = job.slots(Pace::Usual);
    let before = job.longest_chain().into_iter().filter(|task| job.tasks[*task].order.is_none());
    let chain: Vec<String> = before
        .map(|task| match slots[task].held {
            Held::Hands(_) => format!("{} (for hands)", job.tasks[task].words(order)),
            _ => job.tasks[task].words(order),
        })
        .collect();
    vec![
        row,
        Row::new(RowGroup::Job, RowQuantity::FreedAfter, Figure::Work(usual_s))
            .by(formula, format!("{} tasks, {people}", job.tasks.len()), source)
            .between(between(&freed))
            .note(format!("What waits for what: {}; then the orders.", chain.join(", "))),
    ]
}

//! How long the job takes the crew: until the lift can begin, until every gap is reached on air,
//! until timber has followed, and until the casualty is out.

use super::context::RowContext;
use crate::statics::job::{Held, Job, WorkPace};
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity};
use crate::statics::take::KitCount;

const ASSUMED: &str =
    "assumed times of tasks: put your own drills in their place (`measured.drills`)";
const DRILLED: &str = "times of tasks from your own drills; those not timed are assumed";
/// Fewer can hardly build two cribs, hold the beam and stand at the controller (common practice,
/// no source).
const FEW: usize = 5;

pub fn job(d: &RowContext<'_>) -> Vec<Row> {
    let job = d.job;
    let so_far = |task: Option<usize>| task.map_or(0, |task| task + 1);
    let list = &job.list;
    let no_gap = "no order of the plan reaches every gap";
    let no_timber = "no order captures the load once every gap is reached: it stays on air";
    let ready = row(job, RowQuantity::ReadyToLift, list.first_order, &|p| Some(job.ready_s(p)), "");
    let gaps = so_far(list.reached);
    let gaps = row(job, RowQuantity::GapsReached, gaps, &|p| job.reached_s(p), no_gap);
    let timber = so_far(list.captured);
    let timber = row(job, RowQuantity::LoadOnTimber, timber, &|p| job.captured_s(p), no_timber);
    let out = row(job, RowQuantity::CasualtyOut, list.tasks.len(), &|p| job.out_s(p), no_gap);
    vec![
        ready.note(before(d)),
        gaps.note_where_worked_out("On air alone: nobody is moved yet."),
        timber,
        out.note_where_worked_out("After the last order, and when the medic is ready."),
    ]
}

/// A time at the middle of what the tasks take, and with everything quick or everything slow.
fn row(
    job: &Job,
    quantity: RowQuantity,
    tasks: usize,
    at_s: &dyn Fn(WorkPace) -> Option<f64>,
    why_not: &str,
) -> Row {
    let times = [WorkPace::Usual, WorkPace::Fastest, WorkPace::Slowest].map(at_s);
    let [Some(usual_s), Some(quick_s), Some(slow_s)] = times else {
        return Row::missing(RowGroup::Job, quantity, why_not);
    };
    Row::new(RowGroup::Job, quantity, Figure::Work(usual_s))
        .by(
            "each task once those before it are done and people are free",
            format!("{tasks} tasks, {} people and one in command", job.people),
            if job.list.drilled > 0 { DRILLED } else { ASSUMED },
        )
        .between([quick_s, slow_s].map(Figure::Work))
}

/// What the time until the lift is to be read with.
fn before(d: &RowContext<'_>) -> String {
    let job = d.job;
    let order = |index| d.scene.order_text(index, d.units);
    let slots = job.slots(WorkPace::Usual);
    let chain = job.longest_chain().into_iter().map(|task| {
        let words = job.list.tasks[task].words(order);
        match slots[task].held {
            Held::People(_) => format!("{words} (waits for people)"),
            _ => words,
        }
    });
    let chain: Vec<String> = chain.collect();
    let mut note = format!(
        "From arrival at the vehicle. What waits for what: {}. A played lift begins when everything \
         stands, and carries orders out at once.",
        chain.join(", ")
    );
    if job.people < FEW {
        note += " So few people can hardly lift evenly and capture at the same time.";
    }
    let short = d.kit.map_or(0, KitCount::short);
    if short > 0 {
        note += &format!(
            " The truck is short of {short} kinds of pieces: the times are for a full kit."
        );
    }
    note
}

//! The sheet: every row that a scene allows, and what it leaves open, with the reason.
//! Rows for a reader as text, for a program as JSON and CSV, for a class as a page.

mod comparison;
mod csv_file;
mod drawing;
mod figure;
mod html;
mod json;
mod left_out;
mod merge;
mod page;
mod quantity;
mod row;
mod rows;
mod text;
mod verdict;
mod words;
mod written;

pub use comparison::{Comparison, compare};
pub use drawing::escape;
pub use figure::{Figure, Limit};
pub use left_out::NOT_ON_THE_SHEET;
pub use merge::rows_for_reading;
pub use page::{columns, page};
pub use quantity::{BearingPart, PieceKind, Pivot, RowGroup, RowPart, RowQuantity, Subject, When};
pub use row::Row;
pub use verdict::{CLOSE_SHARE, Verdict};
pub use written::written;

use super::job::Job;
use super::plan::Plan;
use super::take::KitCount;
use crate::scene::{Cause, Incomplete, Scene};
use crate::units::UnitSystem;
use rows::RowContext;

/// A lift on paper.
pub struct Sheet<'a> {
    pub scene: &'a Scene,
    pub units: UnitSystem,
    pub rows: Vec<Row>,
    /// None where nothing can be worked out.
    pub plan: Option<Plan>,
    /// None where there is no plan.
    pub job: Option<Job>,
    /// None where there is no plan or the scene names no kit.
    pub kit: Option<KitCount<'a>>,
}

impl<'a> Sheet<'a> {
    pub fn new(scene: &'a Scene, units: UnitSystem) -> Self {
        let plan = Plan::new(scene);
        let job = plan.as_ref().map(|plan| Job::new(scene, plan));
        let kit = plan.as_ref().and_then(|plan| KitCount::new(scene, plan));
        let rows = match plan.as_ref().zip(job.as_ref()) {
            Some((plan, job)) => {
                rows::all(&RowContext { scene: &plan.scene, plan, job, kit: kit.as_ref(), units })
            }
            None => vec![Row::missing(
                RowGroup::Vehicle,
                RowQuantity::RestPose,
                "it is lifted on both sides at once: on its wheels the sheet turns it about the \
                 tyres of one side; move `stacks` with bags to one side",
            )],
        };
        Self { scene, units, rows, plan, job, kit }
    }

    /// The sheet of a scene that is not in order: what depends on a field that could not be
    /// read is not worked out, and names the field; what had to be left out is named first.
    /// Without drawings, which would show stand-ins.
    pub fn from_incomplete(incomplete: &'a Incomplete, units: UnitSystem) -> Self {
        let mut sheet = Self::new(&incomplete.scene, units);
        for (path, other) in &incomplete.others {
            let other = Self::new(other, units);
            for row in &mut sheet.rows {
                if row.result.is_some() && !other.rows.contains(row) {
                    let why = format!("needs `{path}`, which is unreadable");
                    *row = Row::missing(row.group, row.subject.clone(), why);
                }
            }
        }
        if !incomplete.others.is_empty() {
            (sheet.plan, sheet.job) = (None, None);
        }
        let stood_in = |path: &str| incomplete.others.iter().any(|(p, _)| p == path);
        let left_out = incomplete.problems.iter().filter(|p| !stood_in(&p.path)).map(|problem| {
            let key = problem.path.split('.').next().unwrap_or_default().to_owned();
            Row::missing(
                RowGroup::Vehicle,
                RowQuantity::LeftOut { key },
                format!(
                    "`{}`: {}. Every row that would need it is worked out without it or not at all",
                    problem.path,
                    problem.text.in_units(units)
                ),
            )
        });
        sheet.rows.splice(0..0, left_out);
        sheet
    }

    /// How many rows have a verdict.
    pub fn count(&self, verdict: Verdict) -> usize {
        self.rows.iter().filter(|r| r.lift_verdict() == Some(verdict)).count()
    }

    /// The least margin against something that may go wrong; none where statics has
    /// nothing to say of it. Zero is the boundary on paper.
    pub fn margin(&self, cause: Cause) -> Option<f64> {
        let rows = self.rows.iter().filter(|r| r.warns == Some(cause));
        rows.filter_map(Row::margin).min_by(f64::total_cmp)
    }

    /// The row with the least margin.
    pub fn weakest(&self) -> Option<&Row> {
        let judged = self.rows.iter().filter(|r| r.lift_verdict().is_some());
        judged.min_by(|a, b| {
            let key = |r: &Row| (r.verdict().map(std::cmp::Reverse), r.margin().unwrap_or(0.0));
            let ((va, ma), (vb, mb)) = (key(a), key(b));
            va.cmp(&vb).then(ma.total_cmp(&mb))
        })
    }

    /// One line that sums it up.
    pub fn summary(&self) -> String {
        let count = |v: Verdict| format!("{} {}", self.count(v), v.word());
        let open = self.rows.iter().filter(|r| r.result.is_none()).count();
        let weakest = self
            .weakest()
            .map_or_else(String::new, |r| format!("; weakest: {} ({})", r.what(), r.say_verdict()));
        let open = if open > 0 { format!(", {open} not worked out") } else { String::new() };
        let kit = match self.kit.as_ref().map(KitCount::short) {
            None => String::new(),
            Some(0) => "; the truck has all of it".into(),
            Some(short) => format!("; the truck is short of {short} kinds of pieces"),
        };
        format!(
            "{}, {}, {}{open}{weakest}{kit}",
            count(Verdict::Holds),
            count(Verdict::Close),
            count(Verdict::Fails)
        )
    }
}

//! One cell of a sweep as a line of its table. Every figure is text from the moment its cell
//! is done, so that it cannot change on the way.

use super::cell_outcome::{BROKEN, JAMMED, REFUSED};
use super::cells::Sweep;
use super::grid::Grid;
use crate::debrief::Debrief;
use crate::scene::{Cause, Outcome};

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub struct CellRow {
    pub cell: usize,
    /// In the order of the table's headings.
    pub fields: Vec<String>,
}

/// Counts of plays, and what most of them came to.
const ENDS: [&str; 6] = ["plays", "lifted", "failed", "incomplete", "outcome", "cause"];
/// Worst over the cell's plays: the least by which a limb's gap ends above what frees it,
/// and the most of the others, up to where a failed lift was no longer looked at.
const WORST: [&str; 5] = ["least_spare_gap_m", "roll_deg", "slide_m", "rise_m", "stack_lean_m"];
/// Why the cell has no lift; all final states in one number; the sweep's own number.
const LAST: [&str; 3] = ["problem", "state", "sweep"];
/// A heading for each varied field, the counts, the worst values, and for each cause the
/// least margin on paper, as a share of its limit.
pub(super) fn headings(grid: &Grid) -> Vec<String> {
    let fields = grid.axes.iter().flat_map(|axis| &axis.fields);
    let fixed = |names: &[&str]| names.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>();
    let mut headings = fixed(&["cell"]);
    headings.extend(fields.map(|(path, _)| path.clone()));
    headings.extend(fixed(&ENDS));
    headings.extend(fixed(&WORST));
    headings.extend(Cause::WORDS.iter().map(|(word, _)| format!("paper_{word}")));
    headings.extend(fixed(&LAST));
    headings
}

fn number(value: f64) -> String {
    // Never "-0.000000".
    format!("{:.6}", (value * 1e6).round() / 1e6 + 0.0)
}

impl CellRow {
    /// None where the fields are not those of a cell of this sweep, by their number, the cell's
    /// own, the values varied in it and the sweep's key.
    pub(super) fn from_fields(sweep: &Sweep, fields: Vec<String>) -> Option<Self> {
        let cell = fields.first()?.parse().ok().filter(|cell| *cell < sweep.grid.cells())?;
        let whole = fields.len() == headings(&sweep.grid).len()
            && fields.starts_with(&Self::begin(sweep, cell))
            && fields.last() == Some(&sweep.key().to_string());
        whole.then_some(Self { cell, fields })
    }

    /// The cell's number and the values varied in it.
    fn begin(sweep: &Sweep, cell: usize) -> Vec<String> {
        let place = sweep.grid.place(cell);
        let values = sweep.grid.axes.iter().zip(&place).flat_map(|(axis, &i)| axis.changes(i));
        std::iter::once(cell.to_string()).chain(values.map(|(_, value)| value.to_owned())).collect()
    }

    /// A cell that was played; `problem` tells of samples whose lifts cannot begin.
    pub(super) fn played(
        sweep: &Sweep,
        cell: usize,
        plays: &[Debrief],
        paper: &[Option<f64>],
        problem: String,
    ) -> Self {
        let mut fields = Self::begin(sweep, cell);
        let count = |outcome| plays.iter().filter(|d| d.outcome == outcome).count().to_string();
        let (outcome, cause) = most_frequent(plays);
        let broken = plays.iter().any(|d| d.broken);
        fields.extend([
            plays.len().to_string(),
            count(Outcome::Lifted),
            count(Outcome::Failed),
            count(Outcome::Incomplete),
            if broken { BROKEN } else { outcome.word() }.to_owned(),
            cause.map_or("", Cause::word).to_owned(),
        ]);
        let most =
            |of: &dyn Fn(&Debrief) -> f64| plays.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
        let spare =
            |d: &Debrief| d.gaps.iter().map(|g| g.end_m - g.needed_m).fold(f64::INFINITY, f64::min);
        fields.extend([
            number(-most(&|d| -spare(d))),
            number(most(&|d| d.peaks.roll_rad.to_degrees())),
            number(most(&|d| d.peaks.slide_m)),
            number(most(&|d| d.peaks.rise_m)),
            number(most(&|d| d.peaks.stack_lean_m)),
        ]);
        fields.extend(paper.iter().map(|m| m.map_or(String::new(), number)));
        let state = plays.iter().fold(0_u64, |all, d| all.rotate_left(1) ^ d.state_hash);
        fields.extend([problem, format!("{state:016x}"), sweep.key().to_string()]);
        Self { cell, fields }
    }

    /// A cell whose scene cannot be read.
    pub(super) fn refused(sweep: &Sweep, cell: usize, why: &str) -> Self {
        Self::not_played(sweep, cell, REFUSED, why)
    }

    /// A cell none of whose lifts can begin.
    pub(super) fn jammed(sweep: &Sweep, cell: usize, why: &str) -> Self {
        Self::not_played(sweep, cell, JAMMED, why)
    }

    fn not_played(sweep: &Sweep, cell: usize, kind: &str, why: &str) -> Self {
        let mut fields = Self::begin(sweep, cell);
        fields.extend(["0", "0", "0", "0", kind, ""].map(String::from));
        fields.resize(fields.len() + WORST.len() + Cause::WORDS.len(), String::new());
        fields.extend([why.to_owned(), String::new(), sweep.key().to_string()]);
        Self { cell, fields }
    }
}

/// How a cell's plays ended, most often; the worse of two that are as frequent.
fn most_frequent(plays: &[Debrief]) -> (Outcome, Option<Cause>) {
    let count = |outcome| plays.iter().filter(|d| d.outcome == outcome).count();
    let outcome = [Outcome::Lifted, Outcome::Incomplete, Outcome::Failed]
        .into_iter()
        .max_by_key(|outcome| count(*outcome))
        .unwrap_or(Outcome::Failed);
    let failed_by = |cause| plays.iter().filter(|d| d.cause == Some(cause)).count();
    // Of two as frequent the one that the list of causes names first.
    let cause = Cause::WORDS.iter().rev().map(|(_, c)| *c).max_by_key(|c| failed_by(*c));
    (outcome, cause.filter(|_| outcome == Outcome::Failed))
}

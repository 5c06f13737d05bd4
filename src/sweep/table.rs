//! The cells as a table, in grid order: CSV, JSON, and back from the CSV files of a sweep
//! that was spread over machines. Every figure is text from the moment its cell is done,
//! so that it cannot change on the way.

use super::Sweep;
use super::play::most_frequent;
use crate::debrief::Debrief;
use crate::scene::{CAUTION, Cause, Outcome};
use std::collections::BTreeMap;
use std::path::Path;

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    pub cell: usize,
    /// In the order of the table's headings.
    pub fields: Vec<String>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    pub heads: Vec<String>,
    pub rows: Vec<Row>,
}

/// Counts of plays, and what most of them came to.
const ENDS: [&str; 6] = ["plays", "lifted", "failed", "incomplete", "outcome", "cause"];
/// Worst over the cell's plays: the least by which a limb's gap ends above what frees it,
/// and the most of the others, up to where a failed lift was no longer looked at.
const WORST: [&str; 5] = ["least_spare_gap_m", "roll_deg", "slide_m", "rise_m", "stack_lean_m"];
/// Why the cell has no lift; all final states in one number; the sweep's own number.
const LAST: [&str; 3] = ["problem", "state", "sweep"];
/// The cell's scene cannot be played.
pub const REFUSED: &str = "refused";
/// A body's state stopped being a number in one of its plays.
pub const BROKEN: &str = "broken";

/// A heading for each varied field, the counts, the worst values, and for each cause the
/// least margin on paper, as a share of its limit.
pub(super) fn heads(sweep: &Sweep) -> Vec<String> {
    let fields = sweep.grid.axes.iter().flat_map(|axis| &axis.fields);
    let fixed = |names: &[&str]| names.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>();
    let mut heads = fixed(&["cell"]);
    heads.extend(fields.map(|(path, _)| path.clone()));
    heads.extend(fixed(&ENDS));
    heads.extend(fixed(&WORST));
    heads.extend(Cause::WORDS.iter().map(|(word, _)| format!("paper_{word}")));
    heads.extend(fixed(&LAST));
    heads
}

fn number(value: f64) -> String {
    // Never "-0.000000".
    format!("{:.6}", (value * 1e6).round() / 1e6 + 0.0)
}

impl Row {
    /// None where the fields do not belong under the headings.
    pub(super) fn from_fields(heads: &[String], fields: Vec<String>) -> Option<Self> {
        let cell = fields.first()?.parse().ok()?;
        (fields.len() == heads.len()).then_some(Self { cell, fields })
    }

    fn begin(sweep: &Sweep, cell: usize) -> Vec<String> {
        let place = sweep.grid.place(cell);
        let values = sweep.grid.axes.iter().zip(&place).flat_map(|(axis, &i)| axis.sets(i));
        std::iter::once(cell.to_string()).chain(values.map(|(_, value)| value.to_owned())).collect()
    }

    pub(super) fn played(
        sweep: &Sweep,
        cell: usize,
        plays: &[Debrief],
        paper: &[Option<f64>],
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
        fields.extend([String::new(), format!("{state:016x}"), format!("{:016x}", sweep.key())]);
        Self { cell, fields }
    }

    pub(super) fn refused(sweep: &Sweep, cell: usize, why: &str) -> Self {
        let mut fields = Self::begin(sweep, cell);
        fields.extend(["0", "0", "0", "0", REFUSED, ""].map(String::from));
        fields.resize(fields.len() + WORST.len() + Cause::WORDS.len(), String::new());
        fields.extend([why.to_owned(), String::new(), format!("{:016x}", sweep.key())]);
        Self { cell, fields }
    }
}

impl Table {
    fn column(&self, head: &str) -> usize {
        self.heads.iter().position(|h| h == head).unwrap_or(usize::MAX)
    }

    /// A cell's field by its heading.
    pub fn get<'a>(&self, row: &'a Row, head: &str) -> &'a str {
        row.fields.get(self.column(head)).map_or("", String::as_str)
    }

    /// How many cells came to each outcome or cause, by its word.
    pub fn counts(&self) -> BTreeMap<&str, usize> {
        let mut counts = BTreeMap::new();
        for row in &self.rows {
            *counts.entry(self.end(row)).or_insert(0) += 1;
        }
        counts
    }

    /// What a cell most often came to: the cause where it failed, else the outcome.
    pub fn end<'a>(&self, row: &'a Row) -> &'a str {
        let cause = self.get(row, "cause");
        if cause.is_empty() { self.get(row, "outcome") } else { cause }
    }

    pub fn has(&self, outcome: &str) -> bool {
        self.rows.iter().any(|row| self.get(row, "outcome") == outcome)
    }

    /// The table as CSV.
    ///
    /// # Errors
    /// None in practice: it is written to memory.
    pub fn csv(&self) -> Result<Vec<u8>, String> {
        let mut out = csv::Writer::from_writer(Vec::new());
        out.write_record(&self.heads).map_err(|e| e.to_string())?;
        for row in &self.rows {
            out.write_record(&row.fields).map_err(|e| e.to_string())?;
        }
        out.into_inner().map_err(|e| e.to_string())
    }

    /// The table as JSON: a field that is a number or a whole count is one, a field with
    /// nothing in it is null.
    ///
    /// # Errors
    /// None in practice.
    pub fn json(&self, sweep: &Sweep) -> Result<String, String> {
        use serde_json::{Map, Value};
        let first_end = 1 + sweep.grid.axes.iter().map(|a| a.fields.len()).sum::<usize>();
        let words = ["outcome", "cause", "problem", "state", "sweep"];
        let value = |index: usize, text: &str| -> Value {
            let varied = (1..first_end).contains(&index);
            if text.is_empty() {
                return Value::Null;
            }
            if varied || words.contains(&self.heads[index].as_str()) {
                return Value::from(text);
            }
            text.parse::<u64>()
                .map(Value::from)
                .or_else(|_| text.parse::<f64>().map(Value::from))
                .unwrap_or_else(|_| Value::from(text))
        };
        let cells: Vec<Value> = self
            .rows
            .iter()
            .map(|row| {
                let fields = row.fields.iter().enumerate();
                Value::Object(
                    fields.map(|(i, text)| (self.heads[i].clone(), value(i, text))).collect(),
                )
            })
            .collect();
        let mut report = Map::new();
        report.insert("scene".into(), Value::from(sweep.scene.name.as_str()));
        report.insert("caution".into(), Value::from(CAUTION));
        report.insert("fixed".into(), Value::from(sweep.sets.clone()));
        report.insert(
            "varied".into(),
            sweep.grid.axes.iter().map(|axis| Value::from(axis.name())).collect(),
        );
        report.insert("samples".into(), sweep.samples.map_or(Value::Null, Value::from));
        report.insert("seed".into(), sweep.samples.map_or(Value::Null, |_| sweep.seed.into()));
        report.insert("cells".into(), Value::from(cells));
        serde_json::to_string_pretty(&report).map(|text| text + "\n").map_err(|e| e.to_string())
    }

    /// The whole of a sweep from the tables of its parts.
    ///
    /// # Errors
    /// A file that cannot be read or is of another sweep, cells told twice and not alike, or
    /// cells that are missing.
    pub fn merged(sweep: &Sweep, files: &[impl AsRef<Path>]) -> Result<Self, String> {
        let heads = heads(sweep);
        let key = format!("{:016x}", sweep.key());
        let mut rows: BTreeMap<usize, Row> = BTreeMap::new();
        for file in files {
            let shown = file.as_ref().display();
            let unread = |why: csv::Error| format!("{shown}: cannot be read: {why}");
            let mut reader = csv::Reader::from_path(file).map_err(unread)?;
            let same =
                reader.headers().map_err(unread)?.iter().eq(heads.iter().map(String::as_str));
            let other = || {
                format!(
                    "{shown} is not a table of this sweep: scene, grid, samples and seed must be \
                     those it was played with"
                )
            };
            if !same {
                return Err(other());
            }
            for record in reader.records() {
                let fields: Vec<String> =
                    record.map_err(unread)?.iter().map(str::to_owned).collect();
                if fields.last() != Some(&key) {
                    return Err(other());
                }
                let row = Row::from_fields(&heads, fields).ok_or_else(other)?;
                match rows.get(&row.cell) {
                    Some(before) if *before != row => {
                        return Err(format!(
                            "{shown}: cell {} came out unlike in two files: they were played by \
                             different programs; play all of it with one",
                            row.cell
                        ));
                    }
                    _ => rows.insert(row.cell, row),
                };
            }
        }
        let missing: Vec<String> = (0..sweep.grid.cells())
            .filter(|cell| !rows.contains_key(cell))
            .map(|cell| cell.to_string())
            .collect();
        if !missing.is_empty() {
            let first = missing[..missing.len().min(8)].join(", ");
            return Err(format!(
                "{} of {} cells are in none of the files (the first: {first}); give the tables of \
                 all parts",
                missing.len(),
                sweep.grid.cells()
            ));
        }
        Ok(Self { heads, rows: rows.into_values().collect() })
    }
}

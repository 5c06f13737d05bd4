//! The cells as a table, in grid order: CSV, JSON, and back from the CSV files of a sweep
//! that was spread over machines.

use super::cells::Sweep;
use super::row::{CellRow, headings};
use crate::caution::CAUTION;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    pub headings: Vec<String>,
    /// By cell, each once.
    pub rows: Vec<CellRow>,
}

/// Why the tables of some parts make no whole.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum JoinError {
    #[error("{}: cannot be read: {source}", file.display())]
    Unread { file: PathBuf, source: csv::Error },
    #[error(
        "{} is not a table of this sweep: scene, grid, samples and seed must be those it was \
         played with",
        file.display()
    )]
    OtherSweep { file: PathBuf },
    #[error(
        "{} was played by another build of the program, whose lifts differ from this one's; play \
         all of the sweep with one build",
        file.display()
    )]
    OtherPhysics { file: PathBuf },
    #[error(
        "{}: cell {cell} came out unlike in two files: they were played by different programs; \
         play all of it with one",
        file.display()
    )]
    Unlike { file: PathBuf, cell: usize },
    #[error(
        "{} of {of} cells are in none of the files (the first: {}); give the tables of all parts",
        missing.len(),
        missing.iter().take(8).map(usize::to_string).collect::<Vec<_>>().join(", ")
    )]
    Missing { missing: Vec<usize>, of: usize },
}

impl Table {
    fn column(&self, head: &str) -> usize {
        self.headings.iter().position(|h| h == head).unwrap_or(usize::MAX)
    }

    /// A cell's field by its heading.
    pub fn get<'a>(&self, row: &'a CellRow, head: &str) -> &'a str {
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
    pub fn end<'a>(&self, row: &'a CellRow) -> &'a str {
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
    pub fn csv(&self) -> Result<Vec<u8>, csv::Error> {
        let mut bytes = Vec::new();
        let mut out = csv::Writer::from_writer(&mut bytes);
        out.write_record(&self.headings)?;
        for row in &self.rows {
            out.write_record(&row.fields)?;
        }
        out.flush()?;
        drop(out);
        Ok(bytes)
    }

    /// The table as JSON: a field that is a number or a whole count is one, a field with
    /// nothing in it is null.
    ///
    /// # Errors
    /// None in practice.
    pub fn json(&self, sweep: &Sweep) -> Result<String, serde_json::Error> {
        use serde_json::{Map, Value};
        let first_end = 1 + sweep.grid.axes.iter().map(|a| a.fields.len()).sum::<usize>();
        let words = ["outcome", "cause", "problem", "state", "sweep"];
        let value = |index: usize, text: &str| -> Value {
            let varied = (1..first_end).contains(&index);
            if text.is_empty() {
                return Value::Null;
            }
            if varied || words.contains(&self.headings[index].as_str()) {
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
                    fields.map(|(i, text)| (self.headings[i].clone(), value(i, text))).collect(),
                )
            })
            .collect();
        let mut report = Map::new();
        report.insert("scene".into(), Value::from(sweep.scene.name.as_str()));
        report.insert("caution".into(), Value::from(CAUTION));
        report.insert("fixed".into(), Value::from(sweep.changes.clone()));
        report.insert(
            "varied".into(),
            sweep.grid.axes.iter().map(|axis| Value::from(axis.name())).collect(),
        );
        report.insert("samples".into(), sweep.samples.map_or(Value::Null, Value::from));
        report.insert("seed".into(), sweep.samples.map_or(Value::Null, |_| sweep.seed.into()));
        report.insert("cells".into(), Value::from(cells));
        serde_json::to_string_pretty(&report).map(|text| text + "\n")
    }

    /// The whole of a sweep from the tables of its parts.
    ///
    /// # Errors
    /// A file that cannot be read or is of another sweep, cells given twice with different
    /// values, or cells that are missing.
    pub fn joined(sweep: &Sweep, files: &[impl AsRef<Path>]) -> Result<Self, JoinError> {
        let headings = headings(&sweep.grid);
        let mut rows: BTreeMap<usize, CellRow> = BTreeMap::new();
        for file in files {
            let file = file.as_ref().to_owned();
            for row in part(sweep, &headings, &file)? {
                match rows.get(&row.cell) {
                    Some(before) if *before != row => {
                        return Err(JoinError::Unlike { file, cell: row.cell });
                    }
                    _ => rows.insert(row.cell, row),
                };
            }
        }
        let cells = sweep.grid.cells();
        let missing: Vec<usize> = (0..cells).filter(|cell| !rows.contains_key(cell)).collect();
        match missing.is_empty() {
            true => Ok(Self { headings, rows: rows.into_values().collect() }),
            false => Err(JoinError::Missing { missing, of: cells }),
        }
    }
}

/// The cells that the table of one part tells.
fn part(sweep: &Sweep, headings: &[String], file: &Path) -> Result<Vec<CellRow>, JoinError> {
    let unread = |source| JoinError::Unread { file: file.to_owned(), source };
    let other = || JoinError::OtherSweep { file: file.to_owned() };
    let mut reader = csv::Reader::from_path(file).map_err(unread)?;
    if !reader.headers().map_err(unread)?.iter().eq(headings.iter().map(String::as_str)) {
        return Err(other());
    }
    let mut rows = Vec::new();
    for record in reader.records() {
        let fields: Vec<String> = record.map_err(unread)?.iter().map(str::to_owned).collect();
        if fields.last().is_some_and(|key| sweep.key().differs_in_physics(key)) {
            return Err(JoinError::OtherPhysics { file: file.to_owned() });
        }
        rows.push(CellRow::from_fields(sweep, fields).ok_or_else(other)?);
    }
    Ok(rows)
}

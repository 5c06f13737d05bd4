//! The cells as a table, in grid order: CSV and JSON.

use super::cells::Sweep;
use super::row::CellRow;
use crate::caution::CAUTION;
use std::collections::BTreeMap;

#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    pub headings: Vec<String>,
    /// By cell, each once.
    pub rows: Vec<CellRow>,
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
}

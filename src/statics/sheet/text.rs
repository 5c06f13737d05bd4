//! The sheet for a terminal.

use super::left_out::{NOT_ON_THE_SHEET_TITLE, left_out_lines};
use super::rows_for_reading;
use super::written::written;
use super::{Limit, Row, Sheet};
use crate::caution::CAUTION;
use crate::units::UnitSystem;
use std::fmt::Write;

/// Width of the text, in characters.
const WIDTH: usize = 100;

/// A limit in words, "at most 71.8 kPa".
pub fn limit_text(limit: Limit, units: UnitSystem) -> String {
    let word = match limit {
        Limit::AtMost(_) => "at most",
        Limit::AtLeast(_) => "at least",
    };
    format!("{word} {}", limit.figure().show(units))
}

impl Sheet<'_> {
    /// The whole sheet as text.
    pub fn text(&self) -> String {
        written(|out| self.write_text(out))
    }

    fn write_text(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "{}: the lift on paper", self.scene.name)?;
        for line in textwrap::wrap(&self.summary(), WIDTH) {
            writeln!(out, "{line}")?;
        }
        let mut group = None;
        for row in &rows_for_reading(&self.rows, self.units) {
            if group != Some(row.group) {
                group = Some(row.group);
                writeln!(out, "\n{}", row.group.title())?;
            }
            self.write_row(out, row)?;
        }
        writeln!(out, "\n{NOT_ON_THE_SHEET_TITLE}")?;
        for entry in left_out_lines() {
            for line in textwrap::wrap(&entry, WIDTH - 2) {
                writeln!(out, "  {line}")?;
            }
        }
        writeln!(out, "\n{}", self.scene.data)?;
        for line in textwrap::wrap(CAUTION, WIDTH) {
            writeln!(out, "{line}")?;
        }
        Ok(())
    }

    fn write_row(&self, out: &mut String, row: &Row) -> std::fmt::Result {
        let result = row.result.map_or("not worked out".to_owned(), |f| f.show(self.units));
        let limit = row.limit.map_or(String::new(), |l| limit_text(l, self.units));
        let line = format!("  {:<44} {result:>16}  {limit:<24} {}", row.what(), row.say_verdict());
        writeln!(out, "{}", line.trim_end())?;
        let mut more = Vec::new();
        if !row.formula.is_empty() {
            more.push(format!("{}: {}", row.formula, row.numbers));
        }
        if let Some([a, b]) = row.spread {
            more.push(format!("spread {} to {}", a.show(self.units), b.show(self.units)));
        }
        if let Some(weak) = row.weak_limit {
            more.push(format!("the limit may be only {}", weak.show(self.units)));
        }
        if !row.note.is_empty() {
            more.push(row.note.clone());
        }
        if !row.source.is_empty() {
            more.push(format!("[{}]", row.source));
        }
        for part in more {
            for line in textwrap::wrap(&part, WIDTH - 6) {
                writeln!(out, "      {line}")?;
            }
        }
        Ok(())
    }
}

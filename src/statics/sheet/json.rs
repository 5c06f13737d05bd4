//! The sheet for programs.

use super::text::limit_text;
use super::{Comparison, Limit, NOT_ON_THE_SHEET, Row, Sheet};
use crate::caution::CAUTION;
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Serialize)]
struct Paper<'a> {
    scene: &'a str,
    caution: &'a str,
    data: &'a str,
    summary: String,
    rows: Vec<RowOut<'a>>,
    /// Why some fields that the play depends on change no row, and which.
    not_on_the_sheet: Vec<FieldsLeftOut>,
}

#[derive(Serialize)]
struct FieldsLeftOut {
    why: &'static str,
    fields: &'static [&'static str],
}

#[derive(Serialize)]
struct RowOut<'a> {
    group: &'a str,
    what: String,
    formula: &'a str,
    numbers: &'a str,
    source: &'a str,
    /// SI, in `unit`; null where it was not worked out or has no bound.
    value: Option<f64>,
    unit: &'a str,
    limit: Option<f64>,
    weak_limit: Option<f64>,
    limit_kind: Option<&'a str>,
    limit_text: Option<String>,
    verdict: Option<&'a str>,
    margin: Option<f64>,
    spread: Option<[f64; 2]>,
    note: &'a str,
}

fn row_out<'a>(row: &'a Row, sheet: &Sheet<'_>) -> RowOut<'a> {
    let finite = |v: f64| v.is_finite().then_some(v);
    RowOut {
        group: row.group.title(),
        what: row.what(),
        formula: &row.formula,
        numbers: &row.numbers,
        source: &row.source,
        value: row.result.and_then(|f| finite(f.value())),
        unit: row.result.map_or("", |f| f.unit()),
        limit: row.limit.and_then(|l| finite(l.figure().value())),
        weak_limit: row.weak_limit.and_then(|f| finite(f.value())),
        limit_kind: row.limit.map(|l| match l {
            Limit::AtMost(_) => "at most",
            Limit::AtLeast(_) => "at least",
        }),
        limit_text: row.limit.map(|l| limit_text(l, sheet.units)),
        verdict: row.verdict().map(super::Verdict::word),
        margin: row.margin().and_then(finite),
        spread: row.spread.map(|ends| ends.map(super::Figure::value)),
        note: &row.note,
    }
}

impl Sheet<'_> {
    fn paper(&self) -> Paper<'_> {
        Paper {
            scene: &self.scene.name,
            caution: CAUTION,
            data: &self.scene.data,
            summary: self.summary(),
            rows: self.rows.iter().map(|r| row_out(r, self)).collect(),
            not_on_the_sheet: NOT_ON_THE_SHEET
                .iter()
                .map(|&(why, fields)| FieldsLeftOut { why, fields })
                .collect(),
        }
    }

    /// The sheet as JSON; values in SI with their unit beside them.
    ///
    /// # Errors
    /// A number that JSON cannot hold.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(&self.paper())
    }
}

#[derive(Serialize)]
struct Alternatives<'a> {
    caution: &'a str,
    alternatives: Vec<Alternative<'a>>,
    sheets: Vec<Paper<'a>>,
}

#[derive(Serialize)]
struct Alternative<'a> {
    scene: &'a str,
    facts: BTreeMap<&'static str, &'a str>,
}

impl Comparison<'_> {
    /// Alternatives side by side and each sheet in full, as JSON.
    ///
    /// # Errors
    /// A number that JSON cannot hold.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        let facts = |column: usize| {
            self.lines.iter().map(|(what, cells)| (*what, cells[column].as_str())).collect()
        };
        serde_json::to_string_pretty(&Alternatives {
            caution: CAUTION,
            alternatives: self
                .sheets
                .iter()
                .enumerate()
                .map(|(i, sheet)| Alternative { scene: &sheet.scene.name, facts: facts(i) })
                .collect(),
            sheets: self.sheets.iter().map(Sheet::paper).collect(),
        })
    }
}

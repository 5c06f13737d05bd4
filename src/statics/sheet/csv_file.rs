//! The sheet as a table: one row a line, values in SI with their unit beside them.

use super::{Comparison, Limit, Sheet};
use crate::printable::cell;

const HEAD: [&str; 15] = [
    "scene",
    "group",
    "what",
    "formula",
    "numbers",
    "source",
    "value",
    "unit",
    "limit_kind",
    "limit",
    "weak_limit",
    "verdict",
    "margin",
    "spread",
    "note",
];

fn csv_of(sheets: &[Sheet<'_>]) -> Result<Vec<u8>, csv::Error> {
    let mut bytes = Vec::new();
    let mut out = csv::Writer::from_writer(&mut bytes);
    out.write_record(HEAD)?;
    for sheet in sheets {
        for row in &sheet.rows {
            let number = |v: f64| format!("{v:.6}");
            let kind = match row.limit {
                Some(Limit::AtMost(_)) => "at most",
                Some(Limit::AtLeast(_)) => "at least",
                None => "",
            };
            out.write_record(
                [
                    sheet.scene.name.clone(),
                    row.group.title().to_owned(),
                    row.what(),
                    row.formula.clone(),
                    row.numbers.clone(),
                    row.source.clone(),
                    row.result.map_or(String::new(), |f| number(f.value())),
                    row.result.map_or("", |f| f.unit()).to_owned(),
                    kind.to_owned(),
                    row.limit.map_or(String::new(), |l| number(l.figure().value())),
                    row.weak_limit.map_or(String::new(), |f| number(f.value())),
                    row.verdict().map_or("", super::Verdict::word).to_owned(),
                    row.margin().map_or(String::new(), number),
                    row.spread.map_or(String::new(), |[a, b]| {
                        format!("{} to {}", number(a.value()), number(b.value()))
                    }),
                    row.note.clone(),
                ]
                .map(|text| cell(&text).into_owned()),
            )?;
        }
    }
    out.flush()?;
    drop(out);
    Ok(bytes)
}

impl Sheet<'_> {
    /// The rows as CSV.
    ///
    /// # Errors
    /// None in practice: it is written to memory.
    pub fn csv(&self) -> Result<Vec<u8>, csv::Error> {
        csv_of(std::slice::from_ref(self))
    }
}

impl Comparison<'_> {
    /// The rows of every sheet as CSV, one after the other.
    ///
    /// # Errors
    /// None in practice: it is written to memory.
    pub fn csv(&self) -> Result<Vec<u8>, csv::Error> {
        csv_of(&self.sheets)
    }
}

//! Rows for a reader: parts of which the same is said share one.

use super::figure::Limit;
use super::quantity::RowQuantity;
use super::row::Row;
use crate::units::UnitSystem;

/// Whether the parts of a quantity can stand together in one heading.
fn parts_share(quantity: &RowQuantity) -> bool {
    !matches!(
        quantity,
        RowQuantity::RiseReached | RowQuantity::GapWithoutLift | RowQuantity::PackingRoom
    )
}

/// Whether two rows tell a reader the same of two parts: everything that would be printed of
/// them is compared as it would be printed, in the units of the reader.
fn says_the_same(one: &Row, other: &Row, units: UnitSystem) -> bool {
    let shown = |row: &Row| {
        (
            row.result.map(|f| f.show(units)),
            row.limit.map(Limit::figure).map(|f| f.show(units)),
            row.weak_limit.map(|f| f.show(units)),
            row.spread.map(|ends| ends.map(|f| f.show(units))),
        )
    };
    one.group == other.group
        && !one.parts().is_empty()
        && !other.parts().is_empty()
        && one.quantity() == other.quantity()
        && parts_share(one.quantity())
        && (&one.numbers, &one.note) == (&other.numbers, &other.note)
        && shown(one) == shown(other)
}

/// The rows for a reader: parts with the same text share a row.
pub fn rows_for_reading(rows: &[Row], units: UnitSystem) -> Vec<Row> {
    let mut out: Vec<Row> = Vec::new();
    for row in rows {
        match out.iter_mut().find(|r| says_the_same(r, row, units)) {
            Some(first) => first.subject.parts.extend_from_slice(row.parts()),
            None => out.push(row.clone()),
        }
    }
    out
}

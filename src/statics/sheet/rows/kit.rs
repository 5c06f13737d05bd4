//! What the set-up takes of each piece against what the truck carries.

use super::context::RowContext;
use crate::scene::{Kit, Piece, Stock};
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity};
use crate::statics::take::taken;
use crate::units::UnitSystem;

pub fn kit(d: &RowContext<'_>) -> Vec<Row> {
    let Some(kit) = d.scene.kit() else { return Vec::new() };
    let take = taken(d.scene.as_told(), Some(d.plan));
    take.into_iter().enumerate().map(|(place, stock)| row(kit, place, stock, d.units)).collect()
}

fn row(kit: &Kit, place: usize, taken: Stock, units: UnitSystem) -> Row {
    let has = kit.has(taken.piece);
    let carried = format!("{}{has} on the truck", sized(taken.piece, units));
    let row = Row::new(
        RowGroup::Kit,
        RowQuantity::Taken { kind: taken.piece.into(), place },
        Figure::Number(taken.count as f64),
    )
    .by("counted", carried, &format!("{}: {}", kit.name, kit.data))
    .at_most(Figure::Number(has as f64));
    if has > taken.count {
        return row;
    }
    if has == taken.count {
        return row.note("None is left over.");
    }
    let short = format!("{} short", taken.count - has);
    row.note(match kit.nearest(taken.piece) {
        Some(near) => format!(
            "{short}. The nearest on the truck: {}{} of them.",
            sized(near.piece, units),
            near.count
        ),
        None if has > 0 => format!("{short}."),
        None => format!("{short}, and the truck has nothing like it."),
    })
}

/// Its sizes as the reader is used to them; nothing where it has none.
fn sized(piece: Piece, u: UnitSystem) -> String {
    let over = |[x, z]: [f64; 2]| format!("{} by {}", u.gap(x), u.gap(z));
    match piece {
        Piece::Timber { length_m, .. } => format!("{} long, ", u.gap(length_m)),
        Piece::Board { size_m, thickness_m } => {
            format!("{} and {} thick, ", over(size_m), u.gap(thickness_m))
        }
        Piece::Block { size_m } => format!("{}, ", over(size_m)),
        Piece::Bag { size_m, working_pa } => {
            format!("{} for {}, ", over(size_m), u.pressure(working_pa))
        }
        Piece::Cylinder { water_m3, filled_pa } => {
            format!("{} at {}, ", u.free_air(water_m3), u.pressure(filled_pa))
        }
        _ => String::new(),
    }
}

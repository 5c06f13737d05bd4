//! What the set-up takes of each piece against what the truck carries.

use super::context::RowContext;
use crate::scene::{Kit, Piece};
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity};
use crate::statics::take::Need;
use crate::units::UnitSystem;

pub fn kit(d: &RowContext<'_>) -> Vec<Row> {
    let Some(count) = d.kit else { return Vec::new() };
    let needs = count.needs.iter().enumerate();
    needs.map(|(place, need)| row(count.kit, place, *need, d.units)).collect()
}

fn row(kit: &Kit, place: usize, need: Need, units: UnitSystem) -> Row {
    let Need { taken, has, does } = need;
    let more = does.map_or(0, |stock| stock.count);
    let row = Row::new(
        RowGroup::Kit,
        RowQuantity::Taken { kind: taken.piece.into(), place },
        Figure::Number(taken.count as f64),
    )
    .by(
        "counted",
        format!("{}{has} on the truck", sized(taken.piece, units)),
        &format!("{}: {}", kit.name, kit.data),
    )
    .at_most(Figure::Number((has + more) as f64));
    let does = does.map_or(String::new(), |stock| {
        format!("{} larger ones do, {}which nothing else takes. ", more, sized(stock.piece, units))
    });
    row.note(match need.short() {
        0 if has + more == taken.count => format!("{does}Just enough, no spare."),
        0 => does.trim_end().to_owned(),
        short => format!("{does}{short} short."),
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

//! What was measured in the yard beside what the tables and the bags' law foretell of it.

use super::context::RowContext;
use crate::statics::sheet::{Figure, Row, RowGroup, RowQuantity};
use crate::tables::Surface;

/// How far a measurement is from what was foretold, in words.
fn off(measured: f64, foretold: f64) -> String {
    format!("{:+.1} % of what is foretold.", 100.0 * (measured / foretold - 1.0))
}

pub fn measured(d: &RowContext<'_>) -> Vec<Row> {
    let Some(measured) = d.scene.measured() else { return Vec::new() };
    let (u, data) = (d.units, measured.data.as_str());
    let row = |quantity, result| Row::new(RowGroup::Measured, quantity, result);
    let mut rows = Vec::new();
    if let Some(weighed) = measured.weights {
        for (wheel, (n, foretold)) in weighed.wheels_n.iter().zip(weighed.foretold_n).enumerate() {
            rows.push(
                row(RowQuantity::WheelWeight(wheel), Figure::Load(*n))
                    .by(
                        "W a / L, W b / L, halved by its place across",
                        format!("foretold {}", u.force(foretold)),
                        data,
                    )
                    .note(off(*n, foretold)),
            );
        }
    }
    let (surface, wet): (Surface, bool) = (d.scene.ground.surface, d.scene.ground.wet);
    for slide in &measured.slides {
        let quantity = RowQuantity::SlideAngle { what: slide.what.word(), on: slide.on.word() };
        let foretold = slide.foretold_rad(surface, wet);
        let numbers = foretold
            .map_or("not in the table".to_owned(), |angle| format!("foretold {}", u.angle(angle)));
        let note = foretold.map_or(String::new(), |angle| off(slide.angle_rad, angle));
        rows.push(
            row(quantity, Figure::Angle(slide.angle_rad))
                .by("atan(mu) of the pair table", numbers, data)
                .note(note),
        );
    }
    for raised in &measured.raised {
        let foretold = raised.foretold_m();
        rows.push(
            row(RowQuantity::RaisedHeight, Figure::Gap(raised.height_m))
                .by(
                    "p (W - pi h / 2) (L - pi h / 2) = F",
                    format!(
                        "{} at {}, foretold {}",
                        u.force(raised.load_n),
                        u.pressure(raised.gauge_pa),
                        u.gap(foretold)
                    ),
                    data,
                )
                .note(off(raised.height_m, foretold)),
        );
    }
    rows
}

//! The bar that tells how long a metre, or three feet, is in a drawing.

use super::canvas::SvgCanvas;
use crate::units::UnitSystem;

/// Draws it in the upper left corner.
pub fn scale_bar(on: &mut SvgCanvas, units: UnitSystem) {
    let (bar, name) = match units {
        UnitSystem::Si => (1.0, "1 m"),
        UnitSystem::Us => (0.9144, "3 ft"),
    };
    let [left, top] = on.corner();
    let (x, y) = (left + 0.08, top - 0.10);
    on.line("dim", [x, y], [x + bar, y]);
    on.line("dim", [x, y - 0.02], [x, y + 0.02]);
    on.line("dim", [x + bar, y - 0.02], [x + bar, y + 0.02]);
    on.text("start", [x + bar + 0.05, y - 0.03], name);
}

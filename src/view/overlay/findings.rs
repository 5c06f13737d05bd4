//! The places where something went wrong.

use super::canvas::Pen;
use super::colours::FAILED;
use super::labels::Label;
use crate::session::Shown;
use crate::snapshot::{Finding, Reading};
use crate::units::UnitSystem;
use crate::view::panels::widget::pin;
use crate::view::yard::shown::vec3;
use bevy_egui::egui;

/// So many of them are told in words on the picture; the rest have their pin alone.
const IN_WORDS: usize = 3;

/// Pins each of them in the yard with its number, the first with what was measured there; gives
/// what the pins cover. Of pins that would cover each other the first one is shown, and none over
/// what is taken.
pub fn findings(
    pen: &Pen<'_>,
    shown: &Shown,
    (yard, size): (egui::Rect, f32),
    taken: &[egui::Rect],
    labels: &mut Vec<Label>,
) -> Vec<egui::Rect> {
    let radius = size * 0.55;
    let mut pins: Vec<egui::Rect> = Vec::new();
    let whole_within = yard.shrink(radius);
    if !whole_within.is_positive() {
        return pins;
    }
    for (i, finding) in shown.findings.iter().enumerate() {
        let place = pen.screen.at(vec3(finding.place));
        let Some(place) = place.filter(|place| yard.contains(*place)) else { continue };
        let at = whole_within.clamp(place);
        let rect = egui::Rect::from_center_size(at, egui::Vec2::splat(2.0 * radius));
        if !pins.iter().chain(taken).any(|other| other.intersects(rect)) {
            pin(pen.painter, at, radius, &(i + 1).to_string());
            pins.push(rect);
        }
        if i < IN_WORDS {
            let text = format!("{}  {}", i + 1, number(finding, shown.units));
            labels.push(Label { at, text, color: FAILED });
        }
    }
    pins
}

/// What a finding measured, against its limit.
fn number(finding: &Finding, units: UnitSystem) -> String {
    let Reading { dimension, value, limit } = finding.measured.reading();
    let limit = limit.map_or(String::new(), |l| format!(" (limit {})", units.show(dimension, l)));
    format!("{} {}{limit}", finding.part, units.show(dimension, value))
}

//! The places where something went wrong.

use super::canvas::Pen;
use super::colours::FAILED;
use super::labels::Label;
use crate::session::Shown;
use crate::snapshot::{Finding, Reading};
use crate::units::UnitSystem;
use crate::view::yard::shown::vec3;
use bevy_egui::egui::{self, Color32, Pos2, Shape, Stroke};

/// So many of them are told in words on the picture; the rest have their number, as in the list.
const IN_WORDS: usize = 3;

/// Marks each of them, the first with what was measured there.
pub fn findings(pen: &Pen<'_>, shown: &Shown, size: f32, labels: &mut Vec<Label>) {
    for (i, finding) in shown.findings.iter().enumerate() {
        let Some(p) = pen.screen.at(vec3(finding.place)) else { continue };
        marker(pen.painter, p, size * 0.55);
        let pin = format!("{}", i + 1);
        let told = || format!("{pin}: {}", number(finding, shown.units));
        let text = if i < IN_WORDS { told() } else { pin };
        labels.push(Label { at: p, text, color: FAILED });
    }
}

/// What a finding measured, against its limit.
fn number(finding: &Finding, units: UnitSystem) -> String {
    let Reading { dimension, value, limit } = finding.measured.reading();
    let limit = limit.map_or(String::new(), |l| format!(", limit {}", units.show(dimension, l)));
    format!("{}, {}{limit}", finding.part, units.show(dimension, value))
}

/// The sign for a place where something went wrong: a square on its corner with a stroke.
fn marker(painter: &egui::Painter, p: Pos2, r: f32) {
    let corners =
        [(0.0, -r), (r, 0.0), (0.0, r), (-r, 0.0)].map(|(x, y)| p + egui::vec2(x, y)).to_vec();
    painter.add(Shape::convex_polygon(corners, FAILED, Stroke::new(2.0, Color32::WHITE)));
    let bar = Stroke::new(0.24 * r, Color32::WHITE);
    painter.line_segment([p - egui::vec2(0.0, 0.5 * r), p + egui::vec2(0.0, 0.12 * r)], bar);
    painter.circle_filled(p + egui::vec2(0.0, 0.45 * r), 0.14 * r, Color32::WHITE);
}

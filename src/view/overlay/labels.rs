//! Labels over the yard, each in a place of its own.

use crate::view::theme;
use bevy_egui::egui::layers::ShapeIdx;
use bevy_egui::egui::{self, Color32, Pos2, Shape, Stroke, pos2};

/// A label that still looks for its place.
pub struct Label {
    pub at: Pos2,
    pub text: String,
    pub color: Color32,
}

/// Puts labels beside their points, each where it covers no other and nothing that is taken; one
/// that has no such place is left out. Their lines are painted in the turn of `lines`, under what
/// has been painted since.
pub fn place_labels(
    painter: &egui::Painter,
    lines: ShapeIdx,
    rect: egui::Rect,
    mut labels: Vec<Label>,
    size: f32,
    taken: &mut Vec<egui::Rect>,
) {
    labels.sort_by(|a, b| a.at.y.total_cmp(&b.at.y));
    let mut to_points = Vec::new();
    for label in labels {
        if !rect.contains(label.at) {
            continue;
        }
        let text = painter.layout_no_wrap(label.text, theme::bold(size), label.color);
        let pad = egui::vec2(0.45 * size, 0.25 * size);
        let box_size = text.size() + 2.0 * pad;
        let Some(place) = free_place(rect, label.at, box_size, size, taken) else { continue };
        taken.push(place.expand(1.0));
        let end = pos2(label.at.x.clamp(place.min.x, place.max.x), place.center().y);
        to_points.push(Shape::line_segment([label.at, end], Stroke::new(1.2, label.color)));
        painter.rect(
            place,
            4.0,
            Color32::from_white_alpha(250),
            Stroke::new(1.2, label.color),
            egui::StrokeKind::Inside,
        );
        painter.galley(place.min + pad, text, label.color);
    }
    painter.set(lines, Shape::Vec(to_points));
}

/// The nearest place for a label, to the right or the left of its point, that covers none
/// of what is there.
fn free_place(
    rect: egui::Rect,
    at: Pos2,
    label: egui::Vec2,
    size: f32,
    taken: &[egui::Rect],
) -> Option<egui::Rect> {
    let place = |left: f32, rows: f32| {
        let left = left.clamp(rect.min.x, (rect.max.x - label.x).max(rect.min.x));
        let top = at.y - 0.5 * label.y + rows * (label.y + 3.0);
        egui::Rect::from_min_size(pos2(left, top), label)
    };
    let (right, left) = (at.x + size, at.x - size - label.x);
    // Row by row away from the point, first downwards.
    let rows = (0..24).flat_map(|k| [k as f32, -(k as f32)]);
    rows.flat_map(|row| [place(right, row), place(left, row)])
        .find(|p| rect.contains_rect(*p) && !taken.iter().any(|t| t.intersects(*p)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// However many labels share one point, none covers another or the legend while there
    /// is room, and all stay in the yard.
    #[test]
    fn labels_never_cover_each_other() {
        let rect = egui::Rect::from_min_size(pos2(100.0, 50.0), egui::vec2(340.0, 330.0));
        let legend = egui::Rect::from_min_size(pos2(110.0, 330.0), egui::vec2(300.0, 40.0));
        for at in [rect.center(), pos2(430.0, 320.0), pos2(105.0, 370.0), pos2(300.0, 55.0)] {
            let mut taken = vec![legend];
            for i in 0..9 {
                let label = egui::vec2(60.0 + 20.0 * (i % 4) as f32, 22.0);
                let place = free_place(rect, at, label, 15.0, &taken).expect("there is room");
                assert!(rect.contains_rect(place), "{place:?}");
                assert!(!taken.iter().any(|t| t.intersects(place)), "{i} at {at:?}: {place:?}");
                taken.push(place);
            }
        }
    }
}

//! The legend of the overlays.

use super::canvas::Keys;
use super::colours::{BENDING, CONE, GAP, LOAD, MASS, THRUST};
use crate::session::{Overlay, Overlays};
use crate::view::key_names::overlay_key;
use crate::view::theme;
use bevy_egui::egui::{self, Color32, Galley, Pos2, Shape, Stroke, pos2};
use std::sync::Arc;

/// What the drawn signs mean, in the yard's lower left corner; nothing where a card is over it
/// or the yard is smaller.
pub fn legend(
    painter: &egui::Painter,
    rect: egui::Rect,
    on: Overlays,
    size: f32,
    keys: Keys,
    cards: &[egui::Rect],
) -> egui::Rect {
    let size = 0.9 * size;
    let lines: Vec<(Overlay, &str)> = Overlay::ALL
        .into_iter()
        .filter(|(which, _)| on.has(*which) && keys != Keys::NoLegend)
        .collect();
    if lines.is_empty() {
        return egui::Rect::NOTHING;
    }
    let row = 1.75 * size;
    let said = |words: &str, which: Overlay| {
        let text = match keys {
            Keys::Shown => format!("{words}  {}", overlay_key(which)),
            Keys::Hidden | Keys::NoLegend => words.to_owned(),
        };
        painter.layout_no_wrap(text, theme::plain(size), theme::INK.day)
    };
    let room = rect.size() - egui::Vec2::splat(2.0 * size);
    // In as many columns as go in, so that it stays flat: their width, the rows, the size of all.
    let lay = |texts: &[Arc<Galley>]| {
        let wide = texts.iter().map(|t| t.size().x).fold(0.0, f32::max) + 5.2 * size;
        let columns = ((room.x / wide) as usize).clamp(1, lines.len());
        let rows = lines.len().div_ceil(columns);
        (wide, rows, egui::vec2(wide * columns as f32, row * rows as f32 + 0.8 * size))
    };
    let fits = |box_size: egui::Vec2| box_size.x <= room.x && box_size.y <= room.y;
    let mut texts: Vec<_> = lines.iter().map(|(which, _)| said(which.about(), *which)).collect();
    let (mut wide, mut rows, mut box_size) = lay(&texts);
    if !fits(box_size) {
        // A small yard has room for their names alone.
        texts = lines.iter().map(|(which, name)| said(name, *which)).collect();
        (wide, rows, box_size) = lay(&texts);
    }
    let place = egui::Rect::from_min_size(
        pos2(rect.min.x + size, rect.max.y - size - box_size.y),
        box_size,
    );
    if !fits(box_size) || cards.iter().any(|card| card.intersects(place)) {
        return egui::Rect::NOTHING;
    }
    painter.rect(
        place,
        6.0,
        Color32::from_white_alpha(225),
        Stroke::new(1.0, theme::LINE.day),
        egui::StrokeKind::Inside,
    );
    for (i, ((which, _), text)) in lines.iter().zip(texts).enumerate() {
        let left = place.min.x + wide * (i / rows) as f32;
        let y = place.min.y + 0.4 * size + row * ((i % rows) as f32 + 0.5);
        let middle = pos2(left + 1.9 * size, y);
        let (color, sign) = sign_of(*which);
        sign.paint(painter, middle, size, color);
        let at = pos2(left + 3.8 * size, y - 0.5 * text.size().y);
        painter.galley(at, text, theme::INK.day);
    }
    place
}

/// An overlay's colour and sign.
fn sign_of(which: Overlay) -> (Color32, LegendSign) {
    match which {
        Overlay::Gaps => (GAP, LegendSign::Dimension),
        Overlay::Loads => (LOAD, LegendSign::Arrow),
        Overlay::Thrust => (THRUST, LegendSign::Chain),
        Overlay::Corners => (THRUST, LegendSign::Corners),
        Overlay::Friction => (CONE, LegendSign::Cone),
        Overlay::Moment => (BENDING, LegendSign::Sag),
        Overlay::Mass => (MASS, LegendSign::Bob),
    }
}

/// A sign of the legend.
enum LegendSign {
    Dimension,
    Arrow,
    Chain,
    Corners,
    Cone,
    Sag,
    Bob,
}

impl LegendSign {
    /// Paints it around its middle; `size` is that of the text.
    fn paint(&self, painter: &egui::Painter, middle: Pos2, size: f32, color: Color32) {
        let (l, r) = (middle - egui::vec2(size, 0.0), middle + egui::vec2(size, 0.0));
        let pen = Stroke::new(0.18 * size, color);
        let up = egui::vec2(0.0, 0.45 * size);
        match self {
            LegendSign::Dimension => {
                painter.line_segment([l, r], pen);
                painter.line_segment([l - up, l + up], pen);
                painter.line_segment([r - up, r + up], pen);
            }
            LegendSign::Arrow => {
                painter.line_segment([l, middle], pen);
                let head = vec![r, middle - up, middle + up];
                painter.add(Shape::convex_polygon(head, color, Stroke::NONE));
            }
            LegendSign::Chain => {
                painter.line_segment([l, r], pen);
                for p in [l, middle, r] {
                    painter.circle_filled(p, 0.28 * size, color);
                }
            }
            LegendSign::Corners => {
                let ring = [l - up, r - up, r + up, l + up];
                painter.add(Shape::closed_line(ring.to_vec(), Stroke::new(0.1 * size, color)));
                for p in ring {
                    let dot = egui::Rect::from_center_size(p, egui::Vec2::splat(0.26 * size));
                    painter.rect_filled(dot, 0.0, color);
                }
            }
            LegendSign::Cone => {
                let tip = middle + up;
                let ends = [middle - up - 0.6 * (middle - l), middle - up + 0.6 * (r - middle)];
                let thin = Stroke::new(0.1 * size, color);
                painter.line_segment([tip, ends[0]], thin);
                painter.line_segment([tip, ends[1]], thin);
                painter.line_segment([ends[0], ends[1]], thin);
                painter.line_segment([tip, middle - up + 0.3 * (r - middle)], pen);
            }
            LegendSign::Sag => {
                painter.line_segment([l - up, r - up], Stroke::new(0.1 * size, color));
                let bow = vec![l - up, middle + up, r - up];
                painter.add(Shape::convex_polygon(bow, color.gamma_multiply(0.4), pen));
            }
            LegendSign::Bob => {
                painter.circle_stroke(l + egui::vec2(0.3 * size, 0.0), 0.34 * size, pen);
                painter.extend(Shape::dashed_line(&[middle, r], pen, 3.0, 3.0));
            }
        }
    }
}

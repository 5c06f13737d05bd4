//! The thrust line through each stack, and the bearing corners that it must keep within.

use super::canvas::Pen;
use super::colours::{FAILED, THRUST};
use super::labels::Label;
use crate::session::Shown;
use crate::view::yard::shown::vec3;
use bevy_egui::egui::{self, Color32, Pos2, Shape, Stroke};

pub fn thrust_lines(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    for stack in &shown.snapshot.stacks {
        let points: Vec<(Pos2, f64)> = stack
            .thrust
            .iter()
            .filter(|t| vec3(t.force).length() > 1.0)
            .filter_map(|t| Some((pen.screen.at(vec3(t.point))?, t.margin_m)))
            .collect();
        for pair in points.windows(2) {
            pen.line(pair[0].0, pair[1].0, THRUST);
        }
        for &(p, margin) in &points {
            let r = 1.5 * pen.width;
            if margin >= 0.0 {
                pen.painter.circle(p, r, THRUST, Stroke::new(1.2, Color32::WHITE));
            } else {
                // Outside the bearing corners: a cross.
                let d = egui::vec2(2.0 * r, 2.0 * r);
                let e = egui::vec2(2.0 * r, -2.0 * r);
                pen.line(p - d, p + d, FAILED);
                pen.line(p - e, p + e, FAILED);
            }
        }
        let nearest = points.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some(&(at, margin)) = nearest {
            let gap = shown.units.gap(margin.abs());
            let (text, color) = if margin >= 0.0 {
                (format!("{gap} inside"), THRUST)
            } else {
                (format!("{gap} outside"), FAILED)
            };
            labels.push(Label { at, text, color });
        }
    }
}

/// The outline that the thrust line must keep within, at every layer that carries.
pub fn bearing_corners(pen: &Pen<'_>, shown: &Shown, _: &mut Vec<Label>) {
    for thrust in shown.snapshot.stacks.iter().flat_map(|s| &s.thrust) {
        let corners: Vec<Pos2> =
            thrust.corners.iter().filter_map(|c| pen.screen.at(vec3(*c))).collect();
        if corners.len() < 4 {
            continue;
        }
        let color = if thrust.margin_m >= 0.0 { THRUST } else { FAILED };
        let ring = [corners[0], corners[1], corners[2], corners[3], corners[0]];
        let edge = Stroke::new(0.5 * pen.width + 1.5, Color32::from_white_alpha(120));
        pen.painter.add(Shape::line(ring.to_vec(), edge));
        pen.painter.add(Shape::line(ring.to_vec(), Stroke::new(0.5 * pen.width, color)));
        for corner in corners {
            let half = egui::Vec2::splat(0.8 * pen.width);
            pen.painter.rect_filled(egui::Rect::from_center_size(corner, 2.0 * half), 0.0, color);
        }
    }
}

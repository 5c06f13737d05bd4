//! The centre of mass and the plumb line through it.

use super::canvas::Pen;
use super::colours::MASS;
use super::labels::Label;
use crate::session::Shown;
use crate::view::yard::shown::{ground_turn, vec3};
use bevy::prelude::*;
use bevy_egui::egui::{self, Color32, Shape, Stroke};

pub fn centre_of_mass(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    let com = vec3(shown.snapshot.vehicle.com);
    let Some(scene) = &shown.scene else { return };
    // Plumb on screen, which is not square to a sloping ground.
    let down = ground_turn(scene).inverse() * Vec3::NEG_Y;
    let foot = com + down * (com.y / -down.y.min(-0.1));
    if let (Some(a), Some(b)) = (pen.screen.at(com), pen.screen.at(foot)) {
        pen.dashed(a, b, MASS);
        let r = 2.6 * pen.width;
        pen.painter.circle(a, r + 1.5, Color32::WHITE, Stroke::NONE);
        // A plumb bob: a ring above, a point on the ground.
        pen.painter.circle(a, r, Color32::WHITE, Stroke::new(pen.width, MASS));
        pen.painter.circle_filled(a, 0.9 * pen.width, MASS);
        let bob = vec![
            b,
            b + egui::vec2(-1.6 * pen.width, -4.0 * pen.width),
            b + egui::vec2(1.6 * pen.width, -4.0 * pen.width),
        ];
        pen.painter.add(Shape::convex_polygon(bob, MASS, Stroke::new(1.0, Color32::WHITE)));
        labels.push(Label {
            at: a,
            text: format!("centre of mass, {}", shown.units.mass(scene.vehicle.mass_kg)),
            color: MASS,
        });
    }
}

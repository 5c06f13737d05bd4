//! Draws over the yard what the eye cannot see: loads at bearing points, the thrust
//! line through each stack and the bearing corners it must keep within, friction where
//! it is nearly used up, bending along the beam, gaps at the casualty, the centre of mass.
//! Each has a key and a line in the legend; each has its own shape as well as its colour.

use super::bending::bending;
use super::canvas::{Canvas, Pen, Projection, cards};
use super::findings::findings;
use super::friction::friction_cones;
use super::gaps::gap_lines;
use super::labels::{Label, place_labels};
use super::legend::legend;
use super::loads::load_arrows;
use super::mass::centre_of_mass;
use super::thrust::{bearing_corners, thrust_lines};
use crate::session::{Overlay, Overlays, Shown};
use crate::view::yard::shown::ground_turn;
use bevy::prelude::*;
use bevy_egui::egui;

/// Draws what is switched on; gives what its labels and its legend cover.
pub fn paint(canvas: &Canvas<'_>, shown: &Shown, on: Overlays) -> Vec<egui::Rect> {
    let &Canvas { rect, size, keys, .. } = canvas;
    let Some(scene) = &shown.scene else { return Vec::new() };
    let screen = Projection {
        camera: canvas.camera,
        from: GlobalTransform::from(*canvas.stand),
        turn: ground_turn(scene),
        points: canvas.points,
        corner: rect.min,
    };
    let painter = canvas.ctx.layer_painter(egui::LayerId::background()).with_clip_rect(rect);
    let mut labels = Vec::new();
    let pen = Pen { painter: &painter, screen: &screen, width: size / 6.0 };
    for (which, draw) in [
        (Overlay::Corners, bearing_corners as fn(&Pen<'_>, &Shown, &mut Vec<Label>)),
        (Overlay::Moment, bending),
        (Overlay::Thrust, thrust_lines),
        (Overlay::Friction, friction_cones),
        (Overlay::Loads, load_arrows),
        (Overlay::Mass, centre_of_mass),
        (Overlay::Gaps, gap_lines),
    ] {
        if on.has(which) {
            draw(&pen, shown, &mut labels);
        }
    }
    let lines = painter.add(egui::Shape::Noop);
    let cards = cards(canvas.ctx);
    let mut taken = cards.clone();
    taken.push(legend(&painter, rect, on, size, keys, &cards));
    let pins = findings(&pen, shown, (rect, size), &taken, &mut labels);
    // What is under a card is not told beside it.
    labels.retain(|label| !cards.iter().any(|card| card.contains(label.at)));
    taken.extend(pins);
    place_labels(&painter, lines, rect, labels, size, &mut taken);
    taken
}

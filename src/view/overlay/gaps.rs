//! The gap at each trapped limb.

use super::canvas::Pen;
use super::colours::GAP;
use super::labels::Label;
use crate::session::Shown;
use bevy::prelude::*;
use bevy_egui::egui;

pub fn gap_lines(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    let Some(scene) = &shown.scene else { return };
    for (limb, state) in scene.limbs.iter().zip(&shown.snapshot.limbs) {
        let foot = Vec3::new(limb.at[0] as f32, 0.0, limb.at[1] as f32);
        let head = foot + Vec3::Y * state.gap_m as f32;
        let (Some(a), Some(b)) = (pen.screen.at(foot), pen.screen.at(head)) else { continue };
        pen.line(a, b, GAP);
        let tick = egui::vec2(4.0 * pen.width, 0.0);
        for p in [a, b] {
            pen.line(p - tick, p + tick, GAP);
        }
        let enough = if state.is_clear(limb.gap_needed_m) { " \u{2713}" } else { "" };
        let text = match state.covered {
            true => format!("{}: gap {}{enough}", limb.name, shown.units.gap(state.gap_m)),
            false => format!("{}: no vehicle over it", limb.name),
        };
        labels.push(Label { at: a.lerp(b, 0.5), text, color: GAP });
    }
}

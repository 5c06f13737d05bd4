//! The sizes that the panels share, and the strips and columns that they stand in.

use super::widget;
use crate::view::theme;
use bevy_egui::egui::{self, Margin, Ui};

/// Panels need this much room, in points; no zoom makes it less.
pub const LEAST_WIDTH: f32 = 1120.0;
pub const LEAST_HEIGHT: f32 = 560.0;

/// Widths of the columns beside the yard, points.
pub const LEFT: f32 = 290.0;
pub const RIGHT: f32 = 312.0;

/// A strip below the yard, over its whole width. It has its height from the first frame on,
/// so that nothing jumps on a slow machine.
pub fn strip(ui: &mut Ui, id: &'static str, high: f32, add: impl FnOnce(&mut Ui)) {
    let frame = theme::band(theme::PAPER.on(ui));
    egui::Panel::bottom(id)
        .default_size(high + frame.inner_margin.sum().y)
        .frame(frame)
        .show_separator_line(true)
        .show(ui, add);
}

/// A column beside the yard.
pub fn column(ui: &mut Ui, panel: egui::Panel, width: f32, add: impl FnOnce(&mut Ui)) {
    let frame = egui::Frame::new().fill(theme::PAPER.on(ui)).inner_margin(Margin::symmetric(12, 8));
    panel.exact_size(width).resizable(false).frame(frame).show(ui, |ui| widget::scroll(ui, add));
}

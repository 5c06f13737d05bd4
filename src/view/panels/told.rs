//! What is told around a lift, over the yard, until it has been read.

use super::input::Inputs;
use super::widget::{self, chip, press};
use crate::session::Action;
use crate::view::theme;
use bevy_egui::egui::{self, Align2, Context, Ui, vec2};

/// Shows it over whatever is on screen.
pub fn card(ctx: &Context, words: &str, actions: &mut Inputs) {
    egui::Area::new("told".into()).anchor(Align2::CENTER_TOP, vec2(0.0, 84.0)).show(ctx, |ui| {
        theme::card(ui).inner_margin(14).show(ui, |ui| {
            ui.set_max_width(520.0);
            told(ui, words, actions);
        });
    });
}

/// The words, and a way to have done with them.
pub fn told(ui: &mut Ui, words: &str, actions: &mut Inputs) {
    widget::body(ui, words);
    if chip(ui, press("Understood", "", "Closes this message"), false).clicked() {
        actions.push(Action::Understood);
    }
}

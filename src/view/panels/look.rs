//! Looking round the yard by hand: the same on every stage that shows one.

use super::input::Inputs;
use crate::session::Action;
use bevy_egui::egui::{self, Rect, Response, Sense, Ui};

/// Turns drags and the wheel over the yard into what they ask of the camera; gives the yard's
/// response.
pub fn look(ui: &Ui, yard: Rect, actions: &mut Inputs) -> Response {
    let response = ui.interact(yard, ui.id().with("yard"), Sense::click_and_drag());
    let drag = response.drag_delta();
    if drag != egui::Vec2::ZERO {
        let by = [drag.x, drag.y];
        actions.push(if response.dragged_by(egui::PointerButton::Primary) {
            Action::Turn(by)
        } else {
            Action::Shift(by)
        });
    }
    let scroll = ui.input(|i| i.smooth_scroll_delta().y);
    if response.hovered() && scroll != 0.0 {
        actions.push(Action::Nearer(scroll));
    }
    response
}

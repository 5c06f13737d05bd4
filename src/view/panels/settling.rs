//! What is on screen while a lift is set up.

use super::widget;
use crate::caution::CAUTION;
use crate::scene::Scene;
use crate::view::theme;
use bevy_egui::egui::{self, Pos2, Rect, RichText, Sense, Ui, vec2};

/// A message in the middle of the screen while something takes its time.
pub fn settling(ui: &mut Ui, scene: &Scene, seconds: f32) {
    egui::CentralPanel::default().frame(egui::Frame::new().fill(theme::PAPER.on(ui))).show(
        ui,
        |ui| {
            ui.vertical_centered(|ui| {
                ui.add_space(0.36 * ui.available_height());
                ui.label(RichText::new(&scene.name).font(theme::bold(26.0)));
                ui.add_space(theme::STEP);
                widget::body(ui, "Settling vehicle, placing equipment ...");
                ui.add_space(theme::STEP);
                let (rect, _) = ui.allocate_exact_size(vec2(240.0, 8.0), Sense::hover());
                ui.painter().rect_filled(rect, 4.0, theme::SUNK.on(ui));
                // Goes to and fro: how long it takes is not known.
                let t = 0.5 - 0.5 * (seconds * 2.2).cos();
                let knob = Rect::from_center_size(
                    Pos2::new(rect.min.x + 30.0 + t * (rect.width() - 60.0), rect.center().y),
                    vec2(60.0, 8.0),
                );
                ui.painter().rect_filled(knob, 4.0, theme::BLUE.on(ui));
                ui.add_space(4.0 * theme::STEP);
                ui.set_max_width(620.0);
                widget::soft(ui, CAUTION);
            });
        },
    );
}

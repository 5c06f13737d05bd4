//! The card of the guided first lift, over the yard.

use super::icon::Icon;
use super::input::Inputs;
use super::widget::{self, ButtonState, button, press};
use crate::session::{Action, Guide};
use crate::view::theme;
use bevy_egui::egui::{self, Align, Layout, Rect, RichText, Ui, vec2};

/// The step, over the yard's upper edge.
pub fn card(ui: &Ui, guide: &Guide, rect: Rect, actions: &mut Inputs) {
    let width = (rect.width() - 60.0).clamp(120.0, 520.0);
    egui::Area::new("guide".into())
        .fixed_pos(rect.center_top() + vec2(-0.5 * width - 14.0, 10.0))
        .show(ui.ctx(), |ui| {
            theme::card(ui).inner_margin(14).show(ui, |ui| {
                ui.set_width(width);
                ui.spacing_mut().item_spacing.y = 6.0;
                let Some(step) = guide.step() else {
                    widget::heading(ui, "Guided lift complete.");
                    widget::body(
                        ui,
                        "H lists every key. Open another scene from the shelf, and make the \
                         lift yourself.",
                    );
                    if button(
                        ui,
                        press("Close", "", "Ends the guided lift").with(Icon::Remove),
                        ButtonState::Main,
                        0.0,
                    )
                    .clicked()
                    {
                        actions.push(Action::Guide);
                    }
                    return;
                };
                widget::row(ui, |ui| {
                    widget::soft(
                        ui,
                        format!("First lift, step {} of {}", guide.done() + 1, Guide::STEPS),
                    );
                    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                        if button(
                            ui,
                            press("Leave", "", "Leaves the guide; the lift goes on")
                                .with(Icon::Remove),
                            ButtonState::Plain,
                            0.0,
                        )
                        .clicked()
                        {
                            actions.push(Action::Guide);
                        }
                    });
                });
                let what = RichText::new(step.what).font(theme::bold(theme::HEAD));
                ui.add(egui::Label::new(what).wrap());
                widget::body(ui, step.why);
            });
        });
}

//! What stands above and below the yard on every stage: where one is, in which scene, what is
//! shown, and the caution.

use super::icon::{self, Icon};
use super::input::Inputs;
use super::state::LiftState;
use super::widget::{self, Press, chip, press};
use crate::caution::CAUTION;
use crate::scene::Scene;
use crate::session::{Action, Overlay, Stage, View};
use crate::view::key_names::{overlay_key, stage_key};
use crate::view::theme;
use bevy_egui::egui::{
    self, Align, Color32, Layout, Margin, Pos2, Rect, RichText, Sense, Ui, vec2,
};

/// Side of a stage's sign, points.
const TAB_SIGN: f32 = 15.0;
/// From this width on, views and overlays have one row together, points.
const ROOM_FOR_BOTH: f32 = 830.0;

/// What stands above and below every stage: where one is, in which scene, and the caution.
pub fn bands(ui: &mut Ui, s: &LiftState<'_>, scene: &Scene, actions: &mut Inputs) {
    egui::Panel::top("head")
        .frame(theme::band(theme::SLATE))
        .show_separator_line(false)
        .show(ui, |ui| head(ui, s, scene, actions));
    egui::Panel::bottom("foot")
        .frame(egui::Frame::new().fill(theme::SLATE).inner_margin(Margin::symmetric(14, 5)))
        .show_separator_line(false)
        .show(ui, foot);
}

fn head(ui: &mut Ui, s: &LiftState<'_>, scene: &Scene, actions: &mut Inputs) {
    ui.horizontal(|ui| {
        let what = press("Shelf", "Esc", "Back to the scenes; nothing is lost").with(Icon::Home);
        if tab(ui, what, false).clicked() {
            actions.push(Action::Shelf);
        }
        ui.add_space(theme::STEP);
        let tabs_width = 560.0;
        let free = (ui.available_width() - tabs_width).max(120.0);
        let name = RichText::new(&scene.name).font(theme::bold(theme::HEAD));
        ui.scope(|ui| {
            ui.set_max_width(free);
            ui.add(egui::Label::new(name.color(theme::ON_SLATE)).truncate());
        });
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if tab(ui, press("Help", "H", "Every key").with(Icon::Help), false).clicked() {
                actions.push(Action::Help);
            }
            ui.spacing_mut().item_spacing.x = 2.0;
            for (stage, name) in Stage::ALL.into_iter().rev() {
                let what = press(name, stage_key(stage), stage.about()).with(stage_sign(stage));
                if tab(ui, what, s.stage == stage).clicked() {
                    actions.push(Action::Stage(stage));
                }
            }
        });
    });
}

fn stage_sign(stage: Stage) -> Icon {
    match stage {
        Stage::SizeUp => Icon::Eye,
        Stage::SetUp => Icon::Stack,
        Stage::Lift => Icon::Up,
        Stage::LookBack => Icon::Curve,
    }
}

/// A word on the slate head, underlined where it is where one is.
fn tab(ui: &mut Ui, what: Press<'_>, on: bool) -> egui::Response {
    let Press { sign: icon, text, key, about } = what;
    let color = if on { Color32::WHITE } else { theme::ON_SLATE_SOFT };
    let font = if on { theme::bold(theme::BODY) } else { theme::plain(theme::BODY) };
    let words = ui.painter().layout_no_wrap(text.into(), font, color);
    let cap = ui.painter().layout_no_wrap(key.into(), theme::plain(theme::SMALL), color);
    let sign = icon::room(icon, TAB_SIGN);
    let size = vec2(sign + words.size().x + cap.size().x + 24.0, 36.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| egui::WidgetInfo::selected(egui::WidgetType::Button, true, on, text));
    if on {
        ui.painter().rect_filled(
            Rect::from_min_max(Pos2::new(rect.min.x, rect.max.y - 3.0), rect.max),
            1.0,
            Color32::WHITE,
        );
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 4.0, Color32::from_white_alpha(24));
    }
    let y = rect.center().y;
    let left = rect.min.x + 9.0;
    icon::paint(ui.painter(), icon, Pos2::new(left, y), TAB_SIGN, color);
    let left = left + sign;
    let key_x = left + words.size().x + 6.0;
    let at = Pos2::new(left, y - 0.5 * words.size().y);
    ui.painter().galley(at, words, color);
    let at = Pos2::new(key_x, y - 0.5 * cap.size().y + 1.0);
    ui.painter().galley(at, cap, color.gamma_multiply(0.8));
    response.on_hover_text(about)
}

/// The caution, always in sight.
pub fn foot(ui: &mut Ui) {
    ui.add(
        egui::Label::new(
            RichText::new(CAUTION).font(theme::plain(theme::SMALL)).color(theme::ON_SLATE),
        )
        .wrap(),
    );
}

/// The view and the overlays over the yard.
pub fn sights(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    egui::Panel::top("sights")
        .frame(egui::Frame::new().fill(theme::PAPER.on(ui)).inner_margin(Margin::symmetric(8, 5)))
        .show_separator_line(false)
        .show(ui, |ui| chips(ui, s, actions));
}

fn chips(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    ui.spacing_mut().interact_size.y = widget::CHIP_HIGH;
    let in_one_row = ui.available_width() >= ROOM_FOR_BOTH;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(4.0, 4.0);
        widget::soft(ui, "View");
        for (i, (view, name)) in View::ALL.into_iter().enumerate() {
            if chip(ui, press(name, &(i + 1).to_string(), "Viewpoint"), false).clicked() {
                actions.push(Action::Look(view));
            }
        }
        if in_one_row {
            ui.add_space(theme::STEP);
        } else {
            ui.end_row();
        }
        widget::soft(ui, "Show");
        for (which, name) in Overlay::ALL {
            if chip(ui, press(name, overlay_key(which), which.about()), s.overlays.has(which))
                .clicked()
            {
                actions.push(Action::Toggle(which));
            }
        }
        if matches!(s.stage, Stage::Lift | Stage::LookBack)
            && chip(
                ui,
                press("Compare", "9", "Two runs side by side, in step"),
                s.compared.is_some(),
            )
            .clicked()
        {
            actions.push(Action::NextBeside);
        }
    });
}

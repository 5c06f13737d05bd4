//! The stage of a class: the picture, the words of the step large enough for the back row, over its
//! upper edge or beside it, and the caution. And the list from which a class is chosen.

use super::compare;
use super::head::foot;
use super::input::Inputs;
use super::layout::column;
use super::look::look;
use super::widget::{self, ButtonState, button, press};
use crate::class::Class;
use crate::session::{Action, ClassAction, ClassShown, RunsCompared, ShownAnswer};
use crate::units::UnitSystem;
use crate::view::theme;
use crate::view::yard::shown::YARDS;
use bevy_egui::egui::{self, Align2, Margin, Rect, RichText, Sense, Ui, vec2};
use std::sync::Arc;

/// The most that words over the picture take of the width, points.
const WIDE: f32 = 980.0;
/// Width of the count of hands behind a choice with the space before it, points.
const HANDS_WIDE: f32 = 104.0;
/// What is left and right of a choice and its hands, points.
const ANSWER_MARGIN: f32 = 8.0;
/// Width of the column beside the picture as a share of the whole, and its limits, points.
const ASIDE_SHARE: f32 = 0.36;
const ASIDE_WIDE: [f32; 2] = [360.0, 620.0];

/// Draws the stage; gives what was asked for, and the rectangles that are free for the yard and
/// those beside it.
pub fn screen(
    ui: &mut Ui,
    shown: &ClassShown,
    compared: Option<&RunsCompared<'_>>,
    units: UnitSystem,
) -> (Inputs, [Rect; YARDS]) {
    let mut actions = Inputs::default();
    band(ui, shown);
    // Choices and what is told are long: over the picture they would hide what they are about.
    let aside = !shown.answers.is_empty() || !shown.told.is_empty();
    if aside {
        let [least, most] = ASIDE_WIDE;
        let width = (ASIDE_SHARE * ui.available_width()).clamp(least, most);
        column(ui, egui::Panel::right("class words"), width, |ui| {
            ui.add_space(8.0);
            words(ui, shown, ui.available_width(), &mut actions);
        });
    }
    let yard = ui.available_rect_before_wrap();
    look(ui, yard, &mut actions);
    let yards = match compared {
        Some(runs) => compare::split(ui, yard, runs, units, None),
        None => compare::one_yard(yard),
    };
    if !aside {
        card(ui, shown, yard, &mut actions);
    }
    if shown.asks_to_leave {
        leaving(ui, yard, &mut actions);
    }
    (actions, yards)
}

/// The stage while a scene of the class is set up: nothing is told of it.
pub fn waiting(ui: &mut Ui, shown: &ClassShown) -> Inputs {
    let mut actions = Inputs::default();
    band(ui, shown);
    let room = ui.available_rect_before_wrap();
    ui.painter().rect_filled(room, 0.0, theme::SUNK.on(ui));
    if shown.asks_to_leave {
        leaving(ui, room, &mut actions);
    }
    actions
}

/// The caution, and where the class is.
fn band(ui: &mut Ui, shown: &ClassShown) {
    egui::Panel::bottom("foot")
        .frame(egui::Frame::new().fill(theme::SLATE).inner_margin(Margin::symmetric(14, 5)))
        .show_separator_line(false)
        .show(ui, |ui| {
            foot(ui);
            let hint = RichText::new(&shown.hint).font(theme::plain(theme::SMALL));
            ui.label(hint.color(theme::ON_SLATE_SOFT));
        });
}

/// A few words over the upper edge of the picture.
fn card(ui: &Ui, shown: &ClassShown, yard: Rect, actions: &mut Inputs) {
    if shown.title.is_none() && shown.words.is_none() {
        return;
    }
    let width = (yard.width() - 60.0).clamp(120.0, WIDE);
    egui::Area::new("class".into())
        .fixed_pos(yard.center_top() + vec2(-0.5 * width - 16.0, 12.0))
        .show(ui.ctx(), |ui| {
            theme::card(ui).inner_margin(16).show(ui, |ui| {
                ui.set_width(width);
                words(ui, shown, width, actions);
            });
        });
}

/// Title, words, choices and what is told, below each other.
fn words(ui: &mut Ui, shown: &ClassShown, width: f32, actions: &mut Inputs) {
    ui.spacing_mut().item_spacing.y = 6.0;
    if let Some(title) = &shown.title {
        widget::soft(ui, title);
    }
    if let Some(words) = &shown.words {
        let words = RichText::new(words).font(theme::bold(theme::FIGURE));
        ui.add(egui::Label::new(words).wrap());
    }
    for (place, shown) in shown.answers.iter().enumerate() {
        answer(ui, place, shown, width, actions);
    }
    if !shown.answers.is_empty() && !shown.told.is_empty() {
        ui.add_space(theme::STEP);
    }
    for line in &shown.told {
        let line = RichText::new(line).font(theme::plain(theme::HEAD));
        ui.add(egui::Label::new(line).wrap());
    }
}

/// A choice with its number key, its hands and, once it is revealed, whether it is right. A click
/// counts a hand, one with the other button takes it back.
fn answer(ui: &mut Ui, place: usize, shown: &ShownAnswer, width: f32, actions: &mut Inputs) {
    let ShownAnswer { say, hands, right } = shown;
    let mark = match right {
        Some(true) => "\u{2713} ",
        _ => "",
    };
    let text = format!("{}  {mark}{say}", place + 1);
    let font =
        if *right == Some(true) { theme::bold(theme::HEAD) } else { theme::plain(theme::HEAD) };
    let color = if *right == Some(false) { theme::SOFT.on(ui) } else { theme::INK.on(ui) };
    let room = width - HANDS_WIDE - 2.0 * ANSWER_MARGIN;
    let words = ui.painter().layout(text, font, color, room);
    let size = vec2(width, words.size().y + 8.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Button, true, say));
    if *right == Some(true) {
        ui.painter().rect_filled(rect, 6.0, theme::PALE_BLUE.on(ui));
    } else if right.is_none() && (response.hovered() || response.has_focus()) {
        ui.painter().rect_filled(rect, 6.0, theme::SUNK.on(ui));
    }
    ui.painter().galley(rect.min + vec2(ANSWER_MARGIN, 4.0), words, color);
    if *hands > 0 {
        let count = if *hands == 1 { "1 hand".to_owned() } else { format!("{hands} hands") };
        let at = rect.right_center() - vec2(ANSWER_MARGIN, 0.0);
        let font = theme::bold(theme::HEAD);
        ui.painter().text(at, Align2::RIGHT_CENTER, count, font, color);
    }
    for (pressed, up) in [(response.clicked(), true), (response.secondary_clicked(), false)] {
        if pressed {
            actions.push(Action::Class(ClassAction::Hand { choice: place, up }));
        }
    }
}

/// Whether the class is to be left.
fn leaving(ui: &Ui, yard: Rect, actions: &mut Inputs) {
    egui::Area::new("leave the class".into())
        .order(egui::Order::Foreground)
        .pivot(Align2::CENTER_CENTER)
        .fixed_pos(yard.center())
        .show(ui.ctx(), |ui| {
            theme::card(ui).inner_margin(16).show(ui, |ui| {
                widget::heading(ui, "Leave the class?");
                widget::body(ui, "The count of hands will be lost.");
                ui.horizontal(|ui| {
                    for (what, look, action) in [
                        (
                            press("Stay", "", "Any other key does the same"),
                            ButtonState::Main,
                            ClassAction::Stay,
                        ),
                        (
                            press("Leave the class", "Esc", "Back to the shelf"),
                            ButtonState::Plain,
                            ClassAction::Leave,
                        ),
                    ] {
                        if button(ui, what, look, 0.0).clicked() {
                            actions.push(Action::Class(action));
                        }
                    }
                });
            });
        });
}

/// The list of classes, over the shelf.
pub fn list(ctx: &egui::Context, classes: &[Arc<Class>]) -> Inputs {
    let about = "For a room with a projector. `inchwise class NAME` prints its pages.";
    let head = ["Teach a class", "C", about];
    widget::over_the_shelf(ctx, head, &Action::Classes, |ui, actions| {
        for (i, class) in classes.iter().enumerate() {
            let key = if i < 9 { (i + 1).to_string() } else { String::new() };
            let what = press(&class.name, &key, "Begins with its first scene");
            let width = ui.available_width();
            if button(ui, what, ButtonState::Plain, width).clicked() {
                actions.push(Action::HoldClass(i));
            }
            widget::body(ui, &class.about);
            // What is said of a class stands nearer to it than to the next.
            ui.add_space(8.0);
        }
    })
}

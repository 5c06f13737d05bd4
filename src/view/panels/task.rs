//! A task that is worked on alone: the card over the yard with the brief, the question that is
//! asked, hints, and what came of it beside what was said. And the list from which one is chosen.

use super::icon::Icon;
use super::input::Inputs;
use super::widget::{self, ButtonState, button, press};
use crate::session::{Action, LiftTaskAction, LiftTaskCard, LiftTaskList, LiftTaskShown};
use crate::view::theme;
use bevy_egui::egui::{self, Rect, RichText, Ui, vec2};

/// The most that the card takes of the width, points.
const WIDE: f32 = 620.0;
/// Between what was said and what happened, points.
const COLUMN_GAP: f32 = 10.0;
/// What is above and below the answers to a question, and the least that they have, points.
const ABOVE_CHOICES: f32 = 210.0;
const LEAST_CHOICES: f32 = 110.0;
/// What an answer's button has around its words, points.
const AROUND_ANSWER: f32 = 50.0;
/// More answers than this have two columns.
const ONE_COLUMN: usize = 6;
/// The same of the card with what came of a lift, and what is around its list, points.
const WIDE_TOLD: f32 = 760.0;
const AROUND_TOLD: f32 = 280.0;

/// The card, over the yard's upper edge; what came of a lift needs more room and has the screen.
pub fn card(ui: &Ui, shown: &LiftTaskShown, yard: Rect, actions: &mut Inputs) {
    if let LiftTaskCard::Told { rows, told } = &shown.card {
        let whole = ui.ctx().viewport_rect();
        let frame = theme::card(ui).inner_margin(20);
        egui::Modal::new(egui::Id::new("what came of it")).frame(frame).show(ui.ctx(), |ui| {
            ui.set_width(WIDE_TOLD.min(whole.width() - 80.0));
            ui.spacing_mut().item_spacing.y = 5.0;
            head(ui, shown);
            came_of_it(ui, rows, told, whole.height() - AROUND_TOLD, actions);
        });
        return;
    }
    let width = (yard.width() - 60.0).clamp(120.0, WIDE);
    egui::Area::new("task".into())
        .fixed_pos(yard.center_top() + vec2(-0.5 * width - 14.0, 10.0))
        .show(ui.ctx(), |ui| {
            theme::card(ui).inner_margin(14).show(ui, |ui| {
                ui.set_width(width);
                ui.spacing_mut().item_spacing.y = 5.0;
                head(ui, shown);
                match &shown.card {
                    LiftTaskCard::Closed => closed(ui, shown, actions),
                    LiftTaskCard::Choose { ask, choices, chosen } => {
                        let high = (yard.height() - ABOVE_CHOICES).max(LEAST_CHOICES);
                        choose(ui, (ask, choices, *chosen), high, actions);
                    }
                    LiftTaskCard::Rise { ask, rise } => how_far(ui, ask, rise, actions),
                    LiftTaskCard::Told { .. } => {}
                }
            });
        });
}

/// What the task is, and the hints so far.
fn head(ui: &mut Ui, shown: &LiftTaskShown) {
    widget::heading(ui, &shown.title);
    widget::body(ui, &shown.brief);
    widget::soft(ui, shown.state.join("  \u{00B7}  "));
    for (i, hint) in shown.hints.iter().enumerate() {
        let hint = RichText::new(format!("Hint {}: {hint}", i + 1));
        ui.add(egui::Label::new(hint.font(theme::bold(theme::BODY))).wrap());
    }
}

/// A button that asks something of the task.
fn asks(ui: &mut Ui, what: widget::Press<'_>, action: LiftTaskAction, actions: &mut Inputs) {
    if button(ui, what, ButtonState::Plain, 0.0).clicked() {
        actions.push(Action::Task(action));
    }
}

fn closed(ui: &mut Ui, shown: &LiftTaskShown, actions: &mut Inputs) {
    ui.horizontal(|ui| {
        let about = ["Where to look", "The number there beside its limit", "The change"];
        if let Some(about) = about.get(shown.hints.len()) {
            asks(ui, press("Hint", "Home", about), LiftTaskAction::Hint, actions);
        }
        let about = "Wait, more kit, or another way";
        asks(ui, press("Stop and say why", "B", about), LiftTaskAction::Stop, actions);
        let about = "Your prediction beside the result";
        asks(ui, press("Result", "Enter", about), LiftTaskAction::Take, actions);
    });
}

fn question(ui: &mut Ui, ask: &str) {
    let ask = RichText::new(ask).font(theme::bold(theme::HEAD));
    ui.add(egui::Label::new(ask).wrap());
}

fn back(ui: &mut Ui, actions: &mut Inputs) {
    let about = "One question back, or closes the card";
    asks(ui, press("Back", "Esc", about), LiftTaskAction::Back, actions);
}

/// The answers to a question, in two columns where they are many and short; they scroll where the
/// yard is low.
fn choose(
    ui: &mut Ui,
    (ask, choices, chosen): (&str, &[String], Option<usize>),
    high: f32,
    actions: &mut Inputs,
) {
    question(ui, ask);
    let font = theme::plain(theme::BODY);
    let wide = |words: &String| {
        let words = ui.painter().layout_no_wrap(words.clone(), font.clone(), egui::Color32::WHITE);
        words.size().x + AROUND_ANSWER
    };
    let widest = choices.iter().map(wide).fold(0.0, f32::max);
    let whole = ui.available_width() - theme::STEP;
    let two = choices.len() > ONE_COLUMN && 2.0 * widest + theme::STEP <= whole;
    let across = if two { 2 } else { 1 };
    let width = if two { 0.5 * (whole - theme::STEP) } else { whole };
    let area = egui::ScrollArea::vertical().max_height(high).min_scrolled_height(high);
    widget::scrolled(ui, area, |ui| {
        for (row, pair) in choices.chunks(across).enumerate() {
            ui.horizontal(|ui| {
                for (column, choice) in pair.iter().enumerate() {
                    let i = row * across + column;
                    let on = chosen == Some(i);
                    let look = if on { ButtonState::On } else { ButtonState::Plain };
                    let key = (i + 1).to_string();
                    let what = press(choice, &key, "Takes this answer");
                    if button(ui, what, look, width).clicked() {
                        actions.push(Action::Task(LiftTaskAction::Choose(i)));
                    }
                }
            });
        }
    });
    back(ui, actions);
}

fn how_far(ui: &mut Ui, ask: &str, rise: &str, actions: &mut Inputs) {
    question(ui, ask);
    ui.horizontal(|ui| {
        asks(ui, press("Less", "Down", "One step less"), LiftTaskAction::Rise(-1), actions);
        ui.label(RichText::new(rise).font(theme::bold(theme::FIGURE)));
        asks(ui, press("More", "Up", "One step more"), LiftTaskAction::Rise(1), actions);
    });
    ui.horizontal(|ui| {
        let about = "Takes this prediction and goes to the lift";
        let what = press("Confirm", "Enter", about);
        if button(ui, what, ButtonState::Main, 0.0).clicked() {
            actions.push(Action::Task(LiftTaskAction::Take));
        }
        back(ui, actions);
    });
}

/// What was said beside what happened, and why; it scrolls where the yard is low.
fn came_of_it(ui: &mut Ui, rows: &[[String; 3]], told: &[String], high: f32, actions: &mut Inputs) {
    let area = egui::ScrollArea::vertical().max_height(high).min_scrolled_height(high);
    widget::scrolled(ui, area, |ui| {
        let wide = ui.available_width() - 2.0 * COLUMN_GAP;
        egui::Grid::new("beside").num_columns(3).spacing(vec2(COLUMN_GAP, 4.0)).show(ui, |ui| {
            if !rows.is_empty() {
                for head in ["", "You said", "It was"] {
                    widget::soft(ui, head);
                }
                ui.end_row();
            }
            for [of, said, was] in rows {
                for (words, share) in [(of, 0.26), (said, 0.37), (was, 0.37)] {
                    ui.scope(|ui| {
                        ui.set_width(share * wide);
                        if words == of {
                            widget::soft(ui, words);
                        } else {
                            widget::body(ui, words);
                        }
                    });
                }
                ui.end_row();
            }
        });
        for line in told {
            widget::body(ui, line);
        }
    });
    ui.horizontal(|ui| {
        asks(
            ui,
            press("Close", "Enter", "Back to the yard").with(Icon::Remove),
            LiftTaskAction::Take,
            actions,
        );
        let about = "The log, to read and to print";
        if button(ui, press("The log as a page", "", about), ButtonState::Plain, 0.0).clicked() {
            actions.push(Action::ShowAttempts);
        }
    });
}

/// The list of tasks, over the shelf.
pub fn list(ctx: &egui::Context, list: &LiftTaskList, seat: u32) -> Inputs {
    let about = "Each set-up fails. Predict, then lift. Make it hold with the truck's kit, or stop \
                 and say why.";
    let head = ["Practise alone", "P", about];
    widget::over_the_shelf(ctx, head, &Action::Tasks, |ui, actions| {
        ui.spacing_mut().item_spacing.y = 5.0;
        for (i, task) in list.tasks.iter().enumerate() {
            let look = if i == list.chosen { ButtonState::On } else { ButtonState::Plain };
            let key = if i == list.chosen { "Enter" } else { "" };
            let what = press(&task.name, key, &task.brief);
            if button(ui, what, look, ui.available_width()).clicked() {
                actions.push(Action::BeginTask(i));
            }
        }
        ui.horizontal(|ui| {
            for (text, key, by) in [("Seat down", "Left", -1), ("Seat up", "Right", 1)] {
                let about = "The log has the seat's number and no name";
                if button(ui, press(text, key, about), ButtonState::Plain, 0.0).clicked() {
                    actions.push(Action::Seat(by));
                }
            }
            widget::body(ui, format!("Seat {seat}"));
            let about = "Every attempt, to read and to print";
            let what = press("The log as a page", "L", about);
            if button(ui, what, ButtonState::Plain, 0.0).clicked() {
                actions.push(Action::ShowAttempts);
            }
        });
    })
}

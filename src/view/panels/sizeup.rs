//! The size-up: tape, angle and height taken by hand in the yard, and questions to people who
//! know the vehicle. Answers come with how well they are known.

use super::icon::Icon;
use super::input::Inputs;
use super::state::LiftState;
use super::widget::{self, ButtonState, button, chip, press};
use crate::scene::say_people;
use crate::session::{Action, MeasureAction, Question, Tool};
use crate::statics::plan::COM_SHARE;
use crate::statics::sheet::Figure;
use crate::view::theme;
use bevy_egui::egui::{RichText, Ui};

pub const TOOLS: [(Tool, Icon, &str, &str, &str); 3] = [
    (
        Tool::Tape,
        Icon::Tape,
        "Tape",
        "N",
        "Click on two places: distance, rise and level run between them",
    ),
    (Tool::Angle, Icon::Angle, "Angle", "O", "Click on a face: its angle against level"),
    (Tool::Height, Icon::Height, "Height", "I", "Click on a place: its height above the ground"),
];

pub const QUESTIONS: [(Question, Icon, &str); 4] = [
    (Question::Weight, Icon::Load, "How heavy is it?"),
    (Question::Bears, Icon::Bears, "What does it bear on?"),
    (Question::Centre, Icon::Mass, "Where is its centre of mass?"),
    (Question::Trapped, Icon::Person, "Who is trapped, and where?"),
];

/// The left panel of the size-up.
pub fn panel(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    ui.spacing_mut().item_spacing.y = 6.0;
    let mut take = |what| actions.push(Action::Measure(what));
    widget::heading(ui, "Measure");
    let half = 0.5 * (ui.available_width() - theme::STEP);
    for pair in TOOLS.chunks(2) {
        ui.horizontal(|ui| {
            for &(tool, sign, text, key, about) in pair {
                let look =
                    if s.measure.tool == Some(tool) { ButtonState::On } else { ButtonState::Plain };
                if button(ui, press(text, key, about).with(sign), look, half).clicked() {
                    take(MeasureAction::Tool(tool));
                }
            }
        });
    }
    let hint = match (s.measure.tool, s.measure.from) {
        (None, _) => "Drag over the yard to walk round; the wheel zooms.",
        (Some(Tool::Tape), None) => "Click where the tape begins.",
        (Some(Tool::Tape), Some(_)) => "Click where the tape ends.",
        (Some(Tool::Angle), _) => "Click on the face.",
        (Some(Tool::Height), _) => "Click on the place.",
    };
    widget::soft(ui, hint);
    for (i, taken) in s.measure.taken.iter().enumerate() {
        theme::card(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(
                RichText::new(format!("{}   {}", i + 1, taken.say(s.units)))
                    .font(theme::bold(theme::BODY)),
            );
        });
    }
    if !s.measure.taken.is_empty()
        && chip(ui, press("Clear", "Backspace", "Forgets what was measured"), false).clicked()
    {
        take(MeasureAction::Forget);
    }
    ui.add_space(theme::STEP);
    widget::heading(ui, "Ask");
    for (question, sign, text) in QUESTIONS {
        let open = s.measure.open.contains(&question);
        let look = if open { ButtonState::On } else { ButtonState::Plain };
        let width = ui.available_width();
        let what = press(text, "", "Answer with its uncertainty").with(sign);
        if button(ui, what, look, width).clicked() {
            take(MeasureAction::Ask(question));
        }
        if open {
            answer(ui, s, question);
        }
    }
    ui.add_space(theme::STEP);
    let about = "The lift on paper, to read and to print";
    if chip(ui, press("Show the sheet as a page", "F2", about), false).clicked() {
        actions.push(Action::ShowSheet);
    }
}

fn answer(ui: &mut Ui, s: &LiftState<'_>, question: Question) {
    let u = s.units;
    theme::card(ui).show(ui, |ui| {
        ui.set_width(ui.available_width());
        match question {
            Question::Weight => {
                let kg = s.scene.vehicle.mass_kg;
                let known = s.scene.spread.mass_share;
                let ends = [1.0 - known, 1.0 + known].map(|share| u.mass(share * kg));
                widget::fact(ui, "About", u.mass(kg));
                widget::fact(ui, "Between", format!("{} and {}", ends[0], ends[1]));
                for row in s.measure.weight() {
                    widget::fact(ui, "Weighs", row.result.map(|r| r.show(u)).unwrap_or_default());
                    widget::soft(ui, &row.note);
                }
            }
            Question::Bears => {
                widget::fact(ui, "On the ground", u.load(s.now.vehicle.ground_n));
                for (on, row) in s.measure.bears_on() {
                    let n = row.result.map(|r| r.show(u)).unwrap_or_default();
                    widget::fact(ui, &on, format!("{n} {}", row.numbers));
                }
                widget::soft(
                    ui,
                    "Rigid-body estimate, vehicle at rest; x is forward of mid-wheelbase. \
                     Load shares are as uncertain as the weight.",
                );
            }
            Question::Centre => {
                let com = s.now.vehicle.com;
                let base = s.scene.vehicle.wheel_x_m;
                let spread = COM_SHARE * (base[0] - base[1]);
                widget::fact(ui, "Above the ground", u.span(com[1]));
                let along = format!("{}, {} either way", u.span(com[0]), u.gap(spread));
                widget::fact(ui, "Along, x", along);
                widget::fact(ui, "Left of the middle", u.gap(com[2]));
                widget::soft(
                    ui,
                    format!(
                        "Its place along is known to {:.0} % of the wheelbase (assumed). \
                         M shows it in the yard.",
                        100.0 * COM_SHARE
                    ),
                );
            }
            Question::Trapped => {
                for (limb, state) in s.scene.limbs.iter().zip(&s.now.limbs) {
                    let more = (limb.gap_needed_m - state.gap_m).max(0.0);
                    ui.label(RichText::new(&limb.name).font(theme::bold(theme::BODY)));
                    widget::fact(ui, "Gap now", u.gap(state.gap_m));
                    widget::fact(ui, "Gap that frees it", u.gap(limb.gap_needed_m));
                    widget::fact(ui, "Still to gain", Figure::Gap(more).show(u));
                    widget::fact(ui, "Bears on it", u.load(state.load_n.max(0.0)));
                }
                for sentence in say_people(s.scene) {
                    ui.label(sentence);
                }
                widget::soft(
                    ui,
                    "Press 4 to look. Loads are for comparison; they do not measure injury.",
                );
            }
        }
    });
}

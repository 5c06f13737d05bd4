//! The size-up: tape, angle and height taken by hand in the yard, and what can be asked
//! of those who know. Answers come with how well they are known.

use super::panels::{Action, LiftState};
use super::theme;
use super::widget::{self, Look, button, chip, press};
use crate::scene::Scene;
use crate::statics::plan::COM_SHARE;
use crate::statics::sheet::{Figure, Group, Quantity, Row, Sheet};
use crate::units::System;
use crate::world::Sight;
use bevy_egui::egui::{RichText, Ui};
use std::sync::Arc;

/// What is measured with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tool {
    Tape,
    Angle,
    Height,
}

pub(super) const TOOLS: [(Tool, &str, &str, &str); 3] = [
    (Tool::Tape, "Tape", "N", "Click on two places: distance, rise and level run between them"),
    (Tool::Angle, "Angle", "O", "Click on a face: its angle against level"),
    (Tool::Height, "Height", "I", "Click on a place: its height above the ground"),
];

/// What hands ask of it.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Take {
    /// Take up a tool, or lay it down.
    Tool(Tool),
    Click([f32; 2]),
    Forget,
    Ask(Question),
}

/// What can be asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Question {
    Weight,
    Bears,
    Centre,
    Trapped,
}

pub(super) const QUESTIONS: [(Question, &str); 4] = [
    (Question::Weight, "How heavy is it?"),
    (Question::Bears, "What does it bear on?"),
    (Question::Centre, "Where is its centre of mass?"),
    (Question::Trapped, "Who is trapped, and where?"),
];

/// One measurement, places in the ground frame, m and rad.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Taken {
    Tape { from: [f64; 3], to: [f64; 3], rise_m: f64 },
    Angle { at: [f64; 3], rad: f64 },
    Height { at: [f64; 3] },
}

#[derive(Default)]
pub(super) struct Measure {
    pub tool: Option<Tool>,
    /// Where the tape was begun.
    pub from: Option<[f64; 3]>,
    pub taken: Vec<Taken>,
    pub open: Vec<Question>,
    /// What the sheet says of the vehicle as it lies.
    rows: Vec<Row>,
    rows_of: Option<(Arc<Scene>, System)>,
}

/// So many measurements stay on screen; the oldest goes.
const MOST: usize = 6;

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| a[i] - b[i])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|i| a[i] * b[i]).sum()
}

impl Measure {
    pub fn take_up(&mut self, tool: Tool) {
        self.from = None;
        self.tool = (self.tool != Some(tool)).then_some(tool);
    }

    pub fn ask(&mut self, question: Question) {
        if self.open.contains(&question) {
            self.open.retain(|q| *q != question);
        } else {
            self.open.push(question);
        }
    }

    pub fn forget(&mut self) {
        self.taken.clear();
        self.from = None;
    }

    /// Measures where a ray met something; `plumb` points straight down.
    pub fn touch(&mut self, sight: Sight, plumb: [f64; 3]) {
        let at = sight.point;
        let taken = match (self.tool, self.from) {
            (None, _) => return,
            (Some(Tool::Tape), None) => {
                self.from = Some(at);
                return;
            }
            (Some(Tool::Tape), Some(from)) => {
                self.from = None;
                Taken::Tape { from, to: at, rise_m: -dot(minus(at, from), plumb) }
            }
            (Some(Tool::Angle), _) => {
                let rad = dot(sight.normal, plumb).abs().min(1.0).acos();
                Taken::Angle { at, rad }
            }
            (Some(Tool::Height), _) => Taken::Height { at },
        };
        self.taken.push(taken);
        let more = self.taken.len().saturating_sub(MOST);
        self.taken.drain(..more);
    }

    /// Works out what can be answered.
    pub fn work_out(&mut self, scene: &Arc<Scene>, units: System) {
        let fresh =
            self.rows_of.as_ref().is_some_and(|(s, u)| Arc::ptr_eq(s, scene) && *u == units);
        if fresh {
            return;
        }
        // Another scene: what was measured there says nothing here.
        if self.rows_of.as_ref().is_some_and(|(s, _)| !Arc::ptr_eq(s, scene)) {
            self.forget();
        }
        self.rows = Sheet::of(scene, units).rows;
        self.rows.retain(|row| row.group == Group::Vehicle);
        self.rows_of = Some((scene.clone(), units));
    }
}

impl Taken {
    /// In words, with its figures.
    pub fn say(&self, units: System) -> String {
        match self {
            Self::Tape { from, to, rise_m } => {
                let length = dot(minus(*to, *from), minus(*to, *from)).sqrt();
                let run = (length * length - rise_m * rise_m).max(0.0).sqrt();
                format!(
                    "{}: {} level, {} {}",
                    units.gap(length),
                    units.gap(run),
                    units.gap(rise_m.abs()),
                    if *rise_m < 0.0 { "down" } else { "up" }
                )
            }
            Self::Angle { rad, .. } => format!("{} against level", units.angle(*rad)),
            Self::Height { at } => format!("{} above the ground", units.gap(at[1])),
        }
    }
}

/// The left panel of the size-up.
pub(super) fn panel(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = 6.0;
    let mut take = |what| actions.push(Action::Measure(what));
    widget::heading(ui, "Measure");
    let half = 0.5 * (ui.available_width() - theme::STEP);
    for pair in TOOLS.chunks(2) {
        ui.horizontal(|ui| {
            for &(tool, text, key, about) in pair {
                let look = if s.measure.tool == Some(tool) { Look::On } else { Look::Plain };
                if button(ui, press(text, key, about), look, half).clicked() {
                    take(Take::Tool(tool));
                }
            }
        });
    }
    let hint = match (s.measure.tool, s.measure.from) {
        (None, _) => "Walk round it: drag over the yard, turn the wheel to go nearer.",
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
        && chip(ui, press("Wipe off", "Backspace", "Forgets what was measured"), false).clicked()
    {
        take(Take::Forget);
    }
    ui.add_space(theme::STEP);
    widget::heading(ui, "Ask");
    for (question, text) in QUESTIONS {
        let open = s.measure.open.contains(&question);
        let look = if open { Look::On } else { Look::Plain };
        let width = ui.available_width();
        if button(ui, press(text, "", "Told with how well it is known"), look, width).clicked() {
            take(Take::Ask(question));
        }
        if open {
            answer(ui, s, question);
        }
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
                for row in s.measure.rows.iter().filter(|r| *r.quantity() == Quantity::Weight) {
                    widget::fact(ui, "Weighs", row.result.map(|r| r.show(u)).unwrap_or_default());
                    widget::soft(ui, &row.note);
                }
            }
            Question::Bears => {
                widget::fact(ui, "On the ground", u.force(s.now.vehicle.ground_n));
                for row in &s.measure.rows {
                    let Quantity::BearsOn(on) = row.quantity() else { continue };
                    let n = row.result.map(|r| r.show(u)).unwrap_or_default();
                    widget::fact(ui, &on.to_string(), format!("{n} {}", row.numbers));
                }
                widget::soft(
                    ui,
                    "Worked out for a rigid body that rests as it lies; places by x, forwards \
                     from the middle of the wheelbase. How it is shared out may be off by as \
                     much as the weight is.",
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
                        "Its place along the vehicle is known to {:.0} % of the wheelbase \
                         (assumed). M shows it in the yard.",
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
                    widget::fact(ui, "Bears on it", u.force(state.load_n.max(0.0)));
                }
                widget::soft(
                    ui,
                    "4 goes there. Loads are something to compare, no measure of injury.",
                );
            }
        }
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sight(point: [f64; 3], normal: [f64; 3]) -> Sight {
        Sight { part: None, point, normal }
    }

    /// A tape over 3 m along and 4 m up is 5 m long; plumb decides what is up.
    #[test]
    fn val_a_tape_tells_distance_rise_and_run() {
        let mut m = Measure::default();
        m.take_up(Tool::Tape);
        let down = [0.0, -1.0, 0.0];
        m.touch(sight([0.0, 0.0, 0.0], [0.0, 1.0, 0.0]), down);
        assert!(m.taken.is_empty(), "one end says nothing yet");
        m.touch(sight([3.0, 4.0, 0.0], [0.0, 1.0, 0.0]), down);
        assert_eq!(m.taken[0].say(System::Si), "5000 mm: 3000 mm level, 4000 mm up");
        // On a slope of 30 deg down to the nose a tape along the ground falls by a half.
        let slope = 30_f64.to_radians();
        let down = [slope.sin(), -slope.cos(), 0.0];
        m.touch(sight([0.0; 3], [0.0, 1.0, 0.0]), down);
        m.touch(sight([1.0, 0.0, 0.0], [0.0, 1.0, 0.0]), down);
        assert_eq!(m.taken[1].say(System::Si), "1000 mm: 866 mm level, 500 mm down");
        // The ground itself stands at the slope's angle.
        m.take_up(Tool::Angle);
        m.touch(sight([0.0; 3], [0.0, 1.0, 0.0]), down);
        assert_eq!(m.taken[2].say(System::Si), "30.0 deg against level");
        m.take_up(Tool::Height);
        m.touch(sight([0.0, 0.254, 0.0], [0.0, 1.0, 0.0]), down);
        assert_eq!(m.taken[3].say(System::Us), "10.00 in above the ground");
        m.take_up(Tool::Height);
        assert_eq!(m.tool, None, "taken up twice it is laid down");
        for _ in 0..20 {
            m.tool = Some(Tool::Height);
            m.touch(sight([0.0; 3], [0.0, 1.0, 0.0]), down);
        }
        assert_eq!(m.taken.len(), MOST);
    }
}

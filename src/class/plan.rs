//! A class with its scenes played: what is done step by step and what comes of it, for the
//! instructor.

use super::model::{Class, ClassQuestion, ClassStepKind, StopAt};
use crate::answer::{LiftEnding, say_ending};
use crate::caution::CAUTION;
use crate::debrief::Debrief;
use crate::scene::Scene;
use crate::statics::sheet::written;
use crate::units::UnitSystem;
use std::fmt::Write;

/// A class beside what came of its scenes.
pub struct ClassPlan<'a> {
    pub class: &'a Class,
    /// One for each scene of the class, in its order.
    pub played: Vec<&'a Debrief>,
    /// The units it is told in.
    pub units: UnitSystem,
}

impl ClassPlan<'_> {
    /// The plan as text.
    pub fn text(&self) -> String {
        written(|out| self.write_text(out))
    }

    fn write_text(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "{}\n{}\n", self.class.name, self.class.about)?;
        for (at, step) in self.class.steps.iter().enumerate() {
            writeln!(out, "{:>3}. {}", at + 1, self.done(at))?;
            if let ClassStepKind::Ask(question) = &step.kind {
                for (i, answer) in question.answers.iter().enumerate() {
                    writeln!(out, "       {}  {}", i + 1, answer.say)?;
                }
            }
            for line in self.comes_of(at) {
                writeln!(out, "     {line}")?;
            }
            if let Some(note) = &step.note {
                writeln!(out, "     For you: {note}")?;
            }
        }
        for why in self.misfits() {
            writeln!(out, "\nMend this: {why}.")?;
        }
        writeln!(out, "\n{CAUTION}")
    }

    /// What does not fit the lifts that were played, one sentence each: a question of whose
    /// choices none is right, or a moment that never comes.
    pub fn misfits(&self) -> Vec<String> {
        let misfit = |at: usize| {
            let step = at + 1;
            match &self.class.steps[at].kind {
                ClassStepKind::Ask(question) => {
                    let right = question.right(self.ending(at)).len();
                    let known = question.has_answer() && right != 1;
                    known.then(|| match right {
                        0 => format!("step {step}: the lift makes none of the choices right"),
                        _ => format!("step {step}: the lift makes {right} choices right"),
                    })
                }
                ClassStepKind::Stop(stop) => {
                    let never = self.stop_s(at, *stop).is_none();
                    never.then(|| format!("step {step}: the lift ends before it gets there"))
                }
                _ => None,
            }
        };
        (0..self.class.steps.len()).filter_map(misfit).collect()
    }

    /// What is done in a step, in one line.
    pub(super) fn done(&self, at: usize) -> String {
        let scene = self.scene(at);
        match &self.class.steps[at].kind {
            ClassStepKind::Show(_) => format!("Show: {}", scene.name),
            ClassStepKind::Stop(stop) => format!("Let it go on {}", self.say_stop(*stop, scene)),
            ClassStepKind::Ask(question) => format!("Ask: {}", question.ask),
            ClassStepKind::Reveal(words) => format!("Reveal: {words}"),
            ClassStepKind::Compare { words, .. } => format!("Compare side by side: {words}"),
            ClassStepKind::Card(words) => format!("Card: {words}"),
        }
    }

    fn say_stop(&self, stop: StopAt, scene: &Scene) -> String {
        match stop {
            StopAt::Order(number) => {
                let order = scene.orders.get(number - 1);
                let order = order.map_or_else(String::new, |order| order.say(scene, self.units));
                format!("until order {number} is given: {order}")
            }
            StopAt::Time(s) => format!("until {s:.1} s"),
            StopAt::Finding(1) => "until something goes wrong".to_owned(),
            StopAt::Finding(number) => format!("until finding {number}"),
        }
    }

    /// What comes of a step in the lift that was played, a line each.
    pub(super) fn comes_of(&self, at: usize) -> Vec<String> {
        match &self.class.steps[at].kind {
            ClassStepKind::Stop(stop) => match self.stop_s(at, *stop) {
                Some(t_s) => vec![format!("It stands still at {t_s:.1} s.")],
                None => vec!["The lift ends before it gets there.".to_owned()],
            },
            ClassStepKind::Reveal(_) => {
                let question =
                    self.class.question_at(at).map(|asked| &self.class.steps[asked].kind);
                let answer = match question {
                    Some(ClassStepKind::Ask(question)) => Some(self.say_right(question, at)),
                    _ => None,
                };
                answer.into_iter().chain([self.say_ending(at)]).collect()
            }
            ClassStepKind::Compare { beside, .. } if beside.is_empty() => {
                let twin = self.scene(at).lesson.twin.as_deref().unwrap_or_default();
                vec![format!("Beside it: {twin}.")]
            }
            ClassStepKind::Compare { beside, .. } => {
                let comes_of = |&place: &usize| {
                    let name = &self.class.scenes[place].scene.name;
                    format!("Beside it: {name}. {}", say_ending(self.played[place], self.units))
                };
                beside.iter().map(comes_of).collect()
            }
            _ => Vec::new(),
        }
    }

    fn say_right(&self, question: &ClassQuestion, at: usize) -> String {
        if !question.has_answer() {
            return "The lift gives no answer: count the hands and talk it over.".to_owned();
        }
        let right = question.right(self.ending(at)).into_iter();
        let right: Vec<String> =
            right.map(|i| format!("{}, {}", i + 1, question.answers[i].say)).collect();
        match right.as_slice() {
            [] => "None of the choices is right.".to_owned(),
            right => format!("Right: {}.", right.join("; ")),
        }
    }

    fn say_ending(&self, at: usize) -> String {
        say_ending(self.debrief(at), self.units)
    }

    fn stop_s(&self, at: usize, stop: StopAt) -> Option<f64> {
        let debrief = self.debrief(at);
        stop.reached_s(debrief.sim_s, &debrief.records, &debrief.findings)
    }

    fn ending(&self, at: usize) -> LiftEnding {
        LiftEnding::of(self.debrief(at))
    }

    fn debrief(&self, at: usize) -> &Debrief {
        self.played[self.class.scene_at(at)]
    }

    fn scene(&self, at: usize) -> &Scene {
        &self.class.scenes[self.class.scene_at(at)].scene
    }
}

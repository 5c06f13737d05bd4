//! A class as plain data.

use crate::answer::{Answer, LiftEnding};
use crate::framing::View;
use crate::scene::Scene;
use crate::scene::tree::Node;
use crate::snapshot::{Finding, OrderRecord, Refusal, Told};
use std::sync::Arc;

/// The most scenes that stand beside the one that is on: the picture has room for no more.
pub const MOST_BESIDE: usize = 2;

/// A class: scenes, and what is done with them in turn.
pub struct Class {
    pub name: String,
    /// What it is to show, for the instructor.
    pub about: String,
    /// The scenes that are shown or stand beside one, in the order of their first step.
    pub scenes: Vec<ClassScene>,
    /// At least one; the first shows a scene.
    pub steps: Vec<ClassStep>,
}

/// A scene of a class.
pub struct ClassScene {
    /// Its file name, without the ending.
    pub file: String,
    pub scene: Arc<Scene>,
    /// What it was read from.
    pub doc: Node,
}

/// One step of a class.
pub struct ClassStep {
    pub kind: ClassStepKind,
    /// Where the camera goes as it begins; nowhere where it stays.
    pub look: Option<View>,
    /// For the instructor.
    pub note: Option<String>,
}

/// What is done in a step.
#[derive(Clone, Debug, PartialEq)]
pub enum ClassStepKind {
    /// A scene before its first order, by its place among the class's scenes.
    Show(usize),
    /// Plays on to a moment.
    Stop(StopAt),
    Ask(ClassQuestion),
    /// Plays on to the end and shows the answer, with these words.
    Reveal(String),
    /// Plays the scene and others side by side.
    Compare {
        words: String,
        /// By their places among the class's scenes; empty for the scene's twin.
        beside: Vec<usize>,
    },
    /// Words for the room.
    Card(String),
}

/// A question to the room.
#[derive(Clone, Debug, PartialEq)]
pub struct ClassQuestion {
    pub ask: String,
    /// 2 to 9.
    pub answers: Vec<Answer>,
}

impl ClassQuestion {
    /// The places of the choices that the lift made right.
    pub fn right(&self, ending: LiftEnding) -> Vec<usize> {
        (0..self.answers.len()).filter(|&i| self.answers[i].is_right(ending)).collect()
    }

    /// Whether the lift can answer it: else it is asked for the hands alone.
    pub fn has_answer(&self) -> bool {
        self.answers.iter().any(|answer| !answer.tests.is_empty())
    }
}

/// Where a lift stops for the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StopAt {
    /// As an order is given, counted from 1.
    Order(usize),
    /// At a time of the lift, s.
    Time(f64),
    /// At a finding, counted from 1 in the order of time.
    Finding(usize),
}

impl StopAt {
    /// The time at which a lift reached it, s; none where it has not come to it by `t_s`. The
    /// log and the findings are those up to then.
    pub fn reached_s(self, t_s: f64, records: &[OrderRecord], findings: &[Finding]) -> Option<f64> {
        match self {
            Self::Order(number) => {
                // One that is given up is noted a second time.
                let given_up = |r: &OrderRecord| matches!(r.refused, Some(Refusal::GivenUp { .. }));
                let is_given = |r: &&OrderRecord| matches!(r.told, Told::Order(_)) && !given_up(r);
                let orders = records.iter().filter(is_given);
                orders.map(|record| record.t_s).nth(number - 1)
            }
            Self::Time(at_s) => (t_s >= at_s).then_some(at_s),
            Self::Finding(number) => {
                let mut times_s: Vec<f64> = findings.iter().map(|finding| finding.t_s).collect();
                times_s.sort_by(f64::total_cmp);
                times_s.get(number - 1).copied()
            }
        }
    }
}

impl Class {
    /// The scene that is on at a step, by its place among the class's scenes.
    pub fn scene_at(&self, step: usize) -> usize {
        let shown = self.up_to(step).find_map(|step| match step.kind {
            ClassStepKind::Show(scene) => Some(scene),
            _ => None,
        });
        shown.unwrap_or(0)
    }

    /// Whether what is hidden from the room has been shown by this step: answer, title, ending.
    pub fn is_revealed(&self, step: usize) -> bool {
        let since = self.up_to(step);
        let mut since = since.take_while(|step| !matches!(step.kind, ClassStepKind::Show(_)));
        since.any(|step| {
            matches!(step.kind, ClassStepKind::Reveal(_) | ClassStepKind::Compare { .. })
        })
    }

    /// The place of the step whose question is on at this step: from its asking to its reveal.
    pub fn question_at(&self, step: usize) -> Option<usize> {
        for at in (0..=step).rev() {
            match self.steps.get(at)?.kind {
                ClassStepKind::Ask(_) => return Some(at),
                ClassStepKind::Reveal(_) if at < step => return None,
                ClassStepKind::Show(_) | ClassStepKind::Compare { .. } => return None,
                _ => {}
            }
        }
        None
    }

    /// This step and those before it, backwards.
    fn up_to(&self, step: usize) -> impl Iterator<Item = &ClassStep> {
        self.steps.iter().take(step + 1).rev()
    }
}

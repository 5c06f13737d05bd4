//! A class that is held: which step is on, what the room may see by then, and how many hands
//! went up for which choice.

use super::play::Play;
use crate::answer::{LiftEnding, say_ending};
use crate::class::{Class, ClassQuestion, ClassStepKind};
use crate::debrief::Debrief;
use crate::framing::View;
use crate::scene::Scene;
use crate::units::UnitSystem;
use std::sync::Arc;

/// What the instructor asks of a class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClassAction {
    /// The next step; it waits for the lift to come to where a step leads.
    Next,
    /// The step before; from a scene's first step the scene before, from its start.
    Back,
    /// One hand more or fewer for a choice of the question that is on.
    Hand {
        /// The choice's place.
        choice: usize,
        /// One more, not one fewer.
        up: bool,
    },
    /// Leave the class; asked twice it is left.
    Leave,
    /// Stay in it after all.
    Stay,
}

/// What comes of an action.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ClassTurn {
    /// The same scene stays on.
    Stay,
    /// A scene of the class is to be set up, by its place.
    Show(usize),
    /// The class is left.
    Leave,
}

/// How the lift of the scene that is on came out.
struct PlayedResult {
    ending: LiftEnding,
    /// The same in words.
    said: String,
}

/// A class that is held.
pub struct ClassRun {
    class: Arc<Class>,
    at: usize,
    /// Hands of each step's choices; empty where nothing is asked.
    hands: Vec<Vec<usize>>,
    /// The time of the lift at which each step was left, s.
    left_s: Vec<f64>,
    /// Known once the lift has come to its end behind a reveal.
    came_out: Option<PlayedResult>,
    asks_to_leave: bool,
}

/// A choice of a question as the room sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShownAnswer {
    pub say: String,
    pub hands: usize,
    /// Whether it is right; none before that is to be seen.
    pub right: Option<bool>,
}

/// Everything in words that is on the screen of a class, besides the caution. Nothing else may be
/// shown there: what is hidden from the room is not in it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ClassShown {
    /// The scene's name, once it is revealed.
    pub title: Option<String>,
    /// The question, the card, or what is said with a reveal.
    pub words: Option<String>,
    pub answers: Vec<ShownAnswer>,
    /// What the scene teaches and how its lift ended, once it is revealed.
    pub told: Vec<String>,
    /// For the instructor: which step it is and what it waits for.
    pub hint: String,
    /// It is asked whether the class is to be left.
    pub asks_to_leave: bool,
}

impl ClassShown {
    /// Every text of it.
    pub fn texts(&self) -> Vec<&str> {
        let answers = self.answers.iter().map(|answer| &answer.say);
        let words = self.title.iter().chain(&self.words).chain(answers).chain(&self.told);
        words.map(String::as_str).chain([self.hint.as_str()]).collect()
    }
}

impl ClassRun {
    pub(super) fn new(class: Arc<Class>) -> Self {
        let count = |kind: &ClassStepKind| match kind {
            ClassStepKind::Ask(question) => vec![0; question.answers.len()],
            _ => Vec::new(),
        };
        let hands = class.steps.iter().map(|step| count(&step.kind)).collect();
        let left_s = vec![0.0; class.steps.len()];
        Self { class, at: 0, hands, left_s, came_out: None, asks_to_leave: false }
    }

    /// The class itself.
    pub fn class(&self) -> &Class {
        &self.class
    }

    /// The place of the step that is on.
    pub fn step(&self) -> usize {
        self.at
    }

    fn kind(&self) -> &ClassStepKind {
        &self.class.steps[self.at].kind
    }

    /// Whether title, teaching, ending, twin and answer are still hidden from the room.
    pub fn hides(&self) -> bool {
        !self.class.is_revealed(self.at)
    }

    /// Hands for each choice of the question that is on; empty where none is.
    pub fn hands(&self) -> &[usize] {
        self.class.question_at(self.at).map_or(&[], |asked| &self.hands[asked])
    }

    /// Where the camera goes as the step that is on begins.
    pub(super) fn look(&self) -> Option<View> {
        self.class.steps[self.at].look
    }

    /// The scenes that stand beside the one that is on, by their files' names: nothing where none
    /// are to, and no scenes where it is the lesson's twin.
    pub(super) fn beside(&self) -> Option<Vec<(String, Arc<Scene>)>> {
        let ClassStepKind::Compare { beside, .. } = self.kind() else { return None };
        let scenes = beside.iter().map(|&at| &self.class.scenes[at]);
        Some(scenes.map(|shown| (shown.file.clone(), shown.scene.clone())).collect())
    }

    /// Carries an action out; without a lift one is still being set up.
    pub(super) fn act(&mut self, action: ClassAction, play: Option<&mut Play>) -> ClassTurn {
        if action == ClassAction::Leave {
            let leaves = self.asks_to_leave;
            self.asks_to_leave = true;
            return if leaves { ClassTurn::Leave } else { ClassTurn::Stay };
        }
        let asked = std::mem::take(&mut self.asks_to_leave);
        match (action, play) {
            // The answer to whether it is to be left: no.
            _ if asked => ClassTurn::Stay,
            (ClassAction::Next, Some(play)) => self.next(play),
            (ClassAction::Back, Some(play)) => self.back(play),
            (ClassAction::Hand { choice, up }, _) => {
                self.count(choice, up);
                ClassTurn::Stay
            }
            _ => ClassTurn::Stay,
        }
    }

    fn count(&mut self, choice: usize, up: bool) {
        let is_asked = self.hides();
        let question = self.class.question_at(self.at).filter(|_| is_asked);
        let hands = question.and_then(|asked| self.hands[asked].get_mut(choice));
        if let Some(hands) = hands {
            *hands = if up { hands.saturating_add(1) } else { hands.saturating_sub(1) };
        }
    }

    fn next(&mut self, play: &mut Play) -> ClassTurn {
        let last = self.at + 1 == self.class.steps.len();
        if last || self.waits(play) {
            return ClassTurn::Stay;
        }
        self.left_s[self.at] = play.now().t_s;
        self.at += 1;
        match self.kind() {
            ClassStepKind::Show(scene) => {
                let turn = ClassTurn::Show(*scene);
                self.came_out = None;
                turn
            }
            ClassStepKind::Compare { .. } => {
                play.look_at(0.0);
                play.playing = true;
                ClassTurn::Stay
            }
            kind => {
                play.playing = matches!(kind, ClassStepKind::Stop(_) | ClassStepKind::Reveal(_));
                ClassTurn::Stay
            }
        }
    }

    fn back(&mut self, play: &mut Play) -> ClassTurn {
        if matches!(self.kind(), ClassStepKind::Show(_)) {
            let before = (0..self.at).rev().find_map(|at| match self.class.steps[at].kind {
                ClassStepKind::Show(scene) => Some((at, scene)),
                _ => None,
            });
            let Some((at, scene)) = before else { return ClassTurn::Stay };
            (self.at, self.came_out) = (at, None);
            return ClassTurn::Show(scene);
        }
        self.at = self.at.saturating_sub(1);
        play.look_at(self.left_s[self.at]);
        ClassTurn::Stay
    }

    /// Whether the step leads to a moment that the lift has not come to.
    fn waits(&self, play: &Play) -> bool {
        match self.kind() {
            ClassStepKind::Stop(_) => !self.is_there(play),
            ClassStepKind::Reveal(_) => self.came_out.is_none(),
            _ => false,
        }
    }

    /// The lift has come to where a stop leads, or to its end.
    fn is_there(&self, play: &Play) -> bool {
        let ClassStepKind::Stop(stop) = self.kind() else { return true };
        let reached = stop.reached_s(play.now().t_s, play.records(), play.findings());
        reached.is_some() || play.done() || play.broken()
    }

    /// Plays or pauses, where time goes on in this step.
    pub(super) fn play_or_pause(&self, play: &mut Play) {
        let goes_on = match self.kind() {
            ClassStepKind::Stop(_) => !self.is_there(play),
            ClassStepKind::Reveal(_) | ClassStepKind::Compare { .. } => true,
            _ => false,
        };
        if goes_on {
            play.play_or_pause();
        }
    }

    /// Stands still where a stop leads, and notes how the lift came out behind a reveal.
    pub(super) fn follow(&mut self, play: &mut Play, units: UnitSystem) {
        if play.playing && matches!(self.kind(), ClassStepKind::Stop(_)) && self.is_there(play) {
            play.playing = false;
        }
        let is_reveal = matches!(self.kind(), ClassStepKind::Reveal(_));
        if is_reveal && self.came_out.is_none() && (play.done() || play.broken()) {
            let played = play.played();
            let sim_s = played.sim_s;
            let debrief = Debrief::new(played, units, sim_s);
            let said = say_ending(&debrief, units);
            self.came_out = Some(PlayedResult { ending: LiftEnding::of(&debrief), said });
        }
    }

    /// Whether the lesson of the scene stands there, with its numbers.
    pub(super) fn tells_the_lesson(&self) -> bool {
        matches!(self.kind(), ClassStepKind::Reveal(_)) && self.came_out.is_some()
    }

    /// What is on the screen; without a lift one is still being set up.
    pub(super) fn shown(&self, play: Option<&Play>, lesson: Vec<String>) -> ClassShown {
        let words = match self.kind() {
            ClassStepKind::Ask(ClassQuestion { ask: words, .. })
            | ClassStepKind::Reveal(words)
            | ClassStepKind::Compare { words, .. }
            | ClassStepKind::Card(words) => Some(words.clone()),
            ClassStepKind::Show(_) | ClassStepKind::Stop(_) => None,
        };
        let scene = &self.class.scenes[self.class.scene_at(self.at)].scene;
        let came_out = self.came_out.as_ref().filter(|_| !self.hides());
        let mut told = Vec::new();
        if let Some(came_out) = came_out.filter(|_| self.tells_the_lesson()) {
            told.push(came_out.said.clone());
            told.extend(lesson);
        }
        ClassShown {
            title: (!self.hides()).then(|| scene.name.clone()),
            words,
            answers: self.shown_answers(came_out.map(|came_out| came_out.ending)),
            told,
            hint: self.hint(play),
            asks_to_leave: self.asks_to_leave,
        }
    }

    fn shown_answers(&self, ending: Option<LiftEnding>) -> Vec<ShownAnswer> {
        let Some(asked) = self.class.question_at(self.at) else { return Vec::new() };
        let ClassStepKind::Ask(question) = &self.class.steps[asked].kind else {
            return Vec::new();
        };
        let ending = ending.filter(|_| question.has_answer());
        let answers = question.answers.iter().zip(&self.hands[asked]);
        answers
            .map(|(answer, hands)| ShownAnswer {
                say: answer.say.clone(),
                hands: *hands,
                right: ending.map(|ending| answer.is_right(ending)),
            })
            .collect()
    }

    fn hint(&self, play: Option<&Play>) -> String {
        let last = self.at + 1 == self.class.steps.len();
        let what = match play {
            None => "the scene is being set up",
            Some(play) if self.waits(play) && !play.playing => "Space lets the lift go on",
            Some(play) if self.waits(play) => "the lift goes on",
            _ if last => "the last step; Esc leaves the class",
            _ => "Page Down goes on",
        };
        format!("Step {} of {}: {what}", self.at + 1, self.class.steps.len())
    }
}

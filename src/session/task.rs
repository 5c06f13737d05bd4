//! A task that is worked on alone: the prediction before each lift, hints in steps, the
//! answer to stop, what came of it beside what was said, and the log of attempts. Everything in
//! words that its cards show is in [`LiftTaskShown`]: what is hidden before a lift is not in it.

use super::bench::Bench;
use super::play::Play;
use super::saying::Saying;
use super::stage::Stage;
use super::task_shown::{LiftTaskCard, LiftTaskShown};
use crate::debrief::Debrief;
use crate::scene::tree::Node;
use crate::scene::{Outcome, Scene};
use crate::task::{
    Attempt, AttemptLog, Came, HintPair, LiftTask, Lifted, Prediction, StopReason, WayOut, say_stop,
};
use crate::units::UnitSystem;
use std::sync::Arc;
use web_time::SystemTime;

/// What is asked of a task.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LiftTaskAction {
    /// Chooses an answer of the card that is open, by its place.
    Choose(usize),
    /// So many steps more of rise are predicted, or fewer.
    Rise(i32),
    /// Takes what was chosen and goes on; with no card open, shows what came of the last attempt.
    Take,
    /// One question back, or the card is closed.
    Back,
    /// The next hint.
    Hint,
    /// Asks why one stops, or no more.
    Stop,
}

/// What comes of an action.
#[derive(Debug, PartialEq)]
pub(super) enum LiftTaskTurn {
    Stay,
    /// It is said what will come of the lift: to the lift.
    ToTheLift,
    /// It is stopped, and said why.
    Stopped(StopReason),
}

/// The card over the yard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Card {
    Closed,
    Predict,
    Stop,
    Told,
}

/// What came of the last attempt, as it is told.
#[derive(Clone, Debug, Default)]
struct AttemptResult {
    /// What it is of, what was said, what happened.
    rows: Vec<[String; 3]>,
    told: Vec<String>,
}

/// A task that is worked on.
pub struct LiftTaskRun {
    task: Arc<LiftTask>,
    log: AttemptLog,
    /// What time it is, for the log.
    clock: fn() -> SystemTime,
    seat: u32,
    card: Card,
    /// What is being said; none while nothing is asked.
    saying: Option<Saying>,
    /// What was said of the lift that comes next or is on; none once that lift is in the log.
    said: Option<Prediction>,
    /// The lift that it was said of has begun.
    begun: bool,
    hints: Vec<String>,
    /// Of the last lift.
    of_lift: Option<HintPair>,
    came_out: Option<AttemptResult>,
    attempts: usize,
    /// Since the attempt before, or since the task was begun, s.
    took_s: f64,
    /// It was lifted soundly, rightly stopped, or every hint was taken: what the scene teaches may
    /// be told.
    settled: bool,
}

/// The hints there are.
const HINTS: usize = 3;
impl LiftTaskRun {
    pub(super) fn new(
        task: Arc<LiftTask>,
        log: AttemptLog,
        clock: fn() -> SystemTime,
        seat: u32,
    ) -> Self {
        Self {
            task,
            log,
            clock,
            seat,
            card: Card::Closed,
            saying: None,
            said: None,
            begun: false,
            hints: Vec::new(),
            of_lift: None,
            came_out: None,
            attempts: 0,
            took_s: 0.0,
            settled: false,
        }
    }

    /// The task itself.
    pub fn task(&self) -> &LiftTask {
        &self.task
    }

    /// Whether a card is open that asks something.
    pub fn asks(&self) -> bool {
        matches!(self.card, Card::Predict | Card::Stop)
    }

    /// Whether a card is open.
    pub fn is_open(&self) -> bool {
        self.card != Card::Closed
    }

    /// Whether it has yet to be said what will come of the lift.
    pub(super) fn has_yet_to_say(&self) -> bool {
        self.said.is_none()
    }

    /// Asks what will come of a set-up.
    pub(super) fn ask(&mut self, scene: Arc<Scene>) {
        (self.saying, self.card) = (Some(Saying::new(scene)), Card::Predict);
    }

    /// What was said is of another set-up.
    pub(super) fn set_up_changed(&mut self) {
        if !self.begun {
            self.said = None;
        }
    }

    /// Another lift stands there.
    pub(super) fn new_lift(&mut self) {
        if std::mem::take(&mut self.begun) {
            self.said = None;
        }
    }

    pub(super) fn act(
        &mut self,
        action: LiftTaskAction,
        now: &Scene,
        units: UnitSystem,
    ) -> LiftTaskTurn {
        match (action, self.card) {
            (_, Card::Predict)
                if action != LiftTaskAction::Hint && action != LiftTaskAction::Stop =>
            {
                return self.say(action, units);
            }
            (LiftTaskAction::Choose(place), Card::Stop) => {
                if let Some((_, why)) = StopReason::WORDS.get(place) {
                    return LiftTaskTurn::Stopped(*why);
                }
            }
            (LiftTaskAction::Take, Card::Closed) if self.came_out.is_some() => {
                self.card = Card::Told;
            }
            (LiftTaskAction::Take, Card::Told)
            | (LiftTaskAction::Back | LiftTaskAction::Stop, Card::Stop | Card::Told) => {
                self.card = Card::Closed;
            }
            (LiftTaskAction::Stop, _) => self.card = Card::Stop,
            (LiftTaskAction::Hint, _) => self.hint(now, units),
            _ => {}
        }
        LiftTaskTurn::Stay
    }

    /// Answers what is asked before the lift.
    fn say(&mut self, action: LiftTaskAction, units: UnitSystem) -> LiftTaskTurn {
        let Some(saying) = &mut self.saying else { return LiftTaskTurn::Stay };
        match action {
            LiftTaskAction::Choose(place) => saying.choose(place),
            LiftTaskAction::Rise(steps) => saying.rise(steps, units),
            LiftTaskAction::Take => {
                if let Some(said) = saying.take() {
                    (self.said, self.saying, self.begun) = (Some(said), None, false);
                    self.card = Card::Closed;
                    return LiftTaskTurn::ToTheLift;
                }
            }
            LiftTaskAction::Back if !saying.back() => self.card = Card::Closed,
            _ => {}
        }
        LiftTaskTurn::Stay
    }

    fn hint(&mut self, now: &Scene, units: UnitSystem) {
        let pair = self.of_lift.clone().unwrap_or_else(|| HintPair::on_paper(now, units));
        let HintPair { look, number } = pair.or_own(&self.task);
        let next = match self.hints.len() {
            0 => look,
            1 => number,
            2 => self.task.last_hint(),
            _ => return,
        };
        self.hints.push(next);
        self.settled |= self.hints.len() == HINTS;
    }

    /// Lets time pass, and puts a lift that is over into the log. Gives what could not be kept.
    pub(super) fn follow(
        &mut self,
        (play, stage): (&Play, Stage),
        bench: Option<&Bench>,
        units: UnitSystem,
        elapsed_s: f64,
    ) -> Option<String> {
        self.took_s += elapsed_s;
        self.begun |= self.said.is_some() && play.end_s() > 0.0;
        // Hands end a lift when they go to look back at it.
        let left = stage == Stage::LookBack && !play.script() && !play.playing;
        let over = play.ended() || (left && play.end_s() > 0.0);
        if !over {
            return None;
        }
        let said = self.said.take()?;
        self.begun = false;
        let played = play.played();
        let sim_s = played.sim_s;
        let debrief = Debrief::new(played, units, sim_s);
        let lifted = Lifted::new(said, &debrief, units);
        self.of_lift =
            (debrief.outcome != Outcome::Lifted).then(|| HintPair::of_lift(&debrief, units));
        self.settled |= lifted.holds();
        let changes = self.changes(bench);
        let mut came_out = AttemptResult {
            rows: lifted.said.beside(&lifted.happened, units).to_vec(),
            told: say_lift(&lifted, changes.len()),
        };
        if self.settled {
            came_out.told.extend(self.lesson(&debrief, changes.is_empty()));
        }
        (self.came_out, self.card) = (Some(came_out), Card::Told);
        self.note(Came::Lifted(Box::new(lifted)), changes)
    }

    /// What the scene teaches; its numbers only where it was lifted as it was handed out.
    fn lesson(&self, debrief: &Debrief, unchanged: bool) -> Vec<String> {
        let lesson = &self.task.lesson;
        let mut lines = vec![lesson.teaches.clone()];
        if unchanged {
            let history: Vec<_> = debrief.history.iter().collect();
            let readings = crate::debrief::Readings {
                scene: lesson,
                history: &history,
                findings: &debrief.findings,
                nearest_approaches: &debrief.nearest_approaches,
                twin: None,
                units: debrief.units,
            };
            lines.extend(Some(readings.after()).filter(|after| !after.is_empty()));
        }
        lines
    }

    /// It is stopped, and said why. Gives what could not be kept.
    pub(super) fn stop(&mut self, why: StopReason, bench: Option<&Bench>) -> Option<String> {
        self.settled |= matches!(self.task.way_out, WayOut::NoGoodLift { .. });
        let mut told = say_stop(&self.task, why);
        if self.settled {
            told.push(self.task.lesson.teaches.clone());
        }
        self.came_out = Some(AttemptResult { rows: Vec::new(), told });
        self.card = Card::Told;
        let changes = self.changes(bench);
        self.note(Came::Stopped { why }, changes)
    }

    fn changes(&self, bench: Option<&Bench>) -> Vec<String> {
        bench.map(|bench| self.task.changes(bench.draft.doc())).unwrap_or_default()
    }

    /// Whether a set-up leaves as it is what was found there.
    pub(super) fn leaves_what_is_found(&self, doc: &Node) -> bool {
        self.task.leaves_what_is_found(doc)
    }

    fn note(&mut self, came: Came, changes: Vec<String>) -> Option<String> {
        let since = (self.clock)().duration_since(SystemTime::UNIX_EPOCH);
        let attempt = Attempt {
            at_s: since.unwrap_or_default().as_secs(),
            seat: self.seat,
            task: self.task.file.clone(),
            title: self.task.name.clone(),
            scene: self.task.scene_file.clone(),
            changes,
            hints: self.hints.len(),
            came,
            took_s: std::mem::take(&mut self.took_s),
        };
        self.attempts += 1;
        let why = self.log.add(&attempt).err()?;
        Some(format!("This attempt is not in the log: {why}."))
    }

    /// What is on the cards.
    pub(super) fn shown(&self, bench: Option<&Bench>, units: UnitSystem) -> LiftTaskShown {
        let changes = self.changes(bench).len();
        LiftTaskShown {
            title: self.task.name.clone(),
            brief: self.task.brief.clone(),
            state: vec![
                format!("On the truck: {}", self.task.kit()),
                format!("Changed: {changes}"),
                format!("Attempts: {}", self.attempts),
                format!("Seat {}", self.seat),
            ],
            hints: self.hints.clone(),
            card: self.shown_card(units),
        }
    }

    fn shown_card(&self, units: UnitSystem) -> LiftTaskCard {
        match self.card {
            Card::Closed => LiftTaskCard::Closed,
            Card::Predict => {
                self.saying.as_ref().map_or(LiftTaskCard::Closed, |saying| saying.card(units))
            }
            Card::Stop => {
                let reasons = StopReason::WORDS.iter().map(|(_, why)| why.say().to_owned());
                LiftTaskCard::Choose {
                    ask: "Stop here. What is needed?".to_owned(),
                    choices: reasons.collect(),
                    chosen: None,
                }
            }
            Card::Told => {
                let AttemptResult { rows, told } = self.came_out.clone().unwrap_or_default();
                LiftTaskCard::Told { rows, told }
            }
        }
    }
}

/// What is told of a lift besides what stands beside the prediction.
fn say_lift(lifted: &Lifted, changes: usize) -> Vec<String> {
    let mut told = vec![format!("Why: {}", lifted.happened.why)];
    told.extend((!lifted.casualty.is_empty()).then(|| format!("Casualty: {}.", lifted.casualty)));
    told.extend(lifted.short.iter().map(|short| format!("Not on the truck: {short}")));
    told.extend(lifted.practice.iter().map(|point| format!("Practice: {point}.")));
    told.push(match changes {
        0 => "Nothing was changed.".to_owned(),
        1 => "One thing was changed.".to_owned(),
        n => format!("{n} things were changed."),
    });
    told
}

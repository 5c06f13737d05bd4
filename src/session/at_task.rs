//! What a session does for practising alone: the list of tasks, a task on its stages, and
//! the page of the log.

use super::bench::Ask;
use super::play::Play;
use super::task::{LiftTaskAction, LiftTaskRun, LiftTaskTurn};
use super::task_shown::{LiftTaskList, LiftTaskShown};
use super::{Action, Effect, Screen, Session, Stage};
use crate::draft::Draft;
use crate::scene::tree::Node;
use crate::task::{self as task_file, AttemptLog, LiftTask, attempts_page};
use std::sync::Arc;

/// The highest number of a seat.
const SEATS: u32 = 99;
/// What is said where hands would change what the crew did not bring.
const AS_FOUND: &str = "A task fixes its vehicle, ground, casualty and truck.";

impl Session {
    /// The task that is worked on, where one is.
    pub fn task(&self) -> Option<&LiftTaskRun> {
        self.task.as_ref()
    }

    /// What the cards of the task show.
    pub fn task_shown(&self) -> Option<LiftTaskShown> {
        Some(self.task.as_ref()?.shown(self.bench.as_ref(), self.units()))
    }

    /// The tasks there are, while one is chosen.
    pub fn task_list(&self) -> Option<&LiftTaskList> {
        self.task_list.as_ref()
    }

    /// The number of the seat, which stands in the log.
    pub fn seat(&self) -> u32 {
        self.settings.now.seat
    }

    /// Shows the tasks to choose from, or no more.
    pub(super) fn list_tasks(&mut self) {
        if self.task_list.take().is_some() || !matches!(self.screen, Screen::Shelf) {
            return;
        }
        let (tasks, unread) = super::read_files(
            task_file::FILES,
            &self.scenes.folders().scenes,
            task_file::load_from,
        );
        if let Some(unread) = unread {
            self.tell(format!("A task cannot be worked on. {unread}"));
        }
        self.task_list = Some(LiftTaskList { tasks, chosen: 0 });
    }

    pub(super) fn choose_task(&mut self, index: usize) {
        if let Some(list) = &mut self.task_list {
            list.chosen = index.min(list.tasks.len().saturating_sub(1));
        }
    }

    /// Begins one of the tasks that are listed.
    pub(super) fn begin_listed_task(&mut self, index: usize) {
        let task = self.task_list.as_ref().and_then(|list| list.tasks.get(index)).cloned();
        if let Some(task) = task {
            self.begin_task(task);
        }
    }

    /// Begins a task: its set-up, at the size-up.
    pub(super) fn begin_task(&mut self, task: Arc<LiftTask>) {
        (self.task_list, self.guide) = (None, None);
        self.begin(Draft::new(task.doc.clone()).map_err(super::OpenError::Scene), Stage::SizeUp);
        if self.bench.is_some() {
            let log = self.attempt_log();
            self.task = Some(LiftTaskRun::new(task, log, self.clock, self.seat()));
        }
    }

    /// Another number of the seat.
    pub(super) fn change_seat(&mut self, by: i32) {
        let seat = self.seat().saturating_add_signed(by);
        self.settings.now.seat = seat.min(SEATS);
    }

    fn attempt_log(&self) -> AttemptLog {
        AttemptLog::at(self.scenes.folders().attempts.as_deref())
    }

    /// The log as a page to print.
    pub(super) fn show_attempts(&mut self) -> Option<Effect> {
        match self.attempt_log().read() {
            Ok(attempts) => {
                let html = attempts_page(&attempts, self.units());
                Some(Effect::ShowPage { title: "Attempts".to_owned(), html })
            }
            Err(why) => {
                self.tell(format!("The log of attempts cannot be read: {why}."));
                None
            }
        }
    }

    /// Asks first what will come of the lift where an action would begin one; true where it does.
    pub(super) fn asks_first(&mut self, action: &Action) -> bool {
        let at_start = self.stale() || self.play().is_some_and(|play| play.end_s() == 0.0);
        let to_say = self.task.as_ref().is_some_and(LiftTaskRun::has_yet_to_say);
        if !(to_say && at_start && action.lifts()) {
            return false;
        }
        let ready = self.bench.as_ref().and_then(|bench| bench.draft.seen().ready().cloned());
        // What does not fit is told by the bench.
        let (Some(scene), Some(task)) = (ready, &mut self.task) else { return false };
        task.ask(scene);
        true
    }

    pub(super) fn act_at_task(&mut self, action: LiftTaskAction) {
        let units = self.units();
        let (Some(task), Some(bench)) = (&mut self.task, &self.bench) else { return };
        let now = bench.draft.seen().scene.clone();
        match task.act(action, &now, units) {
            LiftTaskTurn::Stay => {}
            LiftTaskTurn::ToTheLift => self.go(Stage::Lift),
            LiftTaskTurn::Stopped(why) => {
                let unkept = task.stop(why, Some(bench));
                self.with_play(|play| play.playing = false);
                self.trouble = unkept.or(self.trouble.take());
            }
        }
    }

    /// After hands were on the bench: what is found stays as it was found, and what was said holds
    /// for the set-up that it was said of.
    pub(super) fn hold_to_task(&mut self, ask: &Ask, before: Option<&Node>) {
        let units = self.units();
        let (Some(task), Some(bench), Some(before)) = (&mut self.task, &mut self.bench, before)
        else {
            return;
        };
        let is_on_the_way = matches!(ask, Ask::Drag { done: false, .. });
        if is_on_the_way || bench.draft.doc() == before {
            return;
        }
        if task.leaves_what_is_found(bench.draft.doc()) {
            task.set_up_changed();
        } else {
            bench.act(Ask::Undo, units);
            bench.note = Some(AS_FOUND.to_owned());
        }
    }

    /// Lets the task see the lift.
    pub(super) fn let_the_task_see(&mut self, elapsed_s: f64) {
        let units = self.units();
        let (Screen::Lift(play), Some(task)) = (&self.screen, &mut self.task) else { return };
        let play: &Play = play;
        let unkept = task.follow((play, self.stage), self.bench.as_ref(), units, elapsed_s);
        if let Some(unkept) = unkept {
            self.trouble = Some(unkept);
        }
    }
}

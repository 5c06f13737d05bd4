//! One turn of a session: an action that is done, or time that passes.

use super::bench::{Ask, Bench, bare};
use super::class::ClassAction;
use super::lever::VALVES;
use super::open_error::OpenError;
use super::play::Play;
use super::stage::Stage;
use super::{Action, Effect, LARGEST_FILE_BYTES, Session, draft_of, export, toggle};
use crate::class as class_file;
use crate::draft::{Draft, from_nothing};
use crate::scene::{self, Problem, Source};
use crate::task as task_file;
use std::sync::Arc;

impl Session {
    /// Carries an action out and returns what the driver has to do.
    pub fn act(&mut self, action: Action) -> Option<Effect> {
        if self.class.is_some() && !action.is_for_a_class() {
            return None;
        }
        if self.asks_first(&action) {
            return None;
        }
        self.let_the_guide_see(Some(&action));
        match action {
            Action::Look(view) => return Some(Effect::Look(view)),
            Action::Turn(by) => return Some(Effect::Turn(by)),
            Action::Shift(by) => return Some(Effect::Shift(by)),
            Action::Nearer(by) => return Some(Effect::Nearer(by)),
            Action::WholeScreen => return Some(Effect::WholeScreen),
            Action::Visit(finding) => return self.visit_finding(finding),
            Action::VisitPoint(point) => return self.visit_point(point),
            Action::Bench(ask) => return self.ask_bench(ask),
            Action::Measure(take) => self.take_measure(take),

            Action::Shelf if self.class.is_some() => {
                return self.act_in_class(ClassAction::Leave);
            }
            Action::Shelf => self.leave(),
            Action::Choose(i) => self.scenes.choose(i),
            Action::Open(i) => self.open(i, |doc| draft_of(doc.clone())),
            Action::OpenBare(i) => self.open(i, bare),
            Action::Begin(vehicle) => {
                let draft = from_nothing(&vehicle).map_err(OpenError::Scene);
                self.begin(draft, Stage::SetUp);
            }
            Action::TakeUp(path) => {
                let bench = Bench::taken_up(&path, self.scenes.folders(), (self.clock)());
                self.begin_with(bench, Stage::SetUp);
            }
            Action::ThrowAway(path) => self.throw_away(&path),
            Action::Stage(stage) => self.go(stage),
            Action::Guide => self.guide_or_not(),
            Action::Classes => self.list_classes(),
            Action::HoldClass(i) => self.hold_class(i),
            Action::Class(action) => return self.act_in_class(action),
            Action::Tasks => self.list_tasks(),
            Action::ChooseTask(i) => self.choose_task(i),
            Action::BeginTask(i) => self.begin_listed_task(i),
            Action::Task(action) => self.act_at_task(action),
            Action::Seat(by) => self.change_seat(by),

            Action::PlayOrPause => self.play_or_pause(),
            Action::SlowOrNot => self.with_play(|play| toggle(&mut play.slow)),
            Action::Step(forwards) => self.with_play(|play| play.step(forwards)),
            Action::Restart => self.restart(),
            Action::Seek(t_s) => self.with_play(|play| play.look_at(t_s)),
            Action::ToNow => self.with_play(Play::catch_up),
            Action::Beside(which) => self.comparison.choose(which),
            Action::NextBeside => self.choose_next_beside(),

            Action::Hold { outlet, lever } => self.hold(outlet, lever),
            Action::NextValve => self.valve = (self.valve + 1) % VALVES.len(),
            Action::Shut { bag, closed } => self.with_play(|play| play.shut(bag, closed)),
            Action::MoveHose { outlet, from, to } => {
                self.with_play(|play| play.give(scene::Order::MoveHose { outlet, from, to }));
            }
            Action::Capture => self.with_play(Play::capture),
            Action::SetChocks => self.with_play(Play::set_chocks),
            Action::Script(on) => self.set_script(on),
            Action::OnFailure(on_failure) => {
                self.with_play(|play| play.set_on_failure(on_failure));
            }
            Action::Strike(fault) => self.with_play(|play| play.strike(fault)),

            Action::Freeze => self.freeze_or_not(),
            Action::Units => {
                toggle(&mut self.settings.now.feet_and_pounds);
                self.here.units = self.units();
            }
            Action::Big => toggle(&mut self.settings.now.large_text),
            Action::Dark => toggle(&mut self.settings.now.dark),
            Action::ShowEndings => toggle(&mut self.settings.now.show_endings),
            Action::Plain => self.settings.now.choose_plain(!self.plain()),
            Action::LowPower => toggle(&mut self.settings.now.low_power),
            Action::Toggle(which) => self.overlays.toggle(which),
            Action::Instructor => toggle(&mut self.instructor),
            Action::Help => toggle(&mut self.help),

            Action::ExportEverything => return self.export(),
            Action::AskForFile => return Some(Effect::AskForFile),
            Action::TakeFile { name, bytes } => self.take_file(&name, bytes),
            Action::ShowSheet => return self.show_sheet(),
            Action::ShowDebrief => return self.show_debrief(),
            Action::ShowAttempts => return self.show_attempts(),
            Action::Understood => self.trouble = None,
        }
        if let Some(why) = self.settings.keep() {
            self.trouble = Some(why);
        }
        None
    }

    /// Lets this much time pass, s: plays on, and takes over finished work.
    pub fn advance(&mut self, elapsed_s: f64) -> Option<Effect> {
        self.frame = self.frame.next(elapsed_s);
        let effect = self.take_over_settled(elapsed_s);
        self.read_twin();
        self.show_beside();
        let was = self.on_bench;
        self.on_bench = self.benching();
        if self.on_bench {
            self.show_bench(!was);
        } else {
            self.play_on(elapsed_s, was);
        }
        self.let_the_guide_see(None);
        self.let_the_task_see(elapsed_s);
        effect
    }

    fn ask_bench(&mut self, ask: Ask) -> Option<Effect> {
        let units = self.units();
        let by = match &ask {
            Ask::Drag { by, .. } => *by,
            _ => [0.0; 2],
        };
        let saves = matches!(ask, Ask::Save | Ask::SaveUnder(_));
        let bench = self.bench.as_mut()?;
        let before = self.task.is_some().then(|| bench.draft.doc().clone());
        let walks = bench.act(ask.clone(), units);
        self.hold_to_task(&ask, before.as_ref());
        let bench = self.bench.as_mut()?;
        if saves {
            self.scenes.shelve_saved(&bench.draft);
        }
        walks.then_some(Effect::Turn(by))
    }

    /// Opens a scene, a class or a task from outside, or takes in what was exported. What was left
    /// unsaved on the bench is offered on the shelf.
    fn take_file(&mut self, name: &str, bytes: Vec<u8>) {
        if self.is_unkept() {
            self.tell("What is set up here is not kept: export everything first.".to_owned());
        } else if bytes.len() as u64 > LARGEST_FILE_BYTES {
            self.tell(format!("{name} is larger than 5 MB; give a scene or what was exported."));
        } else if export::is_export(&bytes) {
            self.take_export(name, &bytes);
        } else {
            self.open_handed(name, bytes);
        }
    }

    /// Begins a class or a task that was handed over, or says what is wrong with it.
    fn begin_handed<T>(
        &mut self,
        read: Result<T, Vec<Problem>>,
        begin: fn(&mut Self, Arc<T>),
        cannot: &str,
    ) {
        match read {
            Ok(one) => begin(self, Arc::new(one)),
            Err(problems) => self.tell(format!("{cannot}\n{}", export::told(&problems))),
        }
    }

    fn open_handed(&mut self, name: &str, bytes: Vec<u8>) {
        let source = Source::handed(name, bytes);
        match &source {
            Ok(file) if class_file::FILES.is(file) => {
                let class = class_file::load_from(file);
                return self.begin_handed(class, Self::begin_class, "This class cannot be held.");
            }
            Ok(file) if task_file::FILES.is(file) => {
                let (task, cannot) = (task_file::load_from(file), "This task cannot be worked on.");
                return self.begin_handed(task, Self::begin_task, cannot);
            }
            _ => {}
        }
        let opened = source
            .and_then(|source| scene::load_from(&source, &[]))
            .and_then(|loaded| Draft::new(loaded.doc));
        match opened {
            // It has no file of its own here.
            Ok(draft) => self.begin(Ok(draft.unsaved()), Stage::SizeUp),
            Err(problems) => {
                let problems = export::told(&problems);
                self.tell(format!("This file cannot be opened.\n{problems}"));
            }
        }
    }
}

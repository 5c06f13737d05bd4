//! A rehearsal from the shelf to the look back: the state behind the window, without the
//! window. It knows no camera and no screen, so a page in a browser, a test and a user of
//! the library drive it the same way.
//!
//! Make a [`Session`], tell it what hands ask for with [`Session::act`], let time pass with
//! [`Session::advance`], and draw what [`Session::here`] shows. What it asks of its driver
//! comes back as an [`Effect`].

mod act;
mod action;
mod at_task;
mod background;
mod bench;
mod class;
mod clock;
mod compare;
mod endings;
mod export;
mod guide;
mod lever;
mod measure;
mod nudge;
mod open_error;
mod overlays;
mod play;
mod plotted_quantities;
mod ray;
mod reel;
mod saying;
mod scenes;
mod set_up;
mod settings;
mod shown;
mod stage;
mod task;
mod task_shown;
mod twin;

pub use crate::framing::View;
pub use action::{Action, Effect};
pub use background::Pace;
pub use bench::{Ask, Bench, bare};
pub use class::{ClassAction, ClassRun, ClassShown, ShownAnswer};
pub use compare::{RunSummary, RunsCompared, Which};
pub use endings::EndingsTold;
pub use export::LARGEST_FILE_BYTES;
pub use guide::{Guide, GuideStep};
pub use lever::{Lever, VALVES};
pub use measure::{Measure, MeasureAction, MeasuredValue, Question, Tool};
pub use open_error::OpenError;
pub use overlays::{Overlay, Overlays, UnknownOverlay};
pub use play::Play;
pub use plotted_quantities::{Line, PlotKind};
pub use ray::Ray;
pub use reel::{Reel, ReelEntry};
pub use scenes::{Folders, Scenes};
pub use settings::{Chosen, SettingsFile, UserSettings};
pub use shown::Shown;
pub use stage::Stage;
pub use task::{LiftTaskAction, LiftTaskRun};
pub use task_shown::{LiftTaskCard, LiftTaskList, LiftTaskShown};

use crate::class::{self as class_file, Class, MOST_BESIDE};
use crate::debrief::Debrief;
use crate::draft::Draft;
use crate::files;
use crate::framing::{Event, Stand};
use crate::practice::Practice;
use crate::scene::tree::Node;
use crate::scene::{self, FileKind, Loaded, Problem, Scene, Source};
use crate::statics::sheet::Sheet;
use crate::units::UnitSystem;
use crate::world::Yard;
use background::{BackgroundTask, DriverFrame, TaskProgress};
use bench::Leave;
use class::ClassTurn;
use compare::RunComparison;
use open_error::reasons;
use set_up::{SettingUp, Settled};
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;
use twin::TwinScene;
use web_time::SystemTime;

/// What a session is on.
pub enum Screen {
    /// The shelf of scenes.
    Shelf,
    /// A lift that is being set up.
    Settling(Box<UpcomingLift>),
    /// A lift, on one of its stages.
    Lift(Box<Play>),
}

/// A lift that is being set up.
pub struct UpcomingLift {
    scene: Arc<Scene>,
    doc: Node,
    task: BackgroundTask<Settled>,
    waited_s: f64,
    /// The stage to go to then.
    then: Stage,
    /// The camera stays where it is.
    again: bool,
}

impl UpcomingLift {
    /// The scene that is set up.
    pub fn scene(&self) -> &Scene {
        &self.scene
    }

    /// How long it has taken so far, s.
    pub fn waited_s(&self) -> f64 {
        self.waited_s
    }
}

/// What a session takes from its driver: how it waits, and a user's files.
pub struct Edge {
    /// Whether it waits for its work in the background.
    pub pace: Pace,
    /// Where a user's set-ups are.
    pub folders: Folders,
    /// What is remembered between sessions.
    pub settings: SettingsFile,
    /// What time it is: [`files::now`], unless somebody wants another.
    pub clock: fn() -> SystemTime,
}

/// The state of a rehearsal.
pub struct Session {
    scenes: Scenes,
    screen: Screen,
    stage: Stage,
    bench: Option<Bench>,
    comparison: RunComparison,
    twin_scene: TwinScene,
    measure: Measure,
    guide: Option<Guide>,
    /// The class that is held.
    class: Option<ClassRun>,
    /// The classes there are, while one is chosen.
    class_list: Option<Vec<Arc<Class>>>,
    /// The task that is worked on.
    task: Option<LiftTaskRun>,
    /// The tasks there are, while one is chosen.
    task_list: Option<LiftTaskList>,
    overlays: Overlays,
    settings: SettingsFile,
    clock: fn() -> SystemTime,
    /// The last frame.
    frame: DriverFrame,
    /// The moments that are shown, of the run that is worked on and of those beside it.
    here: Shown,
    beside: [Shown; MOST_BESIDE],
    /// The bench's yard is the one that is shown.
    on_bench: bool,
    /// The end of the lift has been noticed.
    ended: bool,
    /// The names of the lessons that were played to their end.
    played: BTreeSet<String>,
    trouble: Option<String>,
    /// The processor draws by itself.
    no_card: bool,
    help: bool,
    instructor: bool,
    /// The place in [`VALVES`] of how far a lever opens.
    valve: usize,
    /// How each outlet's lever is held.
    held: Vec<Option<Lever>>,
}

/// What is told before unsaved work is left behind that nothing keeps.
const LOST_IF_LEFT: &str = "What is set up here is not kept anywhere: F9 exports everything. \
                            Leave once more to go without it.";

/// Every file of a kind that can be read, and of the first that cannot, which and why.
fn read_files<T>(
    kind: FileKind,
    scenes: &Path,
    read: impl Fn(&Source) -> Result<T, Vec<Problem>>,
) -> (Vec<Arc<T>>, Option<String>) {
    let (mut all, mut unread) = (Vec::new(), None);
    for source in kind.all(scenes) {
        match read(&source) {
            Ok(one) => all.push(Arc::new(one)),
            Err(problems) => {
                let first = problems.first().map(ToString::to_string).unwrap_or_default();
                unread = unread.or(Some(format!("{}: {first}", source.name())));
            }
        }
    }
    (all, unread)
}

/// The draft of a scene's tree, or why it cannot be edited.
fn draft_of(doc: Node) -> Result<Draft, OpenError> {
    Draft::new(doc).map_err(OpenError::Scene)
}

fn toggle(on: &mut bool) {
    *on = !*on;
}

/// Begins, with a session on the shelf or on a scene.
impl Session {
    /// On the shelf, or on a scene that is set up with the first [`Self::advance`].
    pub fn new(shelf: Vec<Loaded>, start: Option<Loaded>, edge: Edge) -> Self {
        let unkept = edge.folders.why_unkept().map(|why| bench::unkept_words(&why));
        let (scenes, unread) = Scenes::new(shelf, edge.folders, (edge.clock)());
        let mut session = Self {
            scenes,
            screen: Screen::Shelf,
            stage: Stage::SizeUp,
            bench: None,
            comparison: RunComparison::default(),
            twin_scene: TwinScene::default(),
            measure: Measure::default(),
            guide: None,
            class: None,
            class_list: None,
            task: None,
            task_list: None,
            overlays: Overlays::default(),
            settings: edge.settings,
            clock: edge.clock,
            frame: DriverFrame::before_the_first(edge.pace),
            here: Shown::default(),
            beside: <[Shown; MOST_BESIDE]>::default(),
            on_bench: false,
            ended: false,
            played: BTreeSet::new(),
            trouble: None,
            no_card: false,
            help: false,
            instructor: false,
            valve: 0,
            held: Vec::new(),
        };
        if let Some(Loaded { scene, doc }) = start {
            session.scenes.choose_named(&scene.name);
            session.begin(draft_of(doc), Stage::SizeUp);
        }
        session.trouble = session.trouble.take().or(unkept).or(unread);
        session
    }
}

/// What is to be seen of it.
impl Session {
    /// What it is on.
    pub fn screen(&self) -> &Screen {
        &self.screen
    }

    /// The stage of the lift.
    pub fn stage(&self) -> Stage {
        self.stage
    }

    /// The moment that is shown: the run that is worked on, or the bench.
    pub fn here(&self) -> &Shown {
        &self.here
    }

    /// The moments of the runs beside it; without a scene where none is.
    pub fn beside(&self) -> &[Shown; MOST_BESIDE] {
        &self.beside
    }

    /// The lift that is played; none on the shelf and while one is set up.
    pub fn play(&self) -> Option<&Play> {
        match &self.screen {
            Screen::Lift(play) => Some(play),
            Screen::Shelf | Screen::Settling(_) => None,
        }
    }

    /// The set-up that is being built.
    pub fn bench(&self) -> Option<&Bench> {
        self.bench.as_ref()
    }

    /// What there is to open.
    pub fn scenes(&self) -> &Scenes {
        &self.scenes
    }

    /// What was measured and asked.
    pub fn measure(&self) -> &Measure {
        &self.measure
    }

    /// The guided first lift, where it is on.
    pub fn guide(&self) -> Option<&Guide> {
        self.guide.as_ref()
    }

    /// The class that is held, where one is.
    pub fn class(&self) -> Option<&ClassRun> {
        self.class.as_ref()
    }

    /// What a class that is held has on the screen.
    pub fn class_shown(&self) -> Option<ClassShown> {
        let class = self.class.as_ref()?;
        let play = self.play();
        let lesson = play.filter(|_| class.tells_the_lesson()).map(|play| {
            play.lesson(self.twin_scene().map(|twin| twin.name.as_str()), self.units())
        });
        Some(class.shown(play, lesson.unwrap_or_default()))
    }

    /// The classes there are, while one is chosen.
    pub fn class_list(&self) -> Option<&[Arc<Class>]> {
        self.class_list.as_deref()
    }

    /// Which overlays are on; none while a class hides from the room what they would tell.
    pub fn overlays(&self) -> Overlays {
        match &self.class {
            Some(class) if class.hides() => Overlays::only(&[]),
            _ => self.overlays,
        }
    }

    /// What is remembered between sessions.
    pub fn settings(&self) -> &UserSettings {
        &self.settings.now
    }

    /// The units in which figures are shown.
    pub fn units(&self) -> UnitSystem {
        self.settings.now.units()
    }

    /// Whether graphics are plain.
    pub fn plain(&self) -> bool {
        self.settings.now.plain(self.no_card)
    }

    /// Whether it is drawn seldom, coarsely and plainly.
    pub fn low_power(&self) -> bool {
        self.settings.now.low_power
    }

    /// Whether it waits for its work in the background.
    pub fn pace(&self) -> Pace {
        self.frame.pace
    }

    /// Whether anything goes on by itself.
    pub fn moves(&self) -> bool {
        match &self.screen {
            Screen::Shelf => false,
            Screen::Settling(_) => true,
            Screen::Lift(play) => play.playing,
        }
    }

    /// What went wrong around the lift, such as a file that cannot be read, in one sentence.
    pub fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref()
    }

    /// Whether the list of keys is shown.
    pub fn help(&self) -> bool {
        self.help
    }

    /// Whether the instructor's panel is shown.
    pub fn instructor(&self) -> bool {
        self.instructor
    }

    /// How far a lever opens its valve, as a share.
    pub fn valve(&self) -> f64 {
        VALVES[self.valve % VALVES.len()]
    }

    /// How each outlet's lever is held.
    pub fn held(&self) -> &[Option<Lever>] {
        &self.held
    }

    /// The bench is on screen.
    pub fn benching(&self) -> bool {
        self.stage == Stage::SetUp && self.bench.is_some() && matches!(self.screen, Screen::Lift(_))
    }

    /// The scene that the lesson calls its twin.
    pub fn twin_scene(&self) -> Option<&Scene> {
        self.twin_scene.scene()
    }

    /// Of which lessons the ending may be told before a lift. A task tells of none.
    pub fn endings_told(&self) -> EndingsTold<'_> {
        let all = self.settings.now.show_endings && self.task.is_none();
        EndingsTold { all, played: &self.played }
    }

    /// The first run that is compared with, where there is one.
    pub fn reel_beside(&self) -> Option<&Reel> {
        self.comparison.reels(self.compared()?).into_iter().next().flatten()
    }

    /// The runs as they are told, where some are compared.
    pub fn runs_compared(&self) -> Option<RunsCompared<'_>> {
        self.comparison.runs(self.compared()?)
    }

    /// What the lesson teaches and says, with the numbers of the lift; nothing before the lift
    /// has ended and is looked back at. What a task's scene says of itself is its brief.
    pub fn lesson(&self) -> Vec<String> {
        let lesson = self.play().filter(|_| self.task.is_none());
        match lesson {
            Some(play) if self.stage == Stage::LookBack && play.ended() => {
                play.lesson(self.twin_scene().map(|twin| twin.name.as_str()), self.units())
            }
            _ => Vec::new(),
        }
    }

    /// How the lift was done, whatever its outcome; only when looking back at what was played
    /// and stands still.
    pub fn practice(&self) -> Option<&Practice> {
        let play = self.play().filter(|_| self.stage == Stage::LookBack)?;
        let told = play.end_s() > 0.0 && !play.playing && !play.broken();
        (told && play.impossible().is_none()).then(|| play.practice())
    }

    /// Tells something that the lift itself does not, until it is understood.
    pub fn tell(&mut self, trouble: String) {
        self.trouble = Some(trouble);
    }

    /// Says whether the processor draws by itself, which then draws plainly unless a hand
    /// says otherwise.
    pub fn without_card(&mut self, no_card: bool) {
        self.no_card = no_card;
    }
}

/// Opens set-ups and goes from stage to stage.
impl Session {
    fn open(&mut self, index: usize, draft: impl FnOnce(&Node) -> Result<Draft, OpenError>) {
        if let Some(draft) = self.scenes.doc(index).map(draft) {
            self.scenes.choose(index);
            self.begin(draft, Stage::SizeUp);
        }
    }

    /// Opens a set-up, or shows why it cannot.
    fn begin(&mut self, draft: Result<Draft, OpenError>, then: Stage) {
        let bench = draft.map(|draft| Bench::new(draft, self.scenes.folders(), (self.clock)()));
        self.begin_with(bench, then);
    }

    fn begin_with(&mut self, bench: Result<Bench, OpenError>, then: Stage) {
        self.task = None;
        match bench {
            Ok(bench) => {
                let fits = bench.draft.seen().ready().is_some();
                self.bench = Some(bench);
                if fits {
                    self.build_up(then, false);
                } else {
                    // There is nothing to play yet, but everything can be looked at.
                    self.build_up_bare();
                }
            }
            Err(why) => {
                self.trouble = Some(format!("This cannot be opened: {why}"));
                self.go_home();
            }
        }
    }

    /// Sets the lift up from what is on the bench, in the background.
    fn build_up(&mut self, then: Stage, again: bool) {
        if let Some((scene, doc, laid)) = self.bench.as_mut().and_then(Bench::for_lift) {
            self.settle(scene, doc, laid, then, again);
        }
    }

    /// A set-up with problems goes onto the bench, with a cleared yard to play in.
    fn build_up_bare(&mut self) {
        let Some(bench) = &self.bench else { return };
        let cleared = bare(bench.draft.doc()).and_then(|draft| match draft.seen().ready() {
            Some(scene) => Ok((scene.clone(), draft.doc().clone())),
            None => Err(OpenError::Scene(draft.seen().problems.clone())),
        });
        match cleared {
            Ok((scene, doc)) => self.settle(scene, doc, None, Stage::SetUp, false),
            Err(why) => {
                self.trouble = Some(format!(
                    "This set-up cannot be opened: its vehicle, ground or casualty does not fit \
                     ({why}); correct its file."
                ));
                self.go_home();
            }
        }
    }

    fn settle(
        &mut self,
        scene: Arc<Scene>,
        doc: Node,
        laid: Option<Yard>,
        then: Stage,
        again: bool,
    ) {
        let task = BackgroundTask::spawn(SettingUp::new(scene.clone(), laid));
        self.trouble = None;
        self.ended = false;
        self.comparison.choose(None);
        self.on_bench = false;
        self.held.clear();
        let settling = UpcomingLift { scene, doc, task, waited_s: 0.0, then, again };
        self.screen = Screen::Settling(Box::new(settling));
    }

    /// Takes a lift over that has been set up.
    fn take_over_settled(&mut self, elapsed_s: f64) -> Option<Effect> {
        let Screen::Settling(settling) = &mut self.screen else { return None };
        settling.waited_s += elapsed_s;
        match settling.task.next_result(self.frame) {
            TaskProgress::Result(Settled { mut lift, laid }) => {
                if lift.scene().orders.is_empty() {
                    // There is no script to go by.
                    lift.set_script(false);
                }
                if let Some(bench) = &mut self.bench {
                    bench.lay(&settling.doc, laid);
                    bench.lifted = Some(settling.doc.clone());
                }
                self.stage = settling.then;
                let look = self.class.as_ref().and_then(ClassRun::look);
                let look = look.unwrap_or(View::ThreeQuarter);
                let effect = (!settling.again).then_some(Effect::NewLift(look));
                let mut play = Play::new(lift, self.frame.pace);
                play.freeze = self.settings.now.stop_if_amiss && self.class.is_none();
                play.begin(&mut self.here);
                self.screen = Screen::Lift(Box::new(play));
                if let Some(task) = &mut self.task {
                    task.new_lift();
                }
                effect
            }
            TaskProgress::Working => None,
            TaskProgress::Over => {
                self.trouble = Some(
                    "Simulation error: this scene could not be set up. Open another one.".into(),
                );
                self.go_home();
                None
            }
        }
    }

    /// Goes to a stage; what was changed on the bench is built up first.
    fn go(&mut self, to: Stage) {
        if to == Stage::SetUp {
            self.with_play(|play| play.playing = false);
            self.stage = to;
            return;
        }
        let units = self.units();
        match self.bench.as_mut().map_or(Leave::Go, |bench| bench.leave(to, units)) {
            Leave::Go => self.stage = to,
            Leave::Build => self.build_up(to, true),
            // The problems are shown there.
            Leave::Stay => self.stage = Stage::SetUp,
        }
    }

    /// Leaves the scene; where that loses work, only when asked twice.
    fn leave(&mut self) {
        if self.is_unkept() && self.trouble() != Some(LOST_IF_LEFT) {
            self.tell(LOST_IF_LEFT.to_owned());
        } else {
            self.trouble = self.trouble.take().filter(|told| told != LOST_IF_LEFT);
            self.go_home();
        }
    }

    /// Back to the shelf, with nothing left over from the scene.
    fn go_home(&mut self) {
        self.screen = Screen::Shelf;
        (self.guide, self.bench, self.on_bench) = (None, None, false);
        (self.class, self.task) = (None, None);
        self.comparison = RunComparison::default();
        self.here.clear();
        self.scenes.look_for_unsaved((self.clock)());
    }

    fn throw_away(&mut self, path: &Path) {
        // One that is gone already is thrown away, too.
        let _ = files::remove(path);
        self.scenes.look_for_unsaved((self.clock)());
    }

    /// What is on the bench is not the lift that was set up last.
    fn stale(&self) -> bool {
        matches!(self.screen, Screen::Lift(_)) && self.bench.as_ref().is_some_and(Bench::changed)
    }

    fn show_bench(&mut self, fresh: bool) {
        let units = self.units();
        self.here.units = units;
        if let Some(bench) = &mut self.bench {
            bench.show(&mut self.here, fresh, self.frame);
            bench.work_out(units);
        }
    }
}

/// Takes files in and gives them out.
impl Session {
    /// What is on the bench, where no file holds it yet.
    pub fn unsaved(&self) -> Option<&Draft> {
        self.bench.as_ref().map(|bench| &bench.draft).filter(|draft| draft.dirty())
    }

    /// What is on the bench is unsaved, and not kept anywhere either.
    fn is_unkept(&self) -> bool {
        self.bench.as_ref().is_some_and(|bench| bench.unkept.is_some() && bench.draft.dirty())
    }

    fn export(&mut self) -> Option<Effect> {
        match export::export(self.scenes.folders(), &self.settings.now, self.unsaved()) {
            Ok((text, left)) => {
                self.trouble = left;
                Some(Effect::Save { name: "inchwise-everything.json".to_owned(), text })
            }
            Err(why) => {
                self.trouble = Some(format!("Nothing can be exported: {why}"));
                None
            }
        }
    }

    fn take_export(&mut self, name: &str, bytes: &[u8]) {
        let mut imported = match export::import(self.scenes.folders(), bytes) {
            Ok(imported) => imported,
            Err(why) => return self.tell(format!("{name} cannot be taken in: {why}.")),
        };
        self.tell(imported.say());
        self.scenes.shelve(std::mem::take(&mut imported.scenes));
        self.scenes.look_for_unsaved((self.clock)());
        if let Some(settings) = imported.settings {
            self.settings.now = settings;
            self.here.units = self.units();
        }
    }

    fn show_sheet(&mut self) -> Option<Effect> {
        let scene = match (&self.screen, &mut self.bench) {
            (Screen::Lift(_), Some(bench)) if self.stage == Stage::SetUp => {
                let ready = bench.draft.seen().ready().cloned();
                if ready.is_none() {
                    bench.note = Some("Correct the problems first.".into());
                }
                ready?
            }
            (Screen::Lift(play), _) => play.scene().clone(),
            _ => return None,
        };
        let html = Sheet::new(&scene, self.units()).html();
        Some(Effect::ShowPage { title: format!("{}: sheet", scene.name), html })
    }

    fn show_debrief(&mut self) -> Option<Effect> {
        let play = self.play()?;
        let played = play.played();
        let title = format!("{}: debrief", played.scene.name);
        // It was played by the clock.
        let wall_s = played.sim_s;
        let why = "the window has shown it; `inchwise run SCENE --html FILE` draws them";
        let mut debrief = Debrief::new(played, self.units(), wall_s);
        debrief.of_a_task = self.task.is_some();
        let html = debrief.html(&Err(why.into()));
        Some(Effect::ShowPage { title, html })
    }
}

/// Plays the lift and goes back along it.
impl Session {
    fn with_play(&mut self, act: impl FnOnce(&mut Play)) {
        if let Screen::Lift(play) = &mut self.screen {
            act(play);
        }
    }

    fn play_or_pause(&mut self) {
        if let (Some(class), Screen::Lift(play)) = (&self.class, &mut self.screen) {
            return class.play_or_pause(play);
        }
        if self.benching() || self.stale() {
            return self.go(Stage::Lift);
        }
        let Screen::Lift(play) = &mut self.screen else { return };
        play.play_or_pause();
        if play.playing && matches!(self.stage, Stage::SizeUp | Stage::SetUp) {
            self.go(Stage::Lift);
        }
    }

    fn restart(&mut self) {
        let Screen::Lift(play) = &mut self.screen else { return };
        play.restart();
        if let Some(task) = &mut self.task {
            task.new_lift();
        }
        if self.stage != Stage::SizeUp {
            self.go(Stage::SizeUp);
        }
    }

    fn visit_finding(&mut self, finding: usize) -> Option<Effect> {
        let event = self.play()?.all_findings().get(finding)?.into();
        self.visit(event)
    }

    fn visit_point(&mut self, point: usize) -> Option<Effect> {
        let point = self.play()?.practice().points.get(point)?;
        let (place, t_s) = (point.place, point.t_s);
        self.visit(Event { place, began_s: t_s, t_s, of_the_vehicle: false })
    }

    /// Pauses at what happened, and looks at it from where it is seen best.
    fn visit(&mut self, event: Event) -> Option<Effect> {
        let Screen::Lift(play) = &mut self.screen else { return None };
        play.look_at(event.t_s);
        let history = play.reel.history();
        Some(Effect::Visit(Stand::before(play.scene(), play.parts(), &history, event)))
    }

    fn hold(&mut self, outlet: usize, lever: Option<Lever>) {
        let outlets = self.play().map_or(0, |play| play.scene().air.outlets.len());
        self.held.resize(outlets, None);
        let Some(held) = self.held.get_mut(outlet).filter(|held| **held != lever) else { return };
        *held = lever;
        if lever.is_none() && self.play().is_some_and(Play::script) {
            // The script has taken over what was held.
            return;
        }
        if lever.is_some() && self.stage != Stage::Lift {
            self.go(Stage::Lift);
        }
        if lever.is_none() || self.stage == Stage::Lift {
            let opening = self.valve();
            self.with_play(|play| play.hold(outlet, lever, opening));
        }
    }

    /// The script gives the orders, or hands do. It finds every lever let go, whether the fingers
    /// have left it yet or not.
    fn set_script(&mut self, on: bool) {
        let opening = self.valve();
        let held = (0..self.held.len()).filter(|&outlet| on && self.held[outlet].is_some());
        let held: Vec<usize> = held.collect();
        self.with_play(|play| {
            held.into_iter().for_each(|outlet| play.hold(outlet, None, opening));
            play.set_script(on);
        });
    }

    fn freeze_or_not(&mut self) {
        toggle(&mut self.settings.now.stop_if_amiss);
        let on = self.settings.now.stop_if_amiss;
        self.with_play(|play| play.freeze = on);
    }

    fn play_on(&mut self, elapsed_s: f64, was_on_bench: bool) {
        let units = self.units();
        let mut over = false;
        if let Screen::Lift(play) = &mut self.screen {
            if was_on_bench {
                play.begin(&mut self.here);
            }
            self.measure.work_out(play.scene(), units);
            play.advance(elapsed_s, self.frame);
            if let Some(class) = &mut self.class {
                class.follow(play, units);
            }
            play.show(&mut self.here, units);
            over = play.done() || play.broken();
        }
        if self.class.as_ref().is_some_and(ClassRun::hides) {
            // A finding's mark in the picture would give the answer away.
            self.here.findings.clear();
        }
        if over && !self.ended && self.class.is_none() {
            self.stage = Stage::LookBack;
            self.note_played();
        }
        self.ended = over || (self.ended && self.play().is_some_and(Play::looking_back));
    }

    /// A lesson that was played as its author set it up has told its ending.
    fn note_played(&mut self) {
        let lifted = self.bench.as_ref().and_then(|bench| bench.lifted.as_ref());
        let is_played = |i: &usize| lifted.is_some() && self.scenes.doc(*i) == lifted;
        let played = (0..self.scenes.all().len()).find(is_played);
        self.played.extend(played.map(|i| self.scenes.all()[i].name.clone()));
    }
}

/// Sizes up, compares and guides.
impl Session {
    fn take_measure(&mut self, take: MeasureAction) {
        match take {
            MeasureAction::Tool(tool) => self.measure.take_up(tool),
            MeasureAction::Forget => self.measure.forget(),
            MeasureAction::Ask(question) => self.measure.ask(question),
            MeasureAction::Click(line) => {
                let met =
                    self.bench.as_mut().zip(line).and_then(|(bench, line)| bench.first_met(line));
                if let Some((seen, plumb)) = met {
                    self.measure.touch(seen, plumb);
                }
            }
        }
    }

    /// The lift, where it is compared with another run and the stage has room for both.
    fn compared(&self) -> Option<&Play> {
        let room = matches!(self.stage, Stage::Lift | Stage::LookBack);
        self.play().filter(|_| room && self.comparison.which().is_some())
    }

    fn choose_next_beside(&mut self) {
        let play = match &self.screen {
            Screen::Lift(play) => Some(&**play),
            Screen::Shelf | Screen::Settling(_) => None,
        };
        self.comparison.choose_next(play);
    }

    /// Reads the twin of the scene that is on screen.
    fn read_twin(&mut self) {
        let scene = match &self.screen {
            Screen::Lift(play) => Some(play.scene()),
            Screen::Shelf | Screen::Settling(_) => self.scenes.all().get(self.scenes.chosen()),
        };
        self.twin_scene.read(scene.and_then(|scene| scene.lesson.twin.as_ref()));
    }

    /// Shows the runs beside it at the time of the first.
    fn show_beside(&mut self) {
        let (units, compares) = (self.units(), self.compared().is_some());
        match &self.screen {
            Screen::Lift(play) if compares => {
                self.comparison.play_twins(play, self.frame);
                let t_s = play.now().t_s;
                let reels = self.comparison.reels(play);
                for (place, shown) in self.beside.iter_mut().enumerate() {
                    compare::show(reels.get(place).copied().flatten(), t_s, units, shown);
                }
            }
            _ => self.beside.iter_mut().for_each(|shown| compare::show(None, 0.0, units, shown)),
        }
    }

    /// Begins the guided first lift on its scene, or leaves it.
    fn guide_or_not(&mut self) {
        if self.guide.take().is_some() {
            return;
        }
        match scene::load(guide::SCENE, &[]) {
            Ok(loaded) => {
                self.begin(draft_of(loaded.doc), Stage::SizeUp);
                self.overlays = Overlays::default();
                self.guide = Some(Guide::default());
            }
            Err(problems) => {
                let why = reasons(&problems);
                self.trouble = Some(format!("The scene of the first lift cannot be read: {why}"));
            }
        }
    }

    /// Shows the classes to choose from, or no more.
    fn list_classes(&mut self) {
        if self.class_list.take().is_some() || !matches!(self.screen, Screen::Shelf) {
            return;
        }
        let (classes, unread) =
            read_files(class_file::FILES, &self.scenes.folders().scenes, class_file::load_from);
        if let Some(unread) = unread {
            self.trouble = Some(format!("A class cannot be held. {unread}"));
        }
        self.class_list = Some(classes);
    }

    /// Holds one of the classes that are listed.
    fn hold_class(&mut self, index: usize) {
        let class = self.class_list.as_ref().and_then(|list| list.get(index)).cloned();
        if let Some(class) = class {
            self.begin_class(class);
        }
    }

    /// Holds a class from its first step, which shows a scene.
    fn begin_class(&mut self, class: Arc<Class>) {
        (self.class_list, self.guide, self.bench) = (None, None, None);
        self.task = None;
        self.class = Some(ClassRun::new(class));
        self.show_of_class(0);
    }

    fn show_of_class(&mut self, scene: usize) {
        let shown = self.class.as_ref().and_then(|class| class.class().scenes.get(scene));
        if let Some((scene, doc)) = shown.map(|shown| (shown.scene.clone(), shown.doc.clone())) {
            self.settle(scene, doc, None, Stage::Lift, false);
        }
    }

    /// Gives where the camera goes as the next step begins.
    fn act_in_class(&mut self, action: ClassAction) -> Option<Effect> {
        let play = match &mut self.screen {
            Screen::Lift(play) => Some(&mut **play),
            Screen::Shelf | Screen::Settling(_) => None,
        };
        let class = self.class.as_mut()?;
        let before = class.step();
        let turn = class.act(action, play);
        let (begins, look, beside) = (class.step() != before, class.look(), class.beside());
        match turn {
            // A new scene is looked at so once it is set up.
            ClassTurn::Show(scene) => self.show_of_class(scene),
            ClassTurn::Leave => self.go_home(),
            ClassTurn::Stay => {
                if begins && beside.is_some() {
                    // What pushes the stacks over is what the room is to compare.
                    self.overlays = Overlays::only(&[Overlay::Gaps, Overlay::Thrust]);
                }
                match beside {
                    None => self.comparison.choose(None),
                    Some(scenes) => self.comparison.choose_scenes(scenes),
                }
                return look.filter(|_| begins).map(Effect::Look);
            }
        }
        None
    }

    fn let_the_guide_see(&mut self, action: Option<&Action>) {
        if let (Screen::Lift(play), Some(guide)) = (&self.screen, &mut self.guide) {
            guide.see(action, play, self.stage, self.overlays);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::background::tests::in_slices;
    use super::*;
    use crate::scene::OnFailure;
    use crate::snapshot::Snapshot;

    const FRAME_S: f64 = 1.0 / 60.0;

    fn on(name: &str, pace: Pace) -> Session {
        let folders = Folders { scenes: "none".into(), unsaved: None, attempts: None };
        let edge = Edge { pace, folders, settings: SettingsFile::nowhere(), clock: files::now };
        Session::new(Vec::new(), scene::load(name, &[]).ok(), edge)
    }

    /// Lets frames pass until something holds.
    fn wait_until(session: &mut Session, holds: impl Fn(&Session) -> bool) {
        for _ in 0..20_000 {
            if holds(session) {
                return;
            }
            session.advance(FRAME_S);
        }
        panic!("too many frames");
    }

    fn wait(session: &mut Session, until_s: f64) {
        wait_until(session, |s| s.play().is_some_and(|play| play.end_s() >= until_s));
    }

    /// What is seen of a rehearsal: the start, the lift beside its twin, and the lift taken up
    /// again from an earlier moment by hand.
    fn rehearse(pace: Pace) -> Vec<Snapshot> {
        let mut session = on("sill-crib", pace);
        wait_until(&mut session, |s| s.play().is_some());
        session.act(Action::PlayOrPause);
        session.act(Action::Beside(Some(Which::Twin)));
        let mut seen = vec![session.here().snapshot.clone()];
        wait(&mut session, 2.0);
        wait_until(&mut session, |s| {
            s.reel_beside().is_some_and(|reel| reel.last().moment.snapshot.t_s >= 1.5)
        });
        let at = |reel: &Reel| {
            let record = reel.find(1.0).map_or_else(|| reel.last(), |i| reel.at(i));
            record.moment.snapshot.clone()
        };
        seen.extend(session.reel_beside().map(at));
        seen.extend(session.play().map(|play| at(&play.reel)));
        session.act(Action::Seek(1.0));
        session.act(Action::Script(false));
        session.act(Action::PlayOrPause);
        wait(&mut session, 2.0);
        seen.extend(session.play().map(|play| play.reel.at(30).moment.snapshot.clone()));
        seen
    }

    /// Hands let a failure run that the scene would have had stopped, and a restart keeps that.
    #[test]
    fn a_failure_can_be_let_run() {
        let mut session = on("side-no-crib", Pace::InStep);
        wait_until(&mut session, |s| s.play().is_some());
        assert_eq!(session.play().map(Play::on_failure), Some(OnFailure::Stop));
        session.act(Action::OnFailure(OnFailure::LetRun));
        session.act(Action::Restart);
        assert_eq!(session.play().map(Play::on_failure), Some(OnFailure::LetRun));
        if session.play().is_some_and(|play| play.freeze) {
            session.act(Action::Freeze);
        }
        session.act(Action::PlayOrPause);
        wait_until(&mut session, |s| s.play().is_some_and(Play::ended));
        let play = session.play().unwrap_or_else(|| panic!("no lift"));
        assert!(!play.all_findings().is_empty() && !play.stopped());
        let harm = play.harm().map(|harm| harm.lines(play.scene(), UnitSystem::Si).join(" "));
        let harm = harm.unwrap_or_default();
        assert!(harm.contains("came down"), "{harm}");
    }

    /// Whether threads work beside the frames or the frames do it slice by slice, and whether
    /// they wait or not, what is played is the same to the bit.
    #[test]
    fn a_rehearsal_without_threads_is_the_same_to_the_bit() {
        let threads = rehearse(Pace::InStep);
        assert_eq!(threads.len(), 4);
        assert!(threads == in_slices(|| rehearse(Pace::InStep)));
        assert!(threads == in_slices(|| rehearse(Pace::Free)));
    }
}

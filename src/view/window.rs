//! The window: which screen is on, what hands and keys ask for, and the lift that
//! is played behind it.

use super::bench::{self, Ask, Bench, Folders, Leave, Sightline};
use super::beside::{self, Pair, Told, Twin, Which};
use super::camera::{self, BesideCamera, Orbit, Stand, View, YardCamera, lens};
use super::guide::{self, Guide};
use super::overlay::{self, Canvas, Keys, Overlay, Overlays};
use super::panels::{Action, LiftState, Stage, VALVES, Way, lift_screen};
use super::play::{Pace, Play};
use super::readings::cause_words;
use super::reel::Reel;
use super::settings::{Chosen, Kept};
use super::setup::{self, BRING};
use super::shelf;
use super::shown::{BESIDE, Drawn, HERE, ground_turn, vec3};
use super::sizeup::{Measure, TOOLS, Take};
use super::{driver, marks, plain, theme};
use crate::draft::keep;
use crate::draft::{Draft, from_nothing};
use crate::lift::Lift;
use crate::scene::doc::Node;
use crate::scene::{self, Loaded, Order, Scene, Until, vehicle_names};
use crate::units::System;
use crate::world::Yard;
use bevy::camera::visibility::RenderLayers;
use bevy::camera::{CameraOutputMode, CameraUpdateSystems, Viewport};
use bevy::light::{DirectionalLightShadowMap, ShadowFilteringMethod};
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::render_resource::BlendState;
use bevy::render::renderer::RenderAdapterInfo;
use bevy::render::settings::RenderCreation;
use bevy::window::{MonitorSelection, PrimaryWindow, WindowMode};
use bevy_egui::{
    EguiContexts, EguiGlobalSettings, EguiPlugin, EguiPostUpdateSet, EguiPrimaryContextPass,
    PrimaryEguiContext, egui,
};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, Mutex};
use std::time::Instant;

/// Held by hand, a valve stays open no longer than this, s.
const HOLD_AT_MOST_S: f64 = 600.0;
/// How much larger everything is on a big screen.
const BIG_ZOOM: f32 = 1.35;
/// Panels need this much width, in points; no zoom makes it less.
const LEAST_WIDTH: f32 = 1120.0;
pub(super) const LEAST_HEIGHT: f32 = 560.0;

/// Size of the labels over the yard, points.
const OVERLAY_SIZE: f32 = 15.0;

/// Which screen is on.
pub(super) enum Screen {
    Shelf,
    Settling(Box<Settling>),
    Lift(Box<Play>),
}

/// A lift that is being set up.
pub(super) struct Settling {
    scene: Arc<Scene>,
    doc: Node,
    /// The lift, and the yard with nothing but the vehicle in it.
    lift: Mutex<Receiver<(Lift, Yard)>>,
    since: Instant,
    /// The stage to go to then.
    then: Stage,
    /// The camera stays where it is.
    again: bool,
}

#[derive(Resource)]
pub(super) struct Desk {
    scenes: Vec<Arc<Scene>>,
    /// What each scene was read from.
    docs: Vec<Node>,
    /// Set-ups that were left unsaved, and the vehicles to begin with.
    kept: Vec<keep::Kept>,
    vehicles: Vec<String>,
    folders: Folders,
    pub bench: Option<Bench>,
    /// What stands beside the run, and the lift that was last shown there.
    beside: Option<Which>,
    beside_of: Option<Arc<Scene>>,
    twin: Option<Twin>,
    /// The lesson's twin on paper, by the name that a lesson calls it by.
    twin_scene: Option<(String, Option<Box<Scene>>)>,
    /// The bench's yard is on screen.
    on_bench: bool,
    measure: Measure,
    chosen: usize,
    pub screen: Screen,
    pace: Pace,
    trouble: Option<String>,
    settings: Kept,
    /// The processor draws by itself.
    no_card: bool,
    help: bool,
    instructor: bool,
    guide: Option<Guide>,
    stage: Stage,
    overlays: Overlays,
    valve: usize,
    /// How each outlet was held in the last frame.
    held: Vec<Option<Way>>,
    /// The end of the lift has been noticed.
    ended: bool,
}

/// What came of the panels in the last frame.
#[derive(Resource)]
struct Asked {
    actions: Vec<Action>,
    /// The parts of the window that they left free for the two yards, points.
    yards: [egui::Rect; 2],
    /// A text is being typed: keys are letters, not orders.
    typing: bool,
    /// Something on screen has the focus of the keyboard.
    focused: bool,
    zoom: f32,
}

/// Opens the window, on the shelf or on a scene.
///
/// # Errors
/// What is missing for a window, in plain words, and what works without one.
pub fn open(shelf: Vec<Loaded>, start: Option<Loaded>, units: System) -> Result<(), String> {
    let hint = "; `inchwise run SCENE` plays a scene without a window";
    display_is_there().map_err(|why| format!("no window: {why}{hint}"))?;
    let render_creation = driver::find().map_err(|why| format!("no window: {why}{hint}"))?;
    let (mut settings, trouble) = Kept::of_user();
    settings.now.feet_and_pounds |= units == System::Us;
    let desk = Desk::new(shelf, start, settings, trouble, Pace::Free, Folders::of_user());
    // A window system that does not answer is a panic of the window plugin.
    let mut app = driver::quietly(|| build(desk, render_creation)).map_err(|why| {
        let why: String = why.chars().take(160).collect();
        format!(
            "no window: the display cannot be used; the libraries libX11, libXcursor, libXi \
                 and libxkbcommon-x11 are needed for it ({why}){hint}"
        )
    })?;
    app.run();
    Ok(())
}

/// Whether a display is named and, where it is on this machine, answers.
#[cfg(target_os = "linux")]
fn display_is_there() -> Result<(), String> {
    let name = std::env::var("DISPLAY").unwrap_or_default();
    if name.is_empty() {
        return Err("there is no display (the variable DISPLAY is not set)".into());
    }
    // ":1.0" is screen 0 of the display behind the socket X1.
    let Some(number) = name.strip_prefix(':').and_then(|n| n.split('.').next()) else {
        return Ok(());
    };
    std::os::unix::net::UnixStream::connect(format!("/tmp/.X11-unix/X{number}"))
        .map(drop)
        .map_err(|_| format!("the display {name} (from the variable DISPLAY) does not answer"))
}

#[cfg(not(target_os = "linux"))]
fn display_is_there() -> Result<(), String> {
    Ok(())
}

fn build(desk: Desk, render_creation: RenderCreation) -> App {
    let mut app = App::new();
    app.add_plugins(
        DefaultPlugins
            .set(WindowPlugin {
                primary_window: Some(Window {
                    title: "Inchwise".into(),
                    name: Some("inchwise".into()),
                    resolution: (1280, 720).into(),
                    resize_constraints: WindowResizeConstraints {
                        min_width: 800.0,
                        min_height: 480.0,
                        ..default()
                    },
                    ..default()
                }),
                ..default()
            })
            .set(RenderPlugin { render_creation, ..default() })
            .set(driver::processors())
            .set(LogPlugin { level: bevy::log::Level::ERROR, ..default() }),
    );
    furnish(&mut app, desk);
    app
}

/// Everything that the window does, on top of Bevy's own plugins; the same whether
/// there is a screen or not.
pub(super) fn furnish(app: &mut App, desk: Desk) {
    app.add_plugins(EguiPlugin::default())
        .insert_resource(desk)
        .insert_resource(Asked {
            actions: Vec::new(),
            yards: [egui::Rect::NOTHING; 2],
            typing: false,
            focused: false,
            zoom: 1.0,
        })
        .add_systems(Startup, set_cameras)
        .add_systems(PreUpdate, (keys, act, play).chain().after(bevy::input::InputSystems))
        .add_systems(EguiPrimaryContextPass, draw)
        .add_systems(Update, entitle)
        // Before anything is prepared for a camera: one that wakes up later in the frame has
        // no shadows yet, and the renderer does not bear that.
        .add_systems(
            PostUpdate,
            fit_viewports.after(EguiPostUpdateSet::EndPass).before(CameraUpdateSystems),
        );
    super::drawing(app);
    super::yard_of::<BESIDE>(app);
    camera::plugin(app);
    plain::plugin(app);
    app.world_mut().resource_mut::<EguiGlobalSettings>().auto_create_primary_context = false;
}

fn set_cameras(
    mut commands: Commands,
    mut desk: ResMut<Desk>,
    shown: Res<Drawn<HERE>>,
    adapter: Option<Res<RenderAdapterInfo>>,
    mut shadows: ResMut<DirectionalLightShadowMap>,
) {
    desk.no_card = adapter.is_some_and(|a| format!("{:?}", a.device_type) == "Cpu");
    // There smooth edges would cost two thirds of the pace.
    let (smooth, soft) = if desk.no_card {
        shadows.size = 1024;
        (Msaa::Off, ShadowFilteringMethod::Hardware2x2)
    } else {
        (Msaa::Sample4, ShadowFilteringMethod::Gaussian)
    };
    let stand = Stand::of(View::ThreeQuarter, &shown);
    commands.spawn((lens(), YardCamera, smooth, soft, Orbit::new(stand)));
    let asleep = Camera { is_active: false, order: 1, ..default() };
    commands.spawn((lens(), BesideCamera, smooth, soft, asleep));
    commands.spawn((
        PrimaryEguiContext,
        Camera2d,
        RenderLayers::none(),
        Msaa::Off,
        Camera {
            order: 2,
            output_mode: CameraOutputMode::Write {
                blend_state: Some(BlendState::ALPHA_BLENDING),
                clear_color: ClearColorConfig::None,
            },
            clear_color: ClearColorConfig::Custom(Color::NONE),
            ..default()
        },
    ));
}

/// The window's title tells the scene, the stage and how it stands.
fn entitle(desk: Res<Desk>, mut window: Single<&mut Window, With<PrimaryWindow>>) {
    let title = match &desk.screen {
        Screen::Shelf => "Inchwise".into(),
        Screen::Settling(settling) => format!("{}, being set up - Inchwise", settling.scene.name),
        Screen::Lift(play) => {
            let name = &play.scene().name;
            let stage = Stage::ALL.into_iter().find(|(stage, ..)| *stage == desk.stage);
            let stage = stage.map_or_else(String::new, |(_, word, _)| word.to_lowercase());
            let limbs = &play.scene().limbs;
            let free = limbs.iter().zip(&play.now().limbs);
            let free = free.filter(|(limb, now)| now.gap_m >= limb.gap_needed_m).count();
            let amiss = match play.findings().first() {
                None => "nothing amiss".into(),
                Some(first) => cause_words(first.cause).to_lowercase(),
            };
            format!("{name}, {stage}: {free} of {} free, {amiss} - Inchwise", limbs.len())
        }
    };
    if window.title != title {
        window.title = title;
    }
}

impl Desk {
    /// On the shelf, or on a scene.
    pub fn new(
        shelf: Vec<Loaded>,
        start: Option<Loaded>,
        settings: Kept,
        trouble: Option<String>,
        pace: Pace,
        folders: Folders,
    ) -> Self {
        let (scenes, docs) = shelf.into_iter().map(|l| (Arc::new(l.scene), l.doc)).unzip();
        let mut desk = Self {
            scenes,
            docs,
            kept: Vec::new(),
            vehicles: vehicle_names(),
            folders,
            bench: None,
            beside: None,
            beside_of: None,
            twin: None,
            twin_scene: None,
            on_bench: false,
            measure: Measure::default(),
            chosen: 0,
            screen: Screen::Shelf,
            pace,
            trouble: None,
            settings,
            no_card: false,
            help: false,
            instructor: false,
            guide: None,
            stage: Stage::SizeUp,
            overlays: Overlays::default(),
            valve: 0,
            held: Vec::new(),
            ended: false,
        };
        desk.look_for_kept();
        let unread = desk.look_for_own();
        if let Some(Loaded { scene, doc }) = start {
            let at = desk.scenes.iter().position(|s| s.name == scene.name);
            desk.chosen = at.unwrap_or(0);
            desk.begin(Draft::new(doc).map_err(|_| String::new()), Stage::SizeUp);
        }
        desk.trouble = trouble.or(unread);
        desk
    }

    /// Puts what the user has saved at the end of the shelf, unless it comes from the shelf's
    /// own folder; gives what of it cannot be read, if anything.
    fn look_for_own(&mut self) -> Option<String> {
        if self.folders.are_the_shelf() {
            return None;
        }
        let mut unread = None;
        for source in scene::files_in(&self.folders.scenes) {
            match scene::load_from(&source, &[]) {
                Ok(Loaded { scene, doc }) => {
                    self.scenes.push(Arc::new(scene));
                    self.docs.push(doc);
                }
                Err(problems) => {
                    let first = problems.into_iter().next();
                    unread = first.map(|p| format!("A scene of yours cannot be used. {p}"));
                }
            }
        }
        unread
    }

    /// Every overlay on.
    pub fn show_everything(&mut self) {
        self.overlays = Overlays::of(&Overlay::ALL.map(|(which, ..)| which));
        self.stage = Stage::Lift;
    }

    pub fn plain(&self) -> bool {
        self.settings.now.plain(self.no_card)
    }

    fn units(&self) -> System {
        self.settings.now.units()
    }

    /// Begins the guided first lift on its scene, or leaves it.
    fn guide(&mut self) {
        if self.guide.take().is_some() {
            return;
        }
        match scene::load(guide::SCENE, &[]) {
            Ok(loaded) => {
                self.begin(Draft::new(loaded.doc).map_err(|_| String::new()), Stage::SizeUp);
                self.overlays = Overlays::default();
                self.guide = Some(Guide::default());
            }
            Err(_) => self.trouble = Some("The scene of the first lift is missing.".into()),
        }
    }

    fn look_for_kept(&mut self) {
        self.kept = self.folders.unsaved.as_deref().map(keep::list).unwrap_or_default();
    }

    /// Opens a set-up, or tells why it cannot be.
    fn begin(&mut self, draft: Result<Draft, String>, then: Stage) {
        let bench = draft.map(|draft| Bench::new(draft, &self.folders));
        self.begin_with(bench, then);
    }

    fn begin_with(&mut self, bench: Result<Bench, String>, then: Stage) {
        match bench {
            Ok(bench) => {
                let scene = bench.draft.seen().ready().cloned();
                self.bench = Some(bench);
                match scene {
                    Some(_) => self.build_up(then, false),
                    // It does not fit yet: there is nothing to play, but all to see.
                    None => self.build_up_bare(),
                }
            }
            Err(why) => {
                self.trouble = Some(format!("This cannot be opened: {why}"));
                self.go_home();
            }
        }
    }

    /// Sets the lift up from what is on the bench, beside the window, which goes on
    /// drawing meanwhile.
    fn build_up(&mut self, then: Stage, again: bool) {
        let Some((scene, doc, laid)) = self.bench.as_mut().and_then(Bench::for_lift) else {
            return;
        };
        self.settle(scene, doc, laid, then, again);
    }

    /// A set-up with problems goes onto the bench, with a cleared yard to play in.
    fn build_up_bare(&mut self) {
        let Some(bench) = &self.bench else { return };
        let cleared = bench::bare(bench.draft.doc());
        match cleared.ok().and_then(|draft| Some((draft.seen().ready()?.clone(), draft))) {
            Some((scene, draft)) => {
                let doc = draft.doc().clone();
                self.settle(scene, doc, None, Stage::SetUp, false);
            }
            None => {
                self.trouble = Some(
                    "This set-up cannot be opened: its vehicle, ground or casualty \
                                     does not fit; mend its file."
                        .into(),
                );
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
        let (send, lift) = channel();
        let for_lift = scene.clone();
        std::thread::spawn(move || {
            let laid = laid.unwrap_or_else(|| Yard::vehicle_settled(for_lift.clone()));
            let mut lift = Lift::on(laid.clone(), for_lift);
            if lift.scene().orders.is_empty() {
                // There is no script to go by.
                lift.set_script(false);
            }
            // The window may have gone on to something else.
            let _ = send.send((lift, laid));
        });
        self.trouble = None;
        self.ended = false;
        self.beside = None;
        self.on_bench = false;
        self.held.clear();
        let (lift, since) = (Mutex::new(lift), Instant::now());
        let settling = Settling { scene, doc, lift, since, then, again };
        self.screen = Screen::Settling(Box::new(settling));
    }

    /// Goes to a stage; what was changed on the bench is built up first.
    fn go(&mut self, to: Stage) {
        if to == Stage::SetUp {
            if let Some(play) = self.play() {
                play.playing = false;
            }
            self.stage = to;
            return;
        }
        let units = self.units();
        match self.bench.as_mut().map_or(Leave::Go, |bench| bench.leave(to, units)) {
            Leave::Go => self.stage = to,
            Leave::Build => self.build_up(to, true),
            // What does not fit is told there.
            Leave::Stay => self.stage = Stage::SetUp,
        }
    }

    /// What is on the bench is not the lift that was set up last.
    fn stale(&self) -> bool {
        matches!(self.screen, Screen::Lift(_)) && self.bench.as_ref().is_some_and(Bench::changed)
    }

    /// Back to the shelf, with nothing left over from the scene.
    fn go_home(&mut self) {
        self.screen = Screen::Shelf;
        (self.guide, self.bench, self.on_bench) = (None, None, false);
        (self.beside, self.twin) = (None, None);
        self.look_for_kept();
    }

    /// A set-up that was saved stands on the shelf from now on.
    fn shelve_saved(&mut self) {
        let Some(bench) = &self.bench else { return };
        let (Some(_), Some(scene)) = (bench.draft.path(), bench.draft.seen().ready()) else {
            return;
        };
        if bench.draft.dirty() {
            return;
        }
        let doc = bench.draft.doc().clone();
        match self.scenes.iter().position(|s| s.name == scene.name) {
            Some(i) => (self.scenes[i], self.docs[i]) = (scene.clone(), doc),
            None => {
                self.scenes.push(scene.clone());
                self.docs.push(doc);
            }
        }
    }

    /// The bench is on screen.
    fn benching(&self) -> bool {
        self.stage == Stage::SetUp && self.bench.is_some() && matches!(self.screen, Screen::Lift(_))
    }

    fn play(&mut self) -> Option<&mut Play> {
        match &mut self.screen {
            Screen::Lift(play) => Some(play),
            _ => None,
        }
    }

    /// Reads the twin of the scene that is on screen, once.
    fn read_twin(&mut self) {
        let scene = match &self.screen {
            Screen::Lift(play) => Some(play.scene()),
            _ => self.scenes.get(self.chosen),
        };
        let name = scene.and_then(|scene| scene.lesson.twin.clone());
        if name.as_ref() != self.twin_scene.as_ref().map(|(name, _)| name) {
            let read = |name: &str| Some(Box::new(crate::scene::load(name, &[]).ok()?.scene));
            self.twin_scene = name.map(|name| (name.clone(), read(&name)));
        }
    }

    fn twin_scene(&self) -> Option<&Scene> {
        self.twin_scene.as_ref()?.1.as_deref()
    }

    /// What can stand beside the run: as it was, and its twin.
    fn can_stand_beside(&self) -> [bool; 2] {
        match &self.screen {
            Screen::Lift(play) => [play.before.is_some(), play.scene().lesson.twin.is_some()],
            _ => [false; 2],
        }
    }

    /// Puts the next of them beside it; what is missing is told where there is none.
    fn next_beside(&mut self) {
        let [before, twin] = self.can_stand_beside();
        let twin = twin.then_some(Which::Twin);
        self.beside = match self.beside {
            None if before => Some(Which::AsItWas),
            None => Some(twin.unwrap_or(Which::AsItWas)),
            Some(Which::AsItWas) if before => twin,
            Some(_) => None,
        };
    }

    /// The stage has room for two runs.
    fn two_runs(&self) -> Option<Which> {
        self.beside.filter(|_| matches!(self.stage, Stage::Lift | Stage::LookBack))
    }

    /// The run that stands beside, where there is one.
    fn reel_beside(&self) -> Option<&Reel> {
        match (self.two_runs()?, &self.screen) {
            (Which::AsItWas, Screen::Lift(play)) => play.before.as_ref(),
            (Which::Twin, _) => self.twin.as_ref().and_then(Twin::reel),
            _ => None,
        }
    }

    /// Both runs as they are told on screen.
    fn pair(&self) -> Option<Pair<'_>> {
        let (which, Screen::Lift(play)) = (self.two_runs()?, &self.screen) else { return None };
        let here = Told {
            title: "This run".into(),
            scene: play.scene(),
            now: play.now(),
            findings: play.findings(),
            all_findings: play.all_findings(),
            last: play.latest(),
            end: play.ended().then_some("At its end"),
        };
        let beside = self.reel_beside().map(|reel| {
            let (now, last) = (&beside::at(reel, play.now().t_s).moment, &reel.last().moment);
            let over = self.twin.as_ref().is_some_and(Twin::over).then_some("At its end");
            Told {
                title: match which {
                    Which::AsItWas => "As it was".into(),
                    Which::Twin => reel.scene.name.clone(),
                },
                scene: &reel.scene,
                now: &now.snapshot,
                findings: &now.findings,
                all_findings: &last.findings,
                last: &last.snapshot,
                end: if which == Which::AsItWas { Some("Left at") } else { over },
            }
        });
        Some(Pair { which, has: self.can_stand_beside(), here, beside })
    }

    /// Brings the yard beside to the time of the run.
    fn show_beside(&mut self, shown: &mut Drawn<BESIDE>) {
        let t_s = self.play().map_or(0.0, |play| play.now().t_s);
        if self.two_runs() == Some(Which::Twin)
            && let Some(name) = self.play().and_then(|play| play.scene().lesson.twin.clone())
        {
            if !self.twin.as_ref().is_some_and(|twin| twin.is_of(&name)) {
                self.twin = Twin::of(&name);
            }
            let wait = self.pace == Pace::InStep;
            if let Some(twin) = &mut self.twin {
                twin.collect(t_s, wait);
            }
        }
        let of = self.reel_beside().map(|reel| reel.scene.clone());
        let same = self.beside_of.as_ref().zip(of.as_ref()).is_some_and(|(a, b)| Arc::ptr_eq(a, b));
        match self.reel_beside() {
            Some(reel) => beside::show(reel, t_s, self.units(), !same, shown),
            None if shown.scene.is_some() => shown.clear(),
            None => {}
        }
        self.beside_of = of;
    }

    fn valve(&self) -> f64 {
        VALVES[self.valve % VALVES.len()]
    }
}

/// Keys of the outlets, raise and lower, as `controller::OUTLET_KEYS` shows them.
const HOLD_KEYS: [(KeyCode, KeyCode); 3] = [
    (KeyCode::KeyQ, KeyCode::KeyA),
    (KeyCode::KeyW, KeyCode::KeyS),
    (KeyCode::KeyE, KeyCode::KeyD),
];

/// Turns keys into the same actions that the panels ask for.
fn keys(keys: Res<ButtonInput<KeyCode>>, desk: Res<Desk>, mut asked: ResMut<Asked>) {
    if asked.typing {
        return;
    }
    // What has the focus answers the space bar and Enter itself.
    let pressed_there = asked.focused;
    let asked = &mut asked.actions;
    if desk.benching() && !desk.help && keys_of_bench(&keys, &desk, asked) {
        return;
    }
    let presses = [KeyCode::Space, KeyCode::Enter, KeyCode::NumpadEnter];
    let hit = |key| keys.just_pressed(key) && !(pressed_there && presses.contains(&key));
    for (key, action) in [
        (KeyCode::KeyH, Action::Help),
        (KeyCode::F1, Action::Help),
        (KeyCode::KeyU, Action::Units),
        (KeyCode::KeyB, Action::Big),
        (KeyCode::F7, Action::Plain),
        (KeyCode::F8, Action::Dark),
        (KeyCode::F11, Action::WholeScreen),
    ] {
        if hit(key) {
            asked.push(action);
        }
    }
    if desk.help {
        if hit(KeyCode::Escape) {
            asked.push(Action::Help);
        }
        return;
    }
    match &desk.screen {
        Screen::Shelf => {
            let last = desk.scenes.len().saturating_sub(1);
            if hit(KeyCode::ArrowDown) {
                asked.push(Action::Choose((desk.chosen + 1).min(last)));
            }
            if hit(KeyCode::ArrowUp) {
                asked.push(Action::Choose(desk.chosen.saturating_sub(1)));
            }
            if hit(KeyCode::Enter) || hit(KeyCode::NumpadEnter) {
                asked.push(Action::Open(desk.chosen));
            }
            if hit(KeyCode::KeyN) {
                asked.push(Action::OpenBare(desk.chosen));
            }
            if hit(KeyCode::KeyI) {
                asked.push(Action::Guide);
            }
        }
        Screen::Settling(_) => {
            if hit(KeyCode::Escape) {
                asked.push(Action::Shelf);
            }
        }
        Screen::Lift(play) => {
            for (key, action) in [
                (KeyCode::Escape, Action::Shelf),
                (KeyCode::Space, Action::PlayOrPause),
                (KeyCode::KeyZ, Action::SlowOrNot),
                (KeyCode::Comma, Action::Step(false)),
                (KeyCode::Period, Action::Step(true)),
                (KeyCode::End, Action::ToNow),
                (KeyCode::F6, Action::NextBeside),
                (KeyCode::KeyR, Action::Restart),
                (KeyCode::KeyV, Action::NextValve),
                (KeyCode::KeyC, Action::Capture),
                (KeyCode::KeyK, Action::SetChocks),
                (KeyCode::KeyX, Action::Script(!play.script())),
                (KeyCode::Digit1, Action::Look(View::ThreeQuarter)),
                (KeyCode::Digit2, Action::Look(View::Side)),
                (KeyCode::Digit3, Action::Look(View::Front)),
                (KeyCode::Digit4, Action::Look(View::Casualty)),
                (KeyCode::KeyP, Action::Freeze),
                (KeyCode::F9, Action::Instructor),
                (KeyCode::F2, Action::Stage(Stage::SizeUp)),
                (KeyCode::F3, Action::Stage(Stage::SetUp)),
                (KeyCode::F4, Action::Stage(Stage::Lift)),
                (KeyCode::F5, Action::Stage(Stage::LookBack)),
                (KeyCode::KeyG, Action::Toggle(Overlay::Gaps)),
                (KeyCode::KeyL, Action::Toggle(Overlay::Loads)),
                (KeyCode::KeyT, Action::Toggle(Overlay::Thrust)),
                (KeyCode::KeyY, Action::Toggle(Overlay::Corners)),
                (KeyCode::KeyF, Action::Toggle(Overlay::Friction)),
                (KeyCode::KeyJ, Action::Toggle(Overlay::Moment)),
                (KeyCode::KeyM, Action::Toggle(Overlay::Mass)),
            ] {
                if hit(key) {
                    asked.push(action);
                }
            }
            if desk.stage == Stage::SizeUp {
                for ((tool, ..), key) in
                    TOOLS.into_iter().zip([KeyCode::KeyN, KeyCode::KeyO, KeyCode::KeyI])
                {
                    if hit(key) {
                        asked.push(Action::Measure(Take::Tool(tool)));
                    }
                }
                if hit(KeyCode::Backspace) {
                    asked.push(Action::Measure(Take::Forget));
                }
            }
            for (outlet, (up, down)) in HOLD_KEYS.into_iter().enumerate() {
                if desk.stage == Stage::SetUp {
                    break;
                }
                if keys.pressed(up) {
                    asked.push(Action::Hold(outlet, Way::Up));
                } else if keys.pressed(down) {
                    asked.push(Action::Hold(outlet, Way::Down));
                }
            }
        }
    }
}

/// Keys of the things to bring, as `setup::BRING` shows them.
const BRING_KEYS: [KeyCode; 8] = [
    KeyCode::KeyS,
    KeyCode::KeyA,
    KeyCode::KeyW,
    KeyCode::KeyI,
    KeyCode::KeyC,
    KeyCode::KeyD,
    KeyCode::KeyK,
    KeyCode::KeyP,
];

/// Keys of the set-up stage; true where one of them was hit, which then means nothing else.
fn keys_of_bench(keys: &ButtonInput<KeyCode>, desk: &Desk, asked: &mut Vec<Action>) -> bool {
    let hit = |key| keys.just_pressed(key);
    // Still held where a slow frame sees both keys let go.
    let control_keys = [KeyCode::ControlLeft, KeyCode::ControlRight];
    let control = keys.any_pressed(control_keys) || keys.any_just_released(control_keys);
    let shift = keys.any_pressed([KeyCode::ShiftLeft, KeyCode::ShiftRight]);
    let mut out: Vec<Ask> = Vec::new();
    if control {
        for (key, ask) in [
            (KeyCode::KeyZ, if shift { Ask::Redo } else { Ask::Undo }),
            (KeyCode::KeyY, Ask::Redo),
            (KeyCode::KeyS, if shift { Ask::SaveAs } else { Ask::Save }),
        ] {
            if hit(key) {
                out.push(ask);
            }
        }
    } else {
        for ((kind, ..), key) in BRING.into_iter().zip(BRING_KEYS) {
            if hit(key) {
                out.push(Ask::Bring(kind));
            }
        }
        for (key, ask) in [
            (KeyCode::ArrowUp, Ask::Nudge([1, 0])),
            (KeyCode::ArrowDown, Ask::Nudge([-1, 0])),
            (KeyCode::ArrowLeft, Ask::Nudge([0, 1])),
            (KeyCode::ArrowRight, Ask::Nudge([0, -1])),
            (KeyCode::PageDown, Ask::Next(true)),
            (KeyCode::PageUp, Ask::Next(false)),
            (KeyCode::Equal, Ask::Layers(1)),
            (KeyCode::NumpadAdd, Ask::Layers(1)),
            (KeyCode::Minus, Ask::Layers(-1)),
            (KeyCode::NumpadSubtract, Ask::Layers(-1)),
            (KeyCode::KeyX, Ask::Mirror),
            (KeyCode::KeyO, Ask::Centre),
            (KeyCode::KeyR, Ask::Turn),
            (KeyCode::Delete, Ask::Remove),
            (KeyCode::KeyE, Ask::Both),
            (KeyCode::KeyN, Ask::NextStep),
            (KeyCode::KeyQ, Ask::Planning(!desk.bench.as_ref().is_some_and(|b| b.planning))),
        ] {
            if hit(key) {
                out.push(ask);
            }
        }
        if hit(KeyCode::Escape) && desk.bench.as_ref().is_some_and(|b| b.selected.is_some()) {
            out.push(Ask::Select(None));
        }
    }
    let any = !out.is_empty() || control;
    asked.extend(out.into_iter().map(Action::Bench));
    // What is left has the same meaning on every stage, but for time and orders.
    any || [KeyCode::KeyZ, KeyCode::Comma, KeyCode::Period, KeyCode::KeyV].into_iter().any(hit)
}

/// Does what was asked for.
fn act(
    mut asked: ResMut<Asked>,
    mut desk: ResMut<Desk>,
    mut shown: ResMut<Drawn<HERE>>,
    mut cameras: Query<&mut Orbit>,
    eye: Query<(&Camera, &Transform), With<YardCamera>>,
    mut windows: Query<&mut Window, With<PrimaryWindow>>,
) {
    let desk = &mut *desk;
    let (eye, zoom) = (eye.single().ok(), asked.zoom);
    let turn = shown.scene.as_ref().map_or(Quat::IDENTITY, |scene| ground_turn(scene));
    // A place in the window as a line of sight in the ground frame.
    let sight = |at: [f32; 2]| -> Option<Sightline> {
        let (camera, stand) = eye?;
        let at = Vec2::from_array(at) * zoom;
        let ray = camera.viewport_to_world(&GlobalTransform::from(*stand), at).ok()?;
        let ground = |v: Vec3| (turn.inverse() * v).to_array().map(f64::from);
        Some(Sightline { from: ground(ray.origin), towards: ground(*ray.direction) })
    };
    let outlets = desk.play().map_or(0, |p| p.scene().air.outlets.len());
    let mut held: Vec<Option<Way>> = vec![None; outlets];
    let actions = std::mem::take(&mut asked.actions);
    if let (Screen::Lift(play), Some(guide)) = (&desk.screen, &mut desk.guide) {
        guide.see(&actions, play, desk.stage, desk.overlays);
    }
    for action in actions {
        match action {
            Action::Hold(outlet, way) => {
                if let Some(slot) = held.get_mut(outlet) {
                    *slot = Some(way);
                }
            }
            Action::Help => desk.help = !desk.help,
            Action::Units => {
                let us = &mut desk.settings.now.feet_and_pounds;
                *us = !*us;
                shown.units = desk.units();
            }
            Action::Big => toggle(&mut desk.settings.now.large_text),
            Action::Dark => toggle(&mut desk.settings.now.dark),
            Action::Plain => desk.settings.now.choose_plain(!desk.plain()),
            Action::Guide => desk.guide(),
            Action::Instructor => toggle(&mut desk.instructor),
            Action::WholeScreen => {
                if let Ok(mut window) = windows.single_mut() {
                    window.mode = match window.mode {
                        WindowMode::Windowed => {
                            WindowMode::BorderlessFullscreen(MonitorSelection::Current)
                        }
                        _ => WindowMode::Windowed,
                    };
                }
            }
            Action::Freeze => {
                toggle(&mut desk.settings.now.stop_if_amiss);
                let on = desk.settings.now.stop_if_amiss;
                if let Some(play) = desk.play() {
                    play.freeze = on;
                }
            }
            Action::Beside(which) => desk.beside = which,
            Action::NextBeside => desk.next_beside(),
            Action::NextValve => desk.valve = (desk.valve + 1) % VALVES.len(),
            Action::Stage(stage) => desk.go(stage),
            Action::PlayOrPause if desk.benching() || desk.stale() => desk.go(Stage::Lift),
            Action::Toggle(which) => desk.overlays.toggle(which),
            Action::Shelf => {
                desk.go_home();
                shown.clear();
            }
            Action::Choose(i) => desk.chosen = i.min(desk.scenes.len().saturating_sub(1)),
            Action::Open(i) => {
                if let Some(doc) = desk.docs.get(i).cloned() {
                    desk.chosen = i;
                    desk.begin(Draft::new(doc).map_err(|_| "it has changed".into()), Stage::SizeUp);
                }
            }
            Action::OpenBare(i) => {
                if let Some(doc) = desk.docs.get(i) {
                    let draft = bench::bare(doc);
                    desk.chosen = i;
                    desk.begin(draft, Stage::SizeUp);
                }
            }
            Action::Begin(vehicle) => {
                let draft = from_nothing(&vehicle).map_err(|problems| {
                    problems.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
                });
                desk.begin(draft, Stage::SetUp);
            }
            Action::TakeUp(path) => {
                let bench = Bench::taken_up(&path, &desk.folders);
                desk.begin_with(bench, Stage::SetUp);
            }
            Action::ThrowAway(path) => {
                let _ = std::fs::remove_file(path);
                desk.look_for_kept();
            }
            Action::Measure(take) => match take {
                Take::Tool(tool) => desk.measure.take_up(tool),
                Take::Forget => desk.measure.forget(),
                Take::Ask(question) => desk.measure.ask(question),
                Take::Click(at) => {
                    let bench = desk.bench.as_mut();
                    let met = bench.zip(sight(at)).and_then(|(bench, line)| bench.look(line));
                    if let Some((seen, plumb)) = met {
                        desk.measure.touch(seen, plumb);
                    }
                }
            },
            Action::Bench(ask) => {
                let units = desk.units();
                let by = match &ask {
                    Ask::Drag { by, .. } => *by,
                    _ => [0.0; 2],
                };
                let saves = matches!(ask, Ask::Save | Ask::SaveUnder(_));
                let Some(bench) = &mut desk.bench else { continue };
                if bench.act(ask, sight, units) {
                    cameras.iter_mut().for_each(|mut c| c.turn(Vec2::from_array(by)));
                }
                if saves {
                    desk.shelve_saved();
                }
            }
            Action::Look(view) => {
                for mut camera in &mut cameras {
                    camera.go(Stand::of(view, &shown));
                }
            }
            Action::Turn(drag) => {
                cameras.iter_mut().for_each(|mut c| c.turn(Vec2::new(drag.x, drag.y)));
            }
            Action::Shift(drag) => {
                cameras.iter_mut().for_each(|mut c| c.shift(Vec2::new(drag.x, drag.y)));
            }
            Action::Nearer(scroll) => cameras.iter_mut().for_each(|mut c| c.nearer(scroll)),
            Action::Visit(i) => {
                let Some(play) = desk.play() else { continue };
                let Some(finding) = play.all_findings().get(i).cloned() else { continue };
                play.playing = false;
                play.seek(finding.t_s);
                let place = ground_turn(play.scene()) * vec3(finding.place);
                for mut camera in cameras.iter_mut().filter(|_| place.is_finite()) {
                    camera.visit(place);
                }
            }
            other => {
                let stage = desk.stage;
                if let Some(play) = desk.play() {
                    let then = act_on_lift(play, other, stage);
                    if then != stage {
                        desk.go(then);
                    }
                }
            }
        }
    }
    if let Some(why) = desk.settings.keep() {
        desk.trouble = Some(why);
    }
    if desk.held.len() != outlets {
        desk.held = vec![None; outlets];
    }
    let valve = desk.valve();
    for (outlet, way) in held.into_iter().enumerate() {
        if way == desk.held[outlet] {
            continue;
        }
        desk.held[outlet] = way;
        if way.is_some() && desk.stage != Stage::Lift {
            desk.go(Stage::Lift);
        }
        if (way.is_none() || desk.stage == Stage::Lift)
            && let Some(play) = desk.play()
        {
            hold(play, outlet, way, valve);
        }
    }
}

fn toggle(on: &mut bool) {
    *on = !*on;
}

/// Actions that concern the lift itself; gives the stage to be in.
fn act_on_lift(play: &mut Play, action: Action, stage: Stage) -> Stage {
    match action {
        Action::PlayOrPause => {
            if play.done() && !play.playing {
                // At the end, playing shows the whole of it again.
                play.seek(0.0);
                play.playing = true;
            } else {
                play.playing = !play.playing;
            }
            if play.playing && matches!(stage, Stage::SizeUp | Stage::SetUp) {
                return Stage::Lift;
            }
        }
        Action::SlowOrNot => play.slow = !play.slow,
        Action::Step(forwards) => play.step(forwards),
        Action::Restart => {
            play.restart();
            return Stage::SizeUp;
        }
        Action::Seek(t_s) => {
            play.playing = false;
            play.seek(t_s);
        }
        Action::ToNow => play.catch_up(),
        Action::Strike(fault) => play.strike(fault),
        Action::Script(on) => play.set_script(on),
        Action::Shut { bag, closed } => play.give(if closed {
            Order::LockOut { bags: vec![bag] }
        } else {
            Order::Unlock { bags: vec![bag] }
        }),
        Action::MoveHose { outlet, to } => play.give(Order::MoveHose { outlet, to }),
        Action::Capture => {
            let captures: Vec<usize> = (0..play.scene().captures.len()).collect();
            if !captures.is_empty() {
                play.give(Order::Capture { captures });
            }
        }
        Action::SetChocks => {
            let chocks: Vec<usize> =
                (0..play.scene().chocks.len()).filter(|&i| !play.scene().chocks[i].set).collect();
            if !chocks.is_empty() {
                play.give(Order::SetChocks { chocks });
            }
        }
        _ => {}
    }
    stage
}

/// A valve has been taken hold of, or let go.
fn hold(play: &mut Play, outlet: usize, way: Option<Way>, opening: f64) {
    let Some(bag) = play.now().bags.iter().position(|b| b.hose == Some(outlet)) else { return };
    let bags = vec![bag];
    let (until, at_most_s) = (Until::Now, HOLD_AT_MOST_S);
    play.give(match way {
        Some(Way::Up) => Order::Raise { bags, opening, until, at_most_s },
        Some(Way::Down) => Order::Lower { bags, opening, until, at_most_s },
        None => Order::Stop { bags },
    });
    // Air flows only while time does.
    if way.is_some() {
        play.playing = true;
    }
}

/// Plays on, and takes a lift over that has been set up.
fn play(
    time: Res<Time<Real>>,
    mut desk: ResMut<Desk>,
    mut shown: ResMut<Drawn<HERE>>,
    mut beside: ResMut<Drawn<BESIDE>>,
    mut cameras: Query<&mut Orbit>,
) {
    let desk = &mut *desk;
    if let Screen::Settling(settling) = &desk.screen {
        let got =
            settling.lift.lock().map_or(Err(TryRecvError::Disconnected), |lift| match desk.pace {
                Pace::Free => lift.try_recv(),
                Pace::InStep => lift.recv().map_err(|_| TryRecvError::Disconnected),
            });
        match got {
            Ok((lift, laid)) => {
                shown.begin(lift.scene().clone(), lift.parts(), lift.snapshot());
                if !settling.again {
                    for mut camera in &mut cameras {
                        camera.jump(Stand::of(View::ThreeQuarter, &shown));
                    }
                }
                if let Some(bench) = &mut desk.bench {
                    bench.lay(&settling.doc, laid);
                    bench.lifted = Some(settling.doc.clone());
                }
                desk.stage = settling.then;
                let mut play = Play::new(lift, desk.pace);
                play.freeze = desk.settings.now.stop_if_amiss;
                desk.screen = Screen::Lift(Box::new(play));
            }
            Err(TryRecvError::Empty) => {}
            Err(TryRecvError::Disconnected) => {
                desk.trouble = Some(
                    "This scene could not be set up: the simulation gave up on it. Try another \
                     one, and please tell us about this one."
                        .into(),
                );
                desk.go_home();
            }
        }
    }
    desk.read_twin();
    desk.show_beside(&mut beside);
    let units = desk.units();
    let mut over = false;
    let (was, wait) = (desk.on_bench, desk.pace == Pace::InStep);
    desk.on_bench = desk.benching();
    if desk.on_bench {
        shown.units = units;
        if let Some(bench) = &mut desk.bench {
            bench.show(&mut shown, !was, wait);
            bench.work_out(units);
        }
        return;
    }
    if let Screen::Lift(play) = &desk.screen {
        if was {
            shown.begin(play.scene().clone(), play.parts(), play.now());
        }
        desk.measure.work_out(play.scene(), units);
    }
    if let Some(play) = desk.play() {
        play.advance(time.delta_secs_f64());
        play.show(&mut shown, units);
        over = play.done() || play.broken();
    }
    if over && !desk.ended {
        desk.stage = Stage::LookBack;
    }
    desk.ended = over || (desk.ended && desk.play().is_some_and(|p| p.looking_back()));
}

/// Draws the screen that is on.
fn draw(
    mut contexts: EguiContexts,
    mut primed_at: Local<f32>,
    desk: Res<Desk>,
    shown: (Res<Drawn<HERE>>, Res<Drawn<BESIDE>>, Single<&Camera, With<BesideCamera>>),
    mut asked: ResMut<Asked>,
    window: Single<&Window, With<PrimaryWindow>>,
    here: Single<(&Camera, &Transform), With<YardCamera>>,
) -> Result {
    let (shown, shown_beside, beside) = shown;
    let (camera, stand) = *here;
    let ctx = contexts.ctx_mut()?;
    if *primed_at == 0.0 {
        theme::apply(ctx);
        *primed_at = -1.0;
        // Our fonts are there from the next pass on.
        return Ok(());
    }
    let theme = if desk.settings.now.dark { egui::Theme::Dark } else { egui::Theme::Light };
    if ctx.theme() != theme {
        ctx.set_theme(theme);
    }
    let wide = (window.width() / LEAST_WIDTH).min(window.height() / LEAST_HEIGHT);
    let zoom = if desk.settings.now.large_text { BIG_ZOOM } else { 1.0 }.min(wide).max(0.5);
    if (ctx.zoom_factor() - zoom).abs() > 1e-3 {
        ctx.set_zoom_factor(zoom);
    } else if *primed_at != zoom {
        *primed_at = zoom;
        theme::prime(ctx, &[OVERLAY_SIZE, 0.9 * OVERLAY_SIZE]);
    }
    let mut ui = egui::Ui::new(
        ctx.clone(),
        "screen".into(),
        egui::UiBuilder::new().layer_id(egui::LayerId::background()).max_rect(ctx.viewport_rect()),
    );
    let mut actions = Vec::new();
    asked.yards = [egui::Rect::NOTHING; 2];
    match &desk.screen {
        Screen::Shelf => {
            let shown = shelf::Shown {
                scenes: &desk.scenes,
                chosen: desk.chosen,
                kept: &desk.kept,
                vehicles: &desk.vehicles,
                units: desk.units(),
                trouble: desk.trouble.as_deref(),
                twin: desk.twin_scene(),
                plain_by_itself: desk.plain()
                    && desk.settings.now.plain_graphics == Chosen::ByItself,
            };
            actions = shelf::shelf(&mut ui, &shown);
        }
        Screen::Settling(settling) => {
            shelf::settling(&mut ui, &settling.scene, settling.since.elapsed().as_secs_f32());
        }
        Screen::Lift(play) => {
            let limbs = 0..play.scene().limbs.len();
            let state = LiftState {
                scene: play.scene(),
                start: play.start(),
                now: play.now(),
                reel: &play.reel,
                other: desk.reel_beside().or(play.before.as_ref()),
                pair: desk.pair(),
                twin: desk.twin_scene(),
                freeze: play.freeze,
                frozen: play.frozen,
                findings: play.findings(),
                all_findings: play.all_findings(),
                said: play.said(),
                struck: play.struck(),
                instructor: desk.instructor,
                guide: desk.guide.as_ref(),
                most_gap_m: limbs.clone().map(|i| play.most_gap_m(i)).collect(),
                most_load_n: limbs.map(|i| play.most_load_n(i)).collect(),
                lesson: match desk.stage {
                    Stage::LookBack if play.end_s() > 0.0 => {
                        play.lesson(desk.twin_scene().map(|twin| twin.name.as_str()), desk.units())
                    }
                    _ => Vec::new(),
                },
                units: desk.units(),
                stage: desk.stage,
                playing: play.playing,
                slow: play.slow,
                script: play.script(),
                done: play.done(),
                broken: play.broken(),
                impossible: play.impossible().map(|why| why.in_units(desk.units())),
                looking_back: play.looking_back(),
                end_s: play.end_s(),
                valve: desk.valve(),
                held: &desk.held,
                overlays: desk.overlays,
                measure: &desk.measure,
            };
            let on_bench = desk.bench.as_ref().filter(|_| desk.stage == Stage::SetUp);
            (actions, asked.yards) = match on_bench {
                Some(bench) => {
                    let (actions, yard) = setup::screen(&mut ui, &state, bench);
                    (actions, [yard, egui::Rect::NOTHING])
                }
                None => lift_screen(&mut ui, &state),
            };
            let [rect, rect_beside] = asked.yards;
            let canvas = Canvas {
                ctx,
                rect,
                camera,
                stand,
                points: 1.0 / zoom,
                size: OVERLAY_SIZE,
                keys: Keys::Shown,
            };
            let covered = overlay::paint(&canvas, &shown, desk.overlays);
            if rect_beside.is_positive() {
                // Seen from the same place of the other yard.
                let (rect, camera) = (rect_beside, *beside);
                let canvas = Canvas { rect, camera, keys: Keys::NoLegend, ..canvas };
                overlay::paint(&canvas, &shown_beside, desk.overlays);
            }
            match on_bench {
                Some(bench) => marks::bench(&canvas, &shown, bench, desk.units(), covered),
                None if desk.stage == Stage::SizeUp => {
                    marks::measured(&canvas, &shown, &desk.measure, desk.units(), covered);
                }
                None => {}
            }
        }
    }
    if desk.help && !shelf::help(ctx) {
        actions.push(Action::Help);
    }
    asked.actions.extend(actions);
    asked.typing = ctx.text_edit_focused();
    asked.focused = ctx.memory(|memory| memory.focused().is_some());
    asked.zoom = zoom;
    Ok(())
}

/// Gives the yards' cameras the free parts of the window.
fn fit_viewports(
    asked: Res<Asked>,
    mut contexts: EguiContexts,
    window: Single<&Window, With<PrimaryWindow>>,
    mut cameras: Query<(&mut Camera, &mut Projection, Has<BesideCamera>), With<Camera3d>>,
) -> Result {
    let zoom = contexts.ctx_mut()?.zoom_factor();
    let scale = zoom * window.scale_factor();
    for (mut camera, mut projection, beside) in &mut cameras {
        let size = fit(&mut camera, asked.yards[usize::from(beside)], scale, &window);
        if let (Some(size), Projection::Perspective(lens)) = (size, &mut *projection) {
            lens.fov = camera::fov_rad(size.as_vec2());
        }
    }
    Ok(())
}

/// Fits one camera into its part; its new size, px, where that has changed.
fn fit(
    camera: &mut Mut<'_, Camera>,
    rect: egui::Rect,
    scale: f32,
    window: &Window,
) -> Option<UVec2> {
    let whole = window.physical_size();
    let showing = rect.is_finite() && rect.width() > 8.0 && rect.height() > 8.0;
    if camera.is_active != showing {
        camera.is_active = showing;
    }
    if !showing {
        return None;
    }
    let corner = |p: egui::Pos2| {
        UVec2::new((p.x * scale).max(0.0) as u32, (p.y * scale).max(0.0) as u32).min(whole)
    };
    let (min, max) = (corner(rect.min), corner(rect.max));
    if max.x <= min.x || max.y <= min.y {
        return None;
    }
    let size = max - min;
    let fits = camera
        .viewport
        .as_ref()
        .is_some_and(|v| v.physical_position == min && v.physical_size == size);
    if fits {
        return None;
    }
    camera.viewport = Some(Viewport { physical_position: min, physical_size: size, ..default() });
    Some(size)
}

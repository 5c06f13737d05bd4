//! The window without a screen: the same systems, panels and way of events as behind a
//! real one, tried by key presses and clicks that a program makes up. Each frame lasts
//! a sixtieth of a second of the window's time and waits for the simulation, so the same
//! keys give the same lift.

mod keyboard;
mod on_screen;

use self::keyboard::{code_of, logical};
use self::on_screen::OnScreen;
pub use self::on_screen::{Scrolled, Widget};
use super::app::furnish;
use super::detail::Detail;
use super::state::{CurrentSession, WindowInput};
use crate::draft::Draft;
use crate::scene::Loaded;
use crate::session::{Action, Edge, Folders, Overlay, Pace, Play, Session, SettingsFile, Stage};
use crate::snapshot::{Finding, OrderRecord, Snapshot};
use crate::units::UnitSystem;
use crate::view::driver::{self, DriverError};
use crate::view::film::frame::Frame;
use crate::view::panels::state::LiftState;
use crate::view::picture_error::PictureError;
use crate::view::yard::camera::YardCamera;
use crate::view::yard::shown::{BESIDE, Drawn, HERE, ground_turn, vec3};
use bevy::asset::RenderAssetUsages;
use bevy::camera::RenderTarget;
use bevy::ecs::query::QuerySingleError;
use bevy::input::ButtonState;
use bevy::input::keyboard::{Key, KeyboardInput};
use bevy::input::mouse::{MouseButtonInput, MouseScrollUnit, MouseWheel};
use bevy::input::touch::TouchPhase;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::render_resource::{
    Extent3d, PipelineCache, PollType, TextureDimension, TextureFormat, TextureUsages,
};
use bevy::render::renderer::RenderDevice;
use bevy::render::settings::{RenderCreation, WgpuSettings};
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::render::{RenderApp, RenderPlugin};
use bevy::time::TimeUpdateStrategy;
use bevy::window::{
    CursorMoved, ExitCondition, FileDragAndDrop, PrimaryWindow, WindowEvent, WindowResized,
};
use bevy::winit::WinitPlugin;
use bevy_egui::egui::accesskit::Role;
use bevy_egui::egui::epaint::ClippedShape;
use bevy_egui::{EguiPostUpdateSet, PrimaryEguiContext, egui};
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::Duration;
use tempfile::TempDir;

/// One frame of the window's time.
pub const FRAME: Duration = Duration::from_nanos(16_666_667);
/// Frames after which a picture that has not come is given up.
const PATIENCE: usize = 40;

/// Whether anything is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rendering {
    /// Nothing is: needs no graphics driver, and is fast.
    Blind,
    /// Pictures can be taken, each with everything in it: needs a Vulkan driver.
    Drawn,
    /// Drawn as the window draws: pipelines are compiled in the background, and what they draw
    /// is missing until they are there.
    Paced,
}

/// Why there is no window to try.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TrialError {
    #[error(transparent)]
    Driver(#[from] DriverError),
    #[error("no folder can be made: {0}")]
    Folder(#[source] std::io::Error),
    #[error("the window is missing: {0}")]
    NoWindow(#[from] QuerySingleError),
}

/// What was to be clicked on is not on screen.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no \"{label}\" on screen, but {}", there.join(", "))]
pub struct ClickError {
    pub label: String,
    /// The labels of what is.
    pub there: Vec<String>,
}

/// The window, waiting for keys and clicks.
pub struct Trial {
    app: App,
    window: Entity,
    target: Option<Handle<Image>>,
    pointer: Vec2,
    /// How long a frame lasts.
    frame: Duration,
    /// Where its files are, and as long as it is, if nobody has named a folder.
    _folder: Option<TempDir>,
}

impl Trial {
    /// Opens the window on the shelf or on a scene; size in logical pixels.
    ///
    /// # Errors
    /// One sentence that says that there is no graphics driver, where one is asked for.
    pub fn new(
        shelf: Vec<Loaded>,
        start: Option<Loaded>,
        units: UnitSystem,
        size: [u32; 2],
        sight: Rendering,
    ) -> Result<Self, TrialError> {
        let folder = tempfile::tempdir().map_err(TrialError::Folder)?;
        let trial = Self::in_folder(folder.path(), shelf, start, units, size, sight)?;
        Ok(Self { _folder: Some(folder), ..trial })
    }

    /// As [`Self::new`], with a user's own scenes and unsaved set-ups below a folder.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn in_folder(
        folder: &Path,
        shelf: Vec<Loaded>,
        start: Option<Loaded>,
        units: UnitSystem,
        size: [u32; 2],
        sight: Rendering,
    ) -> Result<Self, TrialError> {
        // What a user has set is no part of a trial, nor what machine it is on.
        let mut settings = SettingsFile::nowhere();
        settings.now.choose_plain(false);
        settings.now.feet_and_pounds = units == UnitSystem::Us;
        let edge = Edge {
            pace: Pace::InStep,
            folders: Folders::below(folder),
            settings,
            clock: crate::files::now,
        };
        let mut trial = Self::open(Session::new(shelf, start, edge), size, sight)?;
        trial.app.insert_resource(TimeUpdateStrategy::ManualDuration(FRAME));
        // The fonts need two.
        trial.frames(3);
        Ok(trial)
    }

    /// On a scene, at the pace of the clock, drawn as the window draws.
    ///
    /// # Errors
    /// Why nothing can be drawn.
    pub fn paced(scene: Loaded, size: [u32; 2], plain_graphics: bool) -> Result<Self, TrialError> {
        let mut settings = SettingsFile::nowhere();
        settings.now.choose_plain(plain_graphics);
        let folder = tempfile::tempdir().map_err(TrialError::Folder)?;
        let folders = Folders::below(folder.path());
        let edge = Edge { pace: Pace::Free, folders, settings, clock: crate::files::now };
        let session = Session::new(Vec::new(), Some(scene), edge);
        let trial = Self::open(session, size, Rendering::Paced)?;
        let mut trial = Self { _folder: Some(folder), ..trial };
        // Nobody looks for widgets, and a window notes none.
        trial.app.world_mut().remove_resource::<OnScreen>();
        trial.frame();
        if let Some(target) = trial.target.clone() {
            trial.aim(RenderTarget::from(target));
        }
        Ok(trial)
    }

    fn open(session: Session, size: [u32; 2], sight: Rendering) -> Result<Self, TrialError> {
        let render_creation = match sight {
            Rendering::Blind => {
                RenderCreation::from(WgpuSettings { backends: None, ..WgpuSettings::default() })
            }
            Rendering::Drawn | Rendering::Paced => driver::find()?,
        };
        let [width, height] = size;
        let mut app = App::new();
        app.add_plugins(driver::frame_by_frame(
            DefaultPlugins
                .set(WindowPlugin {
                    primary_window: Some(Window {
                        resolution: (width, height).into(),
                        ..default()
                    }),
                    exit_condition: ExitCondition::DontExit,
                    ..default()
                })
                .set(RenderPlugin {
                    render_creation,
                    synchronous_pipeline_compilation: sight != Rendering::Paced,
                    ..default()
                })
                .set(driver::processors())
                .disable::<WinitPlugin>()
                .disable::<LogPlugin>(),
        ));
        furnish(&mut app, session);
        app.init_resource::<OnScreen>().add_systems(
            PostUpdate,
            on_screen::see
                .run_if(resource_exists::<OnScreen>)
                .after(EguiPostUpdateSet::EndPass)
                .before(EguiPostUpdateSet::ProcessOutput),
        );
        app.finish();
        app.cleanup();
        let world = app.world_mut();
        let target = (sight != Rendering::Blind).then(|| {
            let size = Extent3d { width, height, depth_or_array_layers: 1 };
            let mut image = Image::new_uninit(
                size,
                TextureDimension::D2,
                TextureFormat::Rgba8UnormSrgb,
                RenderAssetUsages::RENDER_WORLD,
            );
            image.texture_descriptor.usage |= TextureUsages::RENDER_ATTACHMENT;
            world.resource_mut::<Assets<Image>>().add(image)
        });
        let window = world.query_filtered::<Entity, With<PrimaryWindow>>().single(world)?;
        Ok(Self { app, window, target, pointer: Vec2::ZERO, frame: FRAME, _folder: None })
    }

    /// Where the window is drawn to.
    fn aim(&mut self, target: RenderTarget) {
        let world = self.app.world_mut();
        let mut cameras = world.query_filtered::<&mut RenderTarget, With<PrimaryEguiContext>>();
        for mut camera in cameras.iter_mut(world) {
            *camera = target.clone();
        }
    }

    /// Draws the yards as coarsely as any machine does, or in full.
    pub fn draw_coarsely(&mut self, on: bool) {
        self.app.insert_resource(if on { Detail::coarsest() } else { Detail::default() });
    }

    /// The size of the yard's picture, px.
    pub fn picture_px(&mut self) -> UVec2 {
        let world = self.app.world_mut();
        let mut cameras = world.query_filtered::<&Camera, With<YardCamera>>();
        let size = cameras.single(world).ok().and_then(Camera::physical_target_size);
        size.unwrap_or_default()
    }

    /// Sets every overlay on and the lift going.
    pub fn play_with_everything_on(&mut self) {
        let mut session = self.app.world_mut().resource_mut::<CurrentSession>();
        for (which, _) in Overlay::ALL {
            if !session.overlays().has(which) {
                session.act(Action::Toggle(which));
            }
        }
        session.act(Action::Stage(Stage::Lift));
        self.key_down(KeyCode::Space);
        self.drawn_frame();
        self.key_up(KeyCode::Space);
    }

    pub fn resource<R: Resource>(&self) -> Option<&R> {
        self.app.world().get_resource::<R>()
    }

    /// Lets one frame pass.
    pub fn frame(&mut self) {
        self.app.update();
    }

    pub fn frames(&mut self, count: usize) {
        for _ in 0..count {
            self.frame();
        }
    }

    /// Makes each frame last this many of the usual ones, as on a slower machine.
    pub fn stride(&mut self, frames: u32) {
        self.frame = FRAME * frames.max(1);
        self.app.insert_resource(TimeUpdateStrategy::ManualDuration(self.frame));
    }

    /// Lets the window's time pass, s.
    pub fn wait(&mut self, s: f64) {
        self.frames((s / self.frame.as_secs_f64()).round() as usize);
    }

    /// Waits until something holds; false where it did not within this many seconds.
    pub fn wait_until(&mut self, at_most_s: f64, holds: impl Fn(&Self) -> bool) -> bool {
        for _ in 0..(at_most_s / self.frame.as_secs_f64()).ceil() as usize {
            if holds(self) {
                return true;
            }
            self.frame();
        }
        holds(self)
    }

    fn tell<M: Message + Clone + Into<WindowEvent>>(&mut self, message: M) {
        // A real window sends each event both ways.
        self.app.world_mut().write_message(message.clone().into());
        self.app.world_mut().write_message(message);
    }

    fn key(&mut self, code: KeyCode, state: ButtonState) {
        let logical_key = logical(code);
        let text = match &logical_key {
            Key::Character(text) if state.is_pressed() => Some(text.clone()),
            _ => None,
        };
        let window = self.window;
        self.tell(KeyboardInput {
            key_code: code,
            logical_key,
            state,
            text,
            repeat: false,
            window,
        });
    }

    pub fn key_down(&mut self, code: KeyCode) {
        self.key(code, ButtonState::Pressed);
    }

    pub fn key_up(&mut self, code: KeyCode) {
        self.key(code, ButtonState::Released);
    }

    /// Presses a key and lets it go, a frame each.
    pub fn tap(&mut self, code: KeyCode) {
        self.key_down(code);
        self.frame();
        self.key_up(code);
        self.frame();
    }

    /// Holds a key down for a while, s.
    pub fn hold(&mut self, code: KeyCode, s: f64) {
        self.key_down(code);
        self.wait(s);
        self.key_up(code);
        self.frame();
    }

    /// Types a text into the field that has the focus.
    pub fn write(&mut self, text: &str) {
        for sign in text.chars() {
            let window = self.window;
            let logical_key = match sign {
                ' ' => Key::Space,
                _ => Key::Character(sign.to_string().into()),
            };
            let mut input = KeyboardInput {
                key_code: code_of(sign),
                logical_key,
                state: ButtonState::Pressed,
                text: Some(sign.to_string().into()),
                repeat: false,
                window,
            };
            self.tell(input.clone());
            self.frame();
            input.state = ButtonState::Released;
            input.text = None;
            self.tell(input);
            self.frame();
        }
    }

    /// Moves the pointer there, in logical pixels.
    pub fn point(&mut self, at: Vec2) {
        let delta = Some(at - self.pointer);
        self.pointer = at;
        let window = self.window;
        // Bevy's own place of the pointer, too.
        if let Some(mut window) = self.app.world_mut().get_mut::<Window>(window) {
            window.set_cursor_position(Some(at));
        }
        self.tell(CursorMoved { window, position: at, delta });
        self.frame();
    }

    pub fn button(&mut self, button: MouseButton, pressed: bool) {
        let state = if pressed { ButtonState::Pressed } else { ButtonState::Released };
        let window = self.window;
        self.tell(MouseButtonInput { button, state, window });
        self.frame();
    }

    pub fn click_at(&mut self, at: Vec2) {
        self.point(at);
        self.button(MouseButton::Left, true);
        self.button(MouseButton::Left, false);
        self.frame();
    }

    /// Drags from one place to another in some frames.
    pub fn drag(&mut self, from: Vec2, to: Vec2, button: MouseButton) {
        self.point(from);
        self.button(button, true);
        for i in 1..=8 {
            self.point(from.lerp(to, i as f32 / 8.0));
        }
        self.button(button, false);
    }

    /// Turns the wheel by some lines, upwards positive.
    pub fn scroll(&mut self, lines: f32) {
        let window = self.window;
        self.tell(MouseWheel {
            unit: MouseScrollUnit::Line,
            x: 0.0,
            y: lines,
            window,
            phase: TouchPhase::Moved,
        });
        self.frame();
    }

    /// Lets a file go over the window.
    pub fn drop_file(&mut self, path: &Path) {
        let window = self.window;
        self.tell(FileDragAndDrop::DroppedFile { window, path_buf: path.to_path_buf() });
        self.frames(2);
    }

    /// Gives the window another size, in dots, on a screen with so many dots a logical pixel.
    /// The pictures of a drawn one keep theirs.
    pub fn resize(&mut self, [width, height]: [u32; 2], dots: f32) {
        let entity = self.window;
        let Some(mut window) = self.app.world_mut().get_mut::<Window>(entity) else { return };
        window.resolution.set_scale_factor_override(Some(dots));
        window.resolution.set_physical_resolution(width, height);
        let (width, height) = (window.width(), window.height());
        self.tell(WindowResized { window: entity, width, height });
    }

    /// Dark or light panels, large or usual text, whatever is on screen.
    pub fn wear(&mut self, dark: bool, large_text: bool) {
        let mut session = self.app.world_mut().resource_mut::<CurrentSession>();
        let now = session.settings();
        for (action, change) in
            [(Action::Dark, now.dark != dark), (Action::Big, now.large_text != large_text)]
        {
            if change {
                session.act(action);
            }
        }
    }

    /// Stops the window's time, or lets it go on: frames then show the same moment.
    pub fn hold_time(&mut self, held: bool) {
        let frame = if held { Duration::ZERO } else { self.frame };
        self.app.insert_resource(TimeUpdateStrategy::ManualDuration(frame));
    }

    /// Where a place of the ground frame is seen, in logical pixels.
    pub fn seen_at(&mut self, ground: [f64; 3]) -> Option<Vec2> {
        let world = self.app.world_mut();
        let scene = world.resource::<Drawn<HERE>>().scene.clone()?;
        let asked = world.resource::<WindowInput>();
        let corner = asked.zoom * Vec2::new(asked.yards[0].min.x, asked.yards[0].min.y);
        let mut cameras = world.query_filtered::<(&Camera, &Transform), With<YardCamera>>();
        let (camera, stand) = cameras.single(world).ok()?;
        let place = ground_turn(&scene) * vec3(ground);
        let at = camera.world_to_viewport(&GlobalTransform::from(*stand), place).ok()?;
        Some(corner + at)
    }

    /// Everything on screen that has a label.
    pub fn widgets(&self) -> &[Widget] {
        self.app.world().resource::<OnScreen>().widgets.as_slice()
    }

    /// The first thing with this label that a hand can press, else the first one at all.
    pub fn find(&self, label: &str) -> Option<&Widget> {
        let all = || self.widgets().iter().filter(|w| w.label == label);
        all().find(|w| !matches!(w.role, Role::Label | Role::TextRun)).or_else(|| all().next())
    }

    /// Clicks on something by its label.
    ///
    /// # Errors
    /// That it is not on screen, and what is.
    pub fn click(&mut self, label: &str) -> Result<(), ClickError> {
        self.click_nth(label, 0)
    }

    /// Clicks on the nth of several with the same label, from the top of the screen.
    ///
    /// # Errors
    /// That there are not so many on screen, and what is.
    pub fn click_nth(&mut self, label: &str, nth: usize) -> Result<(), ClickError> {
        let hands = || self.widgets().iter().filter(|w| w.role != Role::Label);
        let Some(at) = hands().filter(|w| w.label == label).nth(nth).map(|w| w.rect.center())
        else {
            let mut there: Vec<String> = hands().map(|w| w.label.clone()).collect();
            there.dedup();
            return Err(ClickError { label: label.to_owned(), there });
        };
        self.click_at(at);
        Ok(())
    }

    /// Whether a text that holds this is drawn anywhere.
    pub fn says(&self, text: &str) -> bool {
        self.texts().iter().any(|t| t.contains(text))
    }

    /// Every text drawn in the last frame, those over the yard among them.
    pub fn texts(&self) -> &[String] {
        &self.app.world().resource::<OnScreen>().texts
    }

    /// What is said of the lift, its orders, the class or the task in words that pages and the
    /// terminal show, too.
    pub fn told_of_the_lift(&self) -> Vec<String> {
        let session = self.session();
        let mut told = Vec::new();
        let shelf = session.scenes();
        let chosen = shelf.all().get(shelf.chosen()).map(|scene| &**scene);
        let drafted = session.bench().map(|bench| &*bench.draft.seen().scene);
        for scene in chosen.into_iter().chain(drafted) {
            told.extend(scene.orders.iter().map(|order| order.say(scene, session.units())));
        }
        if let Some(play) = session.play() {
            let state = LiftState::new(session, play);
            let (scene, units) = (state.scene, state.units);
            told.extend(state.lesson.iter().chain(&state.harm).chain(&state.impossible).cloned());
            told.extend(state.all_findings.iter().map(|finding| finding.say(scene, units)));
            for record in state.records {
                told.push(record.told.say(scene, units));
                told.extend(record.left_open.iter().map(|open| open.say(scene, units)));
                told.extend(record.refused.as_ref().map(|why| why.say(scene, units)));
            }
            let points = state.practice.iter().flat_map(|practice| &practice.points);
            told.extend(points.map(|point| point.say(scene, units)));
            let of_task = state.task.iter().flat_map(|task| task.texts());
            told.extend(of_task.map(str::to_owned));
        }
        if let Some(shown) = session.class_shown() {
            told.extend(shown.told.iter().cloned());
        }
        told
    }

    /// All that the panels and the labels over the yard painted in the last frame, in its order;
    /// points.
    pub fn painted(&self) -> &[ClippedShape] {
        &self.app.world().resource::<OnScreen>().painted
    }

    /// The lists that can be scrolled.
    pub fn scrolled(&self) -> &[Scrolled] {
        &self.app.world().resource::<OnScreen>().scrolled
    }

    /// The whole of the window, points.
    pub fn whole(&self) -> egui::Rect {
        self.app.world().resource::<OnScreen>().whole
    }

    fn session(&self) -> &Session {
        self.app.world().resource::<CurrentSession>()
    }

    fn play(&self) -> Option<&Play> {
        self.session().play()
    }

    /// The moment on screen, where a lift is.
    pub fn now(&self) -> Option<&Snapshot> {
        self.play().map(|p| p.now())
    }

    /// The parts of the window in which yards are seen, from left to right, points.
    pub fn yards(&self) -> Vec<egui::Rect> {
        let yards = self.app.world().resource::<WindowInput>().yards;
        yards.into_iter().filter(|yard| yard.is_positive()).collect()
    }

    /// The moments of the runs beside it, from left to right, as they are drawn.
    pub fn beside(&self) -> Vec<&Snapshot> {
        let world = self.app.world();
        let first = &**world.resource::<Drawn<{ BESIDE[0] }>>();
        let second = &**world.resource::<Drawn<{ BESIDE[1] }>>();
        let drawn = [first, second].into_iter().filter(|shown| shown.scene.is_some());
        drawn.map(|shown| &shown.snapshot).collect()
    }

    /// The moment of the first run beside it, where there is one.
    pub fn now_beside(&self) -> Option<&Snapshot> {
        self.beside().first().copied()
    }

    /// What the window's title says.
    pub fn title(&self) -> &str {
        self.app.world().get::<Window>(self.window).map_or("", |window| &window.title)
    }

    /// The set-up on the bench.
    pub fn draft(&self) -> Option<&Draft> {
        self.session().bench().map(|bench| &bench.draft)
    }

    /// What has gone wrong in the lift up to the moment on screen.
    pub fn findings(&self) -> &[Finding] {
        self.play().map_or(&[], |p| p.findings())
    }

    /// What the crew was told up to the moment on screen.
    pub fn records(&self) -> &[OrderRecord] {
        self.play().map_or(&[], |p| p.records())
    }

    /// Writes what is on screen into a PNG file.
    ///
    /// # Errors
    /// One sentence when it was not drawn, or cannot be written.
    pub fn picture(&mut self, path: &Path) -> Result<(), PictureError> {
        let target = self.target.clone().ok_or(PictureError::Blind)?;
        self.aim(RenderTarget::from(target.clone()));
        let world = self.app.world_mut();
        // The picture shows this very moment: the window's clock stands still for it.
        world.insert_resource(TimeUpdateStrategy::ManualDuration(Duration::ZERO));
        self.drawn_frame();
        let slot: Arc<Mutex<Option<Image>>> = Arc::default();
        let filled = slot.clone();
        self.app.world_mut().spawn(Screenshot::image(target)).observe(
            move |captured: On<ScreenshotCaptured>| {
                if let Ok(mut slot) = filled.lock() {
                    *slot = Some(captured.image.clone());
                }
            },
        );
        let mut image = None;
        for _ in 0..PATIENCE {
            self.drawn_frame();
            image = slot.lock().ok().and_then(|mut slot| slot.take());
            if image.is_some() {
                break;
            }
        }
        self.aim(RenderTarget::default());
        self.app.insert_resource(TimeUpdateStrategy::ManualDuration(self.frame));
        Frame::drawn(image.ok_or(PictureError::NotHandedBack)?)?.save(path)
    }

    /// Frames, until one has everything in it: no pipeline is still being made.
    pub fn whole_frame(&mut self) {
        let waits = |app: &App| {
            app.get_sub_app(RenderApp).is_some_and(|render| {
                render.world().resource::<PipelineCache>().waiting_pipelines().next().is_some()
            })
        };
        self.drawn_frame();
        while waits(&self.app) {
            self.drawn_frame();
        }
    }

    /// A frame, and the wait until it is drawn.
    pub fn drawn_frame(&mut self) {
        self.app.update();
        if let Some(device) = self.app.world().get_resource::<RenderDevice>() {
            // A lost device shows up as a picture that never arrives.
            let _ =
                device.wgpu_device().poll(PollType::Wait { submission_index: None, timeout: None });
        }
    }
}

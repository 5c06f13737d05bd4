//! The window itself: what it is made of, and what it needs of a machine.

use super::act::{act, advance};
use super::detail::{Detail, adapt};
use super::keys::keys;
use super::outside;
use super::renderer::Renderer;
use super::rest::rest;
use super::screen::draw;
use super::state::{ActionsCarriedOut, CurrentSession, WindowInput};
use super::title::entitle;
use super::user_files;
use super::viewports::{fit_pictures, set_cameras};
use crate::scene::Loaded;
use crate::session::{Edge, Pace, Session};
use crate::units::UnitSystem;
use crate::view::driver::{self, DriverError, Panic};
use crate::view::yard::shown::BESIDE;
use crate::view::yard::{camera, drawing, plain};
use bevy::asset::AssetEventSystems;
use bevy::camera::CameraUpdateSystems;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy_egui::{EguiGlobalSettings, EguiPlugin, EguiPostUpdateSet, EguiPrimaryContextPass};

/// What works without a window.
const HINT: &str = "; `inchwise run SCENE` plays a scene without a window";

/// What the window system loads when it starts.
const LIBRARIES: &str = if cfg!(target_os = "linux") {
    "; the libraries libX11, libXcursor, libXi and libxkbcommon-x11 are needed for it"
} else {
    ""
};

/// Why there is no window.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum WindowError {
    #[error("no window: there is no display (the variable DISPLAY is not set){HINT}")]
    NoDisplay,
    #[error("no window: the display {name} (from the variable DISPLAY) does not answer{HINT}")]
    NoAnswer { name: String, source: std::io::Error },
    #[error("no window: {0}{HINT}")]
    Driver(#[from] DriverError),
    /// The window system panics where a library is missing.
    #[error(
        "no window: the display cannot be used{LIBRARIES} ({}){HINT}",
        .0.to_string().chars().take(160).collect::<String>()
    )]
    Unusable(#[from] Panic),
}

/// Opens the window, on the shelf or on a scene.
///
/// # Errors
/// What is missing for a window, in plain words, and what works without one.
pub fn open(
    shelf: Vec<Loaded>,
    start: Option<Loaded>,
    units: UnitSystem,
) -> Result<(), WindowError> {
    display_is_there()?;
    let renderer = Renderer::find()?;
    let (mut settings, trouble) = user_files::settings();
    settings.now.feet_and_pounds |= units == UnitSystem::Us;
    let edge = Edge {
        pace: Pace::Free,
        folders: user_files::folders(),
        settings,
        clock: crate::files::now,
    };
    let mut session = Session::new(shelf, start, edge);
    if let Some(trouble) = trouble {
        session.tell(trouble);
    }
    // A window system that does not answer is a panic of the window plugin.
    let mut app = driver::quietly(|| build(session, renderer))??;
    app.run();
    Ok(())
}

/// Whether a display is named and, where it is on this machine, answers.
#[cfg(target_os = "linux")]
fn display_is_there() -> Result<(), WindowError> {
    let name = std::env::var("DISPLAY").unwrap_or_default();
    if name.is_empty() {
        return Err(WindowError::NoDisplay);
    }
    // ":1.0" is screen 0 of the display behind the socket X1.
    let Some(number) = name.strip_prefix(':').and_then(|n| n.split('.').next()) else {
        return Ok(());
    };
    std::os::unix::net::UnixStream::connect(format!("/tmp/.X11-unix/X{number}"))
        .map(drop)
        .map_err(|source| WindowError::NoAnswer { name: name.clone(), source })
}

#[cfg(not(target_os = "linux"))]
fn display_is_there() -> Result<(), WindowError> {
    Ok(())
}

fn build(session: Session, renderer: Renderer) -> Result<App, DriverError> {
    let mut app = App::new();
    app.add_plugins(
        renderer.add_to(
            DefaultPlugins
                .set(WindowPlugin {
                    primary_window: Some(Window {
                        title: "Inchwise".into(),
                        name: Some("inchwise".into()),
                        // In a page the window is this element, as large as the page lets it be.
                        canvas: Some("#inchwise".into()),
                        fit_canvas_to_parent: true,
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
                .set(driver::processors())
                .set(LogPlugin {
                    level: bevy::log::Level::ERROR,
                    // OpenGL complains in every frame of shadow maps of lights that are not there.
                    filter: "wgpu_hal::gles=off".into(),
                    ..default()
                }),
        ),
    );
    Renderer::failure(&mut app)?;
    furnish(&mut app, session);
    Ok(app)
}

/// Everything that the window does, on top of Bevy's own plugins; the same whether
/// there is a screen or not.
pub fn furnish(app: &mut App, session: Session) {
    app.add_plugins(EguiPlugin::default())
        .insert_resource(CurrentSession(session))
        .init_resource::<WindowInput>()
        .init_resource::<Detail>()
        .add_systems(Startup, set_cameras)
        .add_systems(
            PreUpdate,
            (keys, act.in_set(ActionsCarriedOut), adapt, advance)
                .chain()
                .after(bevy::input::InputSystems),
        )
        .add_systems(EguiPrimaryContextPass, draw)
        .add_systems(Update, (entitle, rest))
        // Before anything is prepared for a camera: one that wakes up later in the frame has
        // no shadows yet, and the renderer does not bear that.
        .add_systems(
            PostUpdate,
            fit_pictures
                .after(EguiPostUpdateSet::EndPass)
                .before(CameraUpdateSystems)
                .before(AssetEventSystems),
        );
    drawing::draw_here(app);
    drawing::draw_yard::<{ BESIDE[0] }>(app);
    drawing::draw_yard::<{ BESIDE[1] }>(app);
    camera::plugin(app);
    outside::plugin(app);
    plain::plugin(app);
    app.world_mut().resource_mut::<EguiGlobalSettings>().auto_create_primary_context = false;
}

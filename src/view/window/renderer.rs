//! What draws the window, and when it is opened: OpenGL draws onto a display only if it was told
//! of it, so it waits for the window system; any other driver is opened before.

use super::opengl::{OnDisplay, OpenGlFailure};
use crate::view::driver::{self, DriverError};
use bevy::app::PluginGroupBuilder;
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::settings::RenderCreation;

/// The renderer of a window.
pub enum Renderer {
    Ready(RenderCreation),
    OpenGl,
}

impl Renderer {
    /// The best that this machine has.
    ///
    /// # Errors
    /// One sentence that names the package which mends it.
    pub fn find() -> Result<Self, DriverError> {
        match driver::find() {
            Ok(newer) => Ok(Self::Ready(newer)),
            Err(_) if driver::has_opengl() => Ok(Self::OpenGl),
            Err(why) => Err(why),
        }
    }

    /// Bevy's plugins with this one to draw.
    pub fn add_to(self, plugins: PluginGroupBuilder) -> PluginGroupBuilder {
        match self {
            Self::Ready(render_creation) => {
                plugins.set(RenderPlugin { render_creation, ..default() })
            }
            Self::OpenGl => {
                plugins.disable::<RenderPlugin>().add_after::<bevy::winit::WinitPlugin>(OnDisplay)
            }
        }
    }

    /// That the plugins are added, and the renderer is there.
    ///
    /// # Errors
    /// Why it cannot draw onto this display.
    pub fn failure(app: &mut App) -> Result<(), DriverError> {
        match app.world_mut().remove_resource() {
            Some(OpenGlFailure(why)) => Err(DriverError::NotOnDisplay(why)),
            None => Ok(()),
        }
    }
}

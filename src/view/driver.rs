//! Finds a graphics driver, or says in plain words what is missing, and shares the
//! processors out for it.

use bevy::app::{PluginGroupBuilder, TaskPoolOptions, TaskPoolPlugin};
use bevy::render::renderer::initialize_renderer;
use bevy::render::settings::{Backends, RenderCreation, WgpuSettings};
use bevy::tasks::block_on;
use std::panic::{AssertUnwindSafe, catch_unwind, set_hook, take_hook};

/// What mends a missing driver.
const MEND: &str = if cfg!(windows) {
    "install the newest driver of your graphics card, or open inchwise.html in a browser"
} else {
    "install a Vulkan driver (on Debian and Ubuntu: apt install mesa-vulkan-drivers), or open \
     inchwise.html in a browser"
};

/// Why there is no driver to draw with.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DriverError {
    #[error("drawing is switched off by WGPU_BACKEND")]
    SwitchedOff,
    #[error("no graphics driver was found to draw with; {MEND}")]
    None(#[source] Panic),
    /// There is OpenGL, but not for this display.
    #[error("OpenGL cannot draw onto this display ({0}); {MEND}")]
    NotOnDisplay(Box<dyn std::error::Error + Send + Sync>),
}

/// A panic in a library, by its message.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct Panic(String);

/// A driver to draw with, onto a display or without one.
///
/// # Errors
/// One sentence that names the package which mends it.
pub(super) fn find() -> Result<RenderCreation, DriverError> {
    // A browser answers later than a start may wait, so there the renderer asks for itself.
    if cfg!(target_family = "wasm") {
        return Ok(RenderCreation::Automatic(Box::default()));
    }
    opened(|all| all - Backends::GL)
}

/// Whether there is OpenGL. It draws only onto a display that it was told of when it was opened,
/// and so not without one.
pub(super) fn has_opengl() -> bool {
    opened(|all| all & Backends::GL).is_ok()
}

/// Opens one of some of the drivers that may be asked for.
fn opened(which: impl Fn(Backends) -> Backends) -> Result<RenderCreation, DriverError> {
    let settings = WgpuSettings::default();
    let backends = which(settings.backends.ok_or(DriverError::SwitchedOff)?);
    // The renderer panics where there is no adapter.
    quietly(|| block_on(initialize_renderer(backends, None, &settings)))
        .map(RenderCreation::from)
        .map_err(DriverError::None)
}

/// Most processors for the making of pipelines, in which a driver translates the shaders.
/// At the first start on a machine that is most of the wait: 49 pipelines are 2 s of work
/// for one processor of a fast machine, and a driver keeps them for later starts only.
/// Frames themselves hardly need more than one: their systems run one by one.
pub(super) fn processors() -> TaskPoolPlugin {
    let mut task_pool_options = TaskPoolOptions::default();
    task_pool_options.async_compute.max_threads = usize::MAX;
    task_pool_options.async_compute.percent = 0.75;
    TaskPoolPlugin { task_pool_options }
}

/// A frame is drawn when it is asked for, not while the next is prepared. Without threads it
/// is so anyhow.
pub(super) fn frame_by_frame(plugins: PluginGroupBuilder) -> PluginGroupBuilder {
    #[cfg(not(target_family = "wasm"))]
    let plugins = plugins.disable::<bevy::render::pipelined_rendering::PipelinedRenderingPlugin>();
    plugins
}

/// Runs something that may panic, without the panic's own report.
pub(super) fn quietly<T>(work: impl FnOnce() -> T) -> Result<T, Panic> {
    let hook = take_hook();
    set_hook(Box::new(|_| {}));
    let result = catch_unwind(AssertUnwindSafe(work));
    set_hook(hook);
    result.map_err(|why| {
        let said = why
            .downcast_ref::<String>()
            .cloned()
            .or_else(|| why.downcast_ref::<&str>().map(|s| (*s).to_owned()));
        Panic(said.unwrap_or_else(|| "unknown reason".into()))
    })
}

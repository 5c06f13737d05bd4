//! The jobs of `inchwise` and `inchwise open`: the window.

use super::common::Common;
#[cfg(feature = "view")]
use super::console;
use super::failure::Failure;
use super::run::{self, RunArgs};
use super::say;
#[cfg(feature = "view")]
use crate::{scene::Loaded, units::UnitSystem, view::WindowError};
use clap::Args;

/// What is played where no window can be opened.
const BUILT_IN: &str = "beam-lift";

#[derive(Args)]
#[cfg_attr(not(feature = "view"), allow(dead_code, reason = "there is no window"))]
pub struct OpenArgs {
    /// A scene, by its name on the shelf or by the path of its file
    scene: String,
    #[command(flatten)]
    common: Common,
}

#[cfg(feature = "view")]
pub fn open(OpenArgs { scene, common }: &OpenArgs) -> Result<u8, Failure> {
    let loaded = common.load(scene)?;
    // The shelf is one key away; what is wrong with other scenes is not asked for here.
    let shelf = super::common::read_shelf().0.into_iter().map(|entry| entry.loaded).collect();
    show(shelf, Some(loaded), common.units.into()).map_err(Failure::ours)?;
    Ok(super::failure::MET)
}

/// The window, until it is closed.
#[cfg(feature = "view")]
fn show(shelf: Vec<Loaded>, start: Option<Loaded>, units: UnitSystem) -> Result<(), WindowError> {
    console::leave();
    crate::view::open(shelf, start, units).inspect_err(|why| console::tell(why))
}

#[cfg(not(feature = "view"))]
pub fn open(_: &OpenArgs) -> Result<u8, Failure> {
    Err(Failure::ours("no window: this program was built without the feature `view`"))
}

/// The window on the shelf. Without a display the built-in lift is told instead.
pub fn shelf() -> Result<u8, Failure> {
    #[cfg(feature = "view")]
    {
        let (good, bad) = super::common::read_shelf();
        for problem in &bad {
            say::problem(problem);
        }
        let scenes = good.into_iter().map(|entry| entry.loaded).collect();
        match show(scenes, None, UnitSystem::Si) {
            Ok(()) => return Ok(super::failure::MET),
            // Nobody would see the lift.
            Err(why) if cfg!(windows) => return Err(Failure::ours(why)),
            Err(why) => say::problem(format_args!("{why}\n")),
        }
    }
    say::problem(format_args!(
        "Playing the built-in scene \"{BUILT_IN}\" without a window instead.\n"
    ));
    run::run(&RunArgs::for_scene(BUILT_IN))
}

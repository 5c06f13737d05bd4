//! Turns snapshots into pictures, and hands and keys into orders. Never decides
//! physics. See [`open`] for the window and [`Studio`] for pictures off screen.

mod bag;
mod bench;
mod beside;
mod camera;
mod controller;
mod driver;
mod dummy;
mod faults;
mod film;
mod form;
mod frame;
mod guide;
mod icon;
mod marks;
mod offscreen;
mod overlay;
mod pace;
mod panels;
mod plain;
mod plan;
mod play;
mod plots;
mod readings;
mod reel;
mod settings;
mod setup;
mod shelf;
mod shown;
mod sizeup;
mod texture;
mod theme;
mod timber;
mod trial;
mod vehicle;
mod widget;
mod window;
mod yard;

pub use camera::View;
pub use film::{CameraPath, Film, Reel, Take};
pub use frame::{Animation, Frame, data_address};
pub use offscreen::Studio;
pub use overlay::Overlays;
pub use pace::{FrameTimes, frame_times};
pub use trial::{FRAME, Sight, Trial, Widget};
pub use window::open;

use bevy::ecs::schedule::{Schedules, SingleThreadedExecutor};
use bevy::prelude::{App, Plugin};
use bevy::render::RenderApp;

/// Has a frame's systems run one after the other. They are many and short: to hand them to
/// threads costs more than it saves (7.1 ms of a processor a frame, against 5.1), and a
/// frame is late whenever one of those threads is.
struct OneByOne;

impl Plugin for OneByOne {
    fn build(&self, _: &mut App) {}

    /// All schedules are there by now.
    fn finish(&self, app: &mut App) {
        let one_by_one = |app: &mut bevy::app::SubApp| {
            for (_, schedule) in app.world_mut().resource_mut::<Schedules>().iter_mut() {
                schedule.set_executor(SingleThreadedExecutor::new());
            }
        };
        one_by_one(app.main_mut());
        if let Some(render) = app.get_sub_app_mut(RenderApp) {
            one_by_one(render);
        }
    }
}

/// What draws yards, the same in the window and off screen.
fn drawing(app: &mut App) {
    app.add_plugins(OneByOne);
    yard::light(app);
    timber::mix(app);
    yard_of::<{ shown::HERE }>(app);
}

/// Everything that draws one of the yards.
fn yard_of<const YARD: usize>(app: &mut App) {
    shown::plugin::<YARD>(app);
    yard::plugin::<YARD>(app);
    vehicle::plugin::<YARD>(app);
    timber::plugin::<YARD>(app);
    bag::plugin::<YARD>(app);
    dummy::plugin::<YARD>(app);
}

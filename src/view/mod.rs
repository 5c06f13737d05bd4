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
pub use pace::{FrameTimes, frame_times};
pub use trial::{FRAME, Sight, Trial, Widget};
pub use window::open;

use bevy::prelude::App;

/// What draws yards, the same in the window and off screen.
fn drawing(app: &mut App) {
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

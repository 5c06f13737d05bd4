//! Turns snapshots into pictures, and hands and keys into orders. Never decides physics.
//! See [`open`] for the window and [`Studio`] for pictures off screen.

mod driver;
mod film;
mod overlay;
mod panels;
mod theme;
mod window;
mod yard;

pub use crate::session::{Overlays, View};
pub use film::filming::{Film, FilmFiles, FilmedLift};
pub use film::frame::{Animation, Frame, data_address};
pub use film::pace::{FrameTimes, frame_times};
pub use film::studio::Studio;
pub use window::app::open;
pub use window::trial::{FRAME, Rendering, Trial, Widget};
pub use yard::camera_path::{CameraPath, CameraPathError};

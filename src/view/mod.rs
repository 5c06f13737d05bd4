//! Turns snapshots into pictures, and hands and keys into orders. Never decides physics.
//! See [`open`] for the window and [`Studio`] for pictures off screen.

mod driver;
mod film;
mod key_names;
mod overlay;
mod panels;
mod picture_error;
mod theme;
mod window;
mod yard;

pub use crate::session::{Overlays, View};
pub use driver::{DriverError, Panic};
pub use film::filming::{Film, FilmFiles, FilmedLift};
pub use film::frame::{Frame, animate, data_address};
pub use film::pace::{FrameTimes, frame_times};
pub use film::studio::Studio;
pub use picture_error::PictureError;
pub use window::app::{WindowError, open};
pub use window::trial::{ClickError, FRAME, Rendering, Scrolled, Trial, TrialError, Widget};
pub use yard::camera_path::{CameraPath, CameraPathError};

//! One lift being played. What plays a lift, with a window or without one, ticks a [`Lift`];
//! [`play`] takes one to its end.

mod moments;
mod peaks;
mod play;
mod running;

pub use moments::{Keep, Moment};
pub use peaks::{Gap, Peaks};
pub use play::{CutOff, Options, Played, play};
pub use running::{End, Lift};

//! One lift being played. What plays a lift, with a window or without one, ticks a [`Lift`];
//! [`play`] takes one to its end.

mod moments;
mod peaks;
mod play;
mod running;

pub use moments::{FrameRetention, Moment};
pub use peaks::{Gap, Peak, Peaks};
pub use play::{CutOff, PlayOptions, Played, TICKS_PER_ROW, play, state_hash};
pub use running::{End, Lift};

//! Turns a lift that was played to its end into a report: what happened, against what was
//! wanted. Text for a reader, JSON for a program, CSV of the time history, a printable page.
//! Simulates nothing itself; [`crate::lift`] does.

mod advice;
mod csv_file;
mod harm;
mod html;
mod json;
mod json_limbs;
mod lesson;
mod limb_words;
mod outcome;
mod paper;
mod plot;
mod report;
mod text;
mod tips;

pub use crate::lift::{FrameRetention, Gap, Moment, Peak, Peaks};
pub use harm::{CrewAfter, Harm, Landing, LiftSeen};
pub use html::{MomentPicture, Pictures};
pub use lesson::{Readings, name};
pub use paper::Beside;
pub use report::{ALL_AIMS_MET, Debrief, play, start};
pub use text::expectation;

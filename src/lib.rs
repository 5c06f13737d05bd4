//! Inchwise: the lift of an overturned vehicle off a trapped casualty, rehearsed in
//! 3D with true forces. It trains judgement; it never says that a real lift is safe.

pub mod cli;
pub mod debrief;
pub mod digest;
pub mod draft;
pub mod files;
pub mod lift;
pub mod membrane;
pub mod parallel;
pub mod scene;
pub mod shelf;
pub mod snapshot;
pub mod statics;
pub mod sweep;
pub mod tables;
pub mod units;
#[cfg(feature = "view")]
pub mod view;
pub mod watch;
pub mod world;

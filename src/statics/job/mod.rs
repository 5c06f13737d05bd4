//! The job by the clock: what a crew does, task by task, before and during the lift, with the
//! people that each takes, and when each can begin. On paper: a played lift carries orders out at
//! once.

mod clock;
mod list;
mod schedule;
mod task;
mod words;

pub use clock::Job;
pub use list::TaskList;
pub use schedule::{Held, Slot, WorkPace};
pub use task::Task;

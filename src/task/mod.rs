//! Tasks to practise alone: turns a task file into a checked set-up that fails, with a
//! truck's kit and a prediction to be made; a lift that was played into what stands beside that
//! prediction, hints in steps, and a line of the log of attempts. Whether a good lift exists is
//! never believed from the file: what it names is played. Plays nothing itself; knows no window.

mod attempt;
mod brief;
mod fields;
mod hints;
mod log;
mod model;
mod obvious;
mod page;
mod prediction;
mod reader;
mod table;

use crate::scene::FileKind;

pub use attempt::{Attempt, Came, Lifted, kit_short, say_stop};
pub use brief::{LiftTaskPlan, PlayedTask};
pub use fields::GROUPS;
pub use hints::HintPair;
pub use log::{AttemptLog, AttemptLogError, Attempts};
pub use model::{LiftTask, Mend, OwnHints, StopReason, WayOut};
pub use obvious::obvious_changes;
pub use page::attempts_page;
pub use prediction::{Area, Happened, Prediction, ending_choices, first_choices, place_choices};
pub use reader::{load, load_from};
pub use table::{attempts_csv, attempts_text};

/// Where task files stand, and how one is told from a scene.
pub const FILES: FileKind =
    FileKind { folder: "tasks", noun: "task", nouns: "tasks", mark: "brief" };

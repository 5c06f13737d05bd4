//! A class: turns a class file into a checked list of steps for a room with a projector (show a
//! scene, stop, ask, reveal, compare, a card), and lifts that were played into the answers, the
//! instructor's pages and the answer sheet. Which answer is right never stands in the file: it
//! comes of the lift. Never plays anything itself; knows no window.

mod fields;
mod html;
mod model;
mod plan;
mod reader;

use crate::scene::FileKind;

pub use fields::GROUPS;
pub use model::{Class, ClassQuestion, ClassScene, ClassStep, ClassStepKind, MOST_BESIDE, StopAt};
pub use plan::ClassPlan;
pub use reader::{load, load_from};

/// Where class files stand, and how one is told from a scene.
pub const FILES: FileKind =
    FileKind { folder: "classes", noun: "class", nouns: "classes", mark: "steps" };

//! A class: turns a class file into a checked list of steps for a room with a projector (show a
//! scene, stop, ask, reveal, compare, a card), and lifts that were played into the answers, the
//! instructor's pages and the answer sheet. Which answer is right never stands in the file: it
//! comes of the lift. Never plays anything itself; knows no window.

mod answer;
mod fields;
mod html;
mod model;
mod plan;
mod reader;
mod source;

pub use answer::{Answer, AnswerSource, AnswerTest, ClassEnding};
pub use fields::GROUPS;
pub use model::{Class, ClassQuestion, ClassScene, ClassStep, ClassStepKind, StopAt};
pub use plan::{ClassPlan, say_ending};
pub use reader::{load, load_from};
pub use source::{FOLDER, has_steps, is_class, own_classes, shelf_classes};

//! A set-up that is being built: a scene's tree with a hand's edits on it. Every edit
//! makes a new tree, which is read and checked like a file, so that what does not fit is
//! told in the words of the scene's own rules. Keeps every step for undo and redo, and
//! writes the set-up to disk. Never simulates, never draws.

mod edit;
mod error;
mod field;
mod history;
mod item;
pub mod keep;
mod names;
pub mod order;
mod place;
mod proposal;
mod snap;

pub use edit::Edit;
pub use error::EditError;
pub use field::{Entry, Field, Refers, fields, from_typed, in_units, sole_parts, to_typed};
pub use history::{Draft, LastRead, from_nothing};
pub use item::{Item, ItemKind, length_text};
pub use snap::{Snap, snap};

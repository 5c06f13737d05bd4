//! The table of every field that a scene can have: key, what may stand there, limits, what
//! holds where it is left out, and a line that says what it is. The reader takes fields by its
//! entries; the editor, the page of the format and `inchwise fields` show them. A new field is
//! one entry here, the field of the struct that it fills and the line that reads it.

#![allow(
    clippy::wildcard_imports,
    reason = "the groups of one file share that file's imports: `use super::*` is their first line"
)]

pub mod entry;
mod faults;
pub mod ground;
mod kits;
mod orders;
mod setup;
mod shared_limits;
mod supply;
mod table;
mod vehicles;
mod whole;
mod words;

pub use entry::{Absent, Entry, Field, Group, Refers, Role};
pub use faults::fault;
pub use kits::{
    blocks, boards, carried_step_chocks, cylinders, kit, lifting_bags, rated_straps, rated_struts,
    timbers,
};
pub use orders::{order, until};
pub use setup::{
    bag, beam, capture, chock, sole, stack, step_chock, strap, strut, void_fill, wedge,
};
pub use shared_limits::MOST_TIMBERS;
pub use supply::{air, outlet};
pub use table::{FieldRow, GROUPS, rows, word_keys};
pub use vehicles::{com, half_width, inertia, opening, panel, post, profile, vehicle, wheels};
pub use whole::{
    aims, crew, drill, expect, limb, measured, person, raised, scene, slide, spread, weights,
};

//! The sheet: its formulas against the literature, and its numbers against played lifts.

#[path = "../common/program.rs"]
mod typed;

mod sheet;
mod val_statics_air;
mod val_statics_lift;
mod val_statics_timber;

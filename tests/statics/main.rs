//! The formulas of the sheet against the literature.

mod job;
mod left_out;
mod val_statics_air;
mod val_statics_lift;
mod val_statics_springs;
mod val_statics_timber;

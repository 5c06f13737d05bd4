//! The formulas of the sheet against the literature.

mod val_statics_air;
mod val_statics_lift;
mod val_statics_timber;

//! A scene over a grid of values: each cell is that scene with some fields changed, played
//! to its end as `run` plays it, once or over samples of what the scene does not know for
//! sure. A table in grid order, and a map of where the lift stops holding.
//!
//! What a cell gives depends on the cell alone: never on how many threads play them, in
//! which order they finish, or whether the sweep was cut short and taken up again.

mod cell_outcome;
mod cells;
mod grid;
mod identity;
mod join;
mod journal;
mod map;
mod marks;
mod play;
#[cfg(feature = "view")]
mod raster;
mod row;
mod share;
mod table;

pub use cell_outcome::{BROKEN, JAMMED, REFUSED};
pub use cells::{Key, MOST_SAMPLES, Sweep};
pub use grid::{Axis, Grid, GridError, Scale};
pub use join::JoinError;
pub use journal::{Journal, JournalError};
pub use map::MapError;
pub use play::{PlayError, SweepProgress};
#[cfg(feature = "view")]
pub use raster::{RasterError, png};
pub use row::CellRow;
pub use share::{SweepPart, SweepPartError};
pub use table::Table;

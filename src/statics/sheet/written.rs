//! Text that is written piece by piece, of a sheet and of every other report.

use std::fmt;

/// What is written, as one text.
pub fn written(write: impl FnOnce(&mut String) -> fmt::Result) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write(&mut out);
    out
}

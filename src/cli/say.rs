//! What is said on the terminal. The standard library's own macros stop the program where
//! nobody reads any more, as behind `inchwise shelf | head`. These go on: files asked for are
//! still written, and the exit code is that of what was done.

use std::fmt::Display;
use std::io::Write;

/// A line on standard output.
pub fn line(words: impl Display) {
    let _ = writeln!(std::io::stdout(), "{words}");
}

/// Text on standard output that ends its own lines.
pub fn text(words: impl Display) {
    let _ = write!(std::io::stdout(), "{words}");
}

/// A line on standard error.
pub fn problem(words: impl Display) {
    let _ = writeln!(std::io::stderr(), "{words}");
}

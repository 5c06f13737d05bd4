//! What is said on the terminal. The standard library's own macros stop the program where
//! nobody reads any more, as behind `inchwise shelf | head`. These go on: files asked for are
//! still written, and the exit code is that of what was done. What a full disk loses is told by
//! [`lost`]. Whatever is said is shown and does nothing to the terminal.

use crate::printable::shown;
use std::fmt::{Arguments, Display};
use std::io::{self, ErrorKind, Write};
use std::sync::OnceLock;

/// Why the first of what was printed was lost.
static LOST: OnceLock<io::Error> = OnceLock::new();

/// A line on standard output.
pub fn line(words: impl Display) {
    print(format_args!("{words}\n"));
}

/// Text on standard output that ends its own lines.
pub fn text(words: impl Display) {
    print(format_args!("{words}"));
}

/// A line on standard error.
pub fn problem(words: impl Display) {
    let _ = writeln!(io::stderr(), "{}", shown(&words.to_string()));
}

fn print(words: Arguments<'_>) {
    note(io::stdout().write_all(shown(&words.to_string()).as_bytes()));
}

/// That nobody reads any more is no loss.
fn note(written: io::Result<()>) {
    if let Some(why) = written.err().filter(|why| why.kind() != ErrorKind::BrokenPipe) {
        let _ = LOST.set(why);
    }
}

/// Why some of what was printed did not arrive, if so.
pub fn lost() -> Option<&'static io::Error> {
    note(io::stdout().flush());
    LOST.get()
}

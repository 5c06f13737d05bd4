//! Exit codes, and what ends a job before it is done.

use crate::files::WriteError;
use crate::parallel::ThreadsError;
use crate::scene::Problem;
use crate::units::UnitSystem;
use std::fmt::{Display, Write};

/// The lift met its aims.
pub const MET: u8 = 0;
/// Our fault, or the machine's: a file that cannot be written, no graphics driver.
pub const OUR_FAULT: u8 = 1;
/// A scene or a command line that cannot be used.
pub const BAD_INPUT: u8 = 2;
/// The lift did not meet its aims, or was not done as the rules of practice ask where that is
/// to count.
pub const NOT_MET: u8 = 3;

/// Why a job was not done, in words for the user.
pub struct Failure {
    pub code: u8,
    pub words: String,
}

impl Failure {
    /// A command line that cannot be used.
    pub fn input(why: impl Display) -> Self {
        Self { code: BAD_INPUT, words: why.to_string() }
    }

    /// An option that cannot be used.
    pub fn option(option: &str, why: impl Display) -> Self {
        Self::input(format_args!("{option}: {why}"))
    }

    pub fn ours(why: impl Display) -> Self {
        Self { code: OUR_FAULT, words: why.to_string() }
    }

    /// Scenes that cannot be used.
    pub fn problems(problems: &[Problem], units: UnitSystem) -> Self {
        let mut words = String::new();
        for problem in problems {
            let _ = writeln!(words, "{}", problem.in_units(units));
        }
        let noun = if problems.len() == 1 { "problem" } else { "problems" };
        let _ = write!(words, "{} {noun}; nothing was run", problems.len());
        Self { code: BAD_INPUT, words }
    }
}

impl From<WriteError> for Failure {
    fn from(why: WriteError) -> Self {
        Self::ours(why)
    }
}

impl From<ThreadsError> for Failure {
    fn from(why: ThreadsError) -> Self {
        Self::ours(why)
    }
}

//! The log of attempts: a line each, added at the end of a file and on disk before the program
//! goes on, so that an end at any moment loses no attempt but the one that was being written. A
//! torn or foreign line is left as it is and not read.

use super::attempt::Attempt;
use crate::files::{self, ReadError, WriteError};
use crate::printable::hidden_in;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// What years of attempts take, bytes.
const LARGEST_BYTES: u64 = 64 << 20;

/// The log, or none where nothing is kept.
#[derive(Clone, Debug, Default)]
pub struct AttemptLog {
    path: Option<PathBuf>,
}

/// What a log holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Attempts {
    /// In the order in which they were made.
    pub all: Vec<Attempt>,
    /// Lines that cannot be read, such as one that the machine's end tore.
    pub unread: usize,
}

/// Why the log was not read, or not written.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AttemptLogError {
    /// What is there cannot be read.
    #[error("{} {source}", path.display())]
    Read {
        /// The log.
        path: PathBuf,
        /// Why, in words that read on after its name.
        source: ReadError,
    },
    /// Something cannot be added.
    #[error(transparent)]
    Write(#[from] WriteError),
}

impl AttemptLog {
    /// In a file, which need not be there yet.
    pub fn at(path: Option<&Path>) -> Self {
        Self { path: path.map(Path::to_owned) }
    }

    /// Adds an attempt.
    ///
    /// # Errors
    /// Why it cannot be kept.
    pub fn add(&self, attempt: &Attempt) -> Result<(), WriteError> {
        let Some(path) = &self.path else { return Ok(()) };
        let line = serde_json::to_string(attempt)
            .map_err(|why| WriteError::new(path, std::io::Error::other(why)))?;
        files::append(path, &line)
    }

    /// Takes in lines from another machine: of an attempt that is there already nothing is written.
    /// Gives how many were new.
    ///
    /// # Errors
    /// Why they cannot be kept. Nothing is written where the log cannot be read: which of them it
    /// has already is not known then.
    pub fn take_in(&self, text: &str) -> Result<usize, AttemptLogError> {
        let mut there = self.read()?.all;
        let before = there.len();
        for attempt in Attempts::of(text.as_bytes()).all {
            if !there.contains(&attempt) {
                self.add(&attempt)?;
                there.push(attempt);
            }
        }
        Ok(there.len() - before)
    }

    /// Every attempt that can be read.
    ///
    /// # Errors
    /// Why the file cannot be read; one that is not there holds no attempts.
    pub fn read(&self) -> Result<Attempts, AttemptLogError> {
        let Some(path) = &self.path else { return Ok(Attempts::default()) };
        match files::read(path, LARGEST_BYTES) {
            Ok(bytes) => Ok(Attempts::of(&bytes)),
            Err(why) if why.is_missing() => Ok(Attempts::default()),
            Err(source) => Err(AttemptLogError::Read { path: path.clone(), source }),
        }
    }
}

/// Whether a text of it has a character that does something where it should be read.
fn hides_something(attempt: &Attempt) -> bool {
    fn any(value: &Value) -> bool {
        match value {
            Value::String(text) => hidden_in(text).is_some(),
            Value::Array(items) => items.iter().any(any),
            Value::Object(fields) => fields.values().any(any),
            _ => false,
        }
    }
    serde_json::to_value(attempt).is_ok_and(|value| any(&value))
}

impl Attempts {
    /// A line each, to be carried to another machine; nothing where there are none.
    pub fn text(&self) -> String {
        let lines = self.all.iter().filter_map(|attempt| serde_json::to_string(attempt).ok());
        lines.map(|line| line + "\n").collect()
    }

    fn of(bytes: &[u8]) -> Self {
        let mut attempts = Self::default();
        let lines = bytes.split(|byte| *byte == b'\n').filter(|line| !line.trim_ascii().is_empty());
        for line in lines {
            match serde_json::from_slice(line) {
                Ok(attempt) if !hides_something(&attempt) => attempts.all.push(attempt),
                _ => attempts.unread += 1,
            }
        }
        attempts
    }

    /// What is said of lines that cannot be read; nothing where there are none.
    pub fn say_unread(&self) -> Option<String> {
        match self.unread {
            0 => None,
            1 => Some("1 line of the log cannot be read and is left out.".to_owned()),
            n => Some(format!("{n} lines of the log cannot be read and are left out.")),
        }
    }
}

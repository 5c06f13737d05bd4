//! Why a file was not read or written.

use std::io;
use std::path::{Path, PathBuf};

/// A file that could not be written, and why.
#[derive(Debug, thiserror::Error)]
#[error("{}: cannot be written: {source}", path.display())]
#[non_exhaustive]
pub struct WriteError {
    pub path: PathBuf,
    pub source: io::Error,
}

impl WriteError {
    pub fn new(path: &Path, source: io::Error) -> Self {
        Self { path: path.to_owned(), source }
    }
}

/// Why a file could not be read; each reads on after the file's name.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    #[error("cannot be opened ({0}); check the path and the rights")]
    Opened(#[source] io::Error),
    #[error("cannot be read ({0}); check the path and the rights")]
    Read(#[source] io::Error),
    #[error("is a folder; give a file in it")]
    Folder,
    #[error("is not a plain file; give one")]
    NotPlain,
    #[error("is larger than {} KiB, which none of these files is", .at_most >> 10)]
    TooLarge {
        /// The most that was asked for, bytes.
        at_most: u64,
    },
}

impl ReadError {
    /// There is no such file.
    pub fn is_missing(&self) -> bool {
        matches!(self, Self::Opened(why) if why.kind() == io::ErrorKind::NotFound)
    }
}

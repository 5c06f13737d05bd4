//! Where a user's files are.

use std::path::PathBuf;

/// Where the user's own files are, as the system has it; none where it has no such folder.
#[derive(Clone, Debug)]
pub struct Places {
    pub settings: Option<PathBuf>,
    /// The folder of saved set-ups.
    pub scenes: Option<PathBuf>,
    /// The folder of unsaved ones.
    pub unsaved: Option<PathBuf>,
    /// The log of attempts at tasks.
    pub attempts: Option<PathBuf>,
}

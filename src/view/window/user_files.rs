//! Where a user's files are.

use crate::files;
use crate::scene;
use crate::session::{Folders, SettingsFile};
use std::path::PathBuf;

/// The user's settings, and what was wrong with them.
pub fn settings() -> (SettingsFile, Option<String>) {
    match files::places().settings {
        Some(path) => SettingsFile::read(&path),
        None => (SettingsFile::nowhere(), None),
    }
}

/// `./scenes` where there is such a folder, as for the shelf; else the user's own.
pub fn folders() -> Folders {
    let here = PathBuf::from(scene::FOLDER);
    let files::Places { scenes: own, unsaved, attempts, .. } = files::places();
    let scenes = if files::is_folder(&here) { here } else { own.unwrap_or(here) };
    Folders { scenes, unsaved, attempts }
}

//! Where a user's files are on this machine.

use crate::scene;
use crate::session::{Folders, SettingsFile};
use std::path::PathBuf;

/// The user's settings, and what was wrong with them.
pub fn settings() -> (SettingsFile, Option<String>) {
    match dirs::config_dir() {
        Some(folder) => SettingsFile::read(&folder.join("inchwise").join("settings.ron")),
        None => (SettingsFile::nowhere(), None),
    }
}

/// `./scenes` where there is such a folder, as for the shelf; else the user's own.
pub fn folders() -> Folders {
    let here = PathBuf::from(scene::FOLDER);
    let own = dirs::data_dir().map(|dir| dir.join("inchwise").join("scenes"));
    let state = dirs::state_dir().or_else(dirs::data_local_dir);
    Folders {
        scenes: if here.is_dir() { here } else { own.unwrap_or(here) },
        unsaved: state.map(|dir| dir.join("inchwise")),
    }
}

//! A file's ways in and out of a window: folders of the user's, files dropped onto it, and the
//! browser for what is printed.

use super::state::{ActionsCarriedOut, CurrentSession, WindowInput};
use crate::draft::keep;
use crate::files;
use crate::session::{Action, LARGEST_FILE_BYTES};
use bevy::prelude::*;
use bevy::window::FileDragAndDrop;
use std::io::Write;
use std::path::PathBuf;

/// How many files are taken of those that are dropped at once.
const DROPPED_AT_MOST: usize = 8;

/// Takes in what is dropped onto the window.
pub fn plugin(app: &mut App) {
    app.add_systems(
        PreUpdate,
        take_dropped.after(bevy::input::InputSystems).before(ActionsCarriedOut),
    );
}

fn take_dropped(
    mut dropped: MessageReader<FileDragAndDrop>,
    mut asked: ResMut<WindowInput>,
    mut session: ResMut<CurrentSession>,
) {
    for message in dropped.read().take(DROPPED_AT_MOST) {
        let FileDragAndDrop::DroppedFile { path_buf: path, .. } = message else { continue };
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        match files::read(path, LARGEST_FILE_BYTES) {
            Ok(bytes) => asked.inputs.push(Action::TakeFile { name, bytes }),
            Err(why) => session.tell(format!("{name} {why}.")),
        }
    }
}

/// Puts a file where the user finds what was loaded down; what became of it, in words.
pub fn save(name: &str, text: &str) -> String {
    let folder = dirs::download_dir().or_else(dirs::home_dir).unwrap_or_default();
    let path = keep::free(&folder, name);
    match files::store(&path, text) {
        Ok(()) => format!("It is in the file {}.", path.display()),
        Err(why) => format!("{why}."),
    }
}

/// How a file is handed over, in words.
pub fn ask_for_file() -> Option<String> {
    Some("Drop a file onto this window: scene, class, task or export.".to_owned())
}

/// Opens a page in the user's browser; what became of it, in words.
pub fn show_page(title: &str, html: &str) -> Option<String> {
    Some(match temporary(title, html) {
        Ok(path) => match open::that_detached(&path) {
            Ok(()) => format!("It opens in your browser: {}.", path.display()),
            Err(why) => {
                format!("No browser could be asked ({why}); the page is {}.", path.display())
            }
        },
        Err(why) => format!("The page cannot be written: {why}."),
    })
}

/// A file that stays until the system clears up.
fn temporary(title: &str, html: &str) -> std::io::Result<PathBuf> {
    let prefix = format!("inchwise-{}-", keep::stem(title));
    let mut file = tempfile::Builder::new().prefix(&prefix).suffix(".html").tempfile()?;
    file.write_all(html.as_bytes())?;
    file.keep().map(|(_, path)| path).map_err(|why| why.error)
}

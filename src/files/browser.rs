//! Files of a page, in the browser's storage of texts: each under its path, behind the time
//! when it was written. Folders are not kept there: one is where a file is in it.

use super::error::{ReadError, WriteError};
use super::places::Places;
use js_sys::Reflect;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::Storage;
use web_time::SystemTime;

/// What every key begins with: other pages of the same address may keep things, too.
const KEY: &str = "inchwise:";

fn key(path: &Path) -> String {
    format!("{KEY}{}", path.display())
}

fn storage() -> io::Result<Storage> {
    let there = web_sys::window().and_then(|window| window.local_storage().ok().flatten());
    there.ok_or_else(|| {
        io::Error::other(
            "the browser keeps nothing for this page: its window is private, or storage is \
             switched off",
        )
    })
}

fn refused(why: &JsValue) -> io::Error {
    let error = why.dyn_ref::<js_sys::Error>();
    let name = error.map(|error| String::from(error.name())).unwrap_or_default();
    io::Error::other(match name.as_str() {
        "QuotaExceededError" | "NS_ERROR_DOM_QUOTA_REACHED" => {
            "the browser's storage for this page is full".to_owned()
        }
        _ => format!("the browser refuses it ({name})"),
    })
}

/// When a file was written, and its text.
fn kept(path: &Path) -> io::Result<Option<(SystemTime, String)>> {
    let value = storage()?.get_item(&key(path)).map_err(|why| refused(&why))?;
    Ok(value.and_then(|value| {
        let (written_ms, text) = value.split_once('\n')?;
        let since = Duration::from_millis(written_ms.parse().ok()?);
        Some((SystemTime::UNIX_EPOCH.checked_add(since)?, text.to_owned()))
    }))
}

/// Every path that is kept.
fn paths() -> Vec<PathBuf> {
    let Ok(storage) = storage() else { return Vec::new() };
    let keys = (0..storage.length().unwrap_or(0)).filter_map(|i| storage.key(i).ok().flatten());
    keys.filter_map(|key| Some(PathBuf::from(key.strip_prefix(KEY)?))).collect()
}

/// Where the user's files are in the page's storage. They begin at its root, so that they are not
/// taken for the shelf. They are always there; whether they keep anything is another question.
pub fn places() -> Places {
    let place = |name: &str| Some(PathBuf::from(name));
    Places {
        settings: place("/settings.ron"),
        scenes: place("/scenes"),
        unsaved: place("/unsaved"),
        attempts: place("/attempts.jsonl"),
    }
}

/// Reads a file whole.
///
/// # Errors
/// Why it cannot be read, or that it has more bytes than `at_most`.
pub fn read(path: &Path, at_most: u64) -> Result<Vec<u8>, ReadError> {
    let missing = || ReadError::Opened(io::ErrorKind::NotFound.into());
    let (_, text) = kept(path).map_err(ReadError::Opened)?.ok_or_else(missing)?;
    if text.len() as u64 > at_most {
        return Err(ReadError::TooLarge { at_most });
    }
    Ok(text.into_bytes())
}

/// Whether there is a file.
pub fn is_file(path: &Path) -> bool {
    // Getting the item would copy its text.
    let there = |storage: Storage| Reflect::has(&storage, &JsValue::from_str(&key(path)));
    storage().is_ok_and(|storage| there(storage).unwrap_or(false))
}

/// Whether there is a file in a folder.
pub fn is_folder(path: &Path) -> bool {
    paths().iter().any(|kept| kept != path && kept.starts_with(path))
}

/// The files of a folder, in the order of names.
pub fn list(folder: &Path) -> Vec<PathBuf> {
    let mut paths = paths();
    paths.retain(|path| path.parent() == Some(folder));
    paths.sort();
    paths
}

/// When a file was last written.
pub fn written_at(path: &Path) -> Option<SystemTime> {
    Some(kept(path).ok()??.0)
}

/// Removes a file; one that is not there is removed, too.
///
/// # Errors
/// What the browser says.
pub fn remove(path: &Path) -> io::Result<()> {
    storage()?.remove_item(&key(path)).map_err(|why| refused(&why))
}

/// Writes a file whole.
///
/// # Errors
/// The path and why it could not be written.
pub fn store(path: &Path, text: &str) -> Result<(), WriteError> {
    let now = super::clock::now().duration_since(SystemTime::UNIX_EPOCH).unwrap_or_default();
    let value = format!("{}\n{text}", now.as_millis());
    storage()
        .and_then(|storage| storage.set_item(&key(path), &value).map_err(|why| refused(&why)))
        .map_err(|why| WriteError::new(path, why))
}

/// Adds a line to a file of lines, which is made where there is none.
///
/// # Errors
/// As [`store`]; the lines that stood there are as they were.
pub fn append(path: &Path, line: &str) -> Result<(), WriteError> {
    let there = kept(path).map_err(|why| WriteError::new(path, why))?;
    let mut text = there.map(|(_, text)| text).unwrap_or_default();
    if !text.is_empty() && !text.ends_with('\n') {
        text.push('\n');
    }
    store(path, &format!("{text}{line}\n"))
}

/// Whether a file can be written: the browser tells that only when it is.
///
/// # Errors
/// None; a disk has some.
pub fn try_out(_: &Path) -> Result<(), WriteError> {
    Ok(())
}

/// As [`store`], for what is made piece by piece; it must be text.
///
/// # Errors
/// As [`store`]; also what `fill` says.
pub fn write_with(
    path: &Path,
    fill: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<(), WriteError> {
    let mut bytes = Vec::new();
    let text = fill(&mut bytes).and_then(|()| String::from_utf8(bytes).map_err(io::Error::other));
    store(path, &text.map_err(|why| WriteError::new(path, why))?)
}

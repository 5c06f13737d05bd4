//! Set-ups on disk: scene files that are written whole or not at all, and a folder of
//! unsaved ones, so that nothing is lost when the window is closed or the machine fails.

use super::history::Draft;
use crate::files::{self, WriteError};
use crate::scene::{self, Problem, tree::Value};
use std::path::{Path, PathBuf};
use web_time::SystemTime;

/// The most unsaved set-ups that are kept; the oldest go first.
pub const MOST: usize = 12;
/// As much as a set-up takes, bytes.
const TRIAL_BYTES: usize = 16 << 10;

/// Why a set-up could not be put on disk or taken from it.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AutosaveError {
    #[error("cannot write {}: {}", .0.path.display(), .0.source)]
    Write(#[source] WriteError),
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Read(Vec<Problem>),
}

/// Writes a file whole, and the folders that it stands in.
///
/// # Errors
/// The path and why it could not be written.
pub fn write(path: &Path, text: &str) -> Result<(), AutosaveError> {
    files::store(path, text).map_err(AutosaveError::Write)
}

/// Whether unsaved set-ups can be kept in a folder: one is written, and removed.
///
/// # Errors
/// The path and why it could not be written.
pub fn try_out(folder: &Path) -> Result<(), AutosaveError> {
    let path = free(folder, "trial.txt");
    // As long as a set-up: the last of the room is soon gone.
    write(&path, &" ".repeat(TRIAL_BYTES))?;
    files::remove(&path).map_err(|why| AutosaveError::Write(WriteError::new(&path, why)))
}

/// A path of which there is no file yet: the name as it is, else with a number behind it.
pub fn free(folder: &Path, name: &str) -> PathBuf {
    let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
    let mut path = folder.join(name);
    for number in 2.. {
        if !files::is_file(&path) {
            break;
        }
        path = folder.join(format!("{stem}-{number}.{ending}"));
    }
    path
}

impl Draft {
    /// Writes the set-up as a scene file and goes on with that file.
    ///
    /// # Errors
    /// The path and why it could not be written.
    pub fn save(&mut self, path: &Path, name: &str) -> Result<(), AutosaveError> {
        let doc = self.named(name);
        write(path, &scene::text_of(&doc, path))?;
        self.goes_on_with(path, doc);
        Ok(())
    }
}

/// The file name for a scene's name.
pub fn file_name(name: &str) -> String {
    format!("{}.ron", stem(name))
}

/// A name as that of a file, without an ending: small letters, digits and hyphens.
pub fn stem(name: &str) -> String {
    let letters = name.to_lowercase();
    let words: Vec<String> = letters
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    let stem: String = words.join("-").chars().take(60).collect();
    match stem.as_str() {
        "" => "set-up".to_owned(),
        device if is_device(device) => format!("{device}-set-up"),
        _ => stem,
    }
}

/// Whether Windows takes a name for a device, whatever ending follows.
fn is_device(stem: &str) -> bool {
    let port = stem.strip_prefix("com").or_else(|| stem.strip_prefix("lpt"));
    matches!(stem, "con" | "prn" | "aux" | "nul")
        || port.is_some_and(|number| matches!(number.as_bytes(), [b'1'..=b'9']))
}

/// An unsaved set-up on disk.
pub struct AutosavedDraft {
    pub path: PathBuf,
    pub name: String,
    pub age_s: u64,
}

/// Where unsaved set-ups are kept, and under which name this one is.
#[derive(Clone, Debug)]
pub struct Autosave {
    folder: PathBuf,
    file: PathBuf,
}

impl Autosave {
    /// A place for one more unsaved set-up in a folder, begun now.
    pub fn new(folder: &Path, now: SystemTime) -> Self {
        let now = now.duration_since(SystemTime::UNIX_EPOCH).unwrap_or_default();
        let file = free(folder, &format!("unsaved-{}.ron", now.as_millis()));
        Self { folder: folder.to_owned(), file }
    }

    /// Goes on with an unsaved set-up that was kept.
    pub fn resume(path: &Path) -> Self {
        let folder = path.parent().map(Path::to_owned).unwrap_or_default();
        Self { folder, file: path.to_owned() }
    }

    /// Keeps what is unsaved. What is saved needs no keeping, unless it does not fit yet: the
    /// shelf shows no file with problems.
    ///
    /// # Errors
    /// Why it could not be kept.
    pub fn update(&self, draft: &Draft) -> Result<(), AutosaveError> {
        if !draft.dirty() && draft.seen().ready().is_some() {
            self.forget();
            return Ok(());
        }
        // Its vehicle is written out: it must be readable from wherever the window starts.
        write(&self.file, &scene::text_of(draft.doc(), &self.file))?;
        // Whatever the clock says: this one is the latest, also where the others' times lie ahead.
        let others = paths(&self.folder).into_iter().filter(|path| *path != self.file);
        for old in others.skip(MOST - 1) {
            let _ = files::remove(&old);
        }
        Ok(())
    }

    pub fn forget(&self) {
        let _ = files::remove(&self.file);
    }
}

fn is_autosave(path: &Path) -> bool {
    let name = path.file_name().and_then(|name| name.to_str());
    name.is_some_and(|name| name.starts_with("unsaved-") && name.ends_with(".ron"))
}

/// What the set-up in a file is called; none where it does not say.
fn name_in(path: &Path) -> Result<Option<String>, Vec<Problem>> {
    let doc = scene::tree_of_file(path)?;
    Ok(match doc.get("name").map(|name| &name.value) {
        Some(Value::Text(name)) => Some(name.clone()),
        _ => None,
    })
}

/// What is wrong with the first unsaved set-up in a folder that cannot be taken up again, in one
/// sentence. It stays where it is.
pub fn first_damaged(folder: &Path) -> Option<String> {
    let why = |path: &PathBuf| match name_in(path) {
        Ok(Some(_)) => None,
        Ok(None) => Some(format!("{}: it has no name", path.display())),
        Err(problems) => problems.first().map(ToString::to_string),
    };
    let why = files::list(folder).iter().filter(|path| is_autosave(path)).find_map(why)?;
    Some(format!("An unsaved set-up cannot be read, and stays as it is. {why}"))
}

/// The unsaved set-ups in a folder, the latest first, with their age now.
pub fn list(folder: &Path, now: SystemTime) -> Vec<AutosavedDraft> {
    let aged = |(written, path, name)| {
        let age_s = now.duration_since(written).unwrap_or_default().as_secs();
        AutosavedDraft { path, name, age_s }
    };
    latest_first(folder).into_iter().map(aged).collect()
}

/// The files of the unsaved set-ups in a folder, the latest first.
pub fn paths(folder: &Path) -> Vec<PathBuf> {
    latest_first(folder).into_iter().map(|(_, path, _)| path).collect()
}

/// When each was written, its file, and what it is called.
fn latest_first(folder: &Path) -> Vec<(SystemTime, PathBuf, String)> {
    let mut found: Vec<(SystemTime, PathBuf, String)> = files::list(folder)
        .into_iter()
        .filter(|path| is_autosave(path))
        .filter_map(|path| {
            let name = name_in(&path).ok()??;
            Some((files::written_at(&path)?, path, name))
        })
        .collect();
    found.sort_by_key(|(written, ..)| std::cmp::Reverse(*written));
    found
}

/// Takes an unsaved set-up up again, with all that is wrong with it.
///
/// # Errors
/// What cannot be read of it.
pub fn take_up(path: &Path) -> Result<Draft, AutosaveError> {
    let doc = scene::tree_of_file(path).map_err(AutosaveError::Read)?;
    Draft::new(doc).map(Draft::unsaved).map_err(AutosaveError::Read)
}

#[cfg(test)]
mod tests {
    use super::stem;

    #[test]
    fn no_name_is_a_device_of_windows() {
        assert_eq!(stem("Nose, down: twice?"), "nose-down-twice");
        assert_eq!(
            ["?!", "Aux", "COM3", "Com 3", "lpt0"].map(stem),
            ["set-up", "aux-set-up", "com3-set-up", "com-3", "lpt0"]
        );
    }
}

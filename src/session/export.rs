//! Everything of a user's in one file, to be carried to another machine: settings, scenes,
//! unsaved set-ups and the log of attempts, each as the text of its file. What comes in is a stranger's: each text is
//! checked like a file, and nothing that is there is overwritten.

use super::scenes::Folders;
use super::settings::{SettingsError, UserSettings};
use crate::draft::Draft;
use crate::draft::keep::{self, AutosaveError};
use crate::files;
use crate::scene::{self, LARGEST_BYTES, Loaded, Problem, Source};
use crate::task::AttemptLog;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// The largest file that is taken in or given out, bytes.
pub const LARGEST_FILE_BYTES: u64 = 5_000_000;
/// The number of this form of the file.
const VERSION: u32 = 1;
/// The most problems that are told at once.
const TOLD_AT_MOST: usize = 5;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Export {
    inchwise_export: u32,
    settings: String,
    scenes: Vec<ExportedFile>,
    unsaved: Vec<ExportedFile>,
    /// The log of attempts; left out where there is none, as by earlier releases.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    attempts: String,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ExportedFile {
    name: String,
    text: String,
}

/// The number of a file's form, whatever else is in it.
#[derive(Deserialize)]
struct ExportForm {
    inchwise_export: u32,
}

/// Why nothing can be given out.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ExportError {
    /// The settings make no text.
    #[error(transparent)]
    Settings(#[from] SettingsError),
    /// All of it together makes none.
    #[error(transparent)]
    Text(#[from] serde_json::Error),
}

/// Why nothing of a file can be taken in.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ImportError {
    /// It is no such file.
    #[error("it is not what \"Export everything\" writes ({0})")]
    Foreign(#[source] serde_json::Error),
    /// It is of another form.
    #[error(
        "it is of form {0}, and this program reads form {VERSION}; use a newer \
         release"
    )]
    Form(u32),
    /// It is of this form and cannot be read.
    #[error("it is damaged ({0}); export it again")]
    Damaged(#[source] serde_json::Error),
}

/// Why one text of such a file is not taken in.
#[derive(Debug, thiserror::Error)]
enum NotTaken {
    #[error("{}", told(.0))]
    Problems(Vec<Problem>),
    #[error(transparent)]
    Unwritten(#[from] AutosaveError),
    #[error("unsaved set-ups are not kept here")]
    NoFolder,
    #[error(
        "{name}: {} unsaved set-ups are here already; save or throw away some of them first",
        keep::MOST
    )]
    Full { name: String },
}

impl From<Vec<Problem>> for NotTaken {
    fn from(problems: Vec<Problem>) -> Self {
        Self::Problems(problems)
    }
}

/// What is wrong, one a line; the first few where there are many.
pub fn told(problems: &[Problem]) -> String {
    let mut lines: Vec<String> =
        problems.iter().take(TOLD_AT_MOST).map(ToString::to_string).collect();
    if problems.len() > TOLD_AT_MOST {
        lines.push(format!("and {} more", problems.len() - TOLD_AT_MOST));
    }
    lines.join("\n")
}

/// Whether bytes are meant as such a file: no scene begins like it.
pub fn is_export(bytes: &[u8]) -> bool {
    bytes.trim_ascii_start().starts_with(b"{")
}

/// The file's text, with what is on the bench where no file holds it; and what had to be left
/// out of it, a sentence each.
///
/// # Errors
/// Why it cannot be made.
pub fn export(
    folders: &Folders,
    settings: &UserSettings,
    bench: Option<&Draft>,
) -> Result<(String, Option<String>), ExportError> {
    let mut notes = Vec::new();
    let attempts = match log_of(folders).read() {
        Ok(attempts) => {
            notes.extend(attempts.say_unread());
            attempts.text()
        }
        Err(why) => {
            notes
                .push(format!("The log of attempts cannot be read and is not in the file: {why}."));
            String::new()
        }
    };
    let mut all = Export {
        inchwise_export: VERSION,
        settings: settings.text()?,
        scenes: Vec::new(),
        unsaved: Vec::new(),
        attempts,
    };
    let mut left = Vec::new();
    let mut room = LARGEST_FILE_BYTES.saturating_sub(all.settings.len() as u64 + 1024);
    // As it is written: quotes take two letters there.
    let log = serde_json::to_string(&all.attempts).map_or(u64::MAX, |text| text.len() as u64);
    match room.checked_sub(log) {
        Some(rest) => room = rest,
        None => {
            all.attempts.clear();
            left.push("the log of attempts".to_owned());
        }
    }
    let mut add = |to: &mut Vec<ExportedFile>, file: ExportedFile| {
        // As it is written: a quote takes two letters there.
        let size = serde_json::to_string_pretty(&file).map_or(u64::MAX, |t| 2 * 8 + t.len() as u64);
        match room.checked_sub(size) {
            Some(rest) => (room, _) = (rest, to.push(file)),
            None => left.push(file.name),
        }
    };
    if let Some(draft) = bench.filter(|draft| draft.dirty()) {
        let name = "unsaved-now.ron".to_owned();
        add(&mut all.unsaved, ExportedFile { name, text: whole(draft.doc()) });
    }
    for path in folders.unsaved.as_deref().map(keep::paths).unwrap_or_default() {
        if let Some(file) = exported(&path)
            && all.unsaved.iter().all(|other| other.text != file.text)
        {
            add(&mut all.unsaved, file);
        }
    }
    for source in scene::files_in(&folders.scenes) {
        if let Source::File(path) = source
            && let Some(file) = exported(&path)
        {
            add(&mut all.scenes, file);
        }
    }
    if !left.is_empty() {
        notes
            .push(format!("One file has room for 5 MB; these are not in it: {}.", left.join(", ")));
    }
    let text = serde_json::to_string_pretty(&all)?;
    Ok((text + "\n", (!notes.is_empty()).then(|| notes.join("\n"))))
}

fn log_of(folders: &Folders) -> AttemptLog {
    AttemptLog::at(folders.attempts.as_deref())
}

/// A tree as a text that needs no other file but shipped ones.
fn whole(doc: &scene::tree::Node) -> String {
    scene::text_of(doc, Path::new("shipped"))
}

/// A file as it goes out: its own text, unless that needs other files of the user's; nothing
/// where it is no text.
fn exported(path: &Path) -> Option<ExportedFile> {
    let name = path.file_name()?.to_str()?.to_owned();
    let bytes = files::read(path, LARGEST_BYTES).ok()?;
    let text = String::from_utf8(bytes.clone()).ok()?;
    let alone = Source::handed(&name, bytes).and_then(|source| scene::tree_from(&source));
    let text = match (scene::tree_of_file(path), alone) {
        (Ok(doc), Ok(alone)) if doc == alone => text,
        (Ok(doc), _) => whole(&doc),
        // It may be corrected by hand.
        (Err(_), _) => text,
    };
    Some(ExportedFile { name, text })
}

/// What came of taking such a file in.
#[derive(Default)]
pub struct Imported {
    /// The scenes that are new.
    pub scenes: Vec<Loaded>,
    /// The settings, where they could be read.
    pub settings: Option<UserSettings>,
    unsaved: usize,
    /// How many attempts are new.
    attempts: usize,
    /// Files that were there already, to the letter.
    same: usize,
    /// What came under another name, and what did not come.
    notes: Vec<String>,
}

/// Takes such a file in. Of a text that is there already nothing is written; another text of
/// the same name gets a number.
///
/// # Errors
/// Why it is no such file.
pub fn import(folders: &Folders, bytes: &[u8]) -> Result<Imported, ImportError> {
    let ExportForm { inchwise_export } =
        serde_json::from_slice(bytes).map_err(ImportError::Foreign)?;
    if inchwise_export != VERSION {
        return Err(ImportError::Form(inchwise_export));
    }
    let all: Export = serde_json::from_slice(bytes).map_err(ImportError::Damaged)?;
    let mut imported = Imported::default();
    match UserSettings::read(all.settings.as_bytes()) {
        Ok(settings) => imported.settings = Some(settings),
        Err(why) => imported.notes.push(format!("The settings cannot be read: {why}.")),
    }
    for file in all.scenes {
        if let Err(why) = imported.take_scene(&folders.scenes, &file) {
            imported.notes.push(format!("Not taken: {why}"));
        }
    }
    for file in all.unsaved {
        if let Err(why) = imported.take_unsaved(folders.unsaved.as_deref(), &file) {
            imported.notes.push(format!("Not taken: {why}"));
        }
    }
    match log_of(folders).take_in(&all.attempts) {
        Ok(attempts) => imported.attempts = attempts,
        Err(why) => imported.notes.push(format!("The log of attempts is not taken: {why}.")),
    }
    Ok(imported)
}

/// Where a text is to go in a folder; nothing where one of the folder's files is that text.
fn place_for(folder: &Path, name: &str, text: &str) -> Option<PathBuf> {
    let same = |path: &PathBuf| {
        files::read(path, LARGEST_BYTES).is_ok_and(|there| there == text.as_bytes())
    };
    (!files::list(folder).iter().any(same)).then(|| keep::free(folder, name))
}

impl Imported {
    fn take_scene(&mut self, folder: &Path, file: &ExportedFile) -> Result<(), NotTaken> {
        let source = Source::handed(&file.name, file.text.clone().into_bytes());
        let doc = source.and_then(|source| scene::tree_from(&source))?;
        scene::scene_from_tree(&doc)?;
        // A name from outside may hold a way to another folder.
        let stem = file.name.strip_suffix(".ron").unwrap_or(&file.name);
        let name = keep::file_name(stem);
        let Some(path) = place_for(folder, &name, &file.text) else {
            self.same += 1;
            return Ok(());
        };
        keep::write(&path, &file.text)?;
        // Where it stands its twin may stand beside it.
        let loaded = scene::load_from(&Source::File(path.clone()), &[]).inspect_err(|_| {
            let _ = files::remove(&path);
        })?;
        if path.file_name().is_none_or(|own| own != file.name.as_str()) {
            let path = path.display();
            self.notes.push(format!("\"{}\" is kept as {path}.", loaded.scene.name));
        }
        self.scenes.push(loaded);
        Ok(())
    }

    fn take_unsaved(&mut self, folder: Option<&Path>, file: &ExportedFile) -> Result<(), NotTaken> {
        let folder = folder.ok_or(NotTaken::NoFolder)?;
        let source = Source::handed(&file.name, file.text.clone().into_bytes());
        let doc = source.and_then(|source| scene::tree_from(&source))?;
        Draft::new(doc)?;
        let stem = keep::stem(file.name.trim_end_matches(".ron").trim_start_matches("unsaved"));
        let Some(path) = place_for(folder, &format!("unsaved-{stem}.ron"), &file.text) else {
            self.same += 1;
            return Ok(());
        };
        // One more would drive the oldest out with the next edit.
        if keep::paths(folder).len() >= keep::MOST {
            return Err(NotTaken::Full { name: file.name.clone() });
        }
        keep::write(&path, &file.text)?;
        self.unsaved += 1;
        Ok(())
    }

    /// What came of it, in words.
    pub fn say(&self) -> String {
        let count = |n: usize, what: &str| match n {
            1 => format!("1 {what}"),
            n => format!("{n} {what}s"),
        };
        let mut words = format!(
            "Taken in: {} and {}.",
            count(self.scenes.len(), "scene"),
            count(self.unsaved, "unsaved set-up")
        );
        if self.same > 0 {
            words += &format!(" {} here already.", count(self.same, "file"));
        }
        if self.attempts > 0 {
            words += &format!(" {} at tasks.", count(self.attempts, "attempt"));
        }
        if self.settings.is_some() {
            words += " The settings are those of the file now.";
        }
        for note in &self.notes {
            words += &format!("\n{note}");
        }
        words
    }
}

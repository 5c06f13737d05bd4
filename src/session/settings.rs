//! What the program remembers between sessions: a small RON file in the user's own folder. A
//! damaged file is reported, kept beside and replaced, never a reason not to start.

use crate::files::{self, ReadError};
use crate::units::UnitSystem;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// They take a few lines.
const LARGEST_BYTES: u64 = 1 << 16;

/// What is remembered.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct UserSettings {
    /// Figures in feet and pounds instead of metres and kilograms.
    pub feet_and_pounds: bool,
    /// Everything larger, for a big screen.
    pub large_text: bool,
    /// Panels dark, for a dim room.
    pub dark: bool,
    /// Whether it is drawn without shadows and smooth edges, where the user has chosen; else
    /// the machine decides.
    pub plain_graphics: Chosen,
    /// Few frames, coarse and plain: for a battery, or a machine that grows hot.
    pub low_power: bool,
    /// Pause when something goes wrong.
    pub stop_if_amiss: bool,
    /// The shelf and the size-up tell how each lesson ends, for an instructor.
    pub show_endings: bool,
    /// The number of the seat, for the log of attempts.
    pub seat: u32,
}

/// What a user has chosen, if anything.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Chosen {
    /// Nothing: the machine decides.
    #[default]
    ByItself,
    /// On.
    On,
    /// Off.
    Off,
}

/// Why settings were not read, or not put into a text.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SettingsError {
    /// Their file cannot be read.
    #[error("it {0}")]
    Unread(#[source] ReadError),
    /// It holds no settings.
    #[error(transparent)]
    Damaged(#[from] ron::error::SpannedError),
    /// They make no text.
    #[error(transparent)]
    Text(#[from] ron::Error),
}

impl UserSettings {
    /// Whether graphics are plain on a machine with a graphics card, or without.
    pub fn plain(&self, no_card: bool) -> bool {
        let chosen = match self.plain_graphics {
            Chosen::ByItself => no_card,
            Chosen::On => true,
            Chosen::Off => false,
        };
        chosen || self.low_power
    }

    /// Chooses plain graphics, or the usual ones, which low power does without.
    pub fn choose_plain(&mut self, on: bool) {
        self.low_power &= on;
        self.plain_graphics = if on { Chosen::On } else { Chosen::Off };
    }

    /// As the text of a file.
    pub(super) fn text(&self) -> Result<String, SettingsError> {
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default())?;
        Ok(text + "\n")
    }

    /// Those that a file's bytes say.
    pub(super) fn read(bytes: &[u8]) -> Result<Self, SettingsError> {
        Ok(ron::de::from_bytes(bytes)?)
    }

    /// The units in which figures are shown.
    pub fn units(&self) -> UnitSystem {
        if self.feet_and_pounds { UnitSystem::Us } else { UnitSystem::Si }
    }
}

/// The settings and where they are kept: nowhere in a trial.
pub struct SettingsFile {
    /// As they are now.
    pub now: UserSettings,
    written: UserSettings,
    path: Option<PathBuf>,
    /// What stood there and could not be read; kept beside before it is written over.
    damaged: Option<Vec<u8>>,
}

impl SettingsFile {
    /// The usual settings, kept nowhere.
    pub fn nowhere() -> Self {
        let usual = UserSettings::default();
        Self { now: usual.clone(), written: usual, path: None, damaged: None }
    }

    /// Those in a file, which need not be there yet, and what was wrong with them.
    pub fn read(path: &Path) -> (Self, Option<String>) {
        let text = match files::read(path, LARGEST_BYTES) {
            Ok(bytes) => Ok(bytes),
            Err(why) if why.is_missing() => Ok(b"()".to_vec()),
            Err(why) => Err(SettingsError::Unread(why)),
        };
        let mut damaged = None;
        let read = text
            .and_then(|bytes| UserSettings::read(&bytes).inspect_err(|_| damaged = Some(bytes)));
        let (now, trouble) = match read {
            Ok(now) => (now, None),
            Err(why) => (
                UserSettings::default(),
                Some(format!(
                    "The settings in {} cannot be read ({why}). The usual ones are used and \
                     will be written there with the next change; what stands there now is then kept \
                     as {}.",
                    path.display(),
                    kept_beside(path).display()
                )),
            ),
        };
        (Self { written: now.clone(), now, path: Some(path.to_owned()), damaged }, trouble)
    }

    /// Writes what has changed; what could not be written, in one sentence.
    pub fn keep(&mut self) -> Option<String> {
        if self.now == self.written {
            return None;
        }
        self.written = self.now.clone();
        let path = self.path.as_ref()?;
        if let Some(bytes) = &self.damaged {
            // Until that is done, nothing is written over them.
            if let Err(why) = files::write(&kept_beside(path), bytes) {
                return Some(format!(
                    "The damaged settings cannot be kept, and stay as they are: {why}."
                ));
            }
            self.damaged = None;
        }
        let why = match self.now.text() {
            Ok(text) => files::store(path, &text).err()?.source.to_string(),
            Err(why) => why.to_string(),
        };
        Some(format!("The settings cannot be kept in {}: {why}.", path.display()))
    }
}

/// Where damaged settings are kept.
fn kept_beside(path: &Path) -> PathBuf {
    path.with_extension("ron.damaged")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_come_back_and_a_damaged_file_is_told_and_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep").join("settings.ron");
        let (mut kept, trouble) = SettingsFile::read(&path);
        assert!(trouble.is_none(), "nothing there yet is no trouble");
        kept.now.large_text = true;
        kept.now.feet_and_pounds = true;
        assert_eq!(kept.keep(), None);
        assert_eq!(SettingsFile::read(&path).0.now, kept.now);
        for damaged in ["", "(large_text: 3)", "(colour: true)", "\u{0}\u{1}", "(large_text:"] {
            std::fs::write(&path, damaged).unwrap();
            let (mut again, trouble) = SettingsFile::read(&path);
            let said = trouble.unwrap_or_else(|| panic!("{damaged:?} is told"));
            assert!(said.contains("settings.ron"), "{said}");
            assert_eq!(again.now, UserSettings::default());
            again.now.dark = true;
            assert_eq!(again.keep(), None);
            assert!(SettingsFile::read(&path).0.now.dark, "and replaced");
            let kept = std::fs::read_to_string(kept_beside(&path)).unwrap();
            assert_eq!(kept, damaged, "what stood there is kept");
        }
    }

    /// Where damaged settings cannot be kept beside, they are never written over, however often
    /// something is changed.
    #[test]
    fn damaged_settings_that_cannot_be_kept_stay() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.ron");
        // A folder stands where they would be kept.
        std::fs::create_dir_all(kept_beside(&path).join("in the way")).unwrap();
        std::fs::write(&path, "(large_text: 3)").unwrap();
        let (mut again, _) = SettingsFile::read(&path);
        for dark in [true, false, true] {
            again.now.dark = dark;
            assert!(again.keep().is_none_or(|why| why.contains("stay as they are")));
            assert_eq!(std::fs::read_to_string(&path).unwrap(), "(large_text: 3)");
        }
    }

    /// Without a graphics card they are plain until the user chooses otherwise; the choice is
    /// kept on both kinds of machine.
    #[test]
    fn plain_graphics_are_chosen_by_the_machine_until_a_hand_does() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("settings.ron");
        let (mut kept, _) = SettingsFile::read(&path);
        assert!(kept.now.plain(true) && !kept.now.plain(false));
        for on in [false, true] {
            kept.now.choose_plain(on);
            assert_eq!(kept.keep(), None);
            let (again, trouble) = SettingsFile::read(&path);
            assert_eq!(trouble, None);
            assert_eq!([false, true].map(|no_card| again.now.plain(no_card)), [on; 2]);
        }
        kept.now.low_power = true;
        assert_eq!(kept.keep(), None);
        let (mut again, _) = SettingsFile::read(&path);
        assert!(again.now.low_power && again.now.plain(false), "low power is plain");
        again.now.choose_plain(false);
        assert!(!again.now.low_power && !again.now.plain(false), "the usual ones end it");
    }
}

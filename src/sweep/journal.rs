//! Remembers each cell as soon as it is done, so that a sweep that was cut short goes on
//! where it stopped. One line a cell, with a checksum: a line that does not verify is dropped,
//! and its cell played again. One process at a time has the journal; a file in its place that
//! is none is left as it is.

use super::cells::{Key, Sweep};
use super::row::CellRow;
use crate::digest::Digest;
use std::collections::BTreeMap;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// How each journal begins, before the sweep's key.
const TITLE: &str = "inchwise sweep ";

/// The cells of a sweep that are done, on disk; nobody else may have it until it is dropped.
pub struct Journal {
    file: File,
    path: PathBuf,
    rows: BTreeMap<usize, CellRow>,
    dropped: usize,
}

/// Why a journal cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum JournalError {
    #[error("{}: cannot be used as journal: {source}", path.display())]
    Unusable { path: PathBuf, source: io::Error },
    #[error("{}: cannot be written: {source}", path.display())]
    Unwritten { path: PathBuf, source: io::Error },
    #[error(
        "{} is not the journal of a sweep, and stays as it is; a sweep keeps its journal there \
         until its files are written: move it away, or write to another file",
        path.display()
    )]
    NotOurs { path: PathBuf },
    #[error(
        "{} is the journal of another sweep, or of this one with another scene, grid or seed; \
         remove it, or write to another file",
        path.display()
    )]
    OtherSweep { path: PathBuf },
    #[error(
        "{} holds cells that another build of the program played; its lifts differ from this \
         one's, and a table of both would be of neither. Remove the journal to play the sweep \
         afresh, write to another file, or go on with the build that began it",
        path.display()
    )]
    OtherPhysics { path: PathBuf },
    #[error(
        "{} is in use: another process plays this sweep; wait until it is done, or write to \
         another file",
        path.display()
    )]
    InUse { path: PathBuf },
}

impl Journal {
    /// The journal of a file that a sweep is to write stands beside it.
    pub fn beside(output: &Path) -> PathBuf {
        let mut name = output.to_owned().into_os_string();
        name.push(".journal");
        name.into()
    }

    /// Opens a journal, or begins one, and reads the cells that it holds.
    ///
    /// # Errors
    /// A file that cannot be read or written, is no journal, is one of another sweep or of
    /// another build of the program, or is in use.
    pub fn open(path: &Path, sweep: &Sweep) -> Result<Self, JournalError> {
        Self::open_as(path, sweep, sweep.key())
    }

    fn open_as(path: &Path, sweep: &Sweep, key: Key) -> Result<Self, JournalError> {
        let fail = |source| JournalError::Unusable { path: path.to_owned(), source };
        if fs::symlink_metadata(path).is_ok_and(|about| !about.is_file()) {
            return Err(JournalError::NotOurs { path: path.to_owned() });
        }
        let mut file = locked(path)?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).map_err(fail)?;
        let head = line(&[format!("{TITLE}{key}")]);
        // A new one, or one torn in its first line.
        let begins = head.as_bytes().starts_with(&bytes);
        if !begins {
            check_head(path, &bytes, &head, key)?;
        }
        // What the end of the program tore is no line; it would spoil the next one.
        let good =
            if begins { 0 } else { bytes.iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1) };
        if good < bytes.len() {
            file.set_len(good as u64).map_err(fail)?;
        }
        let mut journal = Self { file, path: path.to_owned(), rows: BTreeMap::new(), dropped: 0 };
        if begins {
            journal.write(&head)?;
        } else {
            journal.read(sweep, &bytes[..good]);
        }
        Ok(journal)
    }

    fn read(&mut self, sweep: &Sweep, bytes: &[u8]) {
        for text in bytes.split_inclusive(|b| *b == b'\n').skip(1) {
            match verified(sweep, text) {
                // A cell that stands there twice counts once.
                Some(row) => {
                    self.rows.entry(row.cell).or_insert(row);
                }
                None => self.dropped += 1,
            }
        }
    }

    /// The cells that it held when it was opened, in grid order.
    pub fn rows(&self) -> impl Iterator<Item = &CellRow> {
        self.rows.values()
    }

    /// How many lines did not verify: their cells are to be played again.
    pub fn dropped(&self) -> usize {
        self.dropped
    }

    /// Notes a cell that is done.
    pub(super) fn note(&mut self, row: &CellRow) -> Result<(), JournalError> {
        self.write(&line_of(row))
    }

    /// One call to the system for each line, so that a line is torn only by a crash of the
    /// machine, and seen to be.
    fn write(&mut self, line: &str) -> Result<(), JournalError> {
        self.file
            .write_all(line.as_bytes())
            .map_err(|source| JournalError::Unwritten { path: self.path.clone(), source })
    }

    /// Takes the journal away: all that it holds is written elsewhere.
    ///
    /// # Errors
    /// What the file system says.
    pub fn remove(self) -> Result<(), JournalError> {
        fs::remove_file(&self.path)
            .map_err(|source| JournalError::Unusable { path: self.path.clone(), source })
    }
}

/// Opens a file for this process alone.
fn locked(path: &Path) -> Result<File, JournalError> {
    let fail = |source| JournalError::Unusable { path: path.to_owned(), source };
    loop {
        let file =
            OpenOptions::new().read(true).append(true).create(true).open(path).map_err(fail)?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(JournalError::InUse { path: path.to_owned() });
            }
            // Some network file systems lock nothing; a sweep alone goes on there as before.
            Err(TryLockError::Error(why)) if why.kind() == io::ErrorKind::Unsupported => {}
            Err(TryLockError::Error(why)) => return Err(fail(why)),
        }
        // Its last owner may have taken it away between the two.
        if is_at(&file, path) {
            return Ok(file);
        }
    }
}

#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    match (file.metadata(), fs::metadata(path)) {
        (Ok(a), Ok(b)) => (a.dev(), a.ino()) == (b.dev(), b.ino()),
        _ => false,
    }
}

/// Elsewhere a file that is open cannot be taken away.
#[cfg(not(unix))]
fn is_at(_: &File, _: &Path) -> bool {
    true
}

/// Whether a file is the journal of this sweep, by its first line.
fn check_head(path: &Path, bytes: &[u8], head: &str, key: Key) -> Result<(), JournalError> {
    let first = bytes.split_inclusive(|b| *b == b'\n').next().unwrap_or_default();
    if first == head.as_bytes() {
        return Ok(());
    }
    let path = path.to_owned();
    let begin = line(&[TITLE.to_owned()]);
    let begin = begin.trim_end_matches(['\n', ']', '"']);
    if !first.starts_with(begin.as_bytes()) {
        return Err(JournalError::NotOurs { path });
    }
    let written = serde_json::from_slice::<Vec<String>>(first).unwrap_or_default();
    let written = written.first().and_then(|text| text.strip_prefix(TITLE)).unwrap_or_default();
    match key.differs_in_physics(written) {
        true => Err(JournalError::OtherPhysics { path }),
        false => Err(JournalError::OtherSweep { path }),
    }
}

/// The cell that a line tells, if every byte of it is as it was written.
fn verified(sweep: &Sweep, text: &[u8]) -> Option<CellRow> {
    let mut fields: Vec<String> = serde_json::from_slice(text).ok()?;
    let fields = fields.split_off(1.min(fields.len()));
    let row = CellRow::from_fields(sweep, fields)?;
    (line_of(&row).as_bytes() == text).then_some(row)
}

fn line_of(row: &CellRow) -> String {
    line(&[&[checksum(&row.fields)], row.fields.as_slice()].concat())
}

fn checksum(fields: &[String]) -> String {
    let mut digest = Digest::new();
    for field in fields {
        digest.text(field);
    }
    format!("{:016x}", digest.number())
}

/// A list of texts in JSON holds no line break of its own.
fn line(fields: &[String]) -> String {
    serde_json::Value::from(fields).to_string() + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sweep::grid::{Axis, Grid};

    fn sweep(slopes: &str) -> Sweep {
        let axis = Axis::parse(&format!("ground.slope={slopes}")).unwrap();
        Sweep::new("beam-lift", &[], Grid::new(vec![axis]).unwrap(), None, 1).ok().unwrap()
    }

    fn rows(sweep: &Sweep) -> Vec<CellRow> {
        (0..3).map(|i| CellRow::refused(sweep, i, &format!("line\n{i} \"x\""))).collect()
    }

    fn held(journal: &Journal) -> Vec<CellRow> {
        journal.rows().cloned().collect()
    }

    /// Cut at any byte, a journal gives the whole lines before the cut, and what is written
    /// after it makes the same file as if it had never been cut.
    #[test]
    fn a_journal_cut_anywhere_goes_on() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("journal");
        let sweep = sweep("0 deg..4 deg:3");
        let rows = rows(&sweep);
        let mut journal = Journal::open(&path, &sweep).unwrap();
        assert!(held(&journal).is_empty());
        rows.iter().for_each(|row| journal.note(row).unwrap());
        drop(journal);
        let whole = fs::read(&path).unwrap();
        for cut in 0..=whole.len() {
            fs::write(&path, &whole[..cut]).unwrap();
            let mut journal = Journal::open(&path, &sweep).unwrap();
            let held = held(&journal);
            assert_eq!(held, rows[..held.len()]);
            assert_eq!(journal.dropped(), 0, "a torn line was never told as done");
            rows[held.len()..].iter().for_each(|row| journal.note(row).unwrap());
            assert_eq!(fs::read(&path).unwrap(), whole, "cut at {cut}");
        }
        let other = self::sweep("0 deg..8 deg:3");
        assert!(Journal::open(&path, &other).err().unwrap().to_string().contains("another sweep"));
        let key = Key { physics: !sweep.key().physics, ..sweep.key() };
        let said = Journal::open_as(&path, &sweep, key).err().unwrap().to_string();
        for words in ["another build", "Remove the journal", "afresh"] {
            assert!(said.contains(words), "{words} is missing in {said}");
        }
        assert_eq!(fs::read(&path).unwrap(), whole, "what is refused stays as it is");
    }

    /// Any byte changed, a line is dropped; the others stay, and each cell counts once.
    #[test]
    fn a_line_that_was_changed_is_dropped() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("journal");
        let sweep = sweep("0 deg..4 deg:3");
        let rows = rows(&sweep);
        let mut journal = Journal::open(&path, &sweep).unwrap();
        rows.iter().chain(&rows).for_each(|row| journal.note(row).unwrap());
        drop(journal);
        assert_eq!(held(&Journal::open(&path, &sweep).unwrap()), rows, "each cell once");
        let text = fs::read_to_string(&path).unwrap();
        let lines: Vec<&str> = text.split_inclusive('\n').collect();
        let one = lines[2];
        for at in 0..one.len() - 1 {
            let mut bytes = one.as_bytes().to_vec();
            bytes[at] ^= 1;
            fs::write(&path, [lines[0].as_bytes(), &bytes, lines[3].as_bytes()].concat()).unwrap();
            let journal = Journal::open(&path, &sweep).unwrap();
            assert_eq!(held(&journal), rows[2..], "byte {at}");
            assert_eq!(journal.dropped(), 1);
        }
    }

    #[test]
    fn what_is_no_journal_stays_and_one_in_use_is_told() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("journal");
        let sweep = sweep("0 deg..4 deg:3");
        for diary in ["diary\n", "[\"x\"]\n", "[\"inchwise\"]", "\n", "\u{0}"] {
            fs::write(&path, diary).unwrap();
            let said = Journal::open(&path, &sweep).err().unwrap().to_string();
            assert!(said.contains("not the journal of a sweep"), "{diary:?}: {said}");
            assert_eq!(fs::read_to_string(&path).unwrap(), diary);
        }
        fs::remove_file(&path).unwrap();
        let first = Journal::open(&path, &sweep).unwrap();
        let said = Journal::open(&path, &sweep).err().unwrap().to_string();
        assert!(said.contains("another process"), "{said}");
        first.remove().unwrap();
        assert!(!path.exists());
        assert!(Journal::open(folder.path(), &sweep).is_err(), "a folder");
    }
}

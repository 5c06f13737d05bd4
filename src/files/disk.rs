//! Files on a disk.

use super::error::{ReadError, WriteError};
use super::output::{OutputPath, folder_of};
use super::places::Places;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use tempfile::{Builder, NamedTempFile};
use web_time::SystemTime;

/// On Linux below `~/.config`, `~/.local/share` and `~/.local/state`; on Windows settings,
/// scenes and attempts below the roaming folder of application data, what is unsaved below the
/// local one.
pub fn places() -> Places {
    let below = |dir: Option<PathBuf>, name: &str| dir.map(|dir| dir.join("inchwise").join(name));
    let state = dirs::state_dir().or_else(dirs::data_local_dir);
    Places {
        settings: below(dirs::config_dir(), "settings.ron"),
        scenes: below(dirs::data_dir(), "scenes"),
        unsaved: state.map(|dir| dir.join("inchwise")),
        attempts: below(dirs::data_dir(), "attempts.jsonl"),
    }
}

/// Reads a file whole; whatever stands at the path, it ends.
///
/// # Errors
/// Why it cannot be read, or that it has more bytes than `at_most`.
pub fn read(path: &Path, at_most: u64) -> Result<Vec<u8>, ReadError> {
    let about = fs::metadata(path).map_err(ReadError::Opened)?;
    if about.is_dir() {
        return Err(ReadError::Folder);
    }
    // A pipe would be waited for.
    if !about.is_file() {
        return Err(ReadError::NotPlain);
    }
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(at_most + 1).read_to_end(&mut bytes))
        .map_err(ReadError::Read)?;
    if bytes.len() as u64 > at_most { Err(ReadError::TooLarge { at_most }) } else { Ok(bytes) }
}

/// Whether there is a file, or a link to one.
pub fn is_file(path: &Path) -> bool {
    path.is_file()
}

/// Whether there is a folder, or a link to one.
pub fn is_folder(path: &Path) -> bool {
    path.is_dir()
}

/// What is in a folder, in the order of names; nothing where it cannot be read.
pub fn list(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten();
    let mut paths: Vec<PathBuf> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
    paths.sort();
    paths
}

/// When a file was last written, where that is known.
pub fn written_at(path: &Path) -> Option<SystemTime> {
    fs::metadata(path).and_then(|about| about.modified()).ok()
}

/// Removes a file.
///
/// # Errors
/// What the file system says; a file that is not there is one of them.
pub fn remove(path: &Path) -> io::Result<()> {
    fs::remove_file(path)
}

/// Writes a file whole, and the folders that it stands in.
///
/// # Errors
/// The path and why it could not be written.
pub fn store(path: &Path, text: &str) -> Result<(), WriteError> {
    fs::create_dir_all(folder_of(path)).map_err(|why| WriteError::new(path, why))?;
    write_with(path, |out| out.write_all(text.as_bytes()))
}

/// Writes a file so that it is there whole or not at all: into a file beside it, which then
/// takes its place. A link stays one, and the file that it leads to is written. Into a device
/// or a pipe the bytes go as they come.
///
/// # Errors
/// Why it could not be written, or what `fill` says; a file that stood there is as it was.
pub fn write_with(
    path: &Path,
    fill: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<(), WriteError> {
    let written = OutputPath::follow(path).and_then(|target| match target {
        OutputPath::File(path) => replace(&path, fill),
        // Behind what an open file already holds.
        OutputPath::Stream(path) => fill(&mut OpenOptions::new().append(true).open(path)?),
    });
    written.map_err(|source| WriteError::new(path, source))
}

/// Adds a line to a file of lines, which is made where there is none, and has it on disk before it
/// comes back. A line that the machine's end tore before stays one of its own.
///
/// # Errors
/// The path and why it could not be written; the lines that stood there are as they were.
pub fn append(path: &Path, line: &str) -> Result<(), WriteError> {
    let add = || -> io::Result<()> {
        fs::create_dir_all(folder_of(path))?;
        let mut file = OpenOptions::new().read(true).append(true).create(true).open(path)?;
        let mut last = [b'\n'];
        if file.metadata()?.len() > 0 {
            file.seek(SeekFrom::End(-1))?;
            file.read_exact(&mut last)?;
        }
        let begin = if last == [b'\n'] { "" } else { "\n" };
        // In one go: of two programs each writes whole lines.
        file.write_all(format!("{begin}{line}\n").as_bytes())?;
        file.sync_data()
    };
    add().map_err(|why| WriteError::new(path, why))
}

/// Whether a file can be written at a path: one is begun beside it, and removed.
///
/// # Errors
/// The path and why none could be written.
pub fn try_out(path: &Path) -> Result<(), WriteError> {
    beside(path).map(drop).map_err(|source| WriteError::new(path, source))
}

fn replace(path: &Path, fill: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> io::Result<()> {
    let mut beside = beside(path)?;
    fill(beside.as_file_mut())?;
    if let Ok(before) = fs::metadata(path) {
        beside.as_file().set_permissions(before.permissions())?;
    }
    beside.persist(path).map(drop).map_err(|refused| refused.error)
}

/// An empty file beside another, which goes if nobody keeps it.
fn beside(path: &Path) -> io::Result<NamedTempFile> {
    let mut builder = Builder::new();
    builder.prefix(".inchwise-");
    #[cfg(unix)]
    {
        // As any new file: the library's own choice is a file that nobody else may read.
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder_of(path))
}

#[cfg(test)]
mod tests {
    use super::super::write;
    use super::*;

    /// A line is added behind whole lines, and behind one that was torn.
    #[test]
    fn a_line_is_added_behind_what_stands_there() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep").join("lines");
        for line in ["one", "two"] {
            append(&path, line).unwrap();
        }
        assert_eq!(fs::read_to_string(&path).unwrap(), "one\ntwo\n");
        write(&path, "one\ntw").unwrap();
        append(&path, "three").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "one\ntw\nthree\n");
        assert!(append(folder.path(), "x").is_err(), "a folder takes no line");
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_good_file_stays_where_the_new_one_fails() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("table.csv");
        write(&path, "old").unwrap();
        let failed = write_with(&path, |out| {
            out.write_all(b"half of the ne")?;
            Err(io::Error::other("the disk is full"))
        });
        let said = failed.unwrap_err().to_string();
        assert!(said.contains("table.csv: cannot be written: the disk is full"), "{said}");
        assert_eq!(fs::read_to_string(&path).unwrap(), "old");
        write(&path, "new").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "new");
        assert_eq!(names(folder.path()), ["table.csv"], "nothing is left beside it");
        let folder_itself = write(folder.path(), "x").unwrap_err();
        assert!(folder_itself.to_string().contains("it is a folder"), "{folder_itself}");
        assert!(write(&path.join("x"), "x").is_err(), "a file is no folder");
    }

    #[cfg(unix)]
    #[test]
    fn links_devices_and_rights_stay_what_they_are() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        let [file, link, dangling, circle] =
            ["file", "link", "dangling", "circle"].map(|name| folder.path().join(name));
        write(&file, "old").unwrap();
        fs::set_permissions(&file, fs::Permissions::from_mode(0o640)).unwrap();
        symlink("file", &link).unwrap();
        write(&link, "new").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read_to_string(&file).unwrap(), "new");
        assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o640);
        symlink("not-there-yet", &dangling).unwrap();
        write(&dangling, "made").unwrap();
        assert_eq!(fs::read_to_string(folder.path().join("not-there-yet")).unwrap(), "made");
        symlink("circle", &circle).unwrap();
        assert!(write(&circle, "x").unwrap_err().to_string().contains("circle"));
        write(Path::new("/dev/null"), "gone").unwrap();
        assert!(!fs::metadata("/dev/null").unwrap().is_file());
    }
}

//! Writes whole files: what stood there before stays until all of the new is on disk.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use tempfile::{Builder, NamedTempFile};

/// A path of more links than this leads round in a circle.
const MOST_LINKS: usize = 40;

/// A file that could not be written, and why.
#[derive(Debug, thiserror::Error)]
#[error("{}: cannot be written: {source}", path.display())]
#[non_exhaustive]
pub struct WriteError {
    pub path: PathBuf,
    pub source: io::Error,
}

impl WriteError {
    pub fn new(path: &Path, source: io::Error) -> Self {
        Self { path: path.to_owned(), source }
    }
}

/// What is written to at a path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OutputPath {
    /// A plain file, there or not yet; where links lead, that is where the file is.
    File(PathBuf),
    /// A device, a pipe or an open file by its number: bytes go into it, it is never replaced.
    Stream(PathBuf),
}

impl OutputPath {
    /// Follows the links of a path.
    ///
    /// # Errors
    /// Links that lead round in a circle, a folder in the place of a file, or what the file
    /// system says.
    pub fn follow(path: &Path) -> io::Result<Self> {
        let mut path = path.to_owned();
        for _ in 0..MOST_LINKS {
            if is_open_file(&path) {
                return Ok(Self::Stream(path));
            }
            let about = match fs::symlink_metadata(&path) {
                Ok(about) => about,
                Err(why) if why.kind() == io::ErrorKind::NotFound => return Ok(Self::File(path)),
                Err(why) => return Err(why),
            };
            if about.is_dir() {
                return Err(io::Error::new(
                    io::ErrorKind::IsADirectory,
                    "it is a folder; give the path of a file",
                ));
            }
            if about.is_file() {
                return Ok(Self::File(path));
            }
            if !about.is_symlink() {
                return Ok(Self::Stream(path));
            }
            path = folder_of(&path).join(fs::read_link(&path)?);
        }
        Err(io::Error::other("its links lead round in a circle"))
    }
}

/// A file that a program has open, by its number, as `/dev/stdout` leads to: another file in
/// its place would never be seen through that number.
fn is_open_file(path: &Path) -> bool {
    cfg!(unix) && ["/dev/fd", "/proc"].iter().any(|folder| path.starts_with(folder))
}

/// The folder that a file stands in.
pub fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Writes a file so that it is there whole or not at all: into a file beside it, which then
/// takes its place. A link stays one, and the file that it leads to is written. Into a device
/// or a pipe the bytes go as they come.
///
/// # Errors
/// Why it could not be written; a file that stood there is as it was.
pub fn write(path: &Path, bytes: impl AsRef<[u8]>) -> Result<(), WriteError> {
    write_with(path, |out| out.write_all(bytes.as_ref()))
}

/// As [`write()`], for what is made piece by piece.
///
/// # Errors
/// As [`write()`]; also what `fill` says.
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
    use super::*;

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

//! What is written to at a path, and where it stands.

use std::path::{Path, PathBuf};
use std::{fs, io};

/// A path of more links than this leads round in a circle.
const MOST_LINKS: usize = 40;

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

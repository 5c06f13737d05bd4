//! The files that a job is to write, looked at before anything is played: no file that is
//! read and nothing that a user keeps is replaced, and no file is written twice.

use super::failure::Failure;
use crate::files::{self, OutputPath, WriteError};
use crate::scene::tree::{Node, Place, Value};
use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};

/// Why files cannot be written as they are asked for.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum OutputError {
    #[error("{one} and {other} both name {}; give each a file of its own", path.display())]
    Twice { one: String, other: String, path: PathBuf },
    #[error(
        "{option}: {} is what this command reads, and would be lost; write to another file",
        path.display()
    )]
    Read { option: String, path: PathBuf },
    #[error(
        "{option}: {} has the ending of {kind}, which could be somebody's work; \
         write to a file with another ending",
        path.display()
    )]
    Kept { option: String, path: PathBuf, kind: &'static str },
    #[error(transparent)]
    Unwritten(WriteError),
}

impl From<OutputError> for Failure {
    fn from(why: OutputError) -> Self {
        match why {
            OutputError::Unwritten(_) => Self::ours(why),
            _ => Self::input(why),
        }
    }
}

/// The files to be written, each by the option that names it.
#[derive(Default)]
pub struct Outputs(Vec<(String, PathBuf)>);

impl Outputs {
    /// With a file, if one is asked for.
    pub fn and<'a>(mut self, option: &str, paths: impl IntoIterator<Item = &'a PathBuf>) -> Self {
        self.0.extend(paths.into_iter().map(|path| (option.to_owned(), path.clone())));
        self
    }

    /// The first that is a plain file, with its option: what has no end, such as a pipe, has
    /// nothing beside it.
    pub fn first_file(&self) -> Option<(&str, &Path)> {
        let is_file = |path: &Path| matches!(OutputPath::follow(path), Ok(OutputPath::File(_)));
        self.0.iter().find(|(_, path)| is_file(path)).map(|(o, path)| (o.as_str(), path.as_path()))
    }

    /// Holds them against each other, against the files that are read, and against what the
    /// file system lets be written. Devices and pipes may be named again and again.
    ///
    /// # Errors
    /// The first that would be lost or cannot be written.
    pub fn check(&self, read: &BTreeSet<PathBuf>) -> Result<(), OutputError> {
        let mut seen: Vec<(&str, PathBuf)> = Vec::new();
        for (option, path) in &self.0 {
            let place =
                place(path).map_err(|why| OutputError::Unwritten(WriteError::new(path, why)))?;
            let Some(place) = place else { continue };
            if read.contains(&place) {
                return Err(OutputError::Read { option: option.clone(), path: path.clone() });
            }
            if let Some((one, _)) = seen.iter().find(|(_, other)| *other == place) {
                let (one, other) = ((*one).to_owned(), option.clone());
                return Err(OutputError::Twice { one, other, path: path.clone() });
            }
            if let Some(kind) = kept_kind(&place) {
                return Err(OutputError::Kept { option: option.clone(), path: path.clone(), kind });
            }
            // A folder that takes no file is told now, not after an hour of playing.
            files::try_out(&place).map_err(OutputError::Unwritten)?;
            seen.push((option, place));
        }
        Ok(())
    }
}

/// What a file is by its ending, where it is of a kind that no output is and that nobody has twice:
/// a name mistaken would cost it.
fn kept_kind(place: &Path) -> Option<&'static str> {
    const KINDS: [(&str, &str); 3] =
        [("ron", "a scene"), ("jsonl", "a log of attempts"), ("damaged", "kept settings")];
    let ending = place.extension()?;
    KINDS.iter().find(|(of, _)| ending.eq_ignore_ascii_case(of)).map(|(_, kind)| *kind)
}

/// Where a plain file is or will be, without links on the way; none for another kind.
fn place(path: &Path) -> io::Result<Option<PathBuf>> {
    let OutputPath::File(file) = OutputPath::follow(path)? else { return Ok(None) };
    let folder = files::folder_of(&file).canonicalize()?;
    if !folder.is_dir() {
        return Err(io::ErrorKind::NotADirectory.into());
    }
    Ok(file.file_name().map(|name| folder.join(name)))
}

/// The files that trees were read from.
pub fn files_of<'a>(trees: impl IntoIterator<Item = &'a Node>) -> BTreeSet<PathBuf> {
    fn walk(node: &Node, files: &mut BTreeSet<PathBuf>) {
        if let Place::File { file, .. } = &node.place
            && !files.contains(&**file)
        {
            files.insert(file.to_path_buf());
        }
        match &node.value {
            Value::List(items) => items.iter().for_each(|item| walk(item, files)),
            Value::Table(fields) => fields.iter().for_each(|(_, node)| walk(node, files)),
            _ => {}
        }
    }
    let mut files = BTreeSet::new();
    trees.into_iter().for_each(|tree| walk(tree, &mut files));
    // Shipped scenes are no files.
    files.into_iter().filter_map(|file| file.canonicalize().ok()).collect()
}

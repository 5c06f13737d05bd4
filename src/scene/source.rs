//! Finds scenes, vehicles and yards by path or by name, on disk or among the shipped ones, and hands
//! out their text.

use super::near::{choose_from, did_you_mean};
use super::problem::Problem;
use super::tree::{MOST_SHOWN, Place};
use crate::files::{self, ReadError};
use crate::printable::brief;
use crate::units::UnitText;
use include_dir::{Dir, include_dir};
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

/// The scenes that travel inside the program.
static SHIPPED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/scenes");
/// Where scenes are looked for first.
pub const FOLDER: &str = "scenes";
const VEHICLES: &str = "vehicles";
/// Fields that may name a file of their own, and the folder in which it is looked for.
pub(super) const FOLDERS: &[(&str, &str)] =
    &[("vehicle", VEHICLES), ("measured", "yards"), ("kit", "kits")];

/// No scene needs more than a few kilobytes, nor does any file that names scenes.
pub const LARGEST_BYTES: u64 = 1 << 20;

/// Where a scene comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    File(PathBuf),
    Builtin(String),
    /// A text from outside. What it names is looked for among the shipped files only.
    Handed {
        /// What its file was called.
        name: String,
        text: String,
    },
}

impl Source {
    /// A file from outside, of which nothing is known.
    ///
    /// # Errors
    /// That it is too large, or no text.
    pub fn handed(name: &str, bytes: Vec<u8>) -> Result<Self, Vec<Problem>> {
        let path = Path::new(name);
        if bytes.len() as u64 > LARGEST_BYTES {
            return Err(problem(start_of(path), "", too_large("scene")));
        }
        Ok(Self::Handed { name: name.to_owned(), text: text_in(path, bytes)? })
    }

    /// Its file name without the ending, which is how a scene names its twin.
    pub fn name(&self) -> String {
        match self {
            Self::File(path) => scene_name(path).unwrap_or_default(),
            Self::Builtin(name) | Self::Handed { name, .. } => name.clone(),
        }
    }

    /// What to type to name it.
    pub fn shown(&self) -> String {
        match self {
            Self::File(path) => path.display().to_string(),
            Self::Builtin(name) | Self::Handed { name, .. } => name.clone(),
        }
    }

    /// Its text, and how it is named in problems.
    pub(super) fn text(&self) -> Result<(PathBuf, String), Vec<Problem>> {
        let text = match self {
            Self::File(path) => read_text(path, "scene")?,
            Self::Builtin(name) => shipped_scene(name)?,
            Self::Handed { text, .. } => text.clone(),
        };
        Ok((source_path(self), text))
    }
}

/// A path is taken as it is; a bare name is looked up in `./scenes`, then among the
/// shipped scenes.
pub(super) fn find(name: &str) -> Result<Source, Vec<Problem>> {
    let path = Path::new(name);
    if name.is_empty() {
        return Err(problem(
            start_of(path),
            "",
            "has no name; give the name or the path of a scene",
        ));
    }
    let mut steps = path.components();
    let one = matches!((steps.next(), steps.next()), (Some(Component::Normal(_)), None));
    let bare = one && path.extension().is_none_or(|e| e != "ron");
    if !bare || files::is_file(path) {
        return Ok(Source::File(path.to_owned()));
    }
    let here = Path::new(FOLDER).join(format!("{name}.ron"));
    if files::is_file(&here) {
        return Ok(Source::File(here));
    }
    if SHIPPED.get_file(format!("{name}.ron")).is_some() {
        return Ok(Source::Builtin(name.to_owned()));
    }
    let text = format!("{}; or give the path of a file", no_scene(name));
    Err(problem(start_of(path), "", text))
}

/// A scene that another one names: in the same folder, else on the shelf.
pub(super) fn beside(source: &Source, name: &str) -> Option<Source> {
    let file = format!("{name}.ron");
    if Path::new(&file).components().count() != 1 {
        return None;
    }
    let near = match source {
        Source::File(path) => path.parent().map(|folder| folder.join(&file)),
        Source::Builtin(_) => None,
        Source::Handed { .. } => {
            return SHIPPED.get_file(&file).map(|_| Source::Builtin(name.to_owned()));
        }
    };
    if let Some(path) = near.filter(|path| files::is_file(path)) {
        return Some(Source::File(path));
    }
    find(name).ok()
}

/// The message for a name that leads to no scene.
pub(super) fn no_scene(name: &str) -> String {
    let mut known: Vec<String> = scene_files()
        .iter()
        .filter_map(|source| scene_name(&source_path(source)))
        .chain(builtin_names())
        .collect();
    known.sort();
    known.dedup();
    let choose = choose_from(name, &known);
    format!("there is no scene of the name \"{}\"; {choose}", brief(name, MOST_SHOWN))
}

/// The text of the file that a scene names in a field at `place`, and how that file is named in
/// problems: in the field's folder beside the scene, else in `./scenes`, else shipped.
pub(super) fn named_text(
    source: &Source,
    name: &str,
    place: &Place,
    (key, folder): (&str, &str),
) -> Result<(PathBuf, String), Vec<Problem>> {
    let complain = |text: String| problem(place.clone(), key, text);
    let file = format!("{}.ron", name.trim());
    if Path::new(&file).components().count() != 1 {
        let known = shipped_in(folder).into_iter().next().unwrap_or_default();
        return Err(complain(format!("needs a file's name, not a path; write \"{known}\"")));
    }
    let here = Path::new(FOLDER).join(folder).join(&file);
    let places = match source {
        Source::File(path) => {
            let beside = path.parent().map(|near| near.join(folder).join(&file));
            beside.into_iter().chain([here]).collect()
        }
        Source::Builtin(_) => vec![here],
        Source::Handed { .. } => Vec::new(),
    };
    if let Some(path) = places.into_iter().find(|path| files::is_file(path)) {
        let text = read_text(&path, "scene")?;
        return Ok((path, text));
    }
    let inside = format!("{folder}/{file}");
    let text = shipped_text(&inside).ok_or_else(|| {
        let known = shipped_in(folder);
        complain(format!(
            "there is no {} \"{}\" in the folder `{folder}` beside the scene; {}put {file} there, \
             or choose from {}",
            folder.trim_end_matches('s'),
            name.trim(),
            did_you_mean(name.trim(), known.iter().map(String::as_str)),
            known.join(", ")
        ))
    })?;
    Ok((PathBuf::from(format!("shipped scenes/{inside}")), text))
}

/// Names of the known vehicles: shipped ones, and those in `./scenes/vehicles`.
pub fn vehicle_names() -> Vec<String> {
    let here = files::list(&Path::new(FOLDER).join(VEHICLES));
    let here = here.iter().filter_map(|path| scene_name(path));
    let mut names: Vec<String> = here.chain(shipped_in(VEHICLES)).collect();
    names.sort();
    names.dedup();
    names
}

/// Names of the shipped scenes.
pub fn builtin_names() -> Vec<String> {
    let mut names: Vec<String> = SHIPPED.files().filter_map(|f| scene_name(f.path())).collect();
    names.sort();
    names
}

/// The scene files of a folder by name; none where it cannot be read.
pub fn files_in(folder: &Path) -> Vec<Source> {
    let paths = files::list(folder).into_iter().filter(|path| scene_name(path).is_some());
    paths.map(Source::File).collect()
}

/// The scenes on the shelf: those in `./scenes` where that folder exists, else the
/// shipped ones.
pub(super) fn scene_files() -> Vec<Source> {
    let here = Path::new(FOLDER);
    if files::is_folder(here) {
        return files_in(here);
    }
    builtin_names().into_iter().map(Source::Builtin).collect()
}

/// The name of a scene file without its ending, or none for another kind of file.
fn scene_name(path: &Path) -> Option<String> {
    let is_scene = path.extension().is_some_and(|e| e == "ron");
    is_scene.then(|| path.file_stem().map(|name| name.to_string_lossy().into_owned()))?
}

/// How a source is named in problems.
pub(super) fn source_path(source: &Source) -> PathBuf {
    match source {
        Source::File(path) => path.clone(),
        Source::Builtin(name) => PathBuf::from(format!("shipped scenes/{name}.ron")),
        Source::Handed { name, .. } => PathBuf::from(name),
    }
}

/// The names of the shipped files in a folder.
pub fn shipped_in(folder: &str) -> Vec<String> {
    SHIPPED
        .get_dir(folder)
        .into_iter()
        .flat_map(Dir::files)
        .filter_map(|f| scene_name(f.path()))
        .collect()
}

fn shipped_scene(name: &str) -> Result<String, Vec<Problem>> {
    let path = format!("{name}.ron");
    shipped_text(&path).ok_or_else(|| {
        let known = builtin_names().join(", ");
        problem(start_of(Path::new(&path)), "", format!("is not shipped; choose from {known}"))
    })
}

/// A shipped file by its path in the folder of scenes.
pub fn shipped_text(path: &str) -> Option<String> {
    let file = SHIPPED.get_file(path).and_then(include_dir::File::contents_utf8);
    file.map(str::to_owned)
}

fn too_large(noun: &str) -> String {
    format!("is larger than 1 MiB, which no {noun} needs; give a {noun} file")
}

/// The text of a file of some kind, such as a scene; a user may name anything here.
///
/// # Errors
/// Why it cannot be read, or that it is too large or no text.
pub fn read_text(path: &Path, noun: &str) -> Result<String, Vec<Problem>> {
    let fail = |text: String| problem(start_of(path), "", text);
    let bytes = files::read(path, LARGEST_BYTES).map_err(|why| match why {
        ReadError::Folder => fail(format!("is a folder; give the path of a {noun} file in it")),
        ReadError::NotPlain => fail(format!("is not a plain file; give the path of a {noun} file")),
        ReadError::TooLarge { .. } => fail(too_large(noun)),
        why => fail(why.to_string()),
    })?;
    text_in(path, bytes)
}

/// The text that bytes are.
fn text_in(path: &Path, bytes: Vec<u8>) -> Result<String, Vec<Problem>> {
    let text = String::from_utf8(bytes).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        let line = 1 + good.iter().filter(|&&b| b == b'\n').count();
        let column = 1 + good.iter().rev().take_while(|&&b| b != b'\n').count();
        problem(
            Place::File { file: Arc::new(path.to_owned()), line, column },
            "",
            "is not text in UTF-8 from here on; save the scene as UTF-8 text",
        )
    })?;
    // Some editors put a mark of the byte order before the text; it is not part of it.
    Ok(match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_owned(),
        None => text,
    })
}

pub(super) fn problem(place: Place, path: &str, text: impl Into<UnitText>) -> Vec<Problem> {
    vec![Problem { place, path: path.to_owned(), text: text.into() }]
}

fn start_of(path: &Path) -> Place {
    Place::File { file: Arc::new(path.to_owned()), line: 1, column: 1 }
}

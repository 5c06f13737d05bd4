//! Finds class files by path or by name, and the scenes that they name.

use crate::files;
use crate::scene::problem::Problem;
use crate::scene::tree::{self, Node, Place};
use crate::scene::{self, Source, builtin_names, files_in, read_text, shipped_in, shipped_text};
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

/// The folder of class files, in a folder of scenes.
pub const FOLDER: &str = "classes";

/// Classes in a user's own folder of scenes.
pub fn own_classes(scenes: &Path) -> Vec<Source> {
    files_in(&scenes.join(FOLDER))
}

/// The classes of the shelf: those in `./scenes/classes` where that folder exists, else the
/// shipped ones.
pub fn shelf_classes() -> Vec<Source> {
    let here = Path::new(scene::FOLDER).join(FOLDER);
    if files::is_folder(&here) {
        return files_in(&here);
    }
    shipped().into_iter().map(Source::Builtin).collect()
}

/// Whether a path or a name leads to a class rather than to a scene.
pub fn is_class(name: &str) -> bool {
    if is_bare(name) && !files::is_file(Path::new(name)) {
        let scene = Path::new(scene::FOLDER).join(format!("{name}.ron"));
        let is_scene = files::is_file(&scene) || builtin_names().iter().any(|known| known == name);
        return !is_scene && find(name).is_ok();
    }
    has_steps(&Source::File(name.into()))
}

/// Whether a file is a class rather than a scene: it has steps.
pub fn has_steps(source: &Source) -> bool {
    tree_of(source).is_ok_and(|tree| tree.get("steps").is_some())
}

/// A path is taken as it is; a bare name is looked up in `./scenes/classes`, then among the
/// shipped classes.
pub(super) fn find(name: &str) -> Result<Source, Vec<Problem>> {
    if !is_bare(name) || files::is_file(Path::new(name)) {
        return Ok(Source::File(name.into()));
    }
    let here = Path::new(scene::FOLDER).join(FOLDER).join(format!("{name}.ron"));
    if files::is_file(&here) {
        return Ok(Source::File(here));
    }
    if shipped().iter().any(|known| known == name) {
        return Ok(Source::Builtin(name.to_owned()));
    }
    let mut known: Vec<String> = shelf_classes().iter().map(Source::name).collect();
    known.extend(shipped());
    known.sort();
    known.dedup();
    let text = format!(
        "there is no class of this name; choose from {}, or give the path of a file",
        known.join(", ")
    );
    Err(vec![Problem { place: start_of(name), path: String::new(), text: text.into() }])
}

/// A name without a folder and without the ending of a file.
fn is_bare(name: &str) -> bool {
    let path = Path::new(name);
    let mut parts = path.components();
    let one = matches!((parts.next(), parts.next()), (Some(Component::Normal(_)), None));
    one && path.extension().is_none_or(|ending| ending != "ron")
}

fn shipped() -> Vec<String> {
    let mut names = shipped_in(FOLDER);
    names.sort();
    names
}

fn start_of(name: &str) -> Place {
    Place::File { file: Arc::new(name.into()), line: 1, column: 1 }
}

/// The tree of a class file.
pub(super) fn tree_of(source: &Source) -> Result<Node, Vec<Problem>> {
    let told = source_name(source);
    let text = match source {
        Source::File(path) => read_text(path, "class")?,
        Source::Handed { text, .. } => text.clone(),
        Source::Builtin(name) => shipped_text(&format!("{FOLDER}/{name}.ron")).unwrap_or_default(),
    };
    tree::parse(&Arc::new(told), &text).map_err(|why| {
        let text = format!("cannot be read from here on: {why}; mend the text there");
        vec![Problem { place: why.place().clone(), path: String::new(), text: text.into() }]
    })
}

/// How a class file is named in problems.
fn source_name(source: &Source) -> PathBuf {
    match source {
        Source::File(path) => path.clone(),
        Source::Builtin(name) => PathBuf::from(format!("shipped scenes/{FOLDER}/{name}.ron")),
        Source::Handed { name, .. } => PathBuf::from(name),
    }
}

/// A scene that a class names: beside the class file, in the folder above it, else on the shelf.
/// A class from outside has shipped scenes only.
pub(super) fn scene_named(class: &Source, name: &str) -> Option<Source> {
    if !is_bare(name) {
        return None;
    }
    let file = format!("{name}.ron");
    let shelf = Path::new(scene::FOLDER).join(&file);
    let near = match class {
        Source::File(path) => {
            let folder = path.parent();
            let folders = [folder, folder.and_then(Path::parent)].into_iter().flatten();
            folders.map(|folder| folder.join(&file)).chain([shelf]).collect()
        }
        Source::Builtin(_) => vec![shelf],
        Source::Handed { .. } => Vec::new(),
    };
    let here = near.into_iter().find(|path| files::is_file(path)).map(Source::File);
    here.or_else(|| {
        let there = builtin_names().iter().any(|known| known == name);
        there.then(|| Source::Builtin(name.to_owned()))
    })
}

//! Files that stand in a folder of their own beside the scenes and name scenes, such as classes:
//! finds them by path or by name, tells them from scenes, and finds the scenes that they name.

use super::near::choose_from;
use super::problem::Problem;
use super::source::{
    FOLDER, Source, builtin_names, files_in, problem, read_text, shipped_in, shipped_text,
};
use super::tree::{self, Node, Place};
use crate::files;
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

/// A kind of file that names scenes.
#[derive(Clone, Copy, Debug)]
pub struct FileKind {
    /// Its folder, in a folder of scenes.
    pub folder: &'static str,
    /// What one is called.
    pub noun: &'static str,
    /// What several are called.
    pub nouns: &'static str,
    /// A field that each of them has and no scene.
    pub mark: &'static str,
}

impl FileKind {
    /// Those in a user's own folder of scenes.
    pub fn own(&self, scenes: &Path) -> Vec<Source> {
        files_in(&scenes.join(self.folder))
    }

    /// Those of the shelf: in its folder in `./scenes` where that exists, else the shipped ones.
    pub fn shelf(&self) -> Vec<Source> {
        let here = self.here();
        if files::is_folder(&here) {
            return files_in(&here);
        }
        self.shipped().into_iter().map(Source::Builtin).collect()
    }

    /// Those of the shelf, then a user's own ones that are not among them.
    pub fn all(&self, scenes: &Path) -> Vec<Source> {
        let mut all = self.shelf();
        let own = self.own(scenes).into_iter().filter(|own| !all.contains(own));
        let own: Vec<Source> = own.collect();
        all.extend(own);
        all
    }

    /// Names of the shipped ones.
    pub fn shipped(&self) -> Vec<String> {
        let mut names = shipped_in(self.folder);
        names.sort();
        names
    }

    /// Whether a path or a name leads to such a file rather than to a scene.
    pub fn is_named(&self, name: &str) -> bool {
        if is_bare(name) && !files::is_file(Path::new(name)) {
            let scene = Path::new(FOLDER).join(format!("{name}.ron"));
            let is_scene =
                files::is_file(&scene) || builtin_names().iter().any(|known| known == name);
            return !is_scene && self.find(name).is_ok();
        }
        self.is(&Source::File(name.into()))
    }

    /// Whether a file is one of them rather than a scene.
    pub fn is(&self, source: &Source) -> bool {
        self.tree_of(source).is_ok_and(|tree| tree.get(self.mark).is_some())
    }

    /// A path is taken as it is; a bare name is looked up in the folder in `./scenes`, then among
    /// the shipped files.
    ///
    /// # Errors
    /// That there is none of this name, with those that there are.
    pub fn find(&self, name: &str) -> Result<Source, Vec<Problem>> {
        if !is_bare(name) || files::is_file(Path::new(name)) {
            return Ok(Source::File(name.into()));
        }
        let here = self.here().join(format!("{name}.ron"));
        if files::is_file(&here) {
            return Ok(Source::File(here));
        }
        if self.shipped().iter().any(|known| known == name) {
            return Ok(Source::Builtin(name.to_owned()));
        }
        let mut known: Vec<String> = self.shelf().iter().map(Source::name).collect();
        known.extend(self.shipped());
        known.sort();
        known.dedup();
        let text = format!(
            "there is no {} of this name; {}, or give the path of a file",
            self.noun,
            choose_from(name, &known)
        );
        let place = Place::File { file: Arc::new(name.into()), line: 1, column: 1 };
        Err(problem(place, "", text))
    }

    /// The tree of such a file.
    ///
    /// # Errors
    /// Why it cannot be read.
    pub fn tree_of(&self, source: &Source) -> Result<Node, Vec<Problem>> {
        let inside = |name: &str| format!("{}/{name}.ron", self.folder);
        let (told, text) = match source {
            Source::File(path) => (path.clone(), read_text(path, self.noun)?),
            Source::Handed { name, text } => (PathBuf::from(name), text.clone()),
            Source::Builtin(name) => {
                let told = format!("shipped {FOLDER}/{}", inside(name));
                (PathBuf::from(told), shipped_text(&inside(name)).unwrap_or_default())
            }
        };
        tree::parse(&Arc::new(told), &text).map_err(|why| {
            let text = format!("cannot be read from here on: {why}; correct the text there, or a missing bracket, comma or quote before it");
            problem(why.place().clone(), "", text)
        })
    }

    fn here(&self) -> PathBuf {
        Path::new(FOLDER).join(self.folder)
    }
}

/// A name without a folder and without the ending of a file.
fn is_bare(name: &str) -> bool {
    let path = Path::new(name);
    let mut parts = path.components();
    let one = matches!((parts.next(), parts.next()), (Some(Component::Normal(_)), None));
    one && path.extension().is_none_or(|ending| ending != "ron")
}

/// A scene that such a file names: beside it, in the folder above it, else on the shelf. A file
/// from outside has shipped scenes only.
pub fn scene_named(by: &Source, name: &str) -> Option<Source> {
    if !is_bare(name) {
        return None;
    }
    let file = format!("{name}.ron");
    let shelf = Path::new(FOLDER).join(&file);
    let near = match by {
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

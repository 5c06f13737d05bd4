//! Makes one tree of a scene: the tree of the scene that it is `like`, its own texts and its
//! `change`, the changes given as `--change PATH=VALUE`, and the vehicle's and the yard's own files.

use super::print;
use super::problem::Problem;
use super::schema::word_keys;
use super::source::{FOLDERS, Source, beside, find, named_text, no_scene, problem};
use super::tree::{self, Node, PathError, Place, Value};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The longest chain of scenes that are each `like` the next.
const DEEPEST: usize = 4;

/// The tree of a scene with its vehicle and changes in place, to be edited further.
///
/// # Errors
/// What cannot be read, or a change that leads nowhere.
pub fn tree_of(name: &str, changes: &[String]) -> Result<Node, Vec<Problem>> {
    let (doc, problems) = read_doc(&find(name)?, changes, &mut ParsedFiles::default())?;
    if problems.is_empty() { Ok(doc) } else { Err(problems) }
}

/// The tree of a scene file with its vehicle in place, checked or not.
///
/// # Errors
/// What cannot be read.
pub fn tree_of_file(path: &Path) -> Result<Node, Vec<Problem>> {
    tree_from(&Source::File(path.to_owned()))
}

/// The tree of a scene with its vehicle in place, checked or not.
///
/// # Errors
/// What cannot be read.
pub fn tree_from(source: &Source) -> Result<Node, Vec<Problem>> {
    read_doc(source, &[], &mut ParsedFiles::default()).map(|(doc, _)| doc)
}

/// The tree of a scene that is given as text.
///
/// # Errors
/// What cannot be read, such as a vehicle that there is not.
pub fn tree_of_text(text: &str) -> Result<Node, Vec<Problem>> {
    let mut files = ParsedFiles::default();
    let mut doc = files.parse(Path::new("new scene"), text)?;
    splice_files(&mut doc, &Source::Builtin(String::new()), &mut files)?;
    Ok(doc)
}

/// A tree as the text of a scene file to be put at `path`. A vehicle that has a file of its own
/// there is written as its name; any other is written out.
pub fn text_of(doc: &Node, path: &Path) -> String {
    let named = || {
        let Place::File { file, .. } = &doc.get("vehicle")?.place else { return None };
        let name = file.file_stem()?.to_string_lossy().into_owned();
        let mut short = doc.clone();
        *short.get_mut("vehicle")? = Node { place: Place::Hand, value: Value::Text(name) };
        let mut long = short.clone();
        let source = Source::File(path.to_owned());
        splice_files(&mut long, &source, &mut ParsedFiles::default()).ok()?;
        (long == *doc).then_some(short)
    };
    print::scene(named().as_ref().unwrap_or(doc))
}

/// The tree of a scene with its vehicle and changes in place, and the changes that
/// could not be made.
pub(super) fn read_doc(
    source: &Source,
    texts: &[String],
    files: &mut ParsedFiles,
) -> Result<(Node, Vec<Problem>), Vec<Problem>> {
    let (mut doc, mut changes) = written(source, DEEPEST, files)?;
    let mut problems = Vec::new();
    for text in texts {
        let whole: Arc<str> = text.as_str().into();
        match text.split_once('=') {
            Some((path, value)) => {
                changes.push((path.trim().to_owned(), tree::parse_change_value(value, &whole)));
            }
            None => problems.extend(problem(
                Place::Change(whole),
                "",
                "has no `=`; write PATH=VALUE such as stacks.left.layers=5",
            )),
        }
    }
    // Which vehicle it is must be known before a field of that vehicle can be changed, and so of
    // a yard.
    let (vehicles, others): (Vec<_>, Vec<_>) =
        changes.into_iter().partition(|(path, _)| FOLDERS.iter().any(|(key, _)| path == key));
    let mut apply = |doc: &mut Node, changes: Vec<FieldChange>| {
        for (path, node) in changes {
            let place = node.place.clone();
            if let Err(why) = doc.set(&path, node) {
                let path = match why {
                    PathError::TooLong { .. } => {
                        path.chars().take(40).chain("...".chars()).collect()
                    }
                    _ => path,
                };
                problems.extend(problem(place, &path, why.to_string()));
            }
        }
    };
    apply(&mut doc, vehicles);
    splice_files(&mut doc, source, files)?;
    apply(&mut doc, others);
    Ok((doc, problems))
}

/// A value for the end of a dotted path.
type FieldChange = (String, Node);

/// The tree of a file and the changes to make to it. A scene that is `like` another has that
/// one's tree with its own texts.
fn written(
    source: &Source,
    depth: usize,
    files: &mut ParsedFiles,
) -> Result<(Node, Vec<FieldChange>), Vec<Problem>> {
    let (path, text) = source.text()?;
    let own = files.parse(&path, &text)?;
    let Some(like) = own.get("like") else { return Ok((own, Vec::new())) };
    let complain = |key: &str, place: &Place, text: &str| Err(problem(place.clone(), key, text));
    let Value::Text(name) = &like.value else {
        return complain("like", &like.place, "needs the name of a scene, such as \"beam-lift\"");
    };
    if depth == 0 {
        return complain(
            "like",
            &like.place,
            "is a scene like a scene and so on; copy one of them",
        );
    }
    let Some(base) = beside(source, name) else {
        return complain("like", &like.place, &no_scene(name));
    };
    let (mut doc, mut changes) = written(&base, depth - 1, files)?;
    let Value::Table(fields) = own.value else { return Ok((doc, changes)) };
    // A scene's texts about itself stand next to `like`; everything else in it is a `change`.
    let words = word_keys(|_| true);
    let kept_back = word_keys(|word| !word.inherited);
    if let Value::Table(base) = &mut doc.value {
        base.retain(|(key, _)| !kept_back.contains(&key.as_str()));
    }
    doc.place = own.place;
    for (key, node) in fields {
        match (key.as_str(), node.value) {
            ("like", _) => {}
            ("change", Value::Table(own)) => changes.extend(own),
            ("change", _) => {
                let text = "needs changes such as { \"stacks.left.layers\": 5 }";
                return complain("change", &node.place, text);
            }
            (word, value) if words.contains(&word) => {
                let node = Node { place: node.place, value };
                doc.set(&key, node)
                    .map_err(|why| problem(doc.place.clone(), &key, why.to_string()))?;
            }
            _ => {
                let text = format!(
                    "a scene that is like another says this under `change`: {{ \"{key}\": ... }}; \
                     beside it stand only {}",
                    words.join(", ")
                );
                return complain(&key, &node.place, &text);
            }
        }
    }
    Ok((doc, changes))
}

/// Puts the vehicle's own file in the place of its name, and a yard's.
fn splice_files(
    doc: &mut Node,
    source: &Source,
    files: &mut ParsedFiles,
) -> Result<(), Vec<Problem>> {
    for folder in FOLDERS {
        let (key, _) = *folder;
        let Some(Node { value: Value::Text(name), place }) = doc.get(key) else { continue };
        let (path, text) = named_text(source, name, place, *folder)?;
        let tree = files.parse(&path, &text)?;
        if let Some(named) = doc.get_mut(key) {
            *named = tree;
        }
    }
    Ok(())
}

/// The trees of files, each parsed once however many scenes lead to it. Most of the time that
/// a shelf takes to read is spent in parsing, and its scenes are like few others.
#[derive(Default)]
pub(super) struct ParsedFiles(HashMap<PathBuf, Node>);

impl ParsedFiles {
    fn parse(&mut self, path: &Path, text: &str) -> Result<Node, Vec<Problem>> {
        if let Some(tree) = self.0.get(path) {
            return Ok(tree.clone());
        }
        let tree = tree::parse(&Arc::new(path.to_owned()), text).map_err(|why| {
            let text = format!("cannot be read from here on: {why}; correct the text there, or a missing bracket, comma or quote before it");
            problem(why.place().clone(), "", text)
        })?;
        self.0.insert(path.to_owned(), tree.clone());
        Ok(tree)
    }
}

/// What two scenes differ in besides their words, as paths.
pub fn choice(one: &Node, other: &Node) -> Vec<String> {
    let mut paths = one.differences(other);
    let words = word_keys(|_| true);
    paths.retain(|path| !words.contains(&path.split('.').next().unwrap_or_default()));
    paths
}

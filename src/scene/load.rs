//! Loads a scene: its tree is read and checked as a whole, and everything that is wrong with it
//! is told in the order of correction.

use super::like_and_change::{ParsedFiles, read_doc};
use super::model::Scene;
use super::problem::{OTHER_STAND_INS, Problem, Problems};
use super::source::{Source, beside, find, no_scene, problem, scene_files, source_path};
use super::tree::{Node, Place, Value};
use super::{rules, scene_reader};
use std::path::Path;

/// A checked scene with the text tree it was made from.
pub struct Loaded {
    pub scene: Scene,
    pub doc: Node,
}

/// Reads and checks a scene by its path or by its name on the shelf.
///
/// # Errors
/// Everything that is wrong with it, in the order of files and lines.
pub fn load(name: &str, changes: &[String]) -> Result<Loaded, Vec<Problem>> {
    load_from(&find(name)?, changes)
}

/// Reads and checks a scene.
///
/// # Errors
/// As [`load`].
pub fn load_from(source: &Source, changes: &[String]) -> Result<Loaded, Vec<Problem>> {
    let (doc, problems) = read_doc(source, changes, &mut ParsedFiles::default())?;
    checked(source, doc, problems)
}

/// The scene of a tree that was read from here, with the problems that reading it had.
fn checked(source: &Source, doc: Node, mut problems: Vec<Problem>) -> Result<Loaded, Vec<Problem>> {
    if let Some(Node { value: Value::Text(twin), place }) = doc.get("twin")
        && beside(source, twin.trim()).is_none()
    {
        problems.extend(problem(place.clone(), "twin", no_scene(twin)));
    }
    match scene_from_tree(&doc) {
        Ok(scene) if problems.is_empty() => Ok(Loaded { scene, doc }),
        Ok(_) => Err(problems),
        Err(more) => {
            problems.extend(more);
            Err(sorted(problems))
        }
    }
}

/// Checks a tree whose vehicle is in place.
///
/// # Errors
/// Everything that is wrong with it, in the order of files and lines.
pub fn scene_from_tree(doc: &Node) -> Result<Scene, Vec<Problem>> {
    match read_and_check(doc) {
        (Some(scene), problems) if problems.is_empty() => Ok(scene),
        (_, problems) => Err(problems),
    }
}

/// What a tree says as far as each field can be read, and everything that is wrong with
/// it. A scene with problems may be drawn, never played.
pub fn read_and_check(doc: &Node) -> (Option<Scene>, Vec<Problem>) {
    let problems = Problems::default();
    let scene = scene_reader::scene(doc, &problems);
    if let Some(scene) = &scene {
        rules::check(scene, doc, &problems);
    }
    // In any order of places the count of the others stays behind them.
    let told = problems.into_told(&doc.place, sorted);
    (scene, told)
}

/// A scene with problems, as far as it can be read: for the sheet, never to be played. What
/// cannot be read is left out, and a number or a choice has a stand-in.
pub struct Incomplete {
    pub scene: Scene,
    /// The path of each field that has a stand-in, and the scene with another one: a result
    /// that differs depends on that field.
    pub others: Vec<(String, Scene)>,
    pub problems: Vec<Problem>,
}

/// Reads a scene with problems. Its text must be well formed, and the vehicle must have at
/// least its outline: without them nothing can be worked out.
///
/// # Errors
/// Everything that is wrong with it, where not even that much can be read.
pub fn load_incomplete(name: &str, changes: &[String]) -> Result<Incomplete, Vec<Problem>> {
    /// The most fields with a stand-in that are told apart; more are too many for a sheet.
    const MOST: usize = 12;
    let source = find(name)?;
    let Err(problems) = load_from(&source, changes) else { return Err(Vec::new()) };
    let Ok((doc, _)) = read_doc(&source, changes, &mut ParsedFiles::default()) else {
        return Err(problems);
    };
    let read = |other: Option<(&str, f64)>| {
        let found = Problems::with_stand_ins(other);
        let scene = scene_reader::scene(&doc, &found);
        (scene, found.stood_in())
    };
    let (Some(scene), stood_in) = read(None) else { return Err(problems) };
    if stood_in.len() > MOST {
        return Err(problems);
    }
    let others = stood_in
        .into_iter()
        .flat_map(|path| {
            let other = |share| Some((path.clone(), read(Some((&path, share))).0?));
            OTHER_STAND_INS.into_iter().filter_map(other).collect::<Vec<_>>()
        })
        .collect();
    Ok(Incomplete { scene, others, problems })
}

/// The shelf by group, then by file name, so that twins may stand side by side; what
/// cannot be read comes last.
pub fn read_shelf() -> Vec<(Source, Result<Loaded, Vec<Problem>>)> {
    let mut files = ParsedFiles::default();
    let mut keyed: Vec<_> = scene_files()
        .into_iter()
        .map(|source| {
            let read = read_doc(&source, &[], &mut files);
            let group = read.as_ref().ok().and_then(|(doc, _)| match &doc.get("group")?.value {
                Value::Text(text) => Some(text.clone()),
                _ => None,
            });
            let key = (read.is_err(), group, source_path(&source));
            let loaded = read.and_then(|(doc, problems)| checked(&source, doc, problems));
            (key, (source, loaded))
        })
        .collect();
    keyed.sort_by(|(a, _), (b, _)| a.cmp(b));
    keyed.into_iter().map(|(_, scene)| scene).collect()
}

/// In the order of correction: by file and line, then the changes.
fn sorted(mut problems: Vec<Problem>) -> Vec<Problem> {
    fn key(problem: &Problem) -> (u8, &Path, usize, usize) {
        match &problem.place {
            Place::File { file, line, column } => (0, file.as_path(), *line, *column),
            Place::Change(text) => (1, Path::new(&**text), 0, 0),
            Place::Hand => (2, Path::new(""), 0, 0),
        }
    }
    problems.sort_by(|a, b| key(a).cmp(&key(b)));
    problems
}

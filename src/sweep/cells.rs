//! What is to be swept, and the scenes that each cell plays.

use super::grid::{Axis, Grid};
use super::identity;
use crate::digest::Digest;
use crate::scene::tree::{Node, Place, parse_change_value};
use crate::scene::{self, Problem, Scene, read_and_check, sampled, scene_from_tree};
use std::fmt;
use std::sync::Arc;

/// More samples of one cell add nothing.
pub const MOST_SAMPLES: usize = 10_000;
/// The field that names another file.
const VEHICLE: &str = "vehicle";

/// What is to be swept.
pub struct Sweep {
    pub grid: Grid,
    /// The scene as it is, with what is held fixed.
    pub scene: Scene,
    /// What was changed in it by hand.
    pub changes: Vec<String>,
    /// Samples of the scene's spread in each cell; none plays it as written.
    pub samples: Option<usize>,
    pub seed: u64,
    /// The scene's tree, one for each value of an axis that names another vehicle.
    trees: Vec<Node>,
    key: Key,
}

/// One number for all that a sweep is asked to play, and one for the physics that plays it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Key {
    pub sweep: u64,
    pub physics: u64,
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}-{:016x}", self.sweep, self.physics)
    }
}

impl Key {
    /// Whether a written key is of the same sweep, played by another build of the program.
    pub(super) fn differs_in_physics(&self, written: &str) -> bool {
        let sweep = written.split_once('-').map(|(sweep, _)| sweep);
        sweep == Some(&format!("{:016x}", self.sweep)) && written != self.to_string()
    }
}

impl Sweep {
    /// Reads the scene once; what is changed on disk afterwards is not seen.
    ///
    /// # Errors
    /// What is wrong with the scene as written, or with every corner of the grid.
    pub fn new(
        name: &str,
        changes: &[String],
        grid: Grid,
        samples: Option<usize>,
        seed: u64,
    ) -> Result<Self, Vec<Problem>> {
        let scene = scene::load(name, changes)?.scene;
        // Another vehicle is another file, which is put in place when the scene is read.
        let vehicles = grid.axes.iter().flat_map(|a| &a.fields).find(|(path, _)| path == VEHICLE);
        let trees = match vehicles {
            None => vec![scene::tree_of(name, changes)?],
            Some((path, values)) => values
                .iter()
                .map(|value| {
                    let more = [format!("{path}={value}")];
                    scene::tree_of(name, &[changes, &more].concat())
                })
                .collect::<Result<_, _>>()?,
        };
        let fields = || grid.axes.iter().flat_map(|axis| axis.fields.iter().map(|(path, _)| path));
        if let Some((one, other)) = overlapping(&trees[0], fields()) {
            let text = format!("is varied, and so is {other}, which is the same or a part of it");
            return Err(vec![Problem {
                place: Place::Change(format!("{one}=...").into()),
                path: one.to_owned(),
                text: (text + "; vary one of them").into(),
            }]);
        }
        // Values first: a misspelt path is found in two readings, and the corners of ten axes
        // would take a thousand. The key last, because it plays a short lift.
        values_can_be_read(&grid, &trees)?;
        corners_can_be_played(&grid, &trees)?;
        let key = key_of(&trees, &grid, samples, seed);
        Ok(Self { grid, scene, changes: changes.to_vec(), samples, seed, trees, key })
    }

    /// The scene's trees as read, with the places of all their values.
    pub fn trees(&self) -> &[Node] {
        &self.trees
    }

    /// The scene of a cell as written, without samples.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn scene_at(&self, cell: usize) -> Result<Scene, Vec<Problem>> {
        scene_from_tree(&tree_at(&self.grid, &self.trees, &self.grid.place(cell))?)
    }

    /// The scenes that a cell plays.
    ///
    /// # Errors
    /// What is wrong with the cell's scene.
    pub(super) fn scenes(&self, cell: usize) -> Result<Vec<Scene>, Vec<Problem>> {
        let tree = tree_at(&self.grid, &self.trees, &self.grid.place(cell))?;
        match self.samples {
            None => Ok(vec![scene_from_tree(&tree)?]),
            // The same samples in every cell, so that cells differ by what is varied alone.
            Some(n) => (0..n as u64).map(|i| sampled(&tree, self.seed.wrapping_add(i))).collect(),
        }
    }

    /// All that decides the outcome of the cells, so that tables of two different sweeps, or
    /// of two builds that play differently, are never mixed.
    pub fn key(&self) -> Key {
        self.key
    }
}

/// Two of these paths that lead to the same field, or one into the other's.
fn overlapping<'a>(
    tree: &Node,
    paths: impl Iterator<Item = &'a String>,
) -> Option<(&'a str, &'a str)> {
    let mut seen: Vec<(&str, Vec<String>)> = Vec::new();
    for path in paths {
        let steps = tree.steps_of(path);
        let same = seen.iter().find(|(_, s)| s.starts_with(&steps) || steps.starts_with(s));
        if let Some((other, s)) = same {
            return Some(if s.len() < steps.len() { (other, path) } else { (path, other) });
        }
        seen.push((path, steps));
    }
    None
}

/// A misspelt path is wrong in every cell; a stack too tall for the vehicle only in some.
fn corners_can_be_played(grid: &Grid, trees: &[Node]) -> Result<(), Vec<Problem>> {
    let axes = grid.axes.len();
    let mut first = None;
    for corner in 0..1_usize << axes {
        let ends = grid.axes.iter().enumerate();
        let place: Vec<usize> =
            ends.map(|(i, a)| if corner >> i & 1 == 1 { a.len() - 1 } else { 0 }).collect();
        match tree_at(grid, trees, &place).and_then(|tree| scene_from_tree(&tree)) {
            Ok(_) => return Ok(()),
            Err(problems) => first = first.or(Some(problems)),
        }
    }
    Err(first.unwrap_or_default())
}

/// A value that its field does not take is wrong in every cell that has it, and is told before
/// anything is played. What does not fit together is a refused cell.
fn values_can_be_read(grid: &Grid, trees: &[Node]) -> Result<(), Vec<Problem>> {
    let ends = [0, usize::MAX];
    for (i, axis) in grid.axes.iter().enumerate() {
        for value in 0..axis.len() {
            let at = |end: usize| -> Vec<usize> {
                let others = grid.axes.iter().enumerate();
                others.map(|(j, a)| if j == i { value } else { end.min(a.len() - 1) }).collect()
            };
            let unread = |end| match tree_at(grid, trees, &at(end)) {
                Ok(tree) => match read_and_check(&tree) {
                    (None, problems) => Some(problems),
                    (Some(_), _) => None,
                },
                Err(problems) => Some(problems),
            };
            let [first, last] = ends.map(unread);
            if let (Some(problems), Some(_)) = (first, last) {
                return Err(problems);
            }
        }
    }
    Ok(())
}

/// The tree of the cell at a place on the axes: one index for each.
fn tree_at(grid: &Grid, trees: &[Node], place: &[usize]) -> Result<Node, Vec<Problem>> {
    let axes = || grid.axes.iter().zip(place);
    let names_vehicle = |axis: &Axis, i| axis.changes(i).any(|(path, _)| path == VEHICLE);
    let vehicle = axes().find_map(|(axis, &i)| names_vehicle(axis, i).then_some(i));
    let mut tree = trees[vehicle.unwrap_or(0)].clone();
    for (path, value) in axes().flat_map(|(axis, &i)| axis.changes(i)) {
        if path == VEHICLE {
            continue;
        }
        let whole: Arc<str> = format!("{path}={value}").into();
        let node = parse_change_value(value, &whole);
        tree.set(path, node).map_err(|why| {
            let text = why.to_string().into();
            vec![Problem { place: Place::Change(whole), path: path.to_owned(), text }]
        })?;
    }
    Ok(tree)
}

fn key_of(trees: &[Node], grid: &Grid, samples: Option<usize>, seed: u64) -> Key {
    let mut digest = Digest::new();
    digest.count(trees.len() as u64);
    for tree in trees {
        digest.count(tree.digest(&[]));
    }
    digest.count(grid.axes.len() as u64);
    for axis in &grid.axes {
        digest.count(axis.fields.len() as u64);
        for (path, values) in &axis.fields {
            digest.text(path).count(values.len() as u64);
            for value in values {
                digest.text(value);
            }
        }
    }
    // No sweep has zero samples, so that zero may stand for a scene played as written.
    digest.count(samples.unwrap_or(0) as u64).count(samples.map_or(0, |_| seed));
    Key { sweep: digest.number(), physics: identity::of_physics() }
}

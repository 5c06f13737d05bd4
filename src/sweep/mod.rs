//! A scene over a grid of values: each cell is that scene with some fields changed, played
//! to its end as `run` plays it, once or over samples of what the scene does not know for
//! sure. A table in grid order, and a map of where the lift stops holding.
//!
//! What a cell gives depends on the cell alone: never on how many threads play them, in
//! which order they finish, or whether the sweep was cut short and taken up again.

mod grid;
mod journal;
mod map;
mod marks;
mod play;
#[cfg(feature = "view")]
mod raster;
mod table;

pub use grid::{Axis, Grid, Scale};
pub use play::{Share, Told};
#[cfg(feature = "view")]
pub use raster::write_png;
pub use table::{BROKEN, Row, Table};

use crate::scene::doc::{Node, Place, Value, parse_set_value};
use crate::scene::{self, Problem, Scene, sampled, scene_from_doc};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

/// More samples of one cell tell nothing new.
pub const MOST_SAMPLES: usize = 10_000;

/// What is to be swept.
pub struct Sweep {
    pub grid: Grid,
    /// The scene as it is, with what is held fixed.
    pub scene: Scene,
    /// What was changed in it by hand.
    pub sets: Vec<String>,
    /// Samples of the scene's spread in each cell; none plays it as written.
    pub samples: Option<usize>,
    pub seed: u64,
    /// The scene's tree, one for each value of an axis that names another vehicle.
    trees: Vec<Node>,
}

impl Sweep {
    /// Reads the scene once; what is changed on disk afterwards is not seen.
    ///
    /// # Errors
    /// What is wrong with the scene as written, or with every corner of the grid.
    pub fn new(
        name: &str,
        sets: &[String],
        grid: Grid,
        samples: Option<usize>,
        seed: u64,
    ) -> Result<Self, Vec<Problem>> {
        let scene = scene::load(name, sets)?.scene;
        // Another vehicle is another file, which is put in place when the scene is read.
        let vehicles = grid.axes.iter().flat_map(|a| &a.fields).find(|(path, _)| path == VEHICLE);
        let trees = match vehicles {
            None => vec![scene::doc_of(name, sets)?],
            Some((path, values)) => values
                .iter()
                .map(|value| {
                    let more = [format!("{path}={value}")];
                    scene::doc_of(name, &[sets, &more].concat())
                })
                .collect::<Result<_, _>>()?,
        };
        let sweep = Self { grid, scene, sets: sets.to_vec(), samples, seed, trees };
        sweep.corners_can_be_played()?;
        Ok(sweep)
    }

    /// A misspelt path is wrong in every cell; a stack too tall for the vehicle only in some.
    fn corners_can_be_played(&self) -> Result<(), Vec<Problem>> {
        let axes = self.grid.axes.len();
        let mut first = None;
        for corner in 0..1_usize << axes {
            let ends = self.grid.axes.iter().enumerate();
            let place: Vec<usize> =
                ends.map(|(i, a)| if corner >> i & 1 == 1 { a.len() - 1 } else { 0 }).collect();
            match self.tree(&place).and_then(|tree| scene_from_doc(&tree)) {
                Ok(_) => return Ok(()),
                Err(problems) => first = first.or(Some(problems)),
            }
        }
        Err(first.unwrap_or_default())
    }

    fn tree(&self, place: &[usize]) -> Result<Node, Vec<Problem>> {
        let axes = || self.grid.axes.iter().zip(place);
        let vehicle = axes()
            .find_map(|(axis, &i)| axis.sets(i).any(|(path, _)| path == VEHICLE).then_some(i));
        let mut tree = self.trees[vehicle.unwrap_or(0)].clone();
        for (path, value) in axes().flat_map(|(axis, &i)| axis.sets(i)) {
            if path == VEHICLE {
                continue;
            }
            let whole: Arc<str> = format!("{path}={value}").into();
            let node = parse_set_value(value, &whole);
            tree.set(path, node).map_err(|why| {
                vec![Problem {
                    place: Place::Set(whole),
                    path: path.to_owned(),
                    text: why.to_string().into(),
                }]
            })?;
        }
        Ok(tree)
    }

    /// The scene of a cell as written, without samples.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn scene_at(&self, cell: usize) -> Result<Scene, Vec<Problem>> {
        scene_from_doc(&self.tree(&self.grid.place(cell))?)
    }

    /// The scenes that a cell plays.
    ///
    /// # Errors
    /// What is wrong with the cell's scene.
    fn scenes(&self, cell: usize) -> Result<Vec<Scene>, Vec<Problem>> {
        let tree = self.tree(&self.grid.place(cell))?;
        match self.samples {
            None => Ok(vec![scene_from_doc(&tree)?]),
            // The same samples in every cell, so that cells differ by what is varied alone.
            Some(n) => (0..n as u64).map(|i| sampled(&tree, self.seed.wrapping_add(i))).collect(),
        }
    }

    /// One number for all that decides the outcome of the cells, so that tables of two
    /// different sweeps are never mixed.
    pub fn key(&self) -> u64 {
        let mut hasher = DefaultHasher::new();
        env!("CARGO_PKG_VERSION").hash(&mut hasher);
        for tree in &self.trees {
            hash_values(tree, &mut hasher);
        }
        for (path, values) in self.grid.axes.iter().flat_map(|axis| &axis.fields) {
            (path, values).hash(&mut hasher);
        }
        self.grid.axes.len().hash(&mut hasher);
        (self.samples, self.samples.map(|_| self.seed)).hash(&mut hasher);
        hasher.finish()
    }
}

const VEHICLE: &str = "vehicle";

/// What is written, not where.
fn hash_values(node: &Node, hasher: &mut DefaultHasher) {
    match &node.value {
        Value::Text(text) => (0_u8, text).hash(hasher),
        Value::Number(number) => (1_u8, number.to_bits()).hash(hasher),
        Value::Flag(flag) => (2_u8, flag).hash(hasher),
        Value::Nothing => 3_u8.hash(hasher),
        Value::List(items) => {
            (4_u8, items.len()).hash(hasher);
            items.iter().for_each(|item| hash_values(item, hasher));
        }
        Value::Table(fields) => {
            (5_u8, fields.len()).hash(hasher);
            for (name, node) in fields {
                name.hash(hasher);
                hash_values(node, hasher);
            }
        }
    }
}

//! What several jobs share: the options of a scene, reading it, playing it.

use super::failure::{Failure, MET, NOT_MET, OUR_FAULT};
use super::outputs::files_of;
use crate::debrief::{self, Debrief, FrameRetention};
use crate::scene::tree::Node;
use crate::scene::{self, Loaded, Outcome, Problem};
use crate::shelf::ShelfScene;
use crate::units::UnitSystem;
use clap::{Args, ValueEnum};
use indicatif::{ProgressBar, ProgressStyle};
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::Arc;

#[derive(Args, Default)]
pub struct Common {
    /// Change a field of the scene; may be given again. Lists by name or index
    #[arg(long = "change", value_name = "PATH=VALUE")]
    pub changes: Vec<String>,
    /// Units of what is shown
    #[arg(long, value_enum, default_value_t = Units::Si)]
    pub units: Units,
}

#[derive(Clone, Copy, Default, ValueEnum)]
pub(super) enum Units {
    #[default]
    Si,
    Us,
}

impl From<Units> for UnitSystem {
    fn from(units: Units) -> Self {
        match units {
            Units::Si => Self::Si,
            Units::Us => Self::Us,
        }
    }
}

impl Common {
    pub fn load(&self, name: &str) -> Result<Loaded, Failure> {
        scene::load(name, &self.changes)
            .map_err(|problems| Failure::problems(&problems, self.units.into()))
    }

    /// The files that are read for some scenes, whether they are in order or not.
    pub fn files_read<'a>(&self, names: impl IntoIterator<Item = &'a String>) -> BTreeSet<PathBuf> {
        let tree = |name: &String| {
            scene::tree_of(name, &self.changes).or_else(|_| scene::tree_of(name, &[])).ok()
        };
        let trees: Vec<Node> = names.into_iter().filter_map(tree).collect();
        files_of(&trees)
    }
}

/// Plays a scene with a progress bar on stderr where that is a terminal. A start that cannot be
/// is a problem of the scene.
pub fn play(loaded: Loaded, units: UnitSystem, keep: FrameRetention) -> Result<Debrief, Failure> {
    let scene = Arc::new(loaded.scene);
    let bar = bar(scene.orders.len(), "{msg} [{bar:30}] order {pos} of {len}");
    let debrief = debrief::play(scene, units, keep, &mut |t_s, orders| {
        bar.set_position(orders as u64);
        bar.set_message(format!("{t_s:.0} s simulated"));
    });
    bar.finish_and_clear();
    match &debrief.impossible {
        Some(jam) => Err(Failure::problems(&[jam.problem(&loaded.doc)], units)),
        None => Ok(debrief),
    }
}

/// Width and height as "1280x720".
pub fn width_and_height(text: &str) -> Option<[u32; 2]> {
    let (wide, high) = text.split_once('x')?;
    Some([wide.trim().parse().ok()?, high.trim().parse().ok()?])
}

/// A progress bar over this many items.
pub fn bar(count: usize, template: &str) -> ProgressBar {
    let bar = ProgressBar::new(count as u64);
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style);
    }
    bar
}

/// The exit code of a lift that was played.
pub fn verdict(debrief: &Debrief) -> u8 {
    match (debrief.broken, debrief.outcome) {
        (true, _) => OUR_FAULT,
        (_, Outcome::Lifted) => MET,
        _ => NOT_MET,
    }
}

/// Every scene that can be read, and the problems of those that cannot.
pub fn read_shelf() -> (Vec<ShelfScene>, Vec<Problem>) {
    let mut good = Vec::new();
    let mut bad = Vec::new();
    for (source, read) in scene::read_shelf() {
        match read {
            Ok(loaded) => good.push(ShelfScene { source, loaded }),
            Err(problems) => bad.extend(problems),
        }
    }
    (good, bad)
}

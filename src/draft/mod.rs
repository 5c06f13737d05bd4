//! A set-up that is being built: a scene's tree with a hand's edits on it. Every edit
//! makes a new tree, which is read and checked like a file, so that what does not fit is
//! told in the words of the scene's own rules. Keeps every step for undo and redo, and
//! writes the set-up to disk. Never simulates, never draws.

mod edit;
mod field;
pub mod keep;
mod names;
pub mod order;
mod place;
mod snap;

pub use edit::Edit;
pub use field::{Entry, Field, fields, from_typed, in_units, sole_parts, to_typed};
pub use snap::{Snap, snap};

use crate::scene::doc::{Node, Place, Value};
use crate::scene::{self, Problem, Scene};
use crate::units::System;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What a set-up is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    Stack,
    Bag,
    Wedge,
    Beam,
    Capture,
    VoidFill,
    Chock,
    Outlet,
    Limb,
    /// Cylinder and regulator.
    Air,
    Ground,
}

impl Kind {
    /// What a crew brings, in the order in which it is listed.
    pub const BROUGHT: [Self; 8] = [
        Self::Stack,
        Self::Bag,
        Self::Wedge,
        Self::Beam,
        Self::Capture,
        Self::VoidFill,
        Self::Chock,
        Self::Outlet,
    ];
    /// What is there before anything is brought.
    pub const FOUND: [Self; 3] = [Self::Limb, Self::Air, Self::Ground];

    /// The way to it in a scene's tree.
    fn way(self) -> &'static [&'static str] {
        match self {
            Self::Stack => &["stacks"],
            Self::Bag => &["bags"],
            Self::Wedge => &["wedges"],
            Self::Beam => &["beam"],
            Self::Capture => &["captures"],
            Self::VoidFill => &["void_fill"],
            Self::Chock => &["chocks"],
            Self::Outlet => &["air", "outlets"],
            Self::Limb => &["casualty"],
            Self::Air => &["air"],
            Self::Ground => &["ground"],
        }
    }

    /// There is at most one, without a name.
    pub fn single(self) -> bool {
        matches!(self, Self::Beam | Self::Air | Self::Ground)
    }

    pub fn noun(self) -> &'static str {
        match self {
            Self::Stack => "stack",
            Self::Bag => "bag",
            Self::Wedge => "wedge",
            Self::Beam => "beam",
            Self::Capture => "capture",
            Self::VoidFill => "void fill",
            Self::Chock => "chock",
            Self::Outlet => "hose",
            Self::Limb => "limb",
            Self::Air => "air supply",
            Self::Ground => "ground",
        }
    }
}

/// One thing of a set-up, by its kind and its place in the scene's list of that kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Item {
    pub kind: Kind,
    pub index: usize,
}

impl Item {
    pub fn new(kind: Kind, index: usize) -> Self {
        Self { kind, index }
    }

    /// Its values in a tree; none where it is not written there.
    pub fn node(self, doc: &Node) -> Option<&Node> {
        let here = self.kind.way().iter().try_fold(doc, |node, key| node.get(key))?;
        match &here.value {
            _ if self.kind.single() => Some(here).filter(|n| n.value != Value::Nothing),
            Value::List(items) => items.get(self.index),
            _ => None,
        }
    }

    /// What it is called.
    pub fn name(self, doc: &Node) -> String {
        let named = || match &self.node(doc)?.get("name")?.value {
            Value::Text(name) => Some(name.trim().to_owned()),
            _ => None,
        };
        named().unwrap_or_else(|| self.kind.noun().to_owned())
    }

    /// The middle of it on the ground, m, where it has one that can be read.
    pub fn at(self, doc: &Node) -> Option<[f64; 2]> {
        let Value::List(pair) = &self.node(doc)?.get("at")?.value else { return None };
        let [x, z] = pair.as_slice() else { return None };
        let length = |node: &Node| match &node.value {
            Value::Text(text) => crate::units::parse(text, crate::units::Dimension::Length).ok(),
            _ => None,
        };
        Some([length(x)?, length(z)?])
    }
}

/// A value that was put there by hand.
fn hand(value: Value) -> Node {
    Node { place: Place::Hand, value }
}

fn text(text: impl Into<String>) -> Node {
    hand(Value::Text(text.into()))
}

/// A length as it is written into a scene: to the tenth of a millimetre, or to the
/// hundredth of an inch.
pub fn length_text(units: System, m: f64) -> String {
    let trimmed = |value: f64, digits: usize| {
        let text = format!("{value:.digits$}");
        let text = text.trim_end_matches('0').trim_end_matches('.').to_owned();
        if text == "-0" { "0".to_owned() } else { text }
    };
    match units {
        System::Si => format!("{} m", trimmed(m, 4)),
        System::Us => format!("{} in", trimmed(m / 0.0254, 2)),
    }
}

/// One state of the set-up, and what led to it.
#[derive(Clone)]
struct Step {
    doc: Node,
    said: String,
}

/// A set-up with everything that was done to it.
pub struct Draft {
    steps: Vec<Step>,
    at: usize,
    /// What an unfinished drag makes of it.
    trial: Option<Node>,
    /// As it was when it was opened or last saved.
    saved: Node,
    /// The file that it is saved into, once it has one.
    path: Option<PathBuf>,
    seen: Seen,
}

/// A set-up as it was last read.
#[derive(Clone)]
pub struct Seen {
    /// The latest state of which every field could be read. With problems it can be
    /// drawn, not played.
    pub scene: Arc<Scene>,
    /// Whether `scene` is the present state.
    pub current: bool,
    pub problems: Vec<Problem>,
}

impl Seen {
    /// The scene, where nothing is wrong with it.
    pub fn ready(&self) -> Option<&Arc<Scene>> {
        (self.current && self.problems.is_empty()).then_some(&self.scene)
    }

    /// Whether a problem belongs to a thing.
    pub fn faulty(&self, doc: &Node, item: Item) -> bool {
        let named = if item.kind.single() {
            item.kind.way().join(".")
        } else {
            format!("{}.{}", item.kind.way().join("."), item.name(doc))
        };
        let numbered = format!("{}.{}", item.kind.way().join("."), item.index);
        self.problems.iter().any(|p| {
            [&named, &numbered].into_iter().any(|own| {
                p.path == *own
                    || p.path.strip_prefix(own.as_str()).is_some_and(|r| r.starts_with('.'))
            })
        })
    }
}

impl Draft {
    /// Begins with a tree whose fields can all be read.
    ///
    /// # Errors
    /// What cannot be read.
    pub fn new(doc: Node) -> Result<Self, Vec<Problem>> {
        let (scene, problems) = scene::look(&doc);
        let Some(scene) = scene else { return Err(problems) };
        let seen = Seen { scene: Arc::new(scene), current: true, problems };
        let first = Step { doc: doc.clone(), said: String::new() };
        Ok(Self { steps: vec![first], at: 0, trial: None, saved: doc, path: None, seen })
    }

    /// A set-up that was never saved: whatever becomes of it counts as unsaved.
    pub fn unsaved(mut self) -> Self {
        self.saved = hand(Value::Nothing);
        self
    }

    /// The present tree, with an unfinished drag in it.
    pub fn doc(&self) -> &Node {
        self.trial.as_ref().unwrap_or(&self.steps[self.at].doc)
    }

    pub fn seen(&self) -> &Seen {
        &self.seen
    }

    /// Does an edit. Gives the thing that it made or touched.
    ///
    /// # Errors
    /// Why it cannot be done; nothing is changed then.
    pub fn edit(&mut self, edit: &Edit, both: bool, units: System) -> Result<Option<Item>, String> {
        self.trial = None;
        let base = &self.steps[self.at].doc;
        let (doc, item) = edit.apply(base, &self.seen.scene, both, units)?;
        if edit::same_set_up(&doc, base) {
            self.look();
            // Whoever asks for these sees nothing come of it.
            return match edit {
                Edit::Turn(_) | Edit::Centre(_) => {
                    Err("it stands so already: that changes nothing".into())
                }
                _ => Ok(item),
            };
        }
        let said = edit.say(base);
        self.steps.truncate(self.at + 1);
        self.steps.push(Step { doc, said });
        self.at += 1;
        self.look();
        Ok(item)
    }

    /// Shows what an edit would make of the set-up, as while something is dragged.
    pub fn try_out(&mut self, edit: &Edit, both: bool, units: System) {
        let base = &self.steps[self.at].doc;
        let tried = edit.apply(base, &self.seen.scene, both, units).ok().map(|(doc, _)| doc);
        let tried = tried.filter(|doc| !edit::same_set_up(doc, base));
        if tried != self.trial {
            self.trial = tried;
            self.look();
        }
    }

    /// Goes back to the state before the last edit. Gives what was undone.
    pub fn undo(&mut self) -> Option<String> {
        self.trial = None;
        let said = (self.at > 0).then(|| self.steps[self.at].said.clone());
        self.at = self.at.saturating_sub(1);
        self.look();
        said
    }

    pub fn redo(&mut self) -> Option<String> {
        self.trial = None;
        let next = self.steps.get(self.at + 1)?;
        let said = next.said.clone();
        self.at += 1;
        self.look();
        Some(said)
    }

    /// What undo and redo would do.
    pub fn undoes(&self) -> [Option<&str>; 2] {
        let said = |at: usize| self.steps.get(at).map(|s| s.said.as_str());
        [(self.at > 0).then(|| said(self.at)).flatten(), said(self.at + 1)]
    }

    /// Whether there is something that no file holds.
    pub fn dirty(&self) -> bool {
        self.steps[self.at].doc != self.saved
    }

    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Things of a kind, in the scene's order.
    pub fn items(&self, kind: Kind) -> Vec<Item> {
        items(self.doc(), kind)
    }

    /// Writes the set-up as a scene file and goes on with that file.
    ///
    /// # Errors
    /// One sentence that says why it could not be written.
    pub fn save(&mut self, path: &Path, name: &str) -> Result<(), String> {
        let mut doc = self.steps[self.at].doc.clone();
        doc.set("name", text(name))?;
        keep::write(path, &scene::text_of(&doc, path)).map_err(|why| why.to_string())?;
        if doc != self.steps[self.at].doc {
            self.steps[self.at].doc = doc.clone();
            self.look();
        }
        self.saved = doc;
        self.path = Some(path.to_owned());
        Ok(())
    }

    fn look(&mut self) {
        let (scene, problems) = scene::look(self.doc());
        self.seen.problems = problems;
        self.seen.current = scene.is_some();
        if let Some(scene) = scene {
            self.seen.scene = Arc::new(scene);
        }
    }
}

fn items(doc: &Node, kind: Kind) -> Vec<Item> {
    if kind.single() {
        let there = kind != Kind::Beam || Item::new(kind, 0).node(doc).is_some();
        return there.then_some(Item::new(kind, 0)).into_iter().collect();
    }
    let list = kind.way().iter().try_fold(doc, |node, key| node.get(key));
    let count = match list.map(|n| &n.value) {
        Some(Value::List(items)) => items.len(),
        _ => 0,
    };
    (0..count).map(|index| Item::new(kind, index)).collect()
}

/// A scene from nothing: a vehicle on its roof and one trapped limb where there is room
/// for it.
///
/// # Errors
/// What is wrong with that vehicle.
pub fn from_nothing(vehicle: &str) -> Result<Draft, Vec<Problem>> {
    let text = format!(
        "(name: \"New set-up\", teaches: \"A set-up of one's own.\", \
         data: \"Invented for training.\", vehicle: {vehicle:?}, casualty: [(name: \"lower leg\", \
         at: [\"0 m\", \"0.4 m\"], thickness: \"125 mm\", gap_needed: \"150 mm\")])"
    );
    let doc = scene::doc_of_text(&text)?;
    Draft::new(place::limb_where_there_is_room(&doc)).map(Draft::unsaved)
}

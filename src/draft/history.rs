//! A set-up with everything that was done to it: edits, undo, redo, saving.

use super::edit::{self, Edit};
use super::error::EditError;
use super::item::{Item, ItemKind, hand, items, text};
use super::place;
use crate::scene::schema::scene::NAME;
use crate::scene::tree::{Node, Value};
use crate::scene::{self, Problem, Scene};
use crate::units::UnitSystem;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// One state of the set-up, and what led to it.
#[derive(Clone)]
struct UndoStep {
    doc: Node,
    said: String,
}

/// A set-up with everything that was done to it.
pub struct Draft {
    steps: Vec<UndoStep>,
    at: usize,
    /// What an unfinished drag makes of it.
    trial: Option<Node>,
    /// As it was when it was opened or last saved.
    saved: Node,
    /// The file that it is saved into, once it has one.
    path: Option<PathBuf>,
    seen: LastRead,
}

/// A set-up as it was last read.
#[derive(Clone)]
pub struct LastRead {
    /// The latest state of which every field could be read. With problems it can be
    /// drawn, not played.
    pub scene: Arc<Scene>,
    /// Whether `scene` is the present state.
    pub current: bool,
    pub problems: Vec<Problem>,
}

impl LastRead {
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
        let (scene, problems) = scene::read_and_check(&doc);
        let Some(scene) = scene else { return Err(problems) };
        let seen = LastRead { scene: Arc::new(scene), current: true, problems };
        let first = UndoStep { doc: doc.clone(), said: String::new() };
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

    pub fn seen(&self) -> &LastRead {
        &self.seen
    }

    /// Does an edit. Gives the thing that it made or touched.
    ///
    /// # Errors
    /// Why it cannot be done; nothing is changed then.
    pub fn edit(
        &mut self,
        edit: &Edit,
        both: bool,
        units: UnitSystem,
    ) -> Result<Option<Item>, EditError> {
        self.trial = None;
        let base = &self.steps[self.at].doc;
        let (doc, item) = edit.apply(base, &self.seen.scene, both, units)?;
        if edit::same_set_up(&doc, base) {
            self.reread();
            // These have no visible effect, so the user is told.
            return match edit {
                Edit::Turn(_) | Edit::Centre(_) => Err(EditError::ChangesNothing),
                _ => Ok(item),
            };
        }
        let said = edit.say(base);
        self.steps.truncate(self.at + 1);
        self.steps.push(UndoStep { doc, said });
        self.at += 1;
        self.reread();
        Ok(item)
    }

    /// Shows what an edit would make of the set-up, as while something is dragged.
    pub fn try_out(&mut self, edit: &Edit, both: bool, units: UnitSystem) {
        let base = &self.steps[self.at].doc;
        let tried = edit.apply(base, &self.seen.scene, both, units).ok().map(|(doc, _)| doc);
        let tried = tried.filter(|doc| !edit::same_set_up(doc, base));
        if tried != self.trial {
            self.trial = tried;
            self.reread();
        }
    }

    /// Goes back to the state before the last edit. Gives what was undone.
    pub fn undo(&mut self) -> Option<String> {
        self.trial = None;
        let said = (self.at > 0).then(|| self.steps[self.at].said.clone());
        self.at = self.at.saturating_sub(1);
        self.reread();
        said
    }

    pub fn redo(&mut self) -> Option<String> {
        self.trial = None;
        let next = self.steps.get(self.at + 1)?;
        let said = next.said.clone();
        self.at += 1;
        self.reread();
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
    pub fn items(&self, kind: ItemKind) -> Vec<Item> {
        items(self.doc(), kind)
    }

    /// The present tree under another name.
    pub(super) fn named(&self, name: &str) -> Node {
        let mut doc = self.steps[self.at].doc.clone();
        // A tree that was read is a group of fields, which takes any.
        let _ = doc.set(NAME.key(), text(name));
        doc
    }

    /// Goes on with a file that holds a tree.
    pub(super) fn goes_on_with(&mut self, path: &Path, doc: Node) {
        if doc != self.steps[self.at].doc {
            self.steps[self.at].doc = doc.clone();
            self.reread();
        }
        self.saved = doc;
        self.path = Some(path.to_owned());
    }

    fn reread(&mut self) {
        let (scene, problems) = scene::read_and_check(self.doc());
        self.seen.problems = problems;
        self.seen.current = scene.is_some();
        if let Some(scene) = scene {
            self.seen.scene = Arc::new(scene);
        }
    }
}

/// A scene from nothing: a vehicle on its roof, and somebody in it with one trapped limb where
/// there is room for it, so that the ground beside the vehicle is free.
///
/// # Errors
/// What is wrong with that vehicle.
pub fn from_nothing(vehicle: &str) -> Result<Draft, Vec<Problem>> {
    let text = format!(
        "(name: \"New set-up\", teaches: \"A set-up of one's own.\", \
         data: \"Invented for training.\", vehicle: {vehicle:?}, people: [(name: \"driver\", \
         at: [\"0.86 m\", \"-0.12 m\"], head_towards: \"140 deg\", inside: true)], \
         casualty: [(name: \"forearm\", part: \"forearm\", at: [\"0 m\", \"0.4 m\"], \
         thickness: \"95 mm\", gap_needed: \"145 mm\")])"
    );
    let doc = scene::tree_of_text(&text)?;
    Draft::new(place::limb_where_there_is_room(&doc)).map(Draft::unsaved)
}

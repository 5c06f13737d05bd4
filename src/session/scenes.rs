//! What a session can open: the scenes on the shelf, the user's own among them, set-ups that
//! were left unsaved, and vehicles to begin with. And where a user's files are.

use crate::draft::Draft;
use crate::draft::keep::{self, AutosavedDraft};
use crate::scene::tree::Node;
use crate::scene::{self, Loaded, Scene, vehicle_names};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use web_time::SystemTime;

/// Where a session keeps a user's own scenes, and what is not saved yet.
#[derive(Clone, Debug)]
pub struct Folders {
    /// Where set-ups are saved.
    pub scenes: PathBuf,
    /// Where unsaved ones are kept; `None` keeps nothing.
    pub unsaved: Option<PathBuf>,
    /// The log of attempts at tasks; `None` keeps nothing.
    pub attempts: Option<PathBuf>,
}

impl Folders {
    /// Why what is set up cannot be kept, if it cannot.
    pub(super) fn why_unkept(&self) -> Option<String> {
        match &self.unsaved {
            Some(folder) => keep::try_out(folder).err().map(|why| why.to_string()),
            None => Some("there is no folder for it".to_owned()),
        }
    }

    /// Everything below one folder.
    pub fn below(dir: &Path) -> Self {
        Self {
            scenes: dir.join("scenes"),
            unsaved: Some(dir.join("unsaved")),
            attempts: Some(dir.join("attempts.jsonl")),
        }
    }

    /// The user's scenes are those on the shelf already.
    fn are_the_shelf(&self) -> bool {
        self.scenes == Path::new(scene::FOLDER)
    }
}

/// What there is to open.
pub struct Scenes {
    scenes: Vec<Arc<Scene>>,
    /// What each scene was read from.
    docs: Vec<Node>,
    unsaved: Vec<AutosavedDraft>,
    vehicles: Vec<String>,
    folders: Folders,
    chosen: usize,
}

impl Scenes {
    /// The shelf, and what a user has in these folders; what of it cannot be read, if
    /// anything, in one sentence.
    pub(super) fn new(
        shelf: Vec<Loaded>,
        folders: Folders,
        now: SystemTime,
    ) -> (Self, Option<String>) {
        let (scenes, docs) = shelf.into_iter().map(|l| (Arc::new(l.scene), l.doc)).unzip();
        let (unsaved, vehicles) = (Vec::new(), vehicle_names());
        let mut all = Self { scenes, docs, unsaved, vehicles, folders, chosen: 0 };
        all.look_for_unsaved(now);
        let damaged = all.folders.unsaved.as_deref().and_then(keep::first_damaged);
        let unread = all.look_for_own().or(damaged);
        (all, unread)
    }

    /// Puts what the user has saved at the end of the shelf, unless it comes from the shelf's
    /// own folder; gives what of it cannot be read, if anything.
    fn look_for_own(&mut self) -> Option<String> {
        if self.folders.are_the_shelf() {
            return None;
        }
        let mut unread = None;
        for source in scene::files_in(&self.folders.scenes) {
            match scene::load_from(&source, &[]) {
                Ok(loaded) => self.shelve(vec![loaded]),
                Err(problems) => {
                    let first = problems.into_iter().next();
                    unread = first.map(|p| format!("A scene of yours cannot be used. {p}"));
                }
            }
        }
        unread
    }

    /// Puts scenes at the end of the shelf.
    pub(super) fn shelve(&mut self, new: Vec<Loaded>) {
        for Loaded { scene, doc } in new {
            self.scenes.push(Arc::new(scene));
            self.docs.push(doc);
        }
    }

    /// Looks again for set-ups that were left unsaved.
    pub(super) fn look_for_unsaved(&mut self, now: SystemTime) {
        let folder = self.folders.unsaved.as_deref();
        self.unsaved = folder.map(|folder| keep::list(folder, now)).unwrap_or_default();
    }

    /// The scenes on the shelf, in its order.
    pub fn all(&self) -> &[Arc<Scene>] {
        &self.scenes
    }

    /// What a scene of the shelf was read from.
    pub fn doc(&self, index: usize) -> Option<&Node> {
        self.docs.get(index)
    }

    /// Set-ups that were left unsaved, the latest first.
    pub fn unsaved(&self) -> &[AutosavedDraft] {
        &self.unsaved
    }

    /// Vehicles to begin with from nothing, by their names.
    pub fn vehicles(&self) -> &[String] {
        &self.vehicles
    }

    /// Where the user's files are.
    pub fn folders(&self) -> &Folders {
        &self.folders
    }

    /// The place of the chosen scene on the shelf.
    pub fn chosen(&self) -> usize {
        self.chosen
    }

    /// Chooses a scene by its place; the last one beyond the end.
    pub(super) fn choose(&mut self, index: usize) {
        self.chosen = index.min(self.scenes.len().saturating_sub(1));
    }

    /// Chooses a scene by its name; the first where the shelf has none of this name.
    pub(super) fn choose_named(&mut self, name: &str) {
        self.chosen = self.scenes.iter().position(|s| s.name == name).unwrap_or(0);
    }

    /// A set-up that was saved stands on the shelf from now on.
    pub(super) fn shelve_saved(&mut self, draft: &Draft) {
        let (Some(_), Some(scene), false) = (draft.path(), draft.seen().ready(), draft.dirty())
        else {
            return;
        };
        let doc = draft.doc().clone();
        match self.scenes.iter().position(|s| s.name == scene.name) {
            Some(i) => (self.scenes[i], self.docs[i]) = (scene.clone(), doc),
            None => {
                self.scenes.push(scene.clone());
                self.docs.push(doc);
            }
        }
    }
}

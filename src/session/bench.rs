//! The set-up on the work bench: what is being built in the window, what is chosen, what is
//! dragged, and the yard that shows it. Turns what hands ask for into edits of a [`Draft`];
//! learns from the draft alone what cannot be done.

use super::background::{BackgroundTask, DriverFrame, TaskProgress};
use super::nudge::NudgeStep;
use super::open_error::OpenError;
use super::ray::Ray;
use super::scenes::Folders;
use super::set_up::Laying;
use super::shown::Shown;
use super::stage::Stage;
use crate::draft::keep::{self, Autosave};
use crate::draft::{Draft, Edit, Item, ItemKind, Snap, order, snap};
use crate::scene::tree::Node;
use crate::scene::{Scene, bodies};
use crate::snapshot::{PartId, PartKind};
use crate::statics::sheet::{self, Row, Sheet, rows_for_reading};
use crate::units::UnitSystem;
use crate::world::{Sight, Yard};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use web_time::SystemTime;

/// How far a thing that is dragged jumps to a line, m.
const REACH_M: f64 = 0.035;

/// What hands ask of the bench.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// An edit of the set-up.
    Edit(Edit),
    /// Bring a thing, onto what is chosen where that can carry it.
    Bring(ItemKind),
    /// Choose a thing, or none.
    Select(Option<Item>),
    /// The next thing that was brought, or the one before.
    Next(bool),
    /// To the plan of the lift, or back to the things.
    Planning(bool),
    /// An order of the plan, or none.
    Order(Option<usize>),
    /// Another plan, and the order that is chosen in it.
    Plan {
        /// The orders, as the scene file writes them.
        orders: Vec<Node>,
        /// The chosen one, by its place.
        chosen: Option<usize>,
    },
    /// Towards nose and left, in steps.
    Nudge([i32; 2]),
    /// More layers, or fewer.
    Layers(i32),
    /// Put the same as the chosen thing on the other side.
    Mirror,
    /// Put it onto the middle line.
    Centre,
    /// Turn it by a quarter.
    Turn,
    /// Take it away, or the chosen order.
    Remove,
    /// Do on both sides what is done on one, or on one only.
    Both,
    /// The next size of the steps.
    NextStep,
    /// Take the last edit back.
    Undo,
    /// Redo what was undone.
    Redo,
    /// A drag over the yard.
    Drag {
        /// The line of sight where it began.
        from: Option<Ray>,
        /// The line of sight where it is.
        to: Option<Ray>,
        /// The distance since the last report, points to the right and down: the camera turns
        /// by it where the drag holds nothing.
        by: [f32; 2],
        /// It ends here.
        done: bool,
    },
    /// Choose what a line of sight meets.
    Click(Option<Ray>),
    /// Save into its file, or ask for a name first.
    Save,
    /// Ask for a name to save under.
    SaveAs,
    /// Save under a name.
    SaveUnder(String),
    /// Go on without saving.
    NotNow,
}

/// A drag in progress.
#[derive(Clone, Debug)]
enum Drag {
    /// Nothing was under the pointer: the drag turns the camera.
    Camera,
    Thing {
        item: Item,
        height_m: f64,
        offset: [f64; 2],
    },
}

/// Vehicle, ground and limbs at rest, and the tree that says so.
struct Laid {
    base: RestInputs,
    yard: Yard,
}

/// What decides how the vehicle comes to rest.
type RestInputs = Vec<Option<Node>>;

/// The set-up that is being built.
pub struct Bench {
    /// The set-up itself, with what is wrong with it.
    pub draft: Draft,
    /// The chosen thing.
    pub selected: Option<Item>,
    /// The plan of the lift is being edited, not the set-up.
    pub planning: bool,
    /// The chosen order of the plan; nothing else is chosen then.
    pub order: Option<usize>,
    /// What is done on one side is done on the other.
    pub both: bool,
    nudge_step: NudgeStep,
    /// What was last refused or done, in words.
    pub note: Option<String>,
    /// A name is being asked for.
    pub naming: bool,
    /// What the chosen thing's coordinates have snapped to.
    pub snapped: Option<Snap>,
    /// Rows of the sheet for the last state without problems, in the units in use.
    pub rows: Vec<Row>,
    rows_of: Option<(Arc<Scene>, UnitSystem)>,
    laid: Option<Laid>,
    laying: Option<(RestInputs, BackgroundTask<Yard>)>,
    /// The yard as it is shown.
    yard: Option<Yard>,
    shown_of: Option<Arc<Scene>>,
    drag: Option<Drag>,
    keep: Option<Autosave>,
    /// Why what is set up cannot be kept, if it cannot.
    pub unkept: Option<String>,
    own_folder: PathBuf,
    /// The tree that the lift on the other stages was set up from.
    pub(super) lifted: Option<Node>,
}

/// That what is set up cannot be kept, and what to do.
pub(super) fn unkept_words(why: &str) -> String {
    format!("What is set up here is not kept: {why}. Export everything (F9) before you leave.")
}

fn base_of(doc: &Node) -> RestInputs {
    ["vehicle", "lies", "nose_down", "lashed", "ground", "casualty", "friction", "faults", "aims"]
        .map(|key| doc.get(key).cloned())
        .to_vec()
}

impl Bench {
    pub(super) fn new(draft: Draft, folders: &Folders, now: SystemTime) -> Self {
        // Told before the first edit.
        let unkept = folders.why_unkept();
        Self {
            draft,
            selected: None,
            planning: false,
            order: None,
            both: true,
            nudge_step: NudgeStep::default(),
            note: unkept.as_deref().map(unkept_words),
            unkept,
            naming: false,
            snapped: None,
            rows: Vec::new(),
            rows_of: None,
            laid: None,
            laying: None,
            yard: None,
            shown_of: None,
            drag: None,
            keep: folders.unsaved.as_deref().map(|folder| Autosave::new(folder, now)),
            own_folder: folders.scenes.clone(),
            lifted: None,
        }
    }

    /// Takes an unsaved set-up up again from where it was kept.
    pub(super) fn taken_up(
        path: &Path,
        folders: &Folders,
        now: SystemTime,
    ) -> Result<Self, OpenError> {
        let mut bench = Self::new(keep::take_up(path)?, folders, now);
        bench.keep = Some(Autosave::resume(path));
        Ok(bench)
    }

    /// The vehicle at rest, from where the scene is set up anyway.
    pub(super) fn lay(&mut self, doc: &Node, yard: Yard) {
        self.laid = Some(Laid { base: base_of(doc), yard });
        self.shown_of = None;
    }

    /// A laid yard for the present state, where there is one.
    pub(super) fn laid(&self) -> Option<&Yard> {
        let laid = self.laid.as_ref()?;
        (laid.base == base_of(self.draft.doc())).then_some(&laid.yard)
    }

    /// How far a key moves a thing, m.
    pub fn step_m(&self, units: UnitSystem) -> f64 {
        self.nudge_step.length_m(units)
    }

    /// Whether the lift on the other stages is another set-up than this one.
    pub fn changed(&self) -> bool {
        self.lifted.as_ref() != Some(self.draft.doc())
    }

    /// The file that a name stands for.
    pub fn file_for(&self, name: &str) -> PathBuf {
        self.own_folder.join(keep::file_name(name))
    }

    /// Does what was asked; true where the camera is to walk instead.
    pub(super) fn act(&mut self, ask: Ask, units: UnitSystem) -> bool {
        match ask {
            Ask::Edit(edit) => self.edit(&edit, units),
            Ask::Bring(kind) => {
                let on =
                    self.selected.filter(|i| matches!(i.kind, ItemKind::Stack | ItemKind::Bag));
                self.edit(&Edit::Add { kind, at: None, on }, units);
            }
            Ask::Select(item) => self.select(item),
            Ask::Planning(on) => {
                self.select(None);
                self.planning = on;
            }
            Ask::Order(index) => {
                self.select(None);
                self.order = index;
            }
            Ask::Plan { orders, chosen } => {
                self.edit(&Edit::Orders(orders), units);
                self.order = chosen;
            }
            Ask::Next(forwards) => self.select_next(forwards),
            Ask::Nudge(steps) => self.nudge(steps, units),
            Ask::Layers(more) => self.layers(more, units),
            Ask::Mirror => self.edit_chosen(Edit::Mirror, units),
            Ask::Centre => self.edit_chosen(Edit::Centre, units),
            Ask::Turn => self.edit_chosen(Edit::Turn, units),
            Ask::Remove if self.order.is_some() => {
                let mut orders = order::orders_in(self.draft.doc()).to_vec();
                if let Some(index) = self.order.take().filter(|i| *i < orders.len()) {
                    orders.remove(index);
                    self.edit(&Edit::Orders(orders), units);
                }
            }
            Ask::Remove => self.edit_chosen(Edit::Remove, units),
            Ask::Both => self.both = !self.both,
            Ask::NextStep => self.nudge_step = self.nudge_step.next(),
            Ask::Undo => {
                let undone = self.draft.undo();
                self.after(Some(undone.map_or_else(
                    || "There is nothing to undo.".into(),
                    |what| format!("Undone: {what}."),
                )));
            }
            Ask::Redo => {
                let done = self.draft.redo();
                self.after(Some(done.map_or_else(
                    || "There is nothing to do again.".into(),
                    |what| format!("Done again: {what}."),
                )));
            }
            Ask::Drag { from, to, done, .. } => return self.drag(from, to, done, units),
            Ask::Click(line) => {
                let item = line.and_then(|line| self.under(line)).map(|(item, _)| item);
                self.select(item);
            }
            Ask::Save => match self.draft.path().map(Path::to_owned) {
                Some(path) => {
                    let name = self.draft.seen().scene.name.clone();
                    self.save(&path, &name);
                }
                None => self.naming = true,
            },
            Ask::SaveAs => self.naming = true,
            Ask::SaveUnder(name) => {
                let path = self.file_for(&name);
                self.save(&path, &name);
            }
            Ask::NotNow => self.naming = false,
        }
        false
    }

    /// Chooses the thing after the chosen one, or the one before it; after the last comes the
    /// first.
    fn select_next(&mut self, forwards: bool) {
        let all: Vec<Item> =
            ItemKind::BROUGHT.into_iter().flat_map(|kind| self.draft.items(kind)).collect();
        let Some(last) = all.len().checked_sub(1) else { return };
        let at = self.selected.and_then(|item| all.iter().position(|i| *i == item));
        let next = match (at, forwards) {
            (Some(i), true) => (i + 1) % all.len(),
            (Some(i), false) => i.checked_sub(1).unwrap_or(last),
            (None, true) => 0,
            (None, false) => last,
        };
        self.select(Some(all[next]));
    }

    /// Moves the chosen thing by so many steps along X and Z.
    fn nudge(&mut self, steps: [i32; 2], units: UnitSystem) {
        let step = self.step_m(units);
        if let Some(item) = self.selected
            && let Some(at) = item.at(self.draft.doc())
        {
            let at = [0, 1].map(|k| at[k] + f64::from(steps[k]) * step);
            self.snapped = None;
            self.edit(&Edit::Move { item, at }, units);
        } else {
            self.note = Some("First choose something on the ground.".into());
        }
    }

    fn select(&mut self, item: Option<Item>) {
        self.selected = item;
        self.order = None;
        self.snapped = None;
        self.note = None;
    }

    fn edit_chosen(&mut self, edit: fn(Item) -> Edit, units: UnitSystem) {
        match self.selected {
            Some(item) => self.edit(&edit(item), units),
            None => self.note = Some("Choose something first.".into()),
        }
    }

    fn edit(&mut self, edit: &Edit, units: UnitSystem) {
        match self.draft.edit(edit, self.both, units) {
            Ok(item) => {
                if item.is_some() || matches!(edit, Edit::Remove(_) | Edit::Bare) {
                    self.selected = item;
                    self.order = None;
                }
                self.after(None);
            }
            Err(why) => {
                let why = why.to_string();
                let mut letters = why.chars();
                let first = letters.next().map(|c| c.to_uppercase().to_string());
                self.note = Some(format!("{}{}.", first.unwrap_or_default(), letters.as_str()));
            }
        }
    }

    fn layers(&mut self, more: i32, units: UnitSystem) {
        let Some(item) = self.selected else {
            self.note = Some("Choose a stack first.".into());
            return;
        };
        let scene = &self.draft.seen().scene;
        let now = match item.kind {
            ItemKind::Stack => scene.stacks.get(item.index).map(|s| s.layers),
            ItemKind::Capture => scene.captures.get(item.index).map(|c| c.layers),
            _ => None,
        };
        let Some(now) = now else {
            self.note = Some("Only stacks and captures have layers.".into());
            return;
        };
        let layers = (now as i32 + more).max(0);
        let value = crate::scene::tree::Value::Number(f64::from(layers));
        self.edit(&Edit::Set { item, key: "layers", value }, units);
    }

    /// After each change of the set-up: a chosen thing that is gone is no longer chosen, and an
    /// unsaved set-up is saved for recovery.
    fn after(&mut self, note: Option<String>) {
        self.note = note;
        if self.selected.is_some_and(|item| {
            item.node(self.draft.doc()).is_none() && !self.draft.items(item.kind).contains(&item)
        }) {
            self.selected = None;
        }
        self.order = self.order.filter(|i| *i < order::orders_in(self.draft.doc()).len());
        self.autosave();
    }

    fn autosave(&mut self) {
        let Some(keep) = &self.keep else { return };
        self.unkept = keep.update(&self.draft).err().map(|why| why.to_string());
        if let Some(why) = &self.unkept {
            self.note = Some(unkept_words(why));
        }
    }

    fn save(&mut self, path: &Path, name: &str) {
        self.naming = false;
        // The lift that was set up from this state still is.
        let same = !self.changed();
        match self.draft.save(path, name) {
            Ok(()) => {
                if same {
                    self.lifted = Some(self.draft.doc().clone());
                }
                self.autosave();
                self.note = Some(format!("Saved as {}.", path.display()));
            }
            Err(why) => self.note = Some(format!("Not saved: {why}.")),
        }
    }

    /// The thing under the pointer, and the height at which it is met, m.
    fn under(&self, line: Ray) -> Option<(Item, f64)> {
        let yard = self.yard.as_ref()?;
        let sight = yard.sight(line.from, line.towards);
        let far_m = sight.map_or(f64::INFINITY, |sight| {
            [0, 1, 2].map(|k| (sight.point[k] - line.from[k]).powi(2)).iter().sum::<f64>().sqrt()
        });
        if let Some(person) = self.person_under(line, far_m) {
            return Some((person, 0.0));
        }
        let sight = sight?;
        let item = item_of(yard.parts()[sight.part?].kind)?;
        Some((item, sight.point[1]))
    }

    /// Somebody under the pointer before anything else is met, `far_m` away: by what of the body
    /// is no trapped limb, since that is a thing of its own.
    fn person_under(&self, line: Ray, far_m: f64) -> Option<Item> {
        let scene = &self.draft.seen().scene;
        let named = bodies(scene).into_iter().take(scene.people.len()).enumerate();
        named
            .flat_map(|(i, body)| {
                let free = body.segments.into_iter().filter(|segment| segment.limb.is_none());
                free.filter_map(move |s| Some((i, s.met_m(line.from, line.towards)?)))
            })
            .filter(|(_, met_m)| *met_m < far_m)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(i, _)| Item::new(ItemKind::Person, i))
    }

    fn drag(&mut self, from: Option<Ray>, to: Option<Ray>, done: bool, units: UnitSystem) -> bool {
        if self.drag.is_none() {
            let grabbed = from.and_then(|line| {
                let (item, height_m) = self.under(line)?;
                let item = self.stands(item);
                let at = item.at(self.draft.doc())?;
                let hand = line.at_height(height_m)?;
                Some(Drag::Thing { item, height_m, offset: [at[0] - hand[0], at[1] - hand[1]] })
            });
            if let Some(Drag::Thing { item, .. }) = &grabbed {
                self.select(Some(*item));
            }
            self.drag = Some(grabbed.unwrap_or(Drag::Camera));
        }
        let held = self.drag.clone();
        if done {
            self.drag = None;
        }
        let Some(Drag::Thing { item, height_m, offset }) = held else { return true };
        if let Some(hand) = to.and_then(|line| line.at_height(height_m)) {
            let raw = [hand[0] + offset[0], hand[1] + offset[1]];
            let snap = snap(&self.draft.seen().scene, item, raw, REACH_M, units);
            let edit = Edit::Move { item, at: snap.at };
            if done {
                self.edit(&edit, units);
            } else {
                self.draft.try_out(&edit, self.both, units);
            }
            self.snapped = Some(snap);
        } else if done {
            // Released over the sky: it stays at the last place that was tried.
            let at = item.at(self.draft.doc());
            if let Some(at) = at {
                self.edit(&Edit::Move { item, at }, units);
            }
        }
        false
    }

    /// What is dragged with a thing: bags and wedges go with the stack under them.
    fn stands(&self, item: Item) -> Item {
        let scene = &self.draft.seen().scene;
        let mut rest = match item.kind {
            ItemKind::Bag => scene.bags.get(item.index).map(|b| b.on),
            ItemKind::Wedge => scene.wedges.get(item.index).map(|w| w.on),
            _ => None,
        };
        while let Some(crate::scene::CarriedBy::Bag(i)) = rest {
            rest = scene.bags.get(i).map(|b| b.on);
        }
        match rest {
            Some(crate::scene::CarriedBy::Stack(i)) => Item::new(ItemKind::Stack, i),
            _ => item,
        }
    }

    /// What a line of sight meets in the yard, and straight down there.
    pub(super) fn first_met(&mut self, line: Ray) -> Option<(Sight, [f64; 3])> {
        if self.yard.is_none() {
            let scene = self.draft.seen().scene.clone();
            self.yard = Some(self.laid()?.preview(scene));
        }
        let yard = self.yard.as_ref()?;
        Some((yard.sight(line.from, line.towards)?, yard.plumb()))
    }

    /// The parts of a thing in the yard shown.
    pub fn parts_of(&self, item: Item) -> Vec<PartId> {
        let Some(yard) = &self.yard else { return Vec::new() };
        (0..yard.parts().len()).filter(|&id| item_of(yard.parts()[id].kind) == Some(item)).collect()
    }

    /// Works the sheet out again where the set-up has changed and has no problems.
    pub(super) fn work_out(&mut self, units: UnitSystem) {
        let Some(scene) = self.draft.seen().ready() else { return };
        let fresh = self
            .rows_of
            .as_ref()
            .is_some_and(|(of, in_units)| Arc::ptr_eq(of, scene) && *in_units == units);
        // Not during a drag, which must stay smooth.
        if fresh || self.drag.is_some() {
            return;
        }
        let scene = scene.clone();
        self.rows = rows_for_reading(&Sheet::new(&scene, units).rows, units);
        self.rows_of = Some((scene, units));
    }

    /// Whether a row of the sheet is about the chosen thing.
    pub fn is_about_chosen(&self, row: &Row) -> bool {
        let chosen = self.selected.and_then(|i| part_of(i.kind, i.name(self.draft.doc())));
        chosen.is_some_and(|part| row.parts().contains(&part))
    }

    /// Whether the rows are those of the present state.
    pub fn rows_hold(&self) -> bool {
        let of = self.rows_of.as_ref().map(|(scene, _)| scene);
        self.draft.seen().ready().zip(of).is_some_and(|(now, of)| Arc::ptr_eq(now, of))
    }

    /// Lets the vehicle settle again where it must; true when it has just settled.
    fn lay_again(&mut self, frame: DriverFrame) -> bool {
        let base = base_of(self.draft.doc());
        let fits = self.laid.as_ref().is_some_and(|laid| laid.base == base);
        if fits || !self.draft.seen().current {
            return false;
        }
        if self.laying.as_ref().is_none_or(|(of, _)| *of != base) {
            let vehicle = Laying::new(self.draft.seen().scene.clone());
            self.laying = Some((base.clone(), BackgroundTask::spawn(vehicle)));
        }
        let Some((_, task)) = &mut self.laying else { return false };
        match task.next_result(frame) {
            TaskProgress::Result(yard) => {
                self.laying = None;
                self.laid = Some(Laid { base, yard });
                true
            }
            TaskProgress::Working => false,
            TaskProgress::Over => {
                self.note = Some("The vehicle does not settle like this.".into());
                false
            }
        }
    }

    /// Puts the bench's yard on screen; `fresh` where something else was there.
    pub(super) fn show(&mut self, shown: &mut Shown, fresh: bool, frame: DriverFrame) {
        let relaid = self.lay_again(frame);
        let scene = self.draft.seen().scene.clone();
        let same = self.shown_of.as_ref().is_some_and(|of| Arc::ptr_eq(of, &scene));
        if same && !fresh && !relaid {
            return;
        }
        let Some(laid) = &self.laid else { return };
        let yard = laid.yard.preview(scene.clone());
        let parts = Arc::new(yard.parts().to_vec());
        if relaid || fresh {
            shown.begin(scene.clone(), &parts, &yard.snapshot);
        } else if look_the_same(&shown.parts, &parts) {
            // Parts only moved: nothing is rebuilt.
            shown.snapshot.clone_from(&yard.snapshot);
            shown.scene = Some(scene.clone());
        } else {
            shown.bring(scene.clone(), &parts, &yard.snapshot);
        }
        self.yard = Some(yard);
        self.shown_of = Some(scene);
    }
}

/// A thing of the set-up as the sheet's rows name it; `None` where the sheet has no rows about
/// it.
fn part_of(kind: ItemKind, name: String) -> Option<sheet::RowPart> {
    use sheet::RowPart;
    match kind {
        ItemKind::Stack => Some(RowPart::Stack(name)),
        ItemKind::Bag => Some(RowPart::Bag(name)),
        ItemKind::Wedge => Some(RowPart::Wedge(name)),
        ItemKind::Capture => Some(RowPart::Capture(name)),
        ItemKind::VoidFill => Some(RowPart::VoidFill(name)),
        ItemKind::Limb => Some(RowPart::Limb(name)),
        ItemKind::StepChock => Some(RowPart::StepChock(name)),
        ItemKind::Strut => Some(RowPart::Strut(name)),
        ItemKind::Strap => Some(RowPart::Strap(name)),
        ItemKind::Beam
        | ItemKind::Chock
        | ItemKind::Outlet
        | ItemKind::Person
        | ItemKind::Air
        | ItemKind::Ground => None,
    }
}

/// Whether two lists of parts look the same apart from their places.
fn look_the_same(a: &[crate::snapshot::Part], b: &[crate::snapshot::Part]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.kind == b.kind && a.shape == b.shape)
}

/// The thing that a part belongs to.
fn item_of(kind: PartKind) -> Option<Item> {
    let (kind, index) = match kind {
        PartKind::StackTimber { stack, .. } | PartKind::Pad { stack, .. } => {
            (ItemKind::Stack, stack)
        }
        PartKind::BagFace { bag, .. } => (ItemKind::Bag, bag),
        PartKind::Wedge(i) => (ItemKind::Wedge, i),
        PartKind::Beam | PartKind::Shim | PartKind::BagPad(_) => (ItemKind::Beam, 0),
        PartKind::CaptureTimber { capture, .. } | PartKind::CaptureWedge(capture) => {
            (ItemKind::Capture, capture)
        }
        PartKind::VoidFill(i) => (ItemKind::VoidFill, i),
        PartKind::Chock(i) => (ItemKind::Chock, i),
        PartKind::StepChock(i) | PartKind::StepPacker(i) => (ItemKind::StepChock, i),
        PartKind::Strut(i) | PartKind::StrutFoot(i) => (ItemKind::Strut, i),
        PartKind::Limb(i) => (ItemKind::Limb, i),
        _ => return None,
    };
    Some(Item::new(kind, index))
}

/// What to do when the stage is changed with another set-up on the bench.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Leave {
    /// The lift is that of the bench.
    Go,
    /// The lift has to be set up from the bench first.
    Build,
    /// It cannot be set up; the problems are shown.
    Stay,
}

impl Bench {
    pub(super) fn leave(&mut self, to: Stage, units: UnitSystem) -> Leave {
        // A dragged thing is put down where it is shown.
        if let Some(Drag::Thing { item, .. }) = self.drag.take()
            && let Some(at) = item.at(self.draft.doc())
        {
            self.edit(&Edit::Move { item, at }, units);
        }
        if !self.changed() {
            return Leave::Go;
        }
        if self.draft.seen().ready().is_some() {
            return Leave::Build;
        }
        if to == Stage::SizeUp {
            return Leave::Go;
        }
        self.note = Some("Correct the problems first.".into());
        Leave::Stay
    }

    /// The scene and the laid yard for a new lift.
    pub(super) fn for_lift(&mut self) -> Option<(Arc<Scene>, Node, Option<Yard>)> {
        let scene = self.draft.seen().ready()?.clone();
        Some((scene, self.draft.doc().clone(), self.laid().cloned()))
    }
}

/// A scene with everything taken away that a crew brings.
///
/// # Errors
/// What of its vehicle, ground or casualty cannot be read.
pub fn bare(doc: &Node) -> Result<Draft, OpenError> {
    let mut draft = Draft::new(doc.clone()).map_err(OpenError::Bare)?;
    draft.edit(&Edit::Bare, false, UnitSystem::Si)?;
    // A new draft, so that no undo brings the author's set-up back.
    let cleared = Draft::new(draft.doc().clone()).map_err(OpenError::Bare)?;
    Ok(cleared.unsaved())
}

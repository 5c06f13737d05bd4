//! A task as plain data.

use crate::scene::schema::scene as field;
use crate::scene::tree::{Node, parse_change_value};
use crate::scene::{Scene, choice, scene_from_tree};
use std::sync::Arc;

/// What takes the place of a lift that there is no good one of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StopReason {
    /// Hold what there is and wait.
    Wait,
    /// Bring what is not on the truck.
    MoreKit,
    /// Another way than this lift.
    AnotherWay,
}

impl StopReason {
    pub const WORDS: &[(&str, Self)] =
        &[("wait", Self::Wait), ("more_kit", Self::MoreKit), ("another_way", Self::AnotherWay)];

    /// As one reads it.
    pub fn say(self) -> &'static str {
        match self {
            Self::Wait => "Hold what there is and wait",
            Self::MoreKit => "More kit is needed than is on the truck",
            Self::AnotherWay => "Another way than this lift",
        }
    }
}

/// One change that makes it hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// PATH=VALUE.
    pub change: String,
    /// The same in words.
    pub say: String,
}

/// What a task's file says comes of it. A test and `inchwise task --play` hold it against lifts.
pub enum WayOut {
    /// Changes after which it holds, and the scene with them.
    Mend { mends: Vec<Mend>, scene: Arc<Scene> },
    /// Nothing on the truck makes it hold.
    NoGoodLift { why: StopReason, say: String },
}

/// The first two hints in the instructor's own words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OwnHints {
    pub look: Option<String>,
    pub number: Option<String>,
}

/// A task.
pub struct LiftTask {
    /// Its file name, without the ending.
    pub file: String,
    pub name: String,
    pub brief: String,
    /// The scene's file name, without the ending.
    pub scene_file: String,
    /// The set-up as it is handed out: with the task's title and brief in the place of what the
    /// scene says of itself, and with the truck's kit.
    pub scene: Arc<Scene>,
    /// What that was read from.
    pub doc: Node,
    /// The scene with its own words, which are told afterwards.
    pub lesson: Arc<Scene>,
    pub way_out: WayOut,
    pub hints: OwnHints,
}

/// What a crew brings and does: what may be changed in a task.
const BROUGHT: [&str; 12] = [
    field::STACKS.key(),
    field::VOID_FILL.key(),
    field::CHOCKS.key(),
    field::STEP_CHOCKS.key(),
    field::STRUTS.key(),
    field::STRAPS.key(),
    field::CAPTURES.key(),
    field::BAGS.key(),
    field::WEDGES.key(),
    field::BEAM.key(),
    field::AIR.key(),
    field::ORDERS.key(),
];

impl LiftTask {
    /// What the truck is called.
    pub fn kit(&self) -> &str {
        self.scene.kit.as_ref().map_or("", |kit| &kit.name)
    }

    /// What a set-up differs in from the one that was handed out, as paths.
    pub fn changes(&self, doc: &Node) -> Vec<String> {
        choice(&self.doc, doc)
    }

    /// The set-up with some changes, each PATH=VALUE; none where they cannot be made.
    pub fn with(&self, changes: &[String]) -> Option<Scene> {
        let mut doc = self.doc.clone();
        for change in changes {
            let (path, value) = change.split_once('=')?;
            let node = parse_change_value(value, &change.as_str().into());
            doc.set(path.trim(), node).ok()?;
        }
        scene_from_tree(&doc).ok()
    }

    /// Whether a set-up leaves as it is what was found there: vehicle, ground, casualty, truck.
    pub fn leaves_what_is_found(&self, doc: &Node) -> bool {
        let is_brought = |path: &String| {
            let first = path.split('.').next().unwrap_or_default();
            BROUGHT.contains(&first)
        };
        self.changes(doc).iter().all(is_brought)
    }

    /// What is done last: the changes that mend it, or that there are none.
    pub fn last_hint(&self) -> String {
        match &self.way_out {
            WayOut::Mend { mends, .. } => {
                let said: Vec<&str> = mends.iter().map(|mend| mend.say.as_str()).collect();
                format!("Change this: {}", said.join(" "))
            }
            WayOut::NoGoodLift { say, .. } => {
                format!("Nothing on this truck makes it hold: stop and say why. {say}")
            }
        }
    }
}

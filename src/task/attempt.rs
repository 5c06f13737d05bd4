//! One attempt at a task: what was said before, what came of it, what had been changed. A line of
//! the log; it has a seat's number and no name.

use super::model::{LiftTask, StopReason, WayOut};
use super::prediction::{Happened, Prediction};
use crate::debrief::Debrief;
use crate::scene::Scene;
use crate::statics::sheet::{RowGroup, Sheet, Verdict};
use crate::units::UnitSystem;
use serde::{Deserialize, Serialize};

/// An attempt as the log keeps it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Attempt {
    /// When it was over, seconds since the beginning of 1970.
    pub at_s: u64,
    /// The number of the seat.
    pub seat: u32,
    /// The task by its file's name, and its title.
    pub task: String,
    pub title: String,
    /// The scene by its file's name.
    pub scene: String,
    /// What was changed in the set-up that was handed out, as paths.
    pub changes: Vec<String>,
    /// How many hints had been taken.
    pub hints: usize,
    pub came: Came,
    /// How long it took on the clock, s, since the attempt before or since the task was begun.
    pub took_s: f64,
}

/// What came of an attempt.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Came {
    /// It was lifted.
    Lifted(Box<Lifted>),
    /// It was stopped before a lift, and said why.
    Stopped { why: StopReason },
}

/// A lift beside what was said of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lifted {
    pub said: Prediction,
    pub happened: Happened,
    /// The outcome's word.
    pub outcome: String,
    /// Points of practice that were not kept.
    pub practice: Vec<String>,
    /// How the casualty lies at the end.
    pub casualty: String,
    /// What the set-up takes more of than the truck has.
    pub short: Vec<String>,
    /// How long the lift took, s.
    pub lift_s: f64,
}

impl Lifted {
    /// A lift that was played, beside what was said of it.
    pub fn new(said: Prediction, debrief: &Debrief, units: UnitSystem) -> Self {
        let scene = &*debrief.scene;
        let practice = debrief.practice.as_ref();
        Self {
            said,
            happened: Happened::of(debrief, units),
            outcome: debrief.outcome.word().to_owned(),
            practice: practice
                .map(|practice| practice.points.iter().map(|p| p.say(scene, units)).collect())
                .unwrap_or_default(),
            casualty: practice.and_then(|practice| practice.say_casualty()).unwrap_or_default(),
            short: kit_short(scene, units),
            lift_s: debrief.sim_s,
        }
    }

    /// It came off, with what is on the truck.
    pub fn holds(&self) -> bool {
        self.outcome == crate::scene::Outcome::Lifted.word() && self.short.is_empty()
    }
}

/// What a set-up takes more of than its truck has, in words.
pub fn kit_short(scene: &Scene, units: UnitSystem) -> Vec<String> {
    let rows = Sheet::new(scene, units).rows.into_iter();
    let short =
        rows.filter(|row| row.group == RowGroup::Kit && row.verdict() == Some(Verdict::Fails));
    short.map(|row| format!("{}: {}", row.what(), row.note)).collect()
}

/// What the task knows of an answer to stop, in words.
pub fn say_stop(task: &LiftTask, why: StopReason) -> Vec<String> {
    let said = format!("You said: {}.", why.say().to_lowercase());
    match &task.way_out {
        WayOut::NoGoodLift { why: known, say } => {
            vec![said, format!("The task says: {}. {say}", known.say().to_lowercase())]
        }
        WayOut::Mend { .. } => vec![
            said,
            "That is never wrong while you see no sound lift. Here what is on the truck is enough \
             for one that holds in this model: look again, or take the hints."
                .to_owned(),
        ],
    }
}

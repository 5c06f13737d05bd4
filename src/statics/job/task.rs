//! A task, and what tasks take where nobody has timed them.

use crate::scene::{Drill, TaskKind};

/// One thing that some of the crew do together.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    pub kind: Option<TaskKind>,
    /// The part that it is done to; empty where there is one of its kind.
    pub part: String,
    /// The order that asks for it, by its index; none before and after the lift.
    pub order: Option<usize>,
    /// How many people it takes; none where who is in command does it.
    pub people: usize,
    /// The shortest and the longest time, s.
    pub range_s: [f64; 2],
    /// Tasks that must be done before, by their place in the list; all of them stand earlier.
    pub after: Vec<usize>,
}

impl Task {
    /// Done at the controller, which one of the crew does not leave during the lift.
    pub fn at_controller(&self) -> bool {
        self.order.is_some() && matches!(self.kind, Some(TaskKind::Raise) | None)
    }
}

impl TaskKind {
    /// How many people one of them takes (common practice, no source).
    pub fn people(self) -> usize {
        match self {
            Self::SizeUp | Self::Agree => 0,
            Self::Reach
            | Self::Chock
            | Self::Strap
            | Self::AirSupply
            | Self::Bag
            | Self::Block
            | Self::Raise
            | Self::LockOut
            | Self::MoveHose => 1,
            Self::MakeSafe
            | Self::LayOut
            | Self::Stake
            | Self::Strut
            | Self::Packing
            | Self::StackTimber
            | Self::Glass
            | Self::Shims
            | Self::Capture => 2,
            Self::Beam | Self::BringOut => 4,
        }
    }

    /// The range that it is taken to need, s (all assumed, until a crew's own drills are timed).
    pub fn assumed_s(self) -> [f64; 2] {
        match self {
            Self::LayOut => [180.0, 300.0],
            Self::MakeSafe | Self::Beam | Self::BringOut => [120.0, 300.0],
            Self::AirSupply => [120.0, 240.0],
            Self::SizeUp
            | Self::Reach
            | Self::Packing
            | Self::Stake
            | Self::Glass
            | Self::Strut => [60.0, 180.0],
            Self::Shims => [60.0, 180.0],
            Self::Capture | Self::Strap | Self::Agree => [30.0, 90.0],
            Self::Chock | Self::Bag | Self::Block | Self::Raise => [20.0, 60.0],
            Self::MoveHose => [10.0, 20.0],
            Self::StackTimber | Self::LockOut => [5.0, 15.0],
        }
    }

    /// The range that a crew was timed at, else the assumed one; whether it was timed.
    pub fn range_s(self, drills: &[Drill]) -> ([f64; 2], bool) {
        let drill = drills.iter().find(|drill| drill.task == self);
        drill.map_or((self.assumed_s(), false), |drill| (drill.range_s, true))
    }
}

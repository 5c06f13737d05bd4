//! A task, and what tasks take where nobody has timed them.

use crate::scene::{Drill, TaskKind};

/// One thing that some of the crew do together.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// None for what an order of the lift does by itself: filling, waiting.
    pub kind: Option<TaskKind>,
    /// The part that it is done to; empty where there is one of its kind.
    pub part: String,
    /// The order that asks for it, by its index; none before the lift.
    pub order: Option<usize>,
    /// People that it takes.
    pub hands: usize,
    /// The shortest and the longest time, s.
    pub range_s: [f64; 2],
    /// Tasks that must be done before, by their place in the list; all of them stand earlier.
    pub after: Vec<usize>,
}

impl TaskKind {
    /// People that one of them takes (common practice, no source).
    pub fn hands(self) -> usize {
        match self {
            Self::SizeUp
            | Self::Chock
            | Self::AirSupply
            | Self::Bag
            | Self::Block
            | Self::LockOut
            | Self::MoveHose => 1,
            Self::Stake | Self::Packing | Self::StackTimber | Self::Shims | Self::Capture => 2,
            Self::Beam => 4,
        }
    }

    /// The range that it is taken to need, s (all assumed, until a crew's own drills are timed).
    pub fn assumed_s(self) -> [f64; 2] {
        match self {
            Self::SizeUp | Self::Packing | Self::AirSupply | Self::Stake => [60.0, 180.0],
            Self::Chock | Self::Bag | Self::Block | Self::MoveHose => [20.0, 60.0],
            Self::StackTimber => [5.0, 15.0],
            Self::Beam => [120.0, 300.0],
            Self::Shims => [60.0, 120.0],
            Self::Capture => [30.0, 90.0],
            Self::LockOut => [5.0, 15.0],
        }
    }

    /// The range that a crew was timed at, else the assumed one; whether it was timed.
    pub fn range_s(self, drills: &[Drill]) -> ([f64; 2], bool) {
        let drill = drills.iter().find(|drill| drill.task == self);
        drill.map_or((self.assumed_s(), false), |drill| (drill.range_s, true))
    }
}

//! The crew: how many hands it has, and what it was timed at.

/// How many work at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Crew {
    pub hands: usize,
}

/// A kind of work, by the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum TaskKind {
    SizeUp,
    Chock,
    Stake,
    /// Packing of one place up to the vehicle.
    Packing,
    /// One timber or board of a stack or of a capture crib.
    StackTimber,
    AirSupply,
    Bag,
    Block,
    Beam,
    Shims,
    /// One capture crib, followed up to the load.
    Capture,
    LockOut,
    MoveHose,
}

impl TaskKind {
    /// Every kind with the word for it in a file.
    pub const WORDS: [(&'static str, Self); 13] = [
        ("size up", Self::SizeUp),
        ("chock", Self::Chock),
        ("stake", Self::Stake),
        ("packing", Self::Packing),
        ("stack timber", Self::StackTimber),
        ("air supply", Self::AirSupply),
        ("bag", Self::Bag),
        ("block", Self::Block),
        ("beam", Self::Beam),
        ("shims", Self::Shims),
        ("capture", Self::Capture),
        ("lock out", Self::LockOut),
        ("move hose", Self::MoveHose),
    ];
}

/// A task as a crew was timed at it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drill {
    pub task: TaskKind,
    /// The shortest and the longest of its times, s.
    pub range_s: [f64; 2],
}

//! The crew: how many people work, and what they were timed at.

/// Who works, beside who is in command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CrewSize {
    pub people: usize,
}

/// A kind of work, by the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum TaskKind {
    SizeUp,
    MakeSafe,
    LayOut,
    /// Someone is with the casualty, who is protected.
    Reach,
    Chock,
    Stake,
    Strut,
    /// One strap or chain, made fast and drawn tight.
    Strap,
    /// Packing of one place up to the vehicle.
    Packing,
    /// One timber or board of a stack or of a capture crib.
    StackTimber,
    AirSupply,
    Bag,
    Block,
    /// The windows that a beam passes through are cleared.
    Glass,
    Beam,
    Shims,
    /// Release is agreed with the medics, and all stand clear, before the first air.
    Agree,
    /// One order to raise or lower: told, inched, stopped, looked at from both sides.
    Raise,
    /// One capture crib, followed up to the load.
    Capture,
    LockOut,
    MoveHose,
    BringOut,
}

impl TaskKind {
    /// Every kind with the word for it in a file.
    pub const WORDS: [(&'static str, Self); 22] = [
        ("size up", Self::SizeUp),
        ("make safe", Self::MakeSafe),
        ("lay out", Self::LayOut),
        ("reach casualty", Self::Reach),
        ("chock", Self::Chock),
        ("stake", Self::Stake),
        ("strut", Self::Strut),
        ("strap", Self::Strap),
        ("packing", Self::Packing),
        ("stack timber", Self::StackTimber),
        ("air supply", Self::AirSupply),
        ("bag", Self::Bag),
        ("block", Self::Block),
        ("glass", Self::Glass),
        ("beam", Self::Beam),
        ("shims", Self::Shims),
        ("agree release", Self::Agree),
        ("raise", Self::Raise),
        ("capture", Self::Capture),
        ("lock out", Self::LockOut),
        ("move hose", Self::MoveHose),
        ("bring out", Self::BringOut),
    ];
}

/// A task as a crew was timed at it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drill {
    pub task: TaskKind,
    /// The shortest and the longest of its times, s.
    pub range_s: [f64; 2],
}

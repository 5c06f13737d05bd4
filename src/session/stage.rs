//! The stages of a rehearsal.

/// The stages of a rehearsal, in turn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Stage {
    /// Walk round the vehicle, measure, ask.
    #[default]
    SizeUp,
    /// Bring and place what lifts, holds and follows; plan the lift.
    SetUp,
    /// Lift it.
    Lift,
    /// See what came of it.
    LookBack,
}

impl Stage {
    /// Each with its name.
    pub const ALL: [(Stage, &str); 4] = [
        (Stage::SizeUp, "Size up"),
        (Stage::SetUp, "Set up"),
        (Stage::Lift, "Lift"),
        (Stage::LookBack, "Look back"),
    ];

    /// What is done in it.
    pub fn about(self) -> &'static str {
        match self {
            Self::SizeUp => "Walk round it, measure, ask",
            Self::SetUp => "Place what lifts, holds and follows; plan the lift",
            Self::Lift => "Levers, gauges, capture, and why it holds",
            Self::LookBack => "What happened, over time",
        }
    }
}

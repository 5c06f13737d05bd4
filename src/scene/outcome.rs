//! How a lift ends, and what can go wrong in it.

/// What the author of a scene expects to happen. Only ever compared with the outcome.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Expect {
    pub outcome: Outcome,
    pub cause: Option<Cause>,
}

/// How a lift ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Every aim met, every order carried out, and nothing went wrong.
    Lifted,
    /// Something went wrong.
    Failed,
    /// Nothing went wrong, but an aim was not reached or an order could not be done.
    Incomplete,
}

impl Outcome {
    pub const WORDS: &[(&str, Self)] =
        &[("lifted", Self::Lifted), ("failed", Self::Failed), ("incomplete", Self::Incomplete)];

    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, o)| *o == self).map_or("", |(w, _)| w)
    }
}

/// What the officer does once something has gone wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OnFailure {
    /// Calls stop: every valve is shut, and no further order is carried out.
    Stop,
    /// Lets it run: the crew goes on, until all is at rest, and it is seen what the failure
    /// comes to.
    LetRun,
}

impl OnFailure {
    pub const WORDS: &[(&str, Self)] = &[("stop", Self::Stop), ("let run", Self::LetRun)];

    pub fn other(self) -> Self {
        match self {
            Self::Stop => Self::LetRun,
            Self::LetRun => Self::Stop,
        }
    }
}

/// What can go wrong in a lift.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The vehicle moves over the ground.
    Slide,
    /// The vehicle rolls about its length past the limit.
    Roll,
    /// A bag or a pad leaves its seat, or a step chock slides from where it was set.
    KickOut,
    /// A stack leans and comes down.
    Topple,
    /// The load comes down with nothing under it.
    Drop,
    /// A trapped limb carries more than at the start.
    CasualtyLoad,
    /// A bag is asked for more force or height than it has.
    BagOverload,
    /// A base goes down into the ground.
    Sink,
    /// Timber is crushed across the grain.
    Crush,
    /// A strut slides at its foot, bears more than it may, folds or comes loose.
    Strut,
    /// A strap pulls more than it may, parts, drags its anchor or comes slack.
    Strap,
    /// The beam carries more than it may, cracks or breaks.
    Beam,
}

impl Cause {
    pub const WORDS: &[(&str, Self)] = &[
        ("slide", Self::Slide),
        ("roll", Self::Roll),
        ("kick_out", Self::KickOut),
        ("topple", Self::Topple),
        ("drop", Self::Drop),
        ("casualty_load", Self::CasualtyLoad),
        ("bag_overload", Self::BagOverload),
        ("sink", Self::Sink),
        ("crush", Self::Crush),
        ("strut", Self::Strut),
        ("strap", Self::Strap),
        ("beam", Self::Beam),
    ];

    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, c)| *c == self).map_or("", |(w, _)| w)
    }

    /// What happens, as a sentence without its stop.
    pub fn say(self) -> &'static str {
        match self {
            Self::Slide => "The vehicle slides",
            Self::Roll => "The vehicle rolls",
            Self::KickOut => "Something kicks out",
            Self::Topple => "A stack topples",
            Self::Drop => "The load drops",
            Self::CasualtyLoad => "Load on casualty increased",
            Self::BagOverload => "A bag is at its limit",
            Self::Sink => "Crib base sinks",
            Self::Crush => "Timber is crushed",
            Self::Strut => "A strut does not hold",
            Self::Strap => "A strap does not hold",
            Self::Beam => "The beam is overloaded",
        }
    }
}

//! A scene's lesson: its twin, the text shown after the lift with the run's own numbers, and
//! the number that decides. Nothing that plays or judges a lift reads it.

use super::outcome::Cause;

/// A scene as a lesson. What it teaches is [`super::Scene::teaches`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lesson {
    /// File name, without its ending, of the scene that differs in one choice and ends
    /// the other way.
    pub twin: Option<String>,
    /// Said after the lift.
    pub after: Vec<TextPiece>,
    /// The number that decides; it has a limit.
    pub decides: Option<LessonNumber>,
    /// Small differences decide: mass, friction or place within their spreads may turn it.
    pub near: bool,
}

/// A text with places for numbers.
#[derive(Clone, Debug, PartialEq)]
pub enum TextPiece {
    Words(String),
    Number(LessonNumber),
}

/// A number of a played lift, such as "casualty_load of lower leg" or "lean of tail".
#[derive(Clone, Debug, PartialEq)]
pub struct LessonNumber {
    pub what: LessonQuantity,
    /// The part it is read at; without one, the part where it came nearest to its limit.
    pub of: Option<String>,
}

/// What can be read off a played lift.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LessonQuantity {
    /// How far a failure came, and its limit.
    Came(Cause),
    /// The limit of that.
    Limit(Cause),
    /// Gap at a limb at the end, against the gap that it needs.
    Gap,
    /// Load on a limb before the lift.
    StartLoad,
    /// Largest load on a stack or a capture.
    Load,
    /// How far a stack's top moved.
    Lean,
    /// Least distance of a stack's thrust line inside its bearing corners.
    Thrust,
    /// Largest height, pressure, force and tilt of a bag.
    Height,
    Pressure,
    Force,
    Tilt,
    /// Largest rise over the lift points.
    Rise,
    /// When the first thing that went wrong was noticed; without one, how long it took.
    Time,
}

impl LessonQuantity {
    pub const WORDS: &[(&str, Self)] = &[
        ("gap", Self::Gap),
        ("start load", Self::StartLoad),
        ("load", Self::Load),
        ("lean", Self::Lean),
        ("thrust", Self::Thrust),
        ("height", Self::Height),
        ("pressure", Self::Pressure),
        ("force", Self::Force),
        ("tilt", Self::Tilt),
        ("rise", Self::Rise),
        ("time", Self::Time),
    ];

    /// By its word.
    pub fn read(word: &str) -> Option<Self> {
        let cause = |word: &str| Cause::WORDS.iter().find(|(w, _)| *w == word).map(|(_, c)| *c);
        match word.strip_prefix("limit of ") {
            Some(word) => cause(word).map(Self::Limit),
            None => cause(word)
                .map(Self::Came)
                .or_else(|| Self::WORDS.iter().find(|(w, _)| *w == word).map(|(_, what)| *what)),
        }
    }

    /// Whether it is measured against a limit, so that it can decide.
    pub fn has_limit(self) -> bool {
        matches!(self, Self::Came(_) | Self::Gap)
    }
}

//! What a scene is there to show: its twin, what is said after the lift with the run's
//! own numbers, and the number that decides. Nothing here is known to what plays or
//! judges a lift.

use super::Cause;
use super::read::Fields;

/// A scene as a lesson. What it teaches before the lift is [`super::Scene::teaches`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lesson {
    /// File name, without its ending, of the scene that differs in one choice and ends
    /// the other way.
    pub twin: Option<String>,
    /// Said after the lift.
    pub after: Vec<Piece>,
    /// The number that decides; it has a limit.
    pub decides: Option<Measure>,
    /// Small differences decide: mass, friction or place within their spreads may turn it.
    pub near: bool,
}

/// A text with places for numbers.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    Words(String),
    Number(Measure),
}

/// A number of a played lift, such as "casualty_load of lower leg" or "lean of tail".
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    pub what: What,
    /// The part it is read at; without one, the part where it came nearest to its limit.
    pub of: Option<String>,
}

/// What can be read off a played lift.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
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

impl What {
    const WORDS: &[(&str, Self)] = &[
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

    fn read(word: &str) -> Option<Self> {
        let cause = |word: &str| Cause::WORDS.iter().find(|(w, _)| *w == word).map(|(_, c)| *c);
        match word.strip_prefix("limit of ") {
            Some(word) => cause(word).map(Self::Limit),
            None => cause(word)
                .map(Self::Came)
                .or_else(|| Self::WORDS.iter().find(|(w, _)| *w == word).map(|(_, what)| *what)),
        }
    }

    /// Whether it is measured against a limit, so that it can decide.
    fn has_limit(self) -> bool {
        matches!(self, Self::Came(_) | Self::Gap)
    }
}

/// What the parts of a scene are called, by their kind.
pub(super) struct Names<'a> {
    pub limbs: Vec<&'a str>,
    pub stacks: Vec<&'a str>,
    pub captures: Vec<&'a str>,
    pub bags: Vec<&'a str>,
}

impl Names<'_> {
    /// The names that a measure can be read at; none where any part will do.
    fn of(&self, what: What) -> Option<Vec<&str>> {
        Some(match what {
            What::Came(_) | What::Limit(_) | What::Rise | What::Time => return None,
            What::Gap | What::StartLoad => self.limbs.clone(),
            What::Load => self.stacks.iter().chain(&self.captures).copied().collect(),
            What::Lean | What::Thrust => self.stacks.clone(),
            What::Height | What::Pressure | What::Force | What::Tilt => self.bags.clone(),
        })
    }

    fn measure(&self, text: &str) -> Result<Measure, String> {
        let text = text.trim();
        // "limit of kick_out of tail": the part comes behind the last measure word.
        let (word, of) = match What::read(text) {
            Some(_) => (text, None),
            None => {
                let split =
                    text.match_indices(" of ").find(|(at, _)| What::read(&text[..*at]).is_some());
                match split {
                    Some((at, of)) => (&text[..at], Some(text[at + of.len()..].trim())),
                    None => (text, None),
                }
            }
        };
        let Some(what) = What::read(word) else {
            let words = What::WORDS.iter().map(|(w, _)| *w);
            let known: Vec<_> = words.chain(Cause::WORDS.iter().map(|(w, _)| *w)).collect();
            return Err(format!(
                "\"{text}\" is no number of a lift; write MEASURE or MEASURE of PART, or limit of \
                 CAUSE, with one of {}",
                known.join(", ")
            ));
        };
        if let Some(known) = self.of(what)
            && !of.is_some_and(|of| known.contains(&of))
        {
            let mend = match known.as_slice() {
                [] => "the scene has none".to_owned(),
                known => format!("choose from {}", known.join(", ")),
            };
            return Err(format!("\"{text}\" needs the part that it is read at; {mend}"));
        }
        Ok(Measure { what, of: of.map(str::to_owned) })
    }

    /// Takes a text apart at its `{...}` places.
    fn pieces(&self, text: &str) -> Result<Vec<Piece>, String> {
        let mut pieces = Vec::new();
        let mut rest = text;
        while let Some((words, behind)) = rest.split_once('{') {
            let Some((place, tail)) = behind.split_once('}') else {
                return Err("a `{` is never closed; write {MEASURE of PART}".into());
            };
            pieces.push(Piece::Words(words.to_owned()));
            pieces.push(Piece::Number(self.measure(place)?));
            rest = tail;
        }
        pieces.push(Piece::Words(rest.to_owned()));
        Ok(pieces)
    }
}

/// Reads the lesson's own fields.
pub(super) fn lesson(f: &Fields<'_>, names: &Names<'_>) -> Option<Lesson> {
    let optional = |key| if f.has(key) { f.text(key).map(Some) } else { Some(None) };
    let (twin, after, decides) = (optional("twin"), optional("after"), optional("decides"));
    let near = f.flag("near", false);
    let after = match after? {
        Some(text) => names.pieces(&text).map_err(|why| f.complain("after", why)).ok(),
        None => Some(Vec::new()),
    };
    let decides = match decides? {
        Some(text) => names
            .measure(&text)
            .and_then(|measure| match measure.what.has_limit() {
                true => Ok(Some(measure)),
                false => Err(format!(
                    "\"{text}\" has no limit; a failure's word or the gap of a limb decides"
                )),
            })
            .map_err(|why| f.complain("decides", why))
            .ok(),
        None => Some(None),
    };
    Some(Lesson { twin: twin?, after: after?, decides: decides?, near: near? })
}

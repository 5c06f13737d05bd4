//! Reads what a scene is there to show: texts with places for numbers, and the number that
//! decides.

use crate::scene::field_reader::Fields;
use crate::scene::lesson::{Lesson, LessonNumber, LessonQuantity, TextPiece};
use crate::scene::lists::Lists;
use crate::scene::outcome::Cause;
use crate::scene::schema::scene;

/// Why a text of a lesson cannot be read.
#[derive(Debug, thiserror::Error)]
enum LessonError {
    #[error(
        "\"{text}\" is no number of a lift; write MEASURE or MEASURE of PART, or limit of CAUSE, \
         with one of {}",
        measures().join(", ")
    )]
    NoNumber { text: String },
    #[error("\"{text}\" does not name a part that it can be read at; {}", choice_of(.known))]
    NoPart {
        text: String,
        /// The parts that it can be read at.
        known: Vec<String>,
    },
    #[error("\"{text}\" has no limit; a failure's word or the gap of a limb decides")]
    NoLimit { text: String },
    #[error("a `{{` is never closed; write {{MEASURE of PART}}")]
    NeverClosed,
}

/// The words of all measures.
fn measures() -> Vec<&'static str> {
    let words = LessonQuantity::WORDS.iter().map(|(word, _)| *word);
    words.chain(Cause::WORDS.iter().map(|(word, _)| *word)).collect()
}

fn choice_of(parts: &[String]) -> String {
    match parts {
        [] => "the scene has none".to_owned(),
        parts => format!("choose from {}", parts.join(", ")),
    }
}

/// What the parts of a scene are called, by their kind.
struct PartNames<'a> {
    limbs: Vec<&'a str>,
    stacks: Vec<&'a str>,
    captures: Vec<&'a str>,
    bags: Vec<&'a str>,
    /// All of these, and whatever else a failure can be found at.
    all: Vec<&'a str>,
}

impl PartNames<'_> {
    /// The names that a measure can be read at; none where any part will do.
    fn parts_for(&self, what: LessonQuantity) -> Option<Vec<&str>> {
        Some(match what {
            LessonQuantity::Came(_)
            | LessonQuantity::Limit(_)
            | LessonQuantity::Rise
            | LessonQuantity::Time => return None,
            LessonQuantity::Gap | LessonQuantity::StartLoad => self.limbs.clone(),
            LessonQuantity::Load => self.stacks.iter().chain(&self.captures).copied().collect(),
            LessonQuantity::Lean | LessonQuantity::Thrust => self.stacks.clone(),
            LessonQuantity::Height
            | LessonQuantity::Pressure
            | LessonQuantity::Force
            | LessonQuantity::Tilt => self.bags.clone(),
        })
    }

    fn measure(&self, text: &str) -> Result<LessonNumber, LessonError> {
        let text = text.trim();
        // "limit of kick_out of tail": the part comes behind the last measure word.
        let (word, of) = match LessonQuantity::read(text) {
            Some(_) => (text, None),
            None => {
                let split = text
                    .match_indices(" of ")
                    .find(|(at, _)| LessonQuantity::read(&text[..*at]).is_some());
                match split {
                    Some((at, of)) => (&text[..at], Some(text[at + of.len()..].trim())),
                    None => (text, None),
                }
            }
        };
        let Some(what) = LessonQuantity::read(word) else {
            return Err(LessonError::NoNumber { text: text.to_owned() });
        };
        let (known, is_known) = match (self.parts_for(what), of) {
            (Some(known), of) => {
                let is_known = of.is_some_and(|of| known.contains(&of));
                (known, is_known)
            }
            (None, of) => (self.all.clone(), of.is_none_or(|of| self.all.contains(&of))),
        };
        if !is_known {
            let known = known.into_iter().map(str::to_owned).collect();
            return Err(LessonError::NoPart { text: text.to_owned(), known });
        }
        Ok(LessonNumber { what, of: of.map(str::to_owned) })
    }

    /// Takes a text apart at its `{...}` places.
    fn pieces(&self, text: &str) -> Result<Vec<TextPiece>, LessonError> {
        let mut pieces = Vec::new();
        let mut rest = text;
        while let Some((words, behind)) = rest.split_once('{') {
            let Some((place, tail)) = behind.split_once('}') else {
                return Err(LessonError::NeverClosed);
            };
            pieces.push(TextPiece::Words(words.to_owned()));
            pieces.push(TextPiece::Number(self.measure(place)?));
            rest = tail;
        }
        pieces.push(TextPiece::Words(rest.to_owned()));
        Ok(pieces)
    }
}

/// Reads the lesson's own fields.
pub(super) fn lesson(f: &Fields<'_>, lists: &Lists<'_>) -> Option<Lesson> {
    let lists_of_parts = [
        &lists.limbs,
        &lists.stacks,
        &lists.captures,
        &lists.bags,
        &lists.wedges,
        &lists.void_fill,
        &lists.chocks,
        &lists.step_chocks,
        &lists.struts,
        &lists.straps,
        &lists.people,
    ];
    let names = PartNames {
        limbs: lists.limbs.known().collect(),
        stacks: lists.stacks.known().collect(),
        captures: lists.captures.known().collect(),
        bags: lists.bags.known().collect(),
        all: lists_of_parts.iter().flat_map(|list| list.known()).chain(["beam"]).collect(),
    };
    let twin = f.take_if_there(scene::TWIN);
    let after = f.take_if_there(scene::AFTER);
    let decides = f.take_if_there(scene::DECIDES);
    let near = f.take(scene::NEAR);
    let complain = |key: &str, why: LessonError| f.complain(key, why.to_string());
    let after = match after? {
        Some(text) => names.pieces(&text).map_err(|why| complain(scene::AFTER.key(), why)).ok(),
        None => Some(Vec::new()),
    };
    let decides = match decides? {
        Some(text) => names
            .measure(&text)
            .and_then(|measure| match measure.what.has_limit() {
                true => Ok(Some(measure)),
                false => Err(LessonError::NoLimit { text }),
            })
            .map_err(|why| complain(scene::DECIDES.key(), why))
            .ok(),
        None => Some(None),
    };
    Some(Lesson { twin: twin?, after: after?, decides: decides?, near: near? })
}

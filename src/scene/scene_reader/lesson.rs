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

/// The names that a measure can be read at; none where any part will do.
fn parts_for<'a>(lists: &'a Lists<'_>, what: LessonQuantity) -> Option<Vec<&'a str>> {
    Some(match what {
        LessonQuantity::Came(_)
        | LessonQuantity::Limit(_)
        | LessonQuantity::Rise
        | LessonQuantity::Time => return None,
        LessonQuantity::Gap | LessonQuantity::StartLoad => lists.limbs.known().collect(),
        LessonQuantity::Load => lists.stacks.known().chain(lists.captures.known()).collect(),
        LessonQuantity::Lean | LessonQuantity::Thrust => lists.stacks.known().collect(),
        LessonQuantity::Height
        | LessonQuantity::Pressure
        | LessonQuantity::Force
        | LessonQuantity::Tilt => lists.bags.known().collect(),
    })
}

/// Reads a number of the lift from its words.
fn number(lists: &Lists<'_>, text: &str) -> Result<LessonNumber, LessonError> {
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
    let needed = parts_for(lists, what);
    let needs_one = needed.is_some();
    let known = needed.unwrap_or_else(|| lists.part_names().collect());
    if !of.map_or(!needs_one, |of| known.contains(&of)) {
        let known = known.into_iter().map(str::to_owned).collect();
        return Err(LessonError::NoPart { text: text.to_owned(), known });
    }
    Ok(LessonNumber { what, of: of.map(str::to_owned) })
}

/// Takes a text apart at its `{...}` places.
fn pieces(lists: &Lists<'_>, text: &str) -> Result<Vec<TextPiece>, LessonError> {
    let mut pieces = Vec::new();
    let mut rest = text;
    while let Some((words, behind)) = rest.split_once('{') {
        let Some((place, tail)) = behind.split_once('}') else {
            return Err(LessonError::NeverClosed);
        };
        pieces.push(TextPiece::Words(words.to_owned()));
        pieces.push(TextPiece::Number(number(lists, place)?));
        rest = tail;
    }
    pieces.push(TextPiece::Words(rest.to_owned()));
    Ok(pieces)
}

/// Reads the lesson's own fields.
pub(super) fn lesson(f: &Fields<'_>, lists: &Lists<'_>) -> Option<Lesson> {
    let twin = f.take_if_there(scene::TWIN);
    let after = f.take_if_there(scene::AFTER);
    let decides = f.take_if_there(scene::DECIDES);
    let near = f.take(scene::NEAR);
    let complain = |key: &str, why: LessonError| f.complain(key, why.to_string());
    let after = match after? {
        Some(text) => pieces(lists, &text).map_err(|why| complain(scene::AFTER.key(), why)).ok(),
        None => Some(Vec::new()),
    };
    let decides = match decides? {
        Some(text) => number(lists, &text)
            .and_then(|number| match number.what.has_limit() {
                true => Ok(Some(number)),
                false => Err(LessonError::NoLimit { text }),
            })
            .map_err(|why| complain(scene::DECIDES.key(), why))
            .ok(),
        None => Some(None),
    };
    Some(Lesson { twin: twin?, after: after?, decides: decides?, near: near? })
}

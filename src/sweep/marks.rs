//! How each ending of a lift is marked on a map: a colour and a shape, so that either
//! alone tells it. Colours are Okabe and Ito's set of eight, made for every kind of colour
//! sight (Color Universal Design, 2008); tinted, so that the shape on them stands out.

use super::cell_outcome::{BROKEN, JAMMED, REFUSED};
use crate::scene::Cause;

pub struct OutcomeMark {
    pub word: &'static str,
    pub fill: &'static str,
    /// A path in a box from -1 to 1, y down; drawn in outline, or filled where it is closed.
    pub shape: &'static str,
}

const GREEN: &str = "#b3e2d5";
const RED: &str = "#f2a97c";
const ORANGE: &str = "#f5d28c";
const BLUE: &str = "#8fc1e3";
const PURPLE: &str = "#ebc9dc";
const SKY: &str = "#d3ebf9";
const YELLOW: &str = "#f9f4b8";
const GREY: &str = "#d9d9d9";
const WHITE: &str = "#ffffff";

/// In the order of the legend.
const MARKS: &[OutcomeMark] = &[
    mark("lifted", GREEN, "M-1 0A1 1 0 1 1 1 0A1 1 0 1 1 -1 0Z"),
    mark("incomplete", GREY, "M-1 0L1 0"),
    mark("kick_out", RED, "M-1 .85L0 -.9L1 .85Z"),
    mark("topple", ORANGE, "M-1 0L0 -1L1 0L0 1Z"),
    mark("slide", BLUE, "M-1 0L1 0M.3 -.7L1 0L.3 .7"),
    mark("roll", PURPLE, "M-1 .5A1 1 0 0 1 1 .5M.4 .1L1 .5L1.1 -.2"),
    mark("drop", SKY, "M-1 -.85L0 .9L1 -.85Z"),
    mark("casualty_load", YELLOW, "M-1 0L1 0M0 -1L0 1"),
    mark("bag_overload", GREY, "M-.8 -.8L.8 -.8L.8 .8L-.8 .8Z"),
    mark("beam", WHITE, "M-1 -.9L1 .9M-1 .9L1 -.9"),
    mark("crush", YELLOW, "M-1 -.6L1 -.6M-1 .6L1 .6M0 -.6L0 .6"),
    mark("sink", ORANGE, "M0 -1L0 .5M-.6 -.1L0 .5L.6 -.1M-1 1L1 1"),
    mark("strut", BLUE, "M0 1L.35 .2L-.35 -.2L0 -1"),
    mark("strap", PURPLE, "M-1 0L-.25 0M1 0L.25 0M-.45 -.4L-.05 .4M.05 -.4L.45 .4"),
    mark(REFUSED, WHITE, "M-.15 0A.15 .15 0 1 1 .15 0A.15 .15 0 1 1 -.15 0Z"),
    mark(JAMMED, WHITE, "M-1 -.6L-.2 -.6L-.2 .6L-1 .6ZM.2 -.6L1 -.6L1 .6L.2 .6Z"),
    mark(BROKEN, WHITE, "M-1 1L-.3 -.3L.3 .3L1 -1"),
];

const fn mark(word: &'static str, fill: &'static str, shape: &'static str) -> OutcomeMark {
    OutcomeMark { word, fill, shape }
}

/// The mark of a word; the legend's last for one that has none.
pub fn mark_for(word: &str) -> &'static OutcomeMark {
    MARKS.iter().find(|m| m.word == word).unwrap_or(&MARKS[MARKS.len() - 1])
}

/// In the order of the legend, those that a map has.
pub fn among<'a>(has: &'a dyn Fn(&str) -> bool) -> impl Iterator<Item = &'static OutcomeMark> + 'a {
    MARKS.iter().filter(move |m| has(m.word))
}

/// What a mark means, in words.
pub fn meaning(word: &str) -> String {
    if word == REFUSED {
        return "no such scene".into();
    }
    if word == JAMMED {
        return "no such start".into();
    }
    if Cause::WORDS.iter().any(|(w, _)| *w == word) {
        return format!("failed: {word}");
    }
    word.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_ending_has_a_mark_and_no_two_share_both_colour_and_shape() {
        let causes = Cause::WORDS.iter().map(|(w, _)| *w);
        let words = causes.chain(["lifted", "incomplete", REFUSED, JAMMED, BROKEN]);
        words.for_each(|word| assert_eq!(mark_for(word).word, word, "give {word} a mark"));
        for (i, a) in MARKS.iter().enumerate() {
            assert!(MARKS[..i].iter().all(|b| a.shape != b.shape), "{} looks like another", a.word);
        }
    }
}

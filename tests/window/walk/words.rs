//! The rule for words in the window.

use crate::words::BANNED;
use std::path::Path;

/// A sentence of the window has at most this many words.
const LONGEST: usize = 12;

/// Banned in the window besides [`BANNED`].
const BANNED_HERE: &[&str] = &["stands", "deg"];

/// Words that are not the window's own, with blanks and capitals made equal. Scenes, classes and
/// tasks are written by authors, and the window shows them as they are. What is said of a lift or
/// of a file's problems has one wording for the window, the pages and the terminal, and a rule of
/// its own.
pub struct Words {
    others: String,
}

impl Words {
    /// With the words of all shipped files.
    pub fn new() -> Self {
        let mut others = inchwise::caution::CAUTION.to_owned();
        take(&Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes"), &mut others);
        Self { others: plain(&others) }
    }

    /// Adds words of a file that is not shipped, or of a lift.
    pub fn add(&mut self, text: &str) {
        let text = plain(text);
        if !self.others.contains(&text) {
            self.others.push(' ');
            self.others.push_str(&text);
        }
    }

    /// What of a text is against the rule.
    pub fn against(&self, text: &str) -> Vec<String> {
        let mut out = Vec::new();
        for sentence in sentences(text) {
            // With or without a heading before it.
            let after = sentence.split_once(": ").map_or(sentence, |(_, after)| after);
            let other = |text: &str| self.others.contains(plain(text).trim_end_matches('.'));
            if other(sentence) || other(after) {
                continue;
            }
            let words =
                sentence.split_whitespace().filter(|word| word.contains(char::is_alphanumeric));
            let count = words.count();
            if count > LONGEST {
                out.push(format!("has a sentence of {count} words"));
            }
            let padded =
                format!(" {} ", plain(&sentence.replace(|c: char| !c.is_alphanumeric(), " ")));
            let found = BANNED
                .iter()
                .chain(BANNED_HERE)
                .filter(|word| padded.contains(&format!(" {word} ")));
            out.extend(found.map(|word| format!("says \"{word}\"")));
        }
        out
    }
}

/// With one blank between words, and no capitals.
fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split('\n').flat_map(|line| {
        let mut rest = line;
        std::iter::from_fn(move || {
            if rest.is_empty() {
                return None;
            }
            let end = [". ", "? ", "! "].iter().filter_map(|end| rest.find(end)).min();
            let (one, more) = rest.split_at(end.map_or(rest.len(), |at| at + 2));
            rest = more;
            Some(one)
        })
    })
}

/// The text of every file below a folder, without the ends of lines that a file's text goes over.
fn take(folder: &Path, into: &mut String) {
    for entry in std::fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        if path.is_dir() {
            take(&path, into);
        } else if let Ok(text) = std::fs::read_to_string(&path) {
            into.push(' ');
            into.push_str(&text.replace("\\\n", "").replace("\\\"", "\""));
        }
    }
}

//! Law protected: every sentence that a reader meets is short and in plain words, in the guides
//! and in what stands in quotes in the source (problems, findings, rows, points of practice, the
//! tables of fields) and in scenes, classes and tasks. The window's own words (`src/view`) are
//! not read here.

use crate::words::BANNED;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

/// Words in a sentence at most: a guide for those whose first language may be another.
const WORDS_AT_MOST: usize = 25;

/// Banned here besides [`BANNED`].
///
/// "It is", "what", "stands" and "lies" are not among them although they can be as bad: whether
/// "it" has a noun before it and "what" stands for one only a reader sees, and a stack does stand
/// and a car does lie on its roof.
const BANNED_HERE: &[&str] =
    &["mends", "mended", "mending", "hang on", "come to", "came to", "is no"];

/// In the prose of a guide an angle has its sign; a cell or a quote may show what is typed.
const BANNED_IN_PROSE: &str = "deg";

/// Their stop ends no sentence.
const ABBREVIATIONS: &[&str] = &["No.", "ch."];

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    /// Running text.
    Prose,
    /// A cell of a table or a message of the program: a semicolon ends a note as a stop does.
    Note,
}

/// One piece of text with its place.
struct Piece {
    line: usize,
    kind: Kind,
    text: String,
}

#[test]
fn the_guides_speak_plainly() {
    let mut guides = ["README.md", "DEVELOPERS.md", "CHANGELOG.md"].map(PathBuf::from).to_vec();
    guides.extend(files(Path::new("docs"), "md"));
    assert!(guides.len() > 12, "only {} guides were found", guides.len());
    hold(&guides, |_, text| guide(text));
}

#[test]
fn messages_and_lessons_speak_plainly() {
    let mut sources = files(Path::new("src"), "rs");
    sources.retain(|path| !path.starts_with("src/view"));
    // A vehicle's lines of sources are under the seals of the margins: to change one is to play
    // the samples of every scene with that vehicle.
    let of_scenes = files(Path::new("scenes"), "ron").into_iter();
    sources.extend(of_scenes.filter(|path| !path.starts_with("scenes/vehicles")));
    assert!(sources.len() > 300, "only {} sources were found", sources.len());
    hold(&sources, |path, text| {
        let kind = if path.starts_with("src") { Kind::Note } else { Kind::Prose };
        let shipped = text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
        quotes(shipped, kind)
    });
}

/// Each fault is found, and what is allowed is not.
#[test]
fn a_long_sentence_and_a_banned_word_are_found() {
    let long = |words: usize| vec!["word"; words].join(" ") + ".";
    for (text, found) in [
        (long(25), ""),
        (long(26), "26 words"),
        (format!("{} {}", long(20).replace("word.", "word. Another"), long(20)), ""),
        (format!("{}\n{}", long(20), long(20)), ""),
        (long(13).replace("word.", "word No. 2 is ") + &long(13), "29 words"),
        ("It tells all.".to_owned(), "\"tells\""),
        ("What it came to: little.".to_owned(), "\"came to\""),
        ("A body comes to rest.".to_owned(), ""),
        ("A load is no measure.".to_owned(), "\"is no\""),
        ("There is no measure, and it is no taller.".to_owned(), ""),
        ("It leans by 5 deg.".to_owned(), "\"deg\""),
        ("It leans by `5 deg`.".to_owned(), ""),
        (format!("| {} | {} |", long(20).replace('.', ""), long(20)), ""),
        (format!("| {}; {} |", long(20).replace('.', ""), long(20)), ""),
        (format!("- {}", long(26)), "26 words"),
        (format!("```\n{}\n```", long(26)), ""),
    ] {
        let faults: Vec<String> = guide(&text).iter().flat_map(faults).collect();
        let faults = faults.join("\n");
        assert_eq!(faults.is_empty(), found.is_empty(), "{text}: {faults}");
        assert!(faults.contains(found), "{text}: {faults}");
    }
    let code =
        "f(\"one, 'two' \\\"three\\\" \\\n  four anew\"); // \"five six seven anew\"\n'\"' g(\"\")";
    let found: Vec<String> = quotes(code, Kind::Note).into_iter().map(|piece| piece.text).collect();
    assert_eq!(found, ["one, 'two' \"three\" four anew"]);
}

/// Files below a folder, by the end of their names, in order.
fn files(folder: &Path, end: &str) -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let entries = fs::read_dir(root.join(folder)).expect("the folder is there");
    let mut found = Vec::new();
    for entry in entries.map(|entry| entry.expect("an entry")) {
        let path = folder.join(entry.file_name());
        if entry.path().is_dir() {
            found.extend(files(&path, end));
        } else if path.extension().is_some_and(|is| is == end) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// Fails with every fault: file, line, what it is, and how the sentence begins.
fn hold(paths: &[PathBuf], pieces: impl Fn(&Path, &str) -> Vec<Piece>) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let (mut found, mut count) = (String::new(), 0);
    for path in paths {
        let text = fs::read_to_string(root.join(path)).expect("it is there");
        for piece in pieces(path, &text) {
            for fault in faults(&piece) {
                count += 1;
                let _ = writeln!(found, "{}:{}: {fault}", path.display(), piece.line);
            }
        }
    }
    assert!(count == 0, "{count} sentences to make plain:\n{found}");
}

/// The pieces of a guide: paragraphs, items, captions of pictures, and cells of tables. Code and
/// headings are left out.
fn guide(text: &str) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    // Whether the next line goes on with the last piece, and whether it is in a fenced block.
    let (mut goes_on, mut fenced) = (false, false);
    for (i, whole) in text.lines().enumerate() {
        let (line, is) = (i + 1, whole.trim());
        let fence = is.starts_with("```");
        fenced ^= fence;
        let code = fence || fenced || (!goes_on && whole.starts_with("    "));
        if code || is.is_empty() || is.starts_with(['#', '<']) {
            goes_on = false;
        } else if let Some(row) = is.strip_prefix('|') {
            let cells = row.split('|').map(|cell| (cell, Kind::Note));
            pieces.extend(cells.map(|(cell, kind)| Piece { line, kind, text: cell.to_owned() }));
            goes_on = false;
        } else if let Some(caption) = is.strip_prefix("![") {
            let text = caption.split("](").next().unwrap_or_default().to_owned();
            pieces.push(Piece { line, kind: Kind::Prose, text });
            goes_on = false;
        } else if let (true, None, Some(last)) = (goes_on, item(is), pieces.last_mut()) {
            last.text += "\n";
            last.text += is;
        } else {
            let text = item(is).unwrap_or(is).to_owned();
            pieces.push(Piece { line, kind: Kind::Prose, text });
            goes_on = true;
        }
    }
    pieces
}

/// What a line says behind the mark of an item of a list: "- " or "1. ".
fn item(line: &str) -> Option<&str> {
    let number = line.trim_start_matches(|c: char| c.is_ascii_digit());
    let numbered = number.strip_prefix(". ").filter(|_| number.len() < line.len());
    line.strip_prefix("- ").or(numbered)
}

/// Texts of more than a few words in quotes, without comments, drawings and scenes in quotes.
fn quotes(text: &str, kind: Kind) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let (mut rest, mut line) = (text, 1);
    while let Some(c) = rest.chars().next() {
        let taken = match c {
            '/' if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
            '/' if rest.starts_with("/*") => rest.find("*/").map_or(rest.len(), |at| at + 2),
            '\'' => character(rest),
            '"' => {
                let length = quoted_length(&rest[1..]);
                let text = unescaped(&rest[1..=length]);
                let scene = text.contains("=[") || text.contains("(name:");
                let drawing = text.trim_start().starts_with('<');
                if text.split(' ').count() > 3 && !scene && !drawing {
                    pieces.push(Piece { line, kind, text });
                }
                length + 2
            }
            c => c.len_utf8(),
        };
        let (gone, left) = rest.split_at(taken.min(rest.len()));
        line += gone.matches('\n').count();
        rest = left;
    }
    pieces
}

/// Bytes of a character in quotes, or of the mark of a lifetime alone.
fn character(rest: &str) -> usize {
    let mut chars = rest.char_indices().skip(1);
    let escaped = chars.next().is_some_and(|(_, c)| c == '\\');
    let end = if escaped { chars.skip(1).find(|(_, c)| *c == '\'') } else { chars.next() };
    end.filter(|(_, c)| *c == '\'').map_or(1, |(at, _)| at + 1)
}

/// Bytes up to the quote that ends a text.
fn quoted_length(text: &str) -> usize {
    let mut escaped = false;
    let ends = |(_, c): &(usize, char)| {
        let ends = *c == '"' && !escaped;
        escaped = *c == '\\' && !escaped;
        ends
    };
    text.char_indices().find(ends).map_or(text.len(), |(at, _)| at)
}

/// A quoted text as it is read: lines that go on joined, `\n` as a line's end.
fn unescaped(text: &str) -> String {
    let mut lines = text.split("\\\n");
    let first = lines.next().unwrap_or_default().to_owned();
    let joined = lines.fold(first, |text, line| text + line.trim_start());
    joined.replace("\\n", "\n").replace("\\\"", "\"")
}

/// The text as it is counted: a code, a value to come and a link's target are one word or none.
fn counted(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(['`', '{', ']', '<']) {
        out += &rest[..at];
        let (end, word) = match &rest[at..] {
            code if code.starts_with('`') => ('`', "code"),
            value if value.starts_with('{') => ('}', "value"),
            link if link.starts_with("](") => (')', ""),
            link if link.starts_with("<http") => ('>', "link"),
            _ => ('\0', ""),
        };
        let behind = &rest[at + 1..];
        match behind.find(end) {
            Some(length) => {
                out += word;
                rest = &behind[length + 1..];
            }
            None => {
                out.push(' ');
                rest = behind;
            }
        }
    }
    out + rest
}

/// What is wrong with the sentences of a piece.
fn faults(piece: &Piece) -> Vec<String> {
    let text = counted(&piece.text);
    let mut found = Vec::new();
    for sentence in sentences(&text, piece.kind) {
        let begins = sentence[..sentence.len().min(8)].join(" ");
        let words: Vec<String> = sentence.iter().map(|token| word(token)).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).filter(|w| !w.is_empty()).collect();
        if words.len() > WORDS_AT_MOST {
            found.push(format!("{} words: {begins}", words.len()));
        }
        let prose = Some(BANNED_IN_PROSE).filter(|_| piece.kind == Kind::Prose);
        let banned = BANNED
            .iter()
            .chain(BANNED_HERE)
            .copied()
            .chain(prose)
            .filter(|banned| has(&words, banned));
        found.extend(banned.map(|banned| format!("\"{banned}\": {begins}")));
    }
    found
}

/// A word in lower case without what stands around it; empty where it has no letter or digit.
fn word(token: &str) -> String {
    token.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase()
}

/// A sentence ends with its line or where the next word begins one.
fn sentences(text: &str, kind: Kind) -> Vec<Vec<&str>> {
    let (mut found, mut now) = (Vec::new(), Vec::new());
    for line in text.lines() {
        let tokens: Vec<&str> = line.split_whitespace().collect();
        for (i, token) in tokens.iter().enumerate() {
            now.push(*token);
            let next = tokens.get(i + 1).map(|next| next.trim_start_matches(['"', '(', '*', '[']));
            let begins = |next: &str| next == "code" || !next.starts_with(char::is_lowercase);
            let bare = token.trim_end_matches(['"', ')', '*', ']']);
            let stop = bare.ends_with(['.', '!', '?']) && !ABBREVIATIONS.contains(token);
            let stops = stop && next.is_none_or(begins);
            if stops || (kind == Kind::Note && bare.ends_with(';')) {
                found.push(std::mem::take(&mut now));
            }
        }
    }
    found.push(now);
    found
}

/// Whether a banned word or row of words is among the words. A body may come to rest, there may
/// be no stake, and a stack may be no taller than it should.
fn has(words: &[&str], banned: &str) -> bool {
    let row: Vec<&str> = banned.split(' ').collect();
    (0..words.len()).any(|at| {
        let next = words.get(at + row.len()).copied().unwrap_or_default();
        let comparative = next.ends_with("er") || ["more", "less"].contains(&next);
        let allowed = match banned {
            "comes to" | "come to" | "came to" => next == "rest",
            "is no" => comparative || (at > 0 && words[at - 1] == "there"),
            _ => false,
        };
        words[at..].starts_with(&row) && !allowed
    })
}

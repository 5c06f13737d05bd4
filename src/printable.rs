//! Text from outside, made such that a terminal, a page, a table and a picture show it and do
//! nothing else: a name may hold what moves a terminal's cursor, turns the reading direction,
//! or counts as a formula in a spreadsheet.

use std::borrow::Cow;
use std::fmt::Write;

/// Whether a character does something where it should be read: controls other than line breaks
/// and tabs, marks of the reading direction, separators of lines and paragraphs, and what XML
/// refuses.
pub fn is_hidden(c: char) -> bool {
    let direction = matches!(c,
        '\u{061c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let line = matches!(c, '\u{2028}' | '\u{2029}');
    let refused = matches!(c, '\u{feff}' | '\u{fffe}' | '\u{ffff}');
    (c.is_control() && !matches!(c, '\n' | '\r' | '\t')) || direction || line || refused
}

/// The first hidden character of a text.
pub fn hidden_in(text: &str) -> Option<char> {
    text.chars().find(|c| is_hidden(*c))
}

fn escaped(text: &str, is_escaped: impl Fn(char) -> bool) -> Cow<'_, str> {
    if !text.contains(&is_escaped) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match is_escaped(c) {
            true => {
                let _ = write!(out, "{}", c.escape_default());
            }
            false => out.push(c),
        }
    }
    out.into()
}

/// For a terminal: hidden characters are written as their numbers. A carriage return without
/// a line break would write over what stands there.
pub fn shown(text: &str) -> Cow<'_, str> {
    escaped(text, |c| is_hidden(c) || c == '\r')
}

/// In one line: line breaks are written as `\n`, too.
pub fn in_a_line(text: &str) -> Cow<'_, str> {
    escaped(text, |c| is_hidden(c) || matches!(c, '\n' | '\r' | '\t'))
}

/// In one line, and cut where it is longer than `most` characters.
pub fn brief(text: &str, most: usize) -> Cow<'_, str> {
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}...", in_a_line(&text[..end])).into(),
        None => in_a_line(text),
    }
}

/// Whether a spreadsheet would take a cell for a formula. A number, with a unit or without,
/// is none.
pub fn is_formula(cell: &str) -> bool {
    let number = |text: &str| {
        let digits = text.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
        let unit = digits.trim_start();
        digits.len() < text.len()
            && unit.chars().all(|c| c.is_alphanumeric() || matches!(c, '%' | '/' | ' ' | '²' | '³'))
    };
    match cell.chars().next() {
        Some('=' | '@' | '\t' | '\r') => true,
        Some('+' | '-') => cell.parse::<f64>().is_err() && !number(&cell[1..]),
        _ => false,
    }
}

/// A cell of a table for a spreadsheet: a formula has an apostrophe before it, which makes it
/// text.
pub fn cell(text: &str) -> Cow<'_, str> {
    if is_formula(text) { format!("'{text}").into() } else { text.into() }
}

/// Text in Markdown that stands there as it is.
pub fn markdown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in in_a_line(text).chars() {
        if matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '&' | '#' | '~') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// A name between backticks in Markdown, also in a table: what would end it is left out.
pub fn markdown_code(text: &str) -> String {
    in_a_line(text).replace(['`', '|'], "?")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_hidden_is_shown_as_its_number() {
        assert_eq!(shown("a\u{1b}[2Jb\nc"), "a\\u{1b}[2Jb\nc");
        assert_eq!(in_a_line("a\nb\r\tc\u{202e}"), "a\\nb\\r\\tc\\u{202e}");
        assert_eq!(brief("abcdef", 3), "abc...");
        assert_eq!(brief("é\u{7}é", 3), "é\\u{7}é");
        for plain in ["Nose, 5° down", "日本", "a\tb\nc", ""] {
            assert_eq!(shown(plain), plain);
        }
        for c in ['\0', '\u{7}', '\u{1b}', '\u{7f}', '\u{9b}', '\u{202e}', '\u{2066}', '\u{ffff}'] {
            assert_eq!(hidden_in(&format!("x{c}")), Some(c));
        }
    }

    #[test]
    fn formulas_become_text_and_numbers_stay() {
        for formula in ["=1+1", "@SUM(A1)", "+1+cmd|'/c x'!A0", "-2+3", "-x", "-", "\t=1", "-1(2)"]
        {
            assert_eq!(cell(formula), format!("'{formula}"));
        }
        for number in ["-1", "-0.5 m", "+3 deg", "-1e5", "-5 %", "1", "", "x=1", "-2 kN/m²"] {
            assert_eq!(cell(number), number);
        }
    }

    #[test]
    fn markdown_stands_as_it_is() {
        assert_eq!(markdown("<b>*x*</b> [a](b)|\n"), "\\<b\\>\\*x\\*\\</b\\> \\[a\\](b)\\|\\\\n");
        assert_eq!(markdown_code("a`b|c"), "a?b?c");
    }
}

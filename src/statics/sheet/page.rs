//! The printable page that the sheet and the debrief share: head, style, and the caution
//! first and last. No script, no font, no picture from elsewhere.

use crate::caution::CAUTION;
use maud::{DOCTYPE, Markup, PreEscaped, html};

const STYLE: &str = include_str!("sheet.css");

/// A whole page as HTML text. `end` closes it, on the page of the last section where there
/// is room.
pub fn page(title: &str, body: &Markup, end: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                p.caution { (CAUTION) }
                (body)
                section.end { (end) p.caution { (CAUTION) } }
            }
        }
    };
    page.into_string()
}

/// The widths of a table's columns, as shares of the page in per cent. Columns that are not
/// named share what is left.
pub fn columns(per_cent: &[u32]) -> Markup {
    html! {
        colgroup { @for share in per_cent { col style={ "width:" (share) "%" }; } }
    }
}

/// Text in which no line ends between a number and its unit, with what a scene file calls a
/// field (in backticks) as code.
pub fn prose(text: &str) -> Markup {
    let text = keep_units_with_numbers(text);
    html! {
        @for (index, part) in text.split('`').enumerate() {
            @if index % 2 == 1 { code { (part) } } @else { (part) }
        }
    }
}

fn keep_units_with_numbers(text: &str) -> String {
    let mut out = String::new();
    let mut letters = text.chars().peekable();
    while let Some(c) = letters.next() {
        let unit = letters.peek().is_some_and(|c| c.is_alphabetic() || *c == '%');
        let number = out.ends_with(|c: char| c.is_ascii_digit());
        out.push(if c == ' ' && number && unit { '\u{a0}' } else { c });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The names of scenes and parts come from files that anybody may write.
    #[test]
    fn text_is_escaped_and_code_is_marked() {
        let markup = prose("`a<b` needs 5 mm & \"more\"");
        let expected = "<code>a&lt;b</code> needs 5\u{a0}mm &amp; &quot;more&quot;";
        assert_eq!(markup.into_string(), expected);
        let page = page("a <b>", &html! { p { "c & d" } }, &html! {});
        for piece in ["<title>a &lt;b&gt;</title>", "<p>c &amp; d</p>"] {
            assert!(page.contains(piece), "{piece} is missing in\n{page}");
        }
    }
}

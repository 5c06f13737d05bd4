//! The sheet as one printable page. Fits A4 and Letter; greys only, every verdict a word and
//! a mark.

use super::drawing::{job_chart, views};
use super::left_out::{NOT_ON_THE_SHEET_TITLE, left_out_lines};
use super::page::{columns, page, prose};
use super::rows_for_reading;
use super::text::limit_text;
use super::{Comparison, Row, Sheet, Verdict};
use crate::scene::RestsOn;
use maud::{Markup, PreEscaped, html};

const JOB_CAPTION: &str = "The job by the clock, at the middle of each task's range of times. The \
    numbers are the people who do it; 1 stays at the controller during the lift. A thin line comes \
    from what a task waited for. Light: before the lift and after it. Dark: orders. Dotted: ready \
    to lift, every gap reached on air, load on timber. The times are assumed where no drill of \
    your own stands in their place.";
const COMPARISON_TITLE: &str = "Lift methods side by side";

fn mark(row: &Row) -> &'static str {
    match row.verdict() {
        Some(Verdict::Holds) => "○",
        Some(Verdict::Close) => "◐",
        Some(Verdict::Fails) => "●",
        None => "",
    }
}

/// Sources in the order in which rows first name them.
fn sources<'a>(sheets: &'a [Sheet<'_>]) -> Vec<&'a str> {
    let mut list: Vec<&str> = Vec::new();
    for row in sheets.iter().flat_map(|s| &s.rows) {
        if !row.source.is_empty() && !list.contains(&row.source.as_str()) {
            list.push(&row.source);
        }
    }
    list
}

/// One table for each group of rows.
fn tables(sheet: &Sheet<'_>, sources: &[&str]) -> Markup {
    let rows = rows_for_reading(&sheet.rows, sheet.units);
    html! {
        @for rows in rows.chunk_by(|a, b| a.group == b.group) {
            table {
                (columns(&[54, 12, 18, 16]))
                thead {
                    tr {
                        th { (rows[0].group.title()) }
                        th.n { "Result" }
                        th.n { "Limit" }
                        th { "Verdict" }
                    }
                }
                tbody { @for row in rows { (table_row(sheet, row, sources)) } }
            }
        }
    }
}

fn table_row(sheet: &Sheet<'_>, row: &Row, sources: &[&str]) -> Markup {
    let result = row.result.map_or("not worked out".to_owned(), |f| f.show(sheet.units));
    let limit = row.limit.map_or(String::new(), |l| limit_text(l, sheet.units));
    let verdict = row.say_verdict();
    html! {
        tr class=[row.verdict().map(Verdict::word)] {
            td { b { (prose(&row.what())) } (explanation(sheet, row, sources)) }
            td.n { (prose(&result)) }
            td.n { (prose(&limit)) }
            td {
                (mark(row)) " "
                @for (i, line) in verdict.split(", ").enumerate() {
                    @if i > 0 { br; }
                    (prose(line))
                }
            }
        }
    }
}

/// What stands in small letters under a row's name: formula, spread, note and source.
fn explanation(sheet: &Sheet<'_>, row: &Row, sources: &[&str]) -> Markup {
    let mut lines: Vec<Markup> = Vec::new();
    if !row.formula.is_empty() {
        lines.push(html! { (prose(&row.formula)) ": " (prose(&row.numbers)) });
    }
    if let Some([a, b]) = row.spread {
        lines.push(html! { "Spread " (a.show(sheet.units)) " to " (b.show(sheet.units)) "." });
    }
    if let Some(weak) = row.weak_limit {
        lines.push(html! { "The limit may be only " (weak.show(sheet.units)) "." });
    }
    // A source alone takes no line of its own where there is a formula to put it behind.
    let has_note = !row.note.is_empty() || row.formula.is_empty();
    if has_note {
        lines.push(prose(&row.note));
    }
    let number = sources.iter().position(|s| *s == row.source).map(|i| i + 1);
    let last = lines.len() - 1;
    html! {
        @for (i, line) in lines.iter().enumerate() {
            div class=[(has_note && i == last).then_some("note")] {
                (line)
                @if let Some(number) = number.filter(|_| i == last) {
                    "\u{a0}" sup { "[" (number) "]" }
                }
            }
        }
    }
}

fn section(sheet: &Sheet<'_>, sources: &[&str]) -> Markup {
    let side = match sheet.scene.lies {
        RestsOn::Roof => "From the vehicle's left, at full height.",
        _ => {
            "Cut across the vehicle, at full height; the tyres that it turns about are on the \
             right."
        }
    };
    let captions = [
        format!("{side} Dashes: as it lay. Dash and dot: the load's line through the stack."),
        "Cut at the lift, seen from the tail, same scale.".to_owned(),
    ];
    html! {
        section {
            h1 { (sheet.scene.name) }
            p.sum { (prose(&sheet.summary())) }
            @for (view, caption) in views(sheet).into_iter().zip(&captions) {
                figure { (PreEscaped(view)) figcaption { (caption) } }
            }
            (tables(sheet, sources))
            @if let Some(chart) = job_chart(sheet) {
                figure { (PreEscaped(chart)) figcaption { (JOB_CAPTION) } }
            }
            p { (sheet.scene.data) }
        }
    }
}

/// How a sheet is read, and its sources.
fn key(sources: &[&str]) -> Markup {
    html! {
        h2 { "How to read it" }
        p {
            "○ holds. ◐ close: within 10 % of the limit, or past it at the bad end of a weak \
             input. ● fails. What is to spare, over or short is a share of the limit."
        }
        h2 { "Sources" }
        ol { @for source in sources { li { (source) } } }
        h2 { (NOT_ON_THE_SHEET_TITLE) }
        ul { @for line in left_out_lines() { li { (line) } } }
    }
}

impl Sheet<'_> {
    /// The sheet as a page.
    pub fn html(&self) -> String {
        let sources = sources(std::slice::from_ref(self));
        let title = format!("{}: the lift on paper", self.scene.name);
        page(&title, &section(self, &sources), &key(&sources))
    }
}

impl Comparison<'_> {
    /// A page with the methods side by side and every sheet after it.
    pub fn html(&self) -> String {
        let sources = sources(&self.sheets);
        let body = html! {
            section {
                h1 { (COMPARISON_TITLE) }
                (self.table())
                // Each method at a glance; its own page has the figures.
                div.glance {
                    @for sheet in &self.sheets {
                        @if let Some(side) = views(sheet).into_iter().next() {
                            figure { (PreEscaped(side)) figcaption { (sheet.scene.name) } }
                        }
                    }
                }
            }
            @for sheet in &self.sheets { (section(sheet, &sources)) }
        };
        page(COMPARISON_TITLE, &body, &key(&sources))
    }

    fn table(&self) -> Markup {
        html! {
            table {
                thead { tr { th {} @for sheet in &self.sheets { th { (sheet.scene.name) } } } }
                tbody {
                    @for (what, cells) in &self.lines {
                        tr { td { b { (what) } } @for cell in cells { td { (prose(cell)) } } }
                    }
                }
            }
        }
    }
}

//! The sheet as one printable page: no script, no font, no picture from elsewhere. Fits
//! A4 and Letter; greys only, every verdict a word and a mark.

use super::drawing::{escape, prose, views};
use super::merged;
use super::text::{limit_text, verdict_text};
use super::{Comparison, Row, Sheet, Verdict};
use crate::scene::{CAUTION, Lies};
use std::fmt::Write;

const STYLE: &str = include_str!("sheet.css");

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

fn write_rows(out: &mut String, sheet: &Sheet<'_>, sources: &[&str]) -> std::fmt::Result {
    let mut group = None;
    for row in &merged(&sheet.rows, sheet.units) {
        if group != Some(row.group) {
            if group.is_some() {
                out.push_str("</tbody></table>\n");
            }
            group = Some(row.group);
            write!(
                out,
                "<table><colgroup><col style=\"width:54%\"><col style=\"width:12%\"><col \
                 style=\"width:18%\"><col style=\"width:16%\"></colgroup><thead><tr><th>{}</th><th class=\"n\">Result</th><th class=\"n\">Limit</th>\
                 <th>Verdict</th></tr></thead><tbody>",
                row.group.title()
            )?;
        }
        let result = row.result.map_or("not worked out".to_owned(), |f| f.show(sheet.units));
        let limit = row.limit.map_or(String::new(), |l| limit_text(l, sheet.units));
        let class = row.verdict().map_or("", Verdict::word);
        write!(out, "<tr class=\"{class}\"><td><b>{}</b>", prose(&row.what()))?;
        if !row.formula.is_empty() {
            write!(out, "<div>{}: {}</div>", prose(&row.formula), prose(&row.numbers))?;
        }
        if let Some([a, b]) = row.spread {
            write!(out, "<div>Spread {} to {}.</div>", a.show(sheet.units), b.show(sheet.units))?;
        }
        if let Some(weak) = row.weak_limit {
            write!(out, "<div>The limit may be only {}.</div>", weak.show(sheet.units))?;
        }
        let source = sources.iter().position(|s| *s == row.source);
        let source = source.map_or(String::new(), |i| format!("&nbsp;<sup>[{}]</sup>", i + 1));
        // A source alone takes no line of its own.
        if row.note.is_empty() && !row.formula.is_empty() {
            out.truncate(out.len() - "</div>".len());
            write!(out, "{source}</div></td>")?;
        } else {
            write!(out, "<div class=\"note\">{}{source}</div></td>", prose(&row.note))?;
        }
        writeln!(
            out,
            "<td class=\"n\">{}</td><td class=\"n\">{}</td><td>{} {}</td></tr>",
            prose(&result),
            prose(&limit),
            mark(row),
            prose(&verdict_text(row)).replace(", ", "<br>")
        )?;
    }
    if group.is_some() {
        out.push_str("</tbody></table>\n");
    }
    Ok(())
}

fn write_sheet(out: &mut String, sheet: &Sheet<'_>, sources: &[&str]) -> std::fmt::Result {
    write!(
        out,
        "<section><h1>{}</h1><p>{}</p><p class=\"sum\">{}</p>",
        escape(&sheet.scene.name),
        escape(&sheet.scene.teaches),
        prose(&sheet.summary())
    )?;
    let on_roof = sheet.scene.lies == Lies::Roof;
    let captions = [
        if on_roof {
            "From the vehicle's left, at full height."
        } else {
            "Cut across the vehicle, at full height; the tyres that it turns about are on the right."
        },
        "Cut at the lift, seen from the tail, same scale.",
    ];
    for (index, (view, caption)) in views(sheet).iter().zip(captions).enumerate() {
        let lines = if index == 0 {
            " Dashes: as it lay. Dash and dot: the load's line through the stack."
        } else {
            ""
        };
        write!(out, "<figure>{view}<figcaption>{caption}{lines}</figcaption></figure>")?;
    }
    write_rows(out, sheet, sources)?;
    write!(out, "<p>{}</p></section>", escape(&sheet.scene.data))
}

/// The house's printable page: the caution first and last, the style inside. `end` is
/// what closes it.
pub fn page(title: &str, body: &str, end: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en-GB\"><head><meta charset=\"utf-8\">\
         <meta name=\"viewport\" content=\"width=device-width\"><title>{}</title>\
         <style>{STYLE}</style></head><body>\n<p class=\"caution\">{CAUTION}</p>\n{body}\n\
         <section class=\"end\">{end}<p class=\"caution\">{CAUTION}</p></section></body></html>\n",
        escape(title)
    )
}

/// How a sheet is read, and its sources.
fn key(sources: &[&str]) -> String {
    let listed: String =
        sources.iter().map(|s| format!("<li>{}</li>", escape(s))).collect::<Vec<_>>().join("\n");
    format!(
        "<h2>How to read it</h2><p>○ holds. ◐ close: within 10 % of the limit, or past it at the \
         bad end of a weak input. ● fails. A margin is the share of the limit that is \
         left.</p><h2>Sources</h2><ol>{listed}</ol>"
    )
}

impl Sheet<'_> {
    /// The sheet as a page.
    pub fn html(&self) -> String {
        let sources = sources(std::slice::from_ref(self));
        let mut body = String::new();
        // Writing to a String cannot fail.
        let _ = write_sheet(&mut body, self, &sources);
        page(&format!("{}: the lift on paper", self.scene.name), &body, &key(&sources))
    }
}

impl Comparison<'_> {
    /// A page with the methods side by side and every sheet after it.
    pub fn html(&self) -> String {
        let sources = sources(&self.sheets);
        let mut body =
            String::from("<section><h1>Lift methods side by side</h1><table><thead><tr><th></th>");
        for sheet in &self.sheets {
            let _ = write!(body, "<th>{}</th>", escape(&sheet.scene.name));
        }
        body.push_str("</tr></thead><tbody>");
        for (what, cells) in &self.lines {
            let _ = write!(body, "<tr><td><b>{what}</b></td>");
            for cell in cells {
                let _ = write!(body, "<td>{}</td>", prose(cell));
            }
            body.push_str("</tr>\n");
        }
        body.push_str("</tbody></table>");
        // Each method at a glance; its own page has the figures.
        body.push_str("<div class=\"glance\">");
        for sheet in &self.sheets {
            if let Some(side) = views(sheet).first() {
                let name = escape(&sheet.scene.name);
                let _ = write!(body, "<figure>{side}<figcaption>{name}</figcaption></figure>");
            }
        }
        body.push_str("</div></section>");
        for sheet in &self.sheets {
            let _ = write_sheet(&mut body, sheet, &sources);
        }
        page("Lift methods side by side", &body, &key(&sources))
    }
}

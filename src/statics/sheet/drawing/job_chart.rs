//! The job as a bar chart: a bar for each task over the minutes, with the people who do it, and a
//! line from what it waited for.

use super::canvas::{PAGE_UNITS, escape};
use crate::statics::job::{Held, WorkPace};
use crate::statics::sheet::Sheet;
use std::fmt::Write;

/// Drawing units: height of a row, room for names, for people.
const ROW: f64 = 12.0;
const NAMES: f64 = 215.0;
const PEOPLE: f64 = 60.0;
/// Longer names are cut, letters.
const NAME_LETTERS: usize = 42;
/// At most so many minutes are marked.
const MARKS: usize = 8;
const MINUTE_S: f64 = 60.0;

/// None where there is no plan.
pub fn job_chart(sheet: &Sheet<'_>) -> Option<String> {
    let plan = sheet.plan.as_ref()?;
    let job = sheet.job.as_ref()?;
    let slots = job.slots(WorkPace::Usual);
    let who = job.who(WorkPace::Usual);
    let end_s = slots.iter().map(|slot| slot.end_s).fold(MINUTE_S, f64::max);
    let x = |s: f64| NAMES + (PAGE_UNITS - NAMES - PEOPLE) * s / end_s;
    let bottom = ROW * (slots.len() as f64 + 1.0);
    let mut svg = String::new();
    let minutes = (end_s / MINUTE_S).floor() as usize;
    let step = [1, 2, 5, 10, 20, 60].into_iter().find(|step| minutes / step <= MARKS).unwrap_or(60);
    // Writing to a String cannot fail.
    for minute in (0..=minutes).step_by(step) {
        let at = x(minute as f64 * MINUTE_S);
        let _ = writeln!(
            svg,
            "<path class=\"rule\" d=\"M{at:.1} {ROW:.0} V{bottom:.0}\"/>\
             <text x=\"{at:.1}\" y=\"{:.0}\" text-anchor=\"middle\">{minute} min</text>",
            ROW - 3.0
        );
    }
    let order = |index| plan.scene.order_text(index, sheet.units);
    for (row, ((task, slot), who)) in job.list.tasks.iter().zip(slots).zip(&who).enumerate() {
        let top = ROW * (row as f64 + 1.0);
        let (from, to, foot) = (x(slot.begin_s), x(slot.end_s), top + ROW - 3.0);
        if let Held::After(other) | Held::People(other) = slot.held {
            let start = ROW * (other as f64 + 2.0) - 2.0;
            let _ = writeln!(
                svg,
                "<path class=\"lead\" d=\"M{from:.1} {start:.1} V{:.1}\"/>",
                top + 2.0
            );
        }
        let class = if task.order.is_some() { "bag" } else { "wedge" };
        let _ = writeln!(
            svg,
            "<rect class=\"{class}\" x=\"{from:.1}\" y=\"{:.1}\" width=\"{:.1}\" \
             height=\"{:.1}\"/><text x=\"{:.0}\" y=\"{foot:.1}\" text-anchor=\"end\">{}</text>\
             <text x=\"{:.1}\" y=\"{foot:.1}\">{}</text>",
            top + 2.0,
            (to - from).max(1.0),
            ROW - 4.0,
            NAMES - 6.0,
            escape(&cut(&task.words(order))),
            to + 4.0,
            people(who)
        );
    }
    // The gap is reached shortly before timber has followed: one word on either side.
    let marks = [
        ("ready", "middle", Some(job.ready_s(WorkPace::Usual))),
        ("gap", "end", job.reached_s(WorkPace::Usual)),
        ("timber", "start", job.captured_s(WorkPace::Usual)),
    ];
    for (name, anchor, at_s) in marks {
        let Some(at_s) = at_s else { continue };
        let at = x(at_s);
        let _ = writeln!(
            svg,
            "<path class=\"mark\" d=\"M{at:.1} {ROW:.0} V{bottom:.0}\"/>\
             <text x=\"{at:.1}\" y=\"{:.0}\" text-anchor=\"{anchor}\">{name}</text>",
            bottom + ROW - 3.0
        );
    }
    Some(format!(
        "<svg viewBox=\"0 0 {PAGE_UNITS:.0} {:.0}\" style=\"width:100%\" role=\"img\" \
         aria-label=\"The job by the clock\">\n{svg}</svg>\n",
        bottom + ROW + 2.0
    ))
}

/// Who does a task, in words.
fn people(who: &[usize]) -> String {
    if who.is_empty() {
        return "command".to_owned();
    }
    who.iter().map(|who| (who + 1).to_string()).collect::<Vec<_>>().join(" ")
}

/// A name that fits.
fn cut(name: &str) -> String {
    match name.char_indices().nth(NAME_LETTERS) {
        Some((end, _)) => format!("{}…", name[..end].trim_end()),
        None => name.to_owned(),
    }
}

//! Attempts as a table: CSV for a spreadsheet, and lines for a terminal. One row an attempt, in
//! turn; no row is a score, and none is added up.

use super::attempt::{Attempt, Came, Lifted};
use super::log::Attempts;
use crate::caution::CAUTION;
use crate::printable::{cell, in_a_line};
use crate::units::UnitSystem;

/// The headings of the table.
const HEAD: [&str; 20] = [
    "when_utc",
    "seat",
    "task",
    "title",
    "scene",
    "answer",
    "said_ends",
    "was_ends",
    "said_first",
    "was_first",
    "said_where",
    "was_where",
    "said_rise_m",
    "was_rise_m",
    "why",
    "changes",
    "not_on_the_truck",
    "practice",
    "hints",
    "took_s",
];

/// The attempts as CSV, with the caution in a line of its own at the end.
///
/// # Errors
/// None in practice: it is written to memory.
pub fn attempts_csv(attempts: &Attempts) -> Result<Vec<u8>, csv::Error> {
    let mut bytes = Vec::new();
    let mut out = csv::WriterBuilder::new().flexible(true).from_writer(&mut bytes);
    out.write_record(HEAD)?;
    for attempt in &attempts.all {
        out.write_record(row(attempt).map(|text| cell(&text).into_owned()))?;
    }
    out.write_record([CAUTION])?;
    out.flush()?;
    drop(out);
    Ok(bytes)
}

fn row(attempt: &Attempt) -> [String; 20] {
    let metres = |m: f64| format!("{m:.3}");
    let lifted = match &attempt.came {
        Came::Lifted(lifted) => Some(&**lifted),
        Came::Stopped { .. } => None,
    };
    let of = |text: fn(&Lifted) -> String| lifted.map(text).unwrap_or_default();
    [
        utc(attempt.at_s),
        attempt.seat.to_string(),
        attempt.task.clone(),
        attempt.title.clone(),
        attempt.scene.clone(),
        attempt.came.say(),
        of(|l| l.said.ends.clone()),
        of(|l| l.happened.ends.clone()),
        of(|l| l.said.first.clone()),
        of(|l| l.happened.first.clone()),
        of(|l| l.said.place.clone()),
        of(|l| l.happened.place.clone()),
        lifted.map(|l| metres(l.said.rise_m)).unwrap_or_default(),
        lifted.map(|l| metres(l.happened.rise_m)).unwrap_or_default(),
        of(|l| l.happened.why.clone()),
        attempt.changes.join("; "),
        of(|l| l.short.join("; ")),
        of(|l| l.practice.join("; ")),
        attempt.hints.to_string(),
        format!("{:.0}", attempt.took_s),
    ]
}

/// The attempts as text, a few lines each.
pub fn attempts_text(attempts: &Attempts, units: UnitSystem) -> String {
    let mut out = String::new();
    for attempt in &attempts.all {
        out += &format!(
            "{}  seat {}  {}\n",
            utc(attempt.at_s),
            attempt.seat,
            in_a_line(&attempt.title)
        );
        for line in attempt.lines(units) {
            out += &format!("    {}\n", in_a_line(&line));
        }
    }
    if attempts.all.is_empty() {
        out += "No attempt is in the log.\n";
    }
    if let Some(unread) = attempts.say_unread() {
        out += &format!("{unread}\n");
    }
    format!("{out}\n{CAUTION}\n")
}

impl Came {
    /// The answer in a word or two.
    pub fn say(&self) -> String {
        match self {
            Self::Lifted(lifted) => lifted.outcome.clone(),
            Self::Stopped { why } => format!("stopped: {}", why.say().to_lowercase()),
        }
    }
}

impl Attempt {
    /// What is told of it besides when and where, a line each.
    pub fn lines(&self, units: UnitSystem) -> Vec<String> {
        let mut lines = vec![format!("Answer: {}.", self.came.say())];
        if let Came::Lifted(lifted) = &self.came {
            let Lifted { said, happened, practice, short, casualty, .. } = &**lifted;
            for [of, said, was] in said.beside(happened, units) {
                lines.push(format!("{of}: said \"{said}\"; it was \"{was}\"."));
            }
            lines.push(happened.why.clone());
            lines.extend((!casualty.is_empty()).then(|| format!("Casualty: {casualty}.")));
            lines.extend(short.iter().map(|short| format!("Not on the truck: {short}")));
            lines.extend(practice.iter().map(|point| format!("Practice: {point}.")));
        }
        lines.push(match self.changes.len() {
            0 => "Changed: nothing.".to_owned(),
            n => format!("Changed ({n}): {}.", self.changes.join(", ")),
        });
        lines.push(format!("Hints: {}. Time: {:.0} s.", self.hints, self.took_s));
        lines
    }
}

/// A time as a date and a time of day, UTC: by Gregorian rules from 1970 on.
pub fn utc(at_s: u64) -> String {
    let (days, second) = (at_s / 86_400, at_s % 86_400);
    // Years begin in March here, so that the day that is left out at times is the last.
    let day = days + 719_468;
    let era = day / 146_097;
    let of_era = day % 146_097;
    let year = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let month = (5 * of_year + 2) / 153;
    let date = of_year - (153 * month + 2) / 5 + 1;
    let (month, next) = if month < 10 { (month + 3, 0) } else { (month - 9, 1) };
    let year = year + 400 * era + next;
    format!("{year:04}-{month:02}-{date:02} {:02}:{:02}", second / 3600, second % 3600 / 60)
}

#[cfg(test)]
mod tests {
    use super::utc;

    /// Against dates whose seconds are well known.
    #[test]
    fn a_time_is_a_date() {
        for (at_s, told) in [
            (0, "1970-01-01 00:00"),
            (951_782_400, "2000-02-29 00:00"),
            (1_000_000_000, "2001-09-09 01:46"),
            (1_709_251_199, "2024-02-29 23:59"),
            (4_102_444_800, "2100-01-01 00:00"),
        ] {
            assert_eq!(utc(at_s), told);
        }
    }
}

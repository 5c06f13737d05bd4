//! The log of attempts as a page that prints: each attempt with what was said beside what
//! happened. The caution stands at the head and the foot of each page.

use super::attempt::{Attempt, Came};
use super::log::Attempts;
use super::table::utc;
use crate::caution::CAUTION;
use crate::statics::sheet::{columns, page};
use crate::units::UnitSystem;
use maud::{Markup, html};

/// The page.
pub fn attempts_page(attempts: &Attempts, units: UnitSystem) -> String {
    let title = "Attempts";
    let body = html! {
        section {
            h1 { (title) }
            p {
                "Each lift beside what was said of it before. Nothing here is a score, and nothing \
                 is added up: talk it over with the recruit."
            }
            table {
                (columns(&[20, 40, 40]))
                thead { tr { th { "When and what" } th { "Said and done" } th { "What happened" } } }
                tfoot { tr { td colspan="3" { b { (CAUTION) } } } }
                tbody { @for attempt in &attempts.all { (row(attempt, units)) } }
            }
            @if attempts.all.is_empty() { p { "No attempt is in the log." } }
            @if let Some(unread) = attempts.say_unread() { p { (unread) } }
        }
    };
    page(title, &body, &html! {})
}

fn row(attempt: &Attempt, units: UnitSystem) -> Markup {
    html! {
        tr {
            td {
                b { (attempt.title) }
                p { (utc(attempt.at_s)) " UTC" }
                p { "Seat " (attempt.seat) }
                p { "Hints: " (attempt.hints) }
                p { (format!("{:.0} s", attempt.took_s)) }
            }
            td {
                @match &attempt.came {
                    Came::Stopped { .. } => b { (attempt.came.say()) },
                    Came::Lifted(lifted) => {
                        @for [of, said, _] in lifted.said.beside(&lifted.happened, units) {
                            p { (of) ": " (said) }
                        }
                    },
                }
                p {
                    "Changed: "
                    @if attempt.changes.is_empty() { "nothing" } @else { (attempt.changes.join(", ")) }
                }
            }
            td {
                @if let Came::Lifted(lifted) = &attempt.came {
                    b { (attempt.came.say()) }
                    @for [of, _, was] in lifted.said.beside(&lifted.happened, units) {
                        p { (of) ": " (was) }
                    }
                    p { (lifted.happened.why) }
                    @if !lifted.casualty.is_empty() { p { "Casualty: " (lifted.casualty) } }
                    @for short in &lifted.short { p { "Not on the truck: " (short) } }
                    @for point in &lifted.practice { p { "Practice: " (point) } }
                }
            }
        }
    }
}

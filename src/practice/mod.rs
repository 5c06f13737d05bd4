//! Whether a lift was done as the trade does it, beside how it ended: rules over what was
//! recorded, one a file, of the set-up, of the raising and of the end. They move no outcome, and
//! come to no score: a lift can end well in this model and be badly done. Touches no body.

mod beside;
mod end;
mod freed;
mod going;
mod raising;
mod record;
mod rule;
mod set_up;

pub use freed::{Freed, PersonState};
pub use record::Record;
pub use rule::{Point, Rule, RuleLimit, Stretch, Unit};

use crate::scene::list_in_words;

/// Every rule, by what it looks at and in the order of a lift.
pub static STRETCHES: [&Stretch; 3] = [&set_up::STRETCH, &raising::STRETCH, &end::STRETCH];

/// What the points stand under.
pub const HEADING: &str = "Points of practice in set-up and lift";

/// What is said where no rule has a point.
pub const NO_POINT: &str = "no listed point was found";

/// What the rules say of a lift.
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// Where it did not keep to a rule, in turn.
    pub points: Vec<Point>,
    /// How each person with trapped limbs lies at the last moment.
    pub people: Vec<PersonState>,
    /// When the first thing went wrong, s: nothing after that is looked at.
    pub failed_s: Option<f64>,
}

impl Practice {
    /// Holds a lift against every rule.
    pub fn of(record: &Record<'_>) -> Self {
        let rules = STRETCHES.iter().flat_map(|stretch| stretch.rules);
        let mut points: Vec<Point> = rules.flat_map(|rule| (rule.find)(record)).collect();
        points.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
        Self { points, people: freed::freed(record), failed_s: record.failed_s }
    }

    /// What the points stand under: how far the lift was looked at.
    pub fn heading(&self) -> String {
        match self.failed_s {
            Some(failed_s) => {
                format!("{HEADING} (up to {failed_s:.1} s, when something went wrong)")
            }
            None => HEADING.to_owned(),
        }
    }

    /// How everybody lies, in words, with what is to be said beside it; none where there are no
    /// limbs.
    pub fn say_casualty(&self) -> Option<String> {
        match self.people.as_slice() {
            [] => None,
            [one] => Some(one.say()),
            more => {
                let mut states: Vec<String> = Vec::new();
                for person in more {
                    let state = person.say();
                    if !states.contains(&state) {
                        states.push(state);
                    }
                }
                // People in the same state share a sentence.
                let sentence = |state: String| {
                    let names = more.iter().filter(|person| person.say() == state);
                    format!("{}: {state}", list_in_words(names.map(|person| person.name.as_str())))
                };
                Some(states.into_iter().map(sentence).collect::<Vec<_>>().join(". "))
            }
        }
    }

    /// How the person lies to whom a limb belongs, by its place in the scene's list.
    pub fn of_limb(&self, limb: usize) -> Option<Freed> {
        let person = self.people.iter().find(|person| person.limbs.contains(&limb))?;
        Some(person.freed)
    }

    /// How the casualty lies: as the worst of the people.
    pub fn casualty(&self) -> Option<Freed> {
        self.people.iter().map(|person| person.freed).min()
    }
}

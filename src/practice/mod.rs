//! Whether a lift was done as the trade does it, beside how it ended: rules over what was
//! recorded, one a file. They move no outcome, and come to no score: a lift can end well in
//! this model and be badly done. Touches no body.

mod capture_base;
mod far_end;
mod freed;
mod on_timber;
mod overhang;
mod packing;
mod pad;
mod record;
mod regulator;
mod rise_on_air;
mod rule;
mod shims;
mod shut_off;
mod stack_base;
mod stakes;
mod too_high;
mod under_air;

pub use freed::{Freed, PersonState};
pub use record::Record;
pub use rule::{Limit, Point, Rule, Unit};

/// Every rule, in the order of a lift.
pub static RULES: [&Rule; 14] = [
    &far_end::RULE,
    &stakes::RULE,
    &packing::RULE,
    &stack_base::RULE,
    &overhang::RULE,
    &shims::RULE,
    &pad::RULE,
    &regulator::RULE,
    &rise_on_air::RULE,
    &capture_base::RULE,
    &shut_off::RULE,
    &too_high::RULE,
    &on_timber::RULE,
    &under_air::RULE,
];

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
        let mut points: Vec<Point> = RULES.iter().flat_map(|rule| (rule.find)(record)).collect();
        points.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
        Self { points, people: freed::freed(record), failed_s: record.failed_s }
    }

    /// What the points stand under: how far the lift was looked at.
    pub fn heading(&self) -> String {
        let heading = "How it was done, apart from how it ended";
        match self.failed_s {
            Some(failed_s) => {
                format!("{heading} (up to {failed_s:.1} s, when something went wrong)")
            }
            None => heading.to_owned(),
        }
    }

    /// How everybody lies, in words, with what is to be said beside it; none where there are no
    /// limbs.
    pub fn say_casualty(&self) -> Option<String> {
        match self.people.as_slice() {
            [] => None,
            [one] => Some(one.say()),
            more => {
                let say = |person: &PersonState| format!("{}: {}", person.name, person.say());
                Some(more.iter().map(say).collect::<Vec<_>>().join(". "))
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

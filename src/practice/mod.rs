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

pub use freed::Freed;
pub use record::Record;
pub use rule::{Limit, Point, Rule, Stretch, Unit};

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
    /// How each limb lies at the last moment, in the scene's order.
    pub freed: Vec<Freed>,
    /// When the first thing went wrong, s: nothing after that is looked at.
    pub failed_s: Option<f64>,
}

impl Practice {
    /// Holds a lift against every rule.
    pub fn of(record: &Record<'_>) -> Self {
        let rules = STRETCHES.iter().flat_map(|stretch| stretch.rules);
        let mut points: Vec<Point> = rules.flat_map(|rule| (rule.find)(record)).collect();
        points.sort_by(|a, b| a.t_s.total_cmp(&b.t_s));
        let last = record.history.last();
        Self {
            points,
            freed: last.map_or_else(Vec::new, |last| freed::freed(record, last)),
            failed_s: record.failed_s,
        }
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

    /// How the casualty lies, in words, with what is to be said beside it; none where there are
    /// no limbs.
    pub fn say_casualty(&self) -> Option<String> {
        let casualty = self.casualty()?;
        let note = match casualty {
            Freed::Trapped if self.failed_s.is_some() => "something went wrong",
            Freed::Trapped => "a limb has less than the working clearance over it",
            Freed::ClearOnAir => "more of the load rests on air than on timber",
            Freed::ToBeReleased => "when to release is a medical decision",
        };
        Some(format!("{}; {note}", casualty.word()))
    }

    /// How the casualty lies: as the worst of the limbs.
    pub fn casualty(&self) -> Option<Freed> {
        self.freed.iter().copied().min()
    }
}

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

pub use freed::Freed;
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
    /// How each limb lies at the last moment, in the scene's order.
    pub freed: Vec<Freed>,
    /// When the first thing went wrong, s: nothing after that is looked at.
    pub failed_s: Option<f64>,
}

impl Practice {
    /// Holds a lift against every rule.
    pub fn of(record: &Record<'_>) -> Self {
        let mut points: Vec<Point> = RULES.iter().flat_map(|rule| (rule.find)(record)).collect();
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
        let heading = "How it was done, apart from how it ended";
        match self.failed_s {
            Some(failed_s) => {
                format!("{heading} (up to {failed_s:.1} s, when something went wrong)")
            }
            None => heading.to_owned(),
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

//! A capture stack bears no more than it is rated for.

use crate::practice::record::Record;
use crate::practice::rule::{Point, Rule, RuleLimit, Unit};
use crate::scene::Capture;
use crate::tables::CRIB_RATING_PA;
use crate::units::Dimension;

/// Two timbers cross two.
const CROSSINGS: f64 = 4.0;

pub(super) static RULE: Rule = Rule {
    word: "capture_rating",
    asks: "a capture stack bears no more than it is rated for",
    unit: Unit::Si(Dimension::Force),
    limit: RuleLimit::OfThePart(
        "at most 500 psi on each of its four crossings: 109 kN of 4x4 or 2x4",
    ),
    takes: "the most that a capture stack held up of the vehicle or of the beam; all corners bear",
    source: "California State Fire Training, Rescue Systems 1 (2000), chapter 30, for cribs of two \
             timbers a layer",
    find,
    say: |point, _, u| {
        format!(
            "{} bore up to {}, and is rated for {}",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    RULE.of_captures(record, rated_n, |_, state| state.load_n)
}

/// What it is rated for by its narrower timber, N.
fn rated_n(capture: &Capture) -> f64 {
    let width_m = capture.lowest().width_m.min(capture.step.width_m);
    CROSSINGS * width_m * width_m * CRIB_RATING_PA
}

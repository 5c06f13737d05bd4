//! What was lifted rests on timber at the end.

use super::record::{BEARS_N, Record};
use super::rule::{Limit, Point, Rule, Unit};
use crate::snapshot::Snapshot;
use crate::units::Dimension;

/// More of the load rests on timber than on air (that half is enough is assumed).
pub(super) const LEAST: f64 = 0.5;

pub(super) static RULE: Rule = Rule {
    word: "on_timber",
    asks: "what was lifted rests on timber at the end",
    unit: Unit::Si(Dimension::Fraction),
    limit: Limit::AtLeast(LEAST),
    takes: "what capture stacks bear at the end, as a share of what they and the bags bear; a \
            half is taken",
    source: "EN 13731:2007, introduction, for timber beside bags; the share is common practice, no \
             source",
    find,
    say: |point, _, u| {
        format!(
            "{} of what was lifted rested on timber at the end, and the rest on air (at least {})",
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

/// What timber bears of the lifted load at a moment, 0 to 1; none where air bears nothing.
pub(super) fn share(record: &Record<'_>, now: &Snapshot) -> Option<f64> {
    let [timber_n, air_n] = record.timber_and_air_n(now);
    (air_n > BEARS_N).then(|| timber_n.max(0.0) / (timber_n.max(0.0) + air_n))
}

fn find(record: &Record<'_>) -> Vec<Point> {
    let Some(end) = record.end else { return Vec::new() };
    let share = share(record, end).filter(|share| *share < LEAST);
    let at = (end.t_s, record.scene.vehicle.name.as_str(), end.vehicle.com);
    share.map(|share| RULE.point(at, Some(share), LEAST)).into_iter().collect()
}

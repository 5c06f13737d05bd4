//! Timber follows the load as it rises.

use crate::practice::record::{Record, passes, unheld_m};
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::snapshot::PartKind;
use crate::units::Dimension;

/// An inch is lifted and an inch is cribbed (common practice, no source). Twice that is taken
/// here, m: a layer of 2x4 laid flat is 38 mm, and goes in once there is room for it.
const LIMIT_M: f64 = 0.050;

pub(super) static RULE: Rule = Rule {
    word: "rise_on_air",
    asks: "timber follows the load as it rises",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtMost(LIMIT_M),
    takes: "how far the load on air would come down onto the nearest capture stack, or to where \
            it lay; an inch is asked for, two are taken: a layer of 2x4 laid flat needs that room \
            to go in",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "the load above {} stood up to {} over the nearest timber, on air only (limit {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let moments = record.history.iter().filter_map(|now| {
        let bag = record.bearing_bag(now)?;
        Some((*now, bag, unheld_m(now)))
    });
    let point = passes(LIMIT_M, moments).map(|(now, bag, most_m)| {
        let place = record.place_of(PartKind::BagFace { bag, upper: true }, now);
        let at = (now.t_s, record.scene.bags[bag].name.as_str(), place);
        RULE.point(at, Some(most_m), LIMIT_M)
    });
    point.into_iter().collect()
}

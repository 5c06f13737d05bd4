//! The load rises evenly wherever it is lifted.

use crate::practice::record::{Record, passes};
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::snapshot::PartKind;
use crate::units::Dimension;

/// One place may be an inch ahead of another, m (taken: what is seen from the controller).
const LIMIT_M: f64 = 0.025;

pub(super) static RULE: Rule = Rule {
    word: "even_rise",
    asks: "the load rises evenly wherever it is lifted",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtMost(LIMIT_M),
    takes: "how much further the load has risen at one topmost bag than at another; an inch is \
            taken",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "the load stood up to {} higher over its start at one lift point than at {} (limit {})",
            point.shown(u),
            point.part,
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let moments = record.history.iter().filter_map(|now| {
        let rises = || record.topmost_bags().zip(now.lift_rise_m.iter().copied());
        let (behind, least_m) = rises().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let most_m = rises().map(|(_, rise_m)| rise_m).fold(least_m, f64::max);
        Some((*now, behind, most_m - least_m))
    });
    let point = passes(LIMIT_M, moments).map(|(now, bag, most_m)| {
        let place = record.place_of(PartKind::BagFace { bag, upper: true }, now);
        let at = (now.t_s, record.scene.bags[bag].name.as_str(), place);
        RULE.point(at, Some(most_m), LIMIT_M)
    });
    point.into_iter().collect()
}

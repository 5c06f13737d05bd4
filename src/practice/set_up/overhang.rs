//! A beam stands out evenly on both sides.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::snapshot::PartKind;
use crate::units::Dimension;

/// The two ends may differ by about the width of a timber, m (taken).
const LIMIT_M: f64 = 0.10;

pub(super) static RULE: Rule = Rule {
    word: "overhang",
    asks: "a beam stands out evenly on both sides of the vehicle",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtMost(LIMIT_M),
    takes: "how much further one end stands out than the other; about the width of a timber is \
            taken",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "one end of the beam stands out {} further than the other (limit {})",
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (Some(beam), Some(now)) = (&record.scene.beam, record.set_up()) else {
        return Vec::new();
    };
    let uneven_m = 2.0 * beam.at[1].abs();
    let at = (now.t_s, "beam", record.place_of(PartKind::Beam, now));
    (uneven_m > LIMIT_M).then(|| RULE.point(at, Some(uneven_m), LIMIT_M)).into_iter().collect()
}

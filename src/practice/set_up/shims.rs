//! A beam is driven hard against the vehicle by opposing shims.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::snapshot::PartKind;

/// A pair at either opening.
const LEAST: f64 = 2.0;

pub(super) static RULE: Rule = Rule {
    word: "shims",
    asks: "a beam is driven hard against the vehicle by shims in opposing pairs",
    unit: Unit::Number,
    limit: RuleLimit::AtLeast(LEAST),
    takes: "pairs of shims, one at either opening",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "pairs of opposing shims between the beam and the vehicle: {} (at least {})",
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (Some(beam), Some(now)) = (&record.scene.beam, record.set_up()) else {
        return Vec::new();
    };
    let at = (now.t_s, "beam", record.place_of(PartKind::Beam, now));
    (!beam.shims).then(|| RULE.point(at, Some(0.0), LEAST)).into_iter().collect()
}

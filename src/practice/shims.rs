//! A beam is driven hard against the vehicle by opposing shims.

use super::record::Record;
use super::rule::{COMMON, Limit, Point, Rule, Unit};
use crate::snapshot::PartKind;

/// A pair at either opening.
const LEAST: f64 = 2.0;

pub(super) static RULE: Rule = Rule {
    word: "shims",
    asks: "a beam is driven hard against the vehicle by shims in opposing pairs",
    unit: Unit::Number,
    limit: Limit::AtLeast(LEAST),
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
    let (Some(beam), Some(first)) = (&record.scene.beam, record.history.first()) else {
        return Vec::new();
    };
    let at = (first.t_s, "beam", record.place_of(PartKind::Beam, first));
    (!beam.shims).then(|| RULE.point(at, Some(0.0), LEAST)).into_iter().collect()
}

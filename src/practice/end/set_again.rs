//! What holds the vehicle is set again after the rise.

use crate::practice::going::Going;
use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::units::Dimension;

/// After a smaller rise everything stands as it was set, m (assumed).
const RISE_M: f64 = 0.050;
/// A vehicle that has gone this far has gone a limb's thickness: a chock further off holds
/// nothing in time, m (common practice, no source).
const GAP_M: f64 = 0.10;

pub(super) static RULE: Rule = Rule {
    word: "set_again",
    asks: "chocks stand against the vehicle again after the rise",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtMost(GAP_M),
    takes: "after a rise of 50 mm or more, the least room at the end between the vehicle and a \
            chock; the chock is on the side to which it would go; on level ground a snug step \
            chock there will do",
    source: COMMON,
    find,
    say: |point, _, u| match point.figure {
        Some(_) => format!(
            "at the end the nearest chock on the side to which the vehicle would go stood {} from \
             it (limit {})",
            point.shown(u),
            point.limit_shown(u)
        ),
        None => "at the end no chock stood against the vehicle on the side to which it would go"
            .to_owned(),
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (Some(end), Some(going)) = (record.end, Going::of(record)) else { return Vec::new() };
    let scene = record.scene;
    let mut chocks = scene.chocks.iter().enumerate();
    let mut steps = scene.step_chocks.iter();
    // That no chock stands there at all is told of the set-up.
    let is_held = chocks.any(|(i, chock)| going.is_at(chock.at) && record.chock_set_s(i).is_some())
        || (!going.downhill && steps.any(|chock| going.is_at(chock.at)));
    let gap_m = going.chock_gap_m(record, end);
    let on_steps = going.snug_steps(record, end) > 0;
    let far = !on_steps && gap_m.is_none_or(|gap_m| gap_m > GAP_M);
    let at = (end.t_s, scene.vehicle.name.as_str(), end.vehicle.com);
    (is_held && end.rise_m >= RISE_M && far)
        .then(|| RULE.point(at, gap_m, GAP_M))
        .into_iter()
        .collect()
}

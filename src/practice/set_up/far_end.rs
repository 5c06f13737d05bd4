//! The end that is not lifted is held before the first air.

use crate::practice::going::Going;
use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};

/// One chock at least.
const LEAST: f64 = 1.0;

pub(super) static RULE: Rule = Rule {
    word: "far_end",
    asks: "the end that is not lifted is held before the first air",
    unit: Unit::Number,
    limit: RuleLimit::AtLeast(LEAST),
    takes: "beyond the centre of mass, seen from the lift: chocks that are set, snug step \
            chocks, or struts whose feet are tied or staked; other packing is not counted on to \
            keep that end from sliding",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "chocks or struts that held the end which is not lifted before the first air: {} (at \
             least {})",
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (Some(now), Some(going)) = (record.set_up(), Going::from_the_lift(record)) else {
        return Vec::new();
    };
    let scene = record.scene;
    let chocks = scene.chocks.iter().enumerate();
    let held = chocks.filter(|(i, chock)| going.is_at(chock.at) && record.chock_is_in_set_up(*i));
    let count = held.count() + going.snug_steps(record, now) + going.tied_struts(record);
    let count = count as f64;
    (count < LEAST)
        .then(|| RULE.point((now.t_s, &scene.vehicle.name, now.vehicle.com), Some(count), LEAST))
        .into_iter()
        .collect()
}

//! The end that is not lifted is held before the first air.

use super::record::Record;
use super::rule::{COMMON, Limit, Point, Rule, Unit};

/// One chock at least.
const LEAST: f64 = 1.0;
/// A lift nearer than this to the centre of mass has no far end, m (assumed): a chock at either
/// holds it.
const MIDDLE_M: f64 = 0.3;

pub(super) static RULE: Rule = Rule {
    word: "far_end",
    asks: "the end that is not lifted is held before the first air",
    unit: Unit::Number,
    limit: Limit::AtLeast(LEAST),
    takes: "chocks that are set beyond the centre of mass, seen from the lift; packing does not \
            keep that end from sliding, and does not count",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "chocks set at the end that is not lifted before the first air: {} (at least {})",
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let Some((air_s, com, arm)) = record.lever() else { return Vec::new() };
    let scene = record.scene;
    // Along the vehicle, or across where it lies on its side: chocks reach that way.
    let k = usize::from(scene.lies.on_side());
    let arm_m = arm[k];
    let far = |at: f64| arm_m.abs() < MIDDLE_M || (at - com[k]) * arm_m > 0.0;
    let is_set = |i: usize| record.chock_set_s(i).is_some_and(|set_s| set_s <= air_s);
    let chocks = scene.chocks.iter().enumerate();
    let count = chocks.filter(|(i, chock)| far(chock.at[k]) && is_set(*i)).count() as f64;
    if count >= LEAST {
        return Vec::new();
    }
    let place = record.history.first().map_or([0.0; 3], |first| first.vehicle.com);
    vec![RULE.point((air_s, &scene.vehicle.name, place), Some(count), LEAST)]
}

//! A chock stands against the vehicle on the side to which it would go.

use crate::practice::going::{Going, HARD_UP_M};
use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::units::Dimension;

pub(super) static RULE: Rule = Rule {
    word: "chock_gap",
    asks: "a chock stands hard up against the vehicle on the side to which it would go",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtMost(HARD_UP_M),
    takes: "the least room between the vehicle and a chock that is set, on the downhill side \
            where the ground slopes by 1° or more; else at the end that is not lifted, where a \
            snug step chock will do",
    source: COMMON,
    find,
    say: |point, _, u| match point.figure {
        Some(_) => format!(
            "the nearest chock on the side to which the vehicle would go stood {} from it (limit {})",
            point.shown(u),
            point.limit_shown(u)
        ),
        None => "no chock stood against the vehicle on the side to which it would go".to_owned(),
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (Some(now), Some(going)) = (record.set_up(), Going::of(record)) else {
        return Vec::new();
    };
    let scene = record.scene;
    let is_there = |i: usize| going.is_at(scene.chocks[i].at) && record.chock_is_in_set_up(i);
    // That the end which is not lifted has no chock at all is another rule's.
    if !going.downhill && !(0..scene.chocks.len()).any(is_there) {
        return Vec::new();
    }
    let gap_m = going.chock_gap_m(record, now);
    let at = (now.t_s, scene.vehicle.name.as_str(), now.vehicle.com);
    let on_steps = going.snug_steps(record, now) > 0;
    let far = !on_steps && gap_m.is_none_or(|gap_m| gap_m > HARD_UP_M);
    far.then(|| RULE.point(at, gap_m, HARD_UP_M)).into_iter().collect()
}

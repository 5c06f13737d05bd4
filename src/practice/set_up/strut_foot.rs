//! The foot of a strut that leans is tied or staked.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::Strut;
use crate::snapshot::PartKind;

/// One strap or one stake.
const LEAST: f64 = 1.0;
/// A strut that stands this steep leans on nobody's account, rad: 80 deg (assumed: friction holds
/// the sixth part of its load on any ground).
const PLUMB_RAD: f64 = 80.0 * std::f64::consts::PI / 180.0;

pub(super) static RULE: Rule = Rule {
    word: "strut_foot",
    asks: "the foot of a strut that leans is tied or staked",
    unit: Unit::Number,
    limit: RuleLimit::AtLeast(LEAST),
    takes: "straps and stakes at the foot of a strut at less than 80° to the ground",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "straps and stakes at the foot of {}, which leans: {} (at least {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (Some(now), scene) = (record.set_up(), record.scene) else { return Vec::new() };
    let point = |(i, strut): (usize, &Strut)| {
        let count = record.holds_of_foot(i) as f64;
        let place = record.place_of(PartKind::StrutFoot(i), now);
        (strut.to_ground_rad() < PLUMB_RAD && count < LEAST)
            .then(|| RULE.point((now.t_s, &strut.name, place), Some(count), LEAST))
    };
    scene.struts.iter().enumerate().filter_map(point).collect()
}

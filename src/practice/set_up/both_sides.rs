//! A vehicle on its side is held against going over, either way.

use crate::practice::going::{HARD_UP_M, braces};
use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::snapshot::Snapshot;

/// One strut, strap or crib on either side.
const LEAST: f64 = 1.0;

pub(super) static RULE: Rule = Rule {
    word: "both_sides",
    asks: "a vehicle on its side is held on both sides before the first air",
    unit: Unit::Number,
    limit: RuleLimit::AtLeast(LEAST),
    takes: "its wheels and its roof are looked at; struts count that lean against that side, their \
            feet tied or staked, and straps to the ground that pull the other way; so does timber \
            hard up under the vehicle, beyond the place on which it would turn over; it would turn \
            over a chock, too",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "what held the vehicle against going over onto its {}: {} (at least {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (Some(now), scene) = (record.set_up(), record.scene) else { return Vec::new() };
    if !scene.lies.on_side() || scene.bags.is_empty() {
        return Vec::new();
    }
    let point = |(way, side): (f64, &str)| {
        let count = (braces(record, now, 1, way) + timber_beyond(record, now, way)) as f64;
        let at = (now.t_s, side, now.vehicle.com);
        (count < LEAST).then(|| RULE.point(at, Some(count), LEAST))
    };
    [1.0, -1.0].into_iter().zip(scene.lies.sides()).filter_map(point).collect()
}

/// How much timber stands hard up under the vehicle beyond the outermost place where it bears on
/// the ground, a way along Z that its sign tells.
fn timber_beyond(record: &Record<'_>, now: &Snapshot, way: f64) -> usize {
    let scene = record.scene;
    let is_vehicle = |part: usize| record.parts.get(part).is_some_and(|p| p.kind.is_vehicle());
    let on_ground = now.loads.iter().filter(|load| load.by.is_none() && is_vehicle(load.on));
    let Some(turns_on) = on_ground.map(|load| way * load.point[2]).reduce(f64::max) else {
        return 0;
    };
    let fills = scene.void_fill.iter().zip(&now.void_fill);
    let fills = fills.map(|(fill, state)| (fill.at, state.clearance_m));
    let captures = scene.captures.iter().zip(&now.captures);
    let captures = captures.map(|(capture, state)| (capture.at, state.clearance_m));
    let steps = scene.step_chocks.iter().zip(&now.step_chocks);
    let steps = steps.map(|(chock, state)| (chock.at, state.clearance_m));
    let timber = fills.chain(captures).chain(steps);
    timber.filter(|(at, room_m)| way * at[1] > turns_on && *room_m <= HARD_UP_M).count()
}

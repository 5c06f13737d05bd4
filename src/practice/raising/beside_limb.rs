//! Timber beside a limb follows the load there.

use crate::practice::beside::{BESIDE_M, apart_m};
use crate::practice::record::{Record, passes};
use crate::practice::rule::{COMMON, Limit, Point, Rule, Unit};
use crate::scene::Limb;
use crate::snapshot::Snapshot;
use crate::units::Dimension;

/// As far as the load may stand over the nearest timber anywhere, m (two inches; an inch is
/// lifted and an inch is cribbed).
const LIMIT_M: f64 = 0.050;

pub(super) static RULE: Rule = Rule {
    word: "beside_limb",
    asks: "timber beside a limb follows the load there",
    unit: Unit::Si(Dimension::Length),
    limit: Limit::AtMost(LIMIT_M),
    takes: "while air bears, how far the load would come down over a limb: onto the nearest void \
            fill or capture stack whose edge is within 457 mm of the limb's, or to where it lay",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "the load over {} stood up to {} over the timber beside it or where it lay, on air (limit {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let Some(first) = record.history.first() else { return Vec::new() };
    let point = |(i, limb): (usize, &Limb)| {
        let start_m = first.limbs.get(i)?.gap_m;
        let moments = record.history.iter().filter_map(|now| {
            record.bearing_bag(now)?;
            let rise_m = now.limbs.get(i)?.gap_m - start_m;
            Some((*now, (), rise_m.min(room_beside_m(record, limb, now))))
        });
        let (now, (), most_m) = passes(LIMIT_M, moments)?;
        let place = [limb.at[0], limb.thickness_m / 2.0, limb.at[1]];
        Some(RULE.point((now.t_s, &limb.name, place), Some(most_m), LIMIT_M))
    };
    record.scene.limbs.iter().enumerate().filter_map(point).collect()
}

/// The least room over timber that stands beside a limb, m; without bound where none does.
fn room_beside_m(record: &Record<'_>, limb: &Limb, now: &Snapshot) -> f64 {
    let scene = record.scene;
    let fill = scene.void_fill.iter().zip(&now.void_fill);
    let fill = fill.map(|(fill, state)| (fill.at, fill.length_m, state.clearance_m));
    let captures = scene.captures.iter().zip(&now.captures);
    let captures = captures.map(|(spec, state)| (spec.at, spec.length_m, state.clearance_m));
    let beside =
        fill.chain(captures).filter(|(at, side_m, _)| apart_m(limb, *at, *side_m) <= BESIDE_M);
    beside.map(|(.., room_m)| room_m).fold(f64::INFINITY, f64::min)
}

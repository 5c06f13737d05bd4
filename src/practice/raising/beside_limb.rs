//! Timber beside a limb follows the load there.

use crate::practice::beside::{BESIDE_M, apart_m};
use crate::practice::record::{Record, passes};
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::{Beam, Limb};
use crate::snapshot::Snapshot;
use crate::units::Dimension;

/// As far as the load may stand over the nearest timber anywhere, m (two inches; an inch is
/// lifted and an inch is cribbed).
const LIMIT_M: f64 = 0.050;

pub(super) static RULE: Rule = Rule {
    word: "beside_limb",
    asks: "timber beside a limb follows the load there",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtMost(LIMIT_M),
    takes: "while air bears, how far the load would come down over a limb; it comes down onto \
            the nearest timber within 457 mm of the limb's edge, or to where it lay; timber is \
            void fill, a step of a step chock or a capture stack; a beam counts as the timber \
            under its two ends, by the end with more room",
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
    let fill = fill.map(|(fill, state)| (fill.at, [fill.length_m; 2], state.clearance_m));
    let steps = scene.step_chocks.iter().zip(&now.step_chocks);
    let steps = steps.map(|(chock, state)| (chock.at, chock.step_size_m(), state.clearance_m));
    let captures = scene.captures.iter().zip(&now.captures);
    let captures = captures.filter(|(spec, _)| !spec.is_under_beam());
    let captures = captures.map(|(spec, state)| (spec.at, [spec.length_m; 2], state.clearance_m));
    let beam = scene.beam.as_ref().map(|beam| {
        (beam.at, [beam.timber.width_m, beam.length_m], room_under_beam_m(record, beam, now))
    });
    let timber = fill.chain(steps).chain(captures).chain(beam);
    let beside = timber.filter(|(at, sides_m, _)| apart_m(limb, *at, *sides_m) <= BESIDE_M);
    beside.map(|(.., room_m)| room_m).fold(f64::INFINITY, f64::min)
}

/// How far the beam could come down onto the timber under its ends, m: the larger room of its two
/// ends; without bound where one has no timber under it.
fn room_under_beam_m(record: &Record<'_>, beam: &Beam, now: &Snapshot) -> f64 {
    let room_m = |side: f64| {
        let captures = record.scene.captures.iter().zip(&now.captures);
        let there = captures
            .filter(|(spec, _)| spec.is_under_beam() && (spec.at[1] - beam.at[1]) * side > 0.0);
        there.map(|(_, state)| state.clearance_m).fold(f64::INFINITY, f64::min)
    };
    room_m(1.0).max(room_m(-1.0))
}

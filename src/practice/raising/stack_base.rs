//! A stack is no taller than the corners that bear allow.

use crate::practice::record::{BEARS_N, Record};
use crate::practice::rule::{Point, Rule, RuleLimit, Unit};
use crate::scene::Stack;
use crate::snapshot::{CrossingState, PartKind, Snapshot};
use crate::tables::CRIB_SLENDER;

/// Height to base with one corner that bears, with two, with three, with all four. Fewer than
/// four have no published figure that could be found: three count as two.
const LIMITS: [f64; 4] = [1.0, 1.5, 1.5, CRIB_SLENDER];
/// A corner bears where it has this much of an even share of the load (assumed).
const EVEN_SHARE: f64 = 0.2;
/// Crossings nearer than this to the middle line are no corner's, m.
const MIDDLE_M: f64 = 0.01;

pub(super) static RULE: Rule = Rule {
    word: "stack_base",
    asks: "a stack is no taller than the corners that bear allow",
    unit: Unit::Number,
    limit: RuleLimit::OfThePart(
        "at most 3 with four corners that bear, 1.5 with three or two, 1 with one",
    ),
    takes: "height to the width over the outer timbers, at its greatest load; a corner of its \
            topmost timbers bears where it has a fifth of an even share",
    source: "four corners: shoring guides of urban search and rescue, seen in secondary copies; \
             fewer: common practice, no source",
    find,
    say: |point, _, u| {
        format!(
            "{} stood {} times as high as its base is wide, with {} of 4 corners bearing (limit \
             {})",
            point.part,
            point.shown(u),
            point.corners.unwrap_or_default(),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let stacks = record.scene.stacks.iter().enumerate();
    let point = |(i, stack): (usize, &Stack)| {
        let load_n = |now: &Snapshot| now.stacks.get(i).map_or(0.0, |state| state.load_n);
        let loaded = record.history.iter().filter(|now| load_n(now) > BEARS_N);
        let now = *loaded.max_by(|a, b| load_n(a).total_cmp(&load_n(b)))?;
        let corners = corners(record, i, stack, now);
        let limit = *LIMITS.get(corners.checked_sub(1)?)?;
        let ratio = stack.height_m() / (2.0 * stack.bearing_half_m());
        let place = record.place_of(PartKind::StackTimber { stack: i, layer: 0 }, now);
        (ratio > limit).then(|| Point {
            corners: Some(corners),
            ..RULE.point((now.t_s, &stack.name, place), Some(ratio), limit)
        })
    };
    stacks.filter_map(point).collect()
}

/// How many of its four corners bear, where its topmost timbers cross.
fn corners(record: &Record<'_>, i: usize, stack: &Stack, now: &Snapshot) -> usize {
    let top = PartKind::StackTimber { stack: i, layer: stack.layers.saturating_sub(1) };
    let is_top =
        |state: &&CrossingState| record.parts.get(state.upper).is_some_and(|part| part.kind == top);
    let crossings: Vec<&CrossingState> = now.crossings.iter().filter(is_top).collect();
    if crossings.is_empty() {
        // A single layer, which lies on the ground.
        return LIMITS.len();
    }
    let count = crossings.len() as f64;
    let even_n = crossings.iter().map(|state| state.force_n).sum::<f64>() / count;
    // From the timbers themselves: where few corners bear, the crossings that are left are no
    // measure of the middle.
    let timbers = record.parts.iter().enumerate().filter(|(_, part)| part.kind == top);
    let places: Vec<[f64; 3]> =
        timbers.filter_map(|(id, _)| Some(now.poses.get(id)?.at())).collect();
    let middle =
        [0, 2].map(|k| places.iter().map(|at| at[k]).sum::<f64>() / places.len().max(1) as f64);
    let quarters = [[1.0, 1.0], [1.0, -1.0], [-1.0, 1.0], [-1.0, -1.0]];
    let bears = |[x, z]: &[f64; 2]| {
        let in_it = |state: &&&CrossingState| {
            (state.at[0] - middle[0]) * x > MIDDLE_M && (state.at[2] - middle[1]) * z > MIDDLE_M
        };
        crossings.iter().filter(in_it).any(|state| state.force_n >= EVEN_SHARE * even_n)
    };
    quarters.iter().filter(|quarter| bears(quarter)).count()
}

//! A stack is no taller than the corners that bear allow.

use crate::practice::record::{BEARS_N, Record};
use crate::practice::rule::{Point, Rule, RuleLimit, Unit};
use crate::scene::{Bag, CarriedBy, Stack, column_on};
use crate::snapshot::{CrossingState, PartKind, Shape, Snapshot};
use crate::tables::CRIB_SLENDER;

/// Height to base with one corner that bears, with two, with three, with all four. Fewer than
/// four have no published figure that could be found: three count as two.
const LIMITS: [f64; 4] = [1.0, 1.5, 1.5, CRIB_SLENDER];
/// A corner bears where it has this much of an even share of the load (assumed).
const EVEN_SHARE: f64 = 0.2;
/// A stack is looked at while it bears this much of its greatest load (assumed): let down from, it
/// may bear on any corner.
const LOADED_SHARE: f64 = 0.5;
/// Crossings nearer than this to the middle line are no corner's, m.
const MIDDLE_M: f64 = 0.01;

pub(super) static RULE: Rule = Rule {
    word: "stack_base",
    asks: "a stack is no taller than the corners that bear allow",
    unit: Unit::Number,
    limit: RuleLimit::OfThePart(
        "at most 3 with four corners that bear, 1.5 with three or two, 1 with one",
    ),
    takes: "height of the stack with its bags, and with the block or the board on them, to the \
            width over the outer timbers; where that stands highest with half of its greatest load \
            on it or more; a corner of its topmost timbers bears where it has a fifth of an even \
            share",
    source: "four corners: shoring guides of urban search and rescue, seen in secondary copies; \
             fewer: common practice, no source",
    find,
    say: |point, _, u| {
        format!(
            "{} and its bags stood {} times as high as wide, on {} of 4 corners (limit {})",
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
        let most_n = record.history.iter().map(|now| load_n(now)).fold(0.0, f64::max);
        let least_n = BEARS_N.max(LOADED_SHARE * most_n);
        let loaded = record.history.iter().filter(|now| load_n(now) > least_n);
        let ratio = |now: &Snapshot| stack.height_to_base(carries_m(record, i, now));
        let now = *loaded
            .max_by(|a, b| ratio(a).total_cmp(&ratio(b)).then(load_n(a).total_cmp(&load_n(b))))?;
        let corners = corners(record, i, stack, now);
        let limit = *LIMITS.get(corners.checked_sub(1)?)?;
        let ratio = ratio(now);
        let place = record.place_of(PartKind::StackTimber { stack: i, layer: 0 }, now);
        (ratio > limit).then(|| Point {
            corners: Some(corners),
            ..RULE.point((now.t_s, &stack.name, place), Some(ratio), limit)
        })
    };
    stacks.filter_map(point).collect()
}

/// Height of what stands on a stack at a moment, m: the wedge under its bags, the bags, and the
/// block or the board on them.
fn carries_m(record: &Record<'_>, stack: usize, now: &Snapshot) -> f64 {
    let scene = record.scene;
    let bags = column_on(&scene.bags, stack);
    let gaps_m = bags.iter().filter_map(|&bag| Some(now.bags.get(bag)?.height_m));
    let is_on_it = |on: CarriedBy| on.stack(&scene.bags) == stack;
    let wedges = scene.wedges.iter().enumerate().filter(|(_, wedge)| is_on_it(wedge.on));
    let wedges_m: f64 = wedges.filter_map(|(i, _)| thickness_m(record, i)).sum();
    let top = bags.last().map(|&bag| CarriedBy::Bag(bag));
    let board_m = scene.beam.as_ref().zip(top).and_then(|(beam, top)| beam.pad_on(top));
    Bag::column_m(gaps_m) + wedges_m + board_m.unwrap_or(0.0)
}

/// How thick a wedge is in its middle, m; none where it could not be cut.
fn thickness_m(record: &Record<'_>, wedge: usize) -> Option<f64> {
    let part = record.parts.iter().find(|part| part.kind == PartKind::Wedge(wedge))?;
    // Its four lower corners, then its four upper ones.
    let Shape::Hull(points) = &part.shape else { return None };
    let (lower, upper) = points.split_at_checked(4)?;
    let mean_m =
        |corners: &[[f64; 3]]| corners.iter().map(|at| at[1]).sum::<f64>() / corners.len() as f64;
    Some(mean_m(upper) - mean_m(lower))
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

//! A capture stack is no taller than its base bears.

use crate::practice::record::Record;
use crate::practice::rule::{Point, Rule, RuleLimit, Unit};
use crate::scene::Capture;
use crate::snapshot::CaptureState;
use crate::tables::{CRIB_SLENDER, Timber};

pub(super) static RULE: Rule = Rule {
    word: "capture_base",
    asks: "a capture stack is no taller than its base bears",
    unit: Unit::Number,
    limit: RuleLimit::AtMost(CRIB_SLENDER),
    takes: "the height of its timber, without its wedges, to the least width over its outer \
            timbers; all corners bear",
    source: "shoring guides of urban search and rescue, seen in secondary copies; that the base \
             is the width over the outer timbers is taken",
    find,
    say: |point, _, u| {
        format!(
            "{} stood {} times as high as its base is wide (limit {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let slender =
        |capture: &Capture, state: &CaptureState| height_m(capture, state) / base_m(capture);
    RULE.of_captures(record, |_| CRIB_SLENDER, slender)
}

/// Height of its timber, m.
fn height_m(capture: &Capture, state: &CaptureState) -> f64 {
    let added = capture.steps.saturating_sub(state.steps_left) as f64;
    capture.height_m() + added * capture.step.height_m
}

/// Width over the outer timbers of its narrowest layer, m.
fn base_m(capture: &Capture) -> f64 {
    let over = |timber: Timber| 2.0 * timber.bearing_half_m(2, capture.length_m);
    over(capture.lowest()).min(over(capture.step))
}

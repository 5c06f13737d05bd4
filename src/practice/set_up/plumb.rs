//! A stack stands plumb.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::units::Dimension;

/// An inch over its whole height, m: more than that the eye sees, and a crew builds it again.
const LIMIT_M: f64 = 0.025;

pub(super) static RULE: Rule = Rule {
    word: "plumb",
    asks: "a stack stands plumb, each layer over the one below",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtMost(LIMIT_M),
    takes: "how far the top layer stands out over the lowest one, as the stack was built; on a \
            slope a stack that stands square to the ground counts as plumb; an inch is taken",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "the top of {} stood {} out over its foot (limit {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    RULE.of_stacks(record, |stack| (stack.out_of_plumb_m(), LIMIT_M))
}

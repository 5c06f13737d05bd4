//! A stack is no taller than its timber allows.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::units::Dimension;

pub(super) static RULE: Rule = Rule {
    word: "stack_height",
    asks: "a stack is no taller than its timber allows",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::OfThePart("at most 1.22 m (48 in), with 6x6 timber 1.83 m (6 ft)"),
    takes: "the height of a stack with its sole plate and its pads, whatever its base",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "{} stood {} high (limit of its timber {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    RULE.of_stacks(record, |stack| (stack.height_m(), stack.timber.crib_ceiling_m()))
}

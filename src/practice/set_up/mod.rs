//! What the rules ask of the set-up: each looks at it as the first air goes in.

mod bag_order;
mod bag_under;
mod both_sides;
mod chock_gap;
mod far_end;
mod low_side;
mod overhang;
mod packing;
mod plumb;
mod regulator;
mod shims;
mod stack_height;
mod stakes;
mod strut_angle;
mod strut_foot;

use super::rule::{Rule, Stretch};

static RULES: [&Rule; 15] = [
    &far_end::RULE,
    &chock_gap::RULE,
    &low_side::RULE,
    &both_sides::RULE,
    &stakes::RULE,
    &strut_angle::RULE,
    &strut_foot::RULE,
    &packing::RULE,
    &stack_height::RULE,
    &plumb::RULE,
    &bag_order::RULE,
    &bag_under::RULE,
    &overhang::RULE,
    &shims::RULE,
    &regulator::RULE,
];

pub(super) static STRETCH: Stretch =
    Stretch { heading: "The set-up, before the first air", rules: &RULES };

//! What the rules ask of the set-up: each looks at it as the first air goes in.

mod bag_order;
mod bag_under;
mod chock_gap;
mod far_end;
mod overhang;
mod packing;
mod regulator;
mod shims;
mod stack_height;
mod stakes;
mod strut_angle;
mod strut_foot;

use super::rule::{Rule, Stretch};

static RULES: [&Rule; 12] = [
    &far_end::RULE,
    &chock_gap::RULE,
    &stakes::RULE,
    &strut_angle::RULE,
    &strut_foot::RULE,
    &packing::RULE,
    &stack_height::RULE,
    &bag_order::RULE,
    &bag_under::RULE,
    &overhang::RULE,
    &shims::RULE,
    &regulator::RULE,
];

pub(super) static STRETCH: Stretch =
    Stretch { heading: "The set-up, before the first air", rules: &RULES };

//! What the rules ask of the lift: each looks at it from its first moment to its last.

mod bag_pressure;
mod beside_limb;
mod capture_base;
mod capture_rating;
mod even_rise;
mod ground_bearing;
mod head;
mod pad;
mod rise_on_air;
mod shut_off;
mod stack_base;
mod steep_face;
mod strut_load;
mod too_high;

use super::rule::{Rule, Stretch};

static RULES: [&Rule; 14] = [
    &head::RULE,
    &pad::RULE,
    &bag_pressure::RULE,
    &stack_base::RULE,
    &ground_bearing::RULE,
    &strut_load::RULE,
    &even_rise::RULE,
    &rise_on_air::RULE,
    &beside_limb::RULE,
    &capture_base::RULE,
    &capture_rating::RULE,
    &steep_face::RULE,
    &shut_off::RULE,
    &too_high::RULE,
];

pub(super) static STRETCH: Stretch =
    Stretch { heading: "The lift, over its course", rules: &RULES };

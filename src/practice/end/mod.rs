//! What the rules ask of the end of a lift that reached its own end.

mod on_timber;
mod set_again;
mod under_air;

use super::rule::{Rule, Stretch};

static RULES: [&Rule; 3] = [&set_again::RULE, &on_timber::RULE, &under_air::RULE];

pub(super) static STRETCH: Stretch = Stretch { heading: "The end", rules: &RULES };

//! A start that cannot be.

use crate::units::System;

/// Two parts press on each other, before anything was lifted, with more than the vehicle's
/// weight can make: they overlap or are jammed.
#[derive(Clone, Debug, PartialEq)]
pub struct Jam {
    pub part: String,
    /// What it presses on, or none where it is the ground.
    pub against: Option<String>,
    pub force_n: f64,
    /// The vehicle's weight, N.
    pub weight_n: f64,
}

impl Jam {
    /// Why this start shows nothing, and the mend.
    pub fn say(&self, units: System) -> String {
        format!(
            "this start cannot be: {} and {} press on each other with {}, {:.0} times the \
             vehicle's weight, so they overlap or are jammed; what is played from here shows \
             nothing. Move them apart, or give what drops something to lie on",
            self.part,
            self.against.as_deref().unwrap_or("the ground"),
            units.force(self.force_n),
            self.force_n / self.weight_n
        )
    }
}

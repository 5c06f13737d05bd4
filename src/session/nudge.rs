//! How far one press of an arrow key moves the chosen thing.

use crate::units::UnitSystem;

/// Small, middle, large, m: metric, and in whole or half inches.
const STEPS_M: [[f64; 3]; 2] = [[0.01, 0.05, 0.10], [0.0127, 0.0508, 0.1016]];

/// One of the three steps.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct NudgeStep(usize);

impl NudgeStep {
    pub fn length_m(self, units: UnitSystem) -> f64 {
        STEPS_M[usize::from(units == UnitSystem::Us)][self.0]
    }

    /// The next larger; after the largest the smallest.
    pub fn next(self) -> Self {
        Self((self.0 + 1) % STEPS_M[0].len())
    }
}

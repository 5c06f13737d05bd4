//! Other settings and assumed values that a yard can be built with, for surveys of what the
//! outcomes depend on. A lift is played with the shipped ones.

use super::solver::Settings;
use crate::tables::{BAG_SHEAR_SHARE, Grip};

/// The solver's settings and the assumed values of the bodies.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Physics {
    pub solver: Settings,
    pub assumed: Assumed,
}

/// Values without a source that outcomes may depend on. Those of a scene (sheet metal, soil,
/// limbs) are varied in the scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumed {
    /// Shear stiffness of an inflated bag as a share of `F / h`, no unit. Higher: a tilted bag
    /// pushes its stack harder sideways and follows it less. Lower: what lies on it drifts
    /// further before the bag holds it.
    pub bag_shear_share: f64,
    /// Factors on the friction figure of each material, no unit; a pair's friction is the
    /// geometric mean of two figures. Higher: less slips. Lower: faces and feet slip sooner.
    pub timber_grip: f64,
    pub sheet_grip: f64,
    pub rubber_grip: f64,
    pub ground_grip: f64,
}

impl Default for Assumed {
    fn default() -> Self {
        Self {
            bag_shear_share: BAG_SHEAR_SHARE,
            timber_grip: 1.0,
            sheet_grip: 1.0,
            rubber_grip: 1.0,
            ground_grip: 1.0,
        }
    }
}

impl Assumed {
    /// The friction figures of a scene with these factors.
    pub(super) fn grip(&self, scene: Grip) -> Grip {
        Grip {
            timber: scene.timber * self.timber_grip,
            sheet: scene.sheet * self.sheet_grip,
            rubber: scene.rubber * self.rubber_grip,
            ground: scene.ground * self.ground_grip,
            ..scene
        }
    }
}

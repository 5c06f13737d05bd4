//! What holds the vehicle on a slope before anything is set against it.

use super::model::Scene;
use crate::tables::{FrictionPair, Material};

/// The slope of the ground beside what the vehicle's own friction holds it on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlopeRest {
    /// The steepest fall of the ground, rad.
    pub slope_rad: f64,
    /// The slope at which it begins to slide, `atan mu`, and at which it goes on sliding, rad.
    pub slides_rad: [f64; 2],
}

impl Scene {
    /// Friction between what the vehicle lies on and the ground: its tyres' and its metal's, by
    /// the share of the weight that each bears.
    pub fn rest_friction(&self) -> Option<FrictionPair> {
        let on = |material| self.friction(material, Material::Ground(self.ground.surface));
        let (metal, rubber) = (on(Material::Sheet)?, on(Material::Rubber)?);
        let tyres = self.vehicle.rest_pose(self.lies)?.tyre_share;
        let mean = |metal: f64, rubber: f64| metal + tyres * (rubber - metal);
        let (dry, wet) = (mean(metal.dry, rubber.dry), mean(metal.wet, rubber.wet));
        // The table has one source for both.
        Some(FrictionPair { dry, wet, ..metal })
    }

    /// What pulls downhill along X and along Z where no staked chock stands in the way, as shares
    /// of the weight.
    pub fn unchocked_pull(&self) -> [f64; 2] {
        let [x, _, z] = self.ground.down();
        let pull = [x, z];
        let lies_at = self.vehicle.rest_pose(self.lies).map(|pose| pose.ground(self.vehicle.com_m));
        let [com_x, _, com_z] = lies_at.unwrap_or_default();
        let ways = self.chocks.iter().filter(|chock| chock.staked);
        let ways: Vec<[f64; 2]> = ways.map(|chock| chock.away(self.lies, [com_x, com_z])).collect();
        [0, 1].map(|k| if ways.iter().any(|way| way[k] * pull[k] > 0.0) { 0.0 } else { pull[k] })
    }

    /// Whether friction alone holds the vehicle where it lies; none where no friction is known.
    pub fn slope_rest(&self) -> Option<SlopeRest> {
        let [x, y, z] = self.ground.down();
        let friction = self.rest_friction()?.friction(self.ground.wet);
        Some(SlopeRest { slope_rad: x.hypot(z).atan2(-y), slides_rad: friction.map(f64::atan) })
    }
}

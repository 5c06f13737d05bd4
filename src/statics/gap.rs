//! The gap at a trapped limb: free height between the ground and the vehicle.

use super::plane::LaidOut;
use super::supports::Roll;
use crate::scene::{Envelope, SidePose, Solid};

/// Least height of the vehicle above a limb's pad, m; none where the vehicle is no longer
/// above it. The limb by its index.
pub fn gap_m(scene: &LaidOut, side_pose: SidePose, roll: Roll, limb: usize) -> Option<f64> {
    let (envelope, limb) = (Envelope::posed(&scene.vehicle, side_pose), &scene.limbs[limb]);
    let pad = Solid::around(limb.at, limb.size, 0.0);
    envelope.underside_over(&pad).map(|lowest| lowest.height_m + roll.up_m(limb.at[1]))
}

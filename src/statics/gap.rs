//! The gap at a trapped limb: free height between the ground and the vehicle.

use super::plane::LaidOut;
use crate::scene::{Envelope, SidePose};

/// Least height of the vehicle above the middle and the corners of a limb's pad, m; none
/// where the vehicle is no longer above it. The limb by its index.
pub fn gap_m(scene: &LaidOut, side_pose: SidePose, limb: usize) -> Option<f64> {
    let (envelope, limb) = (Envelope::posed(&scene.vehicle, side_pose), &scene.limbs[limb]);
    let [hx, hz] = limb.size.map(|s| s / 2.0);
    [[0.0, 0.0], [-hx, -hz], [-hx, hz], [hx, -hz], [hx, hz]]
        .into_iter()
        .filter_map(|[dx, dz]| envelope.underside([limb.at[0] + dx, limb.at[1] + dz]))
        .reduce(f64::min)
}

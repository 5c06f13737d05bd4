//! The gap at a trapped limb: free height between the ground and the vehicle.

use super::plane::LaidOut;
use crate::scene::{Lie, Lying};

/// Least height of the vehicle above the middle and the corners of a limb's pad, m; none
/// where the vehicle is no longer above it. The limb by its index.
pub fn gap_m(scene: &LaidOut, lie: Lie, limb: usize) -> Option<f64> {
    let (lying, limb) = (Lying::posed(&scene.vehicle, lie), &scene.limbs[limb]);
    let [hx, hz] = limb.size.map(|s| s / 2.0);
    [[0.0, 0.0], [-hx, -hz], [-hx, hz], [hx, -hz], [hx, hz]]
        .into_iter()
        .filter_map(|[dx, dz]| lying.underside([limb.at[0] + dx, limb.at[1] + dz]))
        .reduce(f64::min)
}

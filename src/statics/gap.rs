//! The gap at a trapped limb: free height between the ground and the vehicle.

use crate::scene::{Lie, Limb, Lying, Vehicle};

/// Least height of the vehicle above the middle and the corners of a limb's pad, m; none
/// where the vehicle is no longer above it.
pub fn gap_m(vehicle: &Vehicle, lie: Lie, limb: &Limb) -> Option<f64> {
    let lying = Lying::posed(vehicle, lie);
    let [hx, hz] = limb.size.map(|s| s / 2.0);
    [[0.0, 0.0], [-hx, -hz], [-hx, hz], [hx, -hz], [hx, hz]]
        .into_iter()
        .filter_map(|[dx, dz]| lying.underside([limb.at[0] + dx, limb.at[1] + dz]))
        .reduce(f64::min)
}

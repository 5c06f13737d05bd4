//! What stands beside a limb.

use crate::scene::Limb;

/// Packing this far from a limb is beside it, m (taken: the length of a short timber, 18 in).
pub(super) const BESIDE_M: f64 = 0.457;

/// From a limb's edge to that of timber with two sides, over the ground, m.
pub(super) fn apart_m(limb: &Limb, at: [f64; 2], sides_m: [f64; 2]) -> f64 {
    let [x, z] = [0, 1].map(|i| {
        let room = (limb.at[i] - at[i]).abs() - (limb.size[i] + sides_m[i]) / 2.0;
        room.max(0.0)
    });
    x.hypot(z)
}

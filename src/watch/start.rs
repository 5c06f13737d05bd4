//! The start: what cannot be while nothing has been lifted yet. Told, and nothing more: it
//! is no failure of the lift, but a set-up that says nothing.

use crate::scene::Scene;
use crate::snapshot::{Jam, Part, PartId, Snapshot};
use crate::units::GRAVITY_M_S2;
use std::collections::BTreeMap;

/// At rest all that presses is the vehicle's weight. On the shelf no two parts press on each
/// other with more than its 0.8-fold at the start; from this many times its weight on they
/// are jammed, or overlap (assumed).
const MOST_WEIGHTS: f64 = 2.0;

/// The two parts that press on each other as nothing at rest can, or none where a lift can
/// begin like this.
pub fn jam(scene: &Scene, parts: &[Part], first: &Snapshot) -> Option<Jam> {
    let mut pressed: BTreeMap<(PartId, Option<PartId>), f64> = BTreeMap::new();
    for load in &first.loads {
        let force_n = load.force.iter().map(|n| n * n).sum::<f64>().sqrt();
        // Each pair once, whichever of the two is asked.
        let pair = match load.by {
            Some(by) if by < load.on => (by, Some(load.on)),
            by => (load.on, by),
        };
        *pressed.entry(pair).or_default() += force_n;
    }
    let weight_n = scene.vehicle.mass_kg * GRAVITY_M_S2;
    let ((one, other), force_n) = pressed.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    if force_n <= MOST_WEIGHTS * weight_n {
        return None;
    }
    let name = |id: PartId| parts.get(id).map_or_else(|| "a part".into(), |p| p.name.clone());
    Some(Jam { part: name(one), against: other.map(name), force_n, weight_n })
}

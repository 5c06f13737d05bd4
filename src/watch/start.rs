//! The start: what the vehicle did before anything was lifted, and contacts that are impossible
//! then. From a start that cannot be no lift begins.

use super::observation::Observation;
use crate::scene::Scene;
use crate::snapshot::{Finding, Jam, Jammed, Measured, Part, PartId, PartKind, Settling, Snapshot};
use crate::units::GRAVITY_M_S2;
use std::collections::BTreeMap;

/// At rest nothing presses but the vehicle's weight. On the shelf no two parts press on each
/// other with more than its 0.8-fold at the start; from this many times its weight on they are
/// jammed (assumed).
const MOST_WEIGHTS: f64 = 2.0;
/// Void fill is driven by half a millimetre; what stands deeper in another part than this was
/// set into it, m (assumed).
const OVERLAP_M: f64 = 0.005;

/// What the vehicle did before the lift began, where it does not lie still.
pub(super) fn unrest(seen: &Observation<'_>, settling: &Settling) -> Option<Finding> {
    let scene = seen.scene;
    if settling.is_still(scene) {
        return None;
    }
    let rest = scene.slope_rest();
    let (turned_rad, travel_m) = (settling.turned_rad(), settling.slide_m);
    let limit_rad = Settling::turn_limit_rad(scene);
    let measured = if turned_rad.abs() > limit_rad {
        Measured::RollAtRest { turned_rad, limit_rad, rest }
    } else {
        Measured::SlideAtRest { travel_m, limit_m: Settling::slide_limit_m(scene), rest }
    };
    Some(seen.finding(seen.now.t_s, &scene.vehicle.name, seen.now.vehicle.com, measured))
}

/// The two parts that stand in each other as they were set, or press on each other as nothing
/// at rest can; none where a lift can begin like this. `overlap` is the deepest of the set-up,
/// m, with the two parts.
pub fn jam(
    scene: &Scene,
    parts: &[Part],
    overlap: Option<(PartId, PartId, f64)>,
    first: &Snapshot,
) -> Option<Jam> {
    if let Some((one, other, depth_m)) = overlap
        && depth_m > OVERLAP_M
    {
        let how = Jammed::Overlap { depth_m, limit_m: OVERLAP_M };
        return Some(jam_of(scene, parts, (one, Some(other)), how));
    }
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
    let limit_n = MOST_WEIGHTS * weight_n;
    let (pair, force_n) = pressed.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    (force_n > limit_n)
        .then(|| jam_of(scene, parts, pair, Jammed::Pressed { force_n, weight_n, limit_n }))
}

fn jam_of(
    scene: &Scene,
    parts: &[Part],
    (one, other): (PartId, Option<PartId>),
    how: Jammed,
) -> Jam {
    let name = |id: PartId| parts.get(id).map_or_else(|| "a part".into(), |p| p.name.clone());
    let kind = |id: PartId| parts.get(id).map_or(PartKind::Vehicle, |p| p.kind);
    // What was brought can be moved, and the vehicle lies where it lies.
    let is_brought = |id: &PartId| !matches!(kind(*id), PartKind::Vehicle | PartKind::Panel(_));
    let mends = [other, Some(one)].into_iter().flatten().find(is_brought).unwrap_or(one);
    let path = kind(mends).path(scene);
    Jam { part: name(one), against: other.map(name), path, how }
}

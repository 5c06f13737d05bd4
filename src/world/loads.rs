//! What each part bears: every load between parts, or between a part and the ground.

use super::bodies::Bodies;
use super::engine::Engine;
use super::shapes::plain;
use crate::snapshot::{Load, PartId};

/// Contacts under this carry nothing worth showing, N.
pub(super) const LEAST_LOAD_N: f64 = 1.0;

/// The loads of the last step.
pub(super) fn loads(engine: &Engine, bodies: &Bodies) -> Vec<Load> {
    let mut raw = engine.loads();
    raw.retain(|l| f64::from(l.force.length()) > LEAST_LOAD_N);
    // The contacts of two bodies follow on each other; a few dozen parts need no map.
    let mut pair = None;
    raw.into_iter()
        .filter_map(|l| {
            let (point, force) = (plain(l.point), plain(l.force));
            let [on, by] = match pair {
                Some((bodies, parts)) if bodies == [l.on, l.by] => parts,
                _ => [l.on, l.by].map(|body| bodies.part_of(body)),
            };
            pair = Some(([l.on, l.by], [on, by]));
            match (on, by) {
                (Some(on), by) => Some(Load { on, by, point, force }),
                // The ground is never the one that is listed as pushed.
                (None, Some(by)) => {
                    Some(Load { on: by, by: None, point, force: force.map(|f| -f) })
                }
                (None, None) => None,
            }
        })
        .collect()
}

/// What some parts push others up with, N.
pub(super) fn up_n(
    loads: &[Load],
    by: impl Fn(PartId) -> bool,
    on: impl Fn(PartId) -> bool,
) -> f64 {
    let up = |load: &Load| match load.by {
        Some(other) if by(other) && on(load.on) => load.force[1],
        Some(other) if by(load.on) && on(other) => -load.force[1],
        _ => 0.0,
    };
    loads.iter().map(up).fold(0.0, |sum, up| sum + up)
}

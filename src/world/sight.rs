//! What a ray from an eye or from a tape meets first: a place and the face there.

use super::bodies::Bodies;
use super::engine::{Engine, Ray, Real};
use super::shapes::{plain, vector};
use crate::snapshot::PartId;

/// The longest ray, m.
const FAR_M: f64 = 60.0;

/// A place on the outside of a part or of the ground, in the ground frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sight {
    /// The part, or none for the ground.
    pub part: Option<PartId>,
    /// m; off by the 2.5 mm that corners are rounded by at most.
    pub point: [f64; 3],
    /// Out of the face, unit length.
    pub normal: [f64; 3],
}

/// The nearest place that a ray meets; `None` where it meets nothing.
pub(super) fn sight(
    engine: &Engine,
    bodies: &Bodies,
    from: [f64; 3],
    towards: [f64; 3],
) -> Option<Sight> {
    let length = towards.iter().map(|v| v * v).sum::<f64>().sqrt();
    if !(length.is_finite() && length > 0.0 && from.iter().all(|v| v.is_finite())) {
        return None;
    }
    let way = towards.map(|v| v / length);
    let along = |d: f64| [0, 1, 2].map(|i| from[i] + d * way[i]);
    let ray = Ray::new(vector(from), vector(way));
    let ground = (way[1] < 0.0 && from[1] > 0.0)
        .then(|| -from[1] / way[1])
        .filter(|d| *d < FAR_M)
        .map(|d| (d, None, [0.0, 1.0, 0.0]));
    let present = (0..bodies.parts.len()).filter(|&part| bodies.parts[part].present);
    let parts = present.flat_map(|part| {
        let near = engine.shapes(bodies.handles[part]).filter(|shape| shape.is_near(&ray, FAR_M));
        near.filter_map(move |at| {
            let hit = at.shape.cast_ray_and_get_normal(&at.pose, &ray, FAR_M as Real, true)?;
            Some((f64::from(hit.time_of_impact), Some(part), plain(hit.normal)))
        })
    });
    parts.chain(ground).min_by(|a, b| a.0.total_cmp(&b.0)).map(|(d, part, normal)| Sight {
        part,
        point: along(d),
        normal,
    })
}

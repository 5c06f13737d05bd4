//! What a ray from an eye or from a tape meets first: a place and the face there.

use super::bodies::Bodies;
use super::engine::{Engine, PlacedShape, Ray, Real};
use super::shapes::{plain, vector};
use crate::snapshot::PartId;

/// The longest ray, m.
const FAR_M: f64 = 60.0;
/// A shape's box may be off by less than this, m: positions are single precision.
pub(super) const BOX_OFF_M: f64 = 1e-4;

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

/// How far along a ray it meets the first of some shapes, m, and which that is, with what it
/// came with; `None` where none is met within a reach, m.
pub(super) fn first_met<'a, K>(
    ray: &Ray,
    reach_m: f64,
    shapes: impl IntoIterator<Item = (K, PlacedShape<'a>)>,
) -> Option<(f64, K, PlacedShape<'a>)> {
    let mut first: Option<(f64, K, PlacedShape<'a>)> = None;
    for (key, at) in shapes {
        // What is met further off than something else need not be known.
        let reach_m = first.as_ref().map_or(reach_m, |(d, ..)| reach_m.min(d + BOX_OFF_M));
        if !at.is_near(ray, reach_m) {
            continue;
        }
        let met = at.shape.cast_ray(&at.pose, ray, reach_m as Real, true).map(f64::from);
        if let Some(d) = met.filter(|d| first.as_ref().is_none_or(|(least, ..)| d < least)) {
            first = Some((d, key, at));
        }
    }
    first
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
    let shapes = present
        .flat_map(|part| engine.shapes(bodies.handles[part]).map(move |shape| (part, shape)));
    let met = first_met(&ray, FAR_M, shapes).and_then(|(d, part, at)| {
        let hit = at.shape.cast_ray_and_get_normal(&at.pose, &ray, FAR_M as Real, true)?;
        Some((d, Some(part), plain(hit.normal)))
    });
    let nearest = met.into_iter().chain(ground).min_by(|a, b| a.0.total_cmp(&b.0));
    nearest.map(|(d, part, normal)| Sight { part, point: along(d), normal })
}

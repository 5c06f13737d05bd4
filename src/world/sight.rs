//! What a ray from an eye or from a tape meets first: a place and the face there.

use super::Yard;
use super::shapes::vector;
use crate::snapshot::PartId;
use bevy_rapier3d::rapier::prelude::*;

/// How far one can see, m.
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

impl Yard {
    /// The nearest place that a ray meets; none where it goes into the sky.
    pub fn sight(&self, from: [f64; 3], towards: [f64; 3]) -> Option<Sight> {
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
        let parts = (0..self.parts.len()).filter(|&id| self.parts[id].present).flat_map(|id| {
            let body = &self.engine.bodies[self.bodies[id]];
            let pose = *body.position();
            body.colliders().iter().filter_map(move |handle| {
                let collider = &self.engine.colliders[*handle];
                let pose = collider.position_wrt_parent().map_or(pose, |local| pose * *local);
                let shape = collider.shape();
                if !shape.compute_aabb(&pose).intersects_local_ray(&ray, FAR_M as Real) {
                    return None;
                }
                let hit = shape.cast_ray_and_get_normal(&pose, &ray, FAR_M as Real, true)?;
                let n = hit.normal;
                let normal = [f64::from(n.x), f64::from(n.y), f64::from(n.z)];
                Some((f64::from(hit.time_of_impact), Some(id), normal))
            })
        });
        parts.chain(ground).min_by(|a, b| a.0.total_cmp(&b.0)).map(|(d, part, normal)| Sight {
            part,
            point: along(d),
            normal,
        })
    }

    /// Straight down in the ground frame, unit length: a slope tilts it.
    pub fn plumb(&self) -> [f64; 3] {
        self.scene.ground.down()
    }
}

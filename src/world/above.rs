//! What a capture stack follows: the vehicle over it, or the beam.

use super::bodies::Bodies;
use super::engine::Engine;
use super::site::{Cut, cut_points, wedge_points};
use super::timber_room::over_timber_m;
use super::vehicle::PlacedVehicle;
use crate::scene::Footprint;
use crate::snapshot::{PartId, PartKind, Pose, Shape};

/// What is over a capture stack.
pub(super) enum OverCapture<'a> {
    Vehicle(&'a PlacedVehicle<'a>),
    Beam(BeamUnderside),
    /// The beam that it was to follow has broken.
    Nothing,
}

/// The lower face of the beam where it lies now.
#[derive(Clone, Copy)]
pub(super) struct BeamUnderside {
    pose: Pose,
    /// Half of the beam's height and of its length, m.
    half_height_m: f64,
    half_length_m: f64,
}

impl BeamUnderside {
    /// None where there is no beam in one piece.
    pub fn of(engine: &Engine, bodies: &Bodies) -> Option<Self> {
        let part = bodies.parts.iter().position(|p| p.present && p.kind == PartKind::Beam)?;
        let Shape::Box([_, half_height_m, half_length_m]) = bodies.parts[part].shape else {
            return None;
        };
        Some(Self { pose: engine.pose(bodies.handles[part]), half_height_m, half_length_m })
    }

    /// Height of its plane over a place, m: timber laid across the beam is cut to it over all
    /// its length. None beyond the beam's ends.
    fn height_m(&self, [x, z]: [f64; 2]) -> Option<f64> {
        let up = self.pose.turned([0.0, 1.0, 0.0]);
        let middle = [0, 1, 2].map(|i| self.pose.at()[i] - self.half_height_m * up[i]);
        let y = middle[1] - (up[0] * (x - middle[0]) + up[2] * (z - middle[2])) / up[1];
        let along_m = self.pose.local([x, y, z])[2];
        (along_m.abs() <= self.half_length_m).then_some(y)
    }

    fn heights_m(&self, foot: Footprint) -> Option<[f64; 4]> {
        let [a, b, c, d] = foot.corners().map(|corner| self.height_m(corner));
        Some([a?, b?, c?, d?])
    }

    /// Least room from a part's top up to it, m; none where the part reaches beyond its ends.
    fn room_over_m(&self, engine: &Engine, bodies: &Bodies, part: PartId) -> Option<f64> {
        let pose = engine.pose(bodies.handles[part]);
        let tops: Vec<[f64; 3]> = match &bodies.parts[part].shape {
            Shape::Box([x, y, z]) => {
                [[-1.0, -1.0], [-1.0, 1.0], [1.0, 1.0], [1.0, -1.0]]
                    .map(|[a, b]| [a * x, *y, b * z])
            }
            .into(),
            Shape::Hull(points) => points.clone(),
            Shape::Vehicle => Vec::new(),
        };
        let room = |point: [f64; 3]| {
            let [x, y, z] = [0, 1, 2].map(|i| pose.at()[i] + pose.turned(point)[i]);
            Some(self.height_m([x, z])? - y)
        };
        tops.into_iter().filter_map(room).reduce(f64::min)
    }
}

impl OverCapture<'_> {
    /// Smallest room over a level footprint at a height, m; none where nothing is over it.
    pub fn clearance_m(&self, foot: Footprint, bottom_m: f64) -> Option<f64> {
        match self {
            Self::Vehicle(outline) => outline.clearance(foot, bottom_m),
            Self::Beam(beam) => {
                let least_m = beam.heights_m(foot)?.into_iter().fold(f64::MAX, f64::min);
                Some(least_m - bottom_m)
            }
            Self::Nothing => None,
        }
    }

    /// The corners of a wedge on a footprint, cut to it; see [`wedge_points`].
    pub fn wedge_points(&self, foot: Footprint, bottom_m: f64, cut: Cut) -> Option<Vec<[f64; 3]>> {
        match self {
            Self::Vehicle(outline) => wedge_points(outline, foot, bottom_m, cut),
            Self::Beam(beam) => cut_points(foot, beam.heights_m(foot)?, bottom_m, cut),
            Self::Nothing => None,
        }
    }

    /// Least room over some timber, m; none where nothing is over it.
    pub fn least_room_m(
        &self,
        engine: &Engine,
        bodies: &Bodies,
        is_timber: impl Fn(PartKind) -> bool,
    ) -> Option<f64> {
        match self {
            Self::Vehicle(outline) => over_timber_m(engine, bodies, outline, is_timber),
            Self::Beam(beam) => {
                let timber = bodies.parts.iter().enumerate();
                let timber = timber.filter(|(_, part)| part.present && is_timber(part.kind));
                timber.filter_map(|(id, _)| beam.room_over_m(engine, bodies, id)).reduce(f64::min)
            }
            Self::Nothing => None,
        }
    }
}

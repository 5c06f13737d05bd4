//! Timber put in place: everything touches, nothing overlaps. Wedges, shims and void fill are
//! cut to the face above them ([`CutFace`]), as a crew drives them until they are snug.

use super::bodies::Bodies;
use super::engine::{BodySpec, Engine, Groups, Mass, Rotation};
use super::shapes::{collider, vector};
use super::vehicle::{PlacedVehicle, VehicleBody};
use crate::scene::{Crib, CutFace, Footprint, SolePlate, Wedge};
use crate::snapshot::{Footing, PartId, PartKind, Shape};
use crate::tables::{Material, SNUG_M, TIMBER_KG_M3, Timber};

/// A part whose underside is this near the ground is laid on it, m.
const ON_GROUND_M: f64 = 0.002;

/// How a wedge is cut: the room left above it, and the thickest it may be, m.
#[derive(Clone, Copy)]
pub(super) struct Cut {
    pub room_m: f64,
    pub most_m: f64,
}

impl Cut {
    pub const SNUG: Self = Self { room_m: SNUG_M, most_m: f64::INFINITY };
}

/// Where timber is placed: around the vehicle, on hard or on soft ground.
pub(super) struct Site<'a> {
    pub engine: &'a mut Engine,
    pub bodies: &'a mut Bodies,
    pub vehicle: &'a VehicleBody,
    pub soft_ground: bool,
}

impl Site<'_> {
    /// A level timber part. What is laid on the ground where that gives way bears on earth.
    pub fn timber(
        &mut self,
        name: String,
        kind: PartKind,
        shape: Shape,
        centre: [f64; 3],
    ) -> PartId {
        let bottom_m = centre[1] + shape.lowest_m();
        let on_soil = self.soft_ground && bottom_m < ON_GROUND_M;
        let spec = BodySpec {
            position: vector(centre),
            rotation: Rotation::IDENTITY,
            shapes: collider(&shape).into_iter().collect(),
            mass: Mass::Density(TIMBER_KG_M3),
            fixed: false,
            friction: self.bodies.grip_of(Material::Timber),
            groups: if on_soil { Groups::BaseOnSoil } else { Groups::Part },
        };
        self.bodies.add(self.engine, name, kind, shape, spec)
    }

    /// A sole plate under a base, where it has one.
    pub fn sole(&mut self, name: &str, of: Footing, at: [f64; 2], sole: Option<SolePlate>) {
        let Some(sole) = sole else { return };
        let half = [sole.size[0] / 2.0, sole.thickness_m / 2.0, sole.size[1] / 2.0];
        let name = format!("{name} sole plate");
        self.timber(name, PartKind::Sole(of), Shape::Box(half), [at[0], half[1], at[1]]);
    }

    /// One layer of a crib. Even layers lie along X, odd ones along Z.
    pub fn layer(
        &mut self,
        name: &str,
        crib: Crib,
        layer: usize,
        members: usize,
        bottom_m: f64,
        kind: PartKind,
    ) {
        let Timber { width_m, height_m, .. } = crib.timber;
        let along_x = layer.is_multiple_of(2);
        for offset in crib.offsets_m(members) {
            let long = crib.length_m / 2.0;
            let (half, x, z) = if along_x {
                ([long, height_m / 2.0, width_m / 2.0], 0.0, offset)
            } else {
                ([width_m / 2.0, height_m / 2.0, long], offset, 0.0)
            };
            self.timber(
                format!("{name} layer {}", layer + 1),
                kind,
                Shape::Box(half),
                [crib.at[0] + x, bottom_m + height_m / 2.0, crib.at[1] + z],
            );
        }
    }

    /// Two wedges along X on top of a crib, cut to the vehicle above.
    pub fn strips(
        &mut self,
        name: &str,
        crib: Crib,
        bottom_m: f64,
        cut: Cut,
        kind: PartKind,
    ) -> Vec<PartId> {
        let name = format!("{name} wedge");
        let feet = crib.strips().into_iter();
        feet.filter_map(|foot| self.wedge(&name, kind, foot, bottom_m, cut)).collect()
    }

    /// A wedge of timber cut to the face above a footprint, or none where there is no
    /// room for its thin end or it would be too thick.
    pub fn wedge(
        &mut self,
        name: &str,
        kind: PartKind,
        foot: Footprint,
        bottom_m: f64,
        cut: Cut,
    ) -> Option<PartId> {
        let outline = self.vehicle.outline(self.engine, self.bodies);
        let points = wedge_points(&outline, foot, bottom_m, cut)?;
        Some(self.lay_wedge(name, kind, (foot, bottom_m), points))
    }

    /// A wedge with these corners on a footprint at a height.
    pub fn lay_wedge(
        &mut self,
        name: &str,
        kind: PartKind,
        (foot, bottom_m): (Footprint, f64),
        corners: Vec<[f64; 3]>,
    ) -> PartId {
        let centre = [foot.at[0], bottom_m, foot.at[1]];
        let shape = Shape::Hull(about(corners, centre));
        self.timber(name.to_owned(), kind, shape, centre)
    }
}

/// Points as seen from a middle.
pub(super) fn about(points: Vec<[f64; 3]>, centre: [f64; 3]) -> Vec<[f64; 3]> {
    points.into_iter().map(|p| [p[0] - centre[0], p[1] - centre[1], p[2] - centre[2]]).collect()
}

/// A wedge's bottom corners, then its top corners under the vehicle's face above; none where
/// there is no room for its thin end or it would be too thick.
pub(super) fn wedge_points(
    outline: &PlacedVehicle<'_>,
    foot: Footprint,
    bottom_m: f64,
    cut: Cut,
) -> Option<Vec<[f64; 3]>> {
    let outline = outline.over(foot);
    let face = CutFace::under(foot, |spot| outline.underside(spot))?;
    cut_points(foot, face.corners_m, bottom_m, cut)
}

/// The same under a plane face that stands so high over the corners, m.
pub(super) fn cut_points(
    foot: Footprint,
    face_m: [f64; 4],
    bottom_m: f64,
    cut: Cut,
) -> Option<Vec<[f64; 3]>> {
    let corners = foot.corners();
    let tops = face_m.map(|height| height - cut.room_m - bottom_m);
    let (least, most) = tops.iter().fold((f64::MAX, 0.0_f64), |(a, b), t| (a.min(*t), b.max(*t)));
    if least < Wedge::LEAST_M || most > cut.most_m {
        return None;
    }
    let lower = corners.map(|[x, z]| [x, bottom_m, z]);
    let upper = [0, 1, 2, 3].map(|i| [corners[i][0], bottom_m + tops[i], corners[i][1]]);
    Some(lower.into_iter().chain(upper).collect())
}

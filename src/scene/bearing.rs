//! What of a vehicle meets the ground as it lies, and how much of it lies under the surface
//! once it has gone in: an edge and the faces beside it. Geometry; what soil does under that is
//! worked out twice, by `world` and by `statics`.

use super::vehicle::{ProfilePoint, RestPose, RestsOn, TYRE_HALF_M, Vehicle};
use crate::tables::ROOF_DEPTH_M;
use std::f64::consts::PI;

/// An edge of sheet metal bears on the width of its fold before the faces beside it do, m
/// (assumed).
const FOLD_M: f64 = 0.02;
/// A tyre is a prism of this many sides: each is about as long as the flat on which a tyre stands
/// under its load.
pub const TREADS: usize = 16;

/// A place where a vehicle bears on the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VehicleEdge {
    Nose,
    RoofFront,
    RoofRear,
    Tail,
    /// The tyres of the side that it lies on.
    Tyres,
    /// The body's side.
    Side,
    RoofRail,
    /// A tyre that it stands on: front left, front right, rear left, rear right.
    Wheel(usize),
}

impl VehicleEdge {
    pub fn word(self) -> &'static str {
        const WHEELS: [&str; 4] =
            ["front left tyre", "front right tyre", "rear left tyre", "rear right tyre"];
        match self {
            Self::Nose => "nose",
            Self::RoofFront => "front edge of the roof",
            Self::RoofRear => "rear edge of the roof",
            Self::Tail => "tail",
            Self::Tyres => "tyres on the ground",
            Self::Side => "side of the body",
            Self::RoofRail => "roof rail",
            Self::Wheel(i) => WHEELS[i % WHEELS.len()],
        }
    }
}

/// An edge of a vehicle with the faces that go into soil beside it.
#[derive(Clone, Debug)]
pub struct BearingEdge {
    pub of: VehicleEdge,
    /// Its section: each face by its two ends, in the vehicle's frame, m.
    faces: Vec<[[f64; 3]; 2]>,
    /// Where it ends along the vehicle (its X), or across it (its Z), m.
    pub ends_m: [f64; 2],
    pub along: Along,
    /// How much of the way from end to end bears.
    pub wide: Wide,
    /// The width that bears before any face does, m: a fold, or the flat of a tyre's tread.
    fold_m: f64,
}

/// Which way an edge runs in the vehicle's frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    X,
    Z,
}

/// How much of an edge bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wide {
    /// All of it.
    All,
    /// Tyres of this radius at its two ends, which lie on their walls: each bears on a segment
    /// of a disc.
    TwoDiscs { radius_m: f64 },
}

/// What of an edge lies under the surface: its length along the edge, and its width across it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Print {
    pub long_m: f64,
    pub strip_m: f64,
}

impl Print {
    pub fn area_m2(self) -> f64 {
        self.long_m * self.strip_m
    }
}

/// The section of an edge as the vehicle lies: each face by the heights of its lower and its
/// upper end over the lowest of all, and by its level run, m.
#[derive(Clone, Debug)]
pub struct EdgeSection(Vec<[f64; 3]>);

impl BearingEdge {
    fn crosswise(of: VehicleEdge, half_m: f64, faces: Vec<[ProfilePoint; 2]>) -> Self {
        let faces = faces.into_iter().map(|ends| ends.map(|[x, y]| [x, y, 0.0])).collect();
        let (ends_m, along) = ([-half_m, half_m], Along::Z);
        Self { of, faces, ends_m, along, wide: Wide::All, fold_m: FOLD_M }
    }

    /// Its section in a pose, which puts each place of the vehicle at a place across the edge
    /// and a height, m.
    pub fn section(&self, place: impl Fn([f64; 3]) -> [f64; 2]) -> EdgeSection {
        let faces = self.faces.iter().map(|ends| ends.map(&place));
        let faces = faces.map(|[a, b]| [a[1].min(b[1]), a[1].max(b[1]), (a[0] - b[0]).abs()]);
        let faces: Vec<[f64; 3]> = faces.collect();
        let lowest = faces.iter().map(|face| face[0]).fold(f64::INFINITY, f64::min);
        EdgeSection(
            faces.into_iter().map(|[low, high, run]| [low - lowest, high - lowest, run]).collect(),
        )
    }

    /// Place across the edge, and height, of a place of the ground frame, m.
    pub fn across(&self, [x, y, z]: [f64; 3]) -> [f64; 2] {
        match self.along {
            Along::X => [z, y],
            Along::Z => [x, y],
        }
    }

    /// The place across it of its lowest end, and that one's height, by the same.
    pub fn lowest(&self, place: impl Fn([f64; 3]) -> [f64; 2]) -> [f64; 2] {
        let ends = self.faces.iter().flatten().map(|end| place(*end));
        ends.min_by(|a, b| a[1].total_cmp(&b[1])).unwrap_or_default()
    }

    /// The same with its section laid out in a plane.
    pub fn laid_out(&self, point: impl Fn([f64; 3]) -> ProfilePoint) -> Self {
        let lay = |end: &[f64; 3]| {
            let [x, y] = point(*end);
            [x, y, 0.0]
        };
        let faces = self.faces.iter().map(|[a, b]| [lay(a), lay(b)]).collect();
        Self { faces, ..self.clone() }
    }

    /// Where the middle of its lowest line stands on the ground in a pose, along X and Z, m.
    pub fn place(&self, pose: &RestPose) -> [f64; 2] {
        let [at, _] = self.lowest(|end| self.across(pose.ground(end)));
        let middle_m = f64::midpoint(self.ends_m[0], self.ends_m[1]);
        match self.along {
            Along::X => [pose.ground([middle_m, 0.0, 0.0])[0], at],
            Along::Z => [at, pose.ground([0.0, 0.0, middle_m])[2]],
        }
    }

    /// What of it lies under the surface where its lowest line is so deep in it, m.
    pub fn print(&self, section: &EdgeSection, depth_m: f64) -> Print {
        let under = section.0.iter().map(|[low, high, run]| {
            run * ((depth_m - low) / (high - low).max(1e-6)).clamp(0.0, 1.0)
        });
        let pressed_in_m: f64 = under.sum();
        let long_m = match self.wide {
            Wide::All => self.ends_m[1] - self.ends_m[0],
            Wide::TwoDiscs { radius_m } => {
                // Two thirds of the chord is a segment's mean width; a flat of the tread at least.
                let height_m = pressed_in_m.min(radius_m);
                let chord_m = 2.0 * (height_m * (2.0 * radius_m - height_m)).sqrt();
                2.0 * (2.0 / 3.0 * chord_m).max(flat_m(radius_m))
            }
        };
        Print { long_m, strip_m: self.fold_m + pressed_in_m }
    }
}

/// The flat that a tyre of a radius stands on, m.
fn flat_m(radius_m: f64) -> f64 {
    2.0 * radius_m * (PI / TREADS as f64).tan()
}

impl Vehicle {
    /// Where the vehicle can bear on the ground as it lies.
    pub fn bearing_edges(&self, lies: RestsOn) -> Vec<BearingEdge> {
        match lies {
            RestsOn::Roof => self.edges_of_outline(),
            RestsOn::Wheels => (0..4).map(|index| self.edge_of_wheel(index)).collect(),
            RestsOn::LeftSide => self.edges_of_side(-1.0),
            RestsOn::RightSide => self.edges_of_side(1.0),
        }
    }

    /// Where an edge stands on the ground as the vehicle is laid down, along X and Z, m.
    pub fn edge_place(&self, lies: RestsOn, of: VehicleEdge) -> Option<[f64; 2]> {
        let pose = self.rest_pose(lies)?;
        let edge = self.bearing_edges(lies).into_iter().find(|edge| edge.of == of)?;
        Some(edge.place(&pose))
    }

    /// Where the roof is parted between its front and its rear edge, m.
    pub fn roof_middle_x(&self) -> f64 {
        f64::midpoint(self.profile.header[0], self.profile.roof_rear[0])
    }

    fn edges_of_outline(&self) -> Vec<BearingEdge> {
        let p = &self.profile;
        let middle = [self.roof_middle_x(), p.upper_y(self.roof_middle_x())];
        let down = |[x, y]: ProfilePoint, to: f64| [[x, y], [x, to.min(y)]];
        let edge = |of, at: ProfilePoint, to: f64, face, half_m| {
            BearingEdge::crosswise(of, half_m, vec![face, down(at, to)])
        };
        let roof = self.half_width.roof;
        vec![
            edge(VehicleEdge::Nose, p.nose, p.floor_y, [p.nose, p.cowl], self.side_at(p.nose[1])),
            edge(
                VehicleEdge::RoofFront,
                p.header,
                p.header[1] - ROOF_DEPTH_M,
                [p.header, middle],
                roof,
            ),
            edge(
                VehicleEdge::RoofRear,
                p.roof_rear,
                p.roof_rear[1] - ROOF_DEPTH_M,
                [middle, p.roof_rear],
                roof,
            ),
            edge(
                VehicleEdge::Tail,
                p.deck_rear,
                p.floor_y,
                [p.deck_front, p.deck_rear],
                self.side_at(p.deck_rear[1]),
            ),
        ]
    }

    /// `down` is the sign of the side's z.
    fn edges_of_side(&self, down: f64) -> Vec<BearingEdge> {
        let (p, w) = (&self.profile, self.half_width);
        let [front, rear] = self.wheel_x_m;
        let roof = p.header[1].min(p.roof_rear[1]);
        let belt = p.belt_y(self.com_m[0].clamp(p.deck_front[0], p.cowl[0]));
        let at = |y: f64, z: f64| [0.0, y, down * z];
        let edge = |of, ends_m, faces| BearingEdge {
            of,
            faces,
            ends_m,
            along: Along::X,
            wide: Wide::All,
            fold_m: FOLD_M,
        };
        let (wall, tread) = (self.track_m / 2.0 + TYRE_HALF_M, self.track_m / 2.0 - TYRE_HALF_M);
        let radius_m = self.wheel_radius_m;
        let tyres =
            vec![[at(0.0, wall), at(2.0 * radius_m, wall)], [at(0.0, wall), at(0.0, tread)]];
        let side = vec![
            [at(p.floor_y, w.sill), at(p.waist_y, w.body)],
            [at(p.waist_y, w.body), at(belt, self.side_at(belt))],
        ];
        let rail = vec![
            [at(roof - ROOF_DEPTH_M, w.roof), at(roof, w.roof)],
            [at(roof, w.roof), at(roof, 0.0)],
        ];
        vec![
            BearingEdge {
                wide: Wide::TwoDiscs { radius_m },
                ..edge(VehicleEdge::Tyres, [rear, front], tyres)
            },
            edge(VehicleEdge::Side, [p.deck_rear[0], p.nose[0]], side),
            edge(VehicleEdge::RoofRail, [p.roof_rear[0], p.header[0]], rail),
        ]
    }

    fn edge_of_wheel(&self, index: usize) -> BearingEdge {
        let x = self.wheel_x_m[index / 2];
        let side = if index.is_multiple_of(2) { -1.0 } else { 1.0 };
        let z = side * self.track_m / 2.0;
        let flat = flat_m(self.wheel_radius_m);
        // The sides of its tread next to the flat, up to the height of its middle.
        let up = |way: f64| {
            let mut from = [x + way * flat / 2.0, 0.0, z];
            (1..TREADS / 4).map(move |side| {
                let (sin, cos) = (2.0 * PI * side as f64 / TREADS as f64).sin_cos();
                let ends = [from, [from[0] + way * flat * cos, from[1] + flat * sin, z]];
                from = ends[1];
                ends
            })
        };
        let faces = up(-1.0).chain(up(1.0)).collect();
        BearingEdge {
            of: VehicleEdge::Wheel(index),
            faces,
            ends_m: [z - TYRE_HALF_M, z + TYRE_HALF_M],
            along: Along::Z,
            wide: Wide::All,
            fold_m: flat,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// The saloon's nose (2.15, 0.84), bonnet to (0.85, 0.98), front down to 0.20, 1.64 m wide.
    /// Turned over with its nose down by 16.436 deg its bonnet stands at 16.436 - atan(0.14 /
    /// 1.30) = 10.289 deg to the ground and its front at 90 - 16.436 deg: 20 mm deep
    /// 20 (5.509 + 0.295) = 116.1 mm of it is in, and the fold's 20 mm.
    #[test]
    fn val_a_nose_that_has_gone_in() {
        let vehicle = crate::scene::load("beam-lift", &[]).unwrap().scene.vehicle;
        let pose = vehicle.roof_pose().unwrap();
        let edges = vehicle.bearing_edges(RestsOn::Roof);
        let nose = &edges[0];
        let print = nose.print(&nose.section(|[x, y, _]| pose.ground([x, y])), 0.020);
        assert_relative_eq!(print.strip_m, 0.1361, epsilon = 2e-4);
        assert_relative_eq!(print.long_m, 1.64, epsilon = 1e-9);
    }

    /// A tyre of 0.31 m stands on a flat of 2 x 0.31 tan 11.25 deg = 123.3 mm; at 20 mm its next
    /// sides, at 22.5 deg, add 2 x 20 / tan 22.5 deg = 96.6 mm: a circle's chord is 219 mm.
    #[test]
    fn val_a_tyre_that_has_gone_in() {
        let vehicle = crate::scene::load("beam-lift", &[]).unwrap().scene.vehicle;
        let edges = vehicle.bearing_edges(RestsOn::Wheels);
        let section = edges[0].section(|[x, y, _]| [x, y]);
        assert_relative_eq!(edges[0].print(&section, 1e-5).strip_m, 0.1233, epsilon = 1e-3);
        assert_relative_eq!(edges[0].print(&section, 0.020).strip_m, 0.2199, epsilon = 1e-3);
        assert_relative_eq!(edges[0].print(&section, 0.020).long_m, 0.20, epsilon = 1e-9);
    }
}

//! Soil that gives way under the vehicle, as it does under bases: a bed under each edge by which
//! the vehicle can meet the ground, on points along that edge. Each point bears the soil's
//! plateau over what of the edge lies under the surface there, so that an edge or a corner of it
//! goes down until the area that it has pressed in carries it; up to that the soil is elastic, as
//! stiff as under a base as wide. What of the ground an edge has left keeps its set.
//!
//! A bed has a level top and carries whatever of the edge touches it; which of the vehicle's
//! shapes meet which bed is told once. The soil that an edge pushes up before it is left out.

use super::bodies::Bodies;
use super::engine::{Engine, Pose, RigidBodyHandle};
use super::shapes::{plain, vector};
use super::vehicle::VehicleBody;
use super::yielding::{Law, YieldingSupport, strip_m};
use crate::scene::{Along, BearingEdge, Print, Scene, VehicleEdge, Wide};
use crate::snapshot::{BaseState, Footing, PartId};
use crate::tables::{Bed, FIRM_M, Material};

/// Mass of the earth that moves along with an edge or a base, kg (assumed; it only gives the soil a
/// body, its weight is borne already).
pub(super) const EARTH_KG: f64 = 15.0;
/// Points along an edge.
const POINTS: usize = 8;

/// The soil under the vehicle; nothing on hard ground.
#[derive(Clone, Default)]
pub(super) struct Bedding {
    vehicle: PartId,
    edges: Vec<EdgeOnSoil>,
}

#[derive(Clone)]
struct EdgeOnSoil {
    edge: BearingEdge,
    soil: Bed,
    bed: YieldingSupport,
    points: usize,
    /// What the soil bears at most as the edge lies now, N.
    capacity_n: f64,
}

impl Bedding {
    /// Lays soil under a vehicle that has been laid down as the scene says.
    pub fn lay(engine: &mut Engine, bodies: &Bodies, vehicle: &VehicleBody, scene: &Scene) -> Self {
        let mut bedding = Self { vehicle: vehicle.part, edges: Vec::new() };
        let Some(soil) = scene.ground.soil else { return bedding };
        let Some(pose) = scene.vehicle.rest_pose(scene.lies) else { return bedding };
        let edges = scene.vehicle.bearing_edges(scene.lies);
        for (shape, of) in vehicle.shapes_by_edge(engine, bodies, scene) {
            if let Some(index) = edges.iter().position(|edge| edge.of == of) {
                engine.set_on_bed(shape, index as u32);
            }
        }
        let friction = bodies.grip_of(Material::Ground(scene.ground.surface));
        for (index, edge) in edges.into_iter().enumerate() {
            let long_m = edge.ends_m[1] - edge.ends_m[0];
            let [x, z] = edge.place(&pose);
            let body =
                engine.add_bed(vector([x, 0.0, z]), [EARTH_KG, long_m], friction, index as u32);
            let points: Vec<[f64; 2]> = places_m(&edge, long_m)
                .into_iter()
                .map(|place| match edge.along {
                    Along::X => [place, 0.0],
                    Along::Z => [0.0, place],
                })
                .collect();
            // Its law follows from how deep it lies, step by step.
            let law = Law {
                stiffness_n_m: 0.0,
                plateau_n: 0.0,
                rest_m: 0.0,
                limits_m: [-FIRM_M, 0.0],
                pulls: false,
            };
            // The ground body's frame lies 1 m under its surface.
            let frame = Pose::from_translation(vector([x, 1.0, z]));
            let mut bed = YieldingSupport::bed(engine, bodies.ground, body, frame, law, &points);
            bed.hold_back(true);
            let points = points.len();
            bedding.edges.push(EdgeOnSoil { edge, soil, bed, points, capacity_n: 0.0 });
        }
        bedding
    }

    /// The vehicle lies: the lift begins.
    pub fn begin(&mut self) {
        for edge in &mut self.edges {
            edge.bed.hold_back(false);
        }
    }

    /// Lets the soil under every edge yield and push for one step.
    pub fn advance(&mut self, engine: &mut Engine, bodies: &Bodies) {
        if self.edges.is_empty() {
            return;
        }
        let pose =
            Pose::from_parts(vector([0.0; 3]), *bodies.rigid(engine, self.vehicle).rotation());
        for edge in &mut self.edges {
            edge.follow(engine, pose);
            edge.bed.advance(engine);
        }
    }

    pub fn states(&self, engine: &Engine) -> Vec<BaseState> {
        let state = |edge: &EdgeOnSoil| {
            let [sunk_m, deepest_m, set_m] = edge.bed.sunk_m(engine, 0.0);
            BaseState {
                of: Footing::Vehicle(edge.edge.of),
                load_n: edge.bed.force_n(engine),
                capacity_n: edge.capacity_n,
                sunk_m,
                deepest_m,
                set_m,
            }
        };
        self.edges.iter().map(state).collect()
    }

    /// The beds under the vehicle; none on hard ground.
    pub fn earth(&self) -> impl Iterator<Item = RigidBodyHandle> {
        self.edges.iter().map(|edge| edge.bed.body)
    }
}

/// Places along an edge that stand for equal shares of it, from its middle, m. A wheel stands
/// flat.
fn places_m(edge: &BearingEdge, long_m: f64) -> Vec<f64> {
    match (edge.of, edge.wide) {
        (VehicleEdge::Wheel(_), _) => vec![0.0],
        (_, Wide::TwoDiscs { .. }) => vec![-long_m / 2.0, long_m / 2.0],
        (_, Wide::All) => strip_m::<POINTS>(long_m).to_vec(),
    }
}

impl EdgeOnSoil {
    /// Gives its points the law of what lies under the surface now, as the vehicle is turned.
    fn follow(&mut self, engine: &Engine, turned: Pose) {
        let place = |at: [f64; 3]| self.edge.across(plain(turned * vector(at)));
        let section = self.edge.section(place);
        let prints: Vec<Print> = self
            .bed
            .depths_m(engine)
            .map(|depth_m| self.edge.print(&section, depth_m.max(0.0)))
            .collect();
        let count = self.points as f64;
        let mean = |of: fn(&Print) -> f64| prints.iter().map(of).sum::<f64>() / count;
        let [strip_m, area_m2] = [mean(|print| print.strip_m), mean(|print| print.area_m2())];
        // As stiff as a base's strip of that width.
        let stiffness_n_m = self.soil.subgrade_pa_m(strip_m) * area_m2 / count;
        let plateau_pa = self.soil.plateau_pa;
        self.capacity_n = plateau_pa * area_m2;
        self.bed.set_law(
            stiffness_n_m,
            prints.iter().map(|print| plateau_pa * print.area_m2() / count),
        );
    }
}

//! The trapped limbs: a pad each, on a spring that bone stops.

use super::bodies::Bodies;
use super::engine::{BodySpec, Engine, Groups, Mass, Pose, Rotation};
use super::shapes::{collider, vector};
use super::vehicle::{CLEAR_M, PlacedVehicle, VehicleBody};
use super::yielding::{Law, YieldingSupport};
use crate::scene::{Footprint, Limb, Scene};
use crate::snapshot::{LimbState, PartKind, Shape};
use crate::tables::{LIMB_KG, LIMB_LEAST_SHARE, Material};

/// Half the thickness of a limb's pad, m (assumed).
const HALF_M: f64 = 0.012;

/// The limbs' springs, in the scene's order.
#[derive(Clone, Default)]
pub(super) struct Limbs {
    supports: Vec<YieldingSupport>,
}

impl Limbs {
    /// Places every limb under the vehicle, pressed as far as the room there asks for.
    pub fn place(
        engine: &mut Engine,
        bodies: &mut Bodies,
        vehicle: &VehicleBody,
        scene: &Scene,
    ) -> Self {
        let mut limbs = Self::default();
        for (index, limb) in scene.limbs.iter().enumerate() {
            let foot = Footprint::of_size(limb.at, limb.size);
            let space = vehicle.outline(engine, bodies).clearance(foot, 0.0);
            let space = space.unwrap_or(limb.thickness_m);
            let top = space.clamp(LIMB_LEAST_SHARE * limb.thickness_m, limb.thickness_m);
            limbs.place_one(engine, bodies, (index, limb), top);
        }
        limbs
    }

    fn place_one(
        &mut self,
        engine: &mut Engine,
        bodies: &mut Bodies,
        (index, limb): (usize, &Limb),
        top_m: f64,
    ) {
        let half = [limb.size[0] / 2.0, HALF_M, limb.size[1] / 2.0];
        let centre = [limb.at[0], top_m - HALF_M, limb.at[1]];
        let shape = Shape::Box(half);
        let spec = BodySpec {
            position: vector(centre),
            rotation: Rotation::IDENTITY,
            shapes: collider(&shape).into_iter().collect(),
            mass: Mass::Density(LIMB_KG / (8.0 * half.iter().product::<f64>())),
            fixed: false,
            friction: bodies.grip_of(Material::Rubber),
            groups: Groups::Limb,
        };
        let part = bodies.add(engine, limb.name.clone(), PartKind::Limb(index), shape, spec);
        // The ground body's frame lies 1 m under its surface.
        let frame = Pose::from_translation(vector([limb.at[0], 1.0, limb.at[1]]));
        let law = Law {
            stiffness_n_m: limb.stiffness_n_m,
            // A limb always springs back.
            plateau_n: f64::from(f32::MAX),
            rest_m: limb.thickness_m - HALF_M,
            limits_m: [LIMB_LEAST_SHARE * limb.thickness_m - HALF_M, limb.thickness_m],
            pulls: true,
        };
        let (ground, pad) = (bodies.ground, bodies.handles[part]);
        self.supports.push(YieldingSupport::new(engine, ground, pad, frame, law));
    }

    /// Applies the limbs' spring forces for one step.
    pub fn advance(&mut self, engine: &mut Engine) {
        for limb in &mut self.supports {
            limb.advance(engine);
        }
    }

    /// Gap and load at each limb.
    pub fn states(
        &self,
        engine: &Engine,
        outline: &PlacedVehicle<'_>,
        scene: &Scene,
    ) -> Vec<LimbState> {
        let state = |(limb, support): (&Limb, &YieldingSupport)| {
            // What the spring feels, not what the contact reads: it is steadier.
            let load_n = support.force_n(engine);
            let foot = Footprint::of_size(limb.at, limb.size);
            let room_m = outline.clearance(foot, 0.0);
            let (gap_m, covered) = (room_m.unwrap_or(CLEAR_M), room_m.is_some());
            LimbState { gap_m, load_n, covered }
        };
        scene.limbs.iter().zip(&self.supports).map(state).collect()
    }
}

//! How far the vehicle has turned, slid and risen since the lift began.

use super::bodies::Bodies;
use super::engine::{Engine, Vector};
use super::pneumatics::Pneumatics;
use super::shapes::{plain, vector};
use super::solver::TICK_S;
use super::stacks;
use super::vehicle::VehicleBody;
use crate::scene::{CarriedBy, Scene};
use crate::snapshot::{Load, Settling, VehicleState};
use std::f64::consts::PI;

/// The vehicle bears on the ground where it presses harder than this, N.
const BEARS_N: f64 = 100.0;

/// What moments are measured against, and the way over the ground so far.
#[derive(Clone, Default)]
pub(super) struct Travel {
    /// None while all settles.
    start: Option<Start>,
    /// Along X and Z, m.
    slid: [f64; 2],
    /// Where the stacks' tops were as they were set.
    stack_tops: Vec<[f64; 2]>,
}

/// The moment at which the lift began.
#[derive(Clone)]
struct Start {
    /// In the vehicle's frame, above each topmost bag; and their height then, m.
    lift_points: Vec<(Vector, f64)>,
    roll_rad: f64,
}

impl Travel {
    /// Begins the lift at what was measured last, with this roll.
    pub fn begin(
        &mut self,
        engine: &Engine,
        bodies: &Bodies,
        vehicle: &VehicleBody,
        air: &Pneumatics,
        scene: &Scene,
        roll_rad: f64,
    ) {
        let pose = *bodies.rigid(engine, vehicle.part).position();
        let topmost = |bag: &usize| !scene.bags.iter().any(|b| b.on == CarriedBy::Bag(*bag));
        let lift_point = |bag: usize| {
            let top = engine.bodies[air.bags[bag].upper].translation();
            (pose.inverse_transform_point(top), f64::from(top.y))
        };
        self.start = Some(Start {
            lift_points: (0..scene.bags.len()).filter(topmost).map(lift_point).collect(),
            roll_rad,
        });
    }

    /// Forgets the way so far: the lift is about to begin.
    pub fn start_over(&mut self) {
        let stack_tops = std::mem::take(&mut self.stack_tops);
        *self = Self { stack_tops, ..Self::default() };
    }

    /// Notes where the stacks' tops are as they are set.
    pub fn note_tops(&mut self, engine: &Engine, bodies: &Bodies, scene: &Scene) {
        self.stack_tops = stacks::tops(engine, bodies, scene);
    }

    /// How far the vehicle has gone over the ground since it was laid down, and turned, where
    /// nothing has begun yet. `now` is what was measured last.
    pub fn settling(scene: &Scene, now: &VehicleState) -> Settling {
        let laid_rad = scene.vehicle.rest_pose(scene.lies).map_or(0.0, |pose| pose.pitch_rad);
        Settling {
            slide_m: now.slide_m,
            roll_rad: now.roll_rad,
            pitch_rad: now.pitch_rad - laid_rad,
        }
    }

    /// Where the stacks' tops were as they were set.
    pub fn stack_tops(&self) -> &[[f64; 2]] {
        &self.stack_tops
    }

    /// How far each lift point has risen, m.
    pub fn rise_m(&self, engine: &Engine, bodies: &Bodies, vehicle: &VehicleBody) -> Vec<f64> {
        self.start.as_ref().map_or_else(Vec::new, |start| {
            let pose = *bodies.rigid(engine, vehicle.part).position();
            let rise = |(local, y): &(Vector, f64)| f64::from((pose * *local).y) - y;
            start.lift_points.iter().map(rise).collect()
        })
    }

    /// Measures the vehicle one tick on, and adds up its way over the ground.
    pub fn advance(
        &mut self,
        engine: &Engine,
        bodies: &Bodies,
        vehicle: &VehicleBody,
        scene: &Scene,
        loads: &[Load],
    ) -> VehicleState {
        let body = bodies.rigid(engine, vehicle.part);
        let pose = *body.position();
        // What pointed along +Z before it settled, as it points now.
        let lay = scene.vehicle.rest_pose(scene.lies).map_or(PI, |pose| pose.turn_rad);
        let across = plain(pose.rotation * vector([0.0, lay.sin(), lay.cos()]));
        let nose = pose.rotation * Vector::X;
        let on_ground: Vec<&Load> =
            loads.iter().filter(|l| l.by.is_none() && bodies.is_vehicle(l.on)).collect();
        let ground_n: f64 = on_ground.iter().map(|l| l.force[1]).sum();
        if ground_n > BEARS_N {
            self.slide(engine, bodies, &on_ground, ground_n);
        }
        let roll = across[1].atan2(across[0].hypot(across[2]).copysign(across[2]));
        VehicleState {
            roll_rad: roll - self.start.as_ref().map_or(0.0, |s| s.roll_rad),
            pitch_rad: -f64::from(nose.y).clamp(-1.0, 1.0).asin(),
            com: vehicle.com(engine, bodies),
            slide_m: self.slid[0].hypot(self.slid[1]),
            roof_set_m: vehicle.roof_set_m(),
            ground_n,
            ..VehicleState::default()
        }
    }

    /// Travel of the bearing places, weighted by what they bear: a vehicle that only turns
    /// about its nose does not slide.
    fn slide(&mut self, engine: &Engine, bodies: &Bodies, on_ground: &[&Load], ground_n: f64) {
        let mut step = [0.0; 2];
        for load in on_ground {
            let v = bodies.rigid(engine, load.on).velocity_at_point(vector(load.point));
            let share = load.force[1] / ground_n;
            step[0] += share * f64::from(v.x) * TICK_S;
            step[1] += share * f64::from(v.z) * TICK_S;
        }
        self.slid[0] += step[0];
        self.slid[1] += step[1];
    }
}

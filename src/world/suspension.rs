//! A wheel on its spring, under a vehicle that stands on its wheels: it goes up and down along
//! the vehicle's Y axis, and pushes by its law. As the body leans it stays flat on the ground: it
//! turns about its foot, as if the body rolled about the ground. Anti-roll bars are left out.
//!
//! As with sheet metal, what the spring pushes with at the beginning of a step is given as a
//! force, and the joint's motor has only what changes within the step: rows that carry load
//! creep.

use super::bodies::Bodies;
use super::engine::{
    BodySpec, ColliderBuilder, Engine, GenericJoint, Groups, ImpulseJointHandle, JointAxesMask,
    JointAxis, Mass, MotorModel, Pose, Real, RigidBodyHandle, Vector,
};
use super::shapes::{vector, wheel_middles};
use crate::scene::{Scene, WheelLaw};
use crate::snapshot::{PartId, PartKind, Shape};
use crate::tables::Material;
use crate::units::GRAVITY_M_S2;

/// Damping per stiffness, s: a damper of 0.25 of the critical one at 1.3 Hz (assumed; it changes
/// how fast a vehicle comes to rest and not where).
const DAMPING_S: f64 = 0.06;
/// What keeps a wheel upright that hangs, as a multiple of its weight times its radius, no unit
/// (assumed); and how far it can lean on its foot, rad.
const UPRIGHT: f64 = 2.0;
const LEAN_MOST_RAD: f64 = 0.2;
const NAMES: [&str; 4] =
    ["front left wheel", "front right wheel", "rear left wheel", "rear right wheel"];

/// A wheel and what it hangs by.
#[derive(Clone)]
pub(super) struct SprungWheel {
    pub body: RigidBodyHandle,
    vehicle: RigidBodyHandle,
    joint: ImpulseJointHandle,
    /// Its foot as the vehicle stands, in the frame of either body.
    foot: Vector,
    law: WheelLaw,
    own_n: f64,
}

impl SprungWheel {
    /// Hangs a wheel, by its index, under the vehicle's part.
    pub fn hang(
        engine: &mut Engine,
        bodies: &mut Bodies,
        scene: &Scene,
        index: usize,
        shape: ColliderBuilder,
        vehicle: PartId,
    ) -> Self {
        let v = &scene.vehicle;
        let vehicle = bodies.handles[vehicle];
        let stands = *engine.bodies[vehicle].position();
        let middle = vector(wheel_middles(v)[index]);
        let (kg, r) = (v.wheel_kg(), v.wheel_radius_m);
        let spec = BodySpec {
            position: stands.translation,
            rotation: stands.rotation,
            shapes: vec![shape],
            // A disc about its axle and across it.
            mass: Mass::Given {
                kg,
                com: middle,
                inertia: vector([0.25, 0.25, 0.5].map(|share| share * kg * r * r)),
            },
            fixed: false,
            friction: bodies.grip_of(Material::Rubber),
            groups: Groups::Vehicle,
        };
        let name = NAMES[index].to_owned();
        let part = bodies.add(engine, name, PartKind::Wheel(index), Shape::Vehicle, spec);
        let foot = Vector::new(middle.x, 0.0, middle.z);
        let frame = Pose::from_translation(foot);
        let upright = UPRIGHT * kg * GRAVITY_M_S2 * r;
        let mut joint = GenericJoint::default();
        joint.set_local_frame1(frame);
        joint.set_local_frame2(frame);
        let lin = JointAxesMask::LIN_X | JointAxesMask::LIN_Z;
        joint.lock_axes(lin | JointAxesMask::ANG_Y | JointAxesMask::ANG_Z);
        joint.set_contacts_enabled(false);
        joint.set_limits(JointAxis::AngX, [-LEAN_MOST_RAD, LEAN_MOST_RAD].map(|l| l as Real));
        for axis in [JointAxis::LinY, JointAxis::AngX] {
            joint.set_motor_model(axis, MotorModel::ForceBased);
        }
        let damping = (DAMPING_S * upright) as Real;
        joint.set_motor(JointAxis::AngX, 0.0, 0.0, upright as Real, damping);
        let body = bodies.handles[part];
        let joint = engine.join(vehicle, body, joint);
        let law = v.wheel_law(index / 2, scene.lashed);
        Self { body, vehicle, joint, foot, law, own_n: kg * GRAVITY_M_S2 }
    }

    /// How far the body has gone up over the wheel, m.
    fn up_m(&self, engine: &Engine) -> f64 {
        let [vehicle, wheel] =
            [self.vehicle, self.body].map(|body| *engine.bodies[body].position());
        let at = vehicle.inverse() * (wheel * self.foot);
        f64::from(self.foot.y - at.y)
    }

    /// Has the spring push for one step. The caller that steps the engine clears the vehicle's
    /// forces first.
    pub fn advance(&mut self, engine: &mut Engine) {
        let up_m = self.up_m(engine);
        let [ground_n, stiffness] = self.law.presses(up_m);
        let [vehicle, wheel] =
            [self.vehicle, self.body].map(|body| *engine.bodies[body].position());
        // What presses the ground is the spring and the wheel's own weight.
        let push = vehicle.rotation * Vector::Y * (ground_n - self.own_n) as Real;
        let at = wheel * self.foot;
        engine.bodies[self.body].reset_forces(false);
        engine.bodies[self.body].reset_torques(false);
        engine.bodies[self.body].add_force_at_point(-push, at, false);
        engine.bodies[self.vehicle].add_force_at_point(push, at, false);
        let Some(joint) = engine.joints.get_mut(self.joint, false) else { return };
        let damping = DAMPING_S * stiffness;
        joint.data.set_motor(
            JointAxis::LinY,
            -up_m as Real,
            0.0,
            stiffness as Real,
            damping as Real,
        );
    }
}

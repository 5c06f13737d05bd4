//! A wheel on its spring, under a vehicle that stands on its wheels: it goes up and down along
//! the vehicle's Y axis, and pushes by its law. As the body leans it stays flat on the ground: it
//! turns about its foot, as if the body rolled about the ground. Anti-roll bars are left out.
//! Along the ground its tyre gives too: a body that leans moves its feet apart, and feet that the
//! ground holds rigidly would carry it as struts do.
//!
//! As with sheet metal, what a spring pushes with at the beginning of a step is given as a
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
/// A tyre's stiffness along the ground, as a share of that upright (assumed; tyres give more
/// sideways than upright and less along their way; from memory, not verified).
const ALONG_SHARE: f64 = 1.0;
/// What keeps a wheel upright that hangs, as a multiple of its weight times its radius, no unit
/// (assumed); and how far it can lean on its foot, rad.
const UPRIGHT: f64 = 20.0;
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
    along_n_m: f64,
    /// What keeps it upright where it hangs, N m/rad.
    upright_nm: f64,
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
        let mut joint = GenericJoint::default();
        joint.set_local_frame1(frame);
        joint.set_local_frame2(frame);
        joint.lock_axes(JointAxesMask::ANG_Y | JointAxesMask::ANG_Z);
        joint.set_contacts_enabled(false);
        joint.set_limits(JointAxis::AngX, [-LEAN_MOST_RAD, LEAN_MOST_RAD].map(|l| l as Real));
        for axis in [JointAxis::LinX, JointAxis::LinY, JointAxis::LinZ, JointAxis::AngX] {
            joint.set_motor_model(axis, MotorModel::ForceBased);
        }
        let body = bodies.handles[part];
        let joint = engine.join(vehicle, body, joint);
        let law = v.wheel_law(index / 2, scene.lashed);
        let own_n = kg * GRAVITY_M_S2;
        let along_n_m = ALONG_SHARE * v.springs.tyre_n_m;
        let upright_nm = UPRIGHT * own_n * r;
        Self { body, vehicle, joint, foot, law, own_n, along_n_m, upright_nm }
    }

    /// Has the spring push for one step. The caller that steps the engine clears the vehicle's
    /// forces first.
    pub fn advance(&mut self, engine: &mut Engine) {
        let [vehicle, wheel] =
            [self.vehicle, self.body].map(|body| *engine.bodies[body].position());
        let at = wheel * self.foot;
        // Where the wheel is, from where it stood, in the vehicle's frame.
        let off = vehicle.inverse() * at - self.foot;
        let [ground_n, stiffness] = self.law.presses(f64::from(-off.y));
        // What presses the ground is the spring and the wheel's own weight.
        let along = self.along_n_m as Real;
        let push = Vector::new(along * off.x, (ground_n - self.own_n) as Real, along * off.z);
        let push = vehicle.rotation * push;
        engine.bodies[self.body].reset_forces(false);
        engine.bodies[self.body].reset_torques(false);
        engine.bodies[self.body].add_force_at_point(-push, at, false);
        engine.bodies[self.vehicle].add_force_at_point(push, at, false);
        let Some(joint) = engine.joints.get_mut(self.joint, false) else { return };
        // The ground keeps it upright while it stands. A motor of no stiffness at all is rigid.
        let hangs = (1.0 - ground_n / self.own_n).clamp(1e-3, 1.0);
        for (axis, target, stiffness) in [
            (JointAxis::LinX, off.x, self.along_n_m),
            (JointAxis::LinY, off.y, stiffness),
            (JointAxis::LinZ, off.z, self.along_n_m),
            (JointAxis::AngX, 0.0, hangs * self.upright_nm),
        ] {
            let damping = (DAMPING_S * stiffness) as Real;
            joint.data.set_motor(axis, target, 0.0, stiffness as Real, damping);
        }
    }
}

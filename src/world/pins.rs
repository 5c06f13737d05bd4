//! A pin between two bodies: it holds a place of one at a place of the other, and lets them turn.
//!
//! As with sheet metal, what it holds with at the beginning of a step is given as a force, and
//! its motors have only what changes within the step: rows that carry load creep. The engine
//! solves the motors implicitly, so that no stiffness is too large for the step.

use super::engine::{
    Engine, GenericJoint, ImpulseJointHandle, JointAxis, MotorModel, Real, RigidBodyHandle, Vector,
};

/// What a pin gives, N/m (assumed: 10 kN move it by 5 mm).
const STIFFNESS_N_M: f64 = 2e6;
/// Damping per stiffness, s: settles motion within a few steps.
const DAMPING_S: f64 = 0.02;
const AXES: [JointAxis; 3] = [JointAxis::LinX, JointAxis::LinY, JointAxis::LinZ];

#[derive(Clone)]
pub(super) struct Pin {
    pub holder: RigidBodyHandle,
    pub held: RigidBodyHandle,
    /// In the frame of either, m.
    places: [Vector; 2],
    joint: ImpulseJointHandle,
    /// What it puts on the held body, N, and where, m.
    pub force: Vector,
    pub at: Vector,
}

impl Pin {
    /// Pins a body to its holder where a place of the body's frame is now, pressed on by
    /// `pressed_n`.
    pub fn new(
        engine: &mut Engine,
        holder: RigidBodyHandle,
        held: RigidBodyHandle,
        place: Vector,
        pressed_n: Vector,
    ) -> Self {
        let at = *engine.bodies[held].position() * place;
        let rests = at + pressed_n / STIFFNESS_N_M as Real;
        let places = [engine.bodies[holder].position().inverse() * rests, place];
        let mut joint = GenericJoint::default();
        joint.set_local_anchor1(places[0]);
        joint.set_local_anchor2(places[1]);
        joint.set_contacts_enabled(false);
        for axis in AXES {
            joint.set_motor_model(axis, MotorModel::ForceBased);
        }
        let joint = engine.join(holder, held, joint);
        let mut pin = Self { holder, held, places, joint, force: Vector::ZERO, at };
        pin.hold(engine);
        pin
    }

    /// Has it hold for one step. The caller clears the forces on both bodies first.
    pub fn advance(&mut self, engine: &mut Engine) {
        self.hold(engine);
        engine.bodies[self.held].add_force_at_point(self.force, self.at, false);
        engine.bodies[self.holder].add_force_at_point(-self.force, self.at, false);
    }

    fn hold(&mut self, engine: &mut Engine) {
        let [holder, held] = [self.holder, self.held].map(|body| *engine.bodies[body].position());
        self.at = held * self.places[1];
        let off = holder.inverse() * self.at - self.places[0];
        self.force = holder.rotation * (off * -STIFFNESS_N_M as Real);
        let Some(joint) = engine.joints.get_mut(self.joint, false) else { return };
        let [k, damping] = [STIFFNESS_N_M, DAMPING_S * STIFFNESS_N_M].map(|v| v as Real);
        for (axis, off) in AXES.into_iter().zip(off.to_array()) {
            joint.data.set_motor(axis, off, 0.0, k, damping);
        }
    }

    /// Lets go.
    pub fn part(&self, engine: &mut Engine) {
        engine.part(self.joint);
    }
}

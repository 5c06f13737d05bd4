//! Stakes that hold a base along the ground: a chock, the foot of a strut.

use super::engine::{
    Engine, GenericJoint, ImpulseJointHandle, JointAxesMask, JointAxis, MotorModel, Real,
    RigidBodyHandle, Vector,
};
use super::shapes::vector;
use super::site::Site;
use crate::snapshot::PartId;
use crate::tables::STAKE_OUT_M;

/// A stake gives this much before it drags, m (assumed; it only keeps the joint soft enough).
const GIVES_M: f64 = 0.002;
/// Damping of a stake per stiffness, s.
const DAMPING_S: f64 = 0.02;

/// A stake through a base: it holds so much along the ground, and drags under more.
#[derive(Clone)]
pub(super) struct Stake {
    base: RigidBodyHandle,
    joint: ImpulseJointHandle,
    holds_n: f64,
    /// Where it was driven, and how far it has been dragged, m along X and Z.
    foot: [f64; 2],
    dragged_m: [f64; 2],
}

impl Stake {
    /// Drags it as far as it is asked for more than it holds, and takes it out where that is too
    /// far; false then.
    pub fn holds(&mut self, engine: &mut Engine) -> bool {
        let holds = self.drag(engine);
        if !holds {
            engine.part(self.joint);
        }
        holds
    }

    /// False once it is out.
    fn drag(&mut self, engine: &mut Engine) -> bool {
        let at = engine.bodies[self.base].translation();
        let stands = [f64::from(at.x), f64::from(at.z)];
        let mut moved = false;
        for ((stands, foot), dragged_m) in stands.iter().zip(&self.foot).zip(&mut self.dragged_m) {
            let give_m = stands - foot - *dragged_m;
            let past_m = give_m - give_m.clamp(-GIVES_M, GIVES_M);
            *dragged_m += past_m;
            moved |= past_m != 0.0;
        }
        if moved {
            self.hold(engine);
        }
        self.dragged_m[0].hypot(self.dragged_m[1]) < STAKE_OUT_M
    }

    /// Sets the joint to where it holds now.
    fn hold(&self, engine: &mut Engine) {
        let Some(joint) = engine.joints.get_mut(self.joint, true) else { return };
        let stiffness = self.holds_n / GIVES_M;
        for (axis, dragged_m) in [JointAxis::LinX, JointAxis::LinZ].into_iter().zip(self.dragged_m)
        {
            let [at, stiffness, damping, most] =
                [dragged_m, stiffness, DAMPING_S * stiffness, self.holds_n].map(|v| v as Real);
            joint.data.set_motor_position(axis, at, stiffness, damping);
            joint.data.set_motor_max_force(axis, most);
        }
    }
}

/// Holds a base to the ground, up to what its stake holds; without a limit for good. It is a
/// light body joined to the ground, not a part of the ground: a contact is as stiff as the
/// lighter of its two bodies is heavy, and the vehicle against something that cannot move at
/// all chatters with the rounding of its place.
pub(super) fn stake(
    site: &mut Site<'_>,
    part: PartId,
    foot: [f64; 3],
    holds_n: Option<f64>,
) -> Option<Stake> {
    let mut stakes = GenericJoint::default();
    stakes.lock_axes(JointAxesMask::ANG_AXES);
    if !site.soft_ground {
        stakes.lock_axes(JointAxesMask::LIN_Y);
    }
    if holds_n.is_none() {
        stakes.lock_axes(JointAxesMask::LIN_AXES);
    }
    for axis in [JointAxis::LinX, JointAxis::LinZ] {
        stakes.set_motor_model(axis, MotorModel::ForceBased);
    }
    // The ground body's frame lies 1 m under its surface.
    stakes.set_local_anchor1(vector(foot) + Vector::Y);
    stakes.set_contacts_enabled(false);
    let base = site.bodies.handles[part];
    let joint = site.engine.join(site.bodies.ground, base, stakes);
    let foot = [foot[0], foot[2]];
    let stake = Stake { base, joint, holds_n: holds_n?, foot, dragged_m: [0.0; 2] };
    stake.hold(site.engine);
    Some(stake)
}

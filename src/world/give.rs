//! Things that give way along one line: sheet metal, and a trapped limb. One
//! mechanism: a spring along the joint's Y axis, elastic up to a plateau force; past
//! it the spring's rest position moves and stays.

use super::engine::{Engine, ImpulseJointHandle, RigidBodyHandle};
use bevy_rapier3d::rapier::prelude::*;

/// Damping per stiffness, s: settles motion within a few steps.
const DAMPING_S: f64 = 0.02;

/// How something gives way along Y.
pub struct Law {
    pub stiffness_n_m: f64,
    /// Force at which it yields, N.
    pub plateau_n: f64,
    /// Where its spring rests at first, m.
    pub rest_m: f64,
    /// Ends of its travel, m.
    pub limits_m: [f64; 2],
}

#[derive(Clone)]
pub struct Giving {
    pub body: RigidBodyHandle,
    anchor: RigidBodyHandle,
    joint: ImpulseJointHandle,
    /// Pose of the joint's frame in the anchor.
    frame: Pose,
    stiffness_n_m: f64,
    plateau_n: f64,
    /// Rest position along Y, m.
    rest_m: f64,
}

impl Giving {
    /// Holds `body` to `anchor` so that it can only move along Y of `frame`, by a law.
    pub fn new(
        engine: &mut Engine,
        anchor: RigidBodyHandle,
        body: RigidBodyHandle,
        frame: Pose,
        law: Law,
    ) -> Self {
        let Law { stiffness_n_m, plateau_n, rest_m, limits_m } = law;
        let mut joint = GenericJoint::default();
        joint.set_local_frame1(frame);
        joint.lock_axes(
            JointAxesMask::LIN_X
                | JointAxesMask::LIN_Z
                | JointAxesMask::ANG_X
                | JointAxesMask::ANG_Y
                | JointAxesMask::ANG_Z,
        );
        joint.set_contacts_enabled(false);
        joint.set_motor_model(JointAxis::LinY, MotorModel::ForceBased);
        joint.set_limits(JointAxis::LinY, limits_m.map(|l| l as Real));
        let joint = engine.join(anchor, body, joint);
        let giving = Self { body, anchor, joint, frame, stiffness_n_m, plateau_n, rest_m };
        giving.lay(engine);
        giving
    }

    fn lay(&self, engine: &mut Engine) {
        if let Some(joint) = engine.joints.get_mut(self.joint, false) {
            joint.data.set_motor(
                JointAxis::LinY,
                self.rest_m as Real,
                0.0,
                self.stiffness_n_m as Real,
                (DAMPING_S * self.stiffness_n_m) as Real,
            );
        }
    }

    /// Where the body stands along Y, m.
    fn position_m(&self, engine: &Engine) -> f64 {
        let world_from_frame = *engine.bodies[self.anchor].position() * self.frame;
        let body = engine.bodies[self.body].translation();
        f64::from(world_from_frame.inverse_transform_point(body).y)
    }

    /// Force that presses the body against its spring, N, its own weight left out. Where
    /// the body stands at the end of its travel the stop's share is added.
    pub fn force_n(&self, engine: &Engine) -> f64 {
        let stop = engine.joints.get(self.joint).map_or(0.0, |joint| {
            engine.force_of_impulse(joint.data.limits[JointAxis::LinY as usize].impulse)
        });
        let spring = self.stiffness_n_m * (self.rest_m - self.position_m(engine));
        let weight = f64::from(engine.bodies[self.body].mass() * engine.gravity.y.abs());
        (spring + stop.abs() - weight).max(0.0)
    }

    /// Lets the spring yield where its force has passed the plateau.
    pub fn advance(&mut self, engine: &mut Engine) {
        let elastic_m = self.plateau_n / self.stiffness_n_m;
        let position = self.position_m(engine);
        if self.rest_m - position > elastic_m {
            self.rest_m = position + elastic_m;
            self.lay(engine);
        }
    }
}

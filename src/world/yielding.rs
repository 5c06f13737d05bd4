//! What gives way: sheet metal, soil under a base, a trapped limb. One mechanism: points
//! that are elastic up to a plateau force; past it a point's rest position moves and stays.
//! The points of a body share a joint to what holds it: one point gives along the joint's
//! Y axis alone, points in a row let the body tilt along the row, a bed of rows both ways.
//!
//! As with a bag, what the points push with at the beginning of a step is given as a force,
//! and the joint's motors have only what changes within the step: rows that carry load
//! creep.

use super::engine::{
    Engine, GenericJoint, ImpulseJointHandle, JointAxesMask, JointAxis, MotorModel, Pose, Real,
    RigidBodyHandle, Vector,
};

/// Damping per stiffness, s: settles motion within a few steps.
const DAMPING_S: f64 = 0.02;
/// The same while the vehicle is laid down, s: more than critical for a few hundred kilograms on
/// 100 N/mm, `2 sqrt(m / k)`, so that nothing sways past its plateau. How hard it came down nobody
/// knows; it lies as its weight alone presses it.
const LAID_DAMPING_S: f64 = 0.2;

/// How each point gives way along Y.
#[derive(Clone, Copy, Debug)]
pub struct Law {
    pub stiffness_n_m: f64,
    /// Force at which it yields, N.
    pub plateau_n: f64,
    /// Where its spring rests at first, m.
    pub rest_m: f64,
    /// Ends of its travel, m.
    pub limits_m: [f64; 2],
    /// Whether points also pull, by the same law: sheet metal and a limb hold on to their own
    /// plate, soil lets go.
    pub pulls: bool,
}

/// How far a point's spring is pressed in or drawn out past what it can give, m: that stays.
pub fn yielded_m(pressed_m: f64, stiffness_n_m: f64, plateau_n: f64) -> f64 {
    let most_m = plateau_n / stiffness_n_m;
    pressed_m - pressed_m.clamp(-most_m, most_m)
}

/// Places along a strip of a width that stand for equal shares of it, m from its middle. They
/// are spread so that their second moment is the strip's: springs of `k` in all hold against
/// a roll with `k w^2 / 12`.
pub fn strip_m<const COUNT: usize>(width_m: f64) -> [f64; COUNT] {
    let count = COUNT as f64;
    let step_m = width_m / (count * count - 1.0).sqrt();
    std::array::from_fn(|i| step_m * (i as f64 - (count - 1.0) / 2.0))
}

#[derive(Clone)]
struct YieldPoint {
    /// In the body along X and Z, m.
    at: [f64; 2],
    /// Rest position along Y, m.
    rest_m: f64,
    plateau_n: f64,
}

/// A body held to another on points that yield.
#[derive(Clone)]
pub struct YieldingSupport {
    pub body: RigidBodyHandle,
    anchor: RigidBodyHandle,
    joint: ImpulseJointHandle,
    /// Pose of the joint's frame in the anchor.
    frame: Pose,
    stiffness_n_m: f64,
    damping_s: f64,
    pulls: bool,
    points: Vec<YieldPoint>,
    /// Sum of the squares of the points' places along X and Z, m²: how they hold against a
    /// tilt. The body can tilt only where that is not zero.
    spread_m2: [f64; 2],
}

impl YieldingSupport {
    /// Holds `body` to `anchor` so that it can only move along Y of `frame`, by a law.
    pub fn new(
        engine: &mut Engine,
        anchor: RigidBodyHandle,
        body: RigidBodyHandle,
        frame: Pose,
        law: Law,
    ) -> Self {
        Self::bed(engine, anchor, body, frame, law, &[[0.0; 2]])
    }

    /// Holds `body` on points, on which it can also tilt. The points lie evenly about the
    /// body's middle: each has its mirror image in X and in Z.
    pub fn bed(
        engine: &mut Engine,
        anchor: RigidBodyHandle,
        body: RigidBodyHandle,
        frame: Pose,
        law: Law,
        points: &[[f64; 2]],
    ) -> Self {
        let Law { stiffness_n_m, plateau_n, rest_m, limits_m, pulls } = law;
        let spread_m2 = [0, 1].map(|k| points.iter().map(|at| at[k] * at[k]).sum());
        let mut joint = GenericJoint::default();
        joint.set_local_frame1(frame);
        joint.lock_axes(JointAxesMask::LIN_X | JointAxesMask::LIN_Z | JointAxesMask::ANG_Y);
        for (spread_m2, axis) in
            [(spread_m2[0], JointAxesMask::ANG_Z), (spread_m2[1], JointAxesMask::ANG_X)]
        {
            if spread_m2 == 0.0 {
                joint.lock_axes(axis);
            }
        }
        joint.set_contacts_enabled(false);
        for axis in [JointAxis::LinY, JointAxis::AngX, JointAxis::AngZ] {
            joint.set_motor_model(axis, MotorModel::ForceBased);
        }
        joint.set_limits(JointAxis::LinY, limits_m.map(|l| l as Real));
        let joint = engine.join(anchor, body, joint);
        let points = points.iter().map(|at| YieldPoint { at: *at, rest_m, plateau_n }).collect();
        let damping_s = DAMPING_S;
        Self { body, anchor, joint, frame, stiffness_n_m, damping_s, pulls, points, spread_m2 }
    }

    /// Gives every point another stiffness, N/m, and each its own plateau, N.
    pub fn set_law(&mut self, stiffness_n_m: f64, plateaus_n: impl Iterator<Item = f64>) {
        self.stiffness_n_m = stiffness_n_m;
        for (point, plateau_n) in self.points.iter_mut().zip(plateaus_n) {
            point.plateau_n = plateau_n;
        }
    }

    /// Holds back sway while the vehicle is laid down, and no longer.
    pub fn hold_back(&mut self, laid_down: bool) {
        self.damping_s = if laid_down { LAID_DAMPING_S } else { DAMPING_S };
    }

    /// How far each point of the body has gone down from the frame, m.
    pub fn depths_m(&self, engine: &Engine) -> impl Iterator<Item = f64> {
        let pose = self.pose(engine);
        self.points.iter().map(move |point| {
            let [x, z] = point.at;
            -f64::from((pose * Vector::new(x as Real, 0.0, z as Real)).y)
        })
    }

    /// Where the body stands in the joint's frame.
    fn pose(&self, engine: &Engine) -> Pose {
        let world_from_frame = *engine.bodies[self.anchor].position() * self.frame;
        world_from_frame.inverse() * *engine.bodies[self.body].position()
    }

    /// How far each point's spring is pressed in, m.
    fn pressed_m(&self, pose: Pose) -> Vec<f64> {
        let press = |point: &YieldPoint| {
            let [x, z] = point.at;
            let at = pose * Vector::new(x as Real, 0.0, z as Real);
            let pressed = point.rest_m - f64::from(at.y);
            if self.pulls { pressed } else { pressed.max(0.0) }
        };
        self.points.iter().map(press).collect()
    }

    /// Force that presses the body against its springs, N, its own weight left out. Where
    /// the body stands at the end of its travel the stop's share is added.
    pub fn force_n(&self, engine: &Engine) -> f64 {
        let stop = engine.joints.get(self.joint).map_or(0.0, |joint| {
            engine.force_of_impulse(joint.data.limits[JointAxis::LinY as usize].impulse)
        });
        let pressed: f64 = self.pressed_m(self.pose(engine)).iter().sum();
        let spring = self.stiffness_n_m * pressed;
        let body = &engine.bodies[self.body];
        let weight = f64::from(body.mass() * body.gravity_scale() * engine.gravity.y.abs());
        (spring + stop.abs() - weight).max(0.0)
    }

    /// How far the middle has gone down from where it lay at first, the deepest point, and
    /// the deepest set, m.
    pub fn sunk_m(&self, engine: &Engine, first_m: f64) -> [f64; 3] {
        let pose = self.pose(engine);
        let deepest = self
            .points
            .iter()
            .zip(self.pressed_m(pose))
            .map(|(point, pressed)| first_m - point.rest_m + pressed)
            .fold(0.0, f64::max);
        let set = self.points.iter().map(|p| first_m - p.rest_m).fold(0.0, f64::max);
        [first_m - f64::from(pose.translation.y), deepest, set]
    }

    /// Lets each point yield where its force has passed the plateau, and has the points push
    /// for one step. The caller that steps the engine clears the anchor's forces first.
    pub fn advance(&mut self, engine: &mut Engine) {
        let pose = self.pose(engine);
        let k = self.stiffness_n_m;
        let mut pressed = self.pressed_m(pose);
        for (point, pressed) in self.points.iter_mut().zip(&mut pressed) {
            let yielded = yielded_m(*pressed, k, point.plateau_n);
            point.rest_m -= yielded;
            *pressed -= yielded;
        }

        let along = engine.bodies[self.anchor].rotation() * self.frame.rotation * Vector::Y;
        let stands = *engine.bodies[self.body].position();
        engine.bodies[self.body].reset_forces(false);
        engine.bodies[self.body].reset_torques(false);
        for (point, pressed) in self.points.iter().zip(pressed) {
            let [x, z] = point.at.map(|at| at as Real);
            let (force, at) = (along * (k * pressed) as Real, stands * Vector::new(x, 0.0, z));
            engine.bodies[self.body].add_force_at_point(force, at, false);
            engine.bodies[self.anchor].add_force_at_point(-force, at, false);
        }

        // All points in touch are the stiffest case: with some let go or at their plateau the
        // motors only hold back motion more than the soil would.
        let about = |part: Real| 2.0 * f64::from(part).clamp(-1.0, 1.0).asin();
        let Some(joint) = engine.joints.get_mut(self.joint, false) else { return };
        let damping_s = self.damping_s;
        let mut motor = |axis, here: f64, stiffness: f64| {
            let damping = damping_s * stiffness;
            joint.data.set_motor(axis, here as Real, 0.0, stiffness as Real, damping as Real);
        };
        motor(JointAxis::LinY, f64::from(pose.translation.y), k * self.points.len() as f64);
        let [x2, z2] = self.spread_m2;
        if z2 > 0.0 {
            motor(JointAxis::AngX, about(pose.rotation.x), k * z2);
        }
        if x2 > 0.0 {
            motor(JointAxis::AngZ, about(pose.rotation.z), k * x2);
        }
    }
}

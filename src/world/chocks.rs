//! Chocks set against the vehicle, staked to the ground or not.

use super::engine::{
    Engine, GenericJoint, ImpulseJointHandle, JointAxesMask, JointAxis, MotorModel, Real,
    RigidBodyHandle, Vector,
};
use super::shapes::{plain, vector};
use super::site::Site;
use crate::scene::{Chock, Scene};
use crate::snapshot::{PartId, PartKind, Shape};
use crate::tables::{STAKE_OUT_M, stake_holds_n};

/// A chock is set no nearer to the vehicle than this, m (assumed).
const AWAY_M: f64 = 0.003;
/// A stake gives this much before it drags, m (assumed; it only keeps the joint soft enough).
const GIVES_M: f64 = 0.002;
/// Damping of a stake per stiffness, s.
const DAMPING_S: f64 = 0.02;

/// Which of the scene's chocks have been set, and the stakes that may drag.
#[derive(Clone, Default)]
pub(super) struct Chocks {
    set: Vec<bool>,
    stakes: Vec<Stake>,
}

/// A stake through a chock: it holds so much along the ground, and drags under more.
#[derive(Clone)]
struct Stake {
    chock: RigidBodyHandle,
    joint: ImpulseJointHandle,
    holds_n: f64,
    /// Where it was driven, and how far it has been dragged, m along X and Z.
    foot: [f64; 2],
    dragged_m: [f64; 2],
}

impl Chocks {
    pub fn none_set(count: usize) -> Self {
        Self { set: vec![false; count], stakes: Vec::new() }
    }

    pub fn is_set(&self, chock: usize) -> bool {
        self.set[chock]
    }

    /// Sets those that stand from the start.
    pub fn place(&mut self, site: &mut Site<'_>, scene: &Scene) {
        for index in 0..scene.chocks.len() {
            if scene.chocks[index].set {
                self.set(site, scene, index);
            }
        }
    }

    /// Sets a chock against the vehicle: its upright face as near as it goes.
    pub fn set(&mut self, site: &mut Site<'_>, scene: &Scene, index: usize) {
        let chock = &scene.chocks[index];
        let com = plain(site.bodies.rigid(site.engine, site.vehicle.part).center_of_mass());
        let away = chock.away(scene.lies, [com[0], com[2]]);
        let at = stands_at(site, scene, chock, away);
        let depth = Chock::SIZE_M[0];
        let foot = [at[0] + away[0] * depth / 2.0, 0.0, at[1] + away[1] * depth / 2.0];
        let part = site.timber(chock.name.clone(), PartKind::Chock(index), shape(away), foot);
        if chock.staked {
            let ground = &scene.ground;
            let holds_n = stake_holds_n(ground.surface, ground.soil, ground.wet);
            self.stakes.extend(stake(site, part, foot, holds_n));
        }
        self.set[index] = true;
    }

    /// After a tick: stakes that were asked for more than they hold have been dragged along;
    /// those that came too far are out.
    pub fn drag(&mut self, engine: &mut Engine) {
        self.stakes.retain_mut(|stake| {
            let holds = stake.drag(engine);
            if !holds {
                engine.part(stake.joint);
            }
            holds
        });
    }
}

impl Stake {
    /// False once it is out.
    fn drag(&mut self, engine: &mut Engine) -> bool {
        let at = engine.bodies[self.chock].translation();
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

/// Where its upright face comes to stand: at its place, or further out where the vehicle is.
fn stands_at(site: &Site<'_>, scene: &Scene, chock: &Chock, away: [f64; 2]) -> [f64; 2] {
    let [_, height, width] = Chock::SIZE_M;
    let axis = usize::from(scene.lies.on_side());
    let over = [width / 2.0, height];
    let face = site.vehicle.face_towards(site.engine, site.bodies, chock.at, away, over);
    let mut at = chock.at;
    if let Some(face) = face
        && away[axis] * (chock.at[axis] - face) < AWAY_M
    {
        at[axis] = face + away[axis] * AWAY_M;
    }
    at
}

/// A chock that reaches away from the vehicle, about the middle of its foot.
fn shape(away: [f64; 2]) -> Shape {
    let [depth, height, width] = Chock::SIZE_M;
    let toe = Chock::TOE_M;
    // `run` away from the vehicle, `side` across.
    let point = |run: f64, y: f64, side: f64| {
        [run * away[0] + side * away[1].abs(), y, run * away[1] + side * away[0].abs()]
    };
    let (near, far, half) = (-depth / 2.0, depth / 2.0, width / 2.0);
    let lower = [(near, -half), (near, half), (far, half), (far, -half)];
    let top = |run: f64| if run < 0.0 { height } else { toe };
    let foot = lower.iter().map(|(run, side)| point(*run, 0.0, *side));
    let head = lower.iter().map(|(run, side)| point(*run, top(*run), *side));
    Shape::Hull(foot.chain(head).collect())
}

/// Holds a chock to the ground, up to what its stake holds; without a limit for good. It is a
/// light body joined to the ground, not a part of the ground: a contact is as stiff as the
/// lighter of its two bodies is heavy, and the vehicle against something that cannot move at
/// all chatters with the rounding of its place.
fn stake(site: &mut Site<'_>, part: PartId, foot: [f64; 3], holds_n: Option<f64>) -> Option<Stake> {
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
    let chock = site.bodies.handles[part];
    let joint = site.engine.join(site.bodies.ground, chock, stakes);
    let foot = [foot[0], foot[2]];
    let stake = Stake { chock, joint, holds_n: holds_n?, foot, dragged_m: [0.0; 2] };
    stake.hold(site.engine);
    Some(stake)
}

//! A lifting bag: two thin faces and one joint between them. Along the joint acts a
//! gas spring, across it the shear of the walls, about it the shift of the contact
//! patch; all three are implicit motors, laid anew along their tangents each step.

use super::engine::{Engine, ImpulseJointHandle, RigidBodyHandle};
use super::solver::STEP_S;
use crate::membrane::Membrane;
use crate::tables::{BAG_FACE_M, BAG_SHEAR_SHARE};
use crate::units::ATMOSPHERE_PA;
use bevy_rapier3d::rapier::prelude::*;

/// The folds of an empty bag still hold its faces together: sideways N/m and N m/rad
/// (assumed; small beside any load).
const FOLD_N_M: f64 = 2e3;
const FOLD_NM_RAD: f64 = 50.0;
/// Share of a motor's stiffness that goes into its damping, s. Only settles motion:
/// at rest it carries nothing.
const DAMPING_S: f64 = 0.02;
/// A shut bag whose height has moved less than this is left alone, so that its
/// island can sleep, m.
const SETTLED_M: f64 = 2e-5;

#[derive(Clone)]
pub struct GasBag {
    pub lower: RigidBodyHandle,
    pub upper: RigidBodyHandle,
    pub membrane: Membrane,
    pub working_pa: f64,
    joint: ImpulseJointHandle,
    /// `p V` of the air inside, J; at constant temperature this is the amount of air.
    air_j: f64,
    /// Height at which the motors were last laid.
    laid_m: f64,
    pub height_m: f64,
    pub gauge_pa: f64,
    pub force_n: f64,
    pub tilt_rad: f64,
    pub shear_m: f64,
    pub relieving: bool,
    pub locked_out: bool,
}

impl GasBag {
    /// Joins two faces that lie on each other. Each is a box of [`BAG_FACE_M`].
    pub fn new(
        engine: &mut Engine,
        lower: RigidBodyHandle,
        upper: RigidBodyHandle,
        membrane: Membrane,
        working_pa: f64,
    ) -> Self {
        let mut joint = GenericJoint::default();
        joint.set_local_anchor1(Vector::new(0.0, (BAG_FACE_M / 2.0) as Real, 0.0));
        joint.set_local_anchor2(Vector::new(0.0, (-BAG_FACE_M / 2.0) as Real, 0.0));
        joint.lock_axes(JointAxesMask::ANG_Y);
        // Faces that meet carry each other.
        joint.set_contacts_enabled(true);
        for axis in
            [JointAxis::LinX, JointAxis::LinY, JointAxis::LinZ, JointAxis::AngX, JointAxis::AngZ]
        {
            joint.set_motor_model(axis, MotorModel::ForceBased);
        }
        let joint = engine.join(lower, upper, joint);
        let mut bag = Self {
            lower,
            upper,
            membrane,
            working_pa,
            joint,
            air_j: ATMOSPHERE_PA * membrane.volume_m3(0.0),
            laid_m: f64::INFINITY,
            height_m: 0.0,
            gauge_pa: 0.0,
            force_n: 0.0,
            tilt_rad: 0.0,
            shear_m: 0.0,
            relieving: false,
            locked_out: false,
        };
        bag.advance(engine, 0.0);
        bag
    }

    /// Absolute pressure of the air inside, Pa: never below the atmosphere, because the
    /// walls are slack then.
    pub fn absolute_pa(&self) -> f64 {
        self.gauge_pa + ATMOSPHERE_PA
    }

    /// Air that could leave before the walls go slack, as `p V`, J.
    pub fn spare_air_j(&self) -> f64 {
        (self.air_j - ATMOSPHERE_PA * self.membrane.volume_m3(self.height_m)).max(0.0)
    }

    /// Puts in (or takes out) air by its `p V`, J, and lays the motors along the
    /// tangent of the gas law at the present height.
    pub fn advance(&mut self, engine: &mut Engine, air_j: f64) {
        let lower = *engine.bodies[self.lower].position();
        let upper = *engine.bodies[self.upper].position();
        let half = (BAG_FACE_M / 2.0) as Real;
        let from = lower * Vector::new(0.0, half, 0.0);
        let to = upper * Vector::new(0.0, -half, 0.0);
        let across = lower.rotation.inverse() * (to - from);
        let height = f64::from(across.y).max(0.0);
        self.height_m = height;
        self.shear_m = f64::from(across.x.hypot(across.z));
        let (up_lower, up_upper) = (lower.rotation * Vector::Y, upper.rotation * Vector::Y);
        self.tilt_rad = f64::from(up_lower.dot(up_upper)).clamp(-1.0, 1.0).acos();

        let empty = ATMOSPHERE_PA * self.membrane.volume_m3(0.0);
        self.air_j = (self.air_j + air_j).max(empty);
        let volume = self.membrane.volume_m3(height);
        let relief_j = (self.working_pa + ATMOSPHERE_PA) * volume;
        self.relieving = self.air_j > relief_j;
        self.air_j = self.air_j.min(relief_j);
        let absolute = (self.air_j / volume).max(ATMOSPHERE_PA);
        self.gauge_pa = absolute - ATMOSPHERE_PA;
        self.force_n = self.membrane.force_n(self.gauge_pa, height);

        let settled = air_j == 0.0 && (height - self.laid_m).abs() < SETTLED_M;
        if settled {
            return;
        }
        self.laid_m = height;
        let area = self.membrane.area_m2(height);
        let gas = if self.gauge_pa > 0.0 {
            absolute * area * area / volume - self.gauge_pa * self.membrane.area_slope_m(height)
        } else {
            0.0
        };
        // A floor keeps the slack bag's motor from dividing by nothing; it exerts no
        // force, because its target is where the bag is.
        let stiffness = gas.max(1e3);
        let shear = (BAG_SHEAR_SHARE * self.force_n / height.max(0.02)).max(FOLD_N_M);
        let tilt = |side: f64| self.membrane.tilt_stiffness_nm(self.force_n, side).max(FOLD_NM_RAD);
        let Some(joint) = engine.joints.get_mut(self.joint, air_j != 0.0) else { return };
        let mut motor = |axis, target: f64, stiffness: f64| {
            joint.data.set_motor(
                axis,
                target as Real,
                0.0,
                stiffness as Real,
                (DAMPING_S * stiffness) as Real,
            );
        };
        motor(JointAxis::LinY, height + self.force_n / stiffness, stiffness);
        motor(JointAxis::LinX, 0.0, shear);
        motor(JointAxis::LinZ, 0.0, shear);
        motor(JointAxis::AngX, 0.0, tilt(self.membrane.length_m));
        motor(JointAxis::AngZ, 0.0, tilt(self.membrane.width_m));
    }

    /// Air for a mass flow over one step, as `p V`, J.
    pub fn air_of_flow_j(kg_s: f64) -> f64 {
        kg_s * crate::tables::AIR_RT_J_KG * STEP_S
    }
}

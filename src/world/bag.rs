//! A lifting bag: two thin faces and one joint between them. Along the joint acts a gas spring,
//! across it the shear of the walls, about it the shift of the contact patch. Along and across
//! are measured against the plane midway between the faces: a bag turned upside down is the
//! same bag.
//!
//! What the bag pushes with at the beginning of a step is given to its faces as a force; how
//! that changes within the step is left to implicit motors, set again along the tangents in
//! each step. At rest the motors carry nothing, and that matters: the engine starts a joint's
//! rows one by one, so that a row which carries load disturbs the next, and what lies on the
//! bag creeps over it by millimetres a minute.

use super::air::LegEnd;
use super::engine::{
    Engine, GenericJoint, ImpulseJointHandle, JointAxesMask, JointAxis, MotorModel, Real,
    RigidBodyHandle, Rotation, Vector,
};
use crate::bag_law::{DEAD_VOLUME_M3, Membrane};
use crate::tables::{BAG_FACE_M, BAG_SHEAR_LEAST_M, BAG_SHEAR_SHARE};
use crate::units::ATMOSPHERE_PA;

/// The folds of an empty bag still hold its faces together: sideways N/m and N m/rad (assumed;
/// small against any load).
const FOLD_N_M: f64 = 2e3;
const FOLD_NM_RAD: f64 = 50.0;
/// Share of a motor's stiffness that goes into its damping, s. Only settles motion:
/// at rest it carries nothing.
const DAMPING_S: f64 = 0.02;
/// A shut bag whose height has moved less than this, m, and half its tilt less than that,
/// rad, is left alone, so that its island can sleep.
const SETTLED_M: f64 = 2e-5;
const SETTLED_RAD: f64 = 1e-4;

/// A bag in the engine: its faces, its air, and what was measured last.
#[derive(Clone)]
pub struct GasBag {
    pub lower: RigidBodyHandle,
    pub upper: RigidBodyHandle,
    pub membrane: Membrane,
    pub working_pa: f64,
    /// Shear stiffness of the walls as a share of `F / h`.
    shear_share: f64,
    joint: ImpulseJointHandle,
    /// `p V` of the air inside, J; at constant temperature this is the amount of air.
    air_j: f64,
    /// Height, and half the turn of the upper face, at which the motors were last set.
    laid_m: f64,
    laid_turn: Rotation,
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
            shear_share: BAG_SHEAR_SHARE,
            joint,
            air_j: ATMOSPHERE_PA * DEAD_VOLUME_M3,
            laid_m: f64::INFINITY,
            laid_turn: Rotation::IDENTITY,
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

    /// The bag with another shear stiffness of its walls, as a share of `F / h`.
    pub(super) fn with_shear_share(mut self, share: f64) -> Self {
        self.shear_share = share;
        self
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

    /// The bag as the end of a leg.
    pub fn leg_end(&self) -> LegEnd {
        LegEnd::Bag {
            air_j: self.air_j,
            volume_m3: self.membrane.volume_m3(self.height_m),
            absolute_pa: self.absolute_pa(),
        }
    }

    /// Puts in (or takes out) air by its `p V`, J, and lays the motors along the
    /// tangent of the gas law at the present height.
    pub fn advance(&mut self, engine: &mut Engine, air_j: f64) {
        let lower = *engine.bodies[self.lower].position();
        let upper = *engine.bodies[self.upper].position();
        let half = (BAG_FACE_M / 2.0) as Real;
        let from = lower * Vector::new(0.0, half, 0.0);
        let to = upper * Vector::new(0.0, -half, 0.0);
        // A bag has no up and down: its force stands square to the plane midway between its
        // faces, so along and across follow from half its tilt.
        let half_tilt = Rotation::IDENTITY.slerp(lower.rotation.inverse() * upper.rotation, 0.5);
        let across = (lower.rotation * half_tilt).inverse() * (to - from);
        let height = f64::from(across.y).max(0.0);
        self.height_m = height;
        self.shear_m = f64::from(across.x.hypot(across.z));
        let (up_lower, up_upper) = (lower.rotation * Vector::Y, upper.rotation * Vector::Y);
        self.tilt_rad = f64::from(up_lower.dot(up_upper)).clamp(-1.0, 1.0).acos();

        let empty = ATMOSPHERE_PA * DEAD_VOLUME_M3;
        self.air_j = (self.air_j + air_j).max(empty);
        let volume = self.membrane.volume_m3(height);
        let relief_j = (self.working_pa + ATMOSPHERE_PA) * volume;
        self.relieving = self.air_j > relief_j;
        self.air_j = self.air_j.min(relief_j);
        let absolute = (self.air_j / volume).max(ATMOSPHERE_PA);
        self.gauge_pa = absolute - ATMOSPHERE_PA;
        self.force_n = self.membrane.force_n(self.gauge_pa, height);

        // Half an angle's sine for each part of a quaternion.
        let turned = (self.laid_turn.inverse() * half_tilt).xyz().length();
        let settled =
            (height - self.laid_m).abs() < SETTLED_M && f64::from(turned) < SETTLED_RAD / 2.0;
        if air_j == 0.0 && settled {
            return;
        }
        (self.laid_m, self.laid_turn) = (height, half_tilt);
        let area = self.membrane.area_m2(height);
        let gas = if self.gauge_pa > 0.0 {
            absolute * area * area / volume - self.gauge_pa * self.membrane.area_slope_m(height)
        } else {
            0.0
        };
        // A floor keeps the slack bag's motor from dividing by zero.
        let stiffness = gas.max(1e3);
        let shear = (self.shear_share * self.force_n / height.max(BAG_SHEAR_LEAST_M)).max(FOLD_N_M);
        let [tilt_x, tilt_z] =
            self.membrane.tilt_arms_m(height).map(|arm| (self.force_n * arm).max(FOLD_NM_RAD));
        // A quaternion's parts are sines of half the angle, and this is half the tilt.
        let half = |part: Real| 2.0 * f64::from(part.clamp(-1.0, 1.0)).asin();
        let (half_x, half_z) = (half(half_tilt.x), half(half_tilt.z));

        let midway = lower.rotation * half_tilt;
        let (ax, az) = (f64::from(across.x), f64::from(across.z));
        let along = [-shear * ax, self.force_n, -shear * az].map(|f| f as Real);
        let about = [-tilt_x * 2.0 * half_x, 0.0, -tilt_z * 2.0 * half_z].map(|m| m as Real);
        let (force, torque) = (midway * Vector::from(along), midway * Vector::from(about));
        for (body, sign) in [(self.upper, 1.0), (self.lower, -1.0)] {
            let body = &mut engine.bodies[body];
            body.reset_forces(false);
            body.reset_torques(false);
            body.add_force_at_point(force * sign, to, false);
            body.add_torque(torque * sign, false);
        }

        let Some(joint) = engine.joints.get_mut(self.joint, air_j != 0.0) else { return };
        joint.data.local_frame1.rotation = half_tilt;
        let mut motor = |axis, here: f64, stiffness: f64| {
            let damping = DAMPING_S * stiffness;
            joint.data.set_motor(axis, here as Real, 0.0, stiffness as Real, damping as Real);
        };
        motor(JointAxis::LinY, height, stiffness);
        motor(JointAxis::LinX, ax, shear);
        motor(JointAxis::LinZ, az, shear);
        motor(JointAxis::AngX, half_x, tilt_x);
        motor(JointAxis::AngZ, half_z, tilt_z);
    }
}

//! Every choice about the physics engine's solver, with its reason. Nothing else
//! in the program sets one.

use bevy_rapier3d::rapier::prelude::*;

/// One physics step, s. Two make a tick of [`super::TICK_S`].
pub const STEP_S: f64 = 1.0 / 120.0;
/// Solver iterations in a step. rapier treats them as substeps: positions move each time.
pub const ITERATIONS: usize = 40;
/// Passes over the contacts in each substep. With one pass a stack that a tilting bag
/// pushes sideways creeps by 1 to 2 mm a second and comes down in the end; with two it
/// stands, as with four times the substeps (docs/VERIFICATION.md, settings of the solver).
pub const PASSES: usize = 2;
/// Contact spring frequency, Hz. A contact point is a spring of `m (2 pi f)^2`, so f
/// sets how much a crib gives: low f lets a heavy load sink into light timber, and
/// above about a fifth of the substep rate (`ITERATIONS / STEP_S` = 4800 Hz) contacts
/// chatter, at a third they explode under loads much heavier than what bears them. A
/// fifth tips 13-layer cribs 1 to 2 % below the rigid closed form, most of it a true lean:
/// a crib's contacts give about as much as timber across the grain does.
pub const CONTACT_HZ: f64 = 960.0;
/// Damping ratio of a contact. The engine's default of 10 makes loaded cribs sag; at 5
/// a light part under the vehicle hammered (a limb's load wavered by 150 N of 190 N,
/// at 2 by 2 N).
pub const CONTACT_DAMPING: f64 = 2.0;
/// A contact found before is used again while its bodies have moved less than this, m.
/// The engine's 5 cm leaves contacts stale; without recycling stacks creep several
/// times more.
pub const RECYCLE_M: f64 = 0.002;
/// ... and while neither has turned by more than this since, rad: the engine itself
/// lets them turn by 0.2. Two millimetres on a lever of half a metre.
pub const REFRESH_RAD: f64 = 0.004;
/// A body slower than this may fall asleep, m/s and rad/s: far below the slowest lift,
/// far above the creep of a loaded crib.
pub const SLEEP_M_S: f64 = 0.0008;
pub const SLEEP_RAD_S: f64 = 0.004;
/// ... after this long, s.
pub const SLEEP_AFTER_S: f64 = 0.5;

/// The engine's parameters.
pub fn parameters() -> IntegrationParameters {
    let contact = SpringCoefficients::new(CONTACT_HZ as Real, CONTACT_DAMPING as Real);
    IntegrationParameters {
        dt: STEP_S as Real,
        num_solver_iterations: ITERATIONS,
        num_internal_pgs_iterations: PASSES,
        contact_softness: contact,
        static_contact_softness: contact,
        contact_recycling: true,
        normalized_contact_recycle_distance: RECYCLE_M as Real,
        // The other friction model slips at 0.87 to 0.97 of the friction angle.
        friction_model: FrictionModel::Simplified,
        // Bag and panel joints carry the whole load: start each step from the last one's forces.
        warmstart_joints: true,
        ..IntegrationParameters::default()
    }
}

/// Sets when a body may sleep.
pub fn set_activation(activation: &mut RigidBodyActivation) {
    activation.normalized_linear_threshold = SLEEP_M_S as Real;
    activation.angular_threshold = SLEEP_RAD_S as Real;
    activation.time_until_sleep = SLEEP_AFTER_S as Real;
}

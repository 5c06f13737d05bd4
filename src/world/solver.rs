//! Every choice about the physics engine's solver and its steps, with its reason. Nothing
//! else in the program sets one.

use bevy_rapier3d::rapier::prelude::*;

/// One tick of simulated time, s: the step of orders, watch and pictures.
pub const TICK_S: f64 = 1.0 / 60.0;
/// One step of the engine as the program is shipped, s.
pub const STEP_S: f64 = Settings::SHIPPED.step_s();

/// How the engine solves. The numbers are from docs/VERIFICATION.md ("Settings of the solver"),
/// which shows what a change of each one spoils.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Steps of the engine in a tick of [`TICK_S`]. The law of a bag is laid once a step.
    /// More: the law is followed more closely, at so much more work. Fewer: at one, a bag
    /// that swells into a hole between two timbers throws its stack over.
    pub steps_per_tick: usize,
    /// Solver iterations in a step; rapier treats them as substeps: positions move each
    /// time. More: slower, and loaded cribs that are kept awake creep by 9 to 18 mm a minute.
    /// Fewer: contacts of the same frequency chatter where a load bears on something much
    /// lighter; at 24 beams are read wrong by nine tenths.
    pub iterations: usize,
    /// Passes over the contacts in each substep. More: slower, and the lean of a pushed
    /// stack stays about the same. Fewer: with one, a stack that a tilting bag pushes
    /// sideways creeps by 1 to 2 mm a second and comes down in the end.
    pub passes: usize,
    /// Contact spring frequency, Hz. A contact point is a spring of `m (2 pi f)^2`, so f
    /// sets how much a crib gives. Higher: above about a fifth of the substep rate
    /// (iterations over step time, 4800 Hz) contacts chatter, at a third they explode under
    /// loads much heavier than what bears them. Lower: a heavy load sinks into light timber,
    /// and at 800 Hz cribs of 13 and 16 layers tip 2 to 4 % early. A fifth tips them 1 to 2 %
    /// below the rigid closed form, most of it a true lean: a crib's contacts give about as
    /// much as timber across the grain does.
    pub contact_hz: f64,
    /// Damping ratio of a contact, no unit. Higher: at 5 a light part under the vehicle
    /// hammers (a limb's load wavered by 150 N of 190 N, at 2 by 2 N), and the engine's 10
    /// makes loaded cribs sag. Lower: at 1 a crib bobs for longer under its rated load.
    pub contact_damping: f64,
    /// A contact found before is used again while its bodies have moved less than this, m.
    /// Higher: the engine's 5 cm leaves contacts stale. Lower: stacks creep several times
    /// more.
    pub recycle_m: f64,
    /// ... and while neither has turned by more than this since, rad: the engine itself lets
    /// them turn by 0.2. Two millimetres on a lever of half a metre. Higher: loads keep lever
    /// arms that are no longer true, and a tower that leans stands as if it were upright.
    /// Lower: contacts begin afresh so often that cribs of 13 and 16 layers tip 3 % early.
    pub refresh_rad: f64,
    /// A body slower than this may fall asleep, m/s: far below the slowest lift,
    /// far above the creep of a loaded crib. Higher: a slow lift falls asleep under way.
    /// Lower: what stands never sleeps, and creeps.
    pub sleep_m_s: f64,
    /// ... and that turns no faster than this, rad/s.
    pub sleep_rad_s: f64,
    /// ... after this long, s. Higher: more creep and more work before all is at rest. Lower:
    /// what pauses at the turn of a swing falls asleep there.
    pub sleep_after_s: f64,
}

impl Settings {
    /// The shipped settings.
    pub const SHIPPED: Self = Self {
        steps_per_tick: 2,
        iterations: 40,
        passes: 2,
        contact_hz: 960.0,
        contact_damping: 2.0,
        recycle_m: 0.002,
        refresh_rad: 0.004,
        sleep_m_s: 0.0008,
        sleep_rad_s: 0.004,
        sleep_after_s: 0.5,
    };

    /// One step of the engine, s.
    pub const fn step_s(&self) -> f64 {
        TICK_S / self.steps_per_tick as f64
    }

    /// The engine's parameters.
    pub(super) fn parameters(&self) -> IntegrationParameters {
        let contact =
            SpringCoefficients::new(self.contact_hz as Real, self.contact_damping as Real);
        IntegrationParameters {
            dt: self.step_s() as Real,
            num_solver_iterations: self.iterations,
            num_internal_pgs_iterations: self.passes,
            contact_softness: contact,
            static_contact_softness: contact,
            contact_recycling: true,
            normalized_contact_recycle_distance: self.recycle_m as Real,
            // The other friction model slips at 0.87 to 0.97 of the friction angle.
            friction_model: FrictionModel::Simplified,
            // Bag and panel joints carry the whole load: start each step from the last one's
            // forces.
            warmstart_joints: true,
            ..IntegrationParameters::default()
        }
    }

    /// Sets when a body may sleep.
    pub(super) fn set_activation(&self, activation: &mut RigidBodyActivation) {
        activation.normalized_linear_threshold = self.sleep_m_s as Real;
        activation.angular_threshold = self.sleep_rad_s as Real;
        activation.time_until_sleep = self.sleep_after_s as Real;
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self::SHIPPED
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A tick is a whole number of steps, to the last bit.
    #[test]
    fn a_step_is_a_hundred_and_twentieth_of_a_second() {
        assert_eq!(STEP_S.to_bits(), (1.0_f64 / 120.0).to_bits());
    }
}

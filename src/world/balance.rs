//! What every part weighs and how its motion changes: the other side of each sum of
//! loads. Only looks on.

use super::Yard;
use super::shapes::plain;
use super::solver::STEP_S;
use crate::snapshot::PartId;

/// One part as a mass. Shims are in the beam's.
#[derive(Clone, Copy, Debug)]
pub struct Member {
    pub part: PartId,
    pub kg: f64,
    /// Staked to the ground: it cannot move, and what it bears goes into the ground.
    pub fixed: bool,
    pub com: [f64; 3],
    pub velocity: [f64; 3],
    /// Angular velocity, rad/s.
    pub spin: [f64; 3],
    /// Mean over the last step, of which the loads are the means too, m/s2.
    pub acceleration: [f64; 3],
    pub kinetic_j: f64,
}

impl Yard {
    pub(super) fn velocities(&self) -> Vec<[f64; 3]> {
        let of = |body| self.engine.bodies.get(body).map_or([0.0; 3], |b| plain(b.linvel()));
        self.bodies.iter().map(|body| of(*body)).collect()
    }

    /// Gravity in the ground frame, m/s2.
    pub fn gravity(&self) -> [f64; 3] {
        plain(self.engine.gravity)
    }

    /// Every part that is present, once a body.
    pub fn members(&self) -> Vec<Member> {
        let first = |part: PartId| self.bodies.iter().position(|b| *b == self.bodies[part]);
        (0..self.parts.len())
            .filter(|part| self.parts[*part].present && first(*part) == Some(*part))
            .filter_map(|part| {
                let body = self.engine.bodies.get(self.bodies[part])?;
                let velocity = plain(body.linvel());
                let before = self.before.get(part).copied().unwrap_or(velocity);
                Some(Member {
                    part,
                    kg: body.mass().into(),
                    fixed: body.is_fixed(),
                    com: plain(body.center_of_mass()),
                    velocity,
                    spin: plain(body.angvel()),
                    acceleration: [0, 1, 2].map(|i| (velocity[i] - before[i]) / STEP_S),
                    kinetic_j: body.kinetic_energy().into(),
                })
            })
            .collect()
    }
}

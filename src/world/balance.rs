//! Each part's mass and acceleration: the other side of each sum of loads. It changes nothing.

use super::bodies::Bodies;
use super::engine::Engine;
use super::shapes::plain;
use crate::snapshot::PartId;

/// One part as a mass. Shims are in the beam's.
#[derive(Clone, Copy, Debug)]
pub struct Member {
    pub part: PartId,
    /// What it weighs with; a plate of sheet metal is weighed with the vehicle.
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

/// Notes the velocity of each part, m/s; zero for a part that was taken away.
pub(super) fn velocities(engine: &Engine, bodies: &Bodies, noted: &mut Vec<[f64; 3]>) {
    let of = |body| engine.bodies.get(body).map_or([0.0; 3], |b| plain(b.linvel()));
    noted.clear();
    noted.extend(bodies.handles.iter().map(|body| of(*body)));
}

/// Every part that is present, once a body. `before` has the velocities before the last step.
pub(super) fn members(engine: &Engine, bodies: &Bodies, before: &[[f64; 3]]) -> Vec<Member> {
    let step_s = engine.step_s();
    let handles = &bodies.handles;
    let first = |part: PartId| handles.iter().position(|b| *b == handles[part]);
    (0..bodies.parts.len())
        .filter(|part| bodies.parts[*part].present && first(*part) == Some(*part))
        .filter_map(|part| {
            let body = engine.bodies.get(handles[part])?;
            let velocity = plain(body.linvel());
            let before = before.get(part).copied().unwrap_or(velocity);
            Some(Member {
                part,
                kg: (body.mass() * body.gravity_scale()).into(),
                fixed: body.is_fixed(),
                com: plain(body.center_of_mass()),
                velocity,
                spin: plain(body.angvel()),
                acceleration: [0, 1, 2].map(|i| (velocity[i] - before[i]) / step_s),
                kinetic_j: body.kinetic_energy().into(),
            })
        })
        .collect()
}

/// The vehicle's weight square to the ground, and its mass times its acceleration away from
/// it, N: its supports sum to it.
pub(super) struct Upright {
    pub weight_n: f64,
    pub inertia_n: f64,
}

/// Of the vehicle with the sheet metal on it, whose plates weigh nothing: their weight is in
/// the vehicle's. `before` has the velocities before the last step.
pub(super) fn upright(engine: &Engine, bodies: &Bodies, before: &[[f64; 3]]) -> Upright {
    let down_m_s2 = -f64::from(engine.gravity.y);
    let mut sum = Upright { weight_n: 0.0, inertia_n: 0.0 };
    for (part, body) in bodies.handles.iter().enumerate() {
        let Some(body) = engine.bodies.get(*body).filter(|_| bodies.is_vehicle(part)) else {
            continue;
        };
        let kg = f64::from(body.mass());
        let up_m_s = f64::from(body.linvel().y);
        let before_m_s = before.get(part).map_or(up_m_s, |velocity| velocity[1]);
        sum.weight_n += kg * f64::from(body.gravity_scale()) * down_m_s2;
        sum.inertia_n += kg * (up_m_s - before_m_s) / engine.step_s();
    }
    sum
}

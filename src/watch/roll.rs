//! Roll: the vehicle turns about its length past the limit.

use super::{Crossing, Moment};
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Reach};
use crate::units::{Dimension, Words};

/// Uneven settling stays below this, rad.
const ONSET_RAD: f64 = 0.005;

#[derive(Clone, Default)]
pub(super) struct Roll(Crossing);

impl Roll {
    pub fn look(&mut self, m: &Moment<'_>) -> Option<Finding> {
        let (roll, limit) = (m.now.vehicle.roll_rad, m.scene.aims.roll_rad);
        let began_s = self.0.look(m.now.t_s, roll.abs(), ONSET_RAD, limit, 0.0)?;
        let sides = m.scene.lies.sides();
        let side = if roll > 0.0 { sides[0] } else { sides[1] };
        Some(Finding {
            t_s: m.now.t_s,
            began_s,
            cause: Cause::Roll,
            part: m.scene.vehicle.name.clone(),
            place: m.now.vehicle.com,
            text: Words::of(|u| {
                format!(
                    "the vehicle rolled {}, {side} up (limit {})",
                    u.angle(roll.abs()),
                    u.angle(limit)
                )
            }),
            values: vec![("roll_deg", roll.to_degrees()), ("limit_deg", limit.to_degrees())],
            follows: None,
        })
    }

    pub fn reach(&self, scene: &Scene) -> Option<Reach> {
        self.0.reach(Cause::Roll, &scene.vehicle.name, Dimension::Angle)
    }
}

//! Slide: the vehicle travels over the ground where it bears on it.

use super::{Crossing, Moment};
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Reach};
use crate::units::{Dimension, Words};

/// Seating moves the vehicle less than this, m.
const ONSET_M: f64 = 0.005;

#[derive(Clone, Default)]
pub(super) struct Slide(Crossing);

impl Slide {
    pub fn look(&mut self, m: &Moment<'_>) -> Option<Finding> {
        let (travel, limit) = (m.now.vehicle.slide_m, m.scene.aims.slide_m);
        let began_s = self.0.look(m.now.t_s, travel, ONSET_M, limit, 0.0)?;
        let place = m
            .now
            .loads
            .iter()
            .filter(|l| l.by.is_none() && m.parts[l.on].kind == crate::snapshot::PartKind::Vehicle)
            .max_by(|a, b| a.force[1].total_cmp(&b.force[1]))
            .map_or(m.now.vehicle.com, |l| l.point);
        Some(Finding {
            t_s: m.now.t_s,
            began_s,
            cause: Cause::Slide,
            part: m.scene.vehicle.name.clone(),
            place,
            text: Words::of(|u| {
                format!(
                    "the vehicle slid {} over the ground where it bears (limit {})",
                    u.gap(travel),
                    u.gap(limit)
                )
            }),
            values: vec![("travel_m", travel), ("limit_m", limit)],
            follows: None,
        })
    }

    pub fn reach(&self, scene: &Scene) -> Option<Reach> {
        self.0.reach(Cause::Slide, &scene.vehicle.name, Dimension::Length)
    }
}

//! Drop: a lift point comes down although nobody lets it down.

use super::{Crossing, Moment};
use crate::scene::{Cause, Rest, Scene};
use crate::snapshot::{Finding, Reach};
use crate::units::{Dimension, Words};

/// A load settles by less than this when bags give and wedges seat, m.
const ONSET_M: f64 = 0.006;

#[derive(Clone)]
pub(super) struct Drop {
    /// Highest rise of each lift point since it was last let down, m.
    peaks_m: Vec<f64>,
    crossings: Vec<Crossing>,
}

impl Drop {
    pub fn new(m: &Moment<'_>) -> Self {
        let count = m.now.lift_rise_m.len();
        Self { peaks_m: vec![0.0; count], crossings: vec![Crossing::default(); count] }
    }

    pub fn look(&mut self, m: &Moment<'_>) -> Vec<Finding> {
        let let_down = m.now.outlets.iter().any(|o| o.opening < 0.0 && !o.burst);
        let limit = m.scene.aims.drop_m;
        let topmost = topmost(m.scene);
        let mut found = Vec::new();
        for (i, &rise) in m.now.lift_rise_m.iter().enumerate() {
            if let_down {
                self.peaks_m[i] = rise;
                continue;
            }
            self.peaks_m[i] = self.peaks_m[i].max(rise);
            let fallen = self.peaks_m[i] - rise;
            let Some(began_s) = self.crossings[i].look(m.now.t_s, fallen, ONSET_M, limit, 0.0)
            else {
                continue;
            };
            let part = topmost.get(i).copied().unwrap_or("load");
            found.push(Finding {
                t_s: m.now.t_s,
                began_s,
                cause: Cause::Drop,
                part: part.to_owned(),
                place: m.now.vehicle.com,
                text: Words::of(|u| {
                    format!(
                        "the load above {part} came down {} with nothing to catch it (limit {})",
                        u.gap(fallen),
                        u.gap(limit)
                    )
                }),
                values: vec![("fallen_m", fallen), ("limit_m", limit)],
                follows: None,
            });
        }
        found
    }

    pub fn reach(&self, scene: &Scene) -> Vec<Reach> {
        let topmost = topmost(scene);
        let points = self.crossings.iter().enumerate();
        points
            .filter_map(|(i, crossing)| {
                let part = topmost.get(i).copied().unwrap_or("load");
                crossing.reach(Cause::Drop, part, Dimension::Length)
            })
            .collect()
    }
}

/// Names of the bags that the load lies on, in the order of the lift points.
fn topmost(scene: &Scene) -> Vec<&str> {
    let below = |i| scene.bags.iter().any(|b| b.on == Rest::Bag(i));
    let bags = scene.bags.iter().enumerate();
    bags.filter(|(i, _)| !below(*i)).map(|(_, b)| b.name.as_str()).collect()
}

//! Bag overload: a bag is asked for more force or height than it can give.

use super::{Crossing, Moment};
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Reach};
use crate::units::{Dimension, Words};

/// Past this share of the height at which its contact area is used up, a bag stands
/// on almost nothing.
const HEIGHT_SHARE: f64 = 0.85;
/// The relief valve may blow off this long while a lever is let go, s.
const RELIEF_S: f64 = 0.5;

#[derive(Clone)]
pub(super) struct BagOverload {
    height: Vec<Crossing>,
    relief: Vec<Crossing>,
}

impl BagOverload {
    pub fn new(m: &Moment<'_>) -> Self {
        let fresh = vec![Crossing::default(); m.scene.bags.len()];
        Self { height: fresh.clone(), relief: fresh }
    }

    pub fn look(&mut self, m: &Moment<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for (i, bag) in m.now.bags.iter().enumerate() {
            let name = &m.scene.bags[i].name;
            let place = m
                .parts
                .iter()
                .position(|p| p.kind == crate::snapshot::PartKind::BagFace { bag: i, upper: true })
                .and_then(|part| m.now.poses.get(part))
                .map_or([0.0; 3], crate::snapshot::Pose::at);
            let mut add = |began_s, text, values| {
                found.push(Finding {
                    t_s: m.now.t_s,
                    began_s,
                    cause: Cause::BagOverload,
                    part: name.clone(),
                    place,
                    text,
                    values,
                    follows: None,
                });
            };
            let limit = HEIGHT_SHARE * bag.height_limit_m;
            if let Some(began_s) = self.height[i].look(m.now.t_s, bag.height_m, limit, limit, 0.0) {
                let text = Words::of(|u| {
                    format!(
                        "the {name} bag stands {} high, past what it can carry at (limit {})",
                        u.gap(bag.height_m),
                        u.gap(limit)
                    )
                });
                add(began_s, text, vec![("height_m", bag.height_m), ("limit_m", limit)]);
            }
            let blowing = f64::from(u8::from(bag.relieving));
            if let Some(began_s) = self.relief[i].look(m.now.t_s, blowing, 0.5, 0.5, RELIEF_S) {
                let working = m.scene.bags[i].working_pa;
                let text = Words::of(|u| {
                    format!(
                        "the relief valve of the {name} bag blew off at {}: it can give no more \
                     than {} at {}",
                        u.pressure(working),
                        u.force(bag.force_n),
                        u.gap(bag.height_m)
                    )
                });
                let values = vec![
                    ("gauge_pa", bag.gauge_pa),
                    ("limit_pa", working),
                    ("force_n", bag.force_n),
                    ("height_m", bag.height_m),
                ];
                add(began_s, text, values);
            }
        }
        found
    }

    /// By height, and by pressure once a relief valve has opened for good.
    pub fn reach<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = Reach> + 'a {
        self.height.iter().zip(&self.relief).zip(&scene.bags).flat_map(|((height, relief), bag)| {
            let blown = relief.fired.then(|| Reach {
                cause: Cause::BagOverload,
                part: bag.name.clone(),
                dimension: Dimension::Pressure,
                value: bag.working_pa,
                limit: bag.working_pa,
            });
            let high = height.reach(Cause::BagOverload, &bag.name, Dimension::Length);
            blown.or(high)
        })
    }
}

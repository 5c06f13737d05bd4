//! Topple: a stack leans until its top has moved by half a timber; it begins where
//! the thrust line comes to the edge of a layer.

use super::{Crossing, Moment};
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Reach};
use crate::units::{Dimension, System, Words};

/// A thrust line this near a layer's edge is about to leave it, m.
const EDGE_M: f64 = 0.008;
/// A loaded stack seats itself by less than this, m.
const SEATING_M: f64 = 0.010;

#[derive(Clone)]
pub(super) struct Topple(Vec<Crossing>);

impl Topple {
    pub fn new(m: &Moment<'_>) -> Self {
        Self(vec![Crossing::default(); m.scene.stacks.len()])
    }

    pub fn look(&mut self, m: &Moment<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for ((crossing, stack), spec) in self.0.iter_mut().zip(&m.now.stacks).zip(&m.scene.stacks) {
            let weakest = stack
                .thrust
                .iter()
                .enumerate()
                .filter(|(_, t)| t.is_loaded())
                .min_by(|a, b| a.1.margin_m.total_cmp(&b.1.margin_m));
            let at_edge = weakest.is_some_and(|(_, t)| t.margin_m < EDGE_M);
            // The lean decides; a thrust line at the edge only dates its beginning.
            let limit = spec.timber.width_m / 2.0;
            let value = if at_edge { stack.lean_m.max(SEATING_M * 1.001) } else { stack.lean_m };
            let Some(began_s) = crossing.look(m.now.t_s, value, SEATING_M, limit, 0.0) else {
                continue;
            };
            let why = |u: System| {
                weakest.map_or_else(String::new, |(joint, t)| {
                    format!(
                        "; the thrust line stood {} inside the edge above layer {joint}",
                        u.gap(t.margin_m)
                    )
                })
            };
            let [x, z] = spec.at;
            found.push(Finding {
                t_s: m.now.t_s,
                began_s,
                cause: Cause::Topple,
                part: spec.name.clone(),
                place: weakest.map_or([x, spec.height_m(), z], |(_, t)| t.point),
                text: Words::of(|u| {
                    format!(
                        "the {} stack leaned: its top moved {} (limit {}){}",
                        spec.name,
                        u.gap(stack.lean_m),
                        u.gap(limit),
                        why(u)
                    )
                }),
                values: vec![
                    ("lean_m", stack.lean_m),
                    ("limit_m", limit),
                    ("thrust_margin_m", weakest.map_or(0.0, |(_, t)| t.margin_m)),
                ],
                follows: None,
            });
        }
        found
    }

    pub fn reach<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = Reach> + 'a {
        let crossings = self.0.iter().zip(&scene.stacks);
        crossings.filter_map(|(c, spec)| c.reach(Cause::Topple, &spec.name, Dimension::Length))
    }
}

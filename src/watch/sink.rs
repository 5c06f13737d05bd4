//! Sink: a base goes down into the ground.

use super::{Crossing, Moment, name_of};
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Footing, Reach};
use crate::units::{Dimension, Words};

/// A corner that has gone down this far has lost a fair part of an inch of lift, and it has
/// passed the inch at which soil gives way: it does not come back, m.
const LIMIT_M: f64 = 0.030;
/// Soil under a base that stays elastic gives less than this under usual loads, m.
const ONSET_M: f64 = 0.015;
/// A base that is set down hard dips for a moment, s.
const HOLD_S: f64 = 0.2;

#[derive(Clone)]
pub(super) struct Sink(Vec<(Footing, Crossing)>);

impl Sink {
    pub fn new(m: &Moment<'_>) -> Self {
        Self(m.now.bases.iter().map(|base| (base.of, Crossing::default())).collect())
    }

    pub fn look(&mut self, m: &Moment<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for ((_, crossing), base) in self.0.iter_mut().zip(&m.now.bases) {
            let Some(began_s) = crossing.look(m.now.t_s, base.deepest_m, ONSET_M, LIMIT_M, HOLD_S)
            else {
                continue;
            };
            let scene = m.scene;
            let name = name_of(scene, base.of);
            let (noun, at) = match base.of {
                Footing::Stack(i) => (" stack", scene.stacks[i].at),
                Footing::VoidFill(i) => ("", scene.void_fill[i].at),
                Footing::Capture(i) => (" capture", scene.captures[i].at),
            };
            found.push(Finding {
                t_s: m.now.t_s,
                began_s,
                cause: Cause::Sink,
                part: name.to_owned(),
                place: [at[0], -base.deepest_m, at[1]],
                text: Words::of(|u| format!(
                    "the {name}{noun} sank {} into the ground at its deepest corner (limit {}); \
                     it presses with {}, and the soil under it bears {} at most",
                    u.gap(base.deepest_m),
                    u.gap(LIMIT_M),
                    u.force(base.load_n),
                    u.force(base.capacity_n)
                )),
                values: vec![
                    ("sunk_m", base.deepest_m),
                    ("limit_m", LIMIT_M),
                    ("load_n", base.load_n),
                    ("capacity_n", base.capacity_n),
                    ("set_m", base.set_m),
                ],
                follows: None,
            });
        }
        found
    }

    pub fn reach<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = Reach> + 'a {
        self.0.iter().filter_map(|(of, crossing)| {
            crossing.reach(Cause::Sink, name_of(scene, *of), Dimension::Length)
        })
    }
}

//! Crush: the timbers of a crib are pressed in across the grain where they cross.

use super::{Crossing, Moment, name_of};
use crate::scene::{Cause, Scene};
use crate::snapshot::{CrossingState, Finding, Footing, PartKind, Reach};
use crate::units::{Dimension, Words};

/// A crossing this much thinner is seen and heard, m; a crib of eight layers has then lost
/// half an inch.
const LIMIT_M: f64 = 0.002;
/// The first of it, m: below this a lift's own jolts might have done it.
const ONSET_M: f64 = 0.000_2;

#[derive(Clone, Default)]
pub(super) struct Crush(Vec<(Footing, Crossing)>);

/// The crib that a crossing belongs to.
fn crib(kind: PartKind) -> Option<Footing> {
    match kind {
        PartKind::StackTimber { stack, .. } => Some(Footing::Stack(stack)),
        PartKind::CaptureTimber { capture, .. } => Some(Footing::Capture(capture)),
        PartKind::VoidFill(i) => Some(Footing::VoidFill(i)),
        _ => None,
    }
}

impl Crush {
    pub fn look(&mut self, m: &Moment<'_>) -> Vec<Finding> {
        // The worst crossing of each crib.
        let mut worst: Vec<(Footing, &CrossingState)> = Vec::new();
        for state in &m.now.crossings {
            let Some(of) = crib(m.parts[state.lower].kind) else { continue };
            match worst.iter_mut().find(|(other, _)| *other == of) {
                Some((_, before)) if before.set_m < state.set_m => *before = state,
                Some(_) => {}
                None => worst.push((of, state)),
            }
        }
        let mut found = Vec::new();
        for (of, state) in worst {
            let known = self.0.iter().position(|(other, _)| *other == of);
            let index = known.unwrap_or_else(|| {
                self.0.push((of, Crossing::default()));
                self.0.len() - 1
            });
            let crossing = &mut self.0[index].1;
            let Some(began_s) = crossing.look(m.now.t_s, state.set_m, ONSET_M, LIMIT_M, 0.0) else {
                continue;
            };
            let name = name_of(m.scene, of);
            let part = &m.parts[state.upper].name;
            found.push(Finding {
                t_s: m.now.t_s,
                began_s,
                cause: Cause::Crush,
                part: name.to_owned(),
                place: state.at,
                text: Words::of(|u| {
                    format!(
                        "the timber of {name} is crushed: {part} has sunk {} into the one below it \
                     (limit {}), pressed with {} where the wood bears {}",
                        u.gap(state.set_m),
                        u.gap(LIMIT_M),
                        u.stress(state.bearing_pa()),
                        u.stress(state.bears_pa)
                    )
                }),
                values: vec![
                    ("set_m", state.set_m),
                    ("limit_m", LIMIT_M),
                    ("bearing_pa", state.bearing_pa()),
                    ("bears_pa", state.bears_pa),
                    ("force_n", state.force_n),
                ],
                follows: None,
            });
        }
        found
    }

    pub fn reach<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = Reach> + 'a {
        self.0.iter().filter_map(|(of, crossing)| {
            crossing.reach(Cause::Crush, name_of(scene, *of), Dimension::Length)
        })
    }
}

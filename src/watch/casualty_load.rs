//! Casualty load: a trapped limb carries more than it did at the start.

use super::{Crossing, Moment};
use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Reach};
use crate::units::{Dimension, Words};

/// Contact readings waver by less than this; a rise must pass both, N and share.
const NOISE_N: f64 = 15.0;
const NOISE_SHARE: f64 = 0.03;
/// ... and last this long, s.
const HOLD_S: f64 = 0.1;

#[derive(Clone)]
pub(super) struct CasualtyLoad {
    start_n: Vec<f64>,
    crossings: Vec<Crossing>,
}

impl CasualtyLoad {
    pub fn new(m: &Moment<'_>) -> Self {
        let start_n: Vec<f64> = m.now.limbs.iter().map(|l| l.load_n).collect();
        Self { crossings: vec![Crossing::default(); start_n.len()], start_n }
    }

    pub fn look(&mut self, m: &Moment<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        for (i, limb) in m.now.limbs.iter().enumerate() {
            let start = self.start_n[i];
            let limit = start + NOISE_N.max(NOISE_SHARE * start);
            let onset = start + NOISE_N / 2.0;
            let Some(began_s) =
                self.crossings[i].look(m.now.t_s, limb.load_n, onset, limit, HOLD_S)
            else {
                continue;
            };
            let spec = &m.scene.limbs[i];
            found.push(Finding {
                t_s: m.now.t_s,
                began_s,
                cause: Cause::CasualtyLoad,
                part: spec.name.clone(),
                place: [spec.at[0], limb.gap_m, spec.at[1]],
                text: Words::of(|u| {
                    format!(
                        "the load on the {} rose to {} from {} at the start",
                        spec.name,
                        u.force(limb.load_n),
                        u.force(start)
                    )
                }),
                values: vec![("load_n", limb.load_n), ("start_n", start)],
                follows: None,
            });
        }
        found
    }

    pub fn reach<'a>(&'a self, scene: &'a Scene) -> impl Iterator<Item = Reach> + 'a {
        let crossings = self.crossings.iter().zip(&scene.limbs);
        crossings.filter_map(|(c, spec)| c.reach(Cause::CasualtyLoad, &spec.name, Dimension::Force))
    }
}

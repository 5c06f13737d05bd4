//! Plays a scene's own orders to the end.

use super::moments::{FrameRetention, Moment, Moments};
use super::peaks::{Gap, Peaks};
use super::running::{AT_MOST_S, End, Lift};
use crate::digest::Digest;
use crate::scene::{Fault, Order, Scene};
use crate::snapshot::{
    Finding, Jam, LimbTrace, NearestApproach, OrderRecord, Part, Settling, Snapshot,
};
use crate::world::TICK_S;
use std::sync::Arc;

/// The time history keeps one row in this many ticks.
pub const TICKS_PER_ROW: u64 = 6;
/// From so many rows on, ten minutes of them, a rest is kept by its first and last row alone; a row
/// of a beam lift takes 45 kB.
const MANY_ROWS: usize = 6_000;

/// Drops the rows inside a rest, which are all as the first of it but for their time.
fn drop_rests(rows: &mut Vec<Snapshot>) {
    let inside: Vec<bool> = (0..rows.len())
        .map(|i| (i.max(1) - 1..=i + 1).all(|near| rows.get(near).is_some_and(|row| row.asleep)))
        .collect();
    let mut i = 0;
    rows.retain(|_| {
        i += 1;
        !inside[i - 1]
    });
}

/// How a lift is played.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlayOptions {
    /// Which moments are kept for pictures.
    pub keep: FrameRetention,
    /// Cuts the lift off after this long, s. More lets a long script come to its end; the
    /// time to play it grows with it.
    pub at_most_s: f64,
}

impl Default for PlayOptions {
    fn default() -> Self {
        Self { keep: FrameRetention::None, at_most_s: AT_MOST_S }
    }
}

/// A lift played to its end.
pub struct Played {
    pub scene: Arc<Scene>,
    /// In the order of cause: the first is what began it.
    pub findings: Vec<Finding>,
    /// What the vehicle did before the lift began.
    pub settling: Settling,
    /// What the crew was told, in turn.
    pub records: Vec<OrderRecord>,
    /// The lift had not ended when its time ran out.
    pub cut_off: Option<CutOff>,
    /// The faults that struck, and when, s: the crew was not told.
    pub struck: Vec<(f64, Fault)>,
    pub gaps: Vec<Gap>,
    /// The vehicle over each limb, at every tick.
    pub traces: Vec<LimbTrace>,
    pub peaks: Peaks,
    /// How near each failure came, part by part.
    pub nearest_approaches: Vec<NearestApproach>,
    pub sim_s: f64,
    pub state_hash: u64,
    /// A body's state is not finite: nothing here can be trusted.
    pub broken: bool,
    /// Why the lift cannot begin like this; nothing was played then.
    pub impossible: Option<Jam>,
    /// As they were at the end; their places in the list never change.
    pub parts: Vec<Part>,
    /// A row every tenth of a second, the first from before the orders. In a lift of over ten
    /// minutes a rest may have its first and last row only.
    pub history: Vec<Snapshot>,
    pub moments: Vec<Moment>,
}

/// Where a lift stood when its time was up.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOff {
    /// When, s.
    pub at_s: f64,
    /// The order that was being carried out.
    pub in_hand: Option<Order>,
    /// The orders that were never given.
    pub not_given: Vec<Order>,
}

impl CutOff {
    fn new(lift: &Lift) -> Option<Self> {
        if lift.end() != Some(End::CutOff) {
            return None;
        }
        let (in_hand, not_given) = lift.remaining().split_at(usize::from(lift.is_at_work()));
        Some(Self {
            at_s: lift.snapshot().t_s,
            in_hand: in_hand.first().cloned(),
            not_given: not_given.to_vec(),
        })
    }
}

/// Plays a scene's own orders to the end. `progress` gets the simulated time and how many
/// orders are done.
pub fn play(
    scene: Arc<Scene>,
    options: &PlayOptions,
    progress: &mut dyn FnMut(f64, usize),
) -> Played {
    let mut lift = Lift::new(scene.clone()).for_at_most(options.at_most_s);
    let mut gaps = Gap::at_start(&scene, lift.snapshot());
    let mut traces = LimbTrace::at_start(&scene, lift.parts(), lift.snapshot());
    let mut peaks = Peaks::default();
    let mut history = vec![lift.snapshot().clone()];
    let mut moments = Moments::new(options.keep, &lift);
    let (mut ticks, mut many) = (0_u64, MANY_ROWS);
    while !lift.done() {
        lift.tick();
        ticks += 1;
        let now = lift.snapshot();
        gaps.iter_mut().zip(&now.limbs).for_each(|(gap, limb)| gap.follow(limb));
        traces.iter_mut().for_each(|trace| trace.follow(now));
        peaks.follow(now);
        if ticks.is_multiple_of(TICKS_PER_ROW) {
            history.push(now.clone());
            if history.len() > many {
                drop_rests(&mut history);
                many = MANY_ROWS.max(history.len() + MANY_ROWS / 10);
            }
            progress(now.t_s, now.order);
        }
        moments.observe(&lift, ticks);
    }
    moments.end(&lift);
    let cut_off = CutOff::new(&lift);
    Played {
        findings: lift.findings().to_vec(),
        settling: *lift.settling(),
        records: lift.records().to_vec(),
        cut_off,
        struck: lift.struck().to_vec(),
        gaps,
        traces,
        peaks,
        nearest_approaches: lift.nearest_approaches(),
        sim_s: ticks as f64 * TICK_S,
        state_hash: state_hash(lift.snapshot()),
        broken: lift.broken(),
        impossible: lift.impossible().cloned(),
        parts: lift.parts().to_vec(),
        history,
        moments: moments.kept,
        scene,
    }
}

/// Digest of a state: equal only if every bit of every pose is.
pub fn state_hash(now: &Snapshot) -> u64 {
    let mut digest = Digest::new();
    for pose in &now.poses {
        pose.position.iter().chain(&pose.turn).for_each(|v| {
            digest.f32(*v);
        });
    }
    for bag in &now.bags {
        digest.f64(bag.height_m).f64(bag.gauge_pa);
    }
    digest.number()
}

#[cfg(test)]
mod tests {
    use super::{Snapshot, drop_rests};

    #[test]
    fn a_rest_keeps_its_first_and_last_row_and_motion_every_row() {
        let rests = |t_s: f64| (1.0..5.0).contains(&t_s) || t_s == 7.0 || t_s > 8.0;
        let row =
            |t: u32| Snapshot { t_s: t.into(), asleep: rests(t.into()), ..Snapshot::default() };
        let mut rows: Vec<Snapshot> = (0..11).map(row).collect();
        for _ in 0..2 {
            drop_rests(&mut rows);
            let left: Vec<f64> = rows.iter().map(|row| row.t_s).collect();
            assert_eq!(left, [0.0, 1.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0]);
        }
    }
}

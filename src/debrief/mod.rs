//! Plays a lift to its end and turns it into a report: what happened, against what
//! was wanted. Text for a reader, JSON for a program, CSV of the time history.
//! Simulates nothing itself; see [`crate::lift::Lift`].

mod csv_file;
mod html;
mod json;
mod lesson;
mod paper;
mod plot;
mod text;

pub use crate::scene::CAUTION;
pub use html::{Picture, Pictures};
pub use lesson::{Reading, Readings, name};
pub use paper::Beside;
pub use text::expectation;

use crate::digest::Digest;
use crate::lift::Lift;
use crate::scene::{Cause, Fault, Outcome, Scene};
use crate::snapshot::{Finding, Part, Reach, Said, Snapshot};
use crate::units::{System, Words};
use crate::world::TICK_S;
use std::sync::Arc;
use std::time::Instant;

/// The time history keeps one row in this many ticks.
const TICKS_PER_ROW: u64 = 6;

/// Which moments are kept for pictures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Keep {
    Nothing,
    /// The start, every finding, one every ten seconds, and the end.
    Milestones,
}

/// A moment that can be drawn.
#[derive(Clone)]
pub struct Moment {
    pub parts: Arc<Vec<Part>>,
    pub snapshot: Snapshot,
    pub findings: Vec<Finding>,
}

/// Gap at one limb over the lift, m.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    pub at: String,
    pub needed_m: f64,
    pub start_m: f64,
    pub end_m: f64,
    pub max_m: f64,
    /// Load on the limb at the start and the most it came to, N.
    pub start_load_n: f64,
    pub max_load_n: f64,
}

/// Largest values over the lift.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Peaks {
    pub roll_rad: f64,
    pub slide_m: f64,
    pub rise_m: f64,
    pub bag_gauge_pa: f64,
    pub bag_height_m: f64,
    pub bag_force_n: f64,
    pub stack_load_n: f64,
    pub stack_lean_m: f64,
    /// Least distance of a loaded thrust line inside a stack's bearing corners; none where
    /// no stack was loaded.
    pub least_thrust_margin_m: Option<f64>,
    pub beam_moment_nm: f64,
    /// Of the beam's design values, for a load of ten minutes.
    pub beam_design_share: f64,
    pub beam_sag_m: f64,
    /// Pressure where timbers cross.
    pub crossing_pa: f64,
    /// The deepest corner of a base.
    pub sunk_m: f64,
}

/// A lift played to its end.
pub struct Debrief {
    pub scene: Arc<Scene>,
    pub units: System,
    pub outcome: Outcome,
    pub cause: Option<Cause>,
    pub findings: Vec<Finding>,
    pub said: Vec<Said>,
    /// The faults that struck, and when, s: the crew was not told.
    pub struck: Vec<(f64, Fault)>,
    pub gaps: Vec<Gap>,
    pub peaks: Peaks,
    /// How near each failure came, part by part.
    pub reach: Vec<Reach>,
    pub sim_s: f64,
    pub wall_s: f64,
    pub state_hash: u64,
    /// A body's state stopped being a number: nothing here can be trusted.
    pub broken: bool,
    /// Why this is no start: nothing here shows anything then.
    pub impossible: Option<Words>,
    /// As they were at the end; their places in the list never change.
    pub parts: Vec<Part>,
    pub history: Vec<Snapshot>,
    pub moments: Vec<Moment>,
}

/// Lets everything come to rest, and tells why a lift cannot begin like that, or none where
/// it can.
pub fn impossible(scene: Arc<Scene>) -> Option<Words> {
    Lift::new(scene).impossible().cloned()
}

/// Plays a scene's own orders to the end. `progress` is told the simulated time and
/// how many orders are done.
pub fn play(
    scene: Arc<Scene>,
    units: System,
    keep: Keep,
    progress: &mut dyn FnMut(f64, usize),
) -> Debrief {
    let begun = Instant::now();
    let mut lift = Lift::new(scene.clone());
    let mut gaps = first_gaps(&scene, lift.snapshot());
    let mut peaks = Peaks::default();
    let mut history = vec![lift.snapshot().clone()];
    let mut moments = Moments::new(keep, &lift);
    let mut ticks = 0_u64;
    while !lift.done() {
        lift.tick();
        ticks += 1;
        let now = lift.snapshot();
        follow(&mut gaps, &mut peaks, now);
        if ticks.is_multiple_of(TICKS_PER_ROW) {
            history.push(now.clone());
            progress(now.t_s, now.order);
        }
        moments.look(&lift, ticks);
    }
    moments.end(&lift);
    let findings = lift.findings().to_vec();
    let freed = gaps.iter().all(|g| g.end_m >= g.needed_m);
    let all_done = lift.said().iter().all(|s| s.refused.is_none());
    let outcome = match (findings.is_empty(), freed && all_done) {
        (false, _) => Outcome::Failed,
        (true, true) => Outcome::Lifted,
        (true, false) => Outcome::Incomplete,
    };
    Debrief {
        outcome,
        cause: findings.first().map(|f| f.cause),
        findings,
        said: lift.said().to_vec(),
        struck: lift.struck().to_vec(),
        gaps,
        peaks,
        reach: lift.reach(),
        sim_s: ticks as f64 * TICK_S,
        wall_s: begun.elapsed().as_secs_f64(),
        state_hash: state_hash(lift.snapshot()),
        broken: lift.broken(),
        impossible: lift.impossible().cloned(),
        parts: lift.parts().to_vec(),
        history,
        moments: moments.kept,
        scene,
        units,
    }
}

fn first_gaps(scene: &Scene, first: &Snapshot) -> Vec<Gap> {
    scene
        .limbs
        .iter()
        .zip(&first.limbs)
        .map(|(limb, state)| Gap {
            at: limb.name.clone(),
            needed_m: limb.gap_needed_m,
            start_m: state.gap_m,
            end_m: state.gap_m,
            max_m: state.gap_m,
            start_load_n: state.load_n,
            max_load_n: state.load_n,
        })
        .collect()
}

fn follow(gaps: &mut [Gap], peaks: &mut Peaks, now: &Snapshot) {
    for (gap, limb) in gaps.iter_mut().zip(&now.limbs) {
        gap.end_m = limb.gap_m;
        gap.max_m = gap.max_m.max(limb.gap_m);
        gap.max_load_n = gap.max_load_n.max(limb.load_n);
    }
    let most = |peak: &mut f64, value: f64| *peak = peak.max(value);
    most(&mut peaks.roll_rad, now.vehicle.roll_rad.abs());
    most(&mut peaks.slide_m, now.vehicle.slide_m);
    most(&mut peaks.rise_m, now.rise_m);
    for bag in &now.bags {
        most(&mut peaks.bag_gauge_pa, bag.gauge_pa);
        most(&mut peaks.bag_height_m, bag.height_m);
        most(&mut peaks.bag_force_n, bag.force_n);
    }
    if let Some(beam) = now.beam {
        most(&mut peaks.beam_moment_nm, beam.moment_nm.abs());
        most(&mut peaks.beam_design_share, beam.design_share);
        most(&mut peaks.beam_sag_m, beam.sag_m);
    }
    for crossing in &now.crossings {
        most(&mut peaks.crossing_pa, crossing.bearing_pa());
    }
    for base in &now.bases {
        most(&mut peaks.sunk_m, base.deepest_m);
    }
    for stack in &now.stacks {
        most(&mut peaks.stack_load_n, stack.load_n);
        most(&mut peaks.stack_lean_m, stack.lean_m);
        let least = [peaks.least_thrust_margin_m, stack.least_margin_m()];
        peaks.least_thrust_margin_m = least.into_iter().flatten().reduce(f64::min);
    }
}

/// One number for the whole final state: equal only if every bit of every pose is.
fn state_hash(now: &Snapshot) -> u64 {
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

/// Keeps moments for pictures while a lift is played.
struct Moments {
    keep: Keep,
    parts: Arc<Vec<Part>>,
    findings: usize,
    kept: Vec<Moment>,
}

impl Moments {
    fn new(keep: Keep, lift: &Lift) -> Self {
        let mut moments =
            Self { keep, parts: Arc::new(lift.parts().to_vec()), findings: 0, kept: Vec::new() };
        if keep != Keep::Nothing {
            moments.add(lift);
        }
        moments
    }

    fn look(&mut self, lift: &Lift, ticks: u64) {
        if self.keep == Keep::Nothing {
            return;
        }
        let every = (10.0 / TICK_S).round() as u64;
        let new_finding = lift.findings().len() > self.findings;
        self.findings = lift.findings().len();
        if ticks.is_multiple_of(every) || new_finding {
            self.add(lift);
        }
    }

    fn end(&mut self, lift: &Lift) {
        if self.keep != Keep::Nothing {
            self.add(lift);
        }
    }

    fn add(&mut self, lift: &Lift) {
        if lift.parts() != self.parts.as_slice() {
            self.parts = Arc::new(lift.parts().to_vec());
        }
        if self.kept.last().is_some_and(|m| m.snapshot.t_s == lift.snapshot().t_s) {
            return;
        }
        self.kept.push(Moment {
            parts: self.parts.clone(),
            snapshot: lift.snapshot().clone(),
            findings: lift.findings().to_vec(),
        });
    }
}

/// How the finding at `i` stands to the others, in words.
fn rank(i: usize, finding: &Finding) -> String {
    match finding.follows {
        None if i == 0 => "primary cause".to_owned(),
        None => "on its own".to_owned(),
        Some(before) => format!("follows from {}", before + 1),
    }
}

impl Debrief {
    /// Reads the lesson's numbers off this lift.
    pub fn readings<T>(&self, read: impl FnOnce(&Readings<'_>) -> T) -> T {
        let history: Vec<&Snapshot> = self.history.iter().collect();
        read(&Readings {
            scene: &self.scene,
            history: &history,
            findings: &self.findings,
            reach: &self.reach,
            twin: None,
            units: self.units,
        })
    }

    /// Whether outcome and cause are what the scene's author expected.
    pub fn as_expected(&self) -> bool {
        let expect = self.scene.expect;
        expect.outcome == self.outcome && expect.cause.is_none_or(|c| Some(c) == self.cause)
    }
}

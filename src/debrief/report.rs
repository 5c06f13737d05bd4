//! A played lift with what a report of it needs besides.

use super::harm::{Harm, LiftSeen, limb_records};
use super::lesson::Readings;
use super::outcome::outcome;
use crate::lift::{self, FrameRetention, Gap, Lift, PlayOptions, Played};
use crate::practice::{Freed, Practice, Record};
use crate::scene::{Cause, Order, Outcome, Scene};
use crate::snapshot::{Finding, Jam, LimbRecord, Snapshot};
use crate::units::UnitSystem;
use std::ops::Deref;
use std::sync::Arc;
use web_time::Instant;

/// What is said of a lift that met its aims.
pub const ALL_AIMS_MET: &str = "every aim was met and no limit was passed";
/// What is said of a lift that is incomplete.
pub(super) const FELL_SHORT: &str =
    "no limit was passed, but an aim was not reached or an order not done";

/// A report of a played lift. What was played reads through: `debrief.findings`.
pub struct Debrief {
    pub played: Played,
    pub outcome: Outcome,
    /// Of the first finding.
    pub cause: Option<Cause>,
    /// How it was done, whatever the outcome; none where nothing was played, or nothing that was
    /// can be trusted.
    pub practice: Option<Practice>,
    /// The units it is told in.
    pub units: UnitSystem,
    /// How long it took to play, s.
    pub wall_s: f64,
    /// Whether it is of a task: nothing is expected of its ending then.
    pub of_a_task: bool,
}

impl Deref for Debrief {
    type Target = Played;

    fn deref(&self) -> &Played {
        &self.played
    }
}

/// Lets everything settle, and returns what the vehicle did meanwhile where it does not lie
/// still.
///
/// # Errors
/// Why a lift cannot begin in that state.
pub fn start(scene: Arc<Scene>) -> Result<Option<Finding>, Jam> {
    let lift = Lift::new(scene);
    match lift.impossible() {
        Some(jam) => Err(jam.clone()),
        None => Ok(lift.findings().first().cloned()),
    }
}

/// Plays a scene's own orders to the end, by the clock, for a report. `progress` gets the
/// simulated time and how many orders are done.
pub fn play(
    scene: Arc<Scene>,
    units: UnitSystem,
    keep: FrameRetention,
    progress: &mut dyn FnMut(f64, usize),
) -> Debrief {
    let begun = Instant::now();
    let played = lift::play(scene, &PlayOptions { keep, ..PlayOptions::default() }, progress);
    Debrief::new(played, units, begun.elapsed().as_secs_f64())
}

/// What the rules of practice say of a played lift.
fn practice(played: &Played) -> Option<Practice> {
    if played.impossible.is_some() || played.broken {
        return None;
    }
    let history: Vec<&Snapshot> = played.history.iter().collect();
    Some(Practice::of(&Record::new(
        &played.scene,
        &played.parts,
        &history,
        &played.records,
        &played.findings,
        played.cut_off.is_none(),
    )))
}

/// How the finding at `i` relates to the others, in words.
pub(super) fn rank(i: usize, finding: &Finding) -> String {
    match finding.follows {
        None if i == 0 => "primary cause".to_owned(),
        None => "on its own".to_owned(),
        Some(before) => format!("follows from {}", before + 1),
    }
}

impl Debrief {
    /// A report of what was played, in `wall_s` seconds, told in `units`.
    pub fn new(played: Played, units: UnitSystem, wall_s: f64) -> Self {
        let cause = played.findings.first().map(Finding::cause);
        let practice = practice(&played);
        let outcome = outcome(&played);
        Self { outcome, cause, practice, played, units, wall_s, of_a_task: false }
    }

    /// That the lift was cut off, when, and which orders it left undone; none where it came to
    /// its own end.
    pub(super) fn cut_off_note(&self) -> Option<String> {
        let cut = self.cut_off.as_ref()?;
        let say = |order: &Order| order.say(&self.scene, self.units);
        let mut note = format!("The lift was cut off at {:.0} s, before it was done.", cut.at_s);
        if let Some(order) = &cut.in_hand {
            note += &format!(" In hand: {}.", say(order));
        }
        if !cut.not_given.is_empty() {
            let orders: Vec<String> = cut.not_given.iter().map(say).collect();
            note += &format!(" Never given: {}.", orders.join("; "));
        }
        Some(note)
    }

    /// What a lift came to that was lifted. A scene may aim at less than frees somebody.
    pub(super) fn lifted_words(&self) -> &'static str {
        let is_trapped = |limb| self.freed(limb) == Some(Freed::Trapped);
        match (0..self.gaps.len()).any(is_trapped) {
            true => {
                "the scene's aims were met and no limit was passed, but the casualty is still trapped"
            }
            false => ALL_AIMS_MET,
        }
    }

    /// How the person lies at the end to whom a limb belongs, by its place in the scene's list.
    pub(super) fn freed(&self, limb: usize) -> Option<Freed> {
        self.practice.as_ref()?.of_limb(limb)
    }

    /// What is said of a limb's gap at the end, and whether it is enough. A gap over a limb that the
    /// vehicle came down on or slid over is none that was won by the lift.
    pub(super) fn gap_words(gap: &Gap, limb: &LimbRecord) -> (&'static str, bool) {
        match gap.is_enough() {
            _ if limb.struck.is_some() => ("struck again", false),
            _ if limb.is_dragged() => ("the vehicle slid over it", false),
            _ if limb.left_s.is_some() => ("no vehicle over it", false),
            true => ("enough", true),
            false => ("NOT enough", false),
        }
    }

    /// The gap over a limb at the end: none where the vehicle is no longer over it.
    pub(crate) fn end_gap(gap: &Gap, limb: &LimbRecord, units: UnitSystem) -> String {
        if limb.left_s.is_some() { "none".to_owned() } else { units.gap(gap.end_m) }
    }

    /// Reads the lesson's numbers off this lift.
    pub fn readings<T>(&self, read: impl FnOnce(&Readings<'_>) -> T) -> T {
        let history: Vec<&Snapshot> = self.history.iter().collect();
        read(&Readings {
            scene: &self.scene,
            history: &history,
            findings: &self.findings,
            nearest_approaches: &self.nearest_approaches,
            twin: None,
            units: self.units,
        })
    }

    /// What the lesson teaches and says; nothing of a task, whose scene has only its brief.
    pub(super) fn lesson_lines(&self) -> Vec<String> {
        if self.of_a_task { Vec::new() } else { self.readings(|r| r.lines()) }
    }

    /// What a failure did; none where nothing went wrong.
    pub fn harm(&self) -> Option<Harm> {
        let history: Vec<&Snapshot> = self.history.iter().collect();
        Harm::new(&LiftSeen {
            scene: &self.scene,
            parts: &self.parts,
            findings: &self.findings,
            history: &history,
            records: &self.records,
            traces: &self.traces,
        })
    }

    /// The same in words; nothing where nothing went wrong.
    pub(super) fn harm_lines(&self) -> Vec<String> {
        self.harm().map_or_else(Vec::new, |harm| harm.lines(&self.scene, self.units))
    }

    /// What became of each limb, in the scene's order, whether anything went wrong or not.
    pub fn limb_records(&self) -> Vec<LimbRecord> {
        limb_records(&self.scene, &self.findings, &self.traces)
    }

    /// Whether outcome and cause are what the scene's author expected.
    pub fn as_expected(&self) -> bool {
        let expect = self.scene.expect;
        expect.outcome == self.outcome && expect.cause.is_none_or(|c| Some(c) == self.cause)
    }
}

//! What the lift screen shows.

use crate::practice::Practice;
use crate::scene::{Fault, OnFailure, Scene};
use crate::session::{
    EndingsTold, Guide, Lever, LiftTaskShown, Measure, Overlays, Play, Reel, RunsCompared, Session,
    Stage,
};
use crate::snapshot::{Finding, OrderRecord, Snapshot};
use crate::units::UnitSystem;

/// Everything the lift screen shows.
pub struct LiftState<'a> {
    pub scene: &'a Scene,
    pub start: &'a Snapshot,
    pub now: &'a Snapshot,
    pub reel: &'a Reel,
    /// A run to compare with in the plots.
    pub other: Option<&'a Reel>,
    /// Runs side by side.
    pub compared: Option<RunsCompared<'a>>,
    /// The lesson that differs in one choice.
    pub twin: Option<&'a Scene>,
    /// Of which scenes the ending may be told before their lift.
    pub endings: EndingsTold<'a>,
    /// Findings up to the moment shown.
    pub findings: &'a [Finding],
    /// Findings of the whole lift so far.
    pub all_findings: &'a [Finding],
    pub records: &'a [OrderRecord],
    /// Faults that have struck, for the instructor and for looking back.
    pub struck: &'a [(f64, Fault)],
    pub instructor: bool,
    pub guide: Option<&'a Guide>,
    /// What the cards of a task show, where one is worked on.
    pub task: Option<LiftTaskShown>,
    pub most_gap_m: Vec<f64>,
    pub most_load_n: Vec<f64>,
    /// What the lesson says with the numbers so far; only when looking back.
    pub lesson: Vec<String>,
    /// How the lift was done; only when looking back.
    pub practice: Option<&'a Practice>,
    pub units: UnitSystem,
    pub stage: Stage,
    pub playing: bool,
    pub slow: bool,
    /// The share of real time that the machine is too slow to exceed.
    pub slowed_to: Option<f64>,
    pub freeze: bool,
    pub frozen: bool,
    pub script: bool,
    /// What the officer does once something has gone wrong.
    pub on_failure: OnFailure,
    /// The officer has called stop.
    pub stopped: bool,
    /// What a failure came to, in words; only when looking back.
    pub harm: Vec<String>,
    pub done: bool,
    /// The lift has ended, whatever is on screen.
    pub ended: bool,
    pub broken: bool,
    /// Why the lift cannot begin like this.
    pub impossible: Option<String>,
    pub looking_back: bool,
    pub end_s: f64,
    /// Share that a valve opens to by hand.
    pub valve: f64,
    pub held: &'a [Option<Lever>],
    pub overlays: Overlays,
    pub measure: &'a Measure,
}

impl<'a> LiftState<'a> {
    /// How a session's lift stands.
    pub fn new(session: &'a Session, play: &'a Play) -> Self {
        let limbs = 0..play.scene().limbs.len();
        Self {
            scene: play.scene(),
            start: play.start(),
            now: play.now(),
            reel: &play.reel,
            other: session.reel_beside().or(play.before.as_ref()),
            compared: session.runs_compared(),
            twin: session.twin_scene(),
            endings: session.endings_told(),
            freeze: play.freeze,
            frozen: play.frozen,
            findings: play.findings(),
            all_findings: play.all_findings(),
            records: play.records(),
            struck: play.struck(),
            instructor: session.instructor(),
            guide: session.guide(),
            task: session.task_shown(),
            most_gap_m: limbs.clone().map(|i| play.most_gap_m(i)).collect(),
            most_load_n: limbs.map(|i| play.most_load_n(i)).collect(),
            lesson: session.lesson(),
            practice: session.practice(),
            units: session.units(),
            stage: session.stage(),
            playing: play.playing,
            slow: play.slow,
            slowed_to: play.slowed_to(),
            script: play.script(),
            on_failure: play.on_failure(),
            stopped: play.stopped(),
            harm: (session.stage() == Stage::LookBack)
                .then(|| Some(play.harm()?.lines(play.scene(), session.units())))
                .flatten()
                .unwrap_or_default(),
            done: play.done(),
            ended: play.ended(),
            broken: play.broken(),
            impossible: play.impossible().map(|why| why.say(session.units())),
            looking_back: play.looking_back(),
            end_s: play.end_s(),
            valve: session.valve(),
            held: session.held(),
            overlays: session.overlays(),
            measure: session.measure(),
        }
    }
}

//! A second run to compare with: the same lift as it was before the last change, or the
//! lesson's twin played by its own script. Both are shown at the same time of the lift.

use super::background::Frame;
use super::play::Play;
use super::reel::{Record, Reel};
use super::shown::Shown;
use super::twin::Twin;
use crate::debrief::Moment;
use crate::scene::Scene;
use crate::snapshot::{Finding, Snapshot};
use crate::units::UnitSystem;
use std::sync::Arc;

/// The run that is compared with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The run before the last change.
    AsItWas,
    /// The lesson that differs in one choice.
    Twin,
}

/// One of the two runs, as summed up below its yard.
pub struct RunSummary<'a> {
    /// What the run is called.
    pub title: String,
    /// The scene that is played.
    pub scene: &'a Scene,
    /// The moment on screen.
    pub now: &'a Snapshot,
    /// What had gone wrong by then.
    pub findings: &'a [Finding],
    /// What goes wrong in the whole run.
    pub all_findings: &'a [Finding],
    /// The last moment that is known.
    pub last: &'a Snapshot,
    /// Its name where the run goes no further.
    pub end: Option<&'static str>,
}

/// Two runs side by side.
pub struct RunPair<'a> {
    /// Which run is compared with.
    pub which: Which,
    /// What there is to choose from: as it was, and the twin.
    pub has: [bool; 2],
    /// The current run.
    pub here: RunSummary<'a>,
    /// None while there is nothing to compare with.
    pub beside: Option<RunSummary<'a>>,
}

/// The moment of a run at a time, s; its last one where it ended before.
pub fn record_at(reel: &Reel, t_s: f64) -> &Arc<Record> {
    reel.find(t_s).map_or_else(|| reel.last(), |i| reel.at(i))
}

/// The runs that a run can be compared with: as it was, and its twin.
fn at_hand(play: &Play) -> [bool; 2] {
    [play.before.is_some(), play.scene().lesson.twin.is_some()]
}

/// The run that is compared with, if any.
#[derive(Default)]
pub struct RunComparison {
    which: Option<Which>,
    twin: Option<Twin>,
}

impl RunComparison {
    /// Compares with another run, or none.
    pub fn choose(&mut self, which: Option<Which>) {
        self.which = which;
    }

    /// Compares with the next of the runs there are; a message says what is missing where there
    /// is none.
    pub fn choose_next(&mut self, play: Option<&Play>) {
        let [before, twin] = play.map_or([false; 2], at_hand);
        let twin = twin.then_some(Which::Twin);
        self.which = match self.which {
            None if before => Some(Which::AsItWas),
            None => Some(twin.unwrap_or(Which::AsItWas)),
            Some(Which::AsItWas) if before => twin,
            Some(_) => None,
        };
    }

    /// What the user asked for, whether the stage has room for it or not.
    pub fn which(&self) -> Option<Which> {
        self.which
    }

    /// The run that is compared with, where there is one.
    pub fn reel<'a>(&'a self, play: &'a Play) -> Option<&'a Reel> {
        match self.which? {
            Which::AsItWas => play.before.as_ref(),
            Which::Twin => self.twin.as_ref().and_then(Twin::reel),
        }
    }

    /// Plays the twin where it is compared with, and takes over the moments it has so far.
    pub fn play_twin(&mut self, play: &Play, frame: Frame) {
        let (Some(Which::Twin), Some(name)) = (self.which, &play.scene().lesson.twin) else {
            return;
        };
        if !self.twin.as_ref().is_some_and(|twin| twin.is_of(name)) {
            self.twin = Twin::start(name);
        }
        if let Some(twin) = &mut self.twin {
            twin.collect(play.now().t_s, frame);
        }
    }

    /// The summaries of both runs.
    pub fn pair<'a>(&'a self, play: &'a Play) -> Option<RunPair<'a>> {
        let which = self.which?;
        let here = RunSummary {
            title: "This run".into(),
            scene: play.scene(),
            now: play.now(),
            findings: play.findings(),
            all_findings: play.all_findings(),
            last: play.latest(),
            end: play.ended().then_some("At its end"),
        };
        let beside = self.reel(play).map(|reel| {
            let (now, last) = (&record_at(reel, play.now().t_s).moment, &reel.last().moment);
            let over = self.twin.as_ref().is_some_and(Twin::over).then_some("At its end");
            RunSummary {
                title: match which {
                    Which::AsItWas => "As it was".into(),
                    Which::Twin => reel.scene.name.clone(),
                },
                scene: &reel.scene,
                now: &now.snapshot,
                findings: &now.findings,
                all_findings: &last.findings,
                last: &last.snapshot,
                end: if which == Which::AsItWas { Some("Left at") } else { over },
            }
        });
        Some(RunPair { which, has: at_hand(play), here, beside })
    }
}

/// Shows the second run at a time, s; nothing where there is none.
pub fn show(reel: Option<&Reel>, t_s: f64, units: UnitSystem, shown: &mut Shown) {
    let Some(reel) = reel else {
        if shown.scene.is_some() {
            shown.clear();
        }
        return;
    };
    let Moment { parts, snapshot, findings } = &record_at(reel, t_s).moment;
    // It is another lift than before.
    if !shown.scene.as_ref().is_some_and(|scene| Arc::ptr_eq(scene, &reel.scene)) {
        shown.begin(reel.scene.clone(), parts, reel.start());
    }
    shown.units = units;
    shown.go_on(parts, snapshot, findings);
}

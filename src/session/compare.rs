//! A run beside the one that is worked on: the same lift as it was before the last change
//! of what had been seen, or the lesson's twin by its own script. Both are shown at the same
//! time of the lift.

use super::background::Pace;
use super::play::Play;
use super::reel::{Record, Reel};
use super::shown::Shown;
use super::twin::Twin;
use crate::debrief::Moment;
use crate::scene::Scene;
use crate::snapshot::{Finding, Snapshot};
use crate::units::System;
use std::sync::Arc;

/// What stands beside the run that is worked on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The run before the last change.
    AsItWas,
    /// The lesson that differs in one choice.
    Twin,
}

/// One of the two runs, as it is told below its yard.
pub struct Told<'a> {
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
    /// What that is called where the run goes no further.
    pub end: Option<&'static str>,
}

/// Two runs side by side.
pub struct Pair<'a> {
    /// Which run stands beside.
    pub which: Which,
    /// What there is to choose from: as it was, and the twin.
    pub has: [bool; 2],
    /// The run that is worked on.
    pub here: Told<'a>,
    /// None while there is nothing to compare with.
    pub beside: Option<Told<'a>>,
}

/// The moment of a run that belongs to a time, s: its last one where it ended before.
pub fn record_at(reel: &Reel, t_s: f64) -> &Arc<Record> {
    reel.find(t_s).map_or_else(|| reel.last(), |i| reel.at(i))
}

/// What can stand beside a run: as it was, and its twin.
fn at_hand(play: &Play) -> [bool; 2] {
    [play.before.is_some(), play.scene().lesson.twin.is_some()]
}

/// What stands beside the run, if anything.
#[derive(Default)]
pub struct Comparison {
    which: Option<Which>,
    twin: Option<Twin>,
}

impl Comparison {
    /// Has another run stand there, or none.
    pub fn choose(&mut self, which: Option<Which>) {
        self.which = which;
    }

    /// Puts the next of what there is beside the run; what is missing is told where there is
    /// none.
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

    /// What is asked for, whether the stage has room for it or not.
    pub fn which(&self) -> Option<Which> {
        self.which
    }

    /// The run that stands beside, where there is one.
    pub fn reel<'a>(&'a self, play: &'a Play) -> Option<&'a Reel> {
        match self.which? {
            Which::AsItWas => play.before.as_ref(),
            Which::Twin => self.twin.as_ref().and_then(Twin::reel),
        }
    }

    /// Plays the twin, where it is what stands beside, and takes over what there is of it.
    pub fn play_twin(&mut self, play: &Play, pace: Pace) {
        let (Some(Which::Twin), Some(name)) = (self.which, &play.scene().lesson.twin) else {
            return;
        };
        if !self.twin.as_ref().is_some_and(|twin| twin.is_of(name)) {
            self.twin = Twin::of(name);
        }
        if let Some(twin) = &mut self.twin {
            twin.collect(play.now().t_s, pace);
        }
    }

    /// Both runs as they are told.
    pub fn pair<'a>(&'a self, play: &'a Play) -> Option<Pair<'a>> {
        let which = self.which?;
        let here = Told {
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
            Told {
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
        Some(Pair { which, has: at_hand(play), here, beside })
    }
}

/// Brings the yard beside to a time of a run, s; to nothing where there is none.
pub fn show(reel: Option<&Reel>, t_s: f64, units: System, shown: &mut Shown) {
    let Some(reel) = reel else {
        if shown.scene.is_some() {
            shown.clear();
        }
        return;
    };
    let Moment { parts, snapshot, findings } = &record_at(reel, t_s).moment;
    // Another lift than the one that stood there.
    if !shown.scene.as_ref().is_some_and(|scene| Arc::ptr_eq(scene, &reel.scene)) {
        shown.begin(reel.scene.clone(), parts, reel.start());
    }
    shown.units = units;
    shown.go_on(parts, snapshot, findings);
}

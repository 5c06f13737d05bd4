//! Runs to compare with: the same lift as it was before the last change, the lesson's twin played
//! by its own script, or other scenes played so. All are shown at the same time of the lift.

use super::background::DriverFrame;
use super::play::Play;
use super::reel::{Reel, ReelEntry};
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

/// One of the runs, as summed up below its yard.
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

/// Runs side by side.
pub struct RunsCompared<'a> {
    /// Which run is compared with.
    pub which: Which,
    /// What there is to choose from: as it was, and the twin.
    pub has: [bool; 2],
    /// The current run.
    pub here: RunSummary<'a>,
    /// One for each run beside it; none while there is nothing to compare with.
    pub beside: Vec<Option<RunSummary<'a>>>,
}

/// The moment of a run at a time, s; its last one where it ended before.
pub fn record_at(reel: &Reel, t_s: f64) -> &Arc<ReelEntry> {
    reel.find(t_s).map_or_else(|| reel.last(), |i| reel.at(i))
}

/// The runs that a run can be compared with: as it was, and its twin.
fn at_hand(play: &Play) -> [bool; 2] {
    [play.before.is_some(), play.scene().lesson.twin.is_some()]
}

/// What is compared with, if anything.
#[derive(Default)]
pub struct RunComparison {
    which: Option<Which>,
    /// Scenes in the place of the lesson's twin, by their files' names.
    named: Vec<(String, Arc<Scene>)>,
    twins: Vec<Twin>,
}

impl RunComparison {
    /// Compares with another run, or none.
    pub fn choose(&mut self, which: Option<Which>) {
        (self.which, self.named) = (which, Vec::new());
    }

    /// Compares with scenes other than the lesson's twin, [`crate::class::MOST_BESIDE`] at most.
    pub fn choose_scenes(&mut self, scenes: Vec<(String, Arc<Scene>)>) {
        (self.which, self.named) = (Some(Which::Twin), scenes);
    }

    /// Compares with the next of the runs there are; a message says what is missing where there
    /// is none.
    pub fn choose_next(&mut self, play: Option<&Play>) {
        let [before, twin] = play.map_or([false; 2], at_hand);
        let twin = twin.then_some(Which::Twin);
        self.named = Vec::new();
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

    /// The runs that are compared with, from left to right; none where one is not there yet.
    pub fn reels<'a>(&'a self, play: &'a Play) -> Vec<Option<&'a Reel>> {
        match self.which {
            None => Vec::new(),
            Some(Which::AsItWas) => vec![play.before.as_ref()],
            Some(Which::Twin) if self.twins.is_empty() => vec![None],
            Some(Which::Twin) => self.twins.iter().map(Twin::reel).collect(),
        }
    }

    /// Plays what is compared with where it is not the run as it was, and takes over the moments
    /// there are so far.
    pub fn play_twins(&mut self, play: &Play, frame: DriverFrame) {
        if self.which != Some(Which::Twin) {
            return;
        }
        let of_lesson = play.scene().lesson.twin.iter();
        let wanted: Vec<&String> = match self.named.as_slice() {
            [] => of_lesson.collect(),
            named => named.iter().map(|(name, _)| name).collect(),
        };
        let are_there = self.twins.len() == wanted.len()
            && self.twins.iter().zip(&wanted).all(|(twin, name)| twin.is_of(name));
        if !are_there {
            self.twins = match self.named.as_slice() {
                [] => wanted.into_iter().filter_map(|name| Twin::start(name)).collect(),
                named => named.iter().map(|(name, scene)| Twin::of(name, scene.clone())).collect(),
            };
        }
        for twin in &mut self.twins {
            twin.collect(play.now().t_s, frame);
        }
    }

    /// The summaries of all runs.
    pub fn runs<'a>(&'a self, play: &'a Play) -> Option<RunsCompared<'a>> {
        let which = self.which?;
        let here = RunSummary {
            title: match which {
                Which::AsItWas => "This run".into(),
                Which::Twin => play.scene().name.clone(),
            },
            scene: play.scene(),
            now: play.now(),
            findings: play.findings(),
            all_findings: play.all_findings(),
            last: play.latest(),
            end: play.ended().then_some("At its end"),
        };
        let beside = self.reels(play).into_iter().enumerate().map(|(place, reel)| {
            let reel = reel?;
            let (now, last) = (&record_at(reel, play.now().t_s).moment, &reel.last().moment);
            let over = self.twins.get(place).is_some_and(Twin::over).then_some("At its end");
            Some(RunSummary {
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
            })
        });
        let [before, twin] = at_hand(play);
        let has = [before, twin || !self.named.is_empty()];
        Some(RunsCompared { which, has, here, beside: beside.collect() })
    }
}

/// Shows another run at a time, s; nothing where there is none.
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

//! The twin of a lesson: the scene that differs in one choice, on paper and played by its own
//! script. Other scenes that stand beside a lift are played so, too.

use super::background::{BackgroundTask, DriverFrame, Pace, TaskProgress, Work};
use super::play::TICKS_PER_RECORD;
use super::reel::{Reel, record};
use super::set_up::SettingUp;
use crate::debrief::Moment;
use crate::lift::Lift;
use crate::scene::{self, Scene};
use crate::snapshot::Part;
use std::sync::Arc;

/// A lift that is played by its own script, ahead of the moment that is shown.
pub struct Twin {
    /// The file name that a lesson calls it by.
    of: String,
    seen: Option<Reel>,
    /// `None` when it has ended.
    coming: Option<BackgroundTask<TwinMoment>>,
    scene: Arc<Scene>,
}

/// A moment of it, on its way to the reel.
struct TwinMoment {
    tick: u64,
    moment: Moment,
    records: usize,
}

impl Twin {
    /// Starts to play it; `None` where it cannot be read.
    pub fn start(name: &str) -> Option<Self> {
        Some(Self::of(name, Arc::new(scene::load(name, &[]).ok()?.scene)))
    }

    /// Starts to play a scene by its file's name.
    pub fn of(name: &str, scene: Arc<Scene>) -> Self {
        let coming = BackgroundTask::spawn(ScriptPlay::new(scene.clone()));
        Self { of: name.to_owned(), seen: None, coming: Some(coming), scene }
    }

    /// Whether a lesson calls it by this name.
    pub fn is_of(&self, name: &str) -> bool {
        self.of == name
    }

    /// Takes over what has been played; in step it waits until a time is reached, s.
    pub fn collect(&mut self, t_s: f64, mut frame: DriverFrame) {
        while let Some(coming) = &mut self.coming {
            if self.seen.as_ref().is_some_and(|reel| reel.last().moment.snapshot.t_s >= t_s) {
                frame.pace = Pace::Free;
            }
            match coming.next_result(frame) {
                TaskProgress::Result(TwinMoment { tick, moment, records }) => {
                    match &mut self.seen {
                        Some(reel) => {
                            let next = record(&reel.lines, tick, moment, records);
                            reel.extend([next]);
                            reel.thin();
                        }
                        None => self.seen = Some(Reel::new(self.scene.clone(), moment)),
                    }
                }
                TaskProgress::Working => break,
                TaskProgress::Over => self.coming = None,
            }
        }
    }

    /// What has been seen of it: nothing while its vehicle still comes to rest.
    pub fn reel(&self) -> Option<&Reel> {
        self.seen.as_ref()
    }

    /// Whether it has come to its end.
    pub fn over(&self) -> bool {
        self.coming.is_none()
    }
}

/// A scene that is set up and played by its own script, tick by tick.
enum ScriptPlay {
    SettingUp(SettingUp),
    Playing { lift: Box<Lift>, parts: Arc<Vec<Part>>, tick: u64 },
    Over,
}

impl ScriptPlay {
    fn new(scene: Arc<Scene>) -> Self {
        Self::SettingUp(SettingUp::new(scene, None))
    }
}

impl Work for ScriptPlay {
    type Output = TwinMoment;

    /// A tick, at the most. Its moments are those that a reel records, the first from before
    /// the orders.
    fn go_on(&mut self) -> TaskProgress<TwinMoment> {
        match self {
            Self::SettingUp(set_up) => match set_up.go_on() {
                TaskProgress::Working => TaskProgress::Working,
                TaskProgress::Over => TaskProgress::Over,
                TaskProgress::Result(settled) => {
                    let parts = Arc::new(settled.lift.parts().to_vec());
                    let first = twin_moment(&settled.lift, &parts, 0);
                    *self = Self::Playing { lift: Box::new(settled.lift), parts, tick: 0 };
                    TaskProgress::Result(first)
                }
            },
            Self::Playing { lift, parts, tick } => {
                if tick.is_multiple_of(TICKS_PER_RECORD) && lift.done() {
                    *self = Self::Over;
                    return TaskProgress::Over;
                }
                lift.tick();
                *tick += 1;
                if !tick.is_multiple_of(TICKS_PER_RECORD) {
                    return TaskProgress::Working;
                }
                if parts.as_slice() != lift.parts() {
                    *parts = Arc::new(lift.parts().to_vec());
                }
                TaskProgress::Result(twin_moment(lift, parts, *tick))
            }
            Self::Over => TaskProgress::Over,
        }
    }
}

fn twin_moment(lift: &Lift, parts: &Arc<Vec<Part>>, tick: u64) -> TwinMoment {
    let moment = Moment {
        parts: parts.clone(),
        snapshot: lift.snapshot().clone(),
        findings: lift.findings().to_vec(),
    };
    TwinMoment { tick, moment, records: lift.records().len() }
}

/// The twin of the scene that is on screen, as its file says it; read once.
#[derive(Default)]
pub struct TwinScene {
    name: Option<String>,
    scene: Option<Box<Scene>>,
}

impl TwinScene {
    /// Reads it where it is another one than before.
    pub fn read(&mut self, name: Option<&String>) {
        if self.name.as_ref() != name {
            let read = |name: &String| Some(Box::new(scene::load(name, &[]).ok()?.scene));
            self.scene = name.and_then(read);
            self.name = name.cloned();
        }
    }

    /// The scene; `None` where there is no twin or it cannot be read.
    pub fn scene(&self) -> Option<&Scene> {
        self.scene.as_deref()
    }
}

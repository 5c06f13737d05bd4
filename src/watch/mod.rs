//! Turns snapshots and limits into findings: what went wrong, when, where, with its
//! numbers, and what came first. One failure mode a file. Never touches a body.

mod bag_overload;
mod beam;
mod casualty_load;
mod crush;
mod drop;
mod kick_out;
mod roll;
mod sink;
mod slide;
mod start;
mod topple;

pub use start::impossible;

use crate::scene::{Cause, Scene};
use crate::snapshot::{Finding, Footing, Part, Reach, Snapshot};
use crate::units::Dimension;
use std::sync::Arc;

/// A finding that begins within this time of an earlier one follows from it, s.
const FOLLOWS_WITHIN_S: f64 = 15.0;

/// What every mode sees.
struct Moment<'a> {
    scene: &'a Scene,
    parts: &'a [Part],
    now: &'a Snapshot,
}

/// The name of what stands on the ground.
fn name_of(scene: &Scene, of: Footing) -> &str {
    match of {
        Footing::Stack(i) => &scene.stacks[i].name,
        Footing::VoidFill(i) => &scene.void_fill[i].name,
        Footing::Capture(i) => &scene.captures[i].name,
    }
}

/// Notices the moment a measure passes its limit for good, and when it began to grow.
#[derive(Clone, Debug, Default)]
struct Crossing {
    began_s: Option<f64>,
    since_s: Option<f64>,
    fired: bool,
    /// The value that was the largest share of its limit, and that limit.
    most: Option<(f64, f64)>,
}

impl Crossing {
    /// Returns when it began, once, as soon as `value` has stayed above `limit` for
    /// `hold_s`. It begins when the value rises above `onset`.
    fn look(&mut self, t_s: f64, value: f64, onset: f64, limit: f64, hold_s: f64) -> Option<f64> {
        if self.most.is_none_or(|(most, at)| value * at > most * limit) {
            self.most = Some((value, limit));
        }
        if value <= onset {
            self.began_s = None;
        } else if self.began_s.is_none() {
            self.began_s = Some(t_s);
        }
        if value <= limit {
            self.since_s = None;
            return None;
        }
        let since_s = *self.since_s.get_or_insert(t_s);
        if self.fired || t_s - since_s < hold_s {
            return None;
        }
        self.fired = true;
        self.began_s.or(Some(t_s))
    }

    /// How near it came; nothing where it never looked.
    fn reach(&self, cause: Cause, part: &str, dimension: Dimension) -> Option<Reach> {
        let (value, limit) = self.most?;
        Some(Reach { cause, part: part.to_owned(), dimension, value, limit })
    }
}

/// All modes and what they found.
#[derive(Clone)]
pub struct Watch {
    scene: Arc<Scene>,
    slide: slide::Slide,
    roll: roll::Roll,
    kick_out: kick_out::KickOut,
    topple: topple::Topple,
    drop: drop::Drop,
    casualty_load: casualty_load::CasualtyLoad,
    bag_overload: bag_overload::BagOverload,
    sink: sink::Sink,
    crush: crush::Crush,
    beam: beam::Beam,
    findings: Vec<Finding>,
}

impl Watch {
    /// Starts from the first snapshot: what is there then is what is compared with.
    pub fn new(scene: &Arc<Scene>, parts: &[Part], first: &Snapshot) -> Self {
        let moment = Moment { scene, parts, now: first };
        Self {
            slide: slide::Slide::default(),
            roll: roll::Roll::default(),
            kick_out: kick_out::KickOut::new(&moment),
            topple: topple::Topple::new(&moment),
            drop: drop::Drop::new(&moment),
            casualty_load: casualty_load::CasualtyLoad::new(&moment),
            bag_overload: bag_overload::BagOverload::new(&moment),
            sink: sink::Sink::new(&moment),
            crush: crush::Crush::default(),
            beam: beam::Beam::default(),
            findings: Vec::new(),
            scene: scene.clone(),
        }
    }

    /// Looks at one moment.
    pub fn look(&mut self, parts: &[Part], now: &Snapshot) {
        let scene = self.scene.clone();
        let moment = Moment { scene: &scene, parts, now };
        let mut new = Vec::new();
        new.extend(self.slide.look(&moment));
        new.extend(self.roll.look(&moment));
        new.extend(self.kick_out.look(&moment));
        new.extend(self.topple.look(&moment));
        new.extend(self.drop.look(&moment));
        new.extend(self.casualty_load.look(&moment));
        new.extend(self.bag_overload.look(&moment));
        new.extend(self.sink.look(&moment));
        new.extend(self.crush.look(&moment));
        new.extend(self.beam.look(&moment));
        if !new.is_empty() {
            self.findings.extend(new);
            self.order_by_cause();
        }
    }

    /// Findings by when they began; each that began soon after another follows from it.
    fn order_by_cause(&mut self) {
        self.findings.sort_by(|a, b| {
            a.began_s
                .total_cmp(&b.began_s)
                .then(a.t_s.total_cmp(&b.t_s))
                .then(a.cause.cmp(&b.cause))
        });
        for i in 0..self.findings.len() {
            let began = self.findings[i].began_s;
            self.findings[i].follows = i
                .checked_sub(1)
                .filter(|&before| began - self.findings[before].t_s < FOLLOWS_WITHIN_S);
        }
    }

    /// How near each failure came so far, part by part.
    pub fn reach(&self, parts: &[Part]) -> Vec<Reach> {
        let scene = &self.scene;
        let mut all: Vec<Reach> = Vec::new();
        all.extend(self.slide.reach(scene));
        all.extend(self.roll.reach(scene));
        all.extend(self.kick_out.reach(parts));
        all.extend(self.topple.reach(scene));
        all.extend(self.drop.reach(scene));
        all.extend(self.casualty_load.reach(scene));
        all.extend(self.bag_overload.reach(scene));
        all.extend(self.sink.reach(scene));
        all.extend(self.crush.reach(scene));
        all.extend(self.beam.reach());
        all
    }

    /// What went wrong so far; the first is the primary cause.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }
}

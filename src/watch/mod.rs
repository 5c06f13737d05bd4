//! Turns snapshots and limits into findings: what went wrong, when, where, with its
//! numbers, and what came first. One failure mode a file. Never touches a body.

mod bag_overload;
mod beam;
mod casualty_load;
mod crush;
mod drop;
mod kick_out;
mod limit_tracker;
mod observation;
mod pressed;
mod roll;
mod sink;
mod slide;
mod start;
mod step_chock;
mod strap;
mod strut;
mod topple;

pub use start::jam;

use crate::scene::Scene;
use crate::snapshot::{Finding, NearestApproach, Part, Pose, Settling, Snapshot};
use observation::Observation;
use std::sync::Arc;

/// A finding that begins within this time of an earlier one follows from it, s.
const FOLLOWS_WITHIN_S: f64 = 15.0;

/// All modes and what they found.
#[derive(Clone)]
pub struct Watch {
    scene: Arc<Scene>,
    slide: slide::SlideWatch,
    roll: roll::RollWatch,
    kick_out: kick_out::KickOutWatch,
    topple: topple::ToppleWatch,
    drop: drop::DropWatch,
    casualty_load: casualty_load::CasualtyLoadWatch,
    pressed: pressed::PressedWatch,
    bag_overload: bag_overload::BagOverloadWatch,
    sink: sink::SinkWatch,
    crush: crush::CrushWatch,
    step_chock: step_chock::StepChockWatch,
    strut: strut::StrutWatch,
    strap: strap::StrapWatch,
    beam: beam::BeamWatch,
    findings: Vec<Finding>,
}

impl Watch {
    /// Starts from the first snapshot, which later ones are compared with, and from what was
    /// before: what the vehicle did, and where each part was `placed`.
    pub fn new(
        scene: &Arc<Scene>,
        parts: &[Part],
        (settling, placed): (&Settling, &[Pose]),
        first: &Snapshot,
    ) -> Self {
        let seen = Observation { scene, parts, now: first };
        Self {
            slide: slide::SlideWatch::default(),
            roll: roll::RollWatch::default(),
            kick_out: kick_out::KickOutWatch::new(&seen, placed),
            topple: topple::ToppleWatch::new(&seen),
            drop: drop::DropWatch::new(&seen),
            casualty_load: casualty_load::CasualtyLoadWatch::new(&seen),
            pressed: pressed::PressedWatch::new(&seen),
            bag_overload: bag_overload::BagOverloadWatch::new(&seen),
            sink: sink::SinkWatch::new(&seen),
            crush: crush::CrushWatch::default(),
            step_chock: step_chock::StepChockWatch::default(),
            strut: strut::StrutWatch::default(),
            strap: strap::StrapWatch::default(),
            beam: beam::BeamWatch::default(),
            findings: start::unrest(&seen, settling).into_iter().collect(),
            scene: scene.clone(),
        }
    }

    /// Looks at the next moment.
    pub fn observe(&mut self, parts: &[Part], now: &Snapshot) {
        let scene = self.scene.clone();
        let seen = Observation { scene: &scene, parts, now };
        let mut new = Vec::new();
        new.extend(self.slide.observe(&seen));
        new.extend(self.roll.observe(&seen));
        new.extend(self.kick_out.observe(&seen));
        new.extend(self.topple.observe(&seen));
        new.extend(self.drop.observe(&seen));
        new.extend(self.casualty_load.observe(&seen));
        new.extend(self.pressed.observe(&seen));
        new.extend(self.bag_overload.observe(&seen));
        new.extend(self.sink.observe(&seen));
        new.extend(self.crush.observe(&seen));
        new.extend(self.step_chock.observe(&seen));
        new.extend(self.strut.observe(&seen));
        new.extend(self.strap.observe(&seen));
        new.extend(self.beam.observe(&seen));
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
                .then(a.cause().cmp(&b.cause()))
        });
        for i in 0..self.findings.len() {
            let began = self.findings[i].began_s;
            self.findings[i].follows = i
                .checked_sub(1)
                .filter(|&before| began - self.findings[before].t_s < FOLLOWS_WITHIN_S);
        }
    }

    /// How near each failure came so far, part by part.
    pub fn nearest(&self, parts: &[Part]) -> Vec<NearestApproach> {
        let scene = &self.scene;
        let mut all: Vec<NearestApproach> = Vec::new();
        all.extend(self.slide.nearest(scene));
        all.extend(self.roll.nearest(scene));
        all.extend(self.kick_out.nearest(scene, parts));
        all.extend(self.topple.nearest(scene));
        all.extend(self.drop.nearest(scene));
        all.extend(self.casualty_load.nearest(scene));
        all.extend(self.bag_overload.nearest(scene));
        all.extend(self.sink.nearest(scene));
        all.extend(self.crush.nearest(scene));
        all.extend(self.step_chock.nearest(scene));
        all.extend(self.strut.nearest(scene));
        all.extend(self.strap.nearest(scene));
        all.extend(self.beam.nearest());
        all
    }

    /// What went wrong so far; the first is the primary cause.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }
}

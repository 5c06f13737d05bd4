//! One lift being played: the yard, the crew that carries out orders, and the watch
//! that looks on. What plays a lift, with a window or without one, plays this.

use crate::scene::{Order, Scene};
use crate::snapshot::{Finding, Part, Reach, Said, Snapshot};
use crate::units::System;
use crate::watch::Watch;
use crate::world::{Crew, Sight, Yard};
use std::sync::Arc;

/// After the last order a lift goes on for this long, so that what is about to
/// happen does, s.
const AFTER_S: f64 = 4.0;
/// No lift is played longer than this, s.
const AT_MOST_S: f64 = 1800.0;

#[derive(Clone)]
pub struct Lift {
    yard: Yard,
    crew: Crew,
    watch: Watch,
    script: bool,
    /// When the script came to its end.
    ended_s: Option<f64>,
}

impl Lift {
    /// Places everything and lets it settle; the first snapshot is at t = 0.
    pub fn new(scene: Arc<Scene>, units: System) -> Self {
        Self::on(Yard::laid(scene.clone()), scene, units)
    }

    /// As [`Self::new`], on a yard where the scene's vehicle lies at rest already.
    pub fn on(laid: Yard, scene: Arc<Scene>, units: System) -> Self {
        let yard = laid.built(scene.clone());
        let crew = Crew::new(scene.orders.clone(), units);
        let watch = Watch::new(&scene, &yard.parts, &yard.snapshot, units);
        Self { yard, crew, watch, script: true, ended_s: None }
    }

    pub fn scene(&self) -> &Arc<Scene> {
        &self.yard.scene
    }

    pub fn parts(&self) -> &[Part] {
        &self.yard.parts
    }

    pub fn snapshot(&self) -> &Snapshot {
        &self.yard.snapshot
    }

    /// What a ray meets first; see [`Yard::sight`].
    pub fn sight(&self, from: [f64; 3], towards: [f64; 3]) -> Option<Sight> {
        self.yard.sight(from, towards)
    }

    /// Straight down; see [`Yard::plumb`].
    pub fn plumb(&self) -> [f64; 3] {
        self.yard.plumb()
    }

    /// One tick of [`crate::world::TICK_S`].
    pub fn tick(&mut self) {
        if self.script {
            self.crew.work(&mut self.yard);
        }
        if self.crew.done() && self.ended_s.is_none() {
            self.ended_s = Some(self.yard.t_s());
        }
        self.yard.tick();
        self.watch.look(&self.yard.parts, &self.yard.snapshot);
    }

    /// An order by hand, carried out at once (its `until` counts as now).
    pub fn give(&mut self, order: &Order) {
        self.crew.take(&mut self.yard, order);
    }

    /// Whether the scene's own orders go on by themselves.
    pub fn set_script(&mut self, on: bool) {
        self.script = on;
    }

    pub fn script(&self) -> bool {
        self.script
    }

    /// The script has ended and what it set off has come to an end too.
    pub fn done(&self) -> bool {
        let t_s = self.yard.t_s();
        let settled = self.ended_s.is_some_and(|ended| t_s >= ended + AFTER_S);
        settled || t_s >= AT_MOST_S || self.yard.broken()
    }

    pub fn findings(&self) -> &[Finding] {
        self.watch.findings()
    }

    /// How near each failure came so far, part by part.
    pub fn reach(&self) -> Vec<Reach> {
        self.watch.reach(&self.yard.parts)
    }

    pub fn said(&self) -> &[Said] {
        &self.crew.said
    }

    /// A body's state is no longer a number: the run cannot be trusted.
    pub fn broken(&self) -> bool {
        self.yard.broken()
    }
}

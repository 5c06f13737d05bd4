//! The moment of a run that is shown: all that is needed to draw a yard, as plain data.

use crate::scene::Scene;
use crate::snapshot::{Finding, Part, PartId, PartKind, Snapshot};
use crate::units::UnitSystem;
use std::sync::Arc;

/// A moment of a run, as it is drawn.
#[derive(Clone, Default)]
pub struct Shown {
    /// Nothing is drawn without a scene.
    pub scene: Option<Arc<Scene>>,
    /// The parts of the yard; a part's place in the list is its [`PartId`].
    pub parts: Arc<Vec<Part>>,
    /// The moment itself.
    pub snapshot: Snapshot,
    /// The snapshot at the start, which changes are measured against.
    pub start: Snapshot,
    /// What has gone wrong up to this moment.
    pub findings: Vec<Finding>,
    /// The units in which figures are shown.
    pub units: UnitSystem,
    /// Goes up by one with every new scene: everything is then rebuilt.
    pub epoch: u64,
    /// Goes up by one with every other set-up on the same vehicle: the equipment is then
    /// rebuilt.
    pub brought: u64,
}

impl Shown {
    /// Shows another scene from its start.
    pub fn begin(&mut self, scene: Arc<Scene>, parts: &Arc<Vec<Part>>, start: &Snapshot) {
        self.scene = Some(scene);
        self.parts = parts.clone();
        self.snapshot = start.clone();
        self.start = start.clone();
        self.findings.clear();
        self.epoch += 1;
        self.brought += 1;
    }

    /// Shows another set-up on the vehicle that is there.
    pub fn bring(&mut self, scene: Arc<Scene>, parts: &Arc<Vec<Part>>, start: &Snapshot) {
        let epoch = self.epoch;
        self.begin(scene, parts, start);
        self.epoch = epoch;
    }

    /// Shows another moment of the run that is on.
    pub fn go_on(&mut self, parts: &Arc<Vec<Part>>, now: &Snapshot, findings: &[Finding]) {
        self.parts.clone_from(parts);
        self.snapshot.clone_from(now);
        if self.findings != findings {
            self.findings = findings.to_vec();
        }
    }

    /// Shows nothing.
    pub fn clear(&mut self) {
        *self = Self {
            units: self.units,
            epoch: self.epoch + 1,
            brought: self.brought + 1,
            ..Self::default()
        };
    }

    /// Copies another one.
    pub fn follow(&mut self, other: &Self) {
        if self.brought != other.brought {
            self.clone_from(other);
            return;
        }
        self.scene.clone_from(&other.scene);
        self.units = other.units;
        self.go_on(&other.parts, &other.snapshot, &other.findings);
    }

    /// The part of a kind, where there is one.
    pub fn find(&self, kind: PartKind) -> Option<PartId> {
        self.parts.iter().position(|p| p.kind == kind)
    }
}

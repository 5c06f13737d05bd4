//! What every failure mode sees of a moment.

use crate::scene::Scene;
use crate::snapshot::{Finding, Footing, Measured, Part, PartKind, Snapshot};

/// One moment of a lift.
pub(super) struct Observation<'a> {
    pub scene: &'a Scene,
    pub parts: &'a [Part],
    pub now: &'a Snapshot,
}

impl Observation<'_> {
    /// A finding made at this moment; what it follows from is told once all are known.
    pub fn finding(
        &self,
        began_s: f64,
        part: &str,
        place: [f64; 3],
        measured: Measured,
    ) -> Finding {
        Finding {
            t_s: self.now.t_s,
            began_s,
            part: part.to_owned(),
            place,
            measured,
            follows: None,
        }
    }

    /// Where the first part of a kind is.
    pub fn place_of(&self, kind: PartKind) -> Option<[f64; 3]> {
        let part = self.parts.iter().position(|p| p.kind == kind)?;
        Some(self.now.poses.get(part)?.at())
    }
}

/// The name of what stands on the ground.
pub(super) fn name_of(scene: &Scene, footing: Footing) -> &str {
    match footing {
        Footing::Vehicle(edge) => edge.word(),
        Footing::Stack(i) => &scene.stacks[i].name,
        Footing::VoidFill(i) => &scene.void_fill[i].name,
        Footing::Capture(i) => &scene.captures[i].name,
        Footing::Chock(i) => &scene.chocks[i].name,
        Footing::StepChock(i) => &scene.step_chocks[i].name,
        Footing::Strut(i) => &scene.struts[i].name,
    }
}

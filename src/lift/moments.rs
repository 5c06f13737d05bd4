//! Moments of a lift that are kept to be drawn.

use super::running::Lift;
use crate::snapshot::{Finding, Part, Snapshot};
use crate::world::TICK_S;
use std::sync::Arc;

/// Which moments are kept for pictures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Keep {
    Nothing,
    /// The start, every finding, one every ten seconds, and the end.
    Milestones,
}

/// A moment that can be drawn.
#[derive(Clone)]
pub struct Moment {
    pub parts: Arc<Vec<Part>>,
    pub snapshot: Snapshot,
    pub findings: Vec<Finding>,
}

/// Keeps moments for pictures while a lift is played.
pub(super) struct Moments {
    keep: Keep,
    parts: Arc<Vec<Part>>,
    findings: usize,
    pub kept: Vec<Moment>,
}

impl Moments {
    pub fn new(keep: Keep, lift: &Lift) -> Self {
        let mut moments =
            Self { keep, parts: Arc::new(lift.parts().to_vec()), findings: 0, kept: Vec::new() };
        if keep != Keep::Nothing {
            moments.add(lift);
        }
        moments
    }

    pub fn observe(&mut self, lift: &Lift, ticks: u64) {
        if self.keep == Keep::Nothing {
            return;
        }
        let every = (10.0 / TICK_S).round() as u64;
        let new_finding = lift.findings().len() > self.findings;
        self.findings = lift.findings().len();
        if ticks.is_multiple_of(every) || new_finding {
            self.add(lift);
        }
    }

    pub fn end(&mut self, lift: &Lift) {
        if self.keep != Keep::Nothing {
            self.add(lift);
        }
    }

    fn add(&mut self, lift: &Lift) {
        if lift.parts() != self.parts.as_slice() {
            self.parts = Arc::new(lift.parts().to_vec());
        }
        if self.kept.last().is_some_and(|m| m.snapshot.t_s == lift.snapshot().t_s) {
            return;
        }
        self.kept.push(Moment {
            parts: self.parts.clone(),
            snapshot: lift.snapshot().clone(),
            findings: lift.findings().to_vec(),
        });
    }
}

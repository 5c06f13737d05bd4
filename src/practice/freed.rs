//! How the casualty lies at the end: trapped, clear on air, or free to be released.

use super::record::{ON_TIMBER, Record};
use crate::scene::Limb;
use crate::snapshot::Snapshot;

/// How a trapped part of the casualty lies, from worst to best.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Freed {
    /// Its gap is less than its thickness and the working clearance, or the lift failed.
    Trapped,
    /// Its gap is enough, and air holds it open.
    ClearOnAir,
    /// Its gap is enough, timber holds it open, and nothing failed.
    ToBeReleased,
}

impl Freed {
    pub fn word(self) -> &'static str {
        match self {
            Self::Trapped => "trapped",
            Self::ClearOnAir => "clear on air",
            Self::ToBeReleased => "free to be released",
        }
    }
}

/// How each limb lies at a moment, in the scene's order; `failed` where something has gone
/// wrong by then.
pub(super) fn freed(record: &Record<'_>, now: &Snapshot) -> Vec<Freed> {
    let on_timber = record.share_on_timber(now).is_none_or(|share| share >= ON_TIMBER);
    let clearance_m = record.scene.aims.clearance_m;
    let state = |(limb, gap_m): (&Limb, f64)| match gap_m >= limb.thickness_m + clearance_m {
        false => Freed::Trapped,
        true if record.failed_s.is_some() => Freed::Trapped,
        true if on_timber => Freed::ToBeReleased,
        true => Freed::ClearOnAir,
    };
    let gaps = now.limbs.iter().map(|limb| limb.gap_m);
    record.scene.limbs.iter().zip(gaps).map(state).collect()
}

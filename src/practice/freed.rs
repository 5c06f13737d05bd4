//! How the casualty lies at the end: trapped, clear on air, or free to be released.

use super::record::{ON_TIMBER, Record};
use crate::scene::{Limb, Person, people_of};
use crate::snapshot::{LimbRecord, LimbState, LimbTrace};

/// How somebody with trapped limbs lies, from worst to best.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Freed {
    /// A limb's gap is less than it needs, the vehicle came down on a limb again or slid over one,
    /// or the lift failed. A limb that was held at the start needs its thickness and the working
    /// clearance; one that lay free needs no more room than its thickness.
    Trapped,
    /// Every gap is enough, and air bears more of the load than a back-up would.
    ClearOnAir,
    /// Every gap is enough, timber holds them open, and nothing failed.
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

/// How one person lies: all trapped limbs of that person together, as the worst of them. Nobody
/// is drawn out by one limb.
#[derive(Clone, Debug, PartialEq)]
pub struct PersonState {
    pub name: String,
    /// The person's trapped limbs, by their places in the scene's list.
    pub limbs: Vec<usize>,
    pub freed: Freed,
    /// What is to be said beside it.
    pub note: &'static str,
}

impl PersonState {
    /// The state with what is to be said beside it.
    pub fn say(&self) -> String {
        format!("{}; {}", self.freed.word(), self.note)
    }
}

/// How everybody lies who has trapped limbs, at the last moment of a record.
pub(super) fn freed(record: &Record<'_>) -> Vec<PersonState> {
    let Some(now) = record.history.last() else { return Vec::new() };
    let traces = LimbTrace::over(record.scene, record.parts, &record.history);
    let limbs = record.scene.limbs.iter().zip(&traces).zip(&now.limbs);
    let states: Vec<(Freed, &str)> =
        limbs.map(|((limb, trace), state)| limb_state(record, limb, trace, state)).collect();
    let on_timber = record.share_on_timber(now).is_none_or(|share| share >= ON_TIMBER);
    let people = people_of(record.scene);
    // Where the scene names nobody, all limbs are those of the one who lies there.
    let whose = |limb: &Limb| limb.of.unwrap_or(0);
    people
        .iter()
        .enumerate()
        .filter_map(|(person, Person { name, .. })| {
            let limbs = record.scene.limbs.iter().enumerate();
            let limbs: Vec<usize> =
                limbs.filter(|(_, limb)| whose(limb) == person).map(|(i, _)| i).collect();
            let states = limbs.iter().filter_map(|&i| states.get(i).copied());
            let worst = states.min_by_key(|(freed, _)| *freed)?;
            let (freed, note) = match worst {
                (Freed::Trapped, note) => (Freed::Trapped, note),
                _ if on_timber => (Freed::ToBeReleased, "when to release is a medical decision"),
                _ => (Freed::ClearOnAir, "let it down onto timber first"),
            };
            Some(PersonState { name: name.clone(), limbs, freed, note })
        })
        .collect()
}

/// Whether one limb holds its person, and why.
fn limb_state(
    record: &Record<'_>,
    limb: &Limb,
    trace: &LimbTrace,
    now: &LimbState,
) -> (Freed, &'static str) {
    let overrun = LimbRecord::new(limb, trace, 0.0);
    let room_m = if trace.was_held() { record.scene.aims.clearance_m } else { 0.0 };
    let clear_m = limb.thickness_m + room_m;
    let why = if record.failed_s.is_some() {
        "something went wrong"
    } else if overrun.struck.is_some() {
        "the load came down on a limb again"
    } else if overrun.is_dragged() {
        "the vehicle slid over a limb"
    } else if now.gap_m < clear_m {
        "a limb has less room over it than it needs"
    } else {
        return (Freed::ToBeReleased, "");
    };
    (Freed::Trapped, why)
}

//! Whether a played lift was lifted, failed or incomplete.

use crate::lift::{Gap, Played};
use crate::scene::Outcome;

/// Lifted only where nothing went wrong, every gap is enough, every order was carried out and
/// the lift reached its own end. Nothing is scored from a start that cannot be.
pub(super) fn outcome(played: &Played) -> Outcome {
    if played.impossible.is_some() {
        return Outcome::Incomplete;
    }
    let freed = played.gaps.iter().all(Gap::is_enough);
    let all_done = played.records.iter().all(|record| record.refused.is_none());
    match (played.findings.is_empty(), freed && all_done && played.cut_off.is_none()) {
        (false, _) => Outcome::Failed,
        (true, true) => Outcome::Lifted,
        (true, false) => Outcome::Incomplete,
    }
}

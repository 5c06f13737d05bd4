//! What every failure mode does with its measure: holds it against a limit, tick by tick.

use crate::scene::Cause;
use crate::snapshot::NearestApproach;
use crate::units::Dimension;

/// What stands under a load and has gone so far over the ground no longer stands as it was set, m
/// (common practice, no source), and it begins to go here, m.
pub(super) const FOOT_SLIDES_M: f64 = 0.03;
const FOOT_ONSET_M: f64 = 0.002;

/// Notices the moment a measure passes its limit for good, and when it began to grow.
#[derive(Clone, Debug, Default)]
pub(super) struct LimitTracker {
    began_s: Option<f64>,
    since_s: Option<f64>,
    passed: bool,
    /// The value that was the largest share of its limit, and that limit.
    most: Option<(f64, f64)>,
}

impl LimitTracker {
    /// Returns when it began, once, as soon as `value` has stayed above `limit` for
    /// `hold_s`. It begins when the value rises above `onset`.
    pub fn track(
        &mut self,
        t_s: f64,
        value: f64,
        onset: f64,
        limit: f64,
        hold_s: f64,
    ) -> Option<f64> {
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
        if self.passed || t_s - since_s < hold_s {
            return None;
        }
        self.passed = true;
        self.began_s.or(Some(t_s))
    }

    /// [`Self::track`] for how far a strut's foot or a step chock has slid, m.
    pub fn track_foot(&mut self, t_s: f64, slid_m: f64) -> Option<f64> {
        self.track(t_s, slid_m, FOOT_ONSET_M, FOOT_SLIDES_M, 0.0)
    }

    /// The limit was passed for good.
    pub fn passed(&self) -> bool {
        self.passed
    }

    /// How near it came; `None` where nothing was ever measured.
    pub fn nearest(
        &self,
        cause: Cause,
        part: &str,
        dimension: Dimension,
    ) -> Option<NearestApproach> {
        let (value, limit) = self.most?;
        Some(NearestApproach { cause, part: part.to_owned(), dimension, value, limit })
    }
}

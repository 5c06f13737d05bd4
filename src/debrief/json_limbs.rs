//! What of the debrief for programs is about the limbs: their gaps, and what a failure did.

use super::harm::{Harm, Landing};
use super::report::Debrief;
use crate::practice::Freed;
use crate::units::UnitSystem;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct GapRow<'a> {
    at: &'a str,
    /// How the person lies at the end, all limbs together.
    state: Option<&'a str>,
    needed_m: f64,
    start_m: f64,
    end_m: f64,
    max_m: f64,
    start_load_n: f64,
    max_load_n: f64,
    /// When it was struck again after the vehicle had let go of it, s, the most that it bore from
    /// then on, N, and when, s; null where it was not.
    struck_at_s: Option<f64>,
    struck_n: Option<f64>,
    struck_most_at_s: Option<f64>,
    /// The least gap with vehicle over it after it was widest, m, and when, s: from when the first
    /// finding began, or over the whole lift.
    least_gap_m: Option<f64>,
    least_gap_at_s: Option<f64>,
    /// How far the vehicle slid over it while it bore on it, m.
    dragged_m: f64,
    /// From when on no vehicle is over it any more, s.
    left_at_s: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct HarmRow {
    down_m: f64,
    fastest_m_per_s: f64,
    /// The limb over which it came down so.
    over: String,
    /// The limbs that bore more than before the lift, or were struck again.
    onto: Vec<String>,
    /// What else it came down onto.
    supports: Vec<LandingRow>,
    /// What the crew did after the first finding; null where nothing was played.
    crew: Option<String>,
}

/// What bears more of the vehicle than when it began.
#[derive(Serialize)]
struct LandingRow {
    support: String,
    before_n: f64,
    most_n: f64,
}

impl Debrief {
    pub(super) fn harm_row(&self, harm: Harm) -> HarmRow {
        let crew = harm.crew.as_ref().map(|crew| crew.say(&self.scene, UnitSystem::Si));
        let (limbs, others): (Vec<_>, Vec<_>) = harm.onto.into_iter().partition(|on| on.limb);
        let row =
            |on: Landing| LandingRow { support: on.what, before_n: on.before_n, most_n: on.most_n };
        HarmRow {
            down_m: harm.down_m,
            fastest_m_per_s: harm.fastest_m_s,
            over: harm.over,
            onto: limbs.into_iter().map(|on| on.what).collect(),
            supports: others.into_iter().map(row).collect(),
            crew,
        }
    }

    pub(super) fn gap_rows(&self) -> Vec<GapRow<'_>> {
        let limbs = self.gaps.iter().zip(self.limb_records()).enumerate();
        limbs
            .map(|(i, (gap, limb))| GapRow {
                at: &gap.at,
                state: self.freed(i).map(Freed::word),
                needed_m: gap.needed_m,
                start_m: gap.start_m,
                end_m: gap.end_m,
                max_m: gap.max_m,
                start_load_n: gap.start_load_n,
                max_load_n: gap.max_load_n,
                struck_at_s: limb.struck.map(|struck| struck.t_s),
                struck_n: limb.struck.map(|struck| struck.most_n),
                struck_most_at_s: limb.struck.map(|struck| struck.most_s),
                least_gap_m: limb.least_gap.map(|(gap_m, _)| gap_m),
                least_gap_at_s: limb.least_gap.map(|(_, t_s)| t_s),
                dragged_m: limb.dragged_m,
                left_at_s: limb.left_s,
            })
            .collect()
    }
}

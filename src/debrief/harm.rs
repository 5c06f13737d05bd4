//! What a failure came to: how far the load came down, how fast, and onto whom.

use crate::lift::{Gap, Peaks};
use crate::snapshot::{Finding, Snapshot};
use crate::units::UnitSystem;

/// A way down that is worth a word, m; less than a crew sees by eye (assumed).
const SEEN_M: f64 = 0.01;
/// A limb bore more than before the lift where its load came to so much of that (assumed).
const MORE: f64 = 1.1;

/// What came of it, from the moment when the first finding began.
#[derive(Clone, Debug, PartialEq)]
pub struct Harm {
    /// How far the load came down from where it stood highest, m: the lift point that came down
    /// most, or the centre of mass.
    pub down_m: f64,
    /// How fast it came down at most over the lift, m/s.
    pub fastest_m_s: f64,
    /// The limbs that bore by a tenth more than before the lift.
    pub onto: Vec<Gap>,
}

impl Harm {
    /// None where nothing went wrong. `history` is in turn of time.
    pub fn new(
        findings: &[Finding],
        history: &[&Snapshot],
        peaks: &Peaks,
        gaps: &[Gap],
    ) -> Option<Self> {
        let began_s = findings.first()?.began_s;
        let mut highest: Vec<f64> = Vec::new();
        let mut down_m = 0.0_f64;
        for row in history.iter().filter(|row| row.t_s >= began_s) {
            let heights = || row.lift_rise_m.iter().copied().chain([row.vehicle.com[1]]);
            highest.extend(heights().skip(highest.len()));
            for (top, now) in highest.iter_mut().zip(heights()) {
                *top = top.max(now);
                down_m = down_m.max(*top - now);
            }
        }
        let onto = gaps.iter().filter(|gap| gap.max_load_n > MORE * gap.start_load_n);
        Some(Self { down_m, fastest_m_s: peaks.falls_m_s, onto: onto.cloned().collect() })
    }

    /// In a sentence or two.
    pub fn say(&self, units: UnitSystem) -> String {
        let mut said = if self.down_m < SEEN_M {
            "The load stayed up.".to_owned()
        } else {
            format!(
                "The load came down {}, at up to {}.",
                units.gap(self.down_m),
                units.speed(self.fastest_m_s)
            )
        };
        for gap in &self.onto {
            said += &format!(
                " The {} bore up to {}; before the lift it bore {}.",
                gap.at,
                units.force(gap.max_load_n),
                units.force(gap.start_load_n)
            );
        }
        said
    }
}

//! What became of one trapped limb in a lift.

use super::limb_trace::{LimbTrace, OverLimb};
use crate::scene::Limb;

/// The vehicle has let go of a limb where it stands this far clear of it, m (assumed).
const LET_GO_M: f64 = 0.005;
/// What bears less than this on a limb bears nothing worth a word, N (assumed).
const BEARS_N: f64 = 20.0;
/// A way over a limb that is worth a word, m; less than a crew sees by eye (assumed).
const SEEN_M: f64 = 0.01;

/// A vehicle that came down onto a limb that it had let go of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strike {
    /// When it bore on the limb again, s.
    pub t_s: f64,
    /// The most that the limb bore from then on, N, and when, s.
    pub most_n: f64,
    pub most_s: f64,
}

/// What became of one trapped limb.
#[derive(Clone, Debug, PartialEq)]
pub struct LimbRecord {
    /// Its name.
    pub at: String,
    /// What it bore before the lift, and the most that it bore, N.
    pub start_load_n: f64,
    pub max_load_n: f64,
    /// It was let go and struck again.
    pub struck: Option<Strike>,
    /// The least gap with vehicle over it after it was widest, m, and when, s; none where there
    /// was no vehicle.
    pub least_gap: Option<(f64, f64)>,
    /// How far what was above it came down towards it from where it stood highest, m, and how
    /// fast at most, m/s.
    pub down_m: f64,
    pub fastest_m_s: f64,
    /// How far the vehicle slid over it while it bore on it, m. In this model a limb stays in
    /// its place; a real one is dragged along.
    pub dragged_m: f64,
    /// From when on no vehicle is over it any more, s; none where some is at the end.
    pub left_s: Option<f64>,
}

impl LimbRecord {
    /// Over a whole lift; gap, way down and speed from a time on, s.
    pub fn new(limb: &Limb, trace: &LimbTrace, from_s: f64) -> Self {
        let all = trace.moments.as_slice();
        let later = &all[all.partition_point(|now| now.t_s < from_s)..];
        let loads = || all.iter().map(|now| now.load_n);
        let (down_m, fastest_m_s) = fall(later);
        Self {
            at: limb.name.clone(),
            start_load_n: loads().next().unwrap_or(0.0),
            max_load_n: loads().fold(0.0, f64::max),
            struck: strike(limb, all),
            least_gap: least_gap(later),
            down_m,
            fastest_m_s,
            dragged_m: dragged_m(all),
            left_s: left_s(all),
        }
    }

    /// The vehicle slid over it while it bore on it, by more than a crew overlooks.
    pub fn is_dragged(&self) -> bool {
        self.dragged_m >= SEEN_M
    }
}

/// The least gap after it was widest, m, and when, s.
fn least_gap(moments: &[OverLimb]) -> Option<(f64, f64)> {
    let over: Vec<&OverLimb> = moments.iter().filter(|now| now.covered).collect();
    let wider =
        |(_, a): &(usize, &&OverLimb), (_, b): &(usize, &&OverLimb)| a.gap_m.total_cmp(&b.gap_m);
    let (widest, _) = over.iter().enumerate().max_by(wider)?;
    let least = over[widest..].iter().min_by(|a, b| a.gap_m.total_cmp(&b.gap_m))?;
    Some((least.gap_m, least.t_s))
}

/// When the vehicle bore on a limb again that it had let go of, and how hard.
fn strike(limb: &Limb, all: &[OverLimb]) -> Option<Strike> {
    let clear_m = limb.thickness_m + LET_GO_M;
    let let_go = all.iter().position(|now| !now.covered || now.gap_m > clear_m)?;
    let again = let_go + all[let_go..].iter().position(|now| now.load_n > BEARS_N)?;
    let most = all[again..].iter().max_by(|a, b| a.load_n.total_cmp(&b.load_n))?;
    Some(Strike { t_s: all[again].t_s, most_n: most.load_n, most_s: most.t_s })
}

/// How far what was above a limb came down towards it from where it stood highest, m, and how
/// fast at most, m/s. Both the vehicle goes down and the gap closes: where a lower part of the
/// vehicle slides over the limb nothing falls, and where the vehicle turns its nose down while
/// the gap grows nothing comes nearer.
fn fall(moments: &[OverLimb]) -> (f64, f64) {
    let (mut height_m, mut highest_m, mut down_m, mut fastest_m_s) = (0.0_f64, 0.0_f64, 0.0, 0.0);
    let mut widest_m = f64::MIN;
    for pair in moments.windows(2) {
        let [before, now] = pair else { continue };
        if !before.covered || !now.covered {
            continue;
        }
        height_m += now.moved_m[1];
        highest_m = highest_m.max(height_m);
        widest_m = widest_m.max(before.gap_m).max(now.gap_m);
        down_m = f64::max(down_m, (highest_m - height_m).min(widest_m - now.gap_m));
        if now.gap_m < before.gap_m {
            fastest_m_s = f64::max(fastest_m_s, now.falls_m_s);
        }
    }
    (down_m, fastest_m_s)
}

/// How far the vehicle slid over a limb while it bore on it before and after, m: forth and back
/// is no way.
fn dragged_m(all: &[OverLimb]) -> f64 {
    let pairs = all.windows(2).filter(|pair| pair.iter().all(|now| now.load_n > BEARS_N));
    let way = pairs.fold([0.0; 2], |[x, z], pair| {
        let moved_m = pair[1].moved_m;
        [x + moved_m[0], z + moved_m[2]]
    });
    way[0].hypot(way[1])
}

/// From when on there is no vehicle over a limb any more, s.
fn left_s(all: &[OverLimb]) -> Option<f64> {
    let last = all.iter().rposition(|now| now.covered)?;
    all.get(last + 1).map(|now| now.t_s)
}

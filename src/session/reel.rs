//! What has been seen of a lift: its moments in turn, each with the measures that are
//! plotted along the time line.

use super::plotted_quantities::{Line, PlotKind, lines};
use crate::debrief::Moment;
use crate::scene::Scene;
use crate::snapshot::{Part, Snapshot};
use std::sync::Arc;

/// The most moments, five minutes of them; beyond it every second one is dropped. One of a beam
/// lift takes 18 kB, so that a reel stays below about 110 MB, in a browser too.
const AT_MOST: usize = 6_000;

/// A moment, and the value of every line then.
pub struct ReelEntry {
    /// The tick of the lift.
    pub tick: u64,
    /// The moment itself.
    pub moment: Moment,
    /// The number of orders that had been given.
    pub records: usize,
    values: Box<[f32]>,
}

/// A lift as it was seen.
#[derive(Clone)]
pub struct Reel {
    /// The scene that is played.
    pub scene: Arc<Scene>,
    /// Every line of every plot.
    pub lines: Arc<Vec<Line>>,
    records: Vec<Arc<ReelEntry>>,
}

/// Reads the lines off a moment.
pub fn record(lines: &[Line], tick: u64, moment: Moment, records: usize) -> Arc<ReelEntry> {
    let values = lines.iter().map(|line| (line.read)(&moment.snapshot) as f32).collect();
    Arc::new(ReelEntry { tick, moment, records, values })
}

impl Reel {
    /// Begins with the moment before the orders.
    pub fn new(scene: Arc<Scene>, first: Moment) -> Self {
        let lines = Arc::new(lines(&scene));
        let records = vec![record(&lines, 0, first, 0)];
        Self { scene, lines, records }
    }

    /// The moment before the orders.
    pub fn start(&self) -> &Snapshot {
        &self.records[0].moment.snapshot
    }

    /// How many moments it has; at least one.
    pub fn count(&self) -> usize {
        self.records.len()
    }

    /// A record by its place; the last one beyond the end.
    pub fn at(&self, i: usize) -> &Arc<ReelEntry> {
        &self.records[i.min(self.records.len() - 1)]
    }

    /// The latest of them.
    pub fn last(&self) -> &Arc<ReelEntry> {
        self.at(usize::MAX)
    }

    /// The index of the first record at or after a time, or `None`.
    pub fn find(&self, t_s: f64) -> Option<usize> {
        // A record's time may differ from the one asked for by rounding.
        let after = self.records.partition_point(|r| r.moment.snapshot.t_s < t_s - 1e-6);
        (after < self.records.len()).then_some(after)
    }

    /// Adds moments at the end.
    pub fn extend(&mut self, new: impl IntoIterator<Item = Arc<ReelEntry>>) {
        self.records.extend(new);
    }

    /// Drops every second record where there are too many; true if it did.
    pub fn thin(&mut self) -> bool {
        if self.records.len() <= AT_MOST {
            return false;
        }
        let mut i = 0;
        self.records.retain(|_| {
            i += 1;
            i % 2 == 1
        });
        true
    }

    /// Drops the moments after the first `len`.
    pub fn truncate(&mut self, len: usize) {
        self.records.truncate(len);
    }

    /// All of its snapshots in turn.
    pub fn history(&self) -> Vec<&Snapshot> {
        self.records.iter().map(|r| &r.moment.snapshot).collect()
    }

    /// Times, s, and values of one line.
    pub fn trace(&self, line: usize) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.records.iter().map(move |r| (r.moment.snapshot.t_s, f64::from(r.values[line])))
    }

    /// The value of one line at a moment of the same lift.
    pub fn value(&self, line: usize, now: &Snapshot) -> f64 {
        (self.lines[line].read)(now)
    }

    /// The largest value of a plot's nth line.
    pub fn most(&self, plot: PlotKind, nth: usize) -> f64 {
        let line = (0..self.lines.len()).filter(|&i| self.lines[i].plot == plot).nth(nth);
        line.map_or(0.0, |i| self.trace(i).map(|(_, v)| v).fold(0.0, f64::max))
    }

    /// A list of parts, shared with the last record where it is the same.
    pub fn parts(&self, now: &[Part]) -> Arc<Vec<Part>> {
        let last = &self.last().moment.parts;
        if last.as_slice() == now { last.clone() } else { Arc::new(now.to_vec()) }
    }
}

//! One lift being played in the window: how fast, what has been seen so far, and
//! going back to it. Looking back shows the record; an order given while looking
//! back takes the lift up again from there.

use super::shown::Shown;
use crate::debrief::{Moment, Readings};
use crate::lift::Lift;
use crate::scene::{Order, Scene};
use crate::snapshot::{Finding, Part, Said, Snapshot};
use crate::units::System;
use crate::world::{Sight, TICK_S};
use std::sync::Arc;
use std::time::{Duration, Instant};

/// A moment is recorded every so many ticks: 20 a second.
const TICKS_PER_RECORD: u64 = 3;
/// The whole lift is kept every so many ticks, to be taken up again from there.
const TICKS_PER_MARK: u64 = 240;
/// At most so many are kept; then every second one goes.
const MARKS: usize = 48;
/// A frame makes up for no more than this, so that a slow machine plays slower
/// instead of falling behind for ever.
const FRAME_AT_MOST_S: f64 = 0.25;
/// Time a frame may spend on the simulation.
const FRAME_BUDGET: Duration = Duration::from_millis(80);
/// How much slower slow motion is.
const SLOW: f64 = 0.25;

struct Record {
    tick: u64,
    moment: Moment,
    said: usize,
}

/// What was done by hand, and before which tick.
#[derive(Clone)]
enum Hand {
    Order(Order),
    Script(bool),
}

pub(super) struct Play {
    lift: Lift,
    tick: u64,
    records: Vec<Record>,
    marks: Vec<(u64, Lift)>,
    by_hand: Vec<(u64, Hand)>,
    /// Place in the record that is looked at, or none for now.
    looking: Option<usize>,
    owed_s: f64,
    pub playing: bool,
    pub slow: bool,
}

impl Play {
    pub fn new(lift: Lift) -> Self {
        let marks = vec![(0, lift.clone())];
        let mut play = Self {
            lift,
            tick: 0,
            records: Vec::new(),
            marks,
            by_hand: Vec::new(),
            looking: None,
            owed_s: 0.0,
            playing: false,
            slow: false,
        };
        play.record();
        play
    }

    pub fn scene(&self) -> &Arc<Scene> {
        self.lift.scene()
    }

    /// What a ray meets first in the yard as it is now.
    pub fn sight(&self, from: [f64; 3], towards: [f64; 3]) -> Option<Sight> {
        self.lift.sight(from, towards)
    }

    /// Straight down in the ground frame.
    pub fn plumb(&self) -> [f64; 3] {
        self.lift.plumb()
    }

    pub fn script(&self) -> bool {
        self.lift.script()
    }

    /// The lift is over and the end of it is on screen.
    pub fn done(&self) -> bool {
        self.lift.done() && self.lift.script() && self.looking.is_none()
    }

    pub fn broken(&self) -> bool {
        self.lift.broken()
    }

    pub fn looking_back(&self) -> bool {
        self.looking.is_some()
    }

    /// The latest time that has been played, s.
    pub fn end_s(&self) -> f64 {
        self.lift.snapshot().t_s
    }

    pub fn start(&self) -> &Snapshot {
        &self.records[0].moment.snapshot
    }

    pub fn now(&self) -> &Snapshot {
        match self.looking {
            Some(i) => &self.records[i].moment.snapshot,
            None => self.lift.snapshot(),
        }
    }

    pub fn parts(&self) -> &[Part] {
        match self.looking {
            Some(i) => &self.records[i].moment.parts,
            None => self.lift.parts(),
        }
    }

    pub fn findings(&self) -> &[Finding] {
        match self.looking {
            Some(i) => &self.records[i].moment.findings,
            None => self.lift.findings(),
        }
    }

    /// Every finding so far, whatever is looked at.
    pub fn all_findings(&self) -> &[Finding] {
        self.lift.findings()
    }

    pub fn said(&self) -> &[Said] {
        let all = self.lift.said();
        let count = self.looking.map_or(all.len(), |i| self.records[i].said);
        &all[..count.min(all.len())]
    }

    /// The largest gap seen at a limb, m.
    pub fn most_gap_m(&self, limb: usize) -> f64 {
        let gap = |s: &Snapshot| s.limbs.get(limb).map_or(0.0, |l| l.gap_m);
        self.records
            .iter()
            .map(|r| gap(&r.moment.snapshot))
            .fold(gap(self.lift.snapshot()), f64::max)
    }

    pub fn most_load_n(&self, limb: usize) -> f64 {
        let load = |s: &Snapshot| s.limbs.get(limb).map_or(0.0, |l| l.load_n);
        self.records
            .iter()
            .map(|r| load(&r.moment.snapshot))
            .fold(load(self.lift.snapshot()), f64::max)
    }

    /// What the lesson says with the numbers so far.
    pub fn lesson(&self, units: System) -> Vec<String> {
        let history: Vec<&Snapshot> = self.records.iter().map(|r| &r.moment.snapshot).collect();
        let reach = self.lift.reach();
        let readings = Readings {
            scene: self.scene(),
            history: &history,
            findings: self.lift.findings(),
            reach: &reach,
            units,
        };
        readings.lines()
    }

    fn record(&mut self) {
        let parts = match self.records.last() {
            Some(last) if last.moment.parts.as_slice() == self.lift.parts() => {
                last.moment.parts.clone()
            }
            _ => Arc::new(self.lift.parts().to_vec()),
        };
        let moment = Moment {
            parts,
            snapshot: self.lift.snapshot().clone(),
            findings: self.lift.findings().to_vec(),
        };
        self.records.push(Record { tick: self.tick, moment, said: self.lift.said().len() });
    }

    fn step_live(&mut self) {
        self.lift.tick();
        self.tick += 1;
        if self.tick.is_multiple_of(TICKS_PER_RECORD) {
            self.record();
        }
        if self.tick.is_multiple_of(TICKS_PER_MARK) {
            self.marks.push((self.tick, self.lift.clone()));
            if self.marks.len() > MARKS {
                let mut keep = true;
                self.marks.retain(|_| {
                    keep = !keep;
                    !keep
                });
            }
        }
    }

    /// Whether there is anything left to play from what is on screen.
    fn over(&self) -> bool {
        self.looking.is_none() && (self.lift.broken() || (self.lift.done() && self.lift.script()))
    }

    /// Plays on by the time that has passed on the clock.
    pub fn advance(&mut self, frame_s: f64) {
        if !self.playing {
            return;
        }
        let speed = if self.slow { SLOW } else { 1.0 };
        self.owed_s += frame_s.clamp(0.0, FRAME_AT_MOST_S) * speed;
        let begun = Instant::now();
        while self.owed_s >= TICK_S {
            if self.over() {
                self.playing = false;
                self.owed_s = 0.0;
                return;
            }
            match self.looking {
                Some(i) => {
                    let step_s = TICK_S * TICKS_PER_RECORD as f64;
                    if self.owed_s < step_s {
                        return;
                    }
                    self.owed_s -= step_s;
                    self.looking = (i + 1 < self.records.len()).then_some(i + 1);
                }
                None => {
                    self.owed_s -= TICK_S;
                    self.step_live();
                }
            }
            if begun.elapsed() > FRAME_BUDGET {
                self.owed_s = 0.0;
            }
        }
    }

    /// One recorded step forwards or back, and stands still.
    pub fn step(&mut self, forwards: bool) {
        self.playing = false;
        let last = self.records.len() - 1;
        self.looking = match (self.looking, forwards) {
            (Some(i), true) => (i < last).then_some(i + 1),
            (Some(i), false) => Some(i.saturating_sub(1)),
            (None, false) => Some(last.saturating_sub(1)),
            (None, true) => {
                if !self.over() {
                    for _ in 0..TICKS_PER_RECORD {
                        self.step_live();
                    }
                }
                None
            }
        };
    }

    /// Looks at the recorded moment nearest to a time.
    pub fn seek(&mut self, t_s: f64) {
        let after = self.records.partition_point(|r| r.moment.snapshot.t_s < t_s);
        self.looking = (after < self.records.len()).then_some(after);
        self.owed_s = 0.0;
    }

    /// Back to the latest moment.
    pub fn catch_up(&mut self) {
        self.looking = None;
    }

    /// Back to the very start, as if nothing had been done.
    pub fn restart(&mut self) {
        let slow = self.slow;
        let (_, lift) = self.marks.swap_remove(0);
        *self = Self::new(lift);
        self.slow = slow;
    }

    /// Carries out an order by hand; the scene's own orders stop. While looking
    /// back, the lift goes on from there and what came after it is forgotten.
    pub fn give(&mut self, order: Order) {
        self.set_script(false);
        self.lift.give(&order);
        self.by_hand.push((self.tick, Hand::Order(order)));
    }

    pub fn set_script(&mut self, on: bool) {
        self.take_up();
        if self.lift.script() != on {
            self.lift.set_script(on);
            self.by_hand.push((self.tick, Hand::Script(on)));
        }
    }

    /// Takes the lift up from the moment looked at: from the mark before it, doing
    /// again what was done since. The same ticks give the same lift to the bit.
    fn take_up(&mut self) {
        let Some(i) = self.looking.take() else { return };
        let goal = self.records[i].tick;
        self.marks.retain(|(tick, _)| *tick <= goal);
        let Some((from, lift)) = self.marks.last() else { return };
        let (mut tick, mut lift) = (*from, lift.clone());
        self.by_hand.retain(|(at, _)| *at < goal);
        while tick < goal {
            for (_, hand) in self.by_hand.iter().filter(|(at, _)| *at == tick) {
                match hand {
                    Hand::Order(order) => lift.give(order),
                    Hand::Script(on) => lift.set_script(*on),
                }
            }
            lift.tick();
            tick += 1;
        }
        self.records.truncate(i + 1);
        self.lift = lift;
        self.tick = goal;
    }

    /// Puts what is looked at on screen.
    pub fn show(&self, shown: &mut Shown, units: System) {
        shown.units = units;
        if shown.parts != self.parts() {
            shown.parts = self.parts().to_vec();
        }
        shown.snapshot.clone_from(self.now());
        if shown.findings != self.findings() {
            shown.findings = self.findings().to_vec();
        }
    }
}

//! One lift being played: how fast, what has been seen so far, and
//! going back to it. Looking back shows the record; an order given while looking
//! back takes the lift up again from there.
//!
//! The lift is worked on in the background, a few ticks at a time, so that input never waits
//! for the simulation. An order by hand waits for it instead, a frame at most.

use super::background::{BackgroundTask, DriverFrame, Pace, TaskProgress, Work};
use super::clock::{Clock, SLOW_MOTION};
use super::lever::Lever;
use super::plotted_quantities::{Line, PlotKind};
use super::reel::{Reel, ReelEntry, record};
use super::shown::Shown;
use crate::debrief::{Harm, LiftSeen, Moment, Readings};
use crate::lift::{self, CutOff, Gap, Lift, Peaks, Played};
use crate::practice::{self, Practice};
use crate::scene::{Fault, OnFailure, Order, Scene, Until};
use crate::snapshot::{
    BagState, Finding, Jam, LimbTrace, NearestApproach, OrderRecord, Part, Settling, Snapshot, Told,
};
use crate::units::UnitSystem;
use crate::world::TICK_S;
use std::sync::{Arc, OnceLock};

/// Ticks between recorded moments: 20 moments a second.
pub const TICKS_PER_RECORD: u64 = 3;
/// Ticks between copies of the whole lift, from which it can go on again.
const TICKS_PER_MARK: u64 = 240;
/// The most copies that are kept; then every second one goes.
const MARKS: usize = 48;
/// The most time that is caught up in one go, so that a slow machine plays slower instead of
/// falling behind for ever.
const OWED_AT_MOST_S: f64 = 0.25;
/// What is left over from earlier frames is caught up to so much: three ticks, which a thread that
/// was late for once makes up. More would come in one go, as a jump, where the machine is slower
/// than the lift.
const LEFT_OVER_AT_MOST_S: f64 = 0.05;
/// The longest that a valve stays open by hand, s.
const HOLD_AT_MOST_S: f64 = 600.0;

/// What was done by hand.
#[derive(Clone)]
enum Hand {
    Order(Order),
    Script(bool),
    OnFailure(OnFailure),
    Fault(Fault),
}

fn hand(lift: &mut Lift, hand: &Hand) {
    match hand {
        Hand::Order(order) => lift.order_by_hand(order),
        Hand::Script(on) => lift.set_script(*on),
        Hand::OnFailure(on_failure) => lift.set_on_failure(*on_failure),
        Hand::Fault(fault) => lift.strike(fault),
    }
}

/// The ticks from which and to which the lift is played.
struct Way {
    from: u64,
    goal: u64,
    /// The orders by hand on the way, where it is played for the second time.
    again: Vec<(u64, Hand)>,
    /// It may come back half way, for orders and for the picture.
    half_way: bool,
}

/// The result of playing for a while.
struct PlayedChunk {
    lift: Box<Lift>,
    tick: u64,
    records: Vec<Arc<ReelEntry>>,
    marks: Vec<(u64, Arc<Lift>)>,
    /// It paused because something went wrong.
    stopped: bool,
}

/// A lift that is played, and what has been seen of it.
pub struct Play {
    /// The lift, or none while it is away ...
    lift: Option<Box<Lift>>,
    /// ... being played on.
    away: Option<BackgroundTask<PlayedChunk>>,
    pace: Pace,
    tick: u64,
    /// What has been seen of it.
    pub reel: Reel,
    marks: Vec<(u64, Arc<Lift>)>,
    /// What was done by hand, and before which tick.
    by_hand: Vec<(u64, Hand)>,
    /// Done by hand while the lift was away.
    waiting: Vec<Hand>,
    /// The latest moment that is known, and the orders by then.
    latest: Moment,
    records: Vec<OrderRecord>,
    /// How many of the scene's orders are left, and whether the first of them is in hand.
    left: (usize, bool),
    struck: Vec<(f64, Fault)>,
    /// How near each measure has come to its limit.
    nearest_approaches: Vec<NearestApproach>,
    /// What the rules of practice say of all that is known, once that was asked for.
    practice: OnceLock<Practice>,
    /// What a failure did, likewise.
    harm: OnceLock<Option<Harm>>,
    done: bool,
    broken: bool,
    impossible: Option<Jam>,
    settling: Settling,
    script: bool,
    /// What the officer does once something has gone wrong.
    on_failure: OnFailure,
    /// Index of the recorded moment that is shown; `None` for the latest.
    looking: Option<usize>,
    owed_s: f64,
    clock: Clock,
    /// Time goes on.
    pub playing: bool,
    /// It goes on in slow motion.
    pub slow: bool,
    /// Pause when something goes wrong.
    pub freeze: bool,
    /// It is paused because something has.
    pub frozen: bool,
    /// The run before the last restart, or before the last order given while looking back.
    pub before: Option<Reel>,
}

fn moment(lift: &Lift, parts: Arc<Vec<Part>>) -> Moment {
    Moment { parts, snapshot: lift.snapshot().clone(), findings: lift.findings().to_vec() }
}

/// A lift that is played on, and what is recorded of it.
struct GoingOn {
    /// `None` once it is handed over.
    chunk: Option<PlayedChunk>,
    way: Way,
    freeze: bool,
    /// The findings that were known when it began.
    known: usize,
    lines: Arc<Vec<Line>>,
    parts: Arc<Vec<Part>>,
}

impl GoingOn {
    fn new(lift: Box<Lift>, way: Way, freeze: bool, reel: &Reel) -> Self {
        Self {
            known: lift.findings().len(),
            lines: reel.lines.clone(),
            parts: reel.last().moment.parts.clone(),
            chunk: Some(PlayedChunk {
                tick: way.from,
                lift,
                records: Vec::new(),
                marks: Vec::new(),
                stopped: false,
            }),
            way,
            freeze,
        }
    }

    fn tick(&mut self, chunk: &mut PlayedChunk) {
        let (lift, tick) = (&mut chunk.lift, &mut chunk.tick);
        for (_, done) in self.way.again.iter().filter(|(at, _)| at == tick) {
            hand(lift, done);
        }
        lift.tick();
        *tick += 1;
        if tick.is_multiple_of(TICKS_PER_RECORD) {
            if self.parts.as_slice() != lift.parts() {
                self.parts = Arc::new(lift.parts().to_vec());
            }
            let moment = moment(lift, self.parts.clone());
            chunk.records.push(record(&self.lines, *tick, moment, lift.records().len()));
        }
        if tick.is_multiple_of(TICKS_PER_MARK) {
            chunk.marks.push((*tick, Arc::new((**lift).clone())));
        }
        chunk.stopped = self.freeze && lift.findings().len() > self.known;
    }
}

impl Work for GoingOn {
    type Output = PlayedChunk;

    /// A tick, at the most.
    fn go_on(&mut self) -> TaskProgress<PlayedChunk> {
        let Some(mut chunk) = self.chunk.take() else { return TaskProgress::Over };
        if chunk.tick < self.way.goal {
            self.tick(&mut chunk);
        }
        let lift = &chunk.lift;
        let over = lift.broken() || (lift.done() && lift.script());
        if chunk.tick >= self.way.goal || chunk.stopped || over {
            return TaskProgress::Result(chunk);
        }
        self.chunk = Some(chunk);
        TaskProgress::Working
    }

    fn half_done(&mut self) -> Option<PlayedChunk> {
        if self.way.half_way { self.chunk.take() } else { None }
    }
}

impl Play {
    pub(super) fn new(lift: Lift, pace: Pace) -> Self {
        let latest = moment(&lift, Arc::new(lift.parts().to_vec()));
        Self {
            pace,
            tick: 0,
            reel: Reel::new(lift.scene().clone(), latest.clone()),
            marks: vec![(0, Arc::new(lift.clone()))],
            by_hand: Vec::new(),
            waiting: Vec::new(),
            latest,
            records: lift.records().to_vec(),
            left: (lift.remaining().len(), lift.is_at_work()),
            struck: lift.struck().to_vec(),
            nearest_approaches: lift.nearest_approaches(),
            practice: OnceLock::new(),
            harm: OnceLock::new(),
            done: lift.done(),
            broken: lift.broken(),
            impossible: lift.impossible().cloned(),
            settling: *lift.settling(),
            script: lift.script(),
            on_failure: lift.on_failure(),
            looking: None,
            owed_s: 0.0,
            clock: Clock::default(),
            playing: false,
            slow: false,
            freeze: false,
            frozen: false,
            before: None,
            away: None,
            lift: Some(Box::new(lift)),
        }
    }

    /// The scene that is played.
    pub fn scene(&self) -> &Arc<Scene> {
        &self.reel.scene
    }

    /// Whether the scene's script gives the orders.
    pub fn script(&self) -> bool {
        self.script
    }

    /// The lift is over and the end of it is on screen.
    pub fn done(&self) -> bool {
        self.done && self.script && self.looking.is_none()
    }

    /// The lift has ended, whatever is on screen.
    pub fn ended(&self) -> bool {
        self.broken || (self.done && self.script)
    }

    /// Whether the simulation gave up on it.
    pub fn broken(&self) -> bool {
        self.broken
    }

    /// Whether an earlier moment is looked at.
    pub fn looking_back(&self) -> bool {
        self.looking.is_some()
    }

    /// The latest time that has been played, s.
    pub fn end_s(&self) -> f64 {
        self.latest.snapshot.t_s
    }

    /// How fast the lift goes on, as a share of real time, where this machine is too slow for
    /// the pace that was asked for.
    pub fn slowed_to(&self) -> Option<f64> {
        self.clock.slowed_to()
    }

    /// The moment before the orders.
    pub fn start(&self) -> &Snapshot {
        self.reel.start()
    }

    fn seen(&self) -> &Moment {
        match self.looking {
            Some(i) => &self.reel.at(i).moment,
            None => &self.latest,
        }
    }

    /// The moment that is looked at.
    pub fn now(&self) -> &Snapshot {
        &self.seen().snapshot
    }

    /// The latest moment that is known, whatever is looked at.
    pub fn latest(&self) -> &Snapshot {
        &self.latest.snapshot
    }

    /// The parts at that moment.
    pub fn parts(&self) -> &[Part] {
        &self.seen().parts
    }

    /// Why the lift cannot begin like this.
    pub fn impossible(&self) -> Option<&Jam> {
        self.impossible.as_ref()
    }

    /// What had gone wrong by then.
    pub fn findings(&self) -> &[Finding] {
        &self.seen().findings
    }

    /// Every finding so far, whatever is looked at.
    pub fn all_findings(&self) -> &[Finding] {
        &self.latest.findings
    }

    /// What the crew had been told by then.
    pub fn records(&self) -> &[OrderRecord] {
        let count = self.looking.map_or(self.records.len(), |i| self.reel.at(i).records);
        &self.records[..count.min(self.records.len())]
    }

    /// Faults that have struck so far, whatever is looked at.
    pub fn struck(&self) -> &[(f64, Fault)] {
        &self.struck
    }

    /// Makes a fault happen at the moment on screen, whether or not the script gives the
    /// orders.
    pub(super) fn strike(&mut self, fault: Fault) {
        self.take_up();
        self.act(Hand::Fault(fault));
    }

    /// The largest gap seen at a limb, m.
    pub fn most_gap_m(&self, limb: usize) -> f64 {
        self.reel.most(PlotKind::Gap, limb)
    }

    /// The largest load seen on a limb, N.
    pub fn most_load_n(&self, limb: usize) -> f64 {
        self.reel.most(PlotKind::Load, limb)
    }

    /// What the lesson says with the numbers so far, and what it calls its twin.
    pub fn lesson(&self, twin: Option<&str>, units: UnitSystem) -> Vec<String> {
        let history = self.reel.history();
        let readings = Readings {
            scene: self.scene(),
            history: &history,
            findings: self.all_findings(),
            nearest_approaches: &self.nearest_approaches,
            twin,
            units,
        };
        readings.lines()
    }

    /// What the rules of practice say of the lift as far as it was played.
    pub fn practice(&self) -> &Practice {
        self.practice.get_or_init(|| {
            Practice::of(&practice::Record::new(
                self.scene(),
                &self.latest.parts,
                &self.seen_so_far(),
                &self.records,
                self.all_findings(),
                self.cut_off().is_none(),
            ))
        })
    }

    /// Every moment that is known, the latest among them.
    fn seen_so_far(&self) -> Vec<&Snapshot> {
        let mut seen = self.reel.history();
        if self.reel.last().moment.snapshot.t_s < self.latest().t_s {
            seen.push(self.latest());
        }
        seen
    }

    /// The lift as far as it was played, for a report. Its peaks are those of the recorded
    /// moments.
    pub(super) fn played(&self) -> Played {
        let latest = self.latest();
        let seen = self.seen_so_far();
        let rows = (0..self.reel.count()).map(|i| self.reel.at(i));
        let rows = rows.filter(|record| record.tick.is_multiple_of(lift::TICKS_PER_ROW));
        Played {
            scene: self.scene().clone(),
            findings: self.all_findings().to_vec(),
            settling: self.settling,
            records: self.records.clone(),
            cut_off: self.cut_off(),
            struck: self.struck.clone(),
            gaps: Gap::over(self.scene(), &seen),
            traces: LimbTrace::over(self.scene(), &self.latest.parts, &seen),
            peaks: Peaks::over(&seen),
            nearest_approaches: self.nearest_approaches.clone(),
            sim_s: latest.t_s,
            state_hash: lift::state_hash(latest),
            broken: self.broken,
            impossible: self.impossible.clone(),
            parts: self.latest.parts.to_vec(),
            history: rows.map(|record| record.moment.snapshot.clone()).collect(),
            moments: Vec::new(),
        }
    }

    /// Where a lift stands that goes by the script and has not come to its end. Hands end a
    /// lift when they like.
    fn cut_off(&self) -> Option<CutOff> {
        if self.ended() || !self.script {
            return None;
        }
        let orders = &self.scene().orders;
        let (left, at_work) = self.left;
        let left = &orders[orders.len().saturating_sub(left)..];
        let (in_hand, not_given) = left.split_at(usize::from(at_work).min(left.len()));
        Some(CutOff {
            at_s: self.end_s(),
            in_hand: in_hand.first().cloned(),
            not_given: not_given.to_vec(),
        })
    }

    /// Takes over the state of the lift.
    fn note(&mut self) {
        let Some(lift) = &self.lift else { return };
        self.latest = moment(lift, self.reel.parts(lift.parts()));
        if self.records.len() != lift.records().len() {
            self.records = lift.records().to_vec();
        }
        self.left = (lift.remaining().len(), lift.is_at_work());
        if self.struck.len() != lift.struck().len() {
            self.struck = lift.struck().to_vec();
        }
        self.nearest_approaches = lift.nearest_approaches();
        (self.done, self.broken) = (lift.done(), lift.broken());
        self.forget_told();
    }

    /// Starts playing the lift on by this many ticks in the background.
    fn send(&mut self, ticks: u64) {
        let Some(lift) = self.lift.take() else { return };
        let way = Way {
            from: self.tick,
            goal: self.tick + ticks,
            again: Vec::new(),
            half_way: self.pace == Pace::Free,
        };
        self.send_lift(lift, way, self.freeze);
    }

    fn send_lift(&mut self, lift: Box<Lift>, way: Way, freeze: bool) {
        self.away = Some(BackgroundTask::spawn(GoingOn::new(lift, way, freeze, &self.reel)));
    }

    /// Takes the lift back once it has been played, and carries out what waited for it.
    fn collect(&mut self, frame: DriverFrame) {
        let Some(task) = &mut self.away else { return };
        let played = match task.next_result(frame) {
            TaskProgress::Result(played) => played,
            TaskProgress::Working => return,
            TaskProgress::Over => {
                // The simulation gave up on it: the last moment stands.
                (self.away, self.playing, self.broken) = (None, false, true);
                return;
            }
        };
        self.away = None;
        self.lift = Some(played.lift);
        self.tick = played.tick;
        // These moments are on the reel already.
        let (seen, kept) = (self.reel.last().tick, self.marks.last().map_or(0, |(tick, _)| *tick));
        self.reel.extend(played.records.into_iter().filter(|r| r.tick > seen));
        if self.reel.thin() {
            self.looking = self.looking.map(|i| i / 2);
        }
        for mark in played.marks.into_iter().filter(|(tick, _)| *tick > kept) {
            self.marks.push(mark);
            if self.marks.len() > MARKS {
                let mut keep = true;
                self.marks.retain(|_| {
                    keep = !keep;
                    !keep
                });
            }
        }
        self.note();
        if played.stopped {
            (self.playing, self.frozen, self.owed_s) = (false, true, 0.0);
        }
        for done in std::mem::take(&mut self.waiting) {
            self.act(done);
        }
    }

    fn act(&mut self, done: Hand) {
        match &mut self.lift {
            Some(lift) => {
                hand(lift, &done);
                self.by_hand.push((self.tick, done));
                self.note();
            }
            None => self.waiting.push(done),
        }
    }

    /// Whether there is anything left to play from what is on screen.
    fn over(&self) -> bool {
        self.looking.is_none() && self.ended()
    }

    /// Plays on by the time that has passed on the clock.
    pub(super) fn advance(&mut self, frame_s: f64, frame: DriverFrame) {
        let before = self.tick;
        self.collect(frame);
        if !self.playing || self.looking.is_some() {
            self.clock = Clock::default();
        }
        if !self.playing {
            self.owed_s = 0.0;
            return;
        }
        self.frozen = false;
        let speed = if self.slow { SLOW_MOTION } else { 1.0 };
        let passed_s = frame_s.max(0.0) * speed;
        let at_most_s = (passed_s + TICK_S).clamp(LEFT_OVER_AT_MOST_S, OWED_AT_MOST_S);
        self.owed_s = (self.owed_s + passed_s).min(at_most_s);
        if let Some(i) = self.looking {
            let step_s = TICK_S * TICKS_PER_RECORD as f64;
            let steps = (self.owed_s / step_s) as usize;
            self.owed_s -= steps as f64 * step_s;
            self.looking = (i + steps < self.reel.count()).then_some(i + steps);
            return;
        }
        self.clock.note(frame_s, speed, self.tick.saturating_sub(before) as f64 * TICK_S);
        if self.over() {
            self.playing = false;
        } else if self.lift.is_some() {
            // A frame that is short of a tick by rounding still counts as one.
            let ticks = (self.owed_s / TICK_S + 1e-3) as u64;
            if ticks > 0 {
                self.owed_s = (self.owed_s - ticks as f64 * TICK_S).max(0.0);
                self.send(ticks);
            }
        }
    }

    /// One recorded step forwards or back, then pauses.
    pub(super) fn step(&mut self, forwards: bool) {
        self.playing = false;
        let last = self.reel.count() - 1;
        self.looking = match (self.looking, forwards) {
            (Some(i), true) => (i < last).then_some(i + 1),
            (Some(i), false) => Some(i.saturating_sub(1)),
            // The last on record may be a tick or two old already.
            (None, false) if self.reel.last().tick < self.tick => Some(last),
            (None, false) => Some(last.saturating_sub(1)),
            (None, true) => {
                if !self.over() {
                    self.send(TICKS_PER_RECORD);
                }
                None
            }
        };
    }

    /// Looks at the recorded moment nearest to a time.
    pub(super) fn seek(&mut self, t_s: f64) {
        self.looking = self.reel.find(t_s);
        self.owed_s = 0.0;
    }

    /// Back to the latest moment.
    pub(super) fn catch_up(&mut self) {
        self.looking = None;
    }

    /// Back to the very start, as if nothing had been done; the old run is kept to compare
    /// with.
    pub(super) fn restart(&mut self) {
        let (slow, freeze, pace) = (self.slow, self.freeze, self.pace);
        let mut lift = (*self.marks[0].1).clone();
        lift.set_on_failure(self.on_failure);
        let before = (self.reel.count() > 1).then(|| self.reel.clone()).or(self.before.take());
        *self = Self::new(lift, pace);
        (self.slow, self.freeze, self.before) = (slow, freeze, before);
    }

    /// Plays or pauses; at the end it plays the recorded lift from its start.
    pub(super) fn play_or_pause(&mut self) {
        if self.done() && !self.playing {
            self.seek(0.0);
            self.playing = true;
        } else {
            self.playing = !self.playing;
        }
    }

    /// Pauses at a recorded moment.
    pub(super) fn look_at(&mut self, t_s: f64) {
        self.playing = false;
        self.seek(t_s);
    }

    /// An outlet's lever has been taken hold of, or let go; it opens its valve so far.
    pub(super) fn hold(&mut self, outlet: usize, lever: Option<Lever>, opening: f64) {
        let states = &self.now().bags;
        let hosed = (0..states.len()).filter(|&bag| states[bag].hose == Some(outlet));
        let (shut, mut bags): (Vec<usize>, _) = hosed.partition(|&bag| states[bag].locked_out);
        // Of a Y's bags the open ones are meant.
        if bags.is_empty() {
            bags = shut;
        }
        if bags.is_empty() {
            return;
        }
        let (until, at_most_s) = (Until::Now, HOLD_AT_MOST_S);
        self.give(match lever {
            Some(Lever::Up) => Order::Raise { bags, opening, until, at_most_s },
            Some(Lever::Down) => Order::Lower { bags, opening, until, at_most_s },
            None => Order::Stop { bags },
        });
        // Air flows only while time does.
        if lever.is_some() {
            self.playing = true;
        }
    }

    /// Closes a bag's shut-off, or opens it again.
    pub(super) fn shut(&mut self, bag: usize, closed: bool) {
        let bags = vec![bag];
        self.give(if closed { Order::LockOut { bags } } else { Order::Unlock { bags } });
    }

    /// Has every capture follow the load.
    pub(super) fn capture(&mut self) {
        let captures: Vec<usize> = (0..self.scene().captures.len()).collect();
        if !captures.is_empty() {
            self.give(Order::Capture { captures });
        }
    }

    /// Sets every chock that the scene has not set.
    pub(super) fn set_chocks(&mut self) {
        let all = &self.scene().chocks;
        let chocks: Vec<usize> = (0..all.len()).filter(|&i| !all[i].set).collect();
        if !chocks.is_empty() {
            self.give(Order::SetChocks { chocks });
        }
    }

    /// Carries out an order by hand; the scene's own orders stop. While looking
    /// back, the lift goes on from there and what came after it is forgotten.
    pub(super) fn give(&mut self, order: Order) {
        self.set_script(false);
        self.act(Hand::Order(order));
    }

    pub(super) fn set_script(&mut self, on: bool) {
        self.take_up();
        if self.script != on {
            self.script = on;
            self.act(Hand::Script(on));
        }
    }

    pub(super) fn set_on_failure(&mut self, on_failure: OnFailure) {
        self.take_up();
        if self.on_failure != on_failure {
            self.on_failure = on_failure;
            self.act(Hand::OnFailure(on_failure));
        }
    }

    /// What the officer does once something has gone wrong.
    pub fn on_failure(&self) -> OnFailure {
        self.on_failure
    }

    /// The officer has called stop.
    pub fn stopped(&self) -> bool {
        self.records().iter().any(|record| record.told == Told::OfficerStop)
    }

    /// What a failure did so far; none where nothing went wrong.
    pub fn harm(&self) -> Option<&Harm> {
        let told = self.harm.get_or_init(|| {
            let seen = self.seen_so_far();
            let parts = &self.latest.parts;
            Harm::new(&LiftSeen {
                scene: self.scene(),
                parts,
                findings: self.all_findings(),
                history: &seen,
                records: &self.records,
                traces: &LimbTrace::over(self.scene(), parts, &seen),
            })
        });
        told.as_ref()
    }

    /// Drops what was told of all that was known: there is more now, or less.
    fn forget_told(&mut self) {
        (self.practice, self.harm) = (OnceLock::new(), OnceLock::new());
    }

    /// Takes the lift up from the moment looked at: from the mark before it, doing
    /// again what was done since. The same ticks give the same lift to the bit, so the
    /// record of that moment stands on screen until the lift is there.
    fn take_up(&mut self) {
        let Some(i) = self.looking.take() else { return };
        let seen = self.reel.at(i).clone();
        let goal = seen.tick;
        self.before = Some(self.reel.clone());
        self.marks.retain(|(tick, _)| *tick <= goal);
        self.by_hand.retain(|(at, _)| *at < goal);
        self.waiting.clear();
        let Some((from, lift)) = self.marks.last().cloned() else { return };
        self.reel.truncate(i + 1);
        self.forget_told();
        self.records.truncate(seen.records);
        self.struck.retain(|(t_s, _)| *t_s < seen.moment.snapshot.t_s);
        self.latest = seen.moment.clone();
        (self.done, self.broken) = (false, false);
        self.tick = goal;
        let script = self.by_hand.iter().rev().find_map(|(_, done)| match done {
            Hand::Script(on) => Some(*on),
            _ => None,
        });
        self.script = script.unwrap_or(true);
        let on_failure = self.by_hand.iter().rev().find_map(|(_, done)| match done {
            Hand::OnFailure(on_failure) => Some(*on_failure),
            _ => None,
        });
        self.on_failure = on_failure.unwrap_or(self.marks[0].1.on_failure());
        let again = self.by_hand.iter().filter(|(at, _)| *at >= from).cloned().collect();
        if !self.script {
            // The levers that were held by hand at that time are released.
            let open = |bag: &BagState| {
                let outlet = bag.hose.and_then(|i| seen.moment.snapshot.outlets.get(i));
                outlet.is_some_and(|outlet| outlet.opening != 0.0)
            };
            let bags = &seen.moment.snapshot.bags;
            let bags: Vec<usize> = (0..bags.len()).filter(|&i| open(&bags[i])).collect();
            if !bags.is_empty() {
                self.waiting.push(Hand::Order(Order::Stop { bags }));
            }
        }
        self.lift = None;
        let way = Way { from, goal, again, half_way: false };
        self.send_lift(Box::new((*lift).clone()), way, false);
    }

    /// Puts the lift on screen where another yard was.
    pub(super) fn begin(&self, shown: &mut Shown) {
        let Moment { parts, snapshot, .. } = self.seen();
        shown.begin(self.scene().clone(), parts, snapshot);
    }

    /// Puts what is looked at on screen.
    pub(super) fn show(&self, shown: &mut Shown, units: UnitSystem) {
        let Moment { parts, snapshot, findings } = self.seen();
        shown.units = units;
        shown.go_on(parts, snapshot, findings);
    }
}

//! What the rules of practice read: a lift as it was recorded, up to the first thing that went
//! wrong. What a failure does is told by the outcome, and is nobody's practice.

use crate::scene::{CarriedBy, Order, Scene, StrapEnd};
use crate::snapshot::{Finding, OrderRecord, Part, PartKind, Snapshot, TimberAndAir, Told};

/// What bears less than this bears nothing, N (assumed).
pub(super) const BEARS_N: f64 = 200.0;
/// A lift rests on timber where at least this share of it does: air is a back-up then (taken).
pub(super) const ON_TIMBER: f64 = 0.8;

/// A lift as it was recorded.
pub struct Record<'a> {
    pub(super) scene: &'a Scene,
    pub(super) parts: &'a [Part],
    /// Moments in turn, the first from before the orders, none after the first finding.
    pub(super) history: Vec<&'a Snapshot>,
    /// What the crew was told meanwhile.
    pub(super) records: Vec<&'a OrderRecord>,
    /// When the first thing went wrong, s.
    pub(super) failed_s: Option<f64>,
    /// The last moment, where the lift reached its own end and nothing went wrong.
    pub(super) end: Option<&'a Snapshot>,
}

impl<'a> Record<'a> {
    /// `parts` are those of the last moment of `history`; `ended` tells whether the lift came to
    /// its own end.
    pub fn new(
        scene: &'a Scene,
        parts: &'a [Part],
        history: &[&'a Snapshot],
        records: &'a [OrderRecord],
        findings: &[Finding],
        ended: bool,
    ) -> Self {
        let failed_s = findings.iter().map(|finding| finding.t_s).reduce(f64::min);
        let within = |t_s: f64| failed_s.is_none_or(|failed_s| t_s <= failed_s);
        Self {
            scene,
            parts,
            history: history.iter().copied().filter(|now| within(now.t_s)).collect(),
            records: records.iter().filter(|record| within(record.t_s)).collect(),
            failed_s,
            end: history.last().copied().filter(|_| ended && failed_s.is_none()),
        }
    }

    /// The moment at which the set-up is done: the first valve opens to fill a bag. Where none
    /// did, the last moment of a lift that is over.
    pub(super) fn set_up(&self) -> Option<&'a Snapshot> {
        let fills = |now: &&Snapshot| now.outlets.iter().any(|outlet| outlet.opening > 0.0);
        let over = self.end.is_some() || self.failed_s.is_some();
        let last = self.history.last().copied().filter(|_| over);
        self.history.iter().copied().find(fills).or(last)
    }

    /// The moments from the first air on.
    pub(super) fn lift(&self) -> impl Iterator<Item = &'a Snapshot> + '_ {
        let from_s = self.set_up().map_or(f64::INFINITY, |now| now.t_s);
        self.history.iter().copied().filter(move |now| now.t_s >= from_s)
    }

    /// The orders that were carried out before the first air.
    pub(super) fn orders_of_set_up(&self) -> impl Iterator<Item = &'a Order> + '_ {
        let orders = self.orders().map(|(_, order)| order);
        orders.take_while(|order| !matches!(order, Order::Raise { .. }))
    }

    /// The orders that were carried out, with their times.
    pub(super) fn orders(&self) -> impl Iterator<Item = (f64, &'a Order)> + '_ {
        self.records.iter().filter(|record| record.refused.is_none()).filter_map(|record| {
            match &record.told {
                Told::Order(order) => Some((record.t_s, order)),
                Told::OfficerStop => None,
            }
        })
    }

    /// When a chock was set, s; none where it never was.
    pub(super) fn chock_set_s(&self, chock: usize) -> Option<f64> {
        if self.scene.chocks[chock].set {
            return Some(0.0);
        }
        self.orders().find(|(_, order)| sets(order, chock)).map(|(t_s, _)| t_s)
    }

    /// Whether a chock was set before the first air.
    pub(super) fn chock_is_in_set_up(&self, chock: usize) -> bool {
        self.scene.chocks[chock].set || self.orders_of_set_up().any(|order| sets(order, chock))
    }

    /// How many straps and stakes hold the foot of a strut.
    pub(super) fn holds_of_foot(&self, strut: usize) -> usize {
        let foot = StrapEnd::Foot(strut);
        let straps = self.scene.straps.iter().filter(|strap| strap.ends.contains(&foot));
        straps.count() + usize::from(self.scene.struts[strut].staked)
    }

    /// The last moment at or before a time, or the first one.
    pub(super) fn at(&self, t_s: f64) -> Option<&'a Snapshot> {
        let after = self.history.partition_point(|now| now.t_s <= t_s);
        self.history.get(after.saturating_sub(1)).copied()
    }

    /// Where the first part of a kind is at a moment; the vehicle's centre of mass where there
    /// is none.
    pub(super) fn place_of(&self, kind: PartKind, now: &Snapshot) -> [f64; 3] {
        let part = self.parts.iter().position(|part| part.kind == kind);
        part.and_then(|part| now.poses.get(part)).map_or(now.vehicle.com, |pose| pose.at())
    }

    /// The bags with no bag on them, by their indices: a lift point each.
    pub(super) fn topmost_bags(&self) -> impl Iterator<Item = usize> + '_ {
        let bags = &self.scene.bags;
        (0..bags.len()).filter(|bag| !bags.iter().any(|b| b.on == CarriedBy::Bag(*bag)))
    }

    /// The first bag that bears a load from above, by its index.
    pub(super) fn bearing_bag(&self, now: &Snapshot) -> Option<usize> {
        let bears = |&bag: &usize| now.bags.get(bag).is_some_and(|state| state.load_n > BEARS_N);
        self.topmost_bags().find(bears)
    }

    /// What timber bears of the lifted load at a moment, 0 to 1; none where air bears nothing.
    pub(super) fn share_on_timber(&self, now: &Snapshot) -> Option<f64> {
        let held = TimberAndAir::at(self.scene, self.parts, now);
        (held.air_n > BEARS_N).then(|| held.share_on_timber())
    }

    /// The vehicle's centre of mass before the lift, and the way to it from where it is lifted,
    /// along X and Z, m; none where there is no bag.
    pub(super) fn lever(&self) -> Option<([f64; 2], [f64; 2])> {
        let lifted = self.lifted_at()?;
        let [x, _, z] = self.history.first()?.vehicle.com;
        Some(([x, z], [x - lifted[0], z - lifted[1]]))
    }

    /// The middle of the stacks that bags stand on, along X and Z, m; none where there is no
    /// bag.
    fn lifted_at(&self) -> Option<[f64; 2]> {
        let places: Vec<[f64; 2]> =
            (0..self.scene.bags.len()).filter_map(|bag| self.bag_at(bag)).collect();
        let count = places.len() as f64;
        (count > 0.0)
            .then(|| [0, 1].map(|i| places.iter().map(|place| place[i]).sum::<f64>() / count))
    }

    /// The middle of the stack that a bag stands on, along X and Z, m.
    pub(super) fn bag_at(&self, bag: usize) -> Option<[f64; 2]> {
        let below = |&bag: &usize| match self.scene.bags[bag].on {
            CarriedBy::Bag(below) => Some(below),
            CarriedBy::Stack(_) => None,
        };
        let lowest = std::iter::successors(Some(bag), below).last()?;
        match self.scene.bags[lowest].on {
            CarriedBy::Stack(stack) => Some(self.scene.stacks[stack].at),
            CarriedBy::Bag(_) => None,
        }
    }
}

/// Whether an order sets a chock.
fn sets(order: &Order, chock: usize) -> bool {
    matches!(order, Order::SetChocks { chocks } if chocks.contains(&chock))
}

/// How far the load would come down onto timber at a moment if the air were gone, m: to the
/// nearest capture stack, or to where it lay.
pub(super) fn unheld_m(now: &Snapshot) -> f64 {
    let room = now.captures.iter().map(|capture| capture.clearance_m);
    room.reduce(f64::min).unwrap_or(f64::INFINITY).min(now.rise_m)
}

/// The first time at which a measure passes its limit, with its largest value over all moments.
/// Each moment comes with its measure.
pub(super) fn passes<'a, T: Copy>(
    limit: f64,
    moments: impl Iterator<Item = (&'a Snapshot, T, f64)>,
) -> Option<(&'a Snapshot, T, f64)> {
    let over: Vec<_> = moments.filter(|(.., value)| *value > limit).collect();
    let most = over.iter().map(|(.., value)| *value).fold(f64::MIN, f64::max);
    over.first().map(|&(now, of, _)| (now, of, most))
}

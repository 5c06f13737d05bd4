//! The crew: carries out orders, one after the other, and says why one cannot be
//! done. An order that cannot be done changes nothing.

use super::captures::UNLOADED_N;
use super::solver::TICK_S;
use super::yard::Yard;
use crate::scene::{Order, Until};
use crate::snapshot::{LeftOpen, OrderRecord, Refusal, TimberAndAir, Told};

/// Works through a script of orders.
#[derive(Clone, Debug)]
pub struct Crew {
    script: Vec<Order>,
    next: usize,
    /// Time at which the order in hand was begun.
    begun_s: Option<f64>,
    /// The order that was being carried out when the script was paused.
    left: Option<Left>,
    /// Bags of the order in hand that still move.
    moving: Vec<usize>,
    pub records: Vec<OrderRecord>,
}

/// The order that was being carried out when the script was paused: for how long it had been,
/// s, and how far the valve of each of its bags stood open.
#[derive(Clone, Debug, Default)]
struct Left {
    for_s: f64,
    valves: Vec<(usize, f64)>,
}

impl Crew {
    pub fn new(script: Vec<Order>) -> Self {
        let (moving, records) = (Vec::new(), Vec::new());
        Self { script, next: 0, begun_s: None, left: None, moving, records }
    }

    /// Every order of the script has been carried out or refused.
    pub fn done(&self) -> bool {
        self.next >= self.script.len()
    }

    /// The script's orders that are neither carried out nor refused, the one in hand first.
    pub fn remaining(&self) -> &[Order] {
        &self.script[self.next.min(self.script.len())..]
    }

    /// The first of [`Self::remaining`] has been begun.
    pub fn is_at_work(&self) -> bool {
        self.begun_s.is_some()
    }

    /// Carries the script on by one tick.
    pub fn advance(&mut self, yard: &mut Yard) {
        // Orders that take no time are done in the same tick, in order.
        while let Some(order) = self.script.get(self.next).cloned() {
            let now = yard.t_s();
            let begun = match self.begun_s {
                Some(begun) => begun,
                None => {
                    let left = self.left.take().unwrap_or_default();
                    let begun = now - left.for_s;
                    if !self.take_up(yard, &order, &left) && !self.begin(yard, &order) {
                        self.next += 1;
                        continue;
                    }
                    self.begun_s = Some(begun);
                    begun
                }
            };
            if !self.finished(yard, &order, now - begun) {
                break;
            }
            self.begun_s = None;
            self.next += 1;
        }
        yard.snapshot.order = self.next;
    }

    /// Leaves the script in the middle of an order: its valves are shut, because nothing checks
    /// their `until` any more. [`Self::advance`] takes the order up again where it was.
    pub fn pause_script(&mut self, yard: &mut Yard) {
        let Some(begun) = self.begun_s.take() else { return };
        let for_s = yard.t_s() - begun;
        let bags = std::mem::take(&mut self.moving);
        let open =
            |&bag: &usize| yard.air.outlet_of(bag).map(|o| (bag, yard.air.outlets[o].opening));
        self.left = Some(Left { for_s, valves: bags.iter().filter_map(open).collect() });
        if !bags.is_empty() {
            self.begin(yard, &Order::Stop { bags });
        }
    }

    /// Opens the valves of an order again as they were left; false where it was not begun, or
    /// a hand has changed hoses or shut-offs since.
    fn take_up(&mut self, yard: &mut Yard, order: &Order, left: &Left) -> bool {
        let ready =
            |bag: usize| yard.air.outlet_of(bag).is_some() && !yard.air.bags[bag].locked_out;
        if left.valves.is_empty() || !left.valves.iter().all(|&(bag, _)| ready(bag)) {
            return false;
        }
        for &(bag, opening) in &left.valves {
            if let Some(outlet) = yard.air.outlet_of(bag) {
                yard.air.turn_valve(outlet, opening);
            }
        }
        self.moving = left.valves.iter().map(|&(bag, _)| bag).collect();
        self.note(yard, Told::Order(order.clone()), None);
        true
    }

    /// The officer's stop: ends the script where it is, with every valve shut.
    pub fn stop(&mut self, yard: &mut Yard) {
        yard.air.shut_valves();
        self.next = self.script.len();
        self.begun_s = None;
        self.moving.clear();
        self.note(yard, Told::OfficerStop, None);
    }

    fn note(&mut self, yard: &Yard, told: Told, refused: Option<Refusal>) {
        self.records.push(OrderRecord { t_s: yard.t_s(), told, refused, left_open: Vec::new() });
    }

    /// An order given by hand: carried out at once, whatever the script is doing.
    pub fn order_by_hand(&mut self, yard: &mut Yard, order: &Order) {
        self.begin(yard, order);
    }

    /// Starts an order and notes it; false where it was refused.
    fn begin(&mut self, yard: &mut Yard, order: &Order) -> bool {
        let open_before = yard.air.open_bags();
        let refused = yard.carry_out(order).err();
        let mut left_open = yard.air.open_bags();
        left_open.retain(|bag| !open_before.contains(bag));
        let left_open = left_open.into_iter().map(|bag| (bag, yard.air.bags[bag].gauge_pa));
        let left_open = left_open.filter(|(_, gauge_pa)| *gauge_pa > 0.0);
        let left_open = left_open.map(|(bag, gauge_pa)| LeftOpen { bag, gauge_pa }).collect();
        let ok = refused.is_none();
        self.moving = match order {
            Order::Raise { bags, .. } | Order::Lower { bags, .. } if ok => bags.clone(),
            _ => Vec::new(),
        };
        let told = Told::Order(order.clone());
        self.records.push(OrderRecord { t_s: yard.t_s(), told, refused, left_open });
        ok
    }

    /// Whether the order in hand has reached its end; stops what it moved.
    fn finished(&mut self, yard: &mut Yard, order: &Order, for_s: f64) -> bool {
        let (until, at_most_s, up) = match order {
            Order::Raise { until, at_most_s, .. } => (*until, *at_most_s, true),
            Order::Lower { until, at_most_s, .. } => (*until, *at_most_s, false),
            Order::Wait { until, at_most_s } => (*until, *at_most_s, true),
            _ => return true,
        };
        let beyond = |value: f64, goal: f64| if up { value >= goal } else { value <= goal };
        let reached = match until {
            Until::Now => return true,
            Until::For(s) => for_s + TICK_S / 2.0 >= s,
            Until::Rise(m) => beyond(yard.snapshot.rise_m, m),
            Until::Gap { limb, m } => beyond(yard.snapshot.limbs[limb].gap_m, m),
            // Let down or held, timber takes over: there is one way to that.
            Until::OnTimber(share) => yard.share_on_timber() >= share,
            Until::Height(m) => {
                let (there, still): (Vec<usize>, Vec<usize>) = self
                    .moving
                    .iter()
                    .partition(|&&bag| beyond(yard.snapshot.bags[bag].height_m, m));
                // Two bags of a Y have one valve: it stays open for the one that still moves.
                let waits = |bag| {
                    let hose = yard.air.outlet_of(bag);
                    still.iter().any(|&still| yard.air.outlet_of(still) == hose)
                };
                let there: Vec<usize> = there.into_iter().filter(|&bag| !waits(bag)).collect();
                yard.air.close_valves(&there);
                self.moving = still;
                self.moving.is_empty()
            }
        };
        if reached {
            yard.air.close_valves(&std::mem::take(&mut self.moving));
            return true;
        }
        if for_s >= at_most_s {
            yard.air.close_valves(&std::mem::take(&mut self.moving));
            let given_up = Refusal::GivenUp { after_s: at_most_s };
            self.note(yard, Told::Order(order.clone()), Some(given_up));
            return true;
        }
        false
    }
}

impl Yard {
    /// What timber bears of what it and air bear of the load, 0 to 1.
    fn share_on_timber(&self) -> f64 {
        TimberAndAir::at(&self.scene, self.parts(), &self.snapshot).share_on_timber()
    }

    /// Carries out an order, or says why not and changes nothing.
    fn carry_out(&mut self, order: &Order) -> Result<(), Refusal> {
        match order {
            Order::Raise { bags, opening, .. } => self.open_valves(bags, *opening),
            Order::Lower { bags, opening, .. } => self.open_valves(bags, -*opening),
            Order::Stop { bags } => {
                self.air.close_valves(bags);
                Ok(())
            }
            Order::LockOut { bags } => {
                self.air.close_valves(bags);
                bags.iter().for_each(|&bag| self.air.bags[bag].locked_out = true);
                Ok(())
            }
            Order::Unlock { bags } => {
                bags.iter().for_each(|&bag| self.air.bags[bag].locked_out = false);
                Ok(())
            }
            Order::MoveHose { outlet, from, to } => self.move_hose(*outlet, *from, *to),
            Order::Capture { captures } => self.capture(captures),
            Order::SetChocks { chocks } => {
                if let Some(&chock) = chocks.iter().find(|&&c| self.chock_is_set(c)) {
                    return Err(Refusal::ChockSet { chock });
                }
                chocks.iter().for_each(|&chock| self.set_chock(chock));
                Ok(())
            }
            Order::Wait { .. } => Ok(()),
        }
    }

    fn open_valves(&mut self, bags: &[usize], opening: f64) -> Result<(), Refusal> {
        let scene = self.scene.clone();
        let mut outlets = Vec::new();
        for &bag in bags {
            if self.air.bags[bag].locked_out {
                return Err(Refusal::LockedOut { bag });
            }
            let outlet = self.air.outlet_of(bag).ok_or(Refusal::NoHose { bag })?;
            if self.air.outlets[outlet].burst {
                return Err(Refusal::HoseBurst { outlet, bag });
            }
            outlets.push(outlet);
        }
        for outlet in outlets {
            // A valve opens no further than its own limit.
            self.air.turn_valve(outlet, opening * scene.air.outlets[outlet].opening);
        }
        Ok(())
    }

    /// Takes a hose off a bag, of a Y the first that it leads to where none is named, and puts
    /// it on another. A bag that it leaves open lets its air out from then on.
    fn move_hose(&mut self, outlet: usize, from: Option<usize>, to: usize) -> Result<(), Refusal> {
        if let Some(taken) = self.air.outlet_of(to) {
            return Err(Refusal::HoseTaken { outlet: taken, bag: to });
        }
        let legs = &mut self.air.outlets[outlet].legs;
        let leg = match from {
            Some(bag) => legs.iter().position(|&leg| leg == bag),
            None => Some(0),
        };
        let leg = leg.ok_or(Refusal::HoseElsewhere { outlet, bag: from.unwrap_or(to) })?;
        legs[leg] = to;
        self.air.turn_valve(outlet, 0.0);
        Ok(())
    }

    fn capture(&mut self, captures: &[usize]) -> Result<(), Refusal> {
        let mut plans = Vec::new();
        for &capture in captures {
            let load_n = self.snapshot.captures[capture].load_n;
            if load_n > UNLOADED_N {
                return Err(Refusal::CaptureLoaded { capture, load_n });
            }
            plans.push((capture, self.plan_capture(capture)?));
        }
        for (capture, layers) in plans {
            self.raise_capture(capture, layers);
        }
        Ok(())
    }
}

//! Laws protected, for set-ups that nobody laid out: no state is broken, what holds the vehicle
//! up sums to its weight, and no energy comes from nowhere. A short run over fixed numbers is
//! part of the usual tests; [`crate::reliability`] does the long one.

use crate::energy::EnergyBook;
use crate::set_ups::set_up;
use inchwise::lift::Lift;
use inchwise::scene::tree::Node;
use inchwise::scene::{self, Cause, Scene};
use inchwise::snapshot::{Snapshot, bearings};
use inchwise::watch::Watch;
use inchwise::world::{Crew, Member, Yard};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

/// How long each lift is played at most, s.
const AT_MOST_S: f64 = 40.0;
/// Loads and energy are looked at once in so many ticks, loads as their mean since the last look:
/// the engine tells the friction of the last part of a step only.
const TICKS_PER_LOOK: u32 = 6;
/// The engine tells the loads of the last part of a tick. Where something moves faster than this,
/// m/s, a blow may be over by then: its loss is not booked, and the sum of the loads is told
/// apart.
const FAST_M_S: f64 = 0.1;
/// The bar of every scene's upright loads, as a share of the weight, while nothing moves fast.
const LOADS_BAR: f64 = 0.01;
/// The bar of the energy that is there above what came in, as a share of what was turned over.
const ENERGY_BAR: f64 = 0.03;
/// What is turned over counts as no less than this, J: a vehicle of 1400 kg moved by 4 mm.
const LEAST_TURNED_OVER_J: f64 = 50.0;

/// What came of one set-up.
#[derive(Default)]
pub struct Soaked {
    /// It cannot begin: parts overlap, or the vehicle does not lie still.
    pub refused: bool,
    pub simulated_s: f64,
    /// What went wrong in the lift, in the order of cause.
    pub causes: Vec<Cause>,
    /// The worst share of the weight by which loads and weight differ, and when, s: while nothing
    /// moves fast, and while something does.
    pub loads_off: (f64, f64),
    pub loads_off_fast: (f64, f64),
    /// The largest share of the energy turned over that came from nowhere, and when, s.
    pub energy_over: (f64, f64),
    pub broken: bool,
}

fn is_fast(member: &Member) -> bool {
    member.velocity.iter().map(|v| v * v).sum::<f64>() > FAST_M_S * FAST_M_S
}

fn worse(worst: &mut (f64, f64), share: f64, t_s: f64) {
    if share > worst.0 {
        *worst = (share, t_s);
    }
}

/// How far the sum of all that holds the vehicle up is from its weight and what accelerates it.
fn loads_off(scene: &Scene, yard: &Yard) -> f64 {
    let now = &yard.snapshot;
    let up_n: f64 = bearings(scene, yard.parts(), now).iter().map(|bearing| bearing.up_n).sum();
    let (weight_n, inertia_n) = (now.vehicle.weight_n, now.vehicle.inertia_n);
    (up_n - inertia_n - weight_n) / weight_n
}

/// The balance of energy so far, and the most that was turned over.
#[derive(Default)]
struct Balance {
    book: EnergyBook,
    least_height_j: f64,
    most_height_j: f64,
}

impl Balance {
    /// One tick; whether anything moved fast in it.
    fn follow(&mut self, before: (&Snapshot, &[Member]), yard: &Yard, scene: &Scene) -> bool {
        let (snapshot, before) = before;
        let members = yard.members();
        self.book.bodies(before, &members, yard.gravity());
        self.book.bags(scene, snapshot, &yard.snapshot);
        self.book.straps(snapshot, &yard.snapshot);
        let fast = before.iter().chain(&members).any(is_fast);
        if !yard.snapshot.asleep {
            let contacts_j = self.book.contacts;
            self.book.loads(yard.parts(), snapshot, &yard.snapshot);
            if fast {
                self.book.contacts = contacts_j;
            }
        }
        self.least_height_j = self.least_height_j.min(self.book.height);
        self.most_height_j = self.most_height_j.max(self.book.height);
        fast
    }

    /// Energy that is there, or is accounted for as lost, above the work of the gas; as a share
    /// of the work, or of what went up or came down where that is more.
    fn over(&self) -> f64 {
        let turned_over_j = self.book.gas.abs().max(self.most_height_j - self.least_height_j);
        (self.book.sum() - self.book.gas) / turned_over_j.max(LEAST_TURNED_OVER_J)
    }
}

/// Plays one set-up's orders.
pub fn soaked(scene: &Arc<Scene>) -> Soaked {
    let mut soaked = Soaked::default();
    let lift = Lift::new(scene.clone());
    if lift.impossible().is_some() || !lift.settling().is_still(scene) {
        soaked.refused = true;
        return soaked;
    }
    let mut yard = Yard::new(scene.clone());
    let mut crew = Crew::new(scene.orders.clone());
    let before = (yard.settling(), yard.placed());
    let mut watch = Watch::new(scene, yard.parts(), before, &yard.snapshot);
    let mut balance = Balance::default();
    let (mut ticks, mut off, mut fast) = (0, 0.0, false);
    while !crew.done() && yard.t_s() < AT_MOST_S && !yard.broken() {
        crew.advance(&mut yard);
        let (snapshot, members) = (yard.snapshot.clone(), yard.members());
        yard.tick();
        ticks += 1;
        watch.observe(yard.parts(), &yard.snapshot);
        fast |= balance.follow((&snapshot, &members), &yard, scene);
        off += loads_off(scene, &yard) / f64::from(TICKS_PER_LOOK);
        if ticks % TICKS_PER_LOOK == 0 {
            let t_s = yard.t_s();
            let of = if std::mem::take(&mut fast) { &mut soaked.loads_off_fast } else { &mut soaked.loads_off };
            worse(of, std::mem::take(&mut off).abs(), t_s);
            worse(&mut soaked.energy_over, balance.over(), t_s);
        }
    }
    soaked.simulated_s = yard.t_s();
    soaked.causes = watch.findings().iter().map(|finding| finding.cause()).collect();
    soaked.broken = yard.broken();
    soaked
}

fn scene_of(doc: &Node) -> Arc<Scene> {
    Arc::new(scene::scene_from_tree(doc).expect("it breaks no rule"))
}

/// As [`soaked`], by the set-up's number, and what is wrong with what came out.
pub fn tried(number: u64) -> (Soaked, Option<String>) {
    let done = catch_unwind(AssertUnwindSafe(|| soaked(&scene_of(&set_up(number)))));
    let Ok(soaked) = done else { return (Soaked::default(), Some("it panicked".to_owned())) };
    let (loads, energy) = (soaked.loads_off, soaked.energy_over);
    let wrong = if soaked.broken {
        Some("a state that is not finite".to_owned())
    } else if loads.0 > LOADS_BAR {
        Some(format!("{:.3} of the weight is missing at {:.2} s", loads.0, loads.1))
    } else if energy.0 > ENERGY_BAR {
        Some(format!("{:.3} of the energy comes from nowhere at {:.2} s", energy.0, energy.1))
    } else {
        None
    };
    (soaked, wrong)
}

#[test]
#[ignore = "tells what each of many set-ups does"]
fn survey() {
    let count = std::env::var("INCHWISE_SETUPS").map_or(100, |text| text.parse().unwrap());
    let first = std::env::var("INCHWISE_FIRST").map_or(0, |text| text.parse().unwrap());
    let numbers: Vec<u64> = (first..first + count).collect();
    let none = &mut |_: &_| Ok::<_, inchwise::parallel::ThreadsError>(());
    let one = |number: &u64| {
        let begun = std::time::Instant::now();
        let doc = set_up(*number);
        let scene = scene_of(&doc);
        let (soaked, wrong) = tried(*number);
        println!(
            "{number} refused {} {:.1} s, loads {:.4} {:.4} energy {:.3}, {:?} {wrong:?}; {} stacks {} bags {} beam {} captures {} straps {} struts; {} orders; all {:.1?}",
            soaked.refused, soaked.simulated_s, soaked.loads_off.0, soaked.loads_off_fast.0, soaked.energy_over.0, soaked.causes,
            scene.stacks.len(), scene.bags.len(), scene.beam.iter().count(), scene.captures.len(), scene.straps.len(), scene.struts.len(), scene.orders.len(), begun.elapsed()
        );
        if wrong.is_some() {
            std::fs::write(format!("/tmp/kit/s{number}.ron"), scene::text_of(&doc, std::path::Path::new("s.ron"))).unwrap();
        }
    };
    inchwise::parallel::each(&numbers, inchwise::parallel::cores(), one, none).unwrap();
}

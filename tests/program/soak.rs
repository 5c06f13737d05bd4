//! Laws protected, for set-ups that nobody laid out: no state is broken, what holds the vehicle
//! up sums to its weight, and no energy comes from nowhere. A short run over fixed numbers is
//! part of the usual tests; [`crate::reliability`] does the long one.

use crate::energy::EnergyBook;
use crate::set_ups::set_up;
use inchwise::lift::{Lift, PlayOptions};
use inchwise::scene::tree::Node;
use inchwise::scene::{self, Cause, Scene};
use inchwise::snapshot::{Snapshot, bearings};
use inchwise::watch::Watch;
use inchwise::world::{Crew, Member, Yard};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
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
    /// moves fast and nothing has gone wrong, and otherwise.
    pub loads_off: (f64, f64),
    pub loads_off_later: (f64, f64),
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
    let mut yard = Yard::new(scene.clone());
    let lift = Lift::on_settled_yard(yard.clone());
    if lift.impossible().is_some() || !lift.settling().is_still(scene) {
        soaked.refused = true;
        return soaked;
    }
    let mut crew = Crew::new(scene.orders.clone());
    let before = (yard.settling(), yard.placed());
    let mut watch = Watch::new(scene, yard.parts(), before, &yard.snapshot);
    let (mut balance, mut offs) = (Balance::default(), Vec::new());
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
            offs.push((std::mem::take(&mut off).abs(), t_s, std::mem::take(&mut fast)));
            worse(&mut soaked.energy_over, balance.over(), t_s);
        }
    }
    // What goes wrong is found some time after it began.
    let began_s = watch.findings().first().map_or(f64::INFINITY, |finding| finding.began_s);
    for (off, t_s, fast) in offs {
        let calm = t_s < began_s && !fast;
        worse(if calm { &mut soaked.loads_off } else { &mut soaked.loads_off_later }, off, t_s);
    }
    soaked.simulated_s = yard.t_s();
    soaked.causes = watch.findings().iter().map(|finding| finding.cause()).collect();
    soaked.broken = yard.broken();
    soaked
}

/// As [`soaked`], and what is wrong with what came out.
fn judged(doc: &Node) -> (Soaked, Option<String>) {
    let scene = Arc::new(scene::scene_from_tree(doc).expect("it breaks no rule"));
    let done = catch_unwind(AssertUnwindSafe(|| soaked(&scene)));
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

/// What came of many set-ups.
#[derive(Default)]
pub struct Sum {
    pub refused: u64,
    pub simulated_s: f64,
    pub causes: BTreeMap<String, u64>,
    pub loads_off: f64,
    pub loads_off_later: f64,
    pub energy_over: f64,
    pub findings: Vec<(u64, String)>,
}

/// Plays set-ups by their numbers. One that breaks a law is kept in `tests/corpus/set_ups`.
pub fn tried(numbers: Range<u64>, threads: usize) -> Sum {
    let all: Vec<u64> = numbers.collect();
    let work = |number: &u64| {
        let doc = set_up(*number);
        let (soaked, wrong) = judged(&doc);
        (*number, doc, soaked, wrong)
    };
    let mut sum = Sum::default();
    let none: Result<_, inchwise::parallel::ThreadsError> =
        inchwise::parallel::each(&all, threads, work, &mut |(number, doc, soaked, wrong)| {
            sum.refused += u64::from(soaked.refused);
            sum.simulated_s += soaked.simulated_s;
            let causes: BTreeSet<Cause> = soaked.causes.iter().copied().collect();
            for cause in causes {
                *sum.causes.entry(cause.word().to_owned()).or_default() += 1;
            }
            sum.loads_off = sum.loads_off.max(soaked.loads_off.0);
            sum.loads_off_later = sum.loads_off_later.max(soaked.loads_off_later.0);
            sum.energy_over = sum.energy_over.max(soaked.energy_over.0);
            if let Some(why) = wrong {
                let kept = corpus().join(format!("{number}.ron"));
                std::fs::write(&kept, scene::text_of(doc, &kept)).expect("the corpus is there");
                sum.findings.push((*number, why.clone()));
            }
            Ok(())
        });
    none.expect("the threads start");
    sum
}

fn corpus() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/corpus/set_ups")
}

/// The short run: the same set-ups each time, and those that once broke a law.
#[test]
fn random_set_ups_keep_the_laws() {
    let sum = tried(0..24, 2);
    println!("{:?}, refused {}", sum.causes, sum.refused);
    assert!(sum.findings.is_empty(), "{:#?}", sum.findings);
    assert!(sum.refused < 6 && sum.simulated_s > 120.0, "most of them are lifts");
    assert!(sum.loads_off > 0.0 && sum.loads_off_later > 0.0, "the loads were looked at");
    let files = std::fs::read_dir(corpus()).unwrap().map(|entry| entry.unwrap().path());
    let wrong = files.filter_map(|path| {
        let doc = scene::tree_of_file(&path).unwrap_or_else(|p| panic!("{p:#?}"));
        Some(format!("{}: {}", path.display(), judged(&doc).1?))
    });
    assert_eq!(wrong.collect::<Vec<_>>(), Vec::<String>::new());
}

/// What the program holds in memory, bytes, and the most that it has held.
#[cfg(target_os = "linux")]
fn memory_bytes() -> [u64; 2] {
    let status = std::fs::read_to_string("/proc/self/status").expect("Linux tells");
    ["VmRSS:", "VmHWM:"].map(|key| {
        let line = status.lines().find_map(|line| line.strip_prefix(key)).expect("a line");
        let kilobytes = line.trim().trim_end_matches(" kB").trim();
        1024 * kilobytes.parse::<u64>().expect("a number")
    })
}

/// An hour of one lift, up and down: the most memory held by half an hour and by the end, bytes.
#[cfg(target_os = "linux")]
pub fn hour() -> [u64; 2] {
    let up =
        "(raise: [\"left lower\", \"right lower\"], opening: \"20 %\", until: (rise: \"40 mm\"))";
    let down =
        "(lower: [\"left lower\", \"right lower\"], opening: \"20 %\", until: (for: \"60 s\"))";
    let rest = "(wait: (for: \"80 s\"))";
    let orders = [up, rest, down, rest].join(", ").repeat(16).replace(")(", "), (");
    // So often up and down, the vehicle creeps past what counts as a slide.
    let changes = [format!("orders=[{orders}]"), "on_failure=let run".to_owned()];
    let loaded = scene::load("beam-lift", &changes).unwrap_or_else(|p| panic!("{p:#?}"));
    let scene = Arc::new(loaded.scene);
    let options = PlayOptions { at_most_s: 3600.0, ..PlayOptions::default() };
    let mut half = 0;
    let played = inchwise::lift::play(scene, &options, &mut |t_s, _| {
        if t_s < 1800.0 {
            half = memory_bytes()[1];
        }
    });
    assert!(played.sim_s > 3500.0, "{} s: {:?}", played.sim_s, played.findings);
    [half, memory_bytes()[1]]
}

#[cfg(target_os = "linux")]
#[test]
#[ignore = "tells the memory of an hour of lift"]
fn memory() {
    println!("{:?}", hour());
}

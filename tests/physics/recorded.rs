//! Whole lifts, recorded tick by tick. A shipped lift is played once for all tests that look at
//! every tick of it.

use inchwise::scene::{self, Scene};
use inchwise::snapshot::{Part, PartId, PartKind, Snapshot};
use inchwise::world::engine::Engine;
use inchwise::world::{Crew, Member, Yard};
use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, OnceLock};

/// The engine is kept once in this many ticks.
pub const TICKS_PER_ENGINE: usize = 300;

/// A tick of a lift.
pub struct Tick {
    /// As the tick left it.
    pub snapshot: Snapshot,
    pub members: Vec<Member>,
    /// Between the crew's work and the tick, where that work moved any that were there.
    moved: Option<Vec<Member>>,
    /// As the tick left it, once in [`TICKS_PER_ENGINE`].
    pub engine: Option<Engine>,
}

/// A lift from the first order to the end of the last.
pub struct Recording {
    pub scene: Arc<Scene>,
    /// As they were at the end; what each is never changes.
    pub parts: Vec<Part>,
    /// m/s2.
    pub gravity: [f64; 3],
    /// Before the orders.
    pub start: Snapshot,
    start_members: Vec<Member>,
    pub ticks: Vec<Tick>,
}

impl Recording {
    /// Plays a scene's orders, for that long at most, s.
    pub fn of(scene: Scene, at_most_s: f64) -> Self {
        let scene = Arc::new(scene);
        let mut yard = Yard::new(scene.clone());
        let mut crew = Crew::new(scene.orders.clone());
        let (start, start_members) = (yard.snapshot.clone(), yard.members());
        let mut ticks: Vec<Tick> = Vec::new();
        while !crew.done() && yard.t_s() < at_most_s {
            crew.advance(&mut yard);
            let worked = yard.members();
            let last = ticks.last().map_or(&start_members, |tick| &tick.members);
            let moved = !same_places(last, &worked);
            yard.tick();
            let keep_engine = (ticks.len() + 1).is_multiple_of(TICKS_PER_ENGINE);
            ticks.push(Tick {
                snapshot: yard.snapshot.clone(),
                members: yard.members(),
                moved: moved.then_some(worked),
                engine: keep_engine.then(|| yard.engine().clone()),
            });
        }
        let (parts, gravity) = (yard.parts().to_vec(), yard.gravity());
        Self { scene, parts, gravity, start, start_members, ticks }
    }

    pub fn kind(&self, part: PartId) -> PartKind {
        self.parts[part].kind
    }

    /// The vehicle or sheet metal on it.
    pub fn is_vehicle(&self, part: PartId) -> bool {
        self.kind(part).is_vehicle()
    }

    /// Each tick behind what was measured before it, and the members as the crew's work left
    /// them.
    pub fn steps(&self) -> impl Iterator<Item = (&Snapshot, &[Member], &Tick)> {
        let before = self.ticks.iter().map(|tick| (&tick.snapshot, &tick.members));
        let before = std::iter::once((&self.start, &self.start_members)).chain(before);
        before.zip(&self.ticks).map(|((snapshot, members), tick)| {
            (snapshot, tick.moved.as_ref().unwrap_or(members).as_slice(), tick)
        })
    }
}

/// Whether the same parts are where they were, as fast as they were.
fn same_places(one: &[Member], other: &[Member]) -> bool {
    let same =
        |(a, b): (&Member, &Member)| (a.part, a.com, a.kinetic_j) == (b.part, b.com, b.kinetic_j);
    one.len() == other.len() && one.iter().zip(other).all(same)
}

/// Whether a valve lets air out: a lift that is on its way down.
pub fn lets_down(now: &Snapshot) -> bool {
    now.outlets.iter().any(|outlet| outlet.opening < 0.0)
}

type Slot = Arc<OnceLock<Arc<Recording>>>;

static RECORDED: LazyLock<Mutex<HashMap<String, Slot>>> = LazyLock::new(Mutex::default);

/// A shipped lift with some changes, played afresh.
pub fn changed(name: &str, sets: &[&str], at_most_s: f64) -> Recording {
    let sets: Vec<String> = sets.iter().map(|set| (*set).to_owned()).collect();
    let loaded = scene::load(name, &sets).unwrap_or_else(|p| panic!("{name} {sets:?}: {p:#?}"));
    Recording::of(loaded.scene, at_most_s)
}

/// A shipped lift, played once.
pub fn shipped(name: &str) -> Arc<Recording> {
    let slot =
        RECORDED.lock().expect("no test panics here").entry(name.to_owned()).or_default().clone();
    // Outside the lock, so that other lifts are played meanwhile.
    slot.get_or_init(|| Arc::new(changed(name, &[], f64::INFINITY))).clone()
}

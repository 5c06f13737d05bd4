//! Whatever a scene may legally say, the world plays it without a panic: every field of
//! the shipped scenes is pushed towards the ends of its range, one at a time, and every
//! scene that still loads is laid down, settled and lifted for a moment.

use crate::laid::{laid, lying};
use inchwise::lift::Lift;
use inchwise::scene::tree::{Node, Place, Value};
use inchwise::scene::{Scene, builtin_names, load, scene_from_tree, tree_of};
use inchwise::units::UnitSystem;
use inchwise::world::Yard;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, LazyLock};

/// How long each scene is lifted, ticks.
const TICKS: usize = 20;
/// Text fields that only words are made of.
const WORDS: [&str; 6] = ["name", "group", "teaches", "data", "expect.outcome", "expect.cause"];

/// What a value is multiplied by. The rules refuse most of what the largest make.
const FACTORS: [f64; 7] = [-1.0, 0.0, 0.02, 0.3, 3.0, 20.0, 1000.0];

/// How a value is pushed: its factor's place among [`FACTORS`], and its unit. A flag is switched
/// on or off, which are two.
type Push = (usize, String);

/// A value made smaller and larger, as far as it is one that has a size, and how large each is.
fn pushed(value: &Value) -> Vec<(Push, f64, Value)> {
    let times = |n: f64, unit: &str, write: &dyn Fn(f64) -> Value| {
        let by = |(i, f): (usize, &f64)| ((i, unit.to_owned()), n * f, write(n * f));
        FACTORS.iter().enumerate().map(by).collect()
    };
    match value {
        Value::Number(n) => times(*n, "", &|n| Value::Number(n.round())),
        Value::Flag(b) => vec![((usize::from(*b), String::new()), 0.0, Value::Flag(!b))],
        Value::Text(text) => {
            let end = text.find(' ').unwrap_or(text.len());
            let (number, unit) = text.split_at(end);
            let Ok(n) = number.parse() else { return Vec::new() };
            times(n, unit, &|n| Value::Text(format!("{n}{unit}")))
        }
        _ => Vec::new(),
    }
}

struct Shipped {
    name: String,
    doc: Node,
    /// How many it has.
    fields: usize,
}

static SHELF: LazyLock<Vec<Shipped>> = LazyLock::new(|| {
    let shipped = |name: String| {
        let doc = tree_of(&name, &[]).expect("a shipped scene is good");
        Shipped { name, fields: doc.leaf_paths().len(), doc }
    };
    builtin_names().into_iter().map(shipped).collect()
});

/// A shipped scene with one value pushed.
struct Pushed {
    from: &'static Shipped,
    path: String,
    value: Value,
    /// How far from where it was that takes it: how large it is, or how small.
    far: f64,
}

impl Pushed {
    /// The scene, where that may be said.
    fn legal(self) -> Option<Legal> {
        let mut doc = self.from.doc.clone();
        let node = Node { place: Place::Change("pushed".into()), value: self.value.clone() };
        doc.set(&self.path, node).expect("the path is the document's own");
        let scene = Arc::new(scene_from_tree(&doc).ok()?);
        Some(Legal { pushed: self, doc, scene })
    }
}

/// A pushed value that may be said.
struct Legal {
    pushed: Pushed,
    doc: Node,
    scene: Arc<Scene>,
}

/// Every pushed value that is played, in the order of fields. Scenes of the shelf have much in
/// common: a field is pushed by a factor in one of them, the one where that goes farthest and may
/// be said, a vehicle's own fields in each way that it lies. In the others it stays nearer to what
/// the lessons themselves play.
static FARTHEST: LazyLock<Vec<Legal>> = LazyLock::new(|| {
    let mut all: BTreeMap<(String, String, Push), Vec<Pushed>> = BTreeMap::new();
    for from in SHELF.iter() {
        let lies = from.doc.get("lies").map_or(String::new(), |lies| lies.value.noun());
        for path in from.doc.leaf_paths() {
            if WORDS.contains(&path.as_str()) || path.starts_with("orders.") {
                continue;
            }
            for (push, size, value) in pushed(&leaf(&from.doc, &path).value) {
                let far = if FACTORS[push.0].abs() < 1.0 { -size.abs() } else { size.abs() };
                let lies = if path.starts_with("vehicle.") { &*lies } else { "" };
                let one = Pushed { from, path: path.clone(), value, far };
                all.entry((lies.to_owned(), path.clone(), push)).or_default().push(one);
            }
        }
    }
    all.into_values().filter_map(farthest_legal).collect()
});

/// Of the same push in several scenes the farthest that may be said; of equals the one in the
/// smallest scene, which has the fewest timbers to come to rest.
fn farthest_legal(mut pushes: Vec<Pushed>) -> Option<Legal> {
    pushes.sort_by(|a, b| b.far.total_cmp(&a.far).then(a.from.fields.cmp(&b.from.fields)));
    pushes.into_iter().find_map(Pushed::legal)
}

/// Plays every `step`-th changed scene, from the `first` on; returns how many.
fn play_pushed(first: usize, step: usize) -> usize {
    let mut played = 0;
    for Legal { pushed, doc, scene } in FARTHEST.iter().skip(first).step_by(step) {
        played += 1;
        let good = &pushed.from.doc;
        let done = catch_unwind(AssertUnwindSafe(|| {
            let yard = if lying(doc) == lying(good) {
                laid(good, &Arc::new(scene_from_tree(good).expect("a shipped scene is good")))
            } else {
                Yard::vehicle_settled(scene.clone())
            };
            let mut lift = Lift::on_settled_vehicle(yard, scene.clone());
            for _ in 0..TICKS {
                lift.tick();
            }
            assert!(!lift.broken(), "a body's state is no longer a number");
        }));
        let Pushed { from, path, value, .. } = pushed;
        assert!(done.is_ok(), "{}: {path} = {}: the world broke", from.name, value.noun());
    }
    played
}

fn leaf<'a>(doc: &'a Node, path: &str) -> &'a Node {
    path.split('.').fold(doc, |node, part| match &node.value {
        Value::List(items) => &items[part.parse::<usize>().expect("an index")],
        _ => node.get(part).expect("a field"),
    })
}

#[test]
fn every_legal_value_can_be_played_first_half() {
    assert!(play_pushed(0, 2) > 100);
}

#[test]
fn every_legal_value_can_be_played_second_half() {
    assert!(play_pushed(1, 2) > 100);
}

/// A beam where the opening grows too low for it is wedged between the vehicle and what it
/// lies on: contacts of hundreds of kilonewtons, tens of the vehicle's weights. The start says so,
/// and playing on from it, raising too, gives nothing but numbers. A hand's breadth beside
/// it, where the beam is free, nothing is told.
#[test]
fn a_beam_jammed_in_its_opening_is_told_and_stays_numbers() {
    for (at, timber, jammed) in
        [("-0.61 m", "6x6", true), ("-0.60 m", "6x6", true), ("-0.45 m", "4x6", false)]
    {
        let sets = [format!("beam.at.0=\"{at}\""), format!("beam.timber=\"{timber}\"")];
        let scene = Arc::new(load("beam-lift", &sets).expect("it may be said").scene);
        let mut lift = Lift::new(scene);
        let most_n = |lift: &Lift| {
            let of = |force: [f64; 3]| force.iter().map(|n| n * n).sum::<f64>().sqrt();
            lift.snapshot().loads.iter().map(|load| of(load.force)).fold(0.0, f64::max)
        };
        let told = lift.impossible().map(|why| why.say(UnitSystem::Si));
        assert_eq!(told.is_some(), jammed, "{timber} at {at}: {told:?}");
        assert_eq!(most_n(&lift) > 2e5, jammed, "{timber} at {at}: {} N", most_n(&lift));
        let names = |why: &str| ["beam", "shim"].iter().any(|part| why.contains(part));
        let says_how = |why: &str| ["jam with", "overlap by"].iter().any(|how| why.contains(how));
        assert!(told.is_none_or(|why| names(&why) && says_how(&why)));
        for _ in 0..600 {
            lift.tick();
            let now = lift.snapshot();
            assert!(!lift.broken() && most_n(&lift).is_finite(), "{timber} at {at}, {}", now.t_s);
            let poses = now.poses.iter();
            assert!(poses.flat_map(|p| p.position).all(f32::is_finite), "{timber} at {at}");
            assert!(now.rise_m.is_finite() && now.limbs.iter().all(|l| l.load_n.is_finite()));
        }
        assert!(lift.findings().iter().all(|f| f.place.iter().all(|p| p.is_finite())));
    }
}

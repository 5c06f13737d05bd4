//! Whatever a scene may legally say, the world plays it without a panic: every field of
//! the shipped scenes is pushed towards the ends of its range, one at a time, and every
//! scene that still loads is laid down, settled and lifted for a moment.

use crate::laid::{laid, lying};
use inchwise::lift::Lift;
use inchwise::scene::tree::{Node, Place, Value};
use inchwise::scene::{builtin_names, load, scene_from_tree, tree_of};
use inchwise::units::UnitSystem;
use inchwise::world::Yard;
use std::collections::HashSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;

/// How long each scene is lifted, ticks.
const TICKS: usize = 20;
/// Text fields that only words are made of.
const WORDS: [&str; 6] = ["name", "group", "teaches", "data", "expect.outcome", "expect.cause"];

/// A value made smaller and larger, as far as it is one that has a size.
fn pushed(value: &Value) -> Vec<Value> {
    const FACTORS: [f64; 7] = [-1.0, 0.0, 0.02, 0.3, 3.0, 20.0, 1000.0];
    match value {
        Value::Number(n) => FACTORS.iter().map(|f| Value::Number((n * f).round())).collect(),
        Value::Flag(b) => vec![Value::Flag(!b)],
        Value::Text(text) => {
            let end = text.find(' ').unwrap_or(text.len());
            let (number, unit) = text.split_at(end);
            number.parse::<f64>().map_or_else(
                |_| Vec::new(),
                |n| FACTORS.iter().map(|f| Value::Text(format!("{}{unit}", n * f))).collect(),
            )
        }
        _ => Vec::new(),
    }
}

/// Plays every `step`-th changed scene, from the `first` on; returns how many. Scenes of the
/// shelf have much in common: a field of a vehicle is pushed to a value once.
fn play_pushed(first: usize, step: usize) -> usize {
    let (mut seen, mut played) = (HashSet::new(), 0);
    for name in builtin_names() {
        let good = tree_of(&name, &[]).expect("a shipped scene is good");
        let written = Arc::new(scene_from_tree(&good).expect("a shipped scene is good"));
        let lies = lying(&good);
        let on = good.get("vehicle").map_or(String::new(), |vehicle| vehicle.value.noun());
        for path in good.leaf_paths() {
            let mut doc = good.clone();
            if WORDS.contains(&path.as_str()) || path.starts_with("orders.") {
                continue;
            }
            let value = leaf(&good, &path).value.clone();
            for value in pushed(&value) {
                let shown = format!("{name}: {path} = {}", value.noun());
                if !seen.insert(format!("{on}: {path} = {}", value.noun())) {
                    continue;
                }
                if seen.len() % step != first {
                    continue;
                }
                let node = Node { place: Place::Change("pushed".into()), value };
                doc.set(&path, node).expect("the path is the document's own");
                let Ok(scene) = scene_from_tree(&doc) else { continue };
                played += 1;
                let done = catch_unwind(AssertUnwindSafe(|| {
                    let scene = Arc::new(scene);
                    let yard = if lying(&doc) == lies {
                        laid(&good, &written)
                    } else {
                        Yard::vehicle_settled(scene.clone())
                    };
                    let mut lift = Lift::on_settled_vehicle(yard, scene);
                    for _ in 0..TICKS {
                        lift.tick();
                    }
                    assert!(!lift.broken(), "a body's state is no longer a number");
                }));
                assert!(done.is_ok(), "{shown}: the world broke");
            }
        }
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
        assert!(told.is_none_or(|why| names(&why) && why.contains("jammed")));
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

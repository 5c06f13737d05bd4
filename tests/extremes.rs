//! Whatever a scene may legally say, the world plays it without a panic: every field of
//! the shipped scenes is pushed towards the ends of its range, one at a time, and every
//! scene that still loads is laid down, settled and lifted for a moment.

use inchwise::lift::Lift;
use inchwise::scene::doc::{Node, Place, Value};
use inchwise::scene::{builtin_names, doc_of, scene_from_doc};
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
        let good = doc_of(&name, &[]).expect("a shipped scene is good");
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
                let node = Node { place: Place::Set("pushed".into()), value };
                doc.set(&path, node).expect("the path is the document's own");
                let Ok(scene) = scene_from_doc(&doc) else { continue };
                played += 1;
                let done = catch_unwind(AssertUnwindSafe(|| {
                    let mut lift = Lift::new(Arc::new(scene));
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

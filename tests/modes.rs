//! What yields and breaks, in whole lifts: each mode with a lift that it ends, one change
//! away a lift that it does not, and the same lift with the mode taken away, so that the
//! mode and nothing else makes the difference. What ought to happen is common practice, no
//! source: spread the load on soft ground.

use inchwise::debrief::{Debrief, Keep, play};
use inchwise::scene::{self, Cause, Outcome};
use inchwise::units::System;
use std::sync::Arc;

fn played(name: &str, sets: &[&str]) -> Debrief {
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    let loaded = scene::load(name, &sets).unwrap_or_else(|problems| {
        panic!("{name} {sets:?}: {}", problems.iter().map(|p| format!("\n{p}")).collect::<String>())
    });
    play(Arc::new(loaded.scene), System::Si, Keep::Nothing, &mut |_, _| {})
}

fn ends(name: &str, sets: &[&str], outcome: Outcome, cause: Option<Cause>) -> Debrief {
    let debrief = played(name, sets);
    let text = debrief.text();
    assert_eq!((debrief.outcome, debrief.cause), (outcome, cause), "{sets:?}\n{text}");
    debrief
}

const MUD: &str = "ground=(surface: \"grass\", soil: \"mud\")";

/// The tail stack comes down on 0.163 m2 of timber; mud bears (2 + pi) 6 kPa, which is 5 kN.
#[test]
fn on_mud_a_stack_sinks_and_a_sole_plate_holds_it() {
    let sunk = ends("deck-lid-wedged", &[MUD], Outcome::Failed, Some(Cause::Sink));
    let value = |name| sunk.findings[0].values.iter().find(|(n, _)| *n == name).map(|(_, v)| *v);
    let capacity = (2.0 + std::f64::consts::PI) * 6e3 * 3.0 * 0.0889 * 0.6096;
    assert!(value("capacity_n").is_some_and(|n| (n / capacity - 1.0).abs() < 1e-6));
    // Near miss: a board under the same stack.
    let board = "stacks.tail.sole=(size: [\"900 mm\", \"900 mm\"])";
    let held = ends("deck-lid-wedged", &[MUD, board], Outcome::Lifted, None);
    let base = |debrief: &Debrief| {
        let deepest = |s: &inchwise::snapshot::Snapshot| s.bases[0].deepest_m;
        debrief.history.iter().map(deepest).fold(0.0, f64::max)
    };
    assert!(base(&held) < 0.02 && base(&sunk) > 0.03, "{} {}", base(&held), base(&sunk));
    // Hard ground: the shipped lift, with nothing to sink into.
    let hard = "ground=(surface: \"grass\")";
    let hard = ends("deck-lid-wedged", &[hard], Outcome::Lifted, None);
    assert!(hard.history.iter().all(|s| s.bases.is_empty()));
}

//! Timber crushed across the grain where the timbers of a crib cross.
//!
//! Law: a crossing bears its area times the wood's stress at the proportional limit (Wood
//! Handbook FPL-GTR-190 table 5-3a, in part from memory, not verified: it gives no
//! ultimate across the grain) and keeps what it is pressed in beyond that. Crib ratings:
//! 24,000 lb for four crossings of 4x4 (California State Fire Training, Rescue Systems 1,
//! ch. 30, 2000), which is 500 psi on each.

use crate::common::{Claim, FOUR_M, Unit};
use inchwise::scene;
use inchwise::snapshot::{CrossingState, PartKind};
use inchwise::tables::WOODS;
use inchwise::world::{Crew, Yard};
use std::sync::Arc;

const PSI: f64 = 6894.757;
const LB_N: f64 = 0.453_592_37 * 9.80665;

/// The wedged lift on a stack of two timbers a layer, rotten to a share of green spruce,
/// raised once and let down again.
fn yard(share: &str) -> (Yard, Crew) {
    let sets = [
        "wood=green spruce".to_owned(),
        "stacks=[(name: \"tail\", at: [\"-1.78 m\", \"0 m\"], length: \"24 in\", layers: 8)]"
            .to_owned(),
        format!("stacks.tail.strength={share}"),
        "captures=[]".to_owned(),
        "orders=[(raise: [\"tail lower\"], opening: \"60 %\", until: (rise: \"30 mm\")), \
         (wait: (for: \"1 s\")), (lower: [\"tail lower\"], at_most: \"8 s\", \
         until: (height: \"0 mm\")), (wait: (for: \"3 s\"))]"
            .to_owned(),
    ];
    let Ok(loaded) = scene::load("deck-lid-wedged", &sets) else { panic!("{sets:?} loads") };
    let scene = Arc::new(loaded.scene);
    (Yard::new(scene.clone()), Crew::new(scene.orders.clone()))
}

/// Mean height of the topmost layer, m.
fn top_m(yard: &Yard) -> f64 {
    let tops: Vec<f64> = yard
        .parts()
        .iter()
        .zip(&yard.snapshot.poses)
        .filter(|(p, _)| p.kind == PartKind::StackTimber { stack: 0, layer: 7 })
        .map(|(_, pose)| pose.at()[1])
        .collect();
    tops.iter().sum::<f64>() / tops.len() as f64
}

fn same(a: &CrossingState, b: &CrossingState) -> bool {
    (a.lower, a.upper) == (b.lower, b.upper)
}

#[test]
fn a_crossing_gives_way_at_its_area_times_the_stress_and_keeps_its_set() {
    let mut plateau = Claim {
        id: "crush.plateau",
        claim: "a crossing's set grows only while it bears more than its area times the wood's \
                stress",
        source: "Wood Handbook FPL-GTR-190 table 5-3a, green Engelmann spruce 1.4 MPa (from \
                 memory, not verified), times (3.5 in)^2",
        range: "28 crossings of an eight-layer stack at 8 and 10 % of the wood's strength, each \
                tick of a lift and of letting down; how far off the border the first force that \
                crushed was",
        tolerance: 0.001,
        unit: Unit::Share,
        reason: "the same forces, judged by arithmetic",
    }
    .begin();
    let mut set = Claim {
        id: "crush.set",
        claim: "the stack stays lower by its crossings' sets when the load is off",
        source: "geometry: each layer comes down by the mean set under it",
        range: "the same stack, 8 and 10 %",
        tolerance: 0.05,
        unit: Unit::Share,
        reason: "layers tilt as one side is crushed more, and seat themselves by some tenths of \
                 a millimetre of 9 and more",
    }
    .begin();
    for (text, share) in [("8 %", 0.08), ("10 %", 0.10)] {
        let (mut yard, mut crew) = yard(text);
        let bears = share * 1.4e6 * FOUR_M * FOUR_M;
        let before = top_m(&yard);
        let mut last: Vec<CrossingState> = Vec::new();
        let mut seen: Vec<CrossingState> = Vec::new();
        while !crew.done() {
            crew.advance(&mut yard);
            yard.tick();
            let now = &yard.snapshot.crossings;
            for state in now {
                // What this tick's set grew by was decided by the last tick's force.
                if let Some(then) = last.iter().find(|s| same(s, state))
                    && matches!(yard.parts()[state.lower].kind, PartKind::StackTimber { .. })
                {
                    let grew = state.set_m > then.set_m;
                    let wrong = if grew { bears - then.force_n } else { then.force_n - bears };
                    let at = format!("{text}: {} N, grew {grew}", then.force_n);
                    plateau.residual((wrong / bears).max(0.0), at);
                    match seen.iter_mut().find(|s| same(s, state)) {
                        Some(known) => *known = *state,
                        None => seen.push(*state),
                    }
                }
            }
            last = now.clone();
        }
        let deepest = seen.iter().map(|s| s.set_m).fold(0.0, f64::max);
        assert!(deepest > 1e-3, "{text}: nothing was crushed");
        // Seven joints of four crossings.
        let lost: f64 = seen.iter().map(|s| s.set_m).sum::<f64>() / 4.0;
        set.compare(before - top_m(&yard), lost, text);
    }
    plateau.end();
    set.end();
}

#[test]
fn sound_timber_bears_its_crib_rating() {
    let mut residuals = Claim {
        id: "crush.rating",
        claim: "four crossings of 4x4 at 500 psi carry a two-member crib's rating",
        source: "Rescue Systems 1, ch. 30 (2000): 24,000 lb",
        range: "the crossings of a stack",
        tolerance: 0.025,
        unit: Unit::Share,
        reason: "the rating is rounded: 490 psi by arithmetic",
    }
    .begin();
    let (yard, _) = yard("100 %");
    let of_stack = |s: &&CrossingState| {
        matches!(yard.parts()[s.lower].kind, PartKind::StackTimber { stack: 0, layer: 0 })
    };
    let joint: Vec<_> = yard.snapshot.crossings.iter().filter(of_stack).collect();
    assert_eq!(joint.len(), 4, "two timbers on two");
    let rated = joint.iter().map(|s| s.area_m2).sum::<f64>() * 500.0 * PSI;
    residuals.compare(rated, 24_000.0 * LB_N, "lowest joint");
    residuals.end();
    // Dry Douglas-fir, which the ratings are for, does not crush at them; green spruce
    // does.
    let [dry, .., green_spruce] = WOODS else { panic!("woods") };
    assert!(dry.bearing_pa > 500.0 * PSI && green_spruce.bearing_pa < 500.0 * PSI);
}

//! Timber under the ends of a beam: what each end bears once the bags have let go.
//!
//! Law: moments about the other support, `R = sum F (z - o) / (s - o)` (statics of a beam on two
//! supports; any textbook), with the beam's own weight.
//!
//! The rig: the lift by a beam with timber under both its ends, raised a little, captured, and let
//! down onto the timber.

use crate::common::{Claim, G, Unit};
use inchwise::lift::Lift;
use inchwise::scene::{self, OnFailure, Scene};
use inchwise::snapshot::{PartKind, Snapshot, Support, bearings};
use inchwise::tables::TIMBER_KG_M3;
use std::sync::Arc;

/// Timber so far out under either end, m, and a load in the vehicle that stands so far to the left
/// as it lies.
fn rig(ends_m: [f64; 2], kg: f64, left_m: f64) -> Scene {
    let orders = "orders=[(raise: [\"left lower\", \"right lower\"], opening: \"30 %\", until: (rise: \
                  \"40 mm\")), (capture: [\"left end\", \"right end\"]), (lower: [\"left lower\", \
                  \"right lower\"], until: (for: \"60 s\")), (wait: (for: \"2 s\"))]";
    let [left, right] = ends_m;
    let places = [
        format!("captures.left end.at.1=\"{left} m\""),
        format!("captures.right end.at.1=\"{} m\"", -right),
    ];
    // A beam that is long and strong enough: its ends may differ, and it does not break.
    let beam = ["beam.length=\"16 ft\"", "beam.strength=\"300 %\""];
    let sets = [orders].into_iter().chain(beam).map(str::to_owned);
    let load = format!(
        "faults=[(load: \"{kg} kg\", place: [\"-0.6 m\", \"0.6 m\", \"{} m\"], at: \"0 s\")]",
        -left_m
    );
    let sets: Vec<String> = sets.chain(places).chain([load]).collect();
    scene::load("beam-cribbed", &sets).unwrap_or_else(|p| panic!("{p:#?}")).scene
}

/// The lift to its end.
fn let_down(scene: Scene) -> Lift {
    let mut lift = Lift::new(Arc::new(scene));
    lift.set_on_failure(OnFailure::LetRun);
    while !lift.done() {
        lift.tick();
    }
    lift
}

/// What the beam is pressed down with by all but the timber, N, and its moment about the middle
/// line, N m.
fn on_beam(lift: &Lift, now: &Snapshot) -> [f64; 2] {
    let kind = |part: usize| lift.parts()[part].kind;
    let timber = |kind| matches!(kind, PartKind::CaptureTimber { .. } | PartKind::CaptureWedge(_));
    let mut sums = [0.0; 2];
    for load in &now.loads {
        let Some(by) = load.by else { continue };
        let down_n = match (kind(load.on), kind(by)) {
            (PartKind::Beam, other) if !timber(other) => -load.force[1],
            (other, PartKind::Beam) if !timber(other) => load.force[1],
            _ => continue,
        };
        sums[0] += down_n;
        sums[1] += down_n * load.point[2];
    }
    sums
}

/// What the vehicle presses the beam down with, N.
fn vehicle_on_beam_n(lift: &Lift, now: &Snapshot) -> f64 {
    let beam = Support::all(lift.scene()).iter().position(|s| *s == Support::Beam);
    bearings(lift.scene(), lift.parts(), now)[beam.expect("a beam")].up_n
}

#[test]
fn timber_under_a_beam_bears_by_the_law_of_the_lever() {
    let mut claim = Claim {
        id: "crib.under_beam",
        claim: "timber under either end of a beam bears by the law of the lever",
        source: "moments about the other support, R = sum F (z - o) / (s - o) (statics of a beam on two supports)",
        range: "timber 1.62 to 2.1 m out, as far on either side and not; 50 kg in the middle, 150 kg to a side",
        tolerance: 0.03,
        unit: Unit::Share,
        reason: "the beam bears on two wedges at either end, 0.2 m apart, and not in their middle",
    }
    .begin();
    for (ends_m, kg, left_m) in [
        ([1.64, 1.64], 50.0, 0.0),
        ([1.64, 1.64], 150.0, 0.35),
        ([1.62, 2.1], 50.0, 0.0),
        ([2.1, 1.62], 150.0, -0.35),
    ] {
        let scene = rig(ends_m, kg, left_m);
        let beam = scene.beam.clone().expect("a beam");
        let lift = let_down(scene);
        let now = lift.snapshot();
        let own_n = G * TIMBER_KG_M3 * beam.timber.width_m * beam.timber.height_m * beam.length_m;
        let [down_n, moment_nm] = on_beam(&lift, now);
        let (all_n, moment_nm) = (down_n + own_n, moment_nm + own_n * beam.at[1]);
        let on_timber_n: f64 = now.captures.iter().map(|state| state.load_n).sum();
        let borne_n = vehicle_on_beam_n(&lift, now) + own_n;
        assert!(
            on_timber_n > 0.8 * borne_n && borne_n > 5e3,
            "{ends_m:?}, {kg} kg: timber bears {on_timber_n} N of {borne_n} N: {:?}, {:?}",
            now.captures,
            lift.records()
        );
        let [s, o] = [ends_m[0], -ends_m[1]];
        let left_n = (moment_nm - all_n * o) / (s - o);
        let expected = [left_n, all_n - left_n];
        for (state, (expected_n, end)) in
            now.captures.iter().zip(expected.into_iter().zip(["left", "right"]))
        {
            claim.compare(
                state.load_n,
                expected_n,
                format!("{end}, {ends_m:?}, {kg} kg at {left_m} m"),
            );
        }
        assert_eq!(now.captures.iter().map(|c| c.clearance_m).fold(0.0, f64::max), 0.0);
    }
    claim.end();
}

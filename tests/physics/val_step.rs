//! Step chocks under the sills of a car on its wheels: which step is snug, what it bears, and what
//! friction holds of it.
//!
//! Laws: moments about the other support; Coulomb's friction `F = mu N` (any textbook).
//!
//! The rig: a hatchback on its wheels with a step chock under either sill at two places along it. Its
//! springs are so much softer than timber that what is loaded on later goes to the steps.

use crate::common::{Claim, G, Unit};
use inchwise::scene::{self, Fault, Scene, SlickTarget, StepChock};
use inchwise::snapshot::{Jammed, PartKind, Support, bearings};
use inchwise::tables::Material;
use inchwise::world::{TICK_S, Yard};
use std::sync::Arc;

/// Half the way from one pair to the other, m, and how far the steps' middles are from the middle
/// line, m.
const ALONG_M: f64 = 0.55;
const OUT_M: f64 = 0.78;
const NAMES: [&str; 4] = ["front left", "front right", "rear left", "rear right"];

fn chock(name: &str, rise_m: f64, steps: usize, at: [f64; 2]) -> StepChock {
    let (tread_m, width_m) = (0.12, 0.16);
    StepChock { name: name.into(), at, across: true, rise_m, tread_m, steps, width_m }
}

/// Four step chocks of steps so high, with more changes. Nobody lies there.
fn rig(rise_m: f64, more: &[&str]) -> Scene {
    let bare = [
        "after=x",
        "decides=slide",
        "wedges=[]",
        "bags=[]",
        "stacks=[]",
        "orders=[]",
        "captures=[]",
        "chocks=[]",
        "lashed=none",
    ];
    let sets: Vec<String> = bare.iter().chain(more).map(|set| (*set).to_owned()).collect();
    let mut scene = scene::load("sill-crib", &sets).unwrap_or_else(|p| panic!("{p:#?}")).scene;
    scene.limbs.clear();
    let places = [[1.0, 1.0], [1.0, -1.0], [-1.0, 1.0], [-1.0, -1.0]];
    let set = |(name, [x, z]): (&str, [f64; 2])| chock(name, rise_m, 5, [x * ALONG_M, z * OUT_M]);
    scene.step_chocks = NAMES.into_iter().zip(places).map(set).collect();
    scene
}

fn run(yard: &mut Yard, seconds: f64) {
    for _ in 0..(seconds / TICK_S) as usize {
        yard.tick();
    }
}

/// What the wheels hold up, as moments about the rear pair and about the front one, N m.
fn wheels_nm(scene: &Scene, yard: &Yard) -> [f64; 2] {
    let bearings = bearings(scene, yard.parts(), &yard.snapshot);
    let mut sums = [0.0; 2];
    for (support, bearing) in Support::all(scene).into_iter().zip(bearings) {
        if let (Support::Ground { .. }, Some([x, _])) = (support, bearing.at) {
            sums[0] += bearing.up_n * (ALONG_M + x);
            sums[1] += bearing.up_n * (ALONG_M - x);
        }
    }
    sums
}

/// Sixty millimetres of rise put three steps under a floor of 200 mm and leave 20 mm to the packer;
/// the highest step that fits is the snug one, by division alone.
#[test]
fn the_highest_step_that_fits_is_snug() {
    for (rise_m, steps, edge_m, snug) in [
        (0.060, 5, 0.200, Some(2)),
        (0.050, 5, 0.200, Some(2)),
        (0.060, 5, 0.050, None),
        (0.060, 2, 0.200, None),
        (0.100, 2, 0.150, Some(0)),
    ] {
        assert_eq!(
            chock("one", rise_m, steps, [0.0; 2]).snug_step(edge_m),
            snug,
            "{rise_m} x {steps}, {edge_m}"
        );
    }
}

#[test]
fn the_steps_that_are_snug_bear_by_the_law_of_the_lever() {
    let mut claim = Claim {
        id: "step.bears",
        claim: "the added load goes to the snug steps; F (a + x) / 2 a to the front pair, F (a - \
                x) / 2 a to the rear one, less what the wheels take",
        source: "moments about the other pair (statics of a rigid body); each pair against its own share, the worst is the rear one",
        range: "narrow steps of 40 and 55 mm, 200 and 400 kg, in the middle and 0.25 m to either end",
        tolerance: 0.03,
        unit: Unit::Share,
        reason: "a step is taken to bear in its middle, and without friction",
    }
    .begin();
    for (step, kg, x) in [(0.055, 200.0, 0.0), (0.055, 400.0, 0.25), (0.040, 400.0, -0.25)] {
        let mut scene = rig(step, &[]);
        // Narrow ones: a car that dips at one end bears on their edges.
        scene.step_chocks.iter_mut().for_each(|chock| chock.width_m = 0.06);
        let scene = Arc::new(scene);
        let mut yard = Yard::new(scene.clone());
        assert_eq!(yard.misses(), None);
        run(&mut yard, 1.0);
        let loads =
            |yard: &Yard| yard.snapshot.step_chocks.iter().map(|s| s.load_n).collect::<Vec<_>>();
        let (before, wheels_before_nm) = (loads(&yard), wheels_nm(&scene, &yard));
        yard.apply_fault(&Fault::Load { kg, place_m: [x, 0.5, 0.0] });
        run(&mut yard, 3.0);
        let more: Vec<f64> = loads(&yard).iter().zip(&before).map(|(now, was)| now - was).collect();
        let added_n = kg * G;
        let on_steps_n: f64 = more.iter().sum();
        assert!(on_steps_n > 0.9 * added_n, "the steps bear {on_steps_n} N of {added_n} N");
        let wheels_nm = wheels_nm(&scene, &yard);
        let by_wheels_nm = [0, 1].map(|k| wheels_nm[k] - wheels_before_nm[k]);
        let front_n = (added_n * (ALONG_M + x) - by_wheels_nm[0]) / (2.0 * ALONG_M);
        let rear_n = (added_n * (ALONG_M - x) - by_wheels_nm[1]) / (2.0 * ALONG_M);
        for (end, found_n, expected_n) in
            [("front", more[0] + more[1], front_n), ("rear", more[2] + more[3], rear_n)]
        {
            claim.compare(found_n, expected_n, format!("{end}, {step}, {kg} kg at {x} m"));
        }
    }
    claim.end();
}

#[test]
fn a_step_chock_that_slides_is_held_by_its_friction() {
    let mut claim = Claim {
        id: "step.friction",
        claim: "a step chock that slides is held back by mu N",
        source: "Coulomb's friction F = mu N, with the table's figure of timber on the ground once it slides",
        range: "a slope of 10 deg under a car whose tyres have lost their grip, 300 and 600 kg in it",
        tolerance: 0.03,
        unit: Unit::Share,
        reason: "friction is known for the end of a step only",
    }
    .begin();
    let mut sliding = 0;
    for kg in [300.0, 600.0] {
        let scene = rig(0.055, &["ground.slope=10 deg", "ground.friction=60 %"]);
        let pair = scene.friction(Material::Timber, Material::Ground(scene.ground.surface));
        let [rests, slides] = pair.expect("a pair").friction(scene.ground.wet);
        let mut yard = Yard::new(Arc::new(scene));
        yard.apply_fault(&Fault::Load { kg, place_m: [0.0, 0.5, 0.0] });
        run(&mut yard, 1.0);
        assert!(yard.snapshot.step_chocks.iter().all(|s| s.slid_m < 2e-3), "it lies still");
        yard.apply_fault(&Fault::Slick { under: SlickTarget::Vehicle, left: 0.02 });
        run(&mut yard, 1.0);
        let now = &yard.snapshot;
        for (index, state) in now.step_chocks.iter().enumerate() {
            let (mut along_n, mut up_n) = (0.0, 0.0);
            for load in &now.loads {
                if load.by.is_none() && yard.parts()[load.on].kind == PartKind::StepChock(index) {
                    along_n -= load.force[0];
                    up_n += load.force[1];
                }
            }
            if state.slid_m < 0.01 {
                assert!(
                    along_n.abs() <= 1.03 * rests * up_n,
                    "it lies still: {along_n} N, {up_n} N"
                );
                continue;
            }
            sliding += 1;
            claim.compare(along_n, slides * up_n, format!("{kg} kg, {}", NAMES[index]));
        }
    }
    assert!(sliding >= 2, "{sliding} slide");
    claim.end();
}

/// Where no step goes under the vehicle no lift begins.
#[test]
fn a_step_chock_that_is_not_snug_is_told() {
    let mut scene = rig(0.055, &[]);
    scene.step_chocks[1].at[1] = -3.0;
    let yard = Yard::new(Arc::new(scene));
    let jam = yard.misses().expect("it misses");
    assert_eq!((jam.part.as_str(), jam.how), ("front right", Jammed::NoStep));
}

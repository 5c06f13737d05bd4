//! Step chocks under the sills of a car on its wheels: which step is snug, what it bears, and what
//! friction holds of it.
//!
//! Laws: moments about the other support; Coulomb's friction `F = mu N` (any textbook).
//!
//! The rig: a hatchback on its wheels with a step chock under either sill at two places along it. Its
//! springs are so much softer than timber that what is loaded on later goes to the steps.

use crate::common::{Claim, G, Unit};
use inchwise::scene::{self, Fault, Scene, SlickTarget, StepChock};
use inchwise::snapshot::{Jammed, PartKind};
use inchwise::tables::Material;
use inchwise::world::{TICK_S, Yard};
use std::sync::Arc;

/// Half the way from one pair to the other, m, and how far the steps' middles are from the middle
/// line, m.
const ALONG_M: f64 = 0.55;
const OUT_M: f64 = 0.78;

fn chock(name: &str, rise_m: f64, steps: usize, at: [f64; 2]) -> StepChock {
    let (tread_m, width_m) = (0.12, 0.16);
    StepChock { name: name.into(), at, across: true, rise_m, tread_m, steps, width_m }
}

/// Four step chocks of steps so high, with more changes. Nobody lies there.
fn rig(rise_m: f64, more: &[&str]) -> Scene {
    let bare = [
        "after=x",
        "decides=slide",
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
    let set = |name, x, z| chock(name, rise_m, 5, [x, z]);
    scene.step_chocks = vec![
        set("front left", ALONG_M, OUT_M),
        set("front right", ALONG_M, -OUT_M),
        set("rear left", -ALONG_M, OUT_M),
        set("rear right", -ALONG_M, -OUT_M),
    ];
    scene
}

fn run(yard: &mut Yard, seconds: f64) {
    for _ in 0..(seconds / TICK_S) as usize {
        yard.tick();
    }
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
        claim: "what is loaded on goes to the steps that are snug, front and rear by the law of the lever",
        source: "moments about the other pair (statics of a rigid body)",
        range: "steps of 40 and 55 mm, 200 and 400 kg, in the middle and 0.25 m to either end",
        tolerance: 0.03,
        unit: Unit::Share,
        reason: "springs and tyres take what the timber gives, a hundredth of the load",
    }
    .begin();
    for (step, kg, x) in [(0.055, 200.0, 0.0), (0.055, 400.0, 0.25), (0.040, 400.0, -0.25)] {
        let mut yard = Yard::new(Arc::new(rig(step, &[])));
        assert_eq!(yard.misses(), None);
        run(&mut yard, 1.0);
        let loads =
            |yard: &Yard| yard.snapshot.step_chocks.iter().map(|s| s.load_n).collect::<Vec<_>>();
        let before = loads(&yard);
        yard.apply_fault(&Fault::Load { kg, place_m: [x, 0.5, 0.0] });
        run(&mut yard, 3.0);
        let more: Vec<f64> = loads(&yard).iter().zip(&before).map(|(now, was)| now - was).collect();
        let front_n = kg * G * (x + ALONG_M) / (2.0 * ALONG_M);
        claim.compare(more[0] + more[1], front_n, format!("front, {step}, {kg} kg at {x} m"));
        claim.compare(
            more[2] + more[3],
            kg * G - front_n,
            format!("rear, {step}, {kg} kg at {x} m"),
        );
    }
    claim.end();
}

#[test]
fn a_step_chock_that_slides_is_held_by_its_friction() {
    let mut claim = Claim {
        id: "step.friction",
        claim: "a step chock that slides is held back by mu N",
        source: "Coulomb's friction, with the table's figure of timber on the ground once it slides",
        range: "a slope of 10 deg under a car whose tyres have lost their grip, 300 and 600 kg in it",
        tolerance: 0.03,
        unit: Unit::Share,
        reason: "friction is known for the end of a step only",
    }
    .begin();
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
        println!("{kg}: {rests} {slides} {:?}", now.step_chocks);
        let on_ground = now.loads.iter().filter(|load| {
            load.by.is_none() && matches!(yard.parts()[load.on].kind, PartKind::StepChock(_))
        });
        let (mut along_n, mut up_n) = (0.0, 0.0);
        for load in on_ground {
            along_n -= load.force[0];
            up_n += load.force[1];
        }
        assert!(
            now.step_chocks.iter().all(|s| s.slid_m > 0.01),
            "they slide: {:?}",
            now.step_chocks
        );
        claim.compare(along_n / up_n, slides, format!("{kg} kg"));
    }
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

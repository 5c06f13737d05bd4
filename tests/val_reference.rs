//! The same cases in a second engine: MuJoCo, by tests/reference/mujoco_reference.py, whose
//! numbers, version and settings are in tests/reference/mujoco.json.
//!
//! Law: two engines that share no code ought to agree where the physics is settled, and the
//! closed form says which of them is nearer where they do not.

mod common;

use common::{
    Claim, Crib, FOUR_M, G, TIMBER_KG_M3, Unit, block, density, gravity, hinge_push_n, run, steps,
};
use inchwise::membrane::Membrane;
use inchwise::tables::{BAG_FACE_KG_M2, BAG_FACE_M};
use inchwise::world::GasBag;
use inchwise::world::engine::Engine;
use inchwise::world::solver::STEP_S;
use serde_json::Value;

fn reference() -> Value {
    serde_json::from_str(include_str!("reference/mujoco.json")).expect("the reference reads")
}

/// Rows of numbers under a name.
fn rows(name: &str) -> Vec<[f64; 3]> {
    let number = |v: &Value| v.as_f64().expect("a number");
    let rows = reference()[name].as_array().expect("rows").clone();
    assert!(rows.len() >= 6, "{name}: {} rows", rows.len());
    rows.iter().map(|r| [number(&r[0]), number(&r[1]), number(&r[2])]).collect()
}

#[test]
fn sliding_agrees() {
    let mut residuals = Claim {
        id: "reference.sliding",
        claim: "a block sliding down a slope, against MuJoCo",
        source: "tests/reference/mujoco.json",
        range: "mu 0.3 to 0.7, 3 to 15 deg beyond the friction angle",
        tolerance: 0.05,
        unit: Unit::Share,
        reason: "MuJoCo's friction is regularised and misses g (sin t - mu cos t) by as much; we \
                 meet it (contact.sliding), and the test holds us nearer to it than MuJoCo",
    }
    .begin();
    for [mu, beyond, theirs] in rows("slide_m_s2") {
        let mut engine = Engine::new(gravity(mu.atan() + beyond.to_radians()));
        engine.add_ground(mu);
        let half = [0.3, 0.1, 0.3];
        let body = block(&mut engine, half, [0.0, 0.1, 0.0], density(100.0, half), mu);
        run(&mut engine, 0.5);
        let before = f64::from(engine.bodies[body].linvel().x);
        run(&mut engine, 1.0);
        let ours = f64::from(engine.bodies[body].linvel().x) - before;
        residuals.compare(ours, theirs, format!("mu {mu}, {beyond} deg"));
        let tilt = mu.atan() + beyond.to_radians();
        let exact = G * (tilt.sin() - mu * tilt.cos());
        assert!(
            (ours - exact).abs() <= (theirs - exact).abs(),
            "mu {mu}, {beyond} deg: {ours}, MuJoCo {theirs}, closed form {exact}"
        );
    }
    residuals.end();
}

#[test]
fn a_hinge_lift_agrees() {
    let mut residuals = Claim {
        id: "reference.hinge",
        claim: "lift force on a hinged body, against MuJoCo",
        source: "tests/reference/mujoco.json",
        range: "1300 kg, 0 to 25 deg, support at 2.5 and 3.6 m",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "both are rigid bodies; their support gives a little",
    }
    .begin();
    for [degrees, lever, theirs] in rows("hinge_n") {
        let ours = hinge_push_n(degrees.to_radians(), lever);
        residuals.compare(ours, theirs, format!("{degrees} deg, {lever} m"));
    }
    residuals.end();
}

/// The simplified lift: a bag that is filled under a free load.
#[test]
fn a_bag_lift_agrees() {
    let mut residuals = Claim {
        id: "reference.bag",
        claim: "height of a load on a bag filled under it, against MuJoCo with the same gas law",
        source: "tests/reference/mujoco.json (slide joint, force p A from the area rule)",
        range: "150 to 2000 kg, 6 and 12 free litres",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "the law is the same, its integration is not; lowest height 13 mm",
    }
    .begin();
    for [kg, litres, theirs] in rows("bag_height_m") {
        let mut engine = Engine::new(gravity(0.0));
        engine.add_ground(0.8);
        let face = [0.25, BAG_FACE_M / 2.0, 0.25];
        let face_kg = BAG_FACE_KG_M2 * 0.25;
        assert!((face_kg - 3.0).abs() < 1e-9, "the reference has a face of 3 kg");
        let mut at = |y: f64| block(&mut engine, face, [0.0, y, 0.0], density(face_kg, face), 0.8);
        let (lower, upper) = (at(BAG_FACE_M * 0.5), at(BAG_FACE_M * 1.5));
        let half = [0.25, 0.1, 0.25];
        let middle = [0.0, BAG_FACE_M * 2.0 + 0.1, 0.0];
        block(&mut engine, half, middle, density(kg, half), 0.8);
        let membrane = Membrane { width_m: 0.5, length_m: 0.5 };
        let mut bag = GasBag::new(&mut engine, lower, upper, membrane, 8e5);
        for step in 0..steps(8.0) {
            let air_j =
                if step < steps(4.0) { litres / 4.0 * 1e-3 * 101_325.0 * STEP_S } else { 0.0 };
            bag.advance(&mut engine, air_j);
            engine.step();
        }
        residuals.compare(bag.height_m, theirs, format!("{kg} kg, {litres} L"));
    }
    residuals.end();
}

fn crib(layers: usize) -> Crib {
    Crib { layers, timber_m: FOUR_M, length_m: 0.6096, members: 2, load_kg: 400.0 }
}

/// Both engines against the closed form; ours must be the nearer one.
#[test]
fn the_loaded_crib_tips_nearer_to_the_closed_form() {
    let mut residuals = Claim {
        id: "reference.crib",
        claim: "6- and 13-layer cribs under 400 kg tip at the closed form, nearer than in MuJoCo",
        source: "closed form; tests/reference/mujoco.json tips 2 % (6 layers) and 5 % (13) early",
        range: "tilted alike in both: gently over 4 s, then 4 s held",
        tolerance: 0.015,
        unit: Unit::Share,
        reason: "the bar for 13 layers; bisected to 0.2 %. MuJoCo's contacts give more at the \
                 stiffest setting that its step allows",
    }
    .begin();
    let all = reference();
    for layers in [6, 13] {
        let crib = crib(layers);
        let expected = crib.tips_rad(0.7);
        let theirs = all["crib_tips_rad"][layers.to_string()].as_f64().expect("a number");
        let (mut low, mut high) = (0.98 * expected, 1.02 * expected);
        assert!(crib.stands(0.7, low) && !crib.stands(0.7, high), "{layers} layers: not near");
        while high - low > 0.002 * expected {
            let middle = (low + high) / 2.0;
            if crib.stands(0.7, middle) { low = middle } else { high = middle }
        }
        let ours = (low + high) / 2.0;
        residuals.compare(ours, expected, format!("{layers} layers"));
        assert!(
            (ours - expected).abs() <= (theirs - expected).abs(),
            "{layers} layers: {ours} rad, MuJoCo {theirs} rad, closed form {expected} rad"
        );
    }
    residuals.end();
}

/// Speed is printed, not judged: it is another machine's each time. Run with --nocapture
/// beside tests/reference/mujoco_reference.py to compare.
#[test]
fn the_loaded_crib_is_faster_than_real_time() {
    let mut engine = Engine::new(gravity(0.0));
    engine.add_ground(0.7);
    crib(13).build(&mut engine, 0.7, TIMBER_KG_M3);
    let begun = std::time::Instant::now();
    for _ in 0..steps(5.0) {
        engine.wake_all();
        engine.step();
    }
    let speed = 5.0 / begun.elapsed().as_secs_f64();
    println!("13-layer crib: {speed:.1} x real time");
    assert!(speed > 2.0, "{speed} x real time, even beside other work");
}

//! Order and balance: what must not depend on how it is reckoned.
//!
//! Laws: a smaller step changes outcomes little; a mirrored scene gives the mirrored
//! result; a scene turned about the upright gives the same; doubled masses double the loads.
//! The energy of a lift by a bag is in `tests/val_bag.rs`.

mod common;

use common::{Claim, Crib, FOUR_M, LOAD_HALF_M, TIMBER_KG_M3, Unit, force, gravity};
use inchwise::scene;
use inchwise::units::System;
use inchwise::world::engine::Engine;
use inchwise::world::{Crew, Yard};
use std::sync::Arc;

const CRIB: Crib =
    Crib { layers: 8, timber_m: FOUR_M, length_m: 0.6096, members: 2, load_kg: 400.0 };

/// A crib settled on a gentle slope: where its load stands, and the forces at its foot.
fn settled(halved: u32, turn_rad: f64, scale: f64) -> ([f64; 3], Vec<f64>) {
    let tilt = 5.0_f64.to_radians();
    let mut engine = Engine::new(gravity(0.0));
    let parts = 2_u32.pow(halved);
    engine.parameters.dt /= parts as f32;
    let ground = engine.add_ground(0.7);
    let crib = Crib { load_kg: CRIB.load_kg * scale, ..CRIB };
    let (layers, load) = crib.build_turned(&mut engine, 0.7, TIMBER_KG_M3 * scale, turn_rad);
    let (sin, cos) = turn_rad.sin_cos();
    for step in 0..common::steps(4.0) * parts as usize {
        let t = step as f64 / (120.0 * f64::from(parts));
        let share = (t / 2.0).clamp(0.0, 1.0);
        let along = gravity(tilt * share * share * (3.0 - 2.0 * share));
        let fall = f64::from(along.x);
        engine.gravity = common::v([fall * cos, along.y.into(), -fall * sin]);
        engine.wake_all();
        engine.step();
    }
    let at = engine.bodies[load].translation().to_array().map(f64::from);
    let back = [at[0] * cos - at[2] * sin, at[1], at[0] * sin + at[2] * cos];
    let feet = layers[0].iter().map(|timber| force(&engine, *timber, ground)[1]).collect();
    (back, feet)
}

#[test]
fn halving_the_step_and_turning_the_scene_change_little() {
    let mut halving = Claim {
        id: "balance.step",
        claim: "where a loaded crib on a slope stands, and what its feet bear, at half the step",
        source: "the same reckoned with steps of 1/240 s and 1/480 s",
        range: "8 layers of 4x4 under 400 kg at 5 deg; place against the crib's height, loads \
                against their mean",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "contacts are as stiff at every step; what is left is creep and how loads are \
                 shared where statics does not tell",
    }
    .begin();
    let (at, feet) = settled(0, 0.0, 1.0);
    let mean = feet.iter().sum::<f64>() / feet.len() as f64;
    let height = CRIB.height_m() + LOAD_HALF_M[0];
    let apart = |a: [f64; 3], b: [f64; 3]| {
        ((a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2) + (a[2] - b[2]).powi(2)).sqrt()
    };
    for halved in [1, 2] {
        let (finer, loads) = settled(halved, 0.0, 1.0);
        halving.residual(apart(at, finer) / height, format!("place, halved {halved} times"));
        for (coarse, fine) in feet.iter().zip(loads) {
            halving.residual((coarse - fine).abs() / mean, format!("loads, halved {halved} times"));
        }
    }
    halving.end();

    let mut turned = Claim {
        id: "balance.turned",
        claim: "the same crib turned about the upright stands the same and bears the same",
        source: "space has no preferred direction",
        range: "17, 45, 90 and 200 deg; place against the crib's height, loads against their mean",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "single precision, and contacts are found in another order",
    }
    .begin();
    for degrees in [17.0_f64, 45.0, 90.0, 200.0] {
        let (other, loads) = settled(0, degrees.to_radians(), 1.0);
        turned.residual(apart(at, other) / height, format!("place, {degrees} deg"));
        for (straight, turn) in feet.iter().zip(loads) {
            turned.residual((straight - turn).abs() / mean, format!("loads, {degrees} deg"));
        }
    }
    turned.end();

    let mut doubled = Claim {
        id: "balance.doubled",
        claim: "doubled masses double all loads",
        source: "Newton's law is linear in mass",
        range: "the same crib, masses times 2 and 4, each foot",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "contacts are as stiff as their bodies are heavy, so nothing else changes",
    }
    .begin();
    for scale in [2.0, 4.0] {
        let (_, loads) = settled(0, 0.0, scale);
        for (one, more) in feet.iter().zip(loads) {
            doubled.compare(more / scale, *one, format!("times {scale}"));
        }
    }
    doubled.end();
}

fn yard(sets: &[&str]) -> (Yard, Crew) {
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    let Ok(loaded) = scene::load("beam-lift", &sets) else { panic!("the beam lift loads") };
    let scene = Arc::new(loaded.scene);
    (Yard::new(scene.clone()), Crew::new(scene.orders.clone(), System::Si))
}

/// The beam lift with its limbs on the other side and the ground falling the other way
/// must roll the other way by as much.
#[test]
fn a_mirrored_scene_gives_the_mirrored_result() {
    let mut residuals = Claim {
        id: "balance.mirrored",
        claim: "the beam lift mirrored: rise at either side, centre of mass and loads, mirrored",
        source: "space has no preferred hand",
        range: "limbs on the other side, 2 deg of cross slope the other way, uneven air; \
                differences against the final rise",
        tolerance: 0.04,
        unit: Unit::Share,
        reason: "contacts are found in another order, and a lift amplifies a hair's difference",
    }
    .begin();
    let play = |sets: &[&str]| {
        let (mut yard, mut crew) = yard(sets);
        while !crew.done() {
            crew.work(&mut yard);
            yard.tick();
        }
        yard.snapshot
    };
    let one = play(&["ground.cross_slope=2 deg", "air.outlets.right.opening=25 %"]);
    let other = play(&[
        "ground.cross_slope=-2 deg",
        "air.outlets.left.opening=25 %",
        "casualty.lower leg.at=[\"1.48 m\", \"0.12 m\"]",
        "casualty.forearm.at=[\"-0.14 m\", \"-0.42 m\"]",
    ]);
    let scale = one.rise_m;
    assert!(scale > 0.15, "it rises: {scale} m");
    let [left, right] = [one.lift_rise_m[0], one.lift_rise_m[1]];
    assert!((left - right).abs() > 0.002, "it is no symmetrical case: {left} m, {right} m");
    residuals.residual((left - other.lift_rise_m[1]).abs() / scale, "left rise");
    residuals.residual((right - other.lift_rise_m[0]).abs() / scale, "right rise");
    residuals.residual((one.vehicle.com[2] + other.vehicle.com[2]).abs() / scale, "sideways");
    residuals.residual((one.vehicle.com[0] - other.vehicle.com[0]).abs() / scale, "along");
    residuals.end();
}

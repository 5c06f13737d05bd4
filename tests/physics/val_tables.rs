//! What the program takes from the world outside, held against the documents again.
//!
//! Friction: one figure a material cannot hold a pair table exactly; how far it is off is
//! published. Roof strength: 49 CFR 571.216a (scope seen; 1.5 times the unloaded weight for
//! the heavier vehicles seen in a secondary copy, 3.0 times for the lighter from memory,
//! not verified). Limb sizes: ANSUR II public data (2012; Natick/TR-15/007), percentiles
//! of circumference over pi.

use crate::common::{Claim, G, Unit};
use crate::recorded::{self, Tick};
use inchwise::scene::{self, Scene};
use inchwise::tables::{Grip, Material, Surface, friction_pairs};
use std::f64::consts::PI;
use std::sync::Arc;

#[test]
fn the_friction_fit_is_the_least_squares_and_its_error_is_published() {
    let mut residuals = Claim {
        id: "tables.friction_fit",
        claim: "friction of each pair as the engine has it, against the pair table",
        source: "CTU Code 2014 annex 7 appendix 2; European Best Practice Guidelines on Cargo \
                 Securing 8.2; the rest assumed",
        range: "nine pairs on four surfaces, dry and wet",
        tolerance: 0.40,
        unit: Unit::Share,
        reason: "the engine takes the geometric mean of one figure a material, four for nine \
                 pairs; hooks for each pair would switch its reuse of contacts off",
    }
    .begin();
    for (word, surface) in Surface::WORDS {
        for wet in [false, true] {
            let grip = Grip::fit(*surface, wet);
            let of = |m: Material| grip.share_of(m);
            let pairs = friction_pairs(*surface);
            let wanted = |p: &inchwise::tables::FrictionPair| if wet { p.wet } else { p.dry };
            let misfit = |change: [f64; 4]| -> f64 {
                let figure = |m: Material| match m {
                    Material::Timber => of(m) * change[0],
                    Material::Sheet => of(m) * change[1],
                    Material::Rubber => of(m) * change[2],
                    Material::Ground(_) => of(m) * change[3],
                };
                pairs
                    .iter()
                    .map(|p| {
                        // A published value weighs four times an assumed one.
                        let weight = if p.source == "assumed" { 1.0 } else { 4.0 };
                        weight * (figure(p.a) * figure(p.b) / wanted(p).powi(2)).ln().powi(2)
                    })
                    .sum()
            };
            let best = misfit([1.0; 4]);
            for i in 0..4 {
                for factor in [0.99, 1.01] {
                    let mut change = [1.0; 4];
                    change[i] = factor;
                    assert!(misfit(change) > best, "{word} wet {wet}: {i} by {factor} fits better");
                }
            }
            for pair in &pairs {
                let has = (of(pair.a) * of(pair.b)).sqrt();
                residuals.compare(
                    has,
                    wanted(pair),
                    format!("{:?} on {:?}, {word}, wet {wet}", pair.a, pair.b),
                );
            }
        }
    }
    residuals.end();
}

fn shipped() -> Vec<Arc<Scene>> {
    scene::builtin_names()
        .iter()
        .map(|name| match scene::load(name, &[]) {
            Ok(loaded) => Arc::new(loaded.scene),
            Err(problems) => panic!("{name}: {} problems", problems.len()),
        })
        .collect()
}

#[test]
fn trapped_limbs_are_as_thick_as_limbs_are() {
    // Male medians, mm of circumference: calf 392, forearm flexed 310, lower thigh 408.
    // Females' 5th to males' 95th percentile lie within 20 % of these.
    let sizes = [("leg", 392.0), ("shin", 392.0), ("calf", 392.0), ("forearm", 310.0)];
    let mut residuals = Claim {
        id: "tables.limbs",
        claim: "trapped limbs of the shipped scenes are as thick as the median man's",
        source: "ANSUR II (Natick/TR-15/007, 2014), circumference over pi: calf 125 mm, \
                 forearm 99 mm; computed from the public data",
        range: "every leg and forearm of the shipped scenes",
        tolerance: 0.20,
        unit: Unit::Share,
        reason: "the survey's 5th to 95th percentile spread; unclothed soldiers",
    }
    .begin();
    for scene in shipped() {
        for limb in &scene.limbs {
            let known = sizes.iter().find(|(word, _)| limb.name.contains(word));
            let Some((_, around_mm)) = known else { continue };
            let expected = around_mm / PI / 1e3;
            residuals.compare(limb.thickness_m, expected, format!("{} {}", scene.name, limb.name));
        }
    }
    residuals.end();
}

/// The roof is rigid in the program. That is fair while what bears on it stays under what
/// the standard asks of an undamaged roof: 1.5 times the unloaded weight (the lower of the
/// two factors). A residual over one would mean a lift whose roof would give.
#[test]
fn no_lift_that_works_loads_the_roof_beyond_its_standard() {
    let mut residuals = Claim {
        id: "tables.roof",
        claim: "all that bears on the vehicle, as a share of the roof's rule force",
        source: "49 CFR 571.216a: 1.5 times the unloaded weight (the lower factor; 3.0 up to \
                 2722 kg, from memory, not verified)",
        range: "the beam lift, every tick",
        tolerance: 1.0,
        unit: Unit::Share,
        reason: "a bound, not an agreement: a rigid roof is fair below it",
    }
    .begin();
    let lift = recorded::shipped("beam-lift");
    let weight = lift.scene.vehicle.mass_kg * G;
    let mut most: f64 = 0.0;
    for Tick { snapshot, .. } in &lift.ticks {
        let up: f64 = snapshot
            .loads
            .iter()
            .map(|l| match (lift.is_vehicle(l.on), l.by.is_some_and(|by| lift.is_vehicle(by))) {
                (true, false) => l.force[1],
                (false, true) => -l.force[1],
                _ => 0.0,
            })
            .sum();
        most = most.max(up);
    }
    assert!(most > 0.9 * weight, "something carries it: {most} N of {weight} N");
    residuals.residual(most / (1.5 * weight), "beam lift");
    residuals.end();
}

//! What the program takes from the world outside, held against the documents again.
//!
//! Friction: one figure a material cannot hold a pair table exactly; how far it is off is
//! published. Roof strength: 49 CFR 571.216a (scope seen; 1.5 times the unloaded weight for
//! the heavier vehicles seen in a secondary copy, 3.0 times for the lighter from memory,
//! not verified).

use crate::common::{Claim, G, Unit};
use crate::recorded::{self, Tick};
use inchwise::tables::{Grip, Material, Surface, friction_pairs};

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

/// No lift that works comes near what the standard asks of an undamaged roof: 1.5 times the
/// unloaded weight (the lower of the two factors). A residual over one would mean a lift whose
/// roof ought to give.
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
        reason: "a bound, not an agreement: a sound roof holds below it",
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

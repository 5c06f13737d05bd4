//! The sizes of trapped limbs against a survey of people: ANSUR II's public data (2012;
//! Natick/TR-15/007), percentiles of circumference over pi.

use crate::common::{Claim, Unit};
use inchwise::scene::{self, BodyPart, Scene};
use std::f64::consts::PI;
use std::sync::Arc;

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
    // Medians of men and of women, mm of circumference: calf, and forearm flexed.
    let [calf, forearm] = [[392.0, 372.0], [310.0, 263.0]];
    let sizes = [(BodyPart::LowerLeg, calf), (BodyPart::Forearm, forearm)];
    let mut residuals = Claim {
        id: "limb_sizes.thickness",
        claim: "trapped limbs of the shipped scenes are as thick as the median man's or woman's",
        source: "ANSUR II (Natick/TR-15/007, 2014), circumference over pi: calf 125 and 118 mm, \
                 forearm 99 and 84 mm; computed from the public data",
        range: "every lower leg and forearm of the shipped scenes",
        tolerance: 0.20,
        unit: Unit::Share,
        reason: "the survey's 5th to 95th percentile spread; unclothed soldiers",
    }
    .begin();
    for scene in shipped() {
        for limb in &scene.limbs {
            let known = sizes.iter().find(|(part, _)| *part == limb.part);
            let Some((_, around_mm)) = known else { continue };
            let medians_m = around_mm.map(|mm: f64| mm / PI / 1e3);
            let off = |m: &f64| (limb.thickness_m - m).abs();
            let expected = medians_m.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)));
            let expected = expected.expect("two medians");
            residuals.compare(limb.thickness_m, expected, format!("{} {}", scene.name, limb.name));
        }
    }
    residuals.end();
}

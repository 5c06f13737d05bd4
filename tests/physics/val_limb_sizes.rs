//! The sizes of trapped limbs against a survey of people: ANSUR II's public data (2012;
//! Natick/TR-15/007), percentiles of circumference over pi.

use crate::common::{Claim, Unit};
use inchwise::scene::{self, Scene};
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
    // Male medians, mm of circumference: calf 392, forearm flexed 310, lower thigh 408.
    // Females' 5th to males' 95th percentile lie within 20 % of these.
    let sizes = [("leg", 392.0), ("shin", 392.0), ("calf", 392.0), ("forearm", 310.0)];
    let mut residuals = Claim {
        id: "limb_sizes.thickness",
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

//! Beams from contact forces.
//!
//! Law: the shear at a section is the sum of all forces on one side of it, the moment the
//! sum of their moments, the curvature M / E I. A timber lies on two narrow supports under
//! narrow loads; forces are read at its contacts, and the diagram is held against handbook
//! cases (simple beam with one load anywhere, two-point, overhang: beam formulas as in
//! AWC Design Aid 6, from memory, not verified) with its own weight added by superposition
//! (w L^2 / 8). Rupture: Wood Handbook FPL-GTR-190 table 5-3a, Douglas-fir, 85 MPa.

use crate::common::cases::{SECTION, WEIGHT_N_M, beam_deflections, beam_moments, beam_on_feet};
use crate::common::{Claim, FOUR_M, G, TIMBER_KG_M3, Unit};
use approx::abs_diff_eq;
use inchwise::scene;
use inchwise::snapshot::PartKind;
use inchwise::world::beam::BeamSection;
use inchwise::world::solver::Settings;
use inchwise::world::{Crew, Yard};
use std::sync::Arc;

#[test]
fn shear_and_moment_are_the_handbooks() {
    let mut shear = Claim {
        id: "beam.shear",
        claim: "shear beside a support, from contact forces",
        source: "simple beam with one load at a: V = P (L - a) / L + w L / 2",
        range: "spans 0.6 to 2.4 m, load at 0.2 to 0.8 of the span, 1 to 20 kN",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "feet are 8 mm wide: 1.3 % of the shortest span",
    }
    .begin();
    let mut moment = Claim {
        id: "beam.moment",
        claim: "bending moment under the load, from contact forces",
        source: "simple beam with one load at a: M = P a (L - a) / L + w a (L - a) / 2",
        range: "the same",
        tolerance: 0.04,
        unit: Unit::Share,
        reason: "feet are 8 mm wide: an edge's arm is off by 4 mm of at least 120 mm",
    }
    .begin();
    for span in [0.6, 1.0, 2.4] {
        for share in [0.2, 0.5, 0.8] {
            for kn in [1.0, 5.0, 20.0] {
                let (a, n) = (0.05 + share * span, kn * 1e3);
                let beam =
                    beam_on_feet(Settings::SHIPPED, span + 0.1, [0.05, 0.05 + span], &[(a, n)]);
                let at = format!("{kn} kN at {share} of {span} m");
                // Just inside the left support; the end's own overhang weighs 50 mm's worth.
                let own = WEIGHT_N_M * (span / 2.0 - 0.01);
                let expected = n * (1.0 - share) + own;
                shear.compare(beam.shear_n(0.06), expected, &at);
                let x = share * span;
                let own = WEIGHT_N_M * (x * (span - x) / 2.0 - 0.05_f64.powi(2) / 2.0);
                let expected = n * share * (1.0 - share) * span + own;
                moment.compare(beam.moment_nm(a), expected, &at);
            }
        }
    }
    shear.end();
    moment.end();
}

#[test]
fn two_loads_and_an_overhang_are_the_handbooks() {
    let mut residuals = Claim {
        id: "beam.cases",
        claim: "two-point loading (M = P a) and a loaded overhang (M = -P a at the support)",
        source: "handbook cases, with the beam's own weight by superposition",
        range: "two-point: span 1.2 m, a 0.2 to 0.5 m; overhang 0.2 to 0.5 m beyond a span of 1 m",
        tolerance: 0.04,
        unit: Unit::Share,
        reason: "feet are 8 mm wide: two arms are off by 4 mm of at least 200 mm",
    }
    .begin();
    for case in beam_moments(Settings::SHIPPED) {
        residuals.residual(case.off(), case);
    }
    residuals.end();
}

#[test]
fn deflection_follows_from_the_diagram() {
    let mut residuals = Claim {
        id: "beam.deflection",
        claim: "deflection from contact forces: P L^3 / (48 E I), P a^2 (L + a) / (3 E I), \
                P a (3 L^2 - 4 a^2) / (24 E I)",
        source: "handbook cases; 89 mm square, 11.03 GPa, 5 kN: 1.806 mm on 1 m, 3.381 mm at \
                 the tip of 0.3 m beyond it; own weight by superposition",
        range: "simple spans 0.6 to 2.4 m; overhang 0.2 to 0.4 m; two loads 0.2 to 0.5 m from the \
                ends of 1.2 m",
        tolerance: 0.03,
        unit: Unit::Share,
        reason: "feet are 8 mm wide; the diagram is summed over 2000 pieces",
    }
    .begin();
    for case in beam_deflections(Settings::SHIPPED) {
        residuals.residual(case.off(), case);
    }
    residuals.end();
    let square = BeamSection { width_m: 0.089, height_m: 0.089, modulus_pa: 11.03e9 };
    let worked = 5e3 / (48.0 * square.modulus_pa * square.second_moment_m4());
    assert!(abs_diff_eq!(worked, 1.806e-3, epsilon = 2e-6), "the worked vector: {worked}");
}

/// Clear Douglas-fir breaks at 85 MPa: a 4x4 at 9.95 kN m, so at 39.8 kN in the middle of
/// 1 m. Stress from the diagram under just that load must be the rupture stress.
#[test]
fn rupture_load_gives_rupture_stress() {
    let mut residuals = Claim {
        id: "beam.rupture",
        claim: "a 4x4 reaches clear-wood rupture stress at its rupture load",
        source: "Wood Handbook FPL-GTR-190 table 5-3a (seen in a secondary copy): 85 MPa; \
                 P = 4 f S / L",
        range: "spans 0.6 to 2.4 m",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "feet are 8 mm wide: 0.7 % of the shortest span each",
    }
    .begin();
    let modulus_m3 = FOUR_M.powi(3) / 6.0;
    for span in [0.6, 1.0, 2.4] {
        let n = 4.0 * 85e6 * modulus_m3 / span;
        let beam = beam_on_feet(
            Settings::SHIPPED,
            span + 0.1,
            [0.05, 0.05 + span],
            &[(0.05 + span / 2.0, n)],
        );
        let stress = SECTION.bending_pa(beam.moment_nm(0.05 + span / 2.0));
        residuals.compare(stress, 85e6, format!("span {span} m"));
    }
    residuals.end();
}

/// A lift by a beam and its mirror image: the moment between the shims, whose middle is 70 mm
/// inside the body's side, is what a stack bears times its arm, less what the bags' faces, the
/// board on them and the beam's end weigh.
#[test]
fn in_a_lift_the_moment_is_force_times_arm() {
    let claim = |id, claim, source, tolerance, reason| {
        let range = "saloon of 1100, 1320 and 1600 kg with an elastic nose, and the mirror image \
                     of each, on a 4x6; every tenth of a second with more than 5 mm of rise, and \
                     at rest in the end";
        Claim { id, claim, source, range, tolerance, unit: Unit::Share, reason }.begin()
    };
    let mut moment = claim(
        "beam.lift",
        "the beam's moment in a lift, from contact forces",
        "M = F a - w b^2 / 2, F what a stack bears, a from its middle to the middle of the shim",
        0.03,
        "a bag leans and shears by millimetres on an arm of 400 mm",
    );
    let mut mirrored = claim(
        "beam.mirrored",
        "... and of the mirrored lift, at rest in the end",
        "space has no preferred side",
        0.025,
        "contacts are found in another order; settling leaves friction along the beam, up to a \
         tenth of the load; it acts on crests 24 mm apart in height: 35 N m, of 1660 at least",
    );
    for kg in [1100.0, 1320.0, 1600.0] {
        let mut last = Vec::new();
        for side in [1.0, -1.0] {
            let sets = [
                format!("vehicle.mass={kg} kg"),
                // Under a broader one the shims bear where their ends happen to lie hard.
                "beam.timber=4x6".to_owned(),
                // One that yields goes in by what the last digits of its contacts say.
                "vehicle.panels.bonnet edge.plateau=9 kN".to_owned(),
                format!("casualty.lower leg.at.1={} m", -0.12 * side),
                format!("casualty.forearm.at.1={} m", 0.42 * side),
                format!("people.driver.at.1={} m", -0.10 * side),
                format!("people.driver.head_towards={} deg", 140.0 * side),
                "orders=[(raise: [\"left lower\", \"right lower\"], opening: \"30 %\", \
                 until: (rise: \"60 mm\")), (wait: (for: \"8 s\"))]"
                    .to_owned(),
            ];
            let Ok(loaded) = scene::load("beam-lift", &sets) else { panic!("{sets:?} loads") };
            let scene = Arc::new(loaded.scene);
            let beam = scene.beam.clone().expect("a beam");
            let mut yard = Yard::new(scene.clone());
            let mut crew = Crew::new(scene.orders.clone());
            let shim_m = scene.vehicle.half_width.belt - 0.07;
            let weight_n_m = beam.timber.width_m * beam.timber.height_m * TIMBER_KG_M3 * G;
            let beyond_m = beam.length_m / 2.0 - shim_m;
            // Both bags' faces and the board, which the stack bears too.
            let faces_kg = 24.0 * (0.51_f64.powi(2) + 0.46_f64.powi(2));
            let board_kg = 0.46 * 0.46 * beam.pad_m.unwrap_or(0.0) * TIMBER_KG_M3;
            let expected = |yard: &Yard, stack: usize| {
                let force = yard.snapshot.stacks[stack].load_n - (faces_kg + board_kg) * G;
                force * (1.15 - shim_m) - weight_n_m * beyond_m * beyond_m / 2.0
            };
            let (mut ticks, mut compared) = (0, 0);
            while !crew.done() {
                crew.advance(&mut yard);
                yard.tick();
                ticks += 1;
                if yard.snapshot.rise_m > 0.005 && ticks % 6 == 0 {
                    let found = yard.snapshot.beam.map_or(0.0, |b| b.moment_nm.abs());
                    // The worse side is told.
                    let worse = expected(&yard, 0).max(expected(&yard, 1));
                    let at = format!("{kg} kg, side {side}, {:.1} s", yard.snapshot.t_s);
                    moment.compare(found, worse, at);
                    compared += 1;
                }
            }
            assert!(compared > 20, "{compared} moments");
            last.push(yard.snapshot.beam.map_or(0.0, |b| b.moment_nm.abs()));
        }
        mirrored.compare(last[1], last[0], format!("{kg} kg"));
    }
    moment.end();
    mirrored.end();
}

/// A 4x4 of green Douglas-fir through the car, on stacks far out: it breaks when the force
/// of a bag times its arm over the body's edge reaches the rupture stress.
#[test]
fn a_beam_breaks_in_a_lift_at_its_rupture_moment() {
    let mut residuals = Claim {
        id: "beam.breaks",
        claim: "in a lift the beam breaks at a bag's force whose moment F a / S is its rupture \
                stress; a is from the bag's middle to the middle of the vehicle's push",
        source: "Wood Handbook FPL-GTR-190 table 5-3a (seen in a secondary copy): 53 MPa, green; \
                 0.45 of it in grade No. 2 (ASTM D245, from memory); F from the bag's pressure \
                 and area",
        range: "4x4 at 50 to 90 % of that strength, stacks 1.45 m from the middle",
        tolerance: 0.05,
        unit: Unit::Share,
        reason: "it must hold for three ticks while the bag fills, slowly; a bag's patch is \
                 0.4 m wide",
    }
    .begin();
    for share in [0.5, 0.7, 0.9] {
        let sets = [
            "beam.timber=4x4".to_owned(),
            "wood=green douglas fir".to_owned(),
            format!("beam.strength={} %", share * 100.0),
            "stacks.left.at.1=1.45 m".to_owned(),
            "stacks.right.at.1=-1.45 m".to_owned(),
            "orders=[(raise: [\"left lower\", \"right lower\"], opening: \"1 %\", \
             until: (rise: \"60 mm\"))]"
                .to_owned(),
        ];
        let Ok(loaded) = scene::load("beam-lift", &sets) else { panic!("{sets:?} loads") };
        let scene = Arc::new(loaded.scene);
        let mut yard = Yard::new(scene.clone());
        let mut crew = Crew::new(scene.orders.clone());
        let broken = |yard: &Yard| yard.snapshot.beam.is_some_and(|beam| beam.broken);
        while !broken(&yard) && yard.t_s() < 60.0 {
            crew.advance(&mut yard);
            yard.tick();
        }
        assert!(broken(&yard), "{share}: it has not broken");
        let at_m = yard.snapshot.beam.map_or(0.0, |beam| beam.at_m);
        // Left is the lower bag 0, right 1; on it lie its upper face and the upper bag, and
        // the beam's own end hangs down over it.
        let bag = usize::from(at_m < 0.0);
        let pad_kg_m2 = 0.019 * TIMBER_KG_M3;
        let faces_n = (12.0 * 0.51_f64.powi(2) + (2.0 * 12.0 + pad_kg_m2) * 0.46_f64.powi(2)) * G;
        // The vehicle bears on it where the middle of its push on that side is.
        let beam = yard.parts().iter().position(|p| p.kind == PartKind::Beam);
        let (mut push, mut about) = (0.0, 0.0);
        for load in yard.snapshot.loads.iter().filter(|l| Some(l.on) == beam || l.by == beam) {
            let other = if Some(load.on) == beam { load.by } else { Some(load.on) };
            let vehicle = other.is_some_and(|id| yard.parts()[id].kind == PartKind::Vehicle);
            if vehicle && load.point[2] * at_m > 0.0 {
                push += load.force[1].abs();
                about += load.force[1].abs() * load.point[2].abs();
            }
        }
        let arm = 1.45 - about / push;
        let beyond = 1.524 - about / push;
        let moment =
            (yard.snapshot.bags[bag].force_n - faces_n) * arm - WEIGHT_N_M * beyond * beyond / 2.0;
        let expected = share * 0.45 * 53e6 * FOUR_M.powi(3) / 6.0;
        residuals.compare(moment, expected, format!("{share} of its strength"));
        // Both pieces are there, with a shim each, and the whole beam is not.
        let beams = yard.parts().iter().filter(|p| p.kind == PartKind::Beam);
        assert_eq!(beams.map(|p| p.present).collect::<Vec<_>>(), [false, true, true]);
        let mut again = yard.clone();
        (0..60).for_each(|_| yard.tick());
        (0..60).for_each(|_| again.tick());
        assert_eq!(again.snapshot, yard.snapshot, "a copy goes on as the first");
    }
    residuals.end();
}

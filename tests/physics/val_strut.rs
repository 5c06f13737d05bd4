//! Struts and straps: the triangle of a splayed strut and what ties its foot, where a foot
//! slides, where a strut folds, how a strap pulls and parts.
//!
//! Laws: a two-force member, Coulomb's friction, Euler's load of a strut with pinned ends
//! (`pi^2 E I / L^2`), Hooke's law of a strap (strength of materials, any textbook).
//!
//! The rig: the tail of a saloon on its roof on two struts, splayed equally to either side.

use crate::common::{Claim, G, Unit};
use approx::relative_eq;
use inchwise::lift::Lift;
use inchwise::scene::{self, Cause, Fault, Scene, Strut};
use inchwise::snapshot::{Measured, PartKind, Snapshot};
use inchwise::tables::{Material, STEEL_KG_M3};
use inchwise::world::{TICK_S, Yard};
use std::sync::Arc;

const AIM_M: f64 = 1.2;
const X_M: f64 = -1.9;
const HEAD_M: f64 = 0.30;
const PIN_M: f64 = Strut::PLATE_M + Strut::PIN_M;

/// Two struts whose lines lean by so much outwards for each metre up, with more changes.
fn rig(lean: f64, tube: &str, more: &[&str]) -> Scene {
    let foot = HEAD_M + lean * (AIM_M - PIN_M);
    let strut = |name: &str, sign: f64| {
        format!(
            "(name: \"{name}\", at: [\"{X_M} m\", \"{} m\"], head: [\"{X_M} m\", \"{} m\"], \
             head_height: \"{AIM_M} m\", seated: true, capacity: \"50 kN\" {tube})",
            sign * foot,
            sign * HEAD_M
        )
    };
    let struts = format!("struts=[{}, {}]", strut("left", 1.0), strut("right", -1.0));
    let bare = ["bags=[]", "wedges=[]", "stacks=[]", "orders=[]", "void_fill=[]"];
    let sets: Vec<String> =
        bare.iter().chain(more).map(|set| (*set).to_owned()).chain([struts]).collect();
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/common/short.ron");
    let mut scene = scene::load(path, &sets).unwrap_or_else(|p| panic!("{p:#?}")).scene;
    // A limb bears on one side only.
    scene.limbs.clear();
    scene
}

fn strap(preload: &str, capacity: &str, elongation: &str) -> String {
    format!(
        "straps=[(name: \"tie\", strut: \"left\", other: \"right\", preload: \"{preload}\", \
         capacity: \"{capacity}\", elongation: \"{elongation}\")]"
    )
}

fn stood(scene: Scene) -> Yard {
    let yard = Yard::new(Arc::new(scene));
    assert_eq!(yard.misses(), None);
    yard
}

fn run(yard: &mut Yard, seconds: f64) {
    for _ in 0..(seconds / TICK_S) as usize {
        yard.tick();
    }
}

/// A load over the tail, on the middle line.
fn load(yard: &mut Yard, kg: f64) {
    yard.apply_fault(&Fault::Load { kg, place_m: [X_M, 0.8, 0.0] });
}

/// What the vehicle presses the left strut's head with, and the ground its foot, N.
fn forces(yard: &Yard, now: &Snapshot) -> [[f64; 3]; 2] {
    let kind = |part: usize| yard.parts()[part].kind;
    let mut sums = [[0.0; 3]; 2];
    for load in &now.loads {
        let by_vehicle = load.by.is_some_and(|by| kind(by).is_vehicle());
        let (which, sign) = match (kind(load.on), load.by.map(kind)) {
            (PartKind::Strut(0), _) if by_vehicle => (0, 1.0),
            (on, Some(PartKind::Strut(0))) if on.is_vehicle() => (0, -1.0),
            (PartKind::StrutFoot(0), None) => (1, 1.0),
            _ => continue,
        };
        for (sum, force) in sums[which].iter_mut().zip(load.force) {
            *sum += sign * force;
        }
    }
    sums
}

/// Weight of a strut's tube and of its plate, N.
fn weights_n(strut: &Strut, length_m: f64) -> [f64; 2] {
    let bore_m = strut.diameter_m - 2.0 * strut.wall_m;
    let area_m2 = std::f64::consts::FRAC_PI_4 * (strut.diameter_m.powi(2) - bore_m.powi(2));
    let plate_m3 = strut.plate_m.powi(2) * Strut::PLATE_M;
    // Its fittings weigh 4 kg.
    [G * (STEEL_KG_M3 * area_m2 * length_m + 4.0), G * STEEL_KG_M3 * plate_m3]
}

#[test]
fn a_splayed_strut_and_its_tie_are_a_triangle() {
    let mut axial = Claim {
        id: "strut.axial",
        claim: "a splayed strut bears V / cos of its angle under a push V from above",
        source: "statics of a two-force member, with half the tube's own weight at either end",
        range: "leaning outwards by 0.4, 0.6 and 0.8 for 1 up, 100 to 300 kg over the tail",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "the seat's force is read a step before its pose",
    }
    .begin();
    let mut tie = Claim {
        id: "strut.tie",
        claim: "the strap from foot to foot pulls V tan of that angle less the foot's friction",
        source: "statics of the triangle",
        range: "the same",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "friction is read off the ground's contacts, where it is known to 1 %",
    }
    .begin();
    for lean in [0.4, 0.6, 0.8] {
        let tied = strap("300 N", "60 kN", "7 %");
        let mut yard = stood(rig(lean, "", &["ground.friction=10 %", &tied]));
        for kg in [100.0, 100.0, 100.0] {
            load(&mut yard, kg);
            run(&mut yard, 2.0);
            let now = &yard.snapshot;
            let ([head, foot], state) = (forces(&yard, now), now.struts[0]);
            let [tube_n, _] = weights_n(&yard.scene.struts[0], state.length_m);
            // The line's slope as it stands now, from the tube's own pose.
            let tube = yard.parts().iter().position(|p| p.kind == PartKind::Strut(0)).unwrap();
            let line = now.poses[tube].turned([0.0, 1.0, 0.0]);
            let (sin, cos) = (line[0].hypot(line[2]), line[1]);
            // Half the tube's weight rests on the head, square to its line.
            let across_n = tube_n / 2.0 * sin;
            let push_n = -head[1] + across_n * sin;
            axial.compare(state.axial_n, push_n / cos, format!("lean {lean}, {kg} kg"));
            let outwards_n = push_n * sin / cos + across_n * cos;
            let friction_n = -foot[2];
            let pulls_n = now.straps[0].tension_n;
            tie.compare(pulls_n, outwards_n - friction_n, format!("lean {lean}, {kg} kg"));
        }
    }
    axial.end();
    tie.end();
}

/// Whether the left foot slides away under 300 kg on the tail.
fn slides(lean: f64) -> (bool, f64) {
    let mut yard = stood(rig(lean, "", &[]));
    load(&mut yard, 300.0);
    run(&mut yard, 2.0);
    let now = &yard.snapshot;
    (now.struts.iter().any(|s| s.slid_m > 0.02), now.struts[0].axial_n)
}

#[test]
fn a_foot_slides_where_its_line_leans_more_than_friction_holds() {
    let mut claim = Claim {
        id: "strut.slides",
        claim: "a foot slides where tan of its line's angle is over mu, and not under it",
        source: "Coulomb's friction, with the weight of plate and half the tube on the foot",
        range: "asphalt, 300 kg over the tail, leans of 0.3 to 0.6 bisected to 0.5 %",
        tolerance: 0.03,
        unit: Unit::Share,
        reason: "the engine slips within 1 % of the friction angle, and the bisection ends at 0.5 %",
    }
    .begin();
    let (mut holds, mut goes) = (0.30, 0.60);
    assert!(!slides(holds).0 && slides(goes).0, "the sweep has both");
    let mut bears_n = 0.0;
    while goes / holds > 1.005 {
        let lean = f64::midpoint(holds, goes);
        match slides(lean) {
            (true, _) => goes = lean,
            (false, n) => (holds, bears_n) = (lean, n),
        }
    }
    let scene = rig(holds, "", &[]);
    let grip = scene.grip();
    let mu = (grip.share_of(Material::Sheet)
        * grip.share_of(Material::Ground(scene.ground.surface)))
    .sqrt();
    let cos = 1.0 / holds.hypot(1.0);
    let [tube_n, plate_n] = weights_n(&scene.struts[0], 1.0);
    // mu (C cos + w) = C sin, in the limit.
    let limit = mu * (1.0 + (tube_n / 2.0 + plate_n) / (bears_n * cos));
    claim.compare(f64::midpoint(holds, goes), limit, format!("mu {mu:.3}, bears {bears_n:.0} N"));
    claim.end();
}

#[test]
fn a_strut_folds_at_eulers_load() {
    let mut claim = Claim {
        id: "strut.euler",
        claim: "a strut folds where it bears pi^2 E I / L^2, and bears anything under it",
        source: "Euler's load, pins at both ends (strength of materials, any textbook)",
        range: "tubes of 12 to 16 mm, a load over the tail that grows by 30 kg a second until one folds",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "the load grows by a few newtons a tick",
    }
    .begin();
    for mm in [12.0_f64, 14.0, 16.0] {
        let tied = strap("200 N", "60 kN", "7 %");
        let tube = format!(", diameter: \"{mm} mm\", wall: \"1.5 mm\"");
        let mut yard = stood(rig(0.4, &tube, &[&tied]));
        let [outer, bore] = [mm * 1e-3, (mm - 3.0) * 1e-3];
        let second_m4 = std::f64::consts::PI / 64.0 * (outer.powi(4) - bore.powi(4));
        let length_m = yard.snapshot.struts[0].length_m;
        let euler_n = std::f64::consts::PI.powi(2) * 210e9 * second_m4 / length_m.powi(2);
        let (mut most_n, mut folded) = (0.0_f64, false);
        for _ in 0..1500 {
            load(&mut yard, 0.5);
            yard.tick();
            let states = &yard.snapshot.struts;
            most_n = states.iter().map(|s| s.axial_n).fold(most_n, f64::max);
            folded = states.iter().any(|s| s.buckled);
            if folded {
                break;
            }
        }
        assert!(folded, "a tube of {mm} mm never folds; it bore {most_n} N of {euler_n} N");
        claim.compare(most_n, euler_n, format!("{mm} mm, {length_m:.2} m long"));
    }
    claim.end();
}

#[test]
fn a_strap_is_longer_by_its_pull() {
    let mut preload = Claim {
        id: "strut.preload",
        claim: "when the lift begins a strap pulls with what it was drawn tight to",
        source: "the scene's own value",
        range: "0.1 and 0.2 kN from foot to foot",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "the feet creep by less than a hundredth of what the strap gives",
    }
    .begin();
    let mut longer = Claim {
        id: "strut.elongation",
        claim: "a strap is longer by F L / (E A) under what it pulls more",
        source: "Hooke's law; E A from the lashing capacity and the elongation there",
        range: "the same straps, 3.5, 7 and 15 % longer at 10 kN, 300 kg over the tail",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "places are single precision, 0.1 um of at least 10 mm",
    }
    .begin();
    let length_m = |now: &Snapshot| {
        let [a, b] = now.straps[0].ends;
        (0..3).map(|i| (a[i] - b[i]).powi(2)).sum::<f64>().sqrt()
    };
    for (kn, share) in [(0.1, 0.035), (0.2, 0.07), (0.2, 0.15)] {
        let tied = strap(&format!("{kn} kN"), "10 kN", &format!("{} %", share * 100.0));
        let mut yard = stood(rig(0.6, "", &["ground.friction=10 %", &tied]));
        let (pull_n, long_m) = (yard.snapshot.straps[0].tension_n, length_m(&yard.snapshot));
        preload.compare(pull_n, kn * 1e3, format!("{kn} kN"));
        load(&mut yard, 300.0);
        run(&mut yard, 3.0);
        let now = &yard.snapshot;
        let (more_n, more_m) = (now.straps[0].tension_n - pull_n, length_m(now) - long_m);
        // Its length without a pull.
        let rest_m = long_m / (1.0 + pull_n * share / 10e3);
        longer.compare(more_m, more_n * rest_m * share / 10e3, format!("{kn} kN, {share}"));
    }
    preload.end();
    longer.end();
}

/// Two equal sides bear the same, but for what two hundredths of a millimetre of their seats' give
/// are worth. On slippery ground: the roof's friction can hold a few tenths of a millimetre of drift
/// across, and with it a part of either side's load. And a strap from the tail to the ground pulls
/// between the two as well.
#[test]
fn a_mirrored_rig_bears_the_same() {
    let tie = strap("300 N", "20 kN", "7 %");
    let mut yard = stood(rig(0.3, "", &["ground.friction=10 %", &tie]));
    load(&mut yard, 200.0);
    run(&mut yard, 2.0);
    let [left, right] = [0, 1].map(|i| yard.snapshot.struts[i].axial_n);
    assert!(
        left > 300.0 && relative_eq!(left, right, max_relative = 0.01),
        "{left} N and {right} N"
    );
    let tied = "straps=[(name: \"down\", at: [\"-1.9 m\", \"0 m\"], height: \"1.2 m\", \
                anchor: [\"-2.6 m\", \"0 m\"], preload: \"1.5 kN\")]";
    let yard = stood(rig(0.3, "", &[tied]));
    let state = yard.snapshot.straps[0];
    assert!(relative_eq!(state.tension_n, 1500.0, max_relative = 0.01), "{state:?}");
    assert!(state.ends[1][1].abs() < 1e-3 || state.ends[0][1].abs() < 1e-3, "{state:?}");
}

/// Findings of struts and straps in a rig that is loaded as the lift begins.
fn found(lean: f64, tube: &str, more: &[&str], kg: f64) -> Vec<Measured> {
    let waits = ["orders=[(wait: (for: \"5 s\"))]"];
    let scene = rig(lean, tube, &[&waits, more].concat());
    let mut lift = Lift::new(Arc::new(scene));
    lift.strike(&Fault::Load { kg, place_m: [X_M, 0.8, 0.0] });
    for _ in 0..180 {
        lift.tick();
    }
    let of = |cause| matches!(cause, Cause::Strut | Cause::Strap);
    let findings = lift.findings().iter().filter(|finding| of(finding.cause()));
    findings.map(|finding| finding.measured.clone()).collect()
}

/// Each way to fail, and its near miss.
#[test]
fn what_goes_wrong_with_struts_and_straps_is_found() {
    let tied = |capacity: &str| strap("200 N", capacity, "1 %");
    let with = |more: &str| found(0.6, "", &["ground.friction=10 %", more], 300.0);
    let none: &[Measured] = &[];
    assert_eq!(with(&tied("5 kN")), none, "a strong strap holds");
    let over = with(&tied("450 N"));
    assert!(over.iter().any(|m| matches!(m, Measured::StrapLoad { .. })), "{over:?}");
    assert!(!over.iter().any(|m| matches!(m, Measured::StrapParted { .. })), "{over:?}");
    let parted = with(&tied("250 N"));
    assert!(parted.iter().any(|m| matches!(m, Measured::StrapParted { .. })), "{parted:?}");
    let loose = found(0.6, "", &[], 300.0);
    assert!(matches!(loose[0], Measured::StrutSlide { .. }), "{loose:?}");
    let upright = found(0.1, "", &[], 300.0);
    assert_eq!(upright, none, "an upright strut stands by friction");
    let weak = found(0.1, ", diameter: \"12 mm\", wall: \"1 mm\"", &[], 300.0);
    assert!(weak.iter().any(|m| matches!(m, Measured::StrutBuckled { .. })), "{weak:?}");
}

//! Beams and cribs on paper against worked examples from outside. The beam formulas
//! themselves (AISC Steel Construction Manual table 3-23, AWC Design Aid 6, both from
//! memory, not verified) are held by integrating the bending line.

use approx::assert_relative_eq;
use inchwise::statics::beam::{Overhang, Section, TwoOverhangs, centre_load, held_between_nm};
use inchwise::statics::stacks::{crossing_stress_pa, rated_n, tip_angle_rad, tipping_n};
use inchwise::tables::{CLEAR_RUPTURE, CRIB_RATING_PA, TIMBERS, Timber, WEAKEST_BEARING_PA};

const PSI_PA: f64 = 6894.757;
const POUND_N: f64 = 4.448_222;
const INCH_M: f64 = 0.0254;

fn timber(nominal: &str) -> Timber {
    *TIMBERS.iter().find(|t| t.nominal == nominal).expect("a known timber")
}

fn section(nominal: &str) -> Section {
    let t = timber(nominal);
    Section { width_m: t.width_m, depth_m: t.height_m }
}

/// Deflection at `x` of a beam with moment `m(x)` from `from` to `to` and no deflection at
/// `a` and `b`: `y'' = m / EI` integrated twice by the trapezium rule.
fn deflection(
    m: impl Fn(f64) -> f64,
    [from, to]: [f64; 2],
    [a, b]: [f64; 2],
    at: f64,
    ei: f64,
) -> f64 {
    let n = 20_000;
    let dx = (to - from) / n as f64;
    let (mut slope, mut y) = (0.0, 0.0);
    let mut line = vec![(from, 0.0)];
    for i in 0..n {
        let x = from + i as f64 * dx;
        let next = slope + (m(x) + m(x + dx)) / 2.0 * dx / ei;
        y += (slope + next) / 2.0 * dx;
        slope = next;
        line.push((x + dx, y));
    }
    let near = |x: f64| line[((x - from) / dx).round() as usize].1;
    let chord = |x: f64| near(a) + (near(b) - near(a)) * (x - a) / (b - a);
    near(at) - chord(at)
}

/// An 89 mm square, span 1 m, E 11.03 GPa, 5 kN in the middle: I = 5.2285e-6 m4, stress
/// `P L / 4 / S` = 10.64 MPa, deflection `P L³ / 48 E I` = 1.806 mm; with 5 kN on the tip of
/// one 0.3 m overhang moment 1.5 kN m, tip `P a² (L + a) / 3 E I` = 3.381 mm.
#[test]
fn handbook_cases_by_hand() {
    let square = Section { width_m: 0.089, depth_m: 0.089 };
    assert_relative_eq!(square.inertia_m4(), 5.2285e-6, max_relative = 1e-4);
    let ei = 11.03e9 * square.inertia_m4();
    let (moment, sag) = centre_load(5e3, 1.0, ei);
    assert_relative_eq!(square.bending_pa(moment), 10.64e6, max_relative = 1e-3);
    assert_relative_eq!(sag, 1.806e-3, max_relative = 1e-3);
    // Two such overhangs: each end also feels the other's moment, by `P a² L / 6 E I`.
    let overhang = Overhang { force_n: 5e3, arm_m: 0.3 };
    assert_relative_eq!(overhang.moment_nm(), 1.5e3, max_relative = 1e-12);
    let [end, _] = TwoOverhangs { ends: [overhang; 2], span_m: 1.0 }.ends_m(ei);
    assert_relative_eq!(end - 5e3 * 0.09 / (6.0 * ei), 3.381e-3, max_relative = 1e-3);
    // Shear of a rectangle is half as much again as its mean.
    assert_relative_eq!(square.shear_pa(5e3), 1.5 * 5e3 / (0.089 * 0.089), max_relative = 1e-12);
}

/// Every closed form against the integral of its own moment line, for spans and places.
#[test]
fn closed_forms_are_integrals_of_the_bending_line() {
    let ei = 11.03e9 * section("4x6").inertia_m4();
    for (span, a, force) in [(1.0, 0.3, 4e3), (1.5, 0.4, 4e3), (0.9, 0.25, 9e3)] {
        // In the middle: reactions P / 2.
        let (moment, sag) = centre_load(force, span, ei);
        let m = |x: f64| force / 2.0 * x.min(span - x);
        assert_relative_eq!(moment, m(span / 2.0), max_relative = 1e-12);
        let by_hand = -deflection(m, [0.0, span], [0.0, span], span / 2.0, ei);
        assert_relative_eq!(sag, by_hand, max_relative = 1e-3);
        // Pushed up at both ends: a line from one moment to the other between, constant where
        // both sides are equal.
        for (other, b) in [(force, a), (0.6 * force, 1.7 * a), (1.4 * force, 0.5 * a)] {
            let overhang = |force_n, arm_m| Overhang { force_n, arm_m };
            let beam =
                TwoOverhangs { ends: [overhang(force, a), overhang(other, b)], span_m: span };
            let m = |x: f64| match x {
                _ if x < 0.0 => force * (x + a),
                _ if x > span => other * (span + b - x),
                _ => force * a + (other * b - force * a) * x / span,
            };
            let (held, line) = ([0.0, span], [-a, span + b]);
            let bent = |x: f64| deflection(m, line, held, x, ei);
            let [one_m, other_m] = beam.ends_m(ei);
            assert_relative_eq!(bent(-a), one_m, max_relative = 1e-3);
            assert_relative_eq!(bent(span + b), other_m, max_relative = 1e-3);
            assert_relative_eq!(-bent(span / 2.0), beam.middle_m(ei), max_relative = 2e-3);
            // What holds it down: forces, and moments about the first end.
            let [one_n, other_n] = beam.held_n();
            assert_relative_eq!(one_n + other_n, force + other, max_relative = 1e-12);
            let about = one_n * a + other_n * (a + span);
            assert_relative_eq!(about, other * (a + span + b), max_relative = 1e-12);
            // Held down at one place instead: the moments of both ends about it are equal.
            let whole = a + span + b;
            let from_one = whole * other / (force + other);
            let there = held_between_nm([force, other], whole);
            assert_relative_eq!(there, force * from_one, max_relative = 1e-12);
            assert_relative_eq!(there, other * (whole - from_one), max_relative = 1e-9);
        }
        let equal = held_between_nm([force / 2.0; 2], span);
        assert_relative_eq!(equal, moment, max_relative = 1e-12);
    }
}

/// Allowable centre loads from reference design values (AWC NDS Supplement tables 4A and
/// 4D, from memory, not verified): 4x4 900 x 1.5 psi over 24, 36 and 48 in is 7.15, 4.77
/// and 3.58 kN; 4x6 on edge 900 x 1.3 psi 15.3, 10.2, 7.65; 6x6 750 psi 15.4, 10.3, 7.71.
#[test]
fn allowable_loads_from_design_values() {
    for (nominal, modulus_cm3, moment_nm, loads_kn) in [
        ("4x4", 117.1, 1090.0, [7.15, 4.77, 3.58]),
        ("4x6", 289.2, 2333.0, [15.3, 10.2, 7.65]),
        ("6x6", 454.4, 2350.0, [15.4, 10.3, 7.71]),
    ] {
        let section = section(nominal);
        let grade = timber(nominal).grade();
        assert_relative_eq!(section.modulus_m3() * 1e6, modulus_cm3, max_relative = 1e-3);
        let allowed = grade.bending_pa * section.modulus_m3();
        assert_relative_eq!(allowed, moment_nm, max_relative = 2e-3);
        for (span_in, kn) in [24.0, 36.0, 48.0].into_iter().zip(loads_kn) {
            let load = allowed * 4.0 / (span_in * INCH_M);
            assert_relative_eq!(load / 1e3, kn, max_relative = 4e-3);
        }
    }
    // Clear wood breaks at 9.1 times the design moment of a 4x4: 85 MPa, Wood Handbook
    // FPL-GTR-190 table 5-3a.
    let design = timber("4x4").grade().bending_pa;
    assert_relative_eq!(CLEAR_RUPTURE.mean_pa / design, 9.13, max_relative = 2e-3);
}

/// California State Fire Training, Rescue Systems 1 (2000), chapter 30: 24,000 lb for two
/// 4x4 timbers a layer, 55,000 lb for three; 500 psi on 3.5 in squares gives 24,500 and
/// 55,125. Timbers of 6x6: 60,500 and 136,125 lb (60,000 lb in a magazine's table).
#[test]
fn crib_ratings_are_500_psi_on_every_crossing() {
    for (nominal, members, pounds, printed) in [
        ("4x4", 2, 24_500.0, 24_000.0),
        ("4x4", 3, 55_125.0, 55_000.0),
        ("6x6", 2, 60_500.0, 60_000.0),
        ("6x6", 3, 136_125.0, 136_000.0),
    ] {
        let rated = rated_n(members * members, timber(nominal).width_m, CRIB_RATING_PA) / POUND_N;
        assert_relative_eq!(rated, pounds, max_relative = 1e-4);
        assert_relative_eq!(rated, printed, max_relative = 0.025);
    }
    // At spruce-pine-fir's 425 psi a crib of two is good for 20,825 lb only.
    let weak = rated_n(4, timber("4x4").width_m, WEAKEST_BEARING_PA) / POUND_N;
    assert_relative_eq!(weak, 20_825.0, max_relative = 1e-4);
    assert_relative_eq!(CRIB_RATING_PA, 500.0 * PSI_PA, max_relative = 1e-6);
}

/// A load's line tips a stack at `atan(B / 2H)`: 26.57, 18.43, 14.04, 9.46 degrees for
/// H/B of 1, 1.5, 2, 3; the sideways share that does it is B/2H.
#[test]
fn stacks_tip_where_the_line_leaves_the_base() {
    for (slender, degrees) in [(1.0, 26.57), (1.5, 18.43), (2.0, 14.04), (3.0, 9.46)] {
        let (base, height) = (0.43, 0.43 * slender);
        assert_relative_eq!(
            tip_angle_rad(base / 2.0, height).to_degrees(),
            degrees,
            epsilon = 0.01
        );
        let share = tipping_n(1000.0, base / 2.0, 0.0, height) / 1000.0;
        assert_relative_eq!(share, 1.0 / (2.0 * slender), max_relative = 1e-12);
        // Half way out, half as much tips it.
        assert_relative_eq!(
            tipping_n(1000.0, base / 2.0, base / 4.0, height),
            500.0 * share,
            max_relative = 1e-12
        );
    }
}

/// In the middle every crossing carries the same; over one row of timbers that row carries all.
#[test]
fn crossings_share_a_load_by_its_place() {
    let scene = inchwise::scene::load("beam-lift", &[]).expect("a shipped scene").scene;
    let stack = &scene.stacks[0];
    let area = stack.timber.width_m.powi(2);
    let n = (stack.members * stack.members) as f64;
    assert_relative_eq!(crossing_stress_pa(stack, 4e3, 0.0), 4e3 / n / area, max_relative = 1e-12);
    let outer = stack.length_m / 2.0 - 1.5 * stack.timber.width_m;
    let all = crossing_stress_pa(stack, 4e3, outer);
    assert_relative_eq!(all, 4e3 / stack.members as f64 / area, max_relative = 1e-9);
}

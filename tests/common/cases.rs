//! Cases of statics that more than one test measures: the families of `val_beam` and
//! `val_load`, and the survey of the solver's settings.

use super::{
    ColliderBuilder, Crib, FOUR_M, G, Real, Rotation, TIMBER_KG_M3, block, density, force, gravity,
    run, v,
};
use inchwise::world::beam::{Across, BeamSection, LoadedBeam};
use inchwise::world::engine::{BodySpec, Engine, Groups, Mass, RigidBodyHandle};
use inchwise::world::solver::Settings;
use std::fmt;

/// A found value beside the one that statics says.
pub struct Case {
    at: String,
    pub found: f64,
    pub expected: f64,
    /// What the difference is a share of.
    against: f64,
}

impl Case {
    fn new(at: String, found: f64, expected: f64) -> Self {
        Self { at, found, expected, against: expected }
    }

    pub fn off(&self) -> f64 {
        ((self.found - self.expected) / self.against).abs()
    }
}

impl fmt::Display for Case {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}: {} for {}", self.at, self.found, self.expected)
    }
}

/// The worst of some cases.
pub fn worst(cases: &[Case]) -> f64 {
    cases.iter().map(Case::off).fold(0.0, f64::max)
}

/// Half width of supports and of the loads' feet along the beam, m.
const FOOT_M: f64 = 0.004;
/// A 4x4 of Douglas-fir.
pub const SECTION: BeamSection =
    BeamSection { width_m: FOUR_M, height_m: FOUR_M, modulus_pa: 11.03e9 };
/// A 4x4 weighs, N a metre.
pub const WEIGHT_N_M: f64 = FOUR_M * FOUR_M * TIMBER_KG_M3 * G;

/// The forces on a 4x4 of some length, supported at two places under loads (place, N), all
/// measured from its left end, once it lies still.
pub fn beam_on_feet(
    settings: Settings,
    length_m: f64,
    supports: [f64; 2],
    loads: &[(f64, f64)],
) -> LoadedBeam {
    let mut engine = Engine::with_settings(gravity(0.0), settings);
    let mut thin = |at: [f64; 3], mass: Mass, fixed: bool, half: [f64; 3]| {
        engine.add(BodySpec {
            position: v(at),
            rotation: Rotation::IDENTITY,
            shapes: vec![ColliderBuilder::cuboid(
                half[0] as Real,
                half[1] as Real,
                half[2] as Real,
            )],
            mass,
            fixed,
            friction: 0.5.into(),
            groups: Groups::Part,
        })
    };
    let start = -length_m / 2.0;
    for x in supports {
        thin([start + x, 0.05, 0.0], Mass::Density(1.0), true, [FOOT_M, 0.05, 0.1]);
    }
    let t = FOUR_M / 2.0;
    let timber = Mass::Density(TIMBER_KG_M3);
    let beam = thin([0.0, 0.1 + t, 0.0], timber, false, [length_m / 2.0, t, t]);
    for (x, n) in loads {
        // Its mass sits at its foot, so that so narrow a load stands.
        let mass =
            Mass::Given { kg: n / G, com: v([0.0, -0.05, 0.0]), inertia: v([2.0, 2.0, 2.0]) };
        thin([start + x, 0.1 + FOUR_M + 0.05, 0.0], mass, false, [FOOT_M, 0.05, t]);
    }
    run(&mut engine, 3.0);
    let forces = engine
        .loads()
        .iter()
        .filter_map(|load| {
            let sign = if load.on == beam {
                1.0
            } else if load.by == beam {
                -1.0
            } else {
                return None;
            };
            let at_m = f64::from(load.point.x) - start;
            Some(Across { at_m, n: sign * f64::from(load.force.y) })
        })
        .collect();
    LoadedBeam { length_m, weight_n_m: WEIGHT_N_M, forces }
}

/// Two-point loading, M = P a, and a loaded overhang, M = -P a at the support.
pub fn beam_moments(settings: Settings) -> Vec<Case> {
    let mut cases = Vec::new();
    for a in [0.2, 0.35, 0.5] {
        let p = 4000.0;
        let beam = beam_on_feet(settings, 1.3, [0.05, 1.25], &[(0.05 + a, p), (1.25 - a, p)]);
        let own = WEIGHT_N_M * (1.2_f64.powi(2) / 8.0 - 0.05_f64.powi(2) / 2.0);
        let at = format!("two-point, a {a} m");
        cases.push(Case::new(at, beam.moment_nm(0.65), p * a + own));

        // A load on the span holds the far end down.
        let (tip, inner) = (1500.0, 6000.0);
        let length = 1.15 + a;
        let beam = beam_on_feet(settings, length, [0.05, 1.05], &[(0.55, inner), (1.05 + a, tip)]);
        let beyond = length - 1.05;
        let expected = -(tip * a + WEIGHT_N_M * beyond * beyond / 2.0);
        cases.push(Case::new(format!("overhang {a} m"), beam.moment_nm(1.05), expected));
    }
    cases
}

/// P L^3 / (48 E I), P a (3 L^2 - 4 a^2) / (24 E I), and the tip of an overhang.
pub fn beam_deflections(settings: Settings) -> Vec<Case> {
    let mut cases = Vec::new();
    let ei = SECTION.modulus_pa * SECTION.second_moment_m4();
    for span in [0.6, 1.0, 2.4_f64] {
        let beam =
            beam_on_feet(settings, span + 0.1, [0.05, 0.05 + span], &[(0.05 + span / 2.0, 5e3)]);
        let held = [0.05, 0.05 + span];
        let sag = beam.deflections_m(SECTION, held, &[0.05 + span / 2.0], 2000)[0];
        let own = 5.0 * WEIGHT_N_M * span.powi(4) / (384.0 * ei);
        let expected = 5e3 * span.powi(3) / (48.0 * ei) + own;
        cases.push(Case::new(format!("span {span} m"), sag, expected));
    }
    for a in [0.2, 0.35, 0.5] {
        let (span, middle): (f64, f64) = (1.2, 0.65);
        let held = [0.05, 0.05 + span];
        let beam = beam_on_feet(
            settings,
            span + 0.1,
            held,
            &[(0.05 + a, 2500.0), (0.05 + span - a, 2500.0)],
        );
        let sag = beam.deflections_m(SECTION, held, &[middle], 2000)[0];
        let own = 5.0 * WEIGHT_N_M * span.powi(4) / (384.0 * ei);
        let expected = 2500.0 * a * (3.0 * span * span - 4.0 * a * a) / (24.0 * ei) + own;
        cases.push(Case::new(format!("two loads, {a} m from the ends"), sag, expected));
    }
    // The tip's deflection by the load on the span is -P L^2 a / (16 E I).
    for a in [0.2, 0.3, 0.4] {
        let (tip, inner) = (1500.0, 6000.0);
        let length = 1.05 + a + 0.004;
        let beam = beam_on_feet(settings, length, [0.05, 1.05], &[(0.55, inner), (1.05 + a, tip)]);
        let sag = beam.deflections_m(SECTION, [0.05, 1.05], &[1.05 + a], 2000)[0];
        let expected = tip * a * a * (1.0 + a) / (3.0 * ei) - inner * a / (16.0 * ei);
        // The two almost cancel: judge by the larger.
        let against = inner * a / (16.0 * ei);
        cases.push(Case { at: format!("overhang {a} m"), found: sag, expected, against });
    }
    cases
}

/// A plank of 60 kg on two light feet 2 m apart under a load at some shares of that: what
/// the left foot bears, R1 = W b / L.
pub fn two_supports(settings: Settings, kg: f64) -> Vec<Case> {
    let one = |share: f64| {
        let mut engine = Engine::with_settings(gravity(0.0), settings);
        engine.add_ground(0.6);
        let foot = [0.005, 0.05, 0.2];
        let mut stand = |x: f64| block(&mut engine, foot, [x, 0.05, 0.0], density(4.0, foot), 0.6);
        let (left, _right) = (stand(-1.0), stand(1.0));
        let plank = [1.1, 0.04, 0.2];
        let plank = block(&mut engine, plank, [0.0, 0.14, 0.0], density(60.0, plank), 0.6);
        let load = [0.05, 0.05, 0.1];
        let x = 2.0 * share - 1.0;
        block(&mut engine, load, [x, 0.23, 0.0], density(kg, load), 0.6);
        run(&mut engine, 3.0);
        let expected = (kg * (1.0 - share) + 30.0) * G;
        Case::new(format!("{kg} kg at {share}"), force(&engine, plank, left)[1], expected)
    };
    [0.1, 0.3, 0.5, 0.7, 0.9].map(one).into()
}

/// A crib of six layers some time after `pounds` were put on it, s; it bobs for some seconds
/// before it is at rest. At each joint between layers the mean bearing stress, Pa, beside that by the weight of all above it.
pub fn rated_crib(
    settings: Settings,
    timber_m: f64,
    members: usize,
    pounds: f64,
    after_s: f64,
) -> Vec<Case> {
    let load_kg = pounds * 0.453_592_37;
    let crib = Crib { layers: 6, timber_m, length_m: 7.0 * timber_m, members, load_kg };
    let mut engine = Engine::with_settings(gravity(0.0), settings);
    engine.add_ground(0.6);
    let (layers, _) = crib.build(&mut engine, 0.5, TIMBER_KG_M3);
    run(&mut engine, after_s);
    let area = (members * members) as f64 * timber_m * timber_m;
    let pairs = layers.windows(2).enumerate();
    let joint = |(below, pair): (usize, &[Vec<RigidBodyHandle>])| {
        let through: f64 = pair[1]
            .iter()
            .flat_map(|upper| pair[0].iter().map(|lower| (*upper, *lower)))
            .map(|(upper, lower)| force(&engine, upper, lower)[1])
            .sum();
        let above = load_kg + (crib.layers - 1 - below) as f64 * crib.layer_kg();
        let at = format!("{members} of {timber_m} m under {pounds} lb, joint {below}");
        Case::new(at, through / area, above * G / area)
    };
    pairs.map(joint).collect()
}

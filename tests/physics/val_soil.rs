//! Soil under a base.
//!
//! Law: pressure and settlement rise together up to what the soil bears, then the base goes
//! on down at that pressure; taken off, it comes back along the elastic line and the rest
//! stays (elastic, perfectly plastic bed; closed form). Off the middle a base bears as one
//! that is shorter by twice the offset (Meyerhof 1953, effective width; from memory, not
//! verified). Presumptive values: IBC table 1806.2 (2012); that soil bears three times as
//! much is assumed, and so are the undrained strengths of soft ground.

use crate::common::{Claim, G, Unit, alone, block, density, gravity, run, steps, v};
use bevy_rapier3d::rapier::prelude::Pose;
use inchwise::scene::{self, VehicleEdge};
use inchwise::snapshot::{BaseState, Footing, PartKind};
use inchwise::tables::BEDS;
use inchwise::world::engine::{Engine, RigidBodyHandle};
use inchwise::world::{Law, Yard, YieldingSupport};
use std::sync::Arc;

const LONG_M: f64 = 0.6096;
const WIDE_M: f64 = 0.4;
const PLATE_KG: f64 = 15.0;
/// Along X and along Z.
const POINTS: [usize; 2] = [4, 2];

/// A plate on a bed, pressed by a force that is put on it anywhere.
struct Plate {
    engine: Engine,
    body: RigidBodyHandle,
    bed: YieldingSupport,
}

impl Plate {
    fn new(capacity_n: f64, yields_at_m: f64) -> Self {
        let mut engine = Engine::new(gravity(0.0));
        let ground = engine.add_ground(0.5);
        let half = [LONG_M / 2.0, 0.05, WIDE_M / 2.0];
        let body = block(&mut engine, half, [0.0, 0.5, 0.0], density(PLATE_KG, half), 0.5);
        engine.bodies[body].set_gravity_scale(0.0, true);
        let frame = Pose::from_translation(v([0.0, 1.5, 0.0]));
        let mut points = Vec::new();
        for i in 0..POINTS[0] {
            for j in 0..POINTS[1] {
                let place = |side: f64, i: usize, count: usize| {
                    side * ((i as f64 + 0.5) / count as f64 - 0.5)
                };
                points.push([place(LONG_M, i, POINTS[0]), place(WIDE_M, j, POINTS[1])]);
            }
        }
        let count = points.len() as f64;
        let law = Law {
            stiffness_n_m: capacity_n / yields_at_m / count,
            plateau_n: capacity_n / count,
            rest_m: 0.0,
            limits_m: [-0.4, 0.0],
            pulls: false,
        };
        let bed = YieldingSupport::bed(&mut engine, ground, body, frame, law, &points);
        Self { engine, body, bed }
    }

    /// Presses it with a force at `x`, for some time.
    fn press(&mut self, n: f64, x: f64, seconds: f64) {
        for _ in 0..steps(seconds) {
            self.bed.advance(&mut self.engine);
            let body = &mut self.engine.bodies[self.body];
            body.add_force(v([0.0, -n, 0.0]), true);
            body.add_torque(v([0.0, 0.0, -n * x]), true);
            run(&mut self.engine, 1.0 / 120.0);
        }
    }

    fn sunk_m(&self) -> f64 {
        0.5 - f64::from(self.engine.bodies[self.body].translation().y)
    }

    fn tilt_rad(&self) -> f64 {
        2.0 * f64::from(self.engine.bodies[self.body].rotation().z).abs().asin()
    }
}

#[test]
fn a_plate_settles_by_the_bilinear_law_and_keeps_its_set() {
    let mut elastic = Claim {
        id: "soil.elastic",
        claim: "a base below its plateau settles by F / k and comes back",
        source: "elastic bed, closed form",
        range: "3 to 60 kN, yielding at 9 and 25 mm, 20 to 90 % of the plateau",
        tolerance: 0.002,
        unit: Unit::Share,
        reason: "settled to a micrometre of at least 1.8 mm",
    }
    .begin();
    let mut set = Claim {
        id: "soil.set",
        claim: "past its plateau what it went further stays, and it unloads along the elastic line",
        source: "elastic, perfectly plastic bed, closed form",
        range: "the same beds, pressed with 1.1 times the plateau for 0.3 and 1 s, unloaded to 75, \
                50 and 1 %",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "settled to a micrometre; the plate's own way to rest at 99.9 % is counted in",
    }
    .begin();
    for capacity in [3e3, 15e3, 60e3] {
        for yields_at in [0.009, 0.0254] {
            let at = format!("{capacity} N at {yields_at} m");
            let mut plate = Plate::new(capacity, yields_at);
            for share in [0.2, 0.5, 0.9] {
                plate.press(share * capacity, 0.0, 2.0);
                elastic.compare(plate.sunk_m(), share * yields_at, &at);
            }
            plate.press(0.2 * capacity, 0.0, 2.0);
            elastic.compare(plate.sunk_m(), 0.2 * yields_at, &at);
            for seconds in [0.3, 1.0] {
                let mut plate = Plate::new(capacity, yields_at);
                plate.press(1.1 * capacity, 0.0, seconds);
                plate.press(0.999 * capacity, 0.0, 2.0);
                let furthest = plate.sunk_m() + 0.001 * yields_at;
                assert!(furthest > 1.02 * yields_at, "{at}: it has not yielded");
                for share in [0.75, 0.5, 0.01] {
                    plate.press(share * capacity, 0.0, 2.0);
                    let back = furthest - plate.sunk_m();
                    set.compare(back, (1.0 - share) * yields_at, &at);
                }
            }
        }
    }
    elastic.end();
    set.end();
}

/// A load off the middle tilts an elastic bed of points by `P e / (k sum x^2)`; with n
/// points in the middles of equal parts `sum x^2` is `n L^2 / 12 (1 - 1/n^2)`.
#[test]
fn an_uneven_load_leans_the_base() {
    let mut residuals = Claim {
        id: "soil.tilt",
        claim: "a base loaded off its middle leans by M / k sum x^2",
        source: "elastic bed, closed form: K = k A L^2 / 12 (1 - 1/4^2) for four points along it",
        range: "15 kN at 9 and 25 mm, 10 and 40 % of it at 2 to 12 % of the length",
        tolerance: 0.005,
        unit: Unit::Share,
        reason: "single precision of a turn of at least a milliradian",
    }
    .begin();
    for yields_at in [0.009, 0.0254] {
        for share in [0.1, 0.4] {
            for off in [0.02, 0.06, 0.12] {
                let (capacity, along) = (15e3, POINTS[0] as f64);
                let mut plate = Plate::new(capacity, yields_at);
                plate.press(share * capacity, off * LONG_M, 2.0);
                let stiff =
                    capacity / yields_at * LONG_M * LONG_M / 12.0 * (1.0 - 1.0 / (along * along));
                let expected = share * capacity * off * LONG_M / stiff;
                let at = format!("{yields_at} m, {share} at {off}");
                residuals.compare(plate.tilt_rad(), expected, at);
            }
        }
    }
    residuals.end();
}

/// The load that a base bears at an offset, found by halving.
#[test]
fn off_its_middle_a_base_bears_less() {
    let mut residuals = Claim {
        id: "soil.plateau",
        claim: "what a base bears in the middle is q A, at an offset e as if it were 2 e shorter",
        source: "q A; effective width L - 2 e, Meyerhof 1953 (from memory, not verified)",
        range: "15 kN, at 0, 1/8 and 1/4 of the length",
        tolerance: 0.04,
        unit: Unit::Share,
        reason: "the load is found to 1 %; as it leans the plate's points draw together",
    }
    .begin();
    let capacity = 15e3;
    for eighths in [0.0, 1.0, 2.0] {
        let off = eighths / 8.0;
        // It bears what it comes to rest under.
        let bears = |n: f64| {
            let mut plate = Plate::new(capacity, 0.009);
            plate.press(n, off * LONG_M, 4.0);
            let before = plate.sunk_m();
            plate.press(n, off * LONG_M, 1.0);
            plate.sunk_m() - before < 2e-4
        };
        let expected = capacity * (1.0 - 2.0 * off);
        let (mut low, mut high) = (0.8 * expected, 1.2 * expected);
        assert!(bears(low) && !bears(high), "{off} of the length");
        while high - low > 0.01 * expected {
            let middle = (low + high) / 2.0;
            if bears(middle) { low = middle } else { high = middle }
        }
        residuals.compare((low + high) / 2.0, expected, format!("{off} of the length"));
    }
    residuals.end();
}

/// What the soil under each base of a lift bears is the presumptive value times three
/// times the area of its lowest timbers, or of its sole plate; and it carries what stands
/// on it.
#[test]
fn bases_of_a_lift_carry_what_stands_on_them() {
    let mut capacity = Claim {
        id: "soil.capacity",
        claim: "what the soil under a base bears",
        source: "three times IBC table 1806.2 (143.6, 95.8, 71.8 kPa) over the timbers' or the \
                 board's area",
        range: "gravel, sand and clay; two 4x4 of 24 in, and a board of 0.9 m",
        tolerance: 1e-6,
        unit: Unit::Share,
        reason: "arithmetic",
    }
    .begin();
    let mut carried = Claim {
        id: "soil.carried",
        claim: "a base presses on the soil with its own weight and what comes down on it",
        source: "Newton: sum of the contacts on the earth under it",
        range: "both stacks of the beam lift at rest, on gravel, sand and clay",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "one is read from springs, the other from contacts",
    }
    .begin();
    for (soil, presumptive) in [("gravel", 143.6e3), ("sand", 95.8e3), ("clay", 71.8e3)] {
        for sole in [false, true] {
            let mut sets = vec![format!("ground.soil={soil}")];
            if sole {
                sets.extend(["left", "right"].map(|name| {
                    format!(
                        "stacks.{name}.sole=(size: [\"0.9 m\", \"0.9 m\"], thickness: \"89 mm\")"
                    )
                }));
            }
            // One layer less, so that the beam still passes.
            if sole {
                sets.extend(["left", "right"].map(|name| format!("stacks.{name}.layers=2")));
                // The arm lies further in, clear of so broad a board.
                sets.push("casualty.forearm.part=hand".to_owned());
            }
            let Ok(loaded) = scene::load("beam-lift", &sets) else { panic!("{sets:?} loads") };
            let yard = Yard::new(Arc::new(loaded.scene));
            let now = &yard.snapshot;
            let area = if sole { 0.9 * 0.9 } else { 2.0 * 0.0889 * 0.6096 };
            for base in &now.bases {
                let Footing::Stack(stack) = base.of else { continue };
                let at = format!("{soil}, sole {sole}, stack {stack}");
                capacity.compare(base.capacity_n, 3.0 * presumptive * area, &at);
                let lowest = |part: usize| match yard.parts()[part].kind {
                    PartKind::Sole(of) => of == Footing::Stack(stack),
                    PartKind::StackTimber { stack: s, layer: 0 } => s == stack && !sole,
                    _ => false,
                };
                let pressed: f64 = now
                    .loads
                    .iter()
                    .filter(|l| l.by.is_none() && lowest(l.on))
                    .map(|l| l.force[1])
                    .sum();
                assert!(pressed > 30.0 * G, "{at}: nothing stands on it");
                carried.compare(base.load_n, pressed, at);
            }
        }
    }
    capacity.end();
    carried.end();
    // Each softer than the one before.
    assert!(BEDS.windows(2).all(|b| b[0].plateau_pa > b[1].plateau_pa));
}

/// The vehicle of a shipped scene by itself on soil, at rest, its mass so far off its middle, m.
fn on_soil(name: &str, soil: &str, off_m: f64) -> Yard {
    let mut scene = alone(scene::load(name, &[]).expect("a shipped scene").scene);
    scene.ground.soil = BEDS.iter().find(|bed| bed.name == soil).copied();
    scene.vehicle.com_m[2] = off_m;
    Yard::new(Arc::new(scene))
}

/// What the ground carries of a vehicle's front of the roof: N, and its moment about the middle of
/// that edge, as deep as it lies, N m, from the contacts; friction has its arm too.
fn under_the_roof(yard: &Yard) -> [f64; 2] {
    let depth_m = edge(yard, VehicleEdge::RoofFront).sunk_m;
    let loads = yard.snapshot.loads.iter();
    let front = loads.filter(|load| load.by.is_none() && load.point[0] < 1.0);
    front.fold([0.0; 2], |[n, nm], load| {
        let ([_, up_n, across_n], [_, y, z]) = (load.force, load.point);
        [n + up_n, nm + up_n * z - across_n * (y + depth_m)]
    })
}

fn edge(yard: &Yard, of: VehicleEdge) -> BaseState {
    let mut bases = yard.snapshot.bases.iter();
    *bases.find(|base| base.of == Footing::Vehicle(of)).expect("the vehicle can bear there")
}

/// Undrained 12 kPa and 6 kPa (Prandtl), and three times the presumptive values.
const BEARS_PA: [(&str, f64); 5] = [
    ("gravel", 3.0 * 143.6e3),
    ("sand", 3.0 * 95.8e3),
    ("clay", 3.0 * 71.8e3),
    ("soft", (2.0 + std::f64::consts::PI) * 12e3),
    ("mud", (2.0 + std::f64::consts::PI) * 6e3),
];
/// An edge's fold, m (assumed), and how deep the roof is at its edge.
const FOLD_M: f64 = 0.020;
const RAIL_M: f64 = 0.050;

/// The saloon's roof falls by 0.02 of 1.10 m from its front edge, which is 1.16 m wide. Turned over
/// with its nose down by p it stands at p + atan(0.02 / 1.10) to the ground behind that edge, and
/// the edge's own face, square to the vehicle, at 90 deg - p before it.
/// At a depth s so much of a metre of it lies under the surface, m.
fn under_m(pitch_rad: f64, s: f64) -> f64 {
    let behind = pitch_rad + (0.02_f64 / 1.10).atan();
    FOLD_M + s / behind.tan() + (s / pitch_rad.cos()).min(RAIL_M) * pitch_rad.sin()
}

/// What soil of `bears_pa` carries under a metre of a strip `wide_m` wide and `s` deep, N: until
/// it yields, which it does at a tenth of the width and at an inch at most.
fn carries_n(bears_pa: f64, wide_m: f64, s: f64) -> f64 {
    bears_pa * wide_m * (s / (0.1 * wide_m).min(0.0254)).min(1.0)
}

#[test]
fn a_vehicle_goes_in_until_what_it_has_pressed_in_carries_it() {
    let mut residuals = Claim {
        id: "soil.edge",
        claim: "the vehicle's edges go into soil until their part in it carries them; load under \
                the front of the roof and, elastic, under the nose",
        source: "q times the area under the surface, from the outline by hand; elastic as a strip \
                 as wide; the roof's load from the contacts",
        range: "the saloon on its roof on gravel, sand, clay, soft ground and mud, 2 to 77 mm deep",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "points at the edge of yielding yield by turns",
    }
    .begin();
    for (soil, bears_pa) in BEARS_PA {
        let yard = on_soil("deck-lid-wedged", soil, 0.0);
        let pitch_rad = yard.snapshot.vehicle.pitch_rad;
        let roof = edge(&yard, VehicleEdge::RoofFront);
        let under = under_m(pitch_rad, roof.sunk_m);
        let expected = 1.16 * carries_n(bears_pa, under, roof.sunk_m);
        residuals.compare(under_the_roof(&yard)[0], expected, format!("{soil}: roof"));
        // 1.64 m of it, in a strip of much less than ten inches.
        let nose = edge(&yard, VehicleEdge::Nose);
        let expected = 1.64 * 10.0 * bears_pa * nose.sunk_m;
        residuals.compare(nose.load_n, expected, format!("{soil}: nose"));
        assert!(nose.load_n < nose.capacity_n && nose.set_m == 0.0, "{soil}: {nose:?}");
        let weight = yard.scene.vehicle.mass_kg * G;
        residuals.compare(roof.load_n + nose.load_n, weight, format!("{soil}: weight"));
    }
    residuals.end();
}

/// With the mass off its middle the roof rolls by r and goes in deeper on one side: a strip at z is
/// s + r z deep and carries q (f + c (s + r z)), so that the whole of it holds q c r w^3 / 12
/// about its middle; summed here over a thousand strips, as the face before the edge ends.
#[test]
fn a_corner_carries_what_it_has_pressed_in() {
    let mut carries = Claim {
        id: "soil.corner",
        claim: "a roof that rolls on soil: load and moment of its front edge, deeper on one side",
        source: "q times the area under the surface of each strip of it, by hand; contacts",
        range: "the saloon on soft ground and mud, its mass 50 and 100 mm off to either side",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "eight points stand for the edge, and what has yielded first bears a little less \
                 once the vehicle has rolled on",
    }
    .begin();
    let mut mirrored = Claim {
        id: "soil.mirrored",
        claim: "the same vehicle with its mass as far off on the other side goes in as deep; its \
                soil carries as much, as far off on that side",
        source: "symmetry",
        range: "the same; load, moment, depth of the deeper corner",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "friction keeps where it came to rest, and is read in the last substep only",
    }
    .begin();
    for (soil, bears_pa) in &BEARS_PA[3..] {
        for off_m in [0.05, 0.1] {
            let [one, other] = [off_m, -off_m].map(|off_m| on_soil("deck-lid-wedged", soil, off_m));
            let at = format!("{soil}, {off_m} m");
            for yard in [&one, &other] {
                let pitch_rad = yard.snapshot.vehicle.pitch_rad;
                let roof = edge(yard, VehicleEdge::RoofFront);
                let rolls = yard.settling().roll_rad.abs();
                let strips = (0..1000).map(|i| 1.16 * ((f64::from(i) + 0.5) / 1000.0 - 0.5));
                let [n, nm] = strips.fold([0.0; 2], |[n, nm], z| {
                    let s = (roof.sunk_m + rolls * z).max(0.0);
                    let strip_n = carries_n(*bears_pa, under_m(pitch_rad, s), s) * 1.16 / 1000.0;
                    [n + strip_n, nm + strip_n * z]
                });
                let [found_n, found_nm] = under_the_roof(yard);
                carries.compare(found_n, n, &at);
                carries.compare(found_nm.abs(), nm, &at);
            }
            let [a, b] = [&one, &other].map(|yard| edge(yard, VehicleEdge::RoofFront));
            let [[_, a_nm], [_, b_nm]] = [&one, &other].map(under_the_roof);
            mirrored.compare(a.load_n, b.load_n, &at);
            mirrored.compare(a.deepest_m, b.deepest_m, &at);
            mirrored.compare(a_nm, -b_nm, at);
        }
    }
    carries.end();
    mirrored.end();
}

/// A tyre stands on a flat of 2 r tan 11.25 deg; deeper in, on a chord of 2 sqrt(2 r s - s^2) of
/// its circle, 0.20 m wide.
#[test]
fn tyres_go_in_by_their_chord() {
    let mut residuals = Claim {
        id: "soil.tyre",
        claim: "a tyre goes into soil until its chord carries it",
        source: "q b 2 sqrt(2 r s - s^2), circle and plane; elastic as a strip as wide",
        range: "the hatchback on its wheels on gravel, clay, soft ground and mud",
        tolerance: 0.08,
        unit: Unit::Share,
        reason: "the tyre is a prism of sixteen sides, whose chord is up to 6 % off the circle's",
    }
    .begin();
    for (soil, bears_pa) in BEARS_PA {
        let yard = on_soil("sill-crib", soil, 0.0);
        let r = yard.scene.vehicle.wheel_radius_m;
        for wheel in 0..4 {
            let tyre = edge(&yard, VehicleEdge::Wheel(wheel));
            let s = tyre.sunk_m;
            let chord = 2.0 * (2.0 * r * s - s * s).sqrt();
            let flat = 2.0 * r * (std::f64::consts::PI / 16.0).tan();
            let expected = 0.20 * carries_n(bears_pa, chord.max(flat), s);
            residuals.compare(tyre.load_n, expected, format!("{soil}, wheel {wheel}, {s} m"));
        }
    }
    residuals.end();
}

//! Lifting bags in the world, against statics and the gas law: a bag that carries a
//! load holds exactly its weight, its work is the integral of `p dV`, a shut bag keeps
//! its air, and a tall load on one bag leans until the faces meet.

use approx::{abs_diff_eq, assert_relative_eq};
use bevy_rapier3d::rapier::prelude::{ColliderBuilder, Real, Rotation, Vector};
use inchwise::bag_law::Membrane;
use inchwise::tables::{BAG_FACE_KG_M2, BAG_FACE_M};
use inchwise::world::GasBag;
use inchwise::world::engine::{BodySpec, Engine, Groups, Mass, RigidBodyHandle};
use inchwise::world::solver::STEP_S;

const G: f64 = 9.80665;
const ATMOSPHERE_PA: f64 = 101_325.0;
const BAG: Membrane = Membrane::of_size([0.5, 0.5]);
const FACE_KG: f64 = BAG_FACE_KG_M2 * 0.25;

struct Bench {
    engine: Engine,
    bag: GasBag,
    load: RigidBodyHandle,
}

impl Bench {
    /// A bag on the ground under a block of a given half height.
    fn new(load_kg: f64, half_height: f64, off_centre: f64) -> Self {
        let mut engine = Engine::new(Vector::new(0.0, -G as Real, 0.0));
        engine.add_ground(0.6);
        let add = |engine: &mut Engine, half: [f64; 3], at: [f64; 2], density: f64| {
            engine.add(BodySpec {
                position: Vector::new(at[0] as Real, at[1] as Real, 0.0),
                rotation: Rotation::IDENTITY,
                shapes: vec![ColliderBuilder::cuboid(
                    half[0] as Real,
                    half[1] as Real,
                    half[2] as Real,
                )],
                mass: Mass::Density(density),
                fixed: false,
                friction: 0.6.into(),
                groups: Groups::Part,
            })
        };
        let face = [0.25, BAG_FACE_M / 2.0, 0.25];
        let density = BAG_FACE_KG_M2 / BAG_FACE_M;
        let lower = add(&mut engine, face, [0.0, BAG_FACE_M * 0.5], density);
        let upper = add(&mut engine, face, [0.0, BAG_FACE_M * 1.5], density);
        let half = [0.4, half_height, 0.4];
        let volume = 8.0 * half.iter().product::<f64>();
        let at = [off_centre, BAG_FACE_M * 2.0 + half_height];
        let load = add(&mut engine, half, at, load_kg / volume);
        let bag = GasBag::new(&mut engine, lower, upper, BAG, 8e5);
        Self { engine, bag, load }
    }

    /// Steps with so much air a second, free litres, each second.
    fn run(&mut self, seconds: f64, litres_s: f64, mut each: impl FnMut(&Self)) {
        for _ in 0..(seconds / STEP_S).round() as usize {
            self.bag.advance(&mut self.engine, litres_s * 1e-3 * ATMOSPHERE_PA * STEP_S);
            self.engine.step();
            each(self);
        }
    }

    fn load_y(&self) -> f64 {
        f64::from(self.engine.bodies[self.load].translation().y)
    }
}

/// `p A(h) = m g` for what lies on the upper face, itself included. Half a per cent is
/// the bar.
#[test]
fn a_settled_bag_carries_exactly_its_load() {
    for load_kg in [150.0, 600.0, 2000.0] {
        for litres in [4.0, 12.0, 20.0] {
            let mut bench = Bench::new(load_kg, 0.1, 0.0);
            bench.run(4.0, litres / 4.0, |_| {});
            bench.run(4.0, 0.0, |_| {});
            let bag = &bench.bag;
            let force = bag.gauge_pa * BAG.area_m2(bag.height_m);
            assert_relative_eq!(force, (load_kg + FACE_KG) * G, max_relative = 5e-3);
            assert_relative_eq!(bag.force_n, force, max_relative = 1e-9);
            assert!(bag.height_m > 0.005, "{load_kg} kg, {litres} L: it has risen");
        }
    }
}

/// Raised slowly, the gas's work on the load, the sum of `p dV`, is the gain in height
/// of all it carries: nothing else takes energy. 1 % is the bar.
#[test]
fn work_of_a_bag_is_the_integral_of_p_dv() {
    let mut bench = Bench::new(600.0, 0.1, 0.0);
    bench.run(3.0, 1.5, |_| {});
    bench.run(2.0, 0.0, |_| {});
    let (start_y, mut volume, mut work_j) =
        (bench.load_y(), BAG.volume_m3(bench.bag.height_m), 0.0);
    let mut gauge = bench.bag.gauge_pa;
    bench.run(30.0, 0.5, |b| {
        let now = BAG.volume_m3(b.bag.height_m);
        work_j += (gauge + b.bag.gauge_pa) / 2.0 * (now - volume);
        (volume, gauge) = (now, b.bag.gauge_pa);
    });
    bench.run(2.0, 0.0, |b| {
        let now = BAG.volume_m3(b.bag.height_m);
        work_j += (gauge + b.bag.gauge_pa) / 2.0 * (now - volume);
        (volume, gauge) = (now, b.bag.gauge_pa);
    });
    let risen = bench.load_y() - start_y;
    assert!(risen > 0.05, "rose {risen} m");
    assert_relative_eq!(work_j, (600.0 + FACE_KG) * G * risen, max_relative = 0.01);
}

/// Boyle: a shut bag under a growing load keeps `p V` (isothermal, textbook).
#[test]
fn a_shut_bag_keeps_its_air() {
    let mut bench = Bench::new(300.0, 0.1, 0.0);
    bench.run(4.0, 4.0, |_| {});
    bench.run(2.0, 0.0, |_| {});
    let pv = |b: &Bench| b.bag.absolute_pa() * BAG.volume_m3(b.bag.height_m);
    let (before, high) = (pv(&bench), bench.bag.height_m);
    // The load grows threefold.
    let gravity = bench.engine.gravity;
    bench.engine.gravity = gravity * 3.0;
    bench.engine.wake_all();
    bench.run(4.0, 0.0, |_| {});
    assert!(bench.bag.height_m < high - 0.01, "it is pressed down");
    assert_relative_eq!(pv(&bench), before, max_relative = 1e-3);
    assert_relative_eq!(bench.bag.force_n, (300.0 + FACE_KG) * 3.0 * G, max_relative = 5e-3);
}

/// How high above a bag of 0.5 m, 56.5 mm high, the centre of mass of a free load may stand, m:
/// `k - x / 4` (`bag.lean` derives it), `k = pi W / 8 - (pi^2 - 4) h / 16 + pi w^2 / 24 l` =
/// 0.2295 m, w = l = 0.4113 m what is flat, and `x = 3 h`: 0.0424 m for its quarter.
const LEVEL_TO_M: f64 = 0.1871;

/// A load whose centre of mass stands a little lower than that stays far from leaning until the
/// faces meet, at `phi = 2 h / W`; one that stands a little higher leans until they do. 15 % off,
/// and 2 mm off the middle, so that an arm `k` that is off by a quarter either way shows.
#[test]
fn a_tall_load_leans_until_the_faces_meet() {
    let leans = |height: f64| {
        let mut bench = Bench::new(600.0, height * LEVEL_TO_M - BAG_FACE_M, 0.002);
        bench.run(4.0, 4.0, |_| {});
        bench.run(8.0, 0.0, |_| {});
        let bag = &bench.bag;
        assert!(
            abs_diff_eq!(bag.height_m, 0.0565, epsilon = 0.002),
            "it stands {} m high",
            bag.height_m
        );
        bag.tilt_rad / (2.0 * bag.height_m / BAG.width_m)
    };
    let [low, tall] = [0.85, 1.15].map(leans);
    assert!(low < 0.5, "a low load leans by {low} of what it can");
    assert!((0.85..1.15).contains(&tall), "a tall load leans by {tall} of what it can");
}

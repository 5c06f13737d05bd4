//! The ruler, tested before anything is measured with it: free fall, resting load,
//! friction angle, and the angle at which loaded cribs tip, each against its closed
//! form. Everything else the program says rests on these.

use crate::common::{G, block, density, gravity, steps};
use approx::assert_relative_eq;
use inchwise::world::engine::{Engine, Mass};
use inchwise::world::solver::STEP_S;

/// Dressed 4x4 (PS 20), 24 in long, members 0.3 m apart.
const TIMBER_M: f64 = 0.0889;
const LENGTH_M: f64 = 0.6096;
const OFFSET_M: f64 = LENGTH_M / 2.0 - 0.15;
const TIMBER_KG_M3: f64 = 538.0;

/// `y = g t^2 / 2`. The step is a sum of substeps, so the error is of the order of a
/// substep over the time: 0.03 % after 1 s; half a per cent is the bar.
#[test]
fn free_fall_follows_half_g_t_squared() {
    let mut engine = Engine::new(gravity(0.0));
    let half = [0.1, 0.1, 0.1];
    let body = block(&mut engine, half, [0.0, 100.0, 0.0], density(10.0, half), 0.5);
    for tenth in 1..=20 {
        for _ in 0..steps(0.1) {
            engine.step();
        }
        let t = f64::from(tenth) * 0.1;
        let fallen = 100.0 - f64::from(engine.bodies[body].translation().y);
        assert_relative_eq!(fallen, G * t * t / 2.0, max_relative = 5e-3);
        let speed = -f64::from(engine.bodies[body].linvel().y);
        assert_relative_eq!(speed, G * t, max_relative = 5e-3);
    }
}

/// A body at rest is held by exactly its weight, whatever it weighs and whatever
/// lies on top: the loads read at its contacts sum to `m g`, awake or asleep.
#[test]
fn loads_of_a_resting_tower_sum_to_its_weight() {
    for load_kg in [20.0, 400.0, 1500.0] {
        let mut engine = Engine::new(gravity(0.0));
        let ground = engine.add_ground(0.6);
        let (small, large) = ([0.3, 0.05, 0.3], [0.3, 0.3, 0.3]);
        let lower = block(&mut engine, small, [0.0, 0.05, 0.0], density(12.0, small), 0.5);
        let upper = block(&mut engine, large, [0.0, 0.4, 0.0], density(load_kg, large), 0.5);
        for step in 0..steps(4.0) {
            engine.step();
            if step < steps(2.0) {
                continue;
            }
            let force = |on, by| -> f64 {
                engine
                    .loads()
                    .iter()
                    .map(|l| match (l.on == on && l.by == by, l.on == by && l.by == on) {
                        (true, _) => f64::from(l.force.y),
                        (_, true) => f64::from(-l.force.y),
                        _ => 0.0,
                    })
                    .sum()
            };
            assert_relative_eq!(force(upper, lower), load_kg * G, max_relative = 5e-3);
            assert_relative_eq!(force(lower, ground), (load_kg + 12.0) * G, max_relative = 5e-3);
        }
        assert!(engine.asleep(), "a tower at rest falls asleep");
    }
}

/// A block on a slope stays while `tan(slope) < mu` and goes beyond it, within 1 %
/// of the friction angle, over the range of the pair table.
#[test]
fn a_block_slides_at_its_friction_angle() {
    for mu in [0.2, 0.3, 0.5, 0.7] {
        for (factor, slides) in [(0.99, false), (1.01, true)] {
            let mut engine = Engine::new(gravity(f64::atan(mu) * factor));
            engine.add_ground(mu);
            let half = [0.3, 0.1, 0.3];
            let body = block(&mut engine, half, [0.0, 0.1, 0.0], density(100.0, half), mu);
            for _ in 0..steps(6.0) {
                engine.step();
            }
            let travel = f64::from(engine.bodies[body].translation().x);
            // Beyond the angle it must go as `a t^2 / 2` with a = g (sin - mu cos):
            // ask for half of that; within it, a block may seat itself by a few mm.
            let angle = f64::atan(mu) * factor;
            let free = G * (angle.sin() - mu * angle.cos()) * 36.0 / 2.0;
            if slides {
                assert!(travel > 0.5 * free, "mu {mu}: slid {travel} m of {free} m");
            } else {
                assert!(travel < 0.004, "mu {mu}: crept {travel} m");
            }
        }
    }
}

/// A crib of crossed pairs under a load, tilted slowly.
struct Crib {
    layers: usize,
    load_kg: f64,
}

impl Crib {
    /// Rigid bodies that cannot pull: the crib tips when the resultant of all above
    /// some joint leaves the bearing corners there.
    fn closed_form_rad(&self) -> f64 {
        let layer_kg = 2.0 * TIMBER_M * TIMBER_M * LENGTH_M * TIMBER_KG_M3;
        (0..self.layers)
            .map(|k| {
                let joint_y = k as f64 * TIMBER_M;
                let top = self.layers as f64 * TIMBER_M;
                let above = (k..self.layers).map(|j| (layer_kg, (j as f64 + 0.5) * TIMBER_M));
                let (kg, moment) = above
                    .chain([(self.load_kg, top + 0.15)])
                    .fold((0.0, 0.0), |(m, s), (kg, y)| (m + kg, s + kg * (y - joint_y)));
                let half = if k == 0 { LENGTH_M / 2.0 } else { OFFSET_M + TIMBER_M / 2.0 };
                (half / (moment / kg)).atan()
            })
            .fold(f64::INFINITY, f64::min)
    }

    /// Whether it stands for 5 s at a tilt that is put on over 4 s, gently: a straight ramp of
    /// 2 s rocks a tall crib, and it then comes down 2 % early.
    fn stands(&self, tilt_rad: f64) -> bool {
        let mut engine = Engine::new(gravity(0.0));
        engine.add_ground(0.5);
        for k in 0..self.layers {
            let y = (k as f64 + 0.5) * TIMBER_M;
            for side in [-1.0, 1.0] {
                let (half, centre) = if k % 2 == 0 {
                    ([LENGTH_M / 2.0, TIMBER_M / 2.0, TIMBER_M / 2.0], [0.0, y, side * OFFSET_M])
                } else {
                    ([TIMBER_M / 2.0, TIMBER_M / 2.0, LENGTH_M / 2.0], [side * OFFSET_M, y, 0.0])
                };
                block(&mut engine, half, centre, Mass::Density(TIMBER_KG_M3), 0.5);
            }
        }
        let top = self.layers as f64 * TIMBER_M;
        let half = [0.3, 0.15, 0.3];
        let load =
            block(&mut engine, half, [0.0, top + 0.15, 0.0], density(self.load_kg, half), 0.5);
        for step in 0..steps(10.0) {
            let share = ((step as f64 * STEP_S - 1.0) / 4.0).clamp(0.0, 1.0);
            engine.gravity = gravity(tilt_rad * share * share * (3.0 - 2.0 * share));
            engine.wake_all();
            engine.step();
            let at = engine.bodies[load].translation();
            if f64::from(at.x).abs() > 0.15 || f64::from(at.y) < 0.85 * top + 0.15 {
                return false;
            }
        }
        true
    }

    /// Bisects the angle at which it comes down, rad, to a 400th of the closed form.
    fn tips_at_rad(&self) -> f64 {
        let expected = self.closed_form_rad();
        let (mut low, mut high) = (0.8 * expected, 1.2 * expected);
        assert!(self.stands(low), "{} layers come down at 0.8 of the closed form", self.layers);
        assert!(!self.stands(high), "{} layers stand at 1.2 of the closed form", self.layers);
        while high - low > expected / 400.0 {
            let middle = (low + high) / 2.0;
            if self.stands(middle) { low = middle } else { high = middle }
        }
        (low + high) / 2.0
    }
}

/// The bar is 1.5 %: contacts give a little, so a crib leans before it tips.
#[test]
fn loaded_cribs_tip_at_the_closed_form() {
    for layers in [6, 13] {
        let crib = Crib { layers, load_kg: 400.0 };
        let (found, expected) = (crib.tips_at_rad(), crib.closed_form_rad());
        println!(
            "{layers} layers tip at {:.2} deg, closed form {:.2} deg",
            found.to_degrees(),
            expected.to_degrees()
        );
        assert_relative_eq!(found, expected, max_relative = 0.015);
    }
}

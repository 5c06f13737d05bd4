//! Sliding and tipping of dry bodies.
//!
//! Law: Coulomb friction, `F <= mu N`, and rigid bodies that push but never pull. A block
//! slides beyond `atan mu` with `a = g (sin t - mu cos t)`, stops after `v^2 / (2 mu g)`,
//! and tips at `tan t = b / h`; a crib tips when the resultant of all above some joint
//! leaves that joint's bearing corners. Held against these closed forms (any textbook of
//! statics), with friction over the pair table (CTU Code 2014 annex 7 appendix 2,
//! European Best Practice Guidelines on Cargo Securing 8.2, and what is assumed).

use crate::common::{Claim, Crib, FOUR_M, G, SIX_M, Unit, block, density, gravity, run, steps, v};
use inchwise::tables::{Surface, friction_pairs};
use inchwise::world::engine::{Engine, Friction};
use inchwise::world::solver::STEP_S;

/// Every figure of the pair table, dry and wet, on every surface, once each.
fn pair_figures() -> Vec<f64> {
    let mut all: Vec<f64> = Surface::WORDS
        .iter()
        .flat_map(|(_, surface)| friction_pairs(*surface))
        .flat_map(|pair| [pair.dry, pair.wet])
        .collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    assert!(all.len() >= 8, "{all:?}");
    all
}

const SLAB: [f64; 3] = [0.3, 0.1, 0.3];

fn slab_on_slope(mu: f64, tilt_rad: f64) -> (Engine, inchwise::world::engine::RigidBodyHandle) {
    let mut engine = Engine::new(gravity(tilt_rad));
    engine.add_ground(mu);
    let body = block(&mut engine, SLAB, [0.0, SLAB[1], 0.0], density(100.0, SLAB), mu);
    (engine, body)
}

#[test]
fn a_block_slides_beyond_its_friction_angle_only() {
    let mut residuals = Claim {
        id: "contact.slip_angle",
        claim: "a block on a slope begins to slide at atan(mu)",
        source: "Coulomb friction, closed form; mu over the pair table, dry and wet",
        range: "every figure of the table",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "bisected to 0.1 %; a block seats itself by a hair before it holds",
    }
    .begin();
    for mu in pair_figures() {
        let slides = |tilt: f64| {
            let (mut engine, body) = slab_on_slope(mu, tilt);
            run(&mut engine, 4.0);
            f64::from(engine.bodies[body].translation().x) > 0.004
        };
        let angle = mu.atan();
        let (mut low, mut high) = (0.98 * angle, 1.02 * angle);
        assert!(!slides(low) && slides(high), "mu {mu}: not between 0.98 and 1.02 of atan(mu)");
        while high - low > 0.001 * angle {
            let middle = (low + high) / 2.0;
            if slides(middle) { high = middle } else { low = middle }
        }
        residuals.compare((low + high) / 2.0, angle, format!("mu {mu}"));
    }
    residuals.end();
}

#[test]
fn a_sliding_block_gains_speed_as_it_should() {
    let mut residuals = Claim {
        id: "contact.sliding",
        claim: "beyond it the block gains speed by a = g (sin t - mu cos t)",
        source: "Coulomb friction, closed form",
        range: "the same mu, slopes 3, 8 and 15 deg beyond the friction angle",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "a is a small difference of two large terms near the friction angle",
    }
    .begin();
    for mu in pair_figures() {
        for beyond in [3.0_f64, 8.0, 15.0] {
            let tilt = mu.atan() + beyond.to_radians();
            let (mut engine, body) = slab_on_slope(mu, tilt);
            run(&mut engine, 0.5);
            let before = f64::from(engine.bodies[body].linvel().x);
            run(&mut engine, 1.0);
            let gained = f64::from(engine.bodies[body].linvel().x) - before;
            let expected = G * (tilt.sin() - mu * tilt.cos());
            residuals.compare(gained, expected, format!("mu {mu}, {beyond} deg beyond"));
        }
    }
    residuals.end();
}

#[test]
fn a_block_pushed_off_stops_after_its_distance() {
    let mut residuals = Claim {
        id: "contact.stopping",
        claim: "on the level it stops after v^2 / (2 mu g)",
        source: "Coulomb friction, closed form",
        range: "the same mu, 0.5 to 3 m/s",
        tolerance: 0.015,
        unit: Unit::Share,
        reason: "the way is summed over steps: half a step's way, v / 240 s, is 1.3 % of the \
                 shortest one",
    }
    .begin();
    for mu in pair_figures() {
        for speed in [0.5, 1.0, 3.0] {
            let (mut engine, body) = slab_on_slope(mu, 0.0);
            run(&mut engine, 0.5);
            let from = f64::from(engine.bodies[body].translation().x);
            engine.bodies[body].set_linvel(v([speed, 0.0, 0.0]), true);
            run(&mut engine, speed / (mu * G) + 1.0);
            let way = f64::from(engine.bodies[body].translation().x) - from;
            let expected = speed * speed / (2.0 * mu * G);
            residuals.compare(way, expected, format!("mu {mu}, {speed} m/s"));
        }
    }
    residuals.end();
}

/// Figures at rest of the pair table, each with what is left of it once it slides.
fn two_figures() -> Vec<[f64; 2]> {
    let pairs = Surface::WORDS.iter().flat_map(|(_, surface)| friction_pairs(*surface));
    let mut all: Vec<[f64; 2]> = pairs
        .flat_map(|pair| [false, true].map(|wet| pair.friction(wet)))
        .map(|[rests, slides]| [rests, slides / rests])
        .collect();
    all.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    all.dedup_by(|a, b| (a[0] - b[0]).abs() < 0.04);
    assert!(all.len() >= 6 && all.iter().all(|[_, share]| *share < 1.0), "{all:?}");
    all
}

fn slab_of_two_figures(
    [mu, share]: [f64; 2],
    tilt_rad: f64,
) -> (Engine, inchwise::world::engine::RigidBodyHandle) {
    let mut engine = Engine::new(gravity(tilt_rad));
    engine.set_sliding_shares(vec![vec![share]]);
    let friction = Friction { figure: mu, kind: 0 };
    engine.add_ground(friction);
    let body = block(&mut engine, SLAB, [0.0, SLAB[1], 0.0], density(100.0, SLAB), friction);
    (engine, body)
}

/// On a slope between its two figures a block stands; pushed off it goes on by itself.
#[test]
fn once_it_slides_a_block_has_less_friction() {
    let mut residuals = Claim {
        id: "contact.slides",
        claim: "on a slope that would hold it, a block that was pushed off gains speed by g (sin \
                t - mu' cos t); mu' once it slides",
        source: "Coulomb friction of two figures, closed form; both over the pair table",
        range: "nine tenths of what holds at rest, pushed off at 0.3 m/s, for a second",
        tolerance: 0.03,
        unit: Unit::Share,
        reason: "of a difference of two forces, a tenth of either",
    }
    .begin();
    for [mu, share] in two_figures() {
        let tilt = (0.9 * mu).atan();
        let (mut engine, body) = slab_of_two_figures([mu, share], tilt);
        run(&mut engine, 2.0);
        let stood = f64::from(engine.bodies[body].translation().x);
        assert!(stood < 0.002, "mu {mu}: it came down by {stood} m");
        engine.bodies[body].set_linvel(v([0.3, 0.0, 0.0]), true);
        run(&mut engine, 0.2);
        let speed = |engine: &Engine| f64::from(engine.bodies[body].linvel().x);
        let before = speed(&engine);
        run(&mut engine, 1.0);
        let found = speed(&engine) - before;
        let expected = G * (tilt.sin() - share * mu * tilt.cos());
        residuals.compare(found, expected, format!("mu {mu}, {share} of it sliding"));
    }
    residuals.end();
}

/// It stops by what is left of its friction, and then holds as before. Whether it slides is seen
/// as a step ends, so that for the step in which it is pushed off it has the friction at rest:
/// `v dt - mu g dt^2 / 2` in that step, and `(v - mu g dt)^2 / (2 mu' g)` from there.
#[test]
fn a_block_that_has_stopped_holds_again() {
    let mut residuals = Claim {
        id: "contact.stops",
        claim: "a block pushed off on the level slows down by mu g for a step and stops after \
                v^2 / (2 mu' g) from there; mu' once it slides",
        source: "Coulomb friction of two figures, closed form; both over the pair table",
        range: "1 m/s",
        tolerance: 0.003,
        unit: Unit::Share,
        reason: "the way is summed over substeps; half of one's, v / 9600 s = 0.1 mm, is 0.11 % \
                 of the shortest one; once as it is pushed off and once as it begins to slide",
    }
    .begin();
    for [mu, share] in two_figures() {
        let (mut engine, body) = slab_of_two_figures([mu, share], 0.0);
        run(&mut engine, 0.5);
        engine.bodies[body].set_linvel(v([1.0, 0.0, 0.0]), true);
        run(&mut engine, 2.0);
        let stopped = f64::from(engine.bodies[body].translation().x);
        let slower = 1.0 - mu * G * STEP_S;
        let expected = STEP_S * (1.0 + slower) / 2.0 + slower * slower / (2.0 * share * mu * G);
        residuals.compare(stopped, expected, format!("mu {mu}, {share} sliding"));
        engine.gravity = gravity((0.95 * mu).atan());
        engine.wake_all();
        run(&mut engine, 2.0);
        let further = f64::from(engine.bodies[body].translation().x) - stopped;
        assert!(further < 0.002, "mu {mu}: it came down by {further} m");
    }
    residuals.end();
}

#[test]
fn a_block_tips_where_its_plumb_line_leaves_its_base() {
    let mut residuals = Claim {
        id: "contact.block_tips",
        claim: "a block of width b and height h tips at tan t = b / h",
        source: "statics, closed form",
        range: "b / h 0.2 to 0.9; 5, 100 and 2000 kg",
        tolerance: 0.005,
        unit: Unit::Share,
        reason: "bisected to 0.1 %; the tilt is put on over 1 s, which rocks it a little",
    }
    .begin();
    for ratio in [0.2, 0.35, 0.5, 0.7, 0.9] {
        for kg in [5.0, 100.0, 2000.0] {
            let half = [0.25 * ratio, 0.25, 0.2];
            let tips = |tilt: f64| {
                let mut engine = Engine::new(gravity(0.0));
                engine.add_ground(1.5);
                let body = block(&mut engine, half, [0.0, 0.25, 0.0], density(kg, half), 1.5);
                for step in 0..steps(5.0) {
                    engine.gravity = gravity(tilt * (step as f64 * STEP_S).min(1.0));
                    engine.wake_all();
                    engine.step();
                }
                let up = engine.bodies[body].rotation() * v([0.0, 1.0, 0.0]);
                up.y < 0.9
            };
            let angle = f64::atan(ratio);
            let (mut low, mut high) = (0.98 * angle, 1.02 * angle);
            assert!(!tips(low) && tips(high), "b/h {ratio}, {kg} kg: not near atan(b/h)");
            while high - low > 0.001 * angle {
                let middle = (low + high) / 2.0;
                if tips(middle) { high = middle } else { low = middle }
            }
            residuals.compare((low + high) / 2.0, angle, format!("b/h {ratio}, {kg} kg"));
        }
    }
    residuals.end();
}

/// Bisects the angle at which a crib comes down, rad: within that share of the closed form. An
/// end of the range is tried where no angle nearer to the middle has shown as much.
fn tips_at(crib: Crib, friction: f64, within: f64) -> f64 {
    let expected = crib.tips_rad(friction);
    let (mut low, mut high) = ((1.0 - within) * expected, (1.0 + within) * expected);
    let (lowest, highest) = (low, high);
    let settled = crib.settled(friction);
    while high - low > within / 7.9 * expected {
        let middle = (low + high) / 2.0;
        if settled.stands(middle) { low = middle } else { high = middle }
    }
    assert!(low > lowest || settled.stands(low), "{} layers come down early", crib.layers);
    assert!(high < highest || !settled.stands(high), "{} layers stand too long", crib.layers);
    (low + high) / 2.0
}

fn cribs_tip(timber_m: f64, id: &'static str, claim: &'static str) {
    let mut residuals = Claim {
        id,
        claim,
        source: "statics of rigid bodies that cannot pull, closed form (common::Crib::tips_rad)",
        range: "2, 4, 6, 10, 13 and 16 layers of two and three timbers; 24 in (4x4) and 36 in \
                (6x6) long, under 400 kg (4x4) and 1200 kg (6x6), mu 0.7",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "bisected to 0.25 %; contacts give as timber does, so a crib leans before it \
                 tips, the more the taller it is",
    }
    .begin();
    for layers in [2, 4, 6, 10, 13, 16] {
        for members in [2, 3] {
            let four = timber_m == FOUR_M;
            let crib = Crib {
                layers,
                timber_m,
                length_m: if four { 0.6096 } else { 0.9144 },
                members,
                load_kg: if four { 400.0 } else { 1200.0 },
            };
            let found = tips_at(crib, 0.7, 0.02);
            residuals.compare(found, crib.tips_rad(0.7), format!("{layers} x {members}"));
        }
    }
    residuals.end();
}

#[test]
fn cribs_of_4x4_tip_at_the_closed_form() {
    cribs_tip(
        FOUR_M,
        "contact.cribs_4x4_tip",
        "loaded cribs of 4x4 timbers tip at the closed form",
    );
}

#[test]
fn cribs_of_6x6_tip_at_the_closed_form() {
    cribs_tip(SIX_M, "contact.cribs_6x6_tip", "loaded cribs of 6x6 timbers tip at the closed form");
}

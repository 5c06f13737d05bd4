//! Against measurements: experiments that others have published, foretold by what the program
//! holds already. Nothing in it was fitted to them; where they differ, the page says why.
//!
//! Abstracts and short reports were read, not whole papers: what each says in figures is here.

use crate::common::{
    Claim, FOUR_M, Real, Rotation, Unit, density, gravity, note_table, steps, turned_block, v,
};
use inchwise::bag_law::{DEAD_VOLUME_M3, Membrane};
use inchwise::tables::{CLEAR_BEARING, Material, Surface, WOODS, friction_pair};
use inchwise::world::engine::Engine;
use inchwise::world::solver::STEP_S;
use std::sync::LazyLock;

const SHORT_TON_N: f64 = 2000.0 * 0.453_592_37 * 9.80665;

/// A row of the page's table.
fn row(what: &str, measured: &str, foretold: &str, why: &str) -> String {
    format!("| {what} | {measured} | {foretold} | {why} |\n")
}

/// Two timbers a layer, side by side with their ends past the crossings: four crossings a joint.
fn crib_gives_at_n(side_m: f64, bearing_pa: f64) -> f64 {
    4.0 * side_m * side_m * bearing_pa
}

/// How far outside of two ends a value lies, as a share of the nearer end.
fn outside(value: f64, [low, high]: [f64; 2]) -> f64 {
    ((low - value) / low).max((value - high) / high).max(0.0)
}

/// A block of three high to one wide, its square base turned about the upright: the tilt at
/// which it tips, rad.
fn tips_at_rad(turned_deg: f64) -> f64 {
    const SLENDER: f64 = 0.3;
    let half = [0.25 * SLENDER, 0.25, 0.25 * SLENDER];
    let turn = Rotation::from_rotation_y(turned_deg.to_radians() as Real);
    let tips = |tilt: f64| {
        let mut engine = Engine::new(gravity(0.0));
        engine.add_ground(1.5);
        let body =
            turned_block(&mut engine, half, [0.0, 0.25, 0.0], turn, density(100.0, half), 1.5);
        for step in 0..steps(6.0) {
            let share = (step as f64 * STEP_S / 2.0).min(1.0);
            engine.gravity = gravity(tilt * share * share * (3.0 - 2.0 * share));
            engine.wake_all();
            engine.step();
        }
        (engine.bodies[body].rotation() * v([0.0, 1.0, 0.0])).y < 0.9
    };
    let square = f64::atan(SLENDER);
    let (mut low, mut high) = (0.97 * square, 1.25 * square);
    assert!(!tips(low) && tips(high), "turned by {turned_deg} deg: not near {square} rad");
    while high - low > 0.001 * square {
        let middle = f64::midpoint(low, high);
        if tips(middle) { high = middle } else { low = middle }
    }
    f64::midpoint(low, high)
}

/// How much later it tips turned by 10, 20 and 30 deg than square to the slope, deg.
static LATER_DEG: LazyLock<[f64; 3]> = LazyLock::new(|| {
    let square = tips_at_rad(0.0);
    [10.0, 20.0, 30.0].map(|turned| (tips_at_rad(turned) - square).to_degrees())
});

#[test]
fn a_block_that_stands_askew_tips_as_late_as_was_measured() {
    let mut residuals = Claim {
        id: "measured.askew_block",
        claim: "a block whose base is turned against the slope tips later: by how much",
        source: "laboratory models on a tilting table; Bulletin of Engineering Geology and the \
                 Environment, April 2024, \"toppling behaviour of blocks misaligned with the \
                 slope face\" (abstract); a few tenths of a degree at 10 deg, about 1 at 20, 2 to \
                 3 at 30",
        range: "square base, 0.3 times as wide as high, turned by 10, 20 and 30 deg; how far \
                outside of 0.2 to 0.5, 0.75 to 1.25 and 2 to 3 deg",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "the abstract's own scatter; bisected to 0.02 deg",
    }
    .begin();
    for (later, measured) in LATER_DEG.iter().zip([[0.2, 0.5], [0.75, 1.25], [2.0, 3.0]]) {
        residuals.residual(outside(*later, measured), format!("{later} deg"));
    }
    residuals.end();
}

#[test]
fn timber_grips_timber_as_was_measured() {
    let mut residuals = Claim {
        id: "measured.timber_friction",
        claim: "friction of sawn timber on timber, static and once it slides",
        source: "direct shear tests of sawn chestnut, International Agrophysics 2020 (abstract): \
                 static 0.36 to 0.55, mean 0.46; sliding 0.28 to 0.39, mean 0.33",
        range: "the table's dry pair; how far outside of what was measured",
        tolerance: 0.001,
        unit: Unit::Share,
        reason: "within the measured spread, or not",
    }
    .begin();
    let pair = friction_pair(Surface::Asphalt, Material::Timber, Material::Timber).expect("a pair");
    let [holds, slides] = pair.friction(false);
    residuals.residual(outside(holds, [0.36, 0.55]), format!("static {holds}"));
    residuals.residual(outside(slides, [0.28, 0.39]), format!("sliding {slides}"));
    residuals.end();
}

/// Box cribs of two 4x4 a layer that a press crushed, by a trade magazine: the wood, the side of
/// the timber, m, what it bears across the grain at the proportional limit, Pa (Wood Handbook
/// FPL-GTR-190 table 5-3b; yellow pine and maple from memory, not verified), and what the crib
/// bore, short tons.
const CRUSHED: [(&str, f64, f64, f64); 3] = [
    ("spruce", FOUR_M, 2.8e6, 21.0),
    ("yellow pine", 3.625 * 0.0254, 5.4e6, 21.0),
    ("maple", FOUR_M, 10.1e6, 60.0),
];

#[test]
fn a_crib_bears_at_least_what_it_begins_to_crush_at() {
    let mut residuals = Claim {
        id: "measured.crib_crush",
        claim: "a box crib in a press bears no less than the load at which its timber begins to \
                crush here; by how much less it bore",
        source: "three box cribs of two 4x4 a layer, \"Lifting Heavy Loads, Part 2\", a trade \
                 magazine, 2008; spruce and yellow pine 21 short tons, maple 60 and more",
        range: "four crossings, the wood's proportional limit across the grain",
        tolerance: CLEAR_BEARING.variation,
        unit: Unit::Share,
        reason: "the wood's own scatter across the grain, a coefficient of variation of 28 % \
                 (Wood Handbook table 5-6)",
    }
    .begin();
    let spruce = WOODS.iter().find(|wood| wood.name == "spruce").expect("spruce");
    assert_eq!(spruce.bearing_pa, CRUSHED[0].2, "the table's spruce");
    for (wood, side_m, bearing_pa, tons) in CRUSHED {
        let (foretold, bore) = (crib_gives_at_n(side_m, bearing_pa), tons * SHORT_TON_N);
        residuals.residual((1.0 - bore / foretold).max(0.0), format!("{wood}: {foretold} N"));
    }
    residuals.end();
}

#[test]
fn a_full_pillow_holds_what_geometry_allows() {
    let mut residuals = Claim {
        id: "measured.pillow",
        claim: "most that a flat square bag can hold, as a share of its side cubed",
        source: "the paper bag problem: a shape that holds 0.2055 is known, and none can hold more \
                 than 0.217 (encyclopaedia)",
        range: "a bag of 0.5 m at its height limit; how far outside of the two bounds",
        tolerance: 0.001,
        unit: Unit::Share,
        reason: "between the bounds, or not",
    }
    .begin();
    let bag = Membrane::of_size([0.5, 0.5]);
    let full = (bag.volume_m3(bag.height_limit_m()) - DEAD_VOLUME_M3) / 0.125;
    residuals.residual(outside(full, [0.2055, 0.217]), format!("{full}"));
    residuals.end();
}

#[test]
fn measurements_stand_beside_what_was_foretold() {
    let mut table = row("experiment", "measured", "foretold", "why they differ");
    table += "|---|---|---|---|\n";
    for (wood, side_m, bearing_pa, tons) in CRUSHED {
        let (foretold, bore) = (crib_gives_at_n(side_m, bearing_pa), tons * SHORT_TON_N);
        table += &row(
            &format!("box crib of {wood}, two 4x4 a layer, crushed in a press"),
            &format!("{:.0} kN", bore / 1e3),
            &format!("{:.0} kN", foretold / 1e3),
            "the press shows where it fails, the program where the set begins and stays; crushed \
             wood hardens, here it bears no more until it is dense",
        );
    }
    let turned = [(10, "a few tenths of a degree"), (20, "about 1 deg"), (30, "2 to 3 deg")];
    for ((turned, measured), later) in turned.into_iter().zip(*LATER_DEG) {
        table += &row(
            &format!("tilting table: a block turned by {turned} deg tips later by"),
            measured,
            &format!("{later:.1} deg"),
            "within what was measured",
        );
    }
    let pair = friction_pair(Surface::Asphalt, Material::Timber, Material::Timber).expect("a pair");
    for (what, mu, measured) in [
        ("holds", pair.friction(false)[0], "0.36 to 0.55"),
        ("slides on", pair.friction(false)[1], "0.28 to 0.39"),
    ] {
        let what = format!("direct shear: dry timber {what} dry timber");
        table += &row(&what, measured, &format!("{mu:.2}"), "within what was measured");
    }
    note_table("measured", &table);
}

//! What takes minutes to measure and is measured seldom: speed against error beside MuJoCo, the
//! solver's settings one against another, and which outcomes of the shelf depend on what is
//! assumed. Each writes its numbers to tests/reference, and docs/VERIFICATION.md shows them
//! (`tests/program/verification.rs`):
//!
//!     cargo test --release --no-default-features --test physics -- --ignored --nocapture --test-threads 1 written
//!
//! What is varied is built in: the solver's settings and the assumed values that are given to
//! a yard, and the sheet metal of a scene.

use crate::common::cases::{beam_deflections, beam_moments, rated_crib, two_supports, worst};
use crate::common::{Crib, FOUR_M, G, LOAD_HALF_M, TIMBER_KG_M3, block, density, gravity, root};
use inchwise::bag_law::Membrane;
use inchwise::lift::Lift;
use inchwise::scene::{self, Outcome, Scene};
use inchwise::tables::{BAG_FACE_KG_M2, BAG_FACE_M};
use inchwise::units::ATMOSPHERE_PA;
use inchwise::world::engine::{Engine, RigidBodyHandle};
use inchwise::world::solver::Settings;
use inchwise::world::{Assumed, Crew, GasBag, Physics, TICK_S, Yard};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fs;
use std::process::Command;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};

const CRIB: Crib =
    Crib { layers: 13, timber_m: FOUR_M, length_m: 0.6096, members: 2, load_kg: 400.0 };
const MU: f64 = 0.7;

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn write(name: &str, data: &Value) {
    let text = serde_json::to_string_pretty(data).expect("numbers") + "\n";
    fs::write(root().join("tests/reference").join(name), text).expect("it can be written");
}

const SHIPPED: Settings = Settings::SHIPPED;
/// One step a tick, of 1/60 s.
const LONG_STEPS: Settings = Settings { steps_per_tick: 1, ..SHIPPED };

/// Steps a second.
fn rate_hz(settings: Settings) -> f64 {
    (1.0 / settings.step_s()).round()
}

/// The loaded crib in an engine of some settings: the engine, its load, steps a second.
fn loaded(crib: Crib, settings: Settings) -> (Engine, RigidBodyHandle, f64) {
    let mut engine = Engine::with_settings(gravity(0.0), settings);
    engine.add_ground(MU);
    let (_, load) = crib.build(&mut engine, MU, TIMBER_KG_M3);
    (engine, load, rate_hz(settings))
}

/// Time that this thread has had a core for, s: on a busy machine waiting is left out. Linux
/// tells it in nanoseconds.
fn core_s() -> f64 {
    let told = fs::read_to_string("/proc/thread-self/schedstat").expect("Linux tells it");
    let ns = told.split(' ').next().and_then(|ns| ns.parse::<f64>().ok());
    ns.expect("a number") * 1e-9
}

/// How many times real time the loaded crib goes, never asleep: the best of three.
fn speed(settings: Settings) -> f64 {
    let once = || {
        let (mut engine, _, rate_hz) = loaded(CRIB, settings);
        let begun = core_s();
        for _ in 0..(3.0 * rate_hz) as usize {
            engine.wake_all();
            engine.step();
        }
        3.0 / (core_s() - begun)
    };
    (0..3).map(|_| once()).fold(0.0, f64::max)
}

/// By which share the loaded crib comes down early, tilted gently; none where it comes
/// down at 0.9 of the closed form.
fn early(layers: usize, settings: Settings) -> Option<f64> {
    let crib = Crib { layers, ..CRIB };
    let stands = |tilt: f64| {
        let (mut engine, load, rate_hz) = loaded(crib, settings);
        (0..(8.5 * rate_hz) as usize).all(|step| {
            let share = ((step as f64 / rate_hz - 0.5) / 4.0).clamp(0.0, 1.0);
            engine.gravity = gravity(tilt * share * share * (3.0 - 2.0 * share));
            engine.wake_all();
            engine.step();
            let at = engine.bodies[load].translation();
            let rest = crib.height_m() + LOAD_HALF_M[0];
            f64::from(at.x).abs() <= 0.1 && f64::from(at.y) >= rest - 0.05
        })
    };
    let expected = crib.tips_rad(MU);
    let (mut low, mut high) = (0.9 * expected, 1.03 * expected);
    if !stands(low) {
        return None;
    }
    while high - low > 0.002 * expected {
        let middle = (low + high) / 2.0;
        if stands(middle) { low = middle } else { high = middle }
    }
    Some(1.0 - (low + high) / 2.0 / expected)
}

/// Creep of the crib's load on a slope of 0.1 rad, never asleep, mm a minute.
fn creep_mm_min(settings: Settings) -> f64 {
    let (mut engine, load, rate_hz) = loaded(CRIB, settings);
    let mut go = |seconds: f64, from: f64| {
        for step in 0..(seconds * rate_hz) as usize {
            let share = ((from + step as f64 / rate_hz) / 2.0).clamp(0.0, 1.0);
            engine.gravity = gravity(0.1 * share * share * (3.0 - 2.0 * share));
            engine.wake_all();
            engine.step();
        }
        engine.bodies[load].translation()
    };
    let first = go(5.0, 0.0);
    let last = go(30.0, 5.0);
    f64::from((last - first).length()) * 2e3
}

/// The loaded crib in both engines, turn about in one run: speed, and how early it comes down.
#[test]
#[ignore = "takes minutes and wants a quiet machine and MuJoCo"]
fn speed_beside_mujoco_is_written() {
    let ours = [
        SHIPPED,
        Settings { passes: 1, iterations: 48, ..SHIPPED },
        Settings { iterations: 36, ..SHIPPED },
        Settings { iterations: 32, ..SHIPPED },
        Settings { iterations: 24, ..SHIPPED },
        Settings { iterations: 48, ..LONG_STEPS },
        Settings { iterations: 40, contact_damping: 1.0, ..LONG_STEPS },
    ];
    let mujoco = |option: &str| -> Value {
        let script = root().join("tests/reference/mujoco_reference.py");
        let told = Command::new("python3").arg(script).arg(option).output();
        let told = told.expect("python3 runs; pip install mujoco==4.0.0 numpy");
        assert!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
        serde_json::from_slice(&told.stdout).expect("it answers in JSON")
    };
    let mut theirs = mujoco("--crib");
    let mut speeds = ours.map(|_| 0.0_f64);
    for _ in 0..3 {
        for (best, setting) in speeds.iter_mut().zip(ours) {
            *best = best.max(speed(setting));
        }
        let again = mujoco("--crib-speeds");
        let rows = theirs.as_array_mut().expect("rows");
        for (row, again) in rows.iter_mut().zip(again.as_array().expect("speeds")) {
            row["speed"] = json!(number(&row["speed"]).max(number(again)));
        }
    }
    let row = |(at, speed): (Settings, f64)| {
        let cribs = |at: Settings| [13, 12, 14, 16].map(|layers| early(layers, at));
        let halved = Settings { steps_per_tick: 2 * at.steps_per_tick, ..at };
        json!({
            "rate_hz": rate_hz(at),
            "iterations": at.iterations,
            "contact_hz": at.contact_hz,
            "passes": at.passes,
            "damping": at.contact_damping,
            "speed": speed,
            "early": cribs(at),
            "early_at_half_the_step": cribs(halved),
        })
    };
    let ours: Vec<Value> = ours.into_iter().zip(speeds).map(row).collect();
    write("speed.json", &json!({ "mujoco": theirs, "ours": ours }));
}

/// The solver's settings one against another: cribs, a bag, cases of statics, and whole lifts.
#[test]
#[ignore = "takes minutes and wants a quiet machine"]
fn settings_of_the_solver_are_written() {
    let all = [
        ("the program's: 40 iterations of two passes", SHIPPED),
        ("48 of one pass", Settings { iterations: 48, passes: 1, ..SHIPPED }),
        ("96 of one pass", Settings { iterations: 96, passes: 1, ..SHIPPED }),
        ("24 of two passes", Settings { iterations: 24, ..SHIPPED }),
        ("28 of two passes, 800 Hz", Settings { iterations: 28, contact_hz: 800.0, ..SHIPPED }),
        ("32 of two passes", Settings { iterations: 32, ..SHIPPED }),
        ("32 of two passes, 800 Hz", Settings { iterations: 32, contact_hz: 800.0, ..SHIPPED }),
        (
            "32 of two passes, damping ratio 1",
            Settings { iterations: 32, contact_damping: 1.0, ..SHIPPED },
        ),
        ("36 of two passes", Settings { iterations: 36, ..SHIPPED }),
        ("48 of two passes", Settings { iterations: 48, ..SHIPPED }),
        ("48 of three passes", Settings { iterations: 48, passes: 3, ..SHIPPED }),
        ("96 of two passes", Settings { iterations: 96, ..SHIPPED }),
        ("800 Hz", Settings { contact_hz: 800.0, ..SHIPPED }),
        ("damping ratio 1", Settings { contact_damping: 1.0, ..SHIPPED }),
        ("damping ratio 5", Settings { contact_damping: 5.0, ..SHIPPED }),
        ("contacts used again for 0.2 mm", Settings { recycle_m: 0.0002, ..SHIPPED }),
        ("contacts used again for 20 mm", Settings { recycle_m: 0.02, ..SHIPPED }),
        ("contacts used again for 0.001 rad", Settings { refresh_rad: 0.001, ..SHIPPED }),
        ("contacts used again for 0.016 rad", Settings { refresh_rad: 0.016, ..SHIPPED }),
        ("60 Hz, 48 of two passes", Settings { iterations: 48, ..LONG_STEPS }),
        ("60 Hz, 80 of two passes", Settings { iterations: 80, ..LONG_STEPS }),
        (
            "60 Hz, 40 of two passes, damping ratio 1",
            Settings { iterations: 40, contact_damping: 1.0, ..LONG_STEPS },
        ),
    ];
    let mut rows = Vec::new();
    for (what, settings) in all {
        let found = measured(settings);
        println!("{what}: {found}");
        rows.push(json!({ "what": what, "found": found }));
    }
    write("settings.json", &Value::from(rows));
}

/// What settings of the solver come to.
fn measured(settings: Settings) -> Value {
    let physics = Physics { solver: settings, ..Default::default() };
    let crib_early = [6, 13, 16].map(|layers| early(layers, settings));
    json!({
        "crib_early": crib_early,
        "crib_speed": speed(settings),
        "creep_mm_min": creep_mm_min(settings),
        "bag_height": bag_height_residual(settings),
        "beams": worst(&beam_moments(settings)).max(worst(&beam_deflections(settings))),
        "two_supports": worst(&two_supports(settings, 2000.0)),
        "rated_crib": worst(&rated_crib(settings, FOUR_M, 2, 24_000.0, 3.0)),
        "lean_mm": lean_mm(physics),
        "lift": lift(physics),
        "no_pad": ending("pad-missing", Varied { physics, ..Varied::as_is() }),
    })
}

/// The largest residual of the height of a load on a bag, against p A(h) = m g and
/// p_abs V(h) = n R T.
fn bag_height_residual(settings: Settings) -> f64 {
    let membrane = Membrane::of_size([0.5, 0.5]);
    let face_kg = BAG_FACE_KG_M2 * 0.25;
    let mut worst: f64 = 0.0;
    for kg in [150.0, 600.0, 2000.0] {
        let mut engine = Engine::with_settings(gravity(0.0), settings);
        engine.add_ground(0.8);
        let face = [0.25, BAG_FACE_M / 2.0, 0.25];
        let mut at = |y: f64| block(&mut engine, face, [0.0, y, 0.0], density(face_kg, face), 0.8);
        let (lower, upper) = (at(BAG_FACE_M * 0.5), at(BAG_FACE_M * 1.5));
        let half = [0.25, 0.1, 0.25];
        let middle = [0.0, BAG_FACE_M * 2.0 + 0.1, 0.0];
        block(&mut engine, half, middle, density(kg, half), 0.8);
        let mut bag = GasBag::new(&mut engine, lower, upper, membrane, 8e5);
        let air_j = 12e-3 * ATMOSPHERE_PA;
        let step_s = settings.step_s();
        let steps = |seconds: f64| (seconds / step_s).round() as usize;
        for step in 0..steps(8.0) {
            let now = if step < steps(4.0) { air_j * step_s / 4.0 } else { 0.0 };
            bag.advance(&mut engine, now);
            engine.step();
        }
        let all_j = air_j + ATMOSPHERE_PA * membrane.volume_m3(0.0);
        let (mut low, mut high) = (1e-4, membrane.height_limit_m());
        for _ in 0..60 {
            let h = (low + high) / 2.0;
            let lift = (all_j / membrane.volume_m3(h) - ATMOSPHERE_PA) * membrane.area_m2(h);
            if lift > (kg + face_kg) * G { low = h } else { high = h }
        }
        worst = worst.max((bag.height_m / low - 1.0).abs());
    }
    worst
}

/// A bag without a wedge under a sloping face tilts and pushes its stack sideways: how far the
/// stack's top has gone after 30 s, mm.
fn lean_mm(physics: Physics) -> f64 {
    let Ok(loaded) = scene::load("face-wedged", &["wedges=[]".to_owned()]) else {
        panic!("the lift under a sloping face loads")
    };
    let scene = Arc::new(loaded.scene);
    let mut yard = Yard::with_physics(scene.clone(), physics);
    let mut crew = Crew::new(scene.orders.clone());
    while yard.t_s() < 30.0 {
        crew.advance(&mut yard);
        yard.tick();
    }
    yard.snapshot.stacks.iter().map(|stack| stack.lean_m * 1e3).fold(0.0, f64::max)
}

/// The beam lift: speed, worst sum of upright loads on the vehicle, a limb's highest load.
fn lift(physics: Physics) -> Value {
    let Ok(loaded) = scene::load("beam-lift", &[]) else { panic!("the beam lift loads") };
    let scene = Arc::new(loaded.scene);
    let mut yard = Yard::with_physics(scene.clone(), physics);
    let mut crew = Crew::new(scene.orders.clone());
    let (mut core, mut ticks, mut worst) = (0.0, 0, 0.0_f64);
    let mut limb_n: f64 = 0.0;
    while !crew.done() && ticks < 12_000 {
        crew.advance(&mut yard);
        let begun = core_s();
        yard.tick();
        core += core_s() - begun;
        ticks += 1;
        limb_n = yard.snapshot.limbs.iter().map(|l| l.load_n).fold(limb_n, f64::max);
        if yard.snapshot.asleep {
            continue;
        }
        let of_vehicle = |part: usize| yard.parts()[part].kind.is_vehicle();
        let (mut kg, mut sum) = (0.0, 0.0);
        for member in yard.members().iter().filter(|m| of_vehicle(m.part)) {
            kg += member.kg;
            sum += member.kg * (yard.gravity()[1] - member.acceleration[1]);
        }
        for load in &yard.snapshot.loads {
            let by = load.by.is_some_and(of_vehicle);
            sum += load.force[1]
                * (f64::from(u8::from(of_vehicle(load.on))) - f64::from(u8::from(by)));
        }
        worst = worst.max(sum.abs() / (kg * G));
    }
    json!({
        "speed": f64::from(ticks) * TICK_S / core,
        "load_residual": worst,
        "limb_n": limb_n,
    })
}

/// Lessons that depend on friction, on how bags give sideways, on sheet metal or on contacts.
const LESSONS: [&str; 23] = [
    "beam-lift",
    "chocks-missing",
    "chocks-not-staked",
    "chocks-staked",
    "void-not-filled",
    "roof-skin",
    "roof-skin-bare",
    "layers-of-two",
    "layers-of-three",
    "stack-out-of-plumb",
    "stack-plumb",
    "bag-pair",
    "bags-large-below",
    "bags-small-below",
    "lower-bag-first",
    "deck-lid-wedged",
    "face-bare",
    "face-wedged",
    "face-oily",
    "face-wiped",
    "cross-slope-dry",
    "cross-slope-wet",
    "slick-patch",
];

/// What is varied: the physics, and the sheet metal of the scene by factors.
#[derive(Clone, Copy)]
struct Varied {
    physics: Physics,
    plateau: f64,
    stiffness: f64,
}

impl Varied {
    fn as_is() -> Self {
        Self { physics: Physics::default(), plateau: 1.0, stiffness: 1.0 }
    }
}

/// How a lesson ends with something varied.
fn ending(name: &str, varied: Varied) -> String {
    let Ok(loaded) = scene::load(name, &[]) else { panic!("{name} loads") };
    let mut scene: Scene = loaded.scene;
    for panel in &mut scene.vehicle.panels {
        panel.plateau_n *= varied.plateau;
        panel.stiffness_n_m *= varied.stiffness;
    }
    let scene = Arc::new(scene);
    let mut lift = Lift::with_physics(scene.clone(), varied.physics);
    while !lift.done() {
        lift.tick();
    }
    if let Some(first) = lift.findings().first() {
        return format!("{} ({})", Outcome::Failed.word(), first.cause().word());
    }
    let gaps = scene.limbs.iter().zip(&lift.snapshot().limbs);
    let freed = gaps.into_iter().all(|(limb, now)| now.gap_m >= limb.gap_needed_m);
    let all_done = lift.records().iter().all(|said| said.refused.is_none());
    let outcome = if freed && all_done { Outcome::Lifted } else { Outcome::Incomplete };
    outcome.word().to_owned()
}

/// How all the lessons end with each of what is varied; all lifts side by side.
fn endings(all: &[Varied]) -> Vec<BTreeMap<&'static str, String>> {
    let lifts: Vec<(usize, &str)> =
        (0..all.len()).flat_map(|row| LESSONS.iter().map(move |name| (row, *name))).collect();
    let next = AtomicUsize::new(0);
    let ends = Mutex::new(vec![BTreeMap::new(); all.len()]);
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                while let Some(&(row, name)) = lifts.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let end = ending(name, all[row]);
                    ends.lock().expect("no one fails")[row].insert(name, end);
                }
            });
        }
    });
    ends.into_inner().expect("no one fails")
}

/// Which outcomes depend on what is assumed.
#[test]
#[ignore = "takes minutes"]
fn what_hangs_on_assumptions_is_written() {
    let as_is = Varied::as_is();
    let assumed = |change: fn(&mut Assumed)| {
        let mut varied = as_is;
        change(&mut varied.physics.assumed);
        varied
    };
    let contacts = |contact_hz: f64| {
        let solver = Settings { contact_hz, ..SHIPPED };
        Varied { physics: Physics { solver, ..as_is.physics }, ..as_is }
    };
    // A pair's friction is the geometric mean of two figures, one a material.
    let all = [
        ("bags' shear stiffness, half", assumed(|a| a.bag_shear_share = 0.25)),
        ("bags' shear stiffness, double", assumed(|a| a.bag_shear_share = 1.0)),
        ("friction of timber, -10 % (with itself -19 %)", assumed(|a| a.timber_grip = 0.81)),
        ("friction of timber, +10 % (with itself +21 %)", assumed(|a| a.timber_grip = 1.21)),
        ("friction of sheet metal, -10 % (with itself -19 %)", assumed(|a| a.sheet_grip = 0.81)),
        ("friction of sheet metal, +10 % (with itself +21 %)", assumed(|a| a.sheet_grip = 1.21)),
        ("friction of bags, -10 % (with themselves -19 %)", assumed(|a| a.rubber_grip = 0.81)),
        ("friction of bags, +10 % (with themselves +21 %)", assumed(|a| a.rubber_grip = 1.21)),
        ("friction of the ground with everything, -20 %", assumed(|a| a.ground_grip = 0.64)),
        ("friction of the ground with everything, +20 %", assumed(|a| a.ground_grip = 1.44)),
        ("sheet metal's plateau, half", Varied { plateau: 0.5, ..as_is }),
        ("sheet metal's plateau, double", Varied { plateau: 2.0, ..as_is }),
        ("sheet metal's stiffness, half", Varied { stiffness: 0.5, ..as_is }),
        ("sheet metal's stiffness, double", Varied { stiffness: 2.0, ..as_is }),
        ("stiffness of contacts, half (679 Hz)", contacts(679.0)),
        ("stiffness of contacts, 0.7 times (804 Hz)", contacts(804.0)),
    ];
    let varied: Vec<Varied> = [as_is].into_iter().chain(all.iter().map(|(_, v)| *v)).collect();
    let mut ends = endings(&varied).into_iter();
    let shipped = ends.next().expect("as shipped");
    println!("{shipped:?}");
    let rows: Vec<Value> = all
        .iter()
        .zip(ends)
        .map(|((what, _), mut otherwise)| {
            otherwise.retain(|name, end| *end != shipped[name]);
            println!("{what}: {otherwise:?}");
            json!({ "what": what, "otherwise": otherwise })
        })
        .collect();
    write("assumed.json", &json!({ "shipped": shipped, "rows": rows }));
}

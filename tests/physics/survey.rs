//! What takes minutes to measure and is measured seldom: speed against error beside MuJoCo,
//! the solver's settings one against another, and which outcomes of the shelf hang on what is
//! assumed. Each writes its numbers to tests/reference, and docs/VERIFICATION.md shows them
//! (`tests/program/verification.rs`):
//!
//!     cargo test --release --no-default-features --test physics -- --ignored --nocapture --test-threads 1 written
//!
//! The program's constants are no options: a copy of this tree whose constants can be told
//! otherwise is built in the folder for built things, once for each step rate. A place that is
//! no longer there fails.

use crate::common::cases::{beam_deflections, beam_moments, rated_crib, two_supports, worst};
use crate::common::{Crib, FOUR_M, G, LOAD_HALF_M, TIMBER_KG_M3, block, density, gravity, root};
use bevy_rapier3d::rapier::prelude::SpringCoefficients;
use inchwise::debrief::{Keep, play};
use inchwise::membrane::Membrane;
use inchwise::scene;
use inchwise::snapshot::PartKind;
use inchwise::tables::{BAG_FACE_KG_M2, BAG_FACE_M};
use inchwise::units::{ATMOSPHERE_PA, System};
use inchwise::world::engine::{Engine, RigidBodyHandle};
use inchwise::world::solver::{CONTACT_DAMPING, CONTACT_HZ, ITERATIONS, PASSES, STEP_S};
use inchwise::world::{Crew, GasBag, TICK_S, Yard};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
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

/// Settings of the engine on the bench.
#[derive(Clone, Copy)]
struct Setting {
    rate_hz: f64,
    iterations: usize,
    contact_hz: f64,
    /// Passes over the contacts in each iteration.
    passes: usize,
    damping: f64,
}

impl Setting {
    const fn of(rate_hz: f64, iterations: usize, contact_hz: f64) -> Self {
        Self { rate_hz, iterations, contact_hz, passes: PASSES, damping: CONTACT_DAMPING }
    }

    fn engine(self) -> Engine {
        let mut engine = Engine::new(gravity(0.0));
        let softness = SpringCoefficients::new(self.contact_hz as f32, self.damping as f32);
        engine.parameters.dt = (1.0 / self.rate_hz) as f32;
        engine.parameters.num_solver_iterations = self.iterations;
        engine.parameters.num_internal_pgs_iterations = self.passes;
        engine.parameters.contact_softness = softness;
        engine.parameters.static_contact_softness = softness;
        engine
    }
}

/// The loaded crib in an engine of some settings: the engine, its load, steps a second.
fn loaded(crib: Crib, engine: &dyn Fn() -> Engine) -> (Engine, RigidBodyHandle, f64) {
    let mut engine = engine();
    engine.add_ground(MU);
    let (_, load) = crib.build(&mut engine, MU, TIMBER_KG_M3);
    let rate_hz = (1.0 / f64::from(engine.parameters.dt)).round();
    (engine, load, rate_hz)
}

/// Time that this thread has had a core for, s: on a busy machine waiting is left out. Linux
/// tells it in nanoseconds.
fn core_s() -> f64 {
    let told = fs::read_to_string("/proc/thread-self/schedstat").expect("Linux tells it");
    let ns = told.split(' ').next().and_then(|ns| ns.parse::<f64>().ok());
    ns.expect("a number") * 1e-9
}

/// How many times real time the loaded crib goes, never asleep: the best of three.
fn speed(engine: &dyn Fn() -> Engine) -> f64 {
    let once = || {
        let (mut engine, _, rate_hz) = loaded(CRIB, engine);
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
fn early(layers: usize, engine: &dyn Fn() -> Engine) -> Option<f64> {
    let crib = Crib { layers, ..CRIB };
    let stands = |tilt: f64| {
        let (mut engine, load, rate_hz) = loaded(crib, engine);
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
fn creep_mm_min(engine: &dyn Fn() -> Engine) -> f64 {
    let (mut engine, load, rate_hz) = loaded(CRIB, engine);
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
        Setting::of(1.0 / STEP_S, ITERATIONS, CONTACT_HZ),
        Setting { passes: 1, ..Setting::of(120.0, 48, 960.0) },
        Setting::of(120.0, 36, 960.0),
        Setting::of(120.0, 32, 960.0),
        Setting::of(120.0, 24, 960.0),
        Setting::of(60.0, 48, 960.0),
        Setting { damping: 1.0, ..Setting::of(60.0, 40, 960.0) },
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
            *best = best.max(speed(&|| setting.engine()));
        }
        let again = mujoco("--crib-speeds");
        let rows = theirs.as_array_mut().expect("rows");
        for (row, again) in rows.iter_mut().zip(again.as_array().expect("speeds")) {
            row["speed"] = json!(number(&row["speed"]).max(number(again)));
        }
    }
    let row = |(at, speed): (Setting, f64)| {
        let cribs = |at: Setting| [13, 12, 14, 16].map(|layers| early(layers, &|| at.engine()));
        json!({
            "rate_hz": at.rate_hz,
            "iterations": at.iterations,
            "contact_hz": at.contact_hz,
            "passes": at.passes,
            "damping": at.damping,
            "speed": speed,
            "early": cribs(at),
            "early_at_half_the_step": cribs(Setting { rate_hz: 2.0 * at.rate_hz, ..at }),
        })
    };
    let ours: Vec<Value> = ours.into_iter().zip(speeds).map(row).collect();
    write("speed.json", &json!({ "mujoco": theirs, "ours": ours }));
}

/// A copy of the tree whose constants can be told otherwise by the environment, built once
/// for each step rate: the program itself has no option that only this survey needs.
struct Variant {
    folder: PathBuf,
    program: PathBuf,
}

/// File, what stands there, the constant in it, and the knob that turns it.
const KNOBS: [(&str, &str, &str, &str); 13] = [
    (SOLVER, "CONTACT_HZ as Real", "CONTACT_HZ", "contact_hz"),
    (SOLVER, "CONTACT_DAMPING as Real", "CONTACT_DAMPING", "contact_damping"),
    (SOLVER, "num_solver_iterations: ITERATIONS", "ITERATIONS as f64", "iterations"),
    (SOLVER, "num_internal_pgs_iterations: PASSES", "PASSES as f64", "passes"),
    (SOLVER, "RECYCLE_M as Real", "RECYCLE_M", "recycle_m"),
    ("src/world/engine.rs", "solver::REFRESH_RAD / 2.0", "solver::REFRESH_RAD", "refresh_rad"),
    ("src/world/bag.rs", "BAG_SHEAR_SHARE * self.force_n", "BAG_SHEAR_SHARE", "shear"),
    ("src/tables.rs", "timber: grip[0]", "1.0", "timber"),
    ("src/tables.rs", "sheet: grip[1]", "1.0", "sheet"),
    ("src/tables.rs", "rubber: grip[2]", "1.0", "rubber"),
    ("src/tables.rs", "ground: grip[3]", "1.0", "ground"),
    ("src/world/place.rs", "plateau_n: panel.plateau_n", "1.0", "plateau"),
    ("src/world/place.rs", "stiffness_n_m: panel.stiffness_n_m", "1.0", "stiffness"),
];

const SOLVER: &str = "src/world/solver.rs";

const PACKAGE: &str = "name = \"inchwise\"\n";

/// Added to the lowest module of the copy.
const KNOB: &str = r#"
pub fn knob(name: &str, shipped: f64) -> f64 {
    let all = std::env::var("KNOBS").unwrap_or_default();
    let mut pairs = all.split(' ').filter_map(|pair| pair.split_once('='));
    let found = pairs.find(|(knob, _)| *knob == name);
    found.map_or(shipped, |(_, value)| value.parse().expect("a number"))
}
"#;

impl Variant {
    fn build(rate_hz: usize) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("variant");
        let mut changes: Vec<(&str, String, String)> = KNOBS
            .iter()
            .map(|(file, now, constant, name)| {
                let turned = format!(
                    "{{ static K: std::sync::OnceLock<f64> = std::sync::OnceLock::new(); \
                     *K.get_or_init(|| crate::units::knob({name:?}, {constant})) }}"
                );
                let then = match *constant {
                    "1.0" => format!("{now} * {turned}"),
                    "ITERATIONS as f64" => now.replace("ITERATIONS", &format!("{turned} as usize")),
                    "PASSES as f64" => now.replace("PASSES", &format!("{turned} as usize")),
                    _ => now.replacen(constant, &turned, 1),
                };
                (*file, (*now).to_owned(), then)
            })
            .collect();
        let rate = |now: &str, then: usize| now.replace("{}", &then.to_string());
        changes.extend([
            (
                SOLVER,
                rate("STEP_S: f64 = 1.0 / {}.0", 120),
                rate("STEP_S: f64 = 1.0 / {}.0", rate_hz),
            ),
            (
                "src/world/mod.rs",
                rate("STEPS_PER_TICK: usize = {}", 2),
                rate("STEPS_PER_TICK: usize = {}", rate_hz / 60),
            ),
        ]);
        for top in ["src", "scenes", "assets", "tests", "Cargo.toml", "Cargo.lock"] {
            copy(Path::new(top), &folder, &changes);
        }
        let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().expect("the target folder");
        let told = Command::new(env!("CARGO"))
            .args(["test", "--locked", "--release", "--no-default-features", "--test", "survey"])
            .args(["--no-run", "--message-format", "json"])
            .current_dir(&folder)
            .env("CARGO_TARGET_DIR", target)
            .stderr(Stdio::inherit())
            .output()
            .expect("cargo runs");
        assert!(told.status.success(), "the variant builds");
        let text = String::from_utf8_lossy(&told.stdout);
        let built = text.lines().filter_map(|line| serde_json::from_str::<Value>(line).ok());
        let path = built
            .filter(|message| message["target"]["name"] == "survey")
            .find_map(|message| message["executable"].as_str().map(str::to_owned))
            .expect("cargo names the test program");
        // The next rate is built in the same place.
        let program = folder.join(format!("survey-{rate_hz}"));
        fs::copy(path, &program).expect("it can be copied");
        Self { folder, program }
    }

    /// What one of its ignored tests prints after "answer: " with some knobs turned.
    fn ask(&self, knobs: &str, test: &str) -> Value {
        let told = Command::new(&self.program)
            .args(["--ignored", "--exact", "--nocapture", test])
            .current_dir(&self.folder)
            .env("KNOBS", knobs)
            .output()
            .expect("it runs");
        let text = String::from_utf8_lossy(&told.stdout);
        let Some(at) = text.find("answer: ") else {
            panic!("{knobs}: {text}{}", String::from_utf8_lossy(&told.stderr));
        };
        let answer = text[at..].lines().next().unwrap_or_default();
        serde_json::from_str(&answer["answer: ".len()..]).expect("an answer in JSON")
    }
}

/// Copies what differs, so that little is built anew.
fn copy(path: &Path, to: &Path, changes: &[(&str, String, String)]) {
    let (from, to_path) = (root().join(path), to.join(path));
    if from.is_dir() {
        fs::create_dir_all(&to_path).expect("a folder");
        for entry in fs::read_dir(&from).expect("the tree is there") {
            copy(&path.join(entry.expect("an entry").file_name()), to, changes);
        }
        return;
    }
    let mut bytes = fs::read(&from).expect("a file");
    if path == Path::new("Cargo.toml") || path == Path::new("Cargo.lock") {
        // Cargo takes two packages of one name for the same, wherever they lie: the variant
        // must not take the place of the true library and program.
        let text = String::from_utf8(bytes).expect("text");
        assert!(text.contains(PACKAGE), "{}: no {PACKAGE:?}", path.display());
        bytes = text.replacen(PACKAGE, "name = \"inchwise-variant\"\n", 1).into_bytes();
    }
    if path == Path::new("Cargo.toml") {
        bytes.extend(b"\n[lib]\nname = \"inchwise\"\n");
        bytes.extend(b"\n[[bin]]\nname = \"variant\"\npath = \"src/main.rs\"\n");
    }
    if path == Path::new("src/units.rs") {
        bytes.extend(KNOB.bytes());
    }
    for (_, now, then) in changes.iter().filter(|(file, ..)| path == Path::new(file)) {
        let text = String::from_utf8(bytes).expect("text");
        let found = text.matches(now.as_str()).count();
        assert!(found > 0, "{}: there is no {now:?}", path.display());
        bytes = text.replace(now, then).into_bytes();
    }
    if fs::read(&to_path).ok().as_ref() != Some(&bytes) {
        fs::write(&to_path, bytes).expect("it can be written");
    }
}

/// The solver's settings one against another: cribs, a bag, cases of statics, and whole lifts.
#[test]
#[ignore = "takes minutes and builds the program anew"]
fn settings_of_the_solver_are_written() {
    let all: [(usize, &[(&str, &str)]); 2] = [
        (
            120,
            &[
                ("the program's: 40 iterations of two passes", ""),
                ("48 of one pass", "iterations=48 passes=1"),
                ("96 of one pass", "iterations=96 passes=1"),
                ("24 of two passes", "iterations=24"),
                ("28 of two passes, 800 Hz", "iterations=28 contact_hz=800"),
                ("32 of two passes", "iterations=32"),
                ("32 of two passes, 800 Hz", "iterations=32 contact_hz=800"),
                ("32 of two passes, damping ratio 1", "iterations=32 contact_damping=1"),
                ("36 of two passes", "iterations=36"),
                ("48 of two passes", "iterations=48"),
                ("48 of three passes", "iterations=48 passes=3"),
                ("96 of two passes", "iterations=96"),
                ("800 Hz", "contact_hz=800"),
                ("damping ratio 1", "contact_damping=1"),
                ("damping ratio 5", "contact_damping=5"),
                ("contacts used again for 0.2 mm", "recycle_m=0.0002"),
                ("contacts used again for 20 mm", "recycle_m=0.02"),
                ("contacts used again for 0.001 rad", "refresh_rad=0.001"),
                ("contacts used again for 0.016 rad", "refresh_rad=0.016"),
            ],
        ),
        (
            60,
            &[
                ("60 Hz, 48 of two passes", "iterations=48"),
                ("60 Hz, 80 of two passes", "iterations=80"),
                ("60 Hz, 40 of two passes, damping ratio 1", "iterations=40 contact_damping=1"),
            ],
        ),
    ];
    let mut rows = Vec::new();
    for (rate_hz, settings) in all {
        let variant = Variant::build(rate_hz);
        for (what, knobs) in settings {
            let found = variant.ask(knobs, "variant_measured");
            println!("{what}: {found}");
            rows.push(json!({ "what": what, "found": found }));
        }
    }
    write("settings.json", &Value::from(rows));
}

/// Played in a variant: what its constants come to.
#[test]
#[ignore = "asked by the survey of settings"]
fn variant_measured() {
    let engine: &dyn Fn() -> Engine = &|| Engine::new(gravity(0.0));
    let all_early = [6, 13, 16].map(|layers| early(layers, engine));
    let found = json!({
        "crib_early": all_early,
        "crib_speed": speed(engine),
        "creep_mm_min": creep_mm_min(engine),
        "bag_height": bag_height_residual(),
        "beams": worst(&beam_moments()).max(worst(&beam_deflections())),
        "two_supports": worst(&two_supports(2000.0)),
        "rated_crib": worst(&rated_crib(FOUR_M, 2, 24_000.0, 3.0)),
        "lean_mm": lean_mm(),
        "lift": lift(),
        "no_pad": ending("pad-missing"),
    });
    println!("answer: {found}");
}

/// The largest residual of the height of a load on a bag, against p A(h) = m g and
/// p_abs V(h) = n R T.
fn bag_height_residual() -> f64 {
    let membrane = Membrane { width_m: 0.5, length_m: 0.5 };
    let face_kg = BAG_FACE_KG_M2 * 0.25;
    let mut worst: f64 = 0.0;
    for kg in [150.0, 600.0, 2000.0] {
        let mut engine = Engine::new(gravity(0.0));
        engine.add_ground(0.8);
        let face = [0.25, BAG_FACE_M / 2.0, 0.25];
        let mut at = |y: f64| block(&mut engine, face, [0.0, y, 0.0], density(face_kg, face), 0.8);
        let (lower, upper) = (at(BAG_FACE_M * 0.5), at(BAG_FACE_M * 1.5));
        let half = [0.25, 0.1, 0.25];
        let middle = [0.0, BAG_FACE_M * 2.0 + 0.1, 0.0];
        block(&mut engine, half, middle, density(kg, half), 0.8);
        let mut bag = GasBag::new(&mut engine, lower, upper, membrane, 8e5);
        let air_j = 12e-3 * ATMOSPHERE_PA;
        for step in 0..crate::common::steps(8.0) {
            let now = if step < crate::common::steps(4.0) { air_j * STEP_S / 4.0 } else { 0.0 };
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
fn lean_mm() -> f64 {
    let Ok(loaded) = scene::load("face-wedged", &["wedges=[]".to_owned()]) else {
        panic!("the lift under a sloping face loads")
    };
    let scene = Arc::new(loaded.scene);
    let mut yard = Yard::new(scene.clone());
    let mut crew = Crew::new(scene.orders.clone());
    while yard.t_s() < 30.0 {
        crew.work(&mut yard);
        yard.tick();
    }
    yard.snapshot.stacks.iter().map(|stack| stack.lean_m * 1e3).fold(0.0, f64::max)
}

/// The beam lift: speed, worst sum of upright loads on the vehicle, a limb's highest load.
fn lift() -> Value {
    let Ok(loaded) = scene::load("beam-lift", &[]) else { panic!("the beam lift loads") };
    let scene = Arc::new(loaded.scene);
    let mut yard = Yard::new(scene.clone());
    let mut crew = Crew::new(scene.orders.clone());
    let (mut core, mut ticks, mut worst) = (0.0, 0, 0.0_f64);
    let mut limb_n: f64 = 0.0;
    while !crew.done() && ticks < 12_000 {
        crew.work(&mut yard);
        let begun = core_s();
        yard.tick();
        core += core_s() - begun;
        ticks += 1;
        limb_n = yard.snapshot.limbs.iter().map(|l| l.load_n).fold(limb_n, f64::max);
        if yard.snapshot.asleep {
            continue;
        }
        let of_vehicle =
            |part: usize| matches!(yard.parts[part].kind, PartKind::Vehicle | PartKind::Panel(_));
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

/// Lessons that hang on friction, on how bags give sideways, on sheet metal or on contacts.
const LESSONS: [&str; 24] = [
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
    "slope-clean",
];

fn ending(name: &str) -> String {
    let Ok(loaded) = scene::load(name, &[]) else { panic!("{name} loads") };
    let debrief = play(Arc::new(loaded.scene), System::Si, Keep::Nothing, &mut |_, _| {});
    let word = debrief.outcome.word();
    debrief.cause.map_or(word.to_owned(), |cause| format!("{word} ({})", cause.word()))
}

/// Played in a variant: how the lessons end.
#[test]
#[ignore = "asked by the survey of assumptions"]
fn variant_ends() {
    let next = AtomicUsize::new(0);
    let ends = Mutex::new(BTreeMap::new());
    let cores = std::thread::available_parallelism().map_or(1, |n| n.get());
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                while let Some(name) = LESSONS.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let end = ending(name);
                    ends.lock().expect("no one fails").insert(*name, end);
                }
            });
        }
    });
    println!("answer: {}", json!(ends.into_inner().expect("no one fails")));
}

/// Which outcomes hang on what is assumed.
#[test]
#[ignore = "takes minutes and builds the program anew"]
fn what_hangs_on_assumptions_is_written() {
    // A pair's friction is the geometric mean of two figures, one a material.
    let all = [
        ("bags' shear stiffness, half", "shear=0.25"),
        ("bags' shear stiffness, double", "shear=1"),
        ("friction of timber, -10 % (with itself -19 %)", "timber=0.81"),
        ("friction of timber, +10 % (with itself +21 %)", "timber=1.21"),
        ("friction of sheet metal, -10 % (with itself -19 %)", "sheet=0.81"),
        ("friction of sheet metal, +10 % (with itself +21 %)", "sheet=1.21"),
        ("friction of bags, -10 % (with themselves -19 %)", "rubber=0.81"),
        ("friction of bags, +10 % (with themselves +21 %)", "rubber=1.21"),
        ("friction of the ground with everything, -20 %", "ground=0.64"),
        ("friction of the ground with everything, +20 %", "ground=1.44"),
        ("sheet metal's plateau, half", "plateau=0.5"),
        ("sheet metal's plateau, double", "plateau=2"),
        ("sheet metal's stiffness, half", "stiffness=0.5"),
        ("sheet metal's stiffness, double", "stiffness=2"),
        ("stiffness of contacts, half (679 Hz)", "contact_hz=679"),
        ("stiffness of contacts, 0.7 times (804 Hz)", "contact_hz=804"),
    ];
    let variant = Variant::build(120);
    let shipped = variant.ask("", "variant_ends");
    println!("{shipped}");
    let rows: Vec<Value> = all
        .iter()
        .map(|(what, knobs)| {
            let ends = variant.ask(knobs, "variant_ends");
            let otherwise: BTreeMap<&str, &Value> = LESSONS
                .iter()
                .filter(|name| ends[**name] != shipped[**name])
                .map(|name| (*name, &ends[*name]))
                .collect();
            println!("{what}: {otherwise:?}");
            json!({ "what": what, "otherwise": otherwise })
        })
        .collect();
    write("assumed.json", &json!({ "shipped": shipped, "rows": rows }));
}

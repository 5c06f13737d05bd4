//! How fast it is, as ratios measured in one run: what the program's layer costs over the
//! bare physics engine, one core against two, MuJoCo where it is installed.
//!
//!     cargo bench                                      prints the page
//!     INCHWISE_PERFORMANCE=write cargo bench           writes docs/PERFORMANCE.md
//!
//! What is compared is run turn about, several times, and the least time of each counts:
//! whatever else the machine does only ever adds to it. A library of benchmarks measures
//! one thing after the other, which on a busy machine compares two different minutes.

#[path = "../common/mod.rs"]
mod common;

use bevy_rapier3d::rapier::prelude::{
    BroadPhaseBvh, CCDSolver, IslandManager, MultibodyJointSet, NarrowPhase, PhysicsPipeline,
};
use common::{Crib, FOUR_M, TIMBER_KG_M3, gravity, steps};
use inchwise::debrief::{FrameRetention, play};
use inchwise::scene::{self, Scene};
use inchwise::sweep::{Axis, Grid, Sweep, SweepPart};
use inchwise::units::UnitSystem;
use inchwise::watch::Watch;
use inchwise::world::engine::Engine;
use inchwise::world::{Crew, TICK_S, Yard};
use std::fmt::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::{Duration, Instant};

const PAGE: &str = "docs/PERFORMANCE.md";
const TURNS: usize = 5;
/// Friction of everything in the crib.
const MU: f64 = 0.7;

fn main() {
    // Cargo's own test run asks every program for its tests.
    if std::env::args().any(|a| a == "--list" || a == "--test") {
        return;
    }
    let mut rows = Vec::new();
    crib(&mut rows);
    layer(&mut rows);
    lifts(&mut rows);
    sweeps(&mut rows);
    memory(&mut rows);
    start_up(&mut rows);
    sheets(&mut rows);
    pictures(&mut rows);
    let page = page(&rows);
    println!("{page}");
    if std::env::var("INCHWISE_PERFORMANCE").is_ok_and(|v| v == "write") {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(PAGE);
        std::fs::write(path, page).expect("the page can be written");
    }
}

/// What was measured, how it came out, and the bar that it is held against.
struct Row {
    what: &'static str,
    result: String,
    bar: &'static str,
}

fn row(rows: &mut Vec<Row>, what: &'static str, result: String, bar: &'static str) {
    eprintln!("{what}: {result}");
    rows.push(Row { what, result, bar });
}

/// The least time of each of two jobs, run turn about.
fn turn_about(a: &mut dyn FnMut(), b: &mut dyn FnMut()) -> [f64; 2] {
    let mut least = [f64::INFINITY; 2];
    for _ in 0..TURNS {
        for (which, least) in least.iter_mut().enumerate() {
            let begun = Instant::now();
            if which == 0 {
                a();
            } else {
                b();
            }
            *least = least.min(begun.elapsed().as_secs_f64());
        }
    }
    least
}

/// Thirteen layers under 400 kg, never asleep, by the program's engine and by rapier's
/// pipeline on the very same bodies; five simulated seconds.
fn crib(rows: &mut Vec<Row>) {
    let crib = Crib { layers: 13, timber_m: FOUR_M, length_m: 0.6096, members: 2, load_kg: 400.0 };
    let built = || {
        let mut engine = Engine::new(gravity(0.0));
        engine.add_ground(MU);
        crib.build(&mut engine, MU, TIMBER_KG_M3);
        engine
    };
    let ours = || {
        let mut engine = built();
        for _ in 0..steps(5.0) {
            engine.wake_all();
            engine.step();
        }
    };
    let bare = || {
        let engine = built();
        let (mut bodies, mut colliders, mut joints) =
            (engine.bodies.clone(), engine.colliders.clone(), engine.joints.clone());
        let (mut islands, mut broad) = (IslandManager::new(), BroadPhaseBvh::new());
        let (mut narrow, mut chains) = (NarrowPhase::new(), MultibodyJointSet::new());
        let (mut ccd, mut pipeline) = (CCDSolver::new(), PhysicsPipeline::new());
        let all: Vec<_> = bodies.iter().map(|(handle, _)| handle).collect();
        for _ in 0..steps(5.0) {
            for handle in &all {
                islands.wake_up(&mut bodies, *handle, true);
            }
            pipeline.step(
                engine.gravity,
                &engine.parameters,
                &mut islands,
                &mut broad,
                &mut narrow,
                &mut bodies,
                &mut colliders,
                &mut joints,
                &mut chains,
                &mut ccd,
                &(),
                &(),
            );
        }
    };
    let [with, without] = turn_about(&mut || ours(), &mut || bare());
    let speed = 5.0 / with;
    row(rows, "Loaded crib of 13 layers", format!("{speed:.0} x real time"), "");
    row(
        rows,
        "... the program's engine over bare rapier",
        format!("{:+.1} %", 100.0 * (with / without - 1.0)),
        "at most +15 %",
    );
    match mujoco() {
        Some(theirs) => row(
            rows,
            "... against MuJoCo as `tests/reference/mujoco_reference.py` sets it",
            format!("{:.1} x its speed ({theirs:.0} x real time)", speed / theirs),
            "faster",
        ),
        None => row(rows, "... against MuJoCo", "not installed here".into(), "faster"),
    }
}

/// The same crib in MuJoCo, x real time, where Python has it.
fn mujoco() -> Option<f64> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/mujoco_reference.py");
    let out = Command::new("python3").arg(script).arg("--speed").output().ok()?;
    String::from_utf8_lossy(&out.stdout).trim().parse().ok()
}

fn shipped(name: &str) -> Arc<Scene> {
    match scene::load(name, &[]) {
        Ok(loaded) => Arc::new(loaded.scene),
        Err(problems) => panic!("{name}: {}", problems[0]),
    }
}

/// In the middle of a raise: a whole tick (air, bags, panels, crew, measuring, watch)
/// against the engine's two steps alone from the same state, tick by tick.
fn layer(rows: &mut Vec<Row>) {
    let scene = shipped("beam-lift");
    let mut yard = Yard::new(scene.clone());
    let mut crew = Crew::new(scene.orders.clone());
    let mut watch =
        Watch::new(&scene, yard.parts(), (yard.settling(), yard.placed()), &yard.snapshot);
    let tick = |yard: &mut Yard, crew: &mut Crew, watch: &mut Watch| {
        crew.advance(yard);
        yard.tick();
        watch.observe(yard.parts(), &yard.snapshot);
    };
    while yard.t_s() < 10.0 {
        tick(&mut yard, &mut crew, &mut watch);
    }
    const TICKS: usize = 300;
    // The times themselves are added up, so that the copies of the engine do not count.
    let (mut whole_s, mut steps_s) = (0.0, 0.0);
    for _ in 0..TICKS {
        let mut engine = yard.engine().clone();
        let begun = Instant::now();
        engine.step();
        engine.step();
        steps_s += begun.elapsed().as_secs_f64();
        let begun = Instant::now();
        tick(&mut yard, &mut crew, &mut watch);
        whole_s += begun.elapsed().as_secs_f64();
    }
    row(
        rows,
        "Beam lift, mid-raise: a tick over its engine steps",
        format!("{:+.1} %", 100.0 * (whole_s / steps_s - 1.0)),
        "at most +12 %",
    );
}

/// Whole lifts, with settling.
fn lifts(rows: &mut Vec<Row>) {
    for (name, what, bar) in [
        ("beam-lift", "`beam-lift`, from start to end on one core", "10 x real time"),
        ("deck-lid-wedged", "`deck-lid-wedged`, the same", ""),
    ] {
        let begun = Instant::now();
        let debrief = play(shipped(name), UnitSystem::Si, FrameRetention::None, &mut |_, _| {});
        let wall_s = begun.elapsed().as_secs_f64();
        let result = format!(
            "{:.0} s in {wall_s:.1} s, {:.1} x real time",
            debrief.sim_s,
            debrief.sim_s / wall_s
        );
        row(rows, what, result, bar);
    }
}

/// A short lift, for sweeps.
const SHORT: &str = include_str!("../common/short.ron");

/// Sixteen like cells on one core and on two.
fn sweeps(rows: &mut Vec<Row>) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("short.ron");
    std::fs::write(&path, SHORT).expect("a scene can be written");
    let scene = path.to_str().expect("a plain path");
    let axis = Axis::parse("vehicle.mass=1300 kg..1330 kg:16").expect("an axis");
    let grid = Grid::new(vec![axis]).expect("a grid");
    let Ok(sweep) = Sweep::new(scene, &[], grid, None, 1) else { panic!("the scene loads") };
    let on = |threads| {
        let table = sweep.play(SweepPart::WHOLE, threads, None, &mut |_| {});
        assert!(table.is_ok_and(|t| t.rows.len() == 16));
    };
    let [one, two] = turn_about(&mut || on(1), &mut || on(2));
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZeroUsize::get);
    row(
        rows,
        "Sweep on two cores against one",
        format!("{:.2} x ({cores} cores here)", one / two),
        "at least 1.85 x",
    );
}

/// The most memory that a sweep worker ever held, as Linux tells it.
fn memory(rows: &mut Vec<Row>) {
    let child = Command::new(env!("CARGO_BIN_EXE_inchwise"))
        .args(["sweep", "beam-lift", "--vary", "vehicle.mass=1300 kg,1320 kg", "--threads", "1"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    let Ok(mut child) = child else { return };
    let mut most_kb = None;
    while let Ok(None) = child.try_wait() {
        let status = std::fs::read_to_string(format!("/proc/{}/status", child.id()));
        let peak = status.ok().and_then(|text| {
            let line = text.lines().find(|l| l.starts_with("VmHWM:"))?.to_owned();
            line.split_whitespace().nth(1)?.parse::<f64>().ok()
        });
        most_kb = peak.or(most_kb);
        std::thread::sleep(Duration::from_millis(50));
    }
    let result = most_kb
        .map_or("not told by this system".into(), |kb| format!("{:.0} MB", kb * 1024.0 / 1e6));
    row(rows, "Peak memory of a sweep worker, whole `beam-lift` cells", result, "under 150 MB");
}

/// From the shell to the exit of the slowest sheet on the shelf, written as text and page.
fn sheets(rows: &mut Vec<Row>) {
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("sheet.html");
    let slowest = scene::builtin_names()
        .into_iter()
        .map(|name| {
            let least = (0..TURNS)
                .map(|_| {
                    let begun = Instant::now();
                    let out = Command::new(env!("CARGO_BIN_EXE_inchwise"))
                        .args(["sheet", &name, "--html"])
                        .arg(&page)
                        .output();
                    assert!(out.is_ok_and(|out| out.status.success()), "{name}");
                    begun.elapsed().as_secs_f64()
                })
                .fold(f64::INFINITY, f64::min);
            (name, least)
        })
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let (name, least) = slowest.expect("a shipped scene");
    let result = format!("{:.0} ms (`{name}`)", 1e3 * least);
    row(rows, "Slowest sheet on the shelf, with start-up and its page", result, "under 50 ms");
}

/// From the shell to the exit of a command that reads and checks a scene.
fn start_up(rows: &mut Vec<Row>) {
    let mut least = f64::INFINITY;
    for _ in 0..TURNS {
        let begun = Instant::now();
        let out =
            Command::new(env!("CARGO_BIN_EXE_inchwise")).args(["check", "beam-lift"]).output();
        assert!(out.is_ok_and(|out| out.status.success()));
        least = least.min(begun.elapsed().as_secs_f64());
    }
    row(rows, "Start-up: `inchwise check beam-lift`", format!("{:.0} ms", 1e3 * least), "");
}

#[cfg(feature = "view")]
fn pictures(rows: &mut Vec<Row>) {
    use inchwise::debrief::Moment;
    use inchwise::lift::Lift;
    let lift = Lift::new(shipped("beam-lift"));
    let moment = Moment {
        parts: Arc::new(lift.parts().to_vec()),
        snapshot: lift.snapshot().clone(),
        findings: Vec::new(),
    };
    let begun = Instant::now();
    let mut studio = match inchwise::view::Studio::new(1280, 720, lift.scene()) {
        Ok(studio) => studio,
        Err(why) => return row(rows, "A picture off screen", why.to_string(), ""),
    };
    let first = studio.take(&moment, UnitSystem::Si).map(|_| begun.elapsed().as_secs_f64());
    let mut least = f64::INFINITY;
    for _ in 0..2 * TURNS {
        let begun = Instant::now();
        if studio.take(&moment, UnitSystem::Si).is_ok() {
            least = least.min(begun.elapsed().as_secs_f64());
        }
    }
    if let Ok(first) = first {
        row(rows, "First picture off screen, with start-up", format!("{first:.1} s"), "");
        let text = format!("{:.0} ms at 1280 x 720", 1e3 * least);
        row(rows, "Each further picture, drawn twice and read back", text, "");
    }
}

#[cfg(not(feature = "view"))]
fn pictures(rows: &mut Vec<Row>) {
    row(rows, "Pictures", "built without the feature `view`".into(), "");
}

/// What `inchwise frames SCENE --json tests/reference/frames/NAME.json` wrote on a machine with
/// a graphics card: a table, because this one may have none.
fn frames() -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/frames");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("the folder of frame times")
        .map(|entry| entry.expect("a file").path())
        .collect();
    files.sort();
    let mut out = "\n## Frames\n\n\
         Drawn off screen with every overlay on while the lift runs, by `inchwise frames SCENE`.\n\
         The numbers are kept in `tests/reference/frames`, with the kind of the card.\n\
         The bar is 60 a second at 1920 x 1080 on a graphics card and the first frame within 3 s. \
         A first frame has everything in it: no pipeline is still being made.\n\
         `beam-lift-first-start` is the very first start on a bare machine.\n\
         The card's driver is read from the disk and translates every shader, which it keeps for \
         later starts.\n\n\
         | file | scene | drawn by | size | graphics | median | 99 % within | first frame |\n\
         |---|---|---|---|---|---|---|---|\n"
        .to_owned();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("a file of frame times");
        let times: serde_json::Value = serde_json::from_str(&text).expect("frame times");
        let number = |key: &str| times[key].as_f64().expect("a number");
        let word = |key: &str| times[key].as_str().expect("a word").to_owned();
        let graphics = if times["plain_graphics"] == true { "plain" } else { "usual" };
        let _ = writeln!(
            out,
            "| `{}` | {} | {} | {} x {} | {graphics} | {:.1} ms ({:.0} a second) | {:.1} ms | {:.1} s |",
            file.file_stem().unwrap_or_default().display(),
            word("scene"),
            word("device"),
            times["size"][0],
            times["size"][1],
            number("median_ms"),
            1e3 / number("median_ms"),
            number("p99_ms"),
            number("first_frame_s"),
        );
    }
    out
}

/// The machine, as far as Linux tells it.
fn machine() -> String {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZeroUsize::get);
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    let load = load.split_whitespace().next().unwrap_or("unknown").to_owned();
    format!("{}, {cores} cores, load of the last minute {load}", std::env::consts::ARCH)
}

fn page(rows: &[Row]) -> String {
    let mut out = format!(
        "# Performance\n\n\
         Measured by `INCHWISE_PERFORMANCE=write cargo bench`, which writes this page; the \
         benchmarks are in `tests/bench/performance.rs`.\n\
         Times differ between machines.\n\
         Ratios do so less, because both sides ran turn about in the same minutes, and the least \
         time of {TURNS} turns counts.\n\
         Numbers from a busy machine are too high, and two busy cores are not two: run it on a \
         quiet one.\n\n\
         Machine: {}. Step {:.2} ms, two to a tick.\n\n\
         | what | result | bar |\n|---|---|---|\n",
        machine(),
        1e3 * TICK_S / 2.0
    );
    for row in rows {
        let _ = writeln!(out, "| {} | {} | {} |", row.what, row.result, row.bar);
    }
    out.push_str(&frames());
    out.push_str(
        "\nBare rapier is `PhysicsPipeline::step` on clones of the same bodies with the same \
         parameters.\nThe program's engine adds that contacts of bodies that have turned are worked \
         out afresh.\nA tick adds air, bags, yielding panels, the crew, measuring and the watch.\n",
    );
    out
}

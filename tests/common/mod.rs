//! What every verification test shares: a claim with its source, whose worst residual is
//! held against its tolerance and against the row that `docs/VERIFICATION.md` publishes,
//! and a bench of plain bodies.
//!
//! `INCHWISE_RESIDUALS=write` has the residuals noted instead of compared, for
//! `tests/program/verification.rs` to write the page from.

#![allow(dead_code, reason = "every test program uses a part of this")]

pub mod cases;

use approx::abs_diff_eq;
use bevy_rapier3d::rapier::prelude::{GenericJoint, JointAxesMask, Pose};
use inchwise::scene::Scene;
use inchwise::world::engine::{BodySpec, Engine, Friction, Groups, Mass, RigidBodyHandle};
use inchwise::world::solver::STEP_S;
use std::path::{Path, PathBuf};

pub use bevy_rapier3d::rapier::prelude::{ColliderBuilder, Real, Rotation, Vector};

/// Standard gravity, m/s2.
pub const G: f64 = 9.80665;
/// Dressed 4x4 and 6x6 (PS 20), m.
pub const FOUR_M: f64 = 0.0889;
pub const SIX_M: f64 = 0.1397;
/// Douglas-fir at 12 % moisture, kg/m3 (Wood Handbook FPL-GTR-190 table 5-3a).
pub const TIMBER_KG_M3: f64 = 538.0;

pub const PAGE: &str = "docs/VERIFICATION.md";

/// One thing that the program says about force or motion, and what it is held against.
pub struct Claim {
    /// Family and short name, such as "contact.stopping".
    pub id: &'static str,
    pub claim: &'static str,
    pub source: &'static str,
    pub range: &'static str,
    /// Largest residual that passes; in parts of one unless the unit says else.
    pub tolerance: f64,
    pub unit: Unit,
    pub reason: &'static str,
}

#[derive(Clone, Copy, PartialEq)]
pub enum Unit {
    /// A share of the expected value, shown in per cent.
    Share,
    /// Millimetres.
    Mm,
}

impl Unit {
    pub fn show(self, value: f64) -> String {
        match self {
            Self::Share => format!("{} %", significant(value * 100.0)),
            Self::Mm => format!("{} mm", significant(value)),
        }
    }
}

/// Two significant digits; nothing smaller than a ten-thousandth.
fn significant(value: f64) -> String {
    if value < 5e-5 {
        return "0".to_owned();
    }
    let digits = (1 - value.log10().floor() as i32).max(0) as usize;
    format!("{value:.digits$}")
}

impl Claim {
    pub fn begin(self) -> Residuals {
        Residuals { claim: self, worst: 0.0, at: String::new(), count: 0 }
    }
}

/// The residuals of a claim over its sweep.
pub struct Residuals {
    claim: Claim,
    worst: f64,
    at: String,
    count: usize,
}

impl Residuals {
    /// A found value against the expected one, as a share of it.
    pub fn compare(&mut self, found: f64, expected: f64, at: impl std::fmt::Display) {
        self.residual((found / expected - 1.0).abs(), format!("{at}: {found} for {expected}"));
    }

    /// A residual worked out by the test.
    pub fn residual(&mut self, residual: f64, at: impl std::fmt::Display) {
        self.count += 1;
        let Claim { id, tolerance, unit, .. } = self.claim;
        assert!(
            residual <= tolerance,
            "{id}: {} where {} is allowed, at {at}",
            unit.show(residual),
            unit.show(tolerance)
        );
        if residual >= self.worst {
            self.worst = residual;
            self.at = at.to_string();
        }
    }

    /// Ends the sweep: the row on the page must say what was claimed and seen.
    pub fn end(self) {
        let Self { claim: c, worst, at, count } = self;
        println!("{}: worst {} of {count}, at {at}", c.id, c.unit.show(worst));
        assert!(count > 0, "{}: nothing was compared", c.id);
        let tolerance = c.unit.show(c.tolerance);
        let row = |worst: &str| {
            format!(
                "| {} | {} | {} | {} | {tolerance}: {} | {worst} |",
                c.id, c.claim, c.source, c.range, c.reason
            )
        };
        let seen = c.unit.show(worst);
        if std::env::var("INCHWISE_RESIDUALS").is_ok_and(|v| v == "write") {
            let folder = notes();
            std::fs::create_dir_all(&folder).expect("a folder for residuals");
            std::fs::write(folder.join(c.id), row(&seen)).expect("a residual is noted");
            return;
        }
        let page = std::fs::read_to_string(root().join(PAGE)).expect("the page is there");
        let start = format!("| {} |", c.id);
        let Some(published) = page.lines().find(|line| line.starts_with(&start)) else {
            panic!("{PAGE} has no row {}; {HOW}", c.id);
        };
        let cell = published.trim_end_matches(" |").rsplit("| ").next().unwrap_or_default();
        assert_eq!(published, row(cell), "{PAGE} says it differently; {HOW}");
        // Another machine may round another way: a twentieth of the tolerance is no news.
        let said = number(cell) / if c.unit == Unit::Share { 100.0 } else { 1.0 };
        assert!(
            abs_diff_eq!(said, worst, epsilon = 0.05 * c.tolerance + 0.05 * worst),
            "{PAGE} says {cell} for {}, it is {seen}; {HOW}",
            c.id
        );
    }
}

/// A table in the head of the page, which the head names: noted while the page is being
/// written, else held against what the page says. Its first column must be the same; another
/// machine may round the others another way, by a twentieth and by 0.2.
pub fn note_table(name: &str, table: &str) {
    println!("{table}");
    if std::env::var("INCHWISE_RESIDUALS").is_ok_and(|v| v == "write") {
        std::fs::create_dir_all(notes()).expect("a folder for residuals");
        std::fs::write(notes().join(format!("table.{name}")), table).expect("a table is noted");
        return;
    }
    let page = std::fs::read_to_string(root().join(PAGE)).expect("the page is there");
    let mut lines = table.lines();
    let head = lines.next().expect("a table has a head");
    let found = page.lines().skip_while(|line| *line != head);
    let published: Vec<&str> = found.skip(1).take_while(|line| line.starts_with('|')).collect();
    assert_eq!(published.len(), lines.clone().count(), "{PAGE}: {name}; {HOW}");
    for (said, now) in published.into_iter().zip(lines) {
        let cells = |row: &str| row.split(" | ").map(str::to_owned).collect::<Vec<_>>();
        let (said_cells, now_cells) = (cells(said), cells(now));
        let same = |(i, (a, b)): (usize, (&String, &String))| {
            let (x, y) = (number(a), number(b));
            a == b || (i > 0 && (x - y).abs() <= 0.05 * y.abs() + 0.2)
        };
        let alike = said_cells.len() == now_cells.len()
            && said_cells.iter().zip(&now_cells).enumerate().all(same);
        assert!(alike, "{PAGE} says {said}, it is {now}; {HOW}");
    }
}

const HOW: &str = "write it again as tests/program/verification.rs says";

fn number(cell: &str) -> f64 {
    cell.split(' ').next().and_then(|n| n.parse().ok()).unwrap_or(f64::NAN)
}

/// Where residuals are noted.
pub fn notes() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join("residuals")
}

pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

pub fn v(a: [f64; 3]) -> Vector {
    Vector::new(a[0] as Real, a[1] as Real, a[2] as Real)
}

/// Gravity as felt on ground that falls towards +X.
pub fn gravity(tilt_rad: f64) -> Vector {
    v([G * tilt_rad.sin(), -G * tilt_rad.cos(), 0.0])
}

pub fn steps(seconds: f64) -> usize {
    (seconds / STEP_S).round() as usize
}

pub fn run(engine: &mut Engine, seconds: f64) {
    for _ in 0..(seconds / engine.step_s()).round() as usize {
        engine.step();
    }
}

pub fn density(kg: f64, half: [f64; 3]) -> Mass {
    Mass::Density(kg / (8.0 * half[0] * half[1] * half[2]))
}

/// A box by its half sizes and its middle.
pub fn block(
    engine: &mut Engine,
    half: [f64; 3],
    at: [f64; 3],
    mass: Mass,
    friction: impl Into<Friction>,
) -> RigidBodyHandle {
    turned_block(engine, half, at, Rotation::IDENTITY, mass, friction)
}

pub fn turned_block(
    engine: &mut Engine,
    half: [f64; 3],
    at: [f64; 3],
    rotation: Rotation,
    mass: Mass,
    friction: impl Into<Friction>,
) -> RigidBodyHandle {
    engine.add(BodySpec {
        position: v(at),
        rotation,
        shapes: vec![ColliderBuilder::cuboid(half[0] as Real, half[1] as Real, half[2] as Real)],
        mass,
        fixed: false,
        friction: friction.into(),
        groups: Groups::Part,
    })
}

/// Holds how a body is turned; it may move along.
pub fn hold_turn(engine: &mut Engine, ground: RigidBodyHandle, body: RigidBodyHandle) {
    let mut joint = GenericJoint::default();
    joint.set_local_frame1(Pose::from_parts(Vector::ZERO, *engine.bodies[body].rotation()));
    joint.lock_axes(JointAxesMask::ANG_AXES);
    joint.set_contacts_enabled(false);
    engine.join(ground, body, joint);
}

/// Sum of the forces of one body on another, N.
pub fn force(engine: &Engine, on: RigidBodyHandle, by: RigidBodyHandle) -> [f64; 3] {
    let mut sum = [0.0; 3];
    for load in engine.loads() {
        let sign = match (load.on == on && load.by == by, load.on == by && load.by == on) {
            (true, _) => 1.0,
            (_, true) => -1.0,
            _ => continue,
        };
        for (sum, part) in sum.iter_mut().zip(load.force.to_array()) {
            *sum += sign * f64::from(part);
        }
    }
    sum
}

/// A crib of crossed timbers under a block, as the program stacks it: even layers along
/// X, outer timbers their own width in from the ends of the layer below.
#[derive(Clone, Copy)]
pub struct Crib {
    pub layers: usize,
    pub timber_m: f64,
    pub length_m: f64,
    pub members: usize,
    pub load_kg: f64,
}

/// Half height and half side of the block on a crib, m.
pub const LOAD_HALF_M: [f64; 2] = [0.15, 0.3];

impl Crib {
    pub fn offsets(&self) -> Vec<f64> {
        let outer = self.length_m / 2.0 - 1.5 * self.timber_m;
        let gaps = (self.members - 1) as f64;
        (0..self.members).map(|i| outer * (2.0 * i as f64 / gaps - 1.0)).collect()
    }

    pub fn layer_kg(&self) -> f64 {
        self.members as f64 * self.timber_m * self.timber_m * self.length_m * TIMBER_KG_M3
    }

    pub fn height_m(&self) -> f64 {
        self.layers as f64 * self.timber_m
    }

    /// Stands it on the ground. The timbers by layer, and the load.
    pub fn build(
        &self,
        engine: &mut Engine,
        friction: f64,
        timber_kg_m3: f64,
    ) -> (Vec<Vec<RigidBodyHandle>>, RigidBodyHandle) {
        self.build_turned(engine, friction, timber_kg_m3, 0.0)
    }

    /// ... the whole of it turned about the upright.
    pub fn build_turned(
        &self,
        engine: &mut Engine,
        friction: f64,
        timber_kg_m3: f64,
        turn_rad: f64,
    ) -> (Vec<Vec<RigidBodyHandle>>, RigidBodyHandle) {
        let (t, long) = (self.timber_m / 2.0, self.length_m / 2.0);
        let turn = Rotation::from_rotation_y(turn_rad as Real);
        let (sin, cos) = turn_rad.sin_cos();
        let placed = |[x, y, z]: [f64; 3]| [x * cos + z * sin, y, z * cos - x * sin];
        let layers = (0..self.layers)
            .map(|k| {
                let y = (k as f64 + 0.5) * self.timber_m;
                self.offsets()
                    .into_iter()
                    .map(|offset| {
                        let (half, at) = if k % 2 == 0 {
                            ([long, t, t], [0.0, y, offset])
                        } else {
                            ([t, t, long], [offset, y, 0.0])
                        };
                        let mass = Mass::Density(timber_kg_m3);
                        turned_block(engine, half, placed(at), turn, mass, friction)
                    })
                    .collect()
            })
            .collect();
        let [high, wide] = LOAD_HALF_M;
        let half = [wide, high, wide];
        let at = [0.0, self.height_m() + high, 0.0];
        let mass = density(self.load_kg, half);
        let load = turned_block(engine, half, at, turn, mass, friction);
        (layers, load)
    }

    /// It on level ground of some friction, where it has stood for [`SETTLED_S`].
    pub fn settled(&self, friction: f64) -> SettledCrib {
        let mut engine = Engine::new(gravity(0.0));
        engine.add_ground(friction);
        let (_, load) = self.build(&mut engine, friction, TIMBER_KG_M3);
        for _ in 0..steps(SETTLED_S) {
            engine.wake_all();
            engine.step();
        }
        SettledCrib { engine, load, rest_y: self.height_m() + LOAD_HALF_M[0] }
    }

    /// Rigid bodies that cannot pull: the crib tips when the resultant of all above some
    /// joint leaves the bearing corners there, unless it slides first.
    pub fn tips_rad(&self, friction: f64) -> f64 {
        let inner = self.offsets()[self.members - 1] + self.timber_m / 2.0;
        let top = self.height_m();
        (0..self.layers)
            .map(|k| {
                let joint = k as f64 * self.timber_m;
                let above = (k..self.layers)
                    .map(|j| (self.layer_kg(), (j as f64 + 0.5) * self.timber_m))
                    .chain([(self.load_kg, top + LOAD_HALF_M[0])]);
                let (kg, moment) =
                    above.fold((0.0, 0.0), |(m, s), (kg, y)| (m + kg, s + kg * (y - joint)));
                // The lowest layer lies along X on the ground with its whole length; at
                // every other joint a layer across bears on one along.
                let half = if k == 0 { self.length_m / 2.0 } else { inner };
                (half / (moment / kg)).atan()
            })
            .fold(friction.atan(), f64::min)
    }
}

/// How long a crib stands on level ground before it is tilted, s.
const SETTLED_S: f64 = 0.5;

/// A crib at rest, from which it can be tilted more than once.
pub struct SettledCrib {
    engine: Engine,
    load: RigidBodyHandle,
    rest_y: f64,
}

impl SettledCrib {
    /// Whether it stands for 4 s at a tilt that is put on over 4 s, gently: a straight ramp
    /// of 2 s rocks a tall crib, and it then comes down 1.5 to 3 % early.
    pub fn stands(&self, tilt_rad: f64) -> bool {
        let mut engine = self.engine.clone();
        for step in steps(SETTLED_S)..steps(8.5) {
            let share = ((step as f64 * STEP_S - SETTLED_S) / 4.0).clamp(0.0, 1.0);
            engine.gravity = gravity(tilt_rad * share * share * (3.0 - 2.0 * share));
            engine.wake_all();
            engine.step();
            let at = engine.bodies[self.load].translation();
            if f64::from(at.x).abs() > 0.1 || f64::from(at.y) < self.rest_y - 0.05 {
                return false;
            }
        }
        true
    }
}

/// A body of 1300 kg, 4 m long, on a hinge at its lower left edge, lying at a tilt on a
/// smooth round support `lever_m` along its face: how hard the support pushes, N.
pub fn hinge_push_n(tilt_rad: f64, lever_m: f64) -> f64 {
    let (sin, cos) = tilt_rad.sin_cos();
    let mut engine = Engine::new(gravity(0.0));
    let ground = engine.add_ground(0.0);
    let half = [2.0, 0.4, 0.8];
    // The hinge stands 1 m up at the origin.
    let middle = [2.0 * cos - 0.4 * sin, 1.0 + 2.0 * sin + 0.4 * cos, 0.0];
    let turn = Rotation::from_rotation_z(tilt_rad as Real);
    let body = turned_block(&mut engine, half, middle, turn, density(1300.0, half), 0.0);
    let mut hinge = GenericJoint::default();
    hinge.lock_axes(JointAxesMask::LOCKED_REVOLUTE_AXES);
    // A revolute joint turns about its X: lay that along Z.
    let about = Rotation::from_rotation_y(-std::f32::consts::FRAC_PI_2);
    let frame = |p: [f64; 3]| Pose::from_parts(v(p), about);
    hinge.set_local_frame1(frame([0.0, 2.0, 0.0]));
    hinge.set_local_frame2(frame([-2.0, -0.4, 0.0]));
    hinge.set_contacts_enabled(false);
    engine.join(ground, body, hinge);
    let radius = 0.1;
    let at = [lever_m * cos + radius * sin, 1.0 + lever_m * sin - radius * cos, 0.0];
    let support = engine.add(BodySpec {
        position: v(at),
        rotation: Rotation::IDENTITY,
        shapes: vec![ColliderBuilder::ball(radius as Real)],
        mass: Mass::Density(1.0),
        fixed: true,
        friction: 0.0.into(),
        groups: Groups::Part,
    });
    run(&mut engine, 3.0);
    let push = force(&engine, body, support);
    push[0].hypot(push[1])
}

/// A scene's vehicle by itself, with nothing under it, beside it or about to be done.
pub fn alone(mut scene: Scene) -> Scene {
    scene.limbs.clear();
    scene.stacks.clear();
    scene.void_fill.clear();
    scene.chocks.clear();
    scene.step_chocks.clear();
    scene.struts.clear();
    scene.straps.clear();
    scene.captures.clear();
    scene.bags.clear();
    scene.wedges.clear();
    scene.air.outlets.clear();
    scene.beam = None;
    scene.orders.clear();
    scene
}

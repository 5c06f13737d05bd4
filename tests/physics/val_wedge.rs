//! A wedge under a bag: what pushes it sideways, and when it slides.
//!
//! Law: a bag between two parallel faces pushes square to them. On a wedge whose face stands at
//! an angle `a` off level that is `F cos a` down and `F sin a` sideways, and friction under it
//! bears at most `mu` times what presses it down (statics and Coulomb friction; any textbook).

use crate::common::{
    Claim, ColliderBuilder, G, Real, Rotation, Unit, Vector, density, force, gravity, run, steps,
    turned_block, v,
};
use crate::recorded::Recording;
use inchwise::bag_law::Membrane;
use inchwise::snapshot::{PartKind, Pose, Snapshot};
use inchwise::tables::{BAG_FACE_KG_M2, BAG_FACE_M, TIMBER_KG_M3};
use inchwise::world::engine::{BodySpec, Engine, Groups, Mass, RigidBodyHandle};
use inchwise::world::solver::STEP_S;
use inchwise::world::{GasBag, TICK_S};

const HALF_M: f64 = 0.2275;
const THIN_M: f64 = 0.03;
const ATMOSPHERE_PA: f64 = 101_325.0;

/// Height of the middle of a wedge's upper face, m.
fn middle_m(angle_rad: f64) -> f64 {
    THIN_M + HALF_M * angle_rad.tan()
}

fn wedge_kg(angle_rad: f64) -> f64 {
    TIMBER_KG_M3 * 4.0 * HALF_M * HALF_M * middle_m(angle_rad)
}

/// Square to the face of a wedge that falls towards +X, and up.
fn square(angle_rad: f64) -> [f64; 3] {
    [angle_rad.sin(), angle_rad.cos(), 0.0]
}

/// Level ground for the top of a stack, with a wedge on it.
fn wedge_on_ground(angle_rad: f64, mu: f64) -> (Engine, [RigidBodyHandle; 2]) {
    let mut engine = Engine::new(gravity(0.0));
    let ground = engine.add_ground(mu);
    let (thin, thick) = (THIN_M, THIN_M + 2.0 * HALF_M * angle_rad.tan());
    let corners: Vec<Vector> = [[-HALF_M, thick], [HALF_M, thin]]
        .into_iter()
        .flat_map(|[x, top]| [[x, 0.0], [x, top]])
        .flat_map(|[x, y]| [-HALF_M, HALF_M].map(|z| v([x, y, z])))
        .collect();
    let wedge = engine.add(BodySpec {
        position: Vector::ZERO,
        rotation: Rotation::IDENTITY,
        shapes: vec![ColliderBuilder::convex_hull(&corners).expect("a wedge")],
        mass: Mass::Density(TIMBER_KG_M3),
        fixed: false,
        friction: mu.into(),
        groups: Groups::Part,
    });
    (engine, [ground, wedge])
}

#[test]
fn a_wedge_that_is_pressed_square_to_its_face_slides_where_it_is_steeper_than_friction() {
    let mut residuals = Claim {
        id: "wedge.slips",
        claim: "a wedge pressed by F square to its face slides once F sin a > mu (F cos a + W)",
        source: "statics and Coulomb friction, closed form",
        range: "mu 0.30 to 0.60, timber on timber dry and wet among it; F 2, 8 and 20 kN",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "bisected to 0.1 %; a wedge seats itself by a hair before it holds",
    }
    .begin();
    for mu in [0.30, 0.45, 0.50, 0.60] {
        for push_n in [2e3, 8e3, 20e3] {
            let slides = |angle: f64| {
                let (mut engine, [_, wedge]) = wedge_on_ground(angle, mu);
                run(&mut engine, 0.5);
                let before = engine.bodies[wedge].translation().x;
                let down = v(square(angle)) * (-push_n as Real);
                let at = v([0.0, middle_m(angle), 0.0]);
                engine.bodies[wedge].add_force_at_point(down, at, true);
                run(&mut engine, 2.0);
                f64::from((engine.bodies[wedge].translation().x - before).abs()) > 0.02
            };
            // The wedge's own weight holds it a little longer.
            let holds = |a: f64| push_n * a.sin() < mu * (push_n * a.cos() + G * wedge_kg(a));
            let (mut from, mut to) = (mu.atan(), 1.3 * mu.atan());
            for _ in 0..60 {
                let middle = (from + to) / 2.0;
                if holds(middle) { from = middle } else { to = middle }
            }
            let angle = from;
            let (mut low, mut high) = (0.97 * angle, 1.03 * angle);
            assert!(!slides(low) && slides(high), "mu {mu}, {push_n} N: not about {angle} rad");
            while high - low > 0.001 * angle {
                let middle = (low + high) / 2.0;
                if slides(middle) { high = middle } else { low = middle }
            }
            residuals.compare((low + high) / 2.0, angle, format!("mu {mu}, {push_n} N"));
        }
    }
    residuals.end();
}

/// A bag that fills between a wedge and a fixed face parallel to it.
struct Rig {
    engine: Engine,
    ground: RigidBodyHandle,
    wedge: RigidBodyHandle,
    bag: GasBag,
}

impl Rig {
    fn new(angle_rad: f64, gap_m: f64, membrane: Membrane) -> Self {
        let (mut engine, [ground, wedge]) = wedge_on_ground(angle_rad, 0.9);
        let turn = Rotation::from_rotation_z(-angle_rad as Real);
        let [x, y, _] = square(angle_rad);
        let along = |out: f64| [x * out, middle_m(angle_rad) + y * out, 0.0];
        let face = [HALF_M, BAG_FACE_M / 2.0, HALF_M];
        let kg = 4.0 * HALF_M * HALF_M * BAG_FACE_KG_M2;
        let mut laid =
            |out: f64| turned_block(&mut engine, face, along(out), turn, density(kg, face), 0.9);
        let (lower, upper) = (laid(0.5 * BAG_FACE_M), laid(1.5 * BAG_FACE_M));
        let half = [0.4, 0.05, 0.4];
        engine.add(BodySpec {
            position: v(along(2.0 * BAG_FACE_M + gap_m + half[1])),
            rotation: turn,
            shapes: vec![ColliderBuilder::cuboid(
                half[0] as Real,
                half[1] as Real,
                half[2] as Real,
            )],
            mass: Mass::Density(1.0),
            fixed: true,
            friction: 0.9.into(),
            groups: Groups::Part,
        });
        let bag = GasBag::new(&mut engine, lower, upper, membrane, 8e5);
        Self { engine, ground, wedge, bag }
    }

    fn run(&mut self, seconds: f64, litres_s: f64) {
        for _ in 0..steps(seconds) {
            self.bag.advance(&mut self.engine, litres_s * 1e-3 * ATMOSPHERE_PA * STEP_S);
            self.engine.step();
        }
    }
}

#[test]
fn a_bag_on_a_wedge_pushes_what_it_lies_on_sideways() {
    let claim = |id, claim, reason| Claim {
        id,
        claim,
        source: "a bag's force is p A(h) square to its faces, less what its walls hold across it, \
                 c F s / h; its parts on a slope",
        range: "5, 12, 20 and 25 deg, 40 and 90 mm of gap, 24 and 48 free litres",
        tolerance: 0.005,
        unit: Unit::Share,
        reason,
    };
    let reason = "of F; the bag tilts by a hair as the wedge is pressed down";
    let mut sideways = claim(
        "wedge.sideways",
        "a bag between a wedge and a parallel face pushes the stack's top sideways by F sin a",
        reason,
    )
    .begin();
    let mut down = claim("wedge.down", "... and down by F cos a and the weights", reason).begin();
    for degrees in [5.0_f64, 12.0, 20.0, 25.0] {
        for gap_m in [0.04, 0.09] {
            for litres in [24.0, 48.0] {
                let angle = degrees.to_radians();
                let membrane = Membrane::of_size([2.0 * HALF_M; 2]);
                let mut rig = Rig::new(angle, gap_m, membrane);
                rig.run(4.0, litres / 4.0);
                rig.run(2.0, 0.0);
                let push_n = membrane.force_n(rig.bag.gauge_pa, rig.bag.height_m);
                assert!(push_n > 1e3, "{degrees} deg, {gap_m} m, {litres} L: {push_n} N");
                let bags_kg = 2.0 * 4.0 * HALF_M * HALF_M * BAG_FACE_KG_M2;
                let weight_n = G * (wedge_kg(angle) + bags_kg / 2.0);
                let [x, y, _] = force(&rig.engine, rig.wedge, rig.ground);
                // Pressed by so much the wedge gives way by a hair, which shears the bag's walls.
                let sheared_n = 0.5 * push_n * rig.bag.shear_m / rig.bag.height_m;
                let sideways_n = push_n * angle.sin() - sheared_n * angle.cos();
                let down_n = push_n * angle.cos() + sheared_n * angle.sin() + weight_n;
                let at = format!("{degrees} deg, {gap_m} m, {litres} L, {push_n:.0} N");
                let off = |found: f64, expected: f64| (found - expected).abs() / push_n;
                let sheared_share = sheared_n / push_n;
                assert!(sheared_share < 0.06, "{at}: sheared by {} m", rig.bag.shear_m);
                sideways.residual(off(x, sideways_n), format!("{at}: {x:.0} N"));
                down.residual(off(y, down_n), format!("{at}: {y:.0} N"));
            }
        }
    }
    sideways.end();
    down.end();
}

/// What a bag pushes its lower face with along X, N, by the law of a bag and how its faces lie:
/// `F` square to the plane midway between them, and across it `c F / h` for every metre that its
/// walls are sheared by, c = 0.5 (assumed).
fn pushes_down_n(recording: &Recording, now: &Snapshot, bag: usize) -> f64 {
    let pose = |upper| {
        let kind = PartKind::BagFace { bag, upper };
        let part = recording.parts.iter().position(|part| part.kind == kind);
        now.poses[part.expect("a bag has two faces")]
    };
    let (lower, upper) = (pose(false), pose(true));
    let up = |pose: &Pose| v(pose.turned([0.0, 1.0, 0.0]));
    let inner =
        |pose: &Pose, side: f64| v(pose.at()) + up(pose) * (side * BAG_FACE_M / 2.0) as Real;
    let square = (up(&lower) + up(&upper)).normalize();
    let between = inner(&upper, -1.0) - inner(&lower, 1.0);
    let height = between.dot(square);
    let sheared = between - square * height;
    let force_n = now.bags[bag].force_n;
    let on_upper = square - sheared * (0.5 / height);
    -force_n * f64::from(on_upper.x)
}

#[test]
fn in_a_lift_the_stack_takes_sideways_what_its_lowest_bag_pushes() {
    let mut residuals = Claim {
        id: "wedge.lift",
        claim: "in a lift the joint under the wedge takes the bag's sideways push, by how its \
                faces lie and its walls are sheared",
        source: "a bag's force stands square to the plane midway between its faces, and c F / h \
                 across it; its parts on a slope",
        range: "the tall stack with a wedge under its bags, after 20, 40 and 60 mm of rise, on \
                average over three seconds",
        tolerance: 0.005,
        unit: Unit::Share,
        reason: "of F; the stack rocks on its edge meanwhile, and the wedge and the faces with it",
    }
    .begin();
    for rise_mm in [20, 40, 60] {
        let orders = format!(
            "orders=[(raise: [\"tail lower\"], opening: \"60 %\", until: (rise: \"{rise_mm} mm\")), \
             (wait: (for: \"6 s\"))]"
        );
        let scene = inchwise::load("deck-lid-wedge-under", &[orders]).expect("the scene").scene;
        let recording = Recording::of(scene, 20.0);
        let last = &recording.ticks[recording.ticks.len() - (3.0 / TICK_S) as usize..];
        let mean = |of: &dyn Fn(&Snapshot) -> f64| {
            last.iter().map(|tick| of(&tick.snapshot)).sum::<f64>() / last.len() as f64
        };
        let push_n = mean(&|now| now.bags[0].force_n);
        let expected_n = mean(&|now| pushes_down_n(&recording, now, 0));
        let found_n = mean(&|now| now.stacks[0].thrust.last().map_or(0.0, |t| t.force[0]));
        assert!(expected_n < -0.05 * push_n && push_n > 3e3, "{expected_n} of {push_n} N");
        residuals.residual(
            (found_n - expected_n).abs() / push_n,
            format!("{rise_mm} mm: {found_n:.0} N for {expected_n:.0} N of {push_n:.0} N"),
        );
    }
    residuals.end();
}

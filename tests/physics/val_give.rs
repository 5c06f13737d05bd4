//! What gives way: sheet metal, by the one mechanism that limbs share.
//!
//! Law: elastic up to a plateau force, then a permanent set, and unloading along the
//! elastic line (any textbook of plasticity: elastic, perfectly plastic), at each of the
//! springs that stand in a row across a panel. The shipped vehicles' plateaus are assumed.
//! Soil is in `val_soil.rs`.

use crate::common::{Claim, G, Unit, alone, block, density, gravity, run, steps, v};
use crate::recorded::{Recording, Tick, changed};
use bevy_rapier3d::rapier::prelude::{Pose, Rotation, Vector};
use inchwise::scene;
use inchwise::snapshot::{PartKind, Snapshot};
use inchwise::world::engine::{Engine, RigidBodyHandle};
use inchwise::world::{Law, YieldingSupport, strip_m};

struct Panel {
    engine: Engine,
    body: RigidBodyHandle,
    giving: YieldingSupport,
}

const PANEL_KG: f64 = 8.0;
/// Springs across it, and its width, m.
const SPRINGS: usize = 8;
const WIDE_M: f64 = 0.6;

impl Panel {
    fn new(stiffness_n_m: f64, plateau_n: f64) -> Self {
        let mut engine = Engine::new(gravity(0.0));
        let ground = engine.add_ground(0.5);
        let half = [0.2, 0.008, WIDE_M / 2.0];
        let body = block(&mut engine, half, [0.0, 0.5, 0.0], density(PANEL_KG, half), 0.5);
        // The ground body's frame lies 1 m under its surface.
        let frame = Pose::from_translation(v([0.0, 1.5, 0.0]));
        let count = SPRINGS as f64;
        let law = Law {
            stiffness_n_m: stiffness_n_m / count,
            plateau_n: plateau_n / count,
            rest_m: 0.0,
            limits_m: [-0.2, 0.0],
            pulls: true,
        };
        let springs = strip_m::<SPRINGS>(WIDE_M).map(|z| [0.0, z]);
        let giving = YieldingSupport::bed(&mut engine, ground, body, frame, law, &springs);
        Self { engine, body, giving }
    }

    /// Presses it down with a force, its own weight counted in, until it lies still.
    fn press(&mut self, n: f64, seconds: f64) {
        self.press_at(n, 0.0, seconds);
    }

    /// The same at a place across it.
    fn press_at(&mut self, n: f64, z: f64, seconds: f64) {
        for _ in 0..steps(seconds) {
            self.giving.advance(&mut self.engine);
            let body = &mut self.engine.bodies[self.body];
            body.add_force(v([0.0, PANEL_KG * G, 0.0]), true);
            let at = *body.position() * v([0.0, 0.0, z]);
            body.add_force_at_point(v([0.0, -n, 0.0]), at, true);
            run(&mut self.engine, 1.0 / 120.0);
        }
    }

    fn roll_rad(&self) -> f64 {
        2.0 * f64::from(self.engine.bodies[self.body].rotation().x).asin()
    }

    fn pushed_in_m(&self) -> f64 {
        0.5 - f64::from(self.engine.bodies[self.body].translation().y)
    }
}

#[test]
fn a_panel_is_elastic_to_its_plateau_and_keeps_its_set() {
    let mut elastic = Claim {
        id: "give.elastic",
        claim: "a panel below its plateau is pushed in by F / k and comes back",
        source: "Hooke's law",
        range: "100 to 400 N/mm, plateau 2 to 9 kN, 20 to 90 % of it",
        tolerance: 0.002,
        unit: Unit::Share,
        reason: "settled to a micrometre of at least 1 mm",
    }
    .begin();
    let mut set = Claim {
        id: "give.set",
        claim: "past its plateau it stays pushed in by the way it went, less plateau / k",
        source: "elastic, perfectly plastic body, closed form",
        range: "the same panels, pressed with 1.2 times the plateau for 0.15 to 0.4 s",
        tolerance: 0.002,
        unit: Unit::Share,
        reason: "settled to a micrometre of at least 1 mm",
    }
    .begin();
    let mut unloading = Claim {
        id: "give.unloading",
        claim: "from its plateau it unloads along the elastic line",
        source: "elastic, perfectly plastic body, closed form",
        range: "the same panels, unloaded to 75, 50 and 25 % of the plateau",
        tolerance: 0.01,
        unit: Unit::Share,
        reason: "settled to a micrometre of a difference of at least 5 mm / 4",
    }
    .begin();
    for k in [100e3, 200e3, 400e3] {
        for plateau in [2e3, 4e3, 9e3] {
            let mut panel = Panel::new(k, plateau);
            for share in [0.2, 0.5, 0.9] {
                panel.press(share * plateau, 2.0);
                let at = format!("{k} N/m, {share} of {plateau} N");
                elastic.compare(panel.pushed_in_m(), share * plateau / k, at);
            }
            for seconds in [0.15, 0.4] {
                let mut panel = Panel::new(k, plateau);
                panel.press(1.2 * plateau, seconds);
                // Held just under the plateau it comes to rest at the end of its way.
                panel.press(0.999 * plateau, 2.0);
                let furthest = panel.pushed_in_m() + 0.001 * plateau / k;
                let at = format!("{k} N/m, {plateau} N, {seconds} s");
                assert!(furthest > 1.02 * plateau / k, "{at}: it has not yielded");
                for share in [0.75, 0.5, 0.25] {
                    panel.press(share * plateau, 2.0);
                    let back = furthest - panel.pushed_in_m();
                    unloading.compare(back, (1.0 - share) * plateau / k, &at);
                }
                panel.press(1.0, 2.0);
                set.residual(
                    (panel.pushed_in_m() - 1.0 / k - (furthest - plateau / k)).abs() / furthest,
                    at,
                );
            }
        }
    }
    elastic.end();
    set.end();
    unloading.end();
}

/// While it yields it pushes back with its plateau, neither more nor less.
#[test]
fn a_yielding_panel_pushes_back_with_its_plateau() {
    let mut residuals = Claim {
        id: "give.plateau",
        claim: "a panel that yields carries its plateau force",
        source: "elastic, perfectly plastic body",
        range: "100 to 400 N/mm, plateau 2 to 9 kN, pressed with 1.1 times as much",
        tolerance: 0.05,
        unit: Unit::Share,
        reason: "read in motion: a step's travel is still counted as spring; its own weight \
                 is left out",
    }
    .begin();
    for k in [100e3, 400e3] {
        for plateau in [2e3, 9e3] {
            let mut panel = Panel::new(k, plateau);
            panel.press(1.1 * plateau, 0.2);
            let found = panel.giving.force_n(&panel.engine) + PANEL_KG * G;
            residuals.compare(found, plateau, format!("{k} N/m, {plateau} N"));
        }
    }
    residuals.end();
}

/// A load off the middle of a strip of springs rolls it by `P e / K` with `K = k w^2 / 12`.
#[test]
fn a_strip_of_springs_holds_against_roll() {
    let mut residuals = Claim {
        id: "give.roll",
        claim: "a panel that is pressed beside its middle rolls by P e / K",
        source: "rigid beam on an elastic bed, closed form: K = k w^2 / 12",
        range: "100 to 400 N/mm over 0.6 m, 200 to 600 N, 60 to 290 mm off its middle",
        tolerance: 0.005,
        unit: Unit::Share,
        reason: "single precision of a turn of at least a third of a milliradian",
    }
    .begin();
    for k in [100e3, 200e3, 400e3] {
        for n in [200.0, 600.0] {
            for off in [0.06, 0.15, 0.29] {
                let mut panel = Panel::new(k, 9e3);
                panel.press_at(n, off, 1.0);
                let expected = n * off / (k * WIDE_M * WIDE_M / 12.0);
                residuals.compare(panel.roll_rad(), expected, format!("{k} N/m, {n} N at {off} m"));
            }
        }
    }
    residuals.end();
}

/// A strip that yields under a load at `d` from its edge, and pulls on its other side: it is
/// pushed over `a` and pulled over the rest, with `P = p (2 a - w)` and, about the edge,
/// `P d = p (a^2 - w^2 / 2)`, so that `a = d + sqrt(d^2 - w d + w^2 / 2)`. At a corner that is
/// 0.41 of what it bears in the middle.
#[test]
fn a_panel_bears_less_at_its_corner() {
    let mut residuals = Claim {
        id: "give.corner",
        claim: "a panel pressed off its middle bears its plateau times 2 a / w - 1, 0.41 of it at \
                its corner",
        source: "rigid, perfectly plastic strip, closed form",
        range: "200 N/mm, 4 kN, in the middle, half-way and at the corner",
        tolerance: 0.05,
        unit: Unit::Share,
        reason: "eight springs stand for the strip (0.8 %); near what it bears it comes to rest \
                 ever more slowly; the load is found to 1 %",
    }
    .begin();
    let (k, plateau) = (200e3, 4e3);
    for off in [0.0, WIDE_M / 4.0, WIDE_M / 2.0] {
        let d = WIDE_M / 2.0 - off;
        let a = d + (d * d - WIDE_M * d + WIDE_M * WIDE_M / 2.0).sqrt();
        let expected = plateau * (2.0 * a / WIDE_M - 1.0);
        // What it cannot bear presses it on and on, to the end of its way, or turns it over.
        let bears = |n: f64| {
            let mut panel = Panel::new(k, plateau);
            panel.press_at(n, off, 15.0);
            let [in_m, roll_rad] = [panel.pushed_in_m(), panel.roll_rad()];
            panel.press_at(n, off, 0.25);
            let lies = |was: f64, is: f64| (is - was).abs() < 1e-4;
            let still = lies(in_m, panel.pushed_in_m()) && lies(roll_rad, panel.roll_rad());
            still && in_m < 0.15 && roll_rad.abs() < 0.3
        };
        let (mut low, mut high) = (0.85 * expected, 1.15 * expected);
        assert!(bears(low) && !bears(high), "{off} m off its middle");
        while high - low > 0.01 * expected {
            let middle = (low + high) / 2.0;
            if bears(middle) { low = middle } else { high = middle }
        }
        residuals.compare((low + high) / 2.0, expected, format!("{off} m off its middle"));
    }
    residuals.end();
}

/// Mass off the middle rolls a vehicle on the metal of its nose, and its own side's bags carry
/// more. Round the vehicle's length, about the middle of the nose's plate, what pushes there is
/// `K` times how far plate and vehicle have rolled apart.
#[test]
fn a_heavy_side_rolls_on_the_nose() {
    let mut residuals = Claim {
        id: "give.nose",
        claim: "the nose holds against the vehicle's roll with k w^2 / 12 times it",
        source: "rigid beam on an elastic bed, closed form",
        range: "beam lift, mass 0.2 m off the middle, a nose that stays elastic, every second from 8 to 20 s",
        tolerance: 0.02,
        unit: Unit::Share,
        reason: "means over a second while the lift goes on",
    }
    .begin();
    let whole =
        changed("beam-lift", &["vehicle.com.z=0.2 m", "vehicle.panels.0.plateau=9 kN"], 20.0);
    let panel = whole.scene.vehicle.panels[0].clone();
    let k = panel.stiffness_n_m * (2.0 * panel.half_width_m).powi(2) / 12.0;
    let part =
        |kind| (0..whole.parts.len()).find(|part| whole.kind(*part) == kind).expect("a part");
    let (nose, vehicle) = (part(PartKind::Panel(0)), part(PartKind::Vehicle));
    let pose = |tick: &Tick, part: usize| {
        let at = tick.snapshot.poses[part];
        Pose::from_parts(Vector::from(at.position), Rotation::from_array(at.turn))
    };
    let held_at = |tick: &Tick| pose(tick, vehicle).inverse() * pose(tick, nose);
    let at_rest = held_at(&whole.ticks[0]).rotation;
    let late: Vec<_> = whole.ticks.iter().filter(|tick| tick.snapshot.t_s > 8.0).collect();
    let mut most_rad = 0.0_f64;
    for second in late.chunks_exact(60) {
        let (mut moment, mut roll) = (0.0, 0.0);
        for tick in second {
            let plate = pose(tick, nose);
            let along = plate.rotation * Vector::X;
            roll += 2.0 * f64::from((at_rest.inverse() * held_at(tick).rotation).x) / 60.0;
            let loads = &tick.snapshot.loads;
            for load in loads.iter().filter(|load| load.on == nose || load.by == Some(nose)) {
                let sign = if load.on == nose { 1.0 } else { -1.0 };
                let arm = v(load.point) - plate.translation;
                moment += sign * f64::from(along.dot(arm.cross(v(load.force)))) / 60.0;
            }
        }
        most_rad = most_rad.max(roll.abs());
        let at = format!("{:.0} s", second[0].snapshot.t_s);
        residuals.compare(moment.abs(), k * roll.abs(), at);
    }
    assert!(most_rad > 0.003, "it rolled by {most_rad} rad");
    let end = &late[late.len() - 1].snapshot;
    let [left, right] = [0, 1].map(|stack| end.stacks[stack].load_n);
    assert!((left - right).abs() > 0.15 * (left + right) / 2.0, "{left} N and {right} N");
    residuals.end();
}

/// A saloon by itself whose roof corners bear so much, for a while. Its roof has no skin, which
/// would not go in with the corners round it.
fn on_its_roof(bears_n: f64, seconds: f64) -> Recording {
    let sets =
        [format!("vehicle.roof_bears={bears_n} N"), "orders=[(wait: (for: \"60 s\"))]".to_owned()];
    let loaded = scene::load("deck-lid-wedged", &sets).unwrap_or_else(|p| panic!("{p:#?}"));
    let orders = loaded.scene.orders.clone();
    let mut scene = alone(loaded.scene);
    scene.orders = orders;
    let profile = scene.vehicle.profile;
    scene.vehicle.panels.retain(|panel| !panel.on_roof(&profile));
    Recording::of(scene, seconds)
}

/// On nose and front of its roof a vehicle puts `W (x_n - x_c) / (x_n - x_r)` on the latter, and
/// the share `cos` of its slope goes along the posts, half on either side. A roof that bears a
/// twentieth more does not go in; one that bears a twentieth less does. (What nose and roof push
/// each other along the ground as they come down is a few hundredths of it.) It goes in until
/// the rear half of the roof lies on the ground too, and then none of its corners bears more than
/// it can.
#[test]
fn a_weak_roof_goes_in() {
    let sound = on_its_roof(20e3, 1.0);
    let v = &sound.scene.vehicle;
    let pose = v.roof_pose().expect("it lies on its roof");
    let p = &v.profile;
    let panel = v.panels.iter().max_by(|a, b| a.x[0].total_cmp(&b.x[0])).expect("a nose");
    let nose = [panel.x[0], p.upper_y(panel.x[0])];
    let x = |point| pose.ground(point)[0];
    let lever = (x(nose) - x([v.com_m[0], v.com_m[1]])) / (x(nose) - x(p.header));
    let corner_n = v.mass_kg * G * lever * pose.pitch_rad.cos() / 2.0;
    let set_m = |roof: &Recording| roof.ticks[roof.ticks.len() - 1].snapshot.vehicle.roof_set_m;
    assert_eq!(set_m(&on_its_roof(1.05 * corner_n, 2.0)), 0.0);
    assert!(set_m(&on_its_roof(0.95 * corner_n, 2.0)) > 0.001);
    // The rear half begins in the middle of the roof.
    let middle = f64::midpoint(p.header[0], p.roof_rear[0]);
    let falls = (p.upper_y(middle) - nose[1]) / (nose[0] - middle);
    let meets_m = p.header[1] - nose[1] - falls * (nose[0] - p.header[0]);
    for share in [0.5, 0.7] {
        let bears_n = share * corner_n;
        let weak = on_its_roof(bears_n, 40.0);
        let (set, end) = (set_m(&weak), &weak.ticks[weak.ticks.len() - 1].snapshot);
        assert!(set == weak.ticks[weak.ticks.len() - 61].snapshot.vehicle.roof_set_m, "{share}");
        // The corners go in by turns, and the set is the deeper one's.
        assert!((meets_m..1.1 * meets_m).contains(&set), "{share}: {set} m, {meets_m} m");
        let bear = corners_n(&weak, end);
        assert!(bear.iter().all(|n| *n > 0.2 * bears_n && *n < bears_n), "{share}: {bear:?}");
    }
}

/// What each corner of a roof bears across it, N, by the levers of the rails between them: front
/// left, front right, rear left, rear right.
fn corners_n(lift: &Recording, now: &Snapshot) -> [f64; 4] {
    let vehicle = (0..lift.parts.len()).find(|part| lift.kind(*part) == PartKind::Vehicle);
    let vehicle = vehicle.expect("a vehicle");
    let (p, half) = (&lift.scene.vehicle.profile, lift.scene.vehicle.half_width.roof);
    let pose = now.poses[vehicle];
    let mut corners_n = [0.0; 4];
    for load in now.loads.iter().filter(|load| load.on == vehicle) {
        let [x, y, z] = pose.local(load.point);
        if y < p.belt_y(x) + 0.1 || x > p.header[0] + 0.1 {
            continue;
        }
        let tip = [0, 1, 2].map(|i| load.point[i] + load.force[i]);
        let presses_n = y - pose.local(tip)[1];
        let front = (x - p.roof_rear[0]) / (p.header[0] - p.roof_rear[0]);
        let right = 0.5 + 0.5 * z / half;
        for (corner, n) in corners_n.iter_mut().enumerate() {
            let along = if corner < 2 { front } else { 1.0 - front };
            *n += presses_n * along * if corner % 2 == 1 { right } else { 1.0 - right };
        }
    }
    corners_n
}

//! How a vehicle comes to rest before anything is brought: in which pose, on which slope, and
//! what it does where it does not lie still.

use crate::common::{ColliderBuilder, G, Rotation, Vector, alone};
use approx::{abs_diff_eq, relative_eq};
use inchwise::lift::{End, Lift, PlayOptions, play};
use inchwise::scene::field_reader::Fields;
use inchwise::scene::problem::Problems;
use inchwise::scene::tree::{Node, Place, parse_change_value};
use inchwise::scene::{self, Cause, RestPose, RestsOn, Scene, Vehicle, read_and_check};
use inchwise::tables::Surface;
use inchwise::units::UnitSystem;
use inchwise::world::Yard;
use inchwise::world::engine::{BodySpec, Engine, Groups, Mass};
use inchwise::world::solver::STEP_S;
use std::sync::Arc;

/// A body by its outline: its name, nose, cowl, header, rear edge of the roof, front and rear
/// edge of the deck, and its centre of mass, all x and y in m; then by hand the pitch of each
/// pose in which it lies still on its roof, deg nose down, the nearest to level first.
struct Body {
    name: &'static str,
    outline: [[f64; 2]; 6],
    com: [f64; 2],
    pitches_deg: &'static [f64],
}

/// Turned over, a body rests on an edge of its outline's hull where its centre of mass is over
/// that edge, and its pitch is then the edge's slope: `atan` of its fall over its run.
///
/// - box: roof level; the ends' edges fall 0.75 m on 0.1 m.
/// - cab over engine: from the roof's rear down to the tail 0.9 m on 2.8 m; over the windscreen
///   0.9 m on 0.3 m, where it stands on its cab.
/// - wedge: from nose to header 0.9 m on 2.6 m, and no other edge has the centre of mass over it.
/// - high roof: level; over the windscreen 1.5 m on 1.0 m, over the tail 1.5 m on 0.1 m.
/// - bare chassis: from its low cab to the tail 0.25 m on 3.0 m.
/// - bus: level; over either end 1.5 m on 0.2 m.
const BODIES: [Body; 6] = [
    Body {
        name: "box",
        outline: [[2.0, 1.0], [1.95, 1.05], [1.9, 1.75], [-1.9, 1.75], [-1.95, 1.05], [-2.0, 1.0]],
        com: [0.0, 0.8],
        pitches_deg: &[0.0, 82.405, -82.405],
    },
    Body {
        name: "cab over engine",
        outline: [[2.0, 1.2], [1.95, 1.3], [1.7, 2.1], [0.6, 2.1], [0.4, 1.25], [-2.2, 1.2]],
        com: [0.5, 0.95],
        pitches_deg: &[-17.819, 71.565],
    },
    Body {
        name: "wedge",
        outline: [[2.0, 0.55], [1.0, 0.75], [-0.6, 1.45], [-0.9, 1.45], [-1.5, 1.2], [-2.1, 1.1]],
        com: [0.1, 0.5],
        pitches_deg: &[19.093],
    },
    Body {
        name: "high roof",
        outline: [[2.3, 1.0], [1.9, 1.2], [1.3, 2.5], [-2.3, 2.5], [-2.35, 1.2], [-2.4, 1.0]],
        com: [0.1, 1.0],
        pitches_deg: &[0.0, 56.310, -86.186],
    },
    Body {
        name: "bare chassis",
        outline: [[2.2, 0.75], [1.5, 0.8], [1.2, 1.0], [0.6, 1.0], [0.4, 0.8], [-2.4, 0.75]],
        com: [0.2, 0.5],
        pitches_deg: &[-4.764],
    },
    Body {
        name: "bus",
        outline: [[3.9, 1.2], [3.8, 1.4], [3.7, 2.7], [-3.7, 2.7], [-3.8, 1.4], [-3.9, 1.2]],
        com: [-0.4, 1.1],
        pitches_deg: &[0.0, 82.405, -82.405],
    },
];

/// A body no scene of which lies on its roof: a mast over its middle.
const MAST: Body = Body {
    name: "mast",
    outline: [[1.5, 0.6], [0.3, 0.65], [0.1, 3.0], [-0.1, 3.0], [-0.3, 0.65], [-1.5, 0.6]],
    com: [0.3, 0.7],
    pitches_deg: &[59.744, -59.744],
};

impl Body {
    fn doc(&self) -> Node {
        let point = |[x, y]: [f64; 2]| format!("[\"{x} m\", \"{y} m\"]");
        let [nose, cowl, header, roof_rear, deck_front, deck_rear] = self.outline.map(point);
        let ([x, y], [[_, _], [front, _], [head, _], [rear, _], [foot, _], _]) =
            (self.com, self.outline);
        let text = format!(
            r#"(
                name: "{}", data: "Invented for a test.", mass: "1800 kg",
                com: (x: "{x} m", y: "{y} m"),
                inertia: (roll: "700 kg m2", yaw: "2900 kg m2", pitch: "2700 kg m2"),
                profile: (
                    nose: {nose}, cowl: {cowl}, header: {header}, roof_rear: {roof_rear},
                    deck_front: {deck_front}, deck_rear: {deck_rear}, floor: "0.3 m",
                ),
                half_width: (body: "0.95 m", roof: "0.8 m"),
                wheels: (radius: "0.35 m", front: "1.3 m", rear: "-1.3 m", track: "1.6 m"),
                posts: [
                    (name: "A", belt: "{front} m", roof: "{head} m", width: "60 mm"),
                    (name: "C", belt: "{foot} m", roof: "{rear} m", width: "60 mm"),
                ],
            )"#,
            self.name
        );
        parse_change_value(&text, &Arc::from(self.name))
    }

    fn vehicle(&self) -> Vehicle {
        let (doc, problems) = (self.doc(), Problems::default());
        let vehicle = Vehicle::read(&Fields::new(&doc, "vehicle", &problems));
        let problems = problems.into_told(&Place::Hand, |told| told);
        assert!(problems.is_empty(), "{}: {problems:?}", self.name);
        vehicle.expect("a good vehicle")
    }
}

fn scene_of(vehicle: Vehicle, lies: RestsOn) -> Scene {
    let scene = scene::load("deck-lid-wedged", &[]).unwrap_or_else(|p| panic!("{p:?}")).scene;
    Scene { vehicle, lies, ..alone(scene) }
}

/// Of several poses in which it would lie still the body takes the one that is nearest to level,
/// and the others are told; to a thousandth of a degree against the slopes above.
#[test]
fn val_the_nearest_pose_is_taken_and_the_others_are_told() {
    for body in BODIES.iter().chain([&MAST]) {
        let v = body.vehicle();
        let pitches: Vec<f64> =
            v.rest_poses(RestsOn::Roof).iter().map(|pose| pose.pitch_rad.to_degrees()).collect();
        assert_eq!(pitches.len(), body.pitches_deg.len(), "{}: {pitches:?}", body.name);
        for (has, hand) in pitches.iter().zip(body.pitches_deg) {
            assert!(abs_diff_eq!(has, hand, epsilon = 1e-3), "{}: {pitches:?}", body.name);
        }
        let told = v.say_other_poses(RestsOn::Roof, UnitSystem::Si);
        assert_eq!(told.is_some(), pitches.len() > 1, "{}: {told:?}", body.name);
        for other in &body.pitches_deg[1..] {
            let angle = UnitSystem::Si.angle(other.abs().to_radians());
            assert!(told.as_ref().is_some_and(|told| told.contains(&angle)), "{told:?}");
        }
    }
}

/// Each body settles where the pose says, on roof, either side and wheels: it has no sheet metal
/// that gives, so to 0.3 degrees and 10 mm, which rounded edges take.
#[test]
fn val_bodies_of_any_kind_rest_as_they_are_laid() {
    for body in &BODIES {
        for lies in [RestsOn::Roof, RestsOn::LeftSide, RestsOn::RightSide, RestsOn::Wheels] {
            let v = body.vehicle();
            let pose = v.rest_pose(lies).unwrap_or_else(|| panic!("{}: {lies:?}", body.name));
            assert!(pose.off_rad <= RestPose::MOST_OFF_RAD);
            let com = pose.ground(v.com_m);
            let scene = Arc::new(scene_of(v, lies));
            let yard = Yard::new(scene.clone());
            let told = format!("{} on its {}: {:?}", body.name, lies.word(), yard.settling());
            assert!(yard.settling().is_still(&scene), "{told}");
            assert!(yard.settling().turned_rad().to_degrees().abs() < 0.3, "{told}");
            let now = yard.snapshot.vehicle.com;
            let apart = (0..3).map(|i| (com[i] - now[i]).powi(2)).sum::<f64>().sqrt();
            assert!(apart < 0.01, "{told}: {com:?}, {now:?}");
        }
    }
}

/// A pose far from level is a problem of the scene, at `lies`, with the pose, the limit and the
/// mend; the shipped saloon in the same scene is none.
#[test]
fn a_pose_far_from_what_was_said_is_a_problem() {
    let mut doc = scene::tree_of("deck-lid-wedged", &[]).expect("a tree");
    let (good, problems) = read_and_check(&doc);
    assert!(good.is_some() && problems.is_empty(), "{problems:?}");
    doc.set("vehicle", MAST.doc()).expect("a field");
    let (_, problems) = read_and_check(&doc);
    let told = problems.iter().find(|p| p.path == "lies").map(ToString::to_string);
    let told = told.unwrap_or_else(|| panic!("{problems:?}"));
    for word in ["59.7° nose down", "45.0°", "vehicle.com", "nose_down"] {
        assert!(told.contains(word), "{word}: {told}");
    }
}

/// The slopes a vehicle is laid on, by the sign along X and along Z.
const WAYS: [[f64; 2]; 3] = [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0]];

fn on_slope(mut scene: Scene, [x, z]: [f64; 2], rad: f64) -> Arc<Scene> {
    scene.ground.slope_rad = x * rad;
    scene.ground.cross_slope_rad = z * rad;
    Arc::new(scene)
}

/// A vehicle on its roof lies still up to the slope whose tangent is the friction of sheet metal
/// on the ground, `tan a = mu`, in every direction, and slides past it; 3 % to either side, which
/// is what the engine's own friction is held to. `mu` is the one that the world plays with: the
/// geometric mean of the two materials' figures.
#[test]
fn val_it_lies_still_up_to_the_friction_angle() {
    for (surface, wet) in
        [(Surface::Grass, true), (Surface::Grass, false), (Surface::Concrete, false)]
    {
        for way in WAYS {
            for (share, still) in [(0.97, true), (1.03, false)] {
                let mut scene = scene_of(BODIES[0].vehicle(), RestsOn::Roof);
                (scene.ground.surface, scene.ground.wet) = (surface, wet);
                let grip = scene.grip();
                let slides = (grip.sheet * grip.ground).sqrt().atan();
                let scene = on_slope(scene, way, share * slides);
                let yard = Yard::new(scene.clone());
                let told = format!("{surface} {wet} {way:?} {share}: {:?}", yard.settling());
                assert_eq!(yard.settling().is_still(&scene), still, "{told}");
            }
        }
    }
}

/// Beam lift on a slope from 4 to 20 deg, dry and wet, with its chocks and without, both ways
/// along the vehicle and across it, before any order. It slides where the sheet's threshold foretells it, within its spread: from the slope on which it goes on
/// sliding to the one on which it begins to, with what the fit of friction to one figure a
/// material may be off by, and the trapped limbs' hold, a tenth. Where it slides the slide is
/// told first, before anything was lifted, with the sheet's own figures; and no steeper slope
/// holds again. Chocks change nothing: it lies there before they are set.
#[test]
fn a_slope_is_told_first_and_no_steeper_one_holds() {
    let base = scene::load("beam-lift", &[]).unwrap_or_else(|p| panic!("{p:?}")).scene;
    for wet in [false, true] {
        for chocked in [false, true] {
            for way in WAYS {
                let mut slid = false;
                for deg in [4.0_f64, 8.0, 11.0, 14.0, 17.0, 20.0] {
                    let mut scene = base.clone();
                    scene.ground.wet = wet;
                    if !chocked {
                        scene.chocks.clear();
                    }
                    let fit = scene.grip().worst_error;
                    let scene = on_slope(scene, way, deg.to_radians());
                    let rest = scene.slope_rest().expect("a known ground");
                    let lift = Lift::new(scene.clone());
                    let first = lift.findings().first();
                    let told = format!("{deg} deg {way:?}, wet {wet}, {chocked}: {first:?}");
                    let slides = first.is_some_and(|f| f.cause() == Cause::Slide);
                    let [begins, goes_on] = rest.slides_rad;
                    if rest.slope_rad < (1.0 - fit) * goes_on {
                        assert!(first.is_none(), "{told}");
                    }
                    if rest.slope_rad > (1.0 + fit) * 1.1 * begins {
                        assert!(slides, "{told}");
                    }
                    assert!(slides || !slid, "a gentler slope slid: {told}");
                    slid = slides;
                    assert_eq!(lift.impossible(), None, "{told}");
                    assert_eq!(lift.done(), slides, "{told}");
                    if let Some(finding) = first {
                        assert_eq!((lift.end(), finding.t_s), (Some(End::NeverBegan), 0.0));
                        let words = finding.say(&scene, UnitSystem::Si);
                        for angle in [rest.slope_rad, begins, goes_on] {
                            assert!(words.contains(&UnitSystem::Si.angle(angle)), "{words}");
                        }
                        let played = play(scene, &PlayOptions::default(), &mut |_, _| {});
                        assert_eq!((played.sim_s, played.findings.len()), (0.0, 1), "{told}");
                    }
                }
                assert!(slid || !wet, "20 deg {way:?}: wet grass does not hold it");
            }
        }
    }
}

/// What stands on a slope that holds it has not moved by more than its seat takes; what rolls is
/// told as a roll: a high body on its wheels tips over its tyres' edges where `tan` of the slope
/// passes half the base over the height, on ground that it does not slide on. It stands on the
/// hardest springs that may be said; laid on them at once it sways, and a sway costs it at most
/// as much again as it leans: it holds at 75 % and rolls at 105 %.
#[test]
fn val_a_roll_before_the_lift_is_told() {
    for (share, rolls) in [(0.75, false), (1.05, true)] {
        let mut scene = scene_of(BODIES[3].vehicle(), RestsOn::Wheels);
        scene.vehicle.com_m[1] = 2.4;
        scene.vehicle.springs.rate_n_m = Some(5e5);
        scene.vehicle.springs.tyre_n_m = 5e6;
        scene.friction_share = 3.0;
        let base = scene.vehicle.track_m / 2.0 + scene::TYRE_HALF_M;
        let tips = (base / scene.vehicle.com_m[1]).atan();
        let lift = Lift::new(on_slope(scene, [0.0, 1.0], share * tips));
        let causes: Vec<Cause> = lift.findings().iter().map(|f| f.cause()).collect();
        let expected: &[Cause] = if rolls { &[Cause::Roll] } else { &[] };
        assert_eq!(causes, expected, "{share}: {:?}", lift.settling());
    }
}

/// What slides far away goes on over ground without an end, as the closed form has it:
/// `x = g (sin a - mu cos a) t^2 / 2`, to 2 % (the crossing costs a step), and never sinks or
/// falls: its height keeps to 2 mm, single precision at 300 m and the contact's give.
#[test]
fn val_the_ground_has_no_edge() {
    const HALF_M: f64 = 0.25;
    let (slope, mu) = (20_f64.to_radians(), 0.05);
    let down = Vector::new(slope.sin() as f32, -slope.cos() as f32, 0.0);
    let mut engine = Engine::new(down * G as f32);
    engine.add_ground(mu);
    let block = engine.add(BodySpec {
        position: Vector::new(0.0, HALF_M as f32, 0.0),
        rotation: Rotation::IDENTITY,
        shapes: vec![ColliderBuilder::cuboid(HALF_M as f32, HALF_M as f32, HALF_M as f32)],
        mass: Mass::Density(500.0),
        fixed: false,
        friction: mu.into(),
        groups: Groups::Part,
    });
    let (at_s, mut t_s) = (15.0, 0.0);
    while t_s < at_s {
        engine.step();
        t_s += STEP_S;
        let y = f64::from(engine.pose(block).position[1]);
        assert!(abs_diff_eq!(y, HALF_M, epsilon = 0.002), "{y} m high at {t_s} s");
    }
    let x = f64::from(engine.pose(block).position[0]);
    let expected = G * (slope.sin() - mu * slope.cos()) * t_s * t_s / 2.0;
    assert!(relative_eq!(x, expected, max_relative = 0.02), "{x} m, {expected} m");
    assert!(x > 300.0, "{x} m");
}

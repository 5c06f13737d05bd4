//! Laws that need no answer key: what must hold of any lift, for any outcome. Each is held
//! over ten short lifts (docs/VERIFICATION.md, "Laws that need no answer key", has the list, and
//! where the way in which a lift fails changes).
//!
//! A short lift is a shipped set-up whose first bags are filled for three seconds.

use crate::common::alone;
use approx::{abs_diff_eq, relative_eq};
use inchwise::scene::tree::{Node, Value};
use inchwise::scene::{self, CarriedBy, Ground, Lashed, Order, RestsOn, Scene, Until};
use inchwise::snapshot::{PartKind, Snapshot, Support, bearings};
use inchwise::tables::Surface;
use inchwise::world::{Crew, Yard};
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};

/// The set-ups, on the roof, on a side and on the wheels.
const SET_UPS: [&str; 10] = [
    "beam-lift",
    "verge-soles",
    "beam-overhang",
    "nose-raised-filled",
    "roof-skin",
    "timber-dry",
    "pickup-cover",
    "side-crib",
    "sill-crib",
    "suv-sill",
];
/// A set-up with each vehicle.
const HATCHBACK: &str = "sill-crib";
const SALOON: &str = "beam-lift";
const SUV: &str = "suv-sill";
const VAN: &str = "van-sill";
const PICKUP: &str = "pickup-cover";
/// How long the bags are filled, and all is left alone after it, s.
const FILLED_S: f64 = 3.0;
const LEFT_S: f64 = 0.5;

fn tree(name: &str) -> Node {
    scene::tree_of(name, &[]).unwrap_or_else(|p| panic!("{name}: {p:?}"))
}

fn read(doc: &Node) -> Scene {
    scene::scene_from_tree(doc).unwrap_or_else(|p| panic!("{p:#?}"))
}

/// The scene's first order that lifts, for some time with the valve so far open, in as many
/// equal parts.
fn short(mut scene: Scene, opening: f64, parts: usize) -> Scene {
    let bags = scene.orders.iter().find_map(|order| match order {
        Order::Raise { bags, .. } => Some(bags.clone()),
        _ => None,
    });
    let bags = bags.expect("a scene that lifts");
    let until = Until::For(FILLED_S / parts as f64);
    let raise = Order::Raise { bags, opening, until, at_most_s: FILLED_S };
    let wait = Order::Wait { until: Until::For(LEFT_S), at_most_s: LEFT_S };
    scene.orders = std::iter::repeat_n(raise, parts).chain([wait]).collect();
    scene.faults.clear();
    scene
}

/// What a short lift comes to, by the names of its parts.
#[derive(Clone, Debug)]
struct Outcome {
    com: [f64; 3],
    roll_rad: f64,
    /// How far its upright leans towards +Z, from level and not from the start, rad.
    lean_rad: f64,
    pitch_rad: f64,
    rise_m: f64,
    /// Height, m, and force, N.
    bags: BTreeMap<String, [f64; 2]>,
    /// Gap, m, and load, N.
    limbs: BTreeMap<String, [f64; 2]>,
    weight_n: f64,
    /// What the lowest bags bear of the vehicle: less the beam and all else that lies on them, N.
    borne_n: f64,
    /// What the ground bears of it towards -Z of its centre of mass and towards +Z, N.
    ground_n: [f64; 2],
}

fn is_lowest(scene: &Scene, bag: usize) -> bool {
    matches!(scene.bags[bag].on, CarriedBy::Stack(_))
}

fn outcome(scene: Scene) -> Outcome {
    let scene = Arc::new(scene);
    let (mut yard, mut crew) = (Yard::new(scene.clone()), Crew::new(scene.orders.clone()));
    while !crew.done() {
        crew.advance(&mut yard);
        yard.tick();
    }
    let now: &Snapshot = &yard.snapshot;
    let bags = scene.bags.iter().zip(&now.bags);
    let limbs = scene.limbs.iter().zip(&now.limbs);
    let upright = match scene.lies {
        RestsOn::Wheels => Some([0.0, 1.0, 0.0]),
        RestsOn::Roof => Some([0.0, -1.0, 0.0]),
        RestsOn::LeftSide | RestsOn::RightSide => None,
    };
    let on_bags = |kind: PartKind| match kind {
        PartKind::Beam | PartKind::Shim | PartKind::BagPad(_) | PartKind::Wedge(_) => true,
        PartKind::BagFace { bag, upper } => upper || !is_lowest(&scene, bag),
        _ => false,
    };
    let members = yard.members();
    let on_bags = members.iter().filter(|member| on_bags(yard.parts()[member.part].kind));
    let lowest = now.bags.iter().enumerate().filter(|(bag, _)| is_lowest(&scene, *bag));
    let borne_n = lowest.map(|(_, bag)| bag.force_n).sum::<f64>()
        - on_bags.map(|member| member.kg * 9.80665).sum::<f64>();
    let mut ground_n = [0.0; 2];
    for (support, bearing) in Support::all(&scene).iter().zip(bearings(&scene, yard.parts(), now)) {
        if let Support::Ground { right, .. } = support {
            ground_n[usize::from(*right)] += bearing.up_n;
        }
    }
    Outcome {
        borne_n,
        ground_n,
        com: now.vehicle.com,
        lean_rad: upright.map(|way| now.poses[0].turned(way)[2].asin()).unwrap_or_default(),
        roll_rad: now.vehicle.roll_rad,
        pitch_rad: now.vehicle.pitch_rad,
        rise_m: now.rise_m,
        bags: bags.map(|(bag, is)| (bag.name.clone(), [is.height_m, is.force_n])).collect(),
        limbs: limbs.map(|(limb, is)| (limb.name.clone(), [is.gap_m, is.load_n])).collect(),
        weight_n: scene.vehicle.mass_kg * 9.80665,
    }
}

/// Each set-up as it stands, played once for all laws.
static PLAIN: LazyLock<Vec<Outcome>> = LazyLock::new(|| {
    SET_UPS.iter().map(|name| outcome(short(read(&tree(name)), 0.4, 1))).collect()
});

/// How far two outcomes may be apart: lengths in m, turns in rad, forces as a share of the weight.
#[derive(Clone, Copy)]
struct Apart {
    length_m: f64,
    turn_rad: f64,
    force: f64,
}

impl Apart {
    /// Holds one outcome against another that it should be, forces multiplied by some factor.
    fn hold(self, law: &str, name: &str, found: &Outcome, expected: &Outcome, factor: f64) {
        let at = |what: &str| format!("{law}, {name}: {what}\n{found:?}\n{expected:?}");
        let near = |a: f64, b: f64| (a - b).abs() <= self.length_m;
        let turned = |a: f64, b: f64| (a - b).abs() <= self.turn_rad;
        let borne =
            |a: f64, b: f64| (a - factor * b).abs() <= self.force * factor * expected.weight_n;
        assert!((0..3).all(|i| near(found.com[i], expected.com[i])), "{}", at("centre of mass"));
        assert!(turned(found.roll_rad, expected.roll_rad), "{}", at("roll"));
        assert!(turned(found.pitch_rad, expected.pitch_rad), "{}", at("pitch"));
        assert!(near(found.rise_m, expected.rise_m), "{}", at("rise"));
        for (bag, [height, force]) in &expected.bags {
            let has = found.bags[bag];
            assert!(near(has[0], *height) && borne(has[1], *force), "{}", at(bag));
        }
        for (limb, [gap, load]) in &expected.limbs {
            let has = found.limbs[limb];
            assert!(near(has[0], *gap) && borne(has[1], *load), "{}", at(limb));
        }
    }
}

/// Single precision, and contacts that are found in another order: a whole lift turned about the
/// upright differs by 0.25 % of its height and of the weight (`reference.lift_turned`); a
/// millimetre is 1 to 3 % of what these rise.
const SAME: Apart = Apart { length_m: 0.0015, turn_rad: 0.002, force: 0.02 };

fn mirrored(mut scene: Scene) -> Scene {
    let z = |at: &mut [f64; 2]| at[1] = -at[1];
    scene.limbs.iter_mut().for_each(|limb| z(&mut limb.at));
    for person in &mut scene.people {
        z(&mut person.at);
        person.head_rad = -person.head_rad;
    }
    for stack in &mut scene.stacks {
        z(&mut stack.at);
        z(&mut stack.lean);
    }
    scene.void_fill.iter_mut().for_each(|fill| z(&mut fill.at));
    scene.chocks.iter_mut().for_each(|chock| z(&mut chock.at));
    scene.step_chocks.iter_mut().for_each(|chock| z(&mut chock.at));
    scene.captures.iter_mut().for_each(|capture| z(&mut capture.at));
    if let Some(beam) = &mut scene.beam {
        z(&mut beam.at);
    }
    scene.vehicle.com_m[2] = -scene.vehicle.com_m[2];
    scene.ground.cross_slope_rad = -scene.ground.cross_slope_rad;
    scene.lies = match scene.lies {
        RestsOn::LeftSide => RestsOn::RightSide,
        RestsOn::RightSide => RestsOn::LeftSide,
        same => same,
    };
    scene
}

#[test]
fn mirrored_it_comes_to_its_mirror_image() {
    for (name, plain) in SET_UPS.iter().zip(PLAIN.iter()) {
        let mut found = outcome(short(mirrored(read(&tree(name))), 0.4, 1));
        found.com[2] = -found.com[2];
        found.roll_rad = -found.roll_rad;
        SAME.hold("mirrored", name, &found, plain, 1.0);
    }
}

/// How many of the bags lie under a thing, one on the other.
fn bags_under(thing: &Node, bags: &[Node]) -> usize {
    let text = |node: &Node, key| match node.get(key).map(|field| &field.value) {
        Some(Value::Text(text)) => Some(text.clone()),
        _ => None,
    };
    let on = text(thing, "on");
    let below = bags.iter().find(|bag| on.is_some() && text(bag, "name") == on);
    below.map_or(0, |bag| 1 + bags_under(bag, bags))
}

#[test]
fn listed_in_another_order_it_comes_to_the_same() {
    for (name, plain) in SET_UPS.iter().zip(PLAIN.iter()) {
        let mut doc = tree(name);
        let mut turned = 0;
        for key in
            ["people", "casualty", "stacks", "void_fill", "chocks", "captures", "bags", "wedges"]
        {
            if let Some(Node { value: Value::List(items), .. }) = doc.get_mut(key) {
                turned += usize::from(items.len() > 1);
                items.reverse();
                // A bag is written before those that lie on it.
                let below = items.clone();
                items.sort_by_key(|item| bags_under(item, &below));
            }
        }
        if turned > 0 {
            SAME.hold("listed", name, &outcome(short(read(&doc), 0.4, 1)), plain, 1.0);
        }
    }
}

/// Everything stands `by` further along X: the vehicle in its own frame, and what stands about
/// it by as much as that moves it over the ground.
fn moved(mut scene: Scene, by: f64) -> (Scene, f64) {
    let over_ground = |scene: &Scene| {
        let pose = scene.vehicle.rest_pose(scene.lies).expect("it lies still");
        pose.ground(scene.vehicle.com_m)[0]
    };
    let before = over_ground(&scene);
    let v = &mut scene.vehicle;
    let p = &mut v.profile;
    for point in [
        &mut p.nose,
        &mut p.cowl,
        &mut p.header,
        &mut p.roof_rear,
        &mut p.deck_front,
        &mut p.deck_rear,
    ] {
        point[0] += by;
    }
    v.com_m[0] += by;
    v.wheel_x_m = v.wheel_x_m.map(|x| x + by);
    for post in &mut v.posts {
        post.belt_x += by;
        post.roof_x += by;
    }
    for panel in &mut v.panels {
        panel.x = panel.x.map(|x| x + by);
    }
    let by = over_ground(&scene) - before;
    let x = |at: &mut [f64; 2]| at[0] += by;
    scene.limbs.iter_mut().for_each(|limb| x(&mut limb.at));
    scene.stacks.iter_mut().for_each(|stack| x(&mut stack.at));
    scene.void_fill.iter_mut().for_each(|fill| x(&mut fill.at));
    scene.chocks.iter_mut().for_each(|chock| x(&mut chock.at));
    scene.step_chocks.iter_mut().for_each(|chock| x(&mut chock.at));
    scene.captures.iter_mut().for_each(|capture| x(&mut capture.at));
    if let Some(beam) = &mut scene.beam {
        x(&mut beam.at);
    }
    (scene, by)
}

#[test]
fn moved_along_the_ground_it_comes_to_the_same() {
    for (name, plain) in SET_UPS.iter().zip(PLAIN.iter()) {
        let (scene, by) = moved(read(&tree(name)), 0.37);
        let mut found = outcome(short(scene, 0.4, 1));
        found.com[0] -= by;
        SAME.hold("moved", name, &found, plain, 1.0);
    }
}

#[test]
fn an_order_given_in_parts_comes_to_the_same() {
    for (name, plain) in SET_UPS.iter().zip(PLAIN.iter()) {
        let found = outcome(short(read(&tree(name)), 0.4, 3));
        SAME.hold("in parts", name, &found, plain, 1.0);
    }
}

/// Every length of a scene written in inches, each angle in radians.
fn in_other_units(node: &mut Node) {
    match &mut node.value {
        Value::Text(text) => {
            let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
            let (Ok(number), unit) = (number.parse::<f64>(), unit.trim()) else { return };
            let other = match unit {
                "m" => format!("{} in", number / 0.0254),
                "mm" => format!("{} in", number / 25.4),
                "in" => format!("{} mm", number * 25.4),
                "kg" => format!("{} lb", number / 0.453_592_37),
                "bar" => format!("{} kPa", number * 100.0),
                _ => return,
            };
            *text = other;
        }
        Value::List(items) => items.iter_mut().for_each(in_other_units),
        Value::Table(fields) => fields.iter_mut().for_each(|(_, node)| in_other_units(node)),
        _ => {}
    }
}

/// The figures that a scene's debug text has, in their order.
fn figures(scene: &Scene) -> Vec<f64> {
    let text = format!("{:?}", (&scene.vehicle, &scene.stacks, &scene.bags, &scene.air))
        + &format!("{:?}", (&scene.limbs, &scene.chocks, &scene.captures, &scene.beam));
    let split = text.split(|c: char| !(c.is_ascii_digit() || ".-e".contains(c)));
    split.filter_map(|piece| piece.parse().ok()).collect()
}

#[test]
fn in_other_units_it_is_the_same_scene() {
    for name in SET_UPS {
        let doc = tree(name);
        let mut other = doc.clone();
        in_other_units(&mut other);
        assert!(doc.differences(&other).len() > 20, "{name}: hardly anything was rewritten");
        let (one, two) = (figures(&read(&doc)), figures(&read(&other)));
        assert!(one.len() > 60 && one.len() == two.len(), "{name}: {} figures", one.len());
        for (a, b) in one.iter().zip(&two) {
            assert!(abs_diff_eq!(a, b, epsilon = 1e-9 * a.abs().max(1.0)), "{name}: {a}, {b}");
        }
    }
}

/// The vehicle twice as heavy, on springs, sheet metal and soil twice as stiff and as strong:
/// the same places under twice the force, less what lies on the bags, which weighs what it
/// weighed. As much air fills a bag at twice the pressure only in twice the time: held where both
/// have risen by as much.
#[test]
fn twice_the_mass_takes_twice_the_force() {
    // On a road of 6 deg dry timber lets the roof creep by half a millimetre, and which way
    // friction bears there is decided by how it came to rest: a level one in its place.
    let level = |name| if name == "timber-dry" { VAN } else { name };
    for name in SET_UPS.map(level) {
        let plain = short(read(&tree(name)), 0.8, 1);
        let mut heavy = plain.clone();
        let v = &mut heavy.vehicle;
        v.mass_kg *= 2.0;
        v.inertia_kg_m2 = v.inertia_kg_m2.map(|i| 2.0 * i);
        v.springs.tyre_n_m *= 2.0;
        v.springs.rate_n_m = v.springs.rate_n_m.map(|rate| 2.0 * rate);
        for panel in &mut v.panels {
            panel.stiffness_n_m *= 2.0;
            panel.plateau_n *= 2.0;
        }
        heavy.limbs.iter_mut().for_each(|limb| limb.stiffness_n_m *= 2.0);
        if let Some(soil) = &mut heavy.ground.soil {
            soil.plateau_pa *= 2.0;
        }
        let to_rise = |mut scene: Scene| {
            for order in &mut scene.orders {
                if let Order::Raise { until, at_most_s, .. } = order {
                    (*until, *at_most_s) = (Until::Rise(0.012), 60.0);
                }
            }
            outcome(scene)
        };
        let (one, two) = (to_rise(plain), to_rise(heavy));
        let ratio = two.borne_n / one.borne_n;
        // To 3 %: what friction holds of it up or down where faces slip, and a step's air lifts
        // the lighter one further past the mark.
        assert!(relative_eq!(ratio, 2.0, max_relative = 0.03), "{name}: {ratio}\n{one:?}\n{two:?}");
    }
}

/// With its mass moved towards one side it never leans to the other, and what stands on that
/// side bears no less.
#[test]
fn a_heavier_side_sinks() {
    /// Less than this is no lean, rad.
    const LEVEL_RAD: f64 = 0.0005;
    for (name, plain) in SET_UPS.iter().zip(PLAIN.iter()) {
        let mut scene = short(read(&tree(name)), 0.4, 1);
        if scene.lies.on_side() {
            // Its sides are up and down: there the mass moves along it, and the side is an end.
            continue;
        }
        let (lies, stacks) = (scene.lies, scene.stacks.clone());
        let under: Vec<usize> = scene
            .bags
            .iter()
            .map(|bag| {
                let mut on = bag.on;
                loop {
                    match on {
                        CarriedBy::Stack(stack) => break stack,
                        CarriedBy::Bag(below) => on = scene.bags[below].on,
                    }
                }
            })
            .collect();
        let names: Vec<String> = scene.bags.iter().map(|bag| bag.name.clone()).collect();
        // Towards +Z of the ground frame.
        scene.vehicle.com_m[2] += if lies == RestsOn::Roof { -0.10 } else { 0.10 };
        let found = outcome(scene);
        let leans = found.lean_rad - plain.lean_rad;
        assert!(
            leans > -LEVEL_RAD,
            "{name}: it leans away from its heavy side\n{found:?}\n{plain:?}"
        );
        for (bag, stack) in names.iter().zip(under) {
            let z = stacks[stack].at[1];
            let mut more = found.bags[bag][1] - plain.bags[bag][1];
            if lies == RestsOn::Wheels {
                // The same air holds the heavy side lower, where its tyres still bear a part.
                let side = usize::from(z > 0.0);
                more += found.ground_n[side] - plain.ground_n[side];
            }
            let allowed = 0.005 * plain.weight_n;
            assert!(z.abs() < 0.1 || more * z.signum() > -allowed, "{name}, {bag}: {more} N more");
        }
    }
}

/// While it slides and does nothing else, more friction never lets it slide further: vehicles by
/// themselves on a wet slope, on the roof, a side and the wheels.
#[test]
fn more_friction_never_slides_further() {
    let mut slid = 0;
    for (vehicle, lies, across) in [
        (HATCHBACK, RestsOn::Roof, false),
        (SALOON, RestsOn::Roof, false),
        (SUV, RestsOn::Roof, true),
        (VAN, RestsOn::Roof, false),
        (PICKUP, RestsOn::Roof, true),
        (HATCHBACK, RestsOn::RightSide, false),
        (SALOON, RestsOn::LeftSide, false),
        (HATCHBACK, RestsOn::Wheels, false),
        (SUV, RestsOn::Wheels, true),
        (VAN, RestsOn::LeftSide, false),
    ] {
        let mut bare = alone(read(&tree(vehicle)));
        bare.faults.clear();
        (bare.lies, bare.lashed) = (lies, Lashed::Both);
        bare.ground = Ground { surface: Surface::Grass, wet: true, ..bare.ground };
        let slope_rad = 9_f64.to_radians();
        let [along_rad, across_rad] = if across { [0.0, slope_rad] } else { [slope_rad, 0.0] };
        (bare.ground.slope_rad, bare.ground.cross_slope_rad) = (along_rad, across_rad);
        bare.orders = vec![Order::Wait { until: Until::For(0.5), at_most_s: 1.0 }];
        let pose = bare.vehicle.rest_pose(lies).expect("it lies still");
        let laid = pose.ground(bare.vehicle.com_m);
        let mut last = f64::INFINITY;
        for share in [0.45, 0.6, 0.8, 1.1] {
            let found = outcome(Scene { friction_share: share, ..bare.clone() });
            // From where it was laid: what it does before the lift counts too.
            let way = (found.com[0] - laid[0]).hypot(found.com[2] - laid[2]);
            println!("{vehicle}, {lies:?}, {share}: {way:.3} m");
            slid += usize::from(way > 0.1);
            // To 15 mm: as it settles on its outline it moves by that, and not by friction.
            assert!(way <= last + 0.015, "{vehicle}, {lies:?}, {share}: {way} m after {last} m");
            last = way;
        }
    }
    assert!(slid > 10, "only {slid} slid");
}

/// More air in the same time never lifts less.
#[test]
fn more_air_never_lifts_less() {
    for name in SET_UPS {
        let mut last = f64::NEG_INFINITY;
        for opening in [0.15, 0.4, 0.8] {
            let found = outcome(short(read(&tree(name)), opening, 1));
            // To half a millimetre: all is still in motion by that when it is read.
            assert!(found.rise_m >= last - 0.0005, "{name}, {opening}: {} m", found.rise_m);
            last = found.rise_m;
        }
    }
}

//! Sensible first places: where a crew would most likely put a thing. Each is tried
//! against the scene's own rules; the first that breaks none is taken.

use super::error::EditError;
use super::item::{Item, ItemKind, hand, items, length_text, text};
use super::names;
use crate::scene::tree::{Node, Value};
use crate::scene::{
    Bag, CarriedBy, Chock, Envelope, Lying, Person, RestsOn, Scene, Solid, Stack, StrapEnd, Wedge,
    people_of, read_and_check,
};
use crate::tables::{TIMBERS, Timber};
use crate::units::{INCH_M, UnitSystem};

/// Length of a new stack's timbers, m, and of a capture's.
const STACK_M: f64 = 24.0 * INCH_M;
const CAPTURE_M: f64 = 12.0 * INCH_M;
const FILL_M: f64 = 12.0 * INCH_M;
/// Room left beside a limb, m.
pub(super) const BESIDE_M: f64 = 0.03;
/// Room left between the body and what stands beside it, m.
pub(super) const CLEAR_M: f64 = 0.02;
/// A new stack's top stays this far under the vehicle, m: two empty bags and a wedge.
const OVER_STACK_M: f64 = 2.0 * Bag::FLAT_M + 0.05;
/// A face at least this high is worth lifting at, m.
pub(super) const LIFT_FROM_M: f64 = 0.35;
/// Distances from the middle line that are tried, m.
const ACROSS: [f64; 9] = [0.0, 0.3, -0.3, 0.6, -0.6, 0.9, -0.9, 1.2, -1.2];
/// Layers of a stack that nothing stands above.
const LAYERS: usize = 3;
/// A new strut stands so far beside the body and is aimed so high, m; a new strap is led so
/// high to the vehicle, m (assumed).
const STRUT_ASIDE_M: f64 = 0.7;
const STRUT_AIM_M: f64 = 0.8;
const STRAP_AIM_M: f64 = 0.25;
/// Sizes of a new bag, m, the largest first (assumed).
const BAGS_M: [f64; 4] = [0.51, 0.46, 0.38, 0.30];

fn field(key: &str, node: Node) -> (String, Node) {
    (key.to_owned(), node)
}

fn number(n: usize) -> Node {
    hand(Value::Number(n as f64))
}

pub(super) fn pair(units: UnitSystem, at: [f64; 2]) -> Node {
    hand(Value::List(at.map(|m| text(length_text(units, m))).to_vec()))
}

fn timber(nominal: &str) -> Timber {
    TIMBERS.iter().find(|t| t.nominal == nominal).copied().unwrap_or(TIMBERS[0])
}

/// Everything a new thing says but its name: ways to place it, the likeliest first, or the
/// one it is told.
///
/// # Errors
/// What is missing for it.
pub(super) fn proposals(
    scene: &Scene,
    kind: ItemKind,
    told: Option<[f64; 2]>,
    on: Option<CarriedBy>,
    units: UnitSystem,
) -> Result<Vec<Vec<(String, Node)>>, EditError> {
    let envelope = Envelope::new(&scene.vehicle, scene.lies).ok_or(EditError::VehicleNotStill)?;
    let at = |place: [f64; 2]| field("at", pair(units, place));
    let or_told = |places: Vec<[f64; 2]>| told.map_or(places, |place| vec![place]);
    Ok(match kind {
        ItemKind::Stack => or_told(stack_places(scene, &envelope))
            .into_iter()
            .map(|place| [vec![at(place)], stack_under(&envelope, place)].concat())
            .collect(),
        ItemKind::Bag => bag_supports(scene, on)?
            .into_iter()
            .map(|(name, side)| {
                let side = text(format!("{:.0} mm", side * 1e3));
                vec![
                    field("on", text(name)),
                    field("size", hand(Value::List(vec![side.clone(), side]))),
                ]
            })
            .collect(),
        ItemKind::Wedge => {
            let bag = top_bag(scene, on).ok_or(EditError::WedgeWithoutBag)?;
            let size = scene.bags[bag].size.map(|s| (s * 1e3 - 20.0).max(100.0));
            let size = size.map(|mm| text(format!("{mm:.0} mm"))).to_vec();
            vec![vec![
                field("on", text(&scene.bags[bag].name)),
                field("size", hand(Value::List(size))),
            ]]
        }
        ItemKind::Beam => beams(scene, &envelope, units)?,
        ItemKind::Capture => or_told(capture_places(scene, &envelope))
            .into_iter()
            .map(|place| {
                let timber = match beam_over(scene, &envelope, place) {
                    Some(beam_m) => capture_under_beam(beam_m),
                    None => capture_under(&envelope, place),
                };
                [vec![at(place)], timber].concat()
            })
            .collect(),
        ItemKind::VoidFill => or_told(fill_places(scene, &envelope))
            .into_iter()
            .map(|place| {
                vec![at(place), field("timber", text("4x4")), field("length", text("12 in"))]
            })
            .collect(),
        ItemKind::Chock => or_told(chock_places(&envelope))
            .into_iter()
            .map(|place| vec![at(place), field("staked", hand(Value::Flag(true)))])
            .collect(),
        ItemKind::StepChock => {
            let told = told.map(|place| [(place, true), (place, false)].to_vec());
            let places = told.unwrap_or_else(|| step_chock_places(scene, &envelope));
            let fields =
                |(place, across)| vec![at(place), field("across", hand(Value::Flag(across)))];
            places.into_iter().map(fields).collect()
        }
        ItemKind::Strut => or_told(strut_places(scene))
            .into_iter()
            .map(|place| {
                vec![
                    at(place),
                    field("head", pair(units, [place[0], aim(scene)[1]])),
                    field("head_height", text(length_text(units, STRUT_AIM_M))),
                    field("seated", hand(Value::Flag(true))),
                ]
            })
            .collect(),
        ItemKind::Strap => {
            let tied = |strut: usize| {
                let foot = StrapEnd::Foot(strut);
                scene.straps.iter().any(|strap| strap.ends.contains(&foot))
            };
            let free = (0..scene.struts.len()).find(|&strut| !tied(strut));
            let strut = &scene.struts[free.ok_or(EditError::StrapWithoutStrut)?];
            vec![vec![
                field("strut", text(&strut.name)),
                at(told.unwrap_or([strut.at[0], aim(scene)[1]])),
                field("height", text(length_text(units, STRAP_AIM_M))),
            ]]
        }
        ItemKind::Outlet => {
            let hosed = |bag: usize| scene.air.outlets.iter().any(|o| o.bags().any(|to| to == bag));
            let free = (0..scene.bags.len()).find(|&bag| !hosed(bag));
            let bag = free.ok_or(EditError::NoBagWithoutHose)?;
            vec![vec![field("to", text(&scene.bags[bag].name))]]
        }
        ItemKind::Limb => or_told(within_reach(scene, limb_places(&envelope, 0.125)))
            .into_iter()
            .map(|place| {
                vec![
                    at(place),
                    field("thickness", text("125 mm")),
                    field("gap_needed", text("150 mm")),
                ]
            })
            .collect(),
        ItemKind::Person => {
            let person = new_person(scene);
            let place = told.unwrap_or(person.at);
            let head = format!("{:.0} deg", person.head_rad.to_degrees());
            vec![vec![at(place), field("head_towards", text(head))]]
        }
        ItemKind::Air | ItemKind::Ground => return Err(EditError::ThereAlready),
    })
}

/// Places of a new limb, and where a leg or an arm of the first person may reach.
fn within_reach(scene: &Scene, mut places: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    const WAYS: u32 = 16;
    let Some(person) = scene.people.first() else { return places };
    for far in [0.45, 0.60, 0.30, 0.75, 0.90] {
        places.extend((0..WAYS).map(|k| {
            let way = f64::from(k) * std::f64::consts::TAU / f64::from(WAYS);
            let [dx, dz] = [way.cos(), way.sin()].map(|w| (far * w * 100.0).round() / 100.0);
            [person.at[0] + dx, person.at[1] + dz]
        }));
    }
    places
}

/// The first person lies as one does of whom a scene says nothing; another lies beside the
/// vehicle, a stature away.
fn new_person(scene: &Scene) -> Person {
    let mut person = people_of(scene).first().cloned().unwrap_or(Person {
        name: String::new(),
        at: [0.0, scene.vehicle.half_width.body + 1.0],
        lies: Lying::Back,
        head_rad: 0.0,
        stature_m: 1.75,
        inside: false,
    });
    if !scene.people.is_empty() {
        person.at[0] -= person.stature_m;
    }
    person
}

/// As many layers as stand under the vehicle at a place with some room left over them;
/// none where nothing is above it.
fn layers_under(
    envelope: &Envelope<'_>,
    at: [f64; 2],
    length_m: f64,
    nominal: &str,
    room_m: f64,
) -> Option<usize> {
    let foot = Solid::around(at, [length_m; 2], 0.0);
    let above = envelope.underside_over(&foot)?.height_m - room_m;
    Some((above / timber(nominal).height_m).clamp(0.0, 12.0) as usize)
}

/// Layers that bring a beam on one empty bag just over the roof's edge, where an opening is.
fn layers_beside_opening(envelope: &Envelope<'_>, x: f64) -> Option<usize> {
    let Timber { width_m, height_m, .. } = timber("4x6");
    let [roof, belt] = envelope.opening_heights([x - width_m / 2.0, x + width_m / 2.0])?;
    let layer_m = timber("4x4").height_m;
    let layers = ((roof - Bag::FLAT_M) / layer_m).ceil().max(1.0);
    let top = layers * layer_m + Bag::FLAT_M + height_m;
    (top <= belt).then_some(layers as usize)
}

/// Ends of the body along X as it lies, m: rear, front.
fn ends(envelope: &Envelope<'_>) -> [f64; 2] {
    let body = envelope.body();
    let x = |pick: fn(f64, f64) -> f64| body.iter().map(|p| p[0]).fold(body[0][0], pick);
    [x(f64::min), x(f64::max)]
}

/// A stack stands under the end that is off the ground, or on either side of an opening.
fn stack_places(scene: &Scene, envelope: &Envelope<'_>) -> Vec<[f64; 2]> {
    let [rear, front] = ends(envelope);
    let height = |x: f64| envelope.underside([x, 0.0]).unwrap_or(0.0);
    let mut high: Vec<f64> = (0..=40)
        .map(|i| rear + (front - rear) * f64::from(i) / 40.0)
        .filter(|x| {
            let foot = [x - STACK_M / 2.0, x + STACK_M / 2.0];
            foot.iter().all(|x| height(*x) > LIFT_FROM_M)
        })
        .collect();
    // The higher, the longer the lever about the end that bears.
    high.sort_by(|a, b| height(*b).total_cmp(&height(*a)));
    let aside = scene.vehicle.half_width.body + STACK_M / 2.0 + CLEAR_M;
    let beside = opening_middles(scene, envelope).into_iter().map(|x| [x, aside]);
    let step = |x: f64| (x * 100.0).round() / 100.0;
    let under = high.iter().map(|x| [step(*x), 0.0]);
    let beside_too = beside.clone().map(|[x, z]| [x, -z]);
    if scene.lies == RestsOn::Roof {
        return under.take(6).chain(beside).chain(beside_too).chain([[0.0, 2.0]]).collect();
    }
    // On its side or its wheels: wherever there is room for a layer and two bags.
    let room = |p: &[f64; 2]| {
        let foot = Solid::around(*p, [STACK_M; 2], 0.0);
        envelope.underside_over(&foot).map_or(0.0, |c| c.height_m)
    };
    let mut places = grid(envelope, &ACROSS);
    places.retain(|p| room(p) > timber("4x4").height_m + OVER_STACK_M);
    places.sort_by(|a, b| room(b).total_cmp(&room(a)));
    places.truncate(60);
    places.push([0.0, 2.0]);
    places
}

/// Middles of the vehicle's openings along X, m.
pub(super) fn opening_middles(scene: &Scene, envelope: &Envelope<'_>) -> Vec<f64> {
    // A beam passes through a vehicle on its roof only.
    if scene.lies != RestsOn::Roof {
        return Vec::new();
    }
    let v = &scene.vehicle;
    let middle = |posts: [usize; 2]| {
        let ends = posts.map(|i| v.posts.get(i).map(|post| envelope.post_ends(post)));
        let [Some(front), Some(rear)] = ends else { return None };
        let x = |p: [[f64; 2]; 2]| (p[0][0] + p[1][0]) / 2.0;
        Some(((x(front) + x(rear)) / 2.0 * 100.0).round() / 100.0)
    };
    // The rear ones first: the end with the engine bears.
    v.openings.iter().rev().filter_map(|o| middle(o.posts)).collect()
}

/// A stack as high as the vehicle above it allows, all but its place.
fn stack_under(envelope: &Envelope<'_>, place: [f64; 2]) -> Vec<(String, Node)> {
    let layers = layers_under(envelope, place, STACK_M, "4x4", OVER_STACK_M)
        .or_else(|| layers_beside_opening(envelope, place[0]));
    vec![
        field("timber", text("4x4")),
        field("length", text("24 in")),
        field("layers", number(layers.unwrap_or(LAYERS).max(1))),
        field("members", number(2)),
    ]
}

/// A capture as high as the vehicle above it allows, all but its place.
fn capture_under(envelope: &Envelope<'_>, place: [f64; 2]) -> Vec<(String, Node)> {
    let layers = layers_under(envelope, place, CAPTURE_M, "4x4", Wedge::LEAST_M);
    vec![
        field("timber", text("4x4")),
        field("length", text("12 in")),
        field("layers", number(layers.unwrap_or(0))),
        field("step", text("2x4")),
        field("steps", number(10)),
    ]
}

/// What carries a new bag, with a size that fits it: what was asked for, else any stack
/// or bag with a free top.
fn bag_supports(scene: &Scene, on: Option<CarriedBy>) -> Result<Vec<(String, f64)>, EditError> {
    let top = |mut rest: CarriedBy| {
        while let Some(i) = scene.bags.iter().position(|b| b.on == rest) {
            rest = CarriedBy::Bag(i);
        }
        rest
    };
    let all = (0..scene.stacks.len()).map(|i| top(CarriedBy::Stack(i)));
    // One bag a stack before a second one.
    let (first, second): (Vec<CarriedBy>, Vec<CarriedBy>) =
        all.partition(|rest| matches!(rest, CarriedBy::Stack(_)));
    let supports: Vec<CarriedBy> = on.map(top).into_iter().chain(first).chain(second).collect();
    if supports.is_empty() {
        return Err(EditError::BagWithoutStack);
    }
    let fitting = |rest: CarriedBy| match rest {
        CarriedBy::Stack(i) => {
            let length = scene.stacks[i].length_m;
            let side = BAGS_M.into_iter().find(|side| *side <= length + 1e-9);
            (scene.stacks[i].name.clone(), side.unwrap_or(length))
        }
        CarriedBy::Bag(i) => {
            let bag = &scene.bags[i];
            (bag.name.clone(), bag.size[0].min(bag.size[1]))
        }
    };
    Ok(supports.into_iter().map(fitting).collect())
}

fn top_bag(scene: &Scene, on: Option<CarriedBy>) -> Option<usize> {
    let free = |i: usize| {
        !scene.bags.iter().any(|b| b.on == CarriedBy::Bag(i))
            && !scene.wedges.iter().any(|w| w.on == CarriedBy::Bag(i))
    };
    let above = |start: CarriedBy| {
        let mut rest = start;
        while let Some(i) = scene.bags.iter().position(|b| b.on == rest) {
            rest = CarriedBy::Bag(i);
        }
        match rest {
            CarriedBy::Bag(i) if free(i) => Some(i),
            _ => None,
        }
    };
    on.and_then(above).or_else(|| (0..scene.bags.len()).find(|&i| free(i)))
}

/// Beams over the stacks that stand beside the vehicle.
fn beams(
    scene: &Scene,
    envelope: &Envelope<'_>,
    units: UnitSystem,
) -> Result<Vec<Vec<(String, Node)>>, EditError> {
    if scene.beam.is_some() {
        return Err(EditError::SecondBeam);
    }
    let body = scene.vehicle.half_width.body;
    let mut carrying: Vec<(String, [f64; 2])> = Vec::new();
    for (i, stack) in scene.stacks.iter().enumerate() {
        if stack.at[1].abs() < body {
            continue;
        }
        let mut name = &stack.name;
        let mut rest = CarriedBy::Stack(i);
        while let Some(bag) = scene.bags.iter().position(|b| b.on == rest) {
            rest = CarriedBy::Bag(bag);
            name = &scene.bags[bag].name;
        }
        carrying.push((name.clone(), stack.at));
    }
    let on_side = |side: f64| carrying.iter().any(|(_, at)| at[1] * side > 0.0);
    if !(on_side(1.0) && on_side(-1.0)) {
        return Err(EditError::BeamWithoutStacks);
    }
    let reach = carrying.iter().map(|(_, at)| at[1].abs()).fold(body, f64::max);
    let feet = (2.0 * (reach + 0.25) / (12.0 * INCH_M)).ceil();
    let names: Vec<Node> = carrying.iter().map(|(name, _)| text(name)).collect();
    let stacks_x = carrying.iter().map(|(_, at)| at[0]);
    let places: Vec<f64> = stacks_x.chain(opening_middles(scene, envelope)).collect();
    let tries = scene.vehicle.openings.iter().rev().flat_map(|opening| {
        let names = names.clone();
        places.iter().map(move |&x| {
            vec![
                field("timber", text("4x6")),
                field("length", text(format!("{feet:.0} ft"))),
                field("at", pair(units, [x, 0.0])),
                field("through", hand(Value::List(vec![text(&opening.name)]))),
                field("rests_on", hand(Value::List(names.clone()))),
            ]
        })
    });
    let tries: Vec<_> = tries.collect();
    if tries.is_empty() { Err(EditError::NoOpening) } else { Ok(tries) }
}

/// Beside and behind the limbs, then all over the vehicle's underside.
fn under_places(scene: &Scene, envelope: &Envelope<'_>, length_m: f64) -> Vec<[f64; 2]> {
    let side = (scene.vehicle.half_width.roof - length_m / 2.0 - 0.05).max(0.0);
    let beside = scene.limbs.iter().flat_map(|limb| {
        let off = (limb.size[0] + length_m) / 2.0 + BESIDE_M;
        let z = if limb.at[1] < 0.0 { -side } else { side };
        [-off, off].map(|dx| [limb.at[0] + dx, z])
    });
    beside.chain(grid(envelope, &[side, -side, 0.0])).chain(grid(envelope, &ACROSS)).collect()
}

/// Packing goes where the vehicle bears: from the end that is nearest to the ground.
fn fill_places(scene: &Scene, envelope: &Envelope<'_>) -> Vec<[f64; 2]> {
    let side = (scene.vehicle.half_width.body - FILL_M / 2.0 - 0.1).max(0.0);
    let mut places = grid(envelope, &[side, -side]);
    if scene.lies != RestsOn::Roof {
        places.extend(grid(envelope, &ACROSS));
    }
    let height = |p: &[f64; 2]| {
        let foot = Solid::around(*p, [FILL_M; 2], 0.0);
        envelope.underside_over(&foot).map_or(f64::MAX, |c| c.height_m)
    };
    places.retain(|p| (0.05..0.6).contains(&height(p)));
    places.sort_by(|a, b| height(a).total_cmp(&height(b)));
    places
}

/// Where a limb is held, not crushed; then where there is any room for it at all.
fn limb_places(envelope: &Envelope<'_>, thickness_m: f64) -> Vec<[f64; 2]> {
    let mut places = grid(envelope, &[0.4, 0.2, -0.4, 0.7]);
    let room = |p: &[f64; 2]| {
        let foot = Solid::around(*p, [0.12, 0.30], 0.0);
        envelope.underside_over(&foot).map_or(f64::MAX, |c| c.height_m)
    };
    places.retain(|p| (0.45 * thickness_m..2.0).contains(&room(p)));
    places.sort_by_key(|p| !(0.7 * thickness_m..thickness_m).contains(&room(p)));
    places
}

/// Places along the vehicle every five centimetres, at some distances from its middle.
fn grid(envelope: &Envelope<'_>, sides: &[f64]) -> Vec<[f64; 2]> {
    let [rear, front] = ends(envelope);
    let steps = ((front - rear) / 0.05) as usize;
    let x = |i: usize| ((rear + 0.05 * i as f64) * 20.0).round() / 20.0;
    sides.iter().flat_map(|z| (0..=steps).map(move |i| [x(i), *z])).collect()
}

/// Against the end that bears on the ground, on either side of the middle; then the other.
fn chock_places(envelope: &Envelope<'_>) -> Vec<[f64; 2]> {
    let [rear, front] = ends(envelope);
    let low_front = {
        let height = |x: f64| envelope.underside([x, 0.0]).unwrap_or(f64::MAX);
        height(front - 0.02) <= height(rear + 0.02)
    };
    let signs = if low_front { [1.0, -1.0] } else { [-1.0, 1.0] };
    let [run, height, width] = Chock::SIZE_M;
    signs
        .into_iter()
        .flat_map(|sign: f64| [0.45, -0.45].map(|z| (sign, z)))
        .filter_map(|(sign, z)| {
            let from = if sign > 0.0 { front } else { rear };
            // Outwards from inside the body, until it stands clear.
            (0..200)
                .map(|i| from + sign * (0.005 * f64::from(i) - 0.3))
                .find(|x| {
                    let middle = [x + sign * run / 2.0, z];
                    envelope.clash(&Solid::around(middle, [run, width], height)).is_none()
                })
                .map(|x| [((x + sign * 0.005) * 200.0).round() / 200.0, z])
        })
        .collect()
}

/// Over the middle of the vehicle, along X and Z, m.
fn aim(scene: &Scene) -> [f64; 2] {
    let v = &scene.vehicle;
    v.rest_pose(scene.lies).map_or([0.0; 2], |pose| {
        let [x, _, z] = pose.ground(v.com_m);
        [x, z]
    })
}

/// Where a capture stack stands: under the vehicle; under the ends of the beam once the vehicle has
/// some.
fn capture_places(scene: &Scene, envelope: &Envelope<'_>) -> Vec<[f64; 2]> {
    let under = under_places(scene, envelope, CAPTURE_M);
    let has_some = scene.captures.iter().any(|capture| !capture.is_under_beam());
    let Some(beam) = scene.beam.as_ref().filter(|_| has_some) else { return under };
    let out = (beam.length_m - CAPTURE_M) / 2.0 - BESIDE_M;
    let ends = [1.0, -1.0].map(|side| [beam.at[0], beam.at[1] + side * out]);
    ends.into_iter().chain(under).collect()
}

/// Height of the beam over a place where the vehicle is not, before the lift, m.
fn beam_over(scene: &Scene, envelope: &Envelope<'_>, [x, z]: [f64; 2]) -> Option<f64> {
    let beam = scene.beam.as_ref().filter(|_| envelope.underside([x, z]).is_none())?;
    let near = (x - beam.at[0]).abs() < CAPTURE_M / 2.0;
    let along = (z - beam.at[1]).abs() < beam.length_m / 2.0;
    let first = *beam.rests_on.first().filter(|_| near && along)?;
    let mut rest = first;
    let mut top_m = beam.pad_on(first).unwrap_or(0.0);
    while let CarriedBy::Bag(bag) = rest {
        top_m += Bag::FLAT_M;
        rest = scene.bags[bag].on;
    }
    match rest {
        CarriedBy::Stack(stack) => Some(top_m + scene.stacks[stack].height_m()),
        CarriedBy::Bag(_) => None,
    }
}

/// A capture stack that follows a beam at a height, all but its place.
fn capture_under_beam(beam_m: f64) -> Vec<(String, Node)> {
    let layers = ((beam_m - Wedge::LEAST_M) / timber("4x4").height_m).clamp(0.0, 12.0) as usize;
    vec![
        field("under", text("beam")),
        field("timber", text("4x4")),
        field("length", text("12 in")),
        field("layers", number(layers)),
        field("step", text("2x4")),
        field("steps", number(10)),
    ]
}

/// Under the sills on either side, and under the ends; with each whether it lies across.
fn step_chock_places(scene: &Scene, envelope: &Envelope<'_>) -> Vec<([f64; 2], bool)> {
    // Half a tread of a new one.
    const IN_M: f64 = 0.06;
    let [x, z] = aim(scene).map(|m| (m * 20.0).round() / 20.0);
    let out = scene.vehicle.half_width.body - IN_M;
    let [rear, front] = ends(envelope);
    let signs = [[1.0, 1.0], [1.0, -1.0], [-1.0, 1.0], [-1.0, -1.0]];
    // Clear of what lies or stands under a sill already.
    let off = [0.5, 0.7, 0.9].into_iter();
    let sills = off.flat_map(|off_m| signs.map(|[a, b]| ([x + off_m * a, b * out], true)));
    let across_ends = signs.map(|[a, b]| {
        let end = if a > 0.0 { front - IN_M } else { rear + IN_M };
        ([end, z + 0.4 * b], false)
    });
    // On its roof the bonnet rises from the nose: somewhere along it a step is snug.
    let along = [0.4, 0.6, 0.8, 1.0].into_iter();
    let bonnet = along.flat_map(|in_m| [1.0, -1.0].map(|b| ([front - in_m, b * out], true)));
    let all = sills.chain(across_ends).chain(bonnet);
    let mm = |m: f64| (m * 1e3).floor() / 1e3;
    all.map(|(at, across)| (at.map(|m| mm(m.abs()).copysign(m)), across)).collect()
}

/// On either side of the vehicle, before and behind its middle.
fn strut_places(scene: &Scene) -> Vec<[f64; 2]> {
    let [x, z] = aim(scene).map(|m| (m * 20.0).round() / 20.0);
    let aside = scene.vehicle.half_width.body + STRUT_ASIDE_M;
    let signs = [[1.0, 1.0], [1.0, -1.0], [-1.0, 1.0], [-1.0, -1.0]];
    let ways = [0.6, 1.2].into_iter().flat_map(|far| signs.map(|[a, b]| [far * a, aside * b]));
    ways.map(|[dx, dz]| [x + dx, z + dz]).collect()
}

/// Puts a scene's one limb to a place where the vehicle traps it, and whose it is along with it.
pub(super) fn limb_where_there_is_room(doc: &Node) -> Node {
    let Some(scene) = read_and_check(doc).0 else { return doc.clone() };
    let Some(envelope) = Envelope::new(&scene.vehicle, scene.lies) else { return doc.clone() };
    let limb = Item::new(ItemKind::Limb, 0);
    let moved = |at: [f64; 2]| {
        let mut doc = doc.clone();
        let name = limb.name(&doc);
        doc.set(&format!("casualty.{name}.at"), pair(UnitSystem::Si, at)).ok()?;
        if let (Some(person), Some(from)) = (scene.people.first(), scene.limbs.first()) {
            let hips = [0, 1].map(|i| person.at[i] + at[i] - from.at[i]);
            doc.set(&format!("people.{}.at", person.name), pair(UnitSystem::Si, hips)).ok()?;
        }
        read_and_check(&doc).1.is_empty().then_some(doc)
    };
    limb_places(&envelope, scene.limbs[0].thickness_m)
        .into_iter()
        .find_map(moved)
        .unwrap_or_else(|| doc.clone())
}

/// The name of a new thing: for its place on the left or right, else for its kind.
pub(super) fn name_for(
    doc: &Node,
    kind: ItemKind,
    at: Option<[f64; 2]>,
    on: Option<&str>,
) -> String {
    let side = at.map(|[_, z]| {
        if z > 0.05 {
            "left"
        } else if z < -0.05 {
            "right"
        } else {
            "middle"
        }
    });
    let wanted = match (kind, side, on) {
        (ItemKind::Bag, _, Some(on)) => {
            let upper = items(doc, ItemKind::Bag).into_iter().any(|bag| bag.name(doc) == on);
            let base = on.strip_suffix(" lower").unwrap_or(on);
            format!("{base} {}", if upper { "upper" } else { "lower" })
        }
        (ItemKind::Wedge, _, Some(on)) => format!("{on} wedge"),
        (ItemKind::Outlet, _, Some(on)) => on.to_owned(),
        (ItemKind::Stack, Some(side), _) => side.to_owned(),
        (kind, Some(side), _) => format!("{} {side}", kind.noun()),
        (kind, ..) => kind.noun().to_owned(),
    };
    names::free_name(doc, kind, &wanted)
}

/// The stack or bag of a scene by its name.
pub(super) fn support(scene: &Scene, name: &str) -> Option<CarriedBy> {
    let stack = scene.stacks.iter().position(|s: &Stack| s.name == name).map(CarriedBy::Stack);
    stack.or_else(|| scene.bags.iter().position(|b| b.name == name).map(CarriedBy::Bag))
}

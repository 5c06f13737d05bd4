//! Sensible first places: where a crew would most likely put a thing.

use super::item::{Item, ItemKind, hand, length_text, text};
use crate::scene::tree::{Node, Value};
use crate::scene::{Bag, CarriedBy, Chock, Envelope, RestsOn, Scene, Solid, read_and_check};
use crate::tables::{TIMBERS, Timber};
use crate::units::{INCH_M, UnitSystem};

/// Length of a new stack's timbers, m, and of a capture's.
pub(super) const STACK_M: f64 = 24.0 * INCH_M;
pub(super) const CAPTURE_M: f64 = 12.0 * INCH_M;
const FILL_M: f64 = 12.0 * INCH_M;
/// Room left beside a limb, m.
pub(super) const BESIDE_M: f64 = 0.03;
/// Room left between the body and what stands beside it, m.
pub(super) const CLEAR_M: f64 = 0.02;
/// A new stack's top stays this far under the vehicle, m: two empty bags and a wedge.
pub(super) const OVER_STACK_M: f64 = 2.0 * Bag::FLAT_M + 0.05;
/// A face at least this high is worth lifting at, m.
pub(super) const LIFT_FROM_M: f64 = 0.35;
/// Distances from the middle line that are tried, m.
const ACROSS: [f64; 9] = [0.0, 0.3, -0.3, 0.6, -0.6, 0.9, -0.9, 1.2, -1.2];
/// A new strut stands so far beside the body, m (assumed).
const STRUT_ASIDE_M: f64 = 0.7;

pub(super) fn pair(units: UnitSystem, at: [f64; 2]) -> Node {
    hand(Value::List(at.map(|m| text(length_text(units, m))).to_vec()))
}

pub(super) fn timber(nominal: &str) -> Timber {
    TIMBERS.iter().find(|t| t.nominal == nominal).copied().unwrap_or(TIMBERS[0])
}

/// Places of a new limb, and where a leg or an arm of the first person may reach.
pub(super) fn within_reach(scene: &Scene, mut places: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
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

/// Ends of the body along X as it lies, m: rear, front.
fn ends(envelope: &Envelope<'_>) -> [f64; 2] {
    let body = envelope.body();
    let x = |pick: fn(f64, f64) -> f64| body.iter().map(|p| p[0]).fold(body[0][0], pick);
    [x(f64::min), x(f64::max)]
}

/// A stack stands under the end that is off the ground, or on either side of an opening.
pub(super) fn stack_places(scene: &Scene, envelope: &Envelope<'_>) -> Vec<[f64; 2]> {
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
pub(super) fn fill_places(scene: &Scene, envelope: &Envelope<'_>) -> Vec<[f64; 2]> {
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
pub(super) fn limb_places(envelope: &Envelope<'_>, thickness_m: f64) -> Vec<[f64; 2]> {
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
pub(super) fn chock_places(envelope: &Envelope<'_>) -> Vec<[f64; 2]> {
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
pub(super) fn aim(scene: &Scene) -> [f64; 2] {
    let v = &scene.vehicle;
    v.rest_pose(scene.lies).map_or([0.0; 2], |pose| {
        let [x, _, z] = pose.ground(v.com_m);
        [x, z]
    })
}

/// Where a capture stack stands: under the vehicle; under the ends of the beam once the vehicle has
/// some.
pub(super) fn capture_places(scene: &Scene, envelope: &Envelope<'_>) -> Vec<[f64; 2]> {
    let under = under_places(scene, envelope, CAPTURE_M);
    let has_some = scene.captures.iter().any(|capture| !capture.is_under_beam());
    let Some(beam) = scene.beam.as_ref().filter(|_| has_some) else { return under };
    let out = (beam.length_m - CAPTURE_M) / 2.0 - BESIDE_M;
    let ends = [1.0, -1.0].map(|side| [beam.at[0], beam.at[1] + side * out]);
    ends.into_iter().chain(under).collect()
}

/// Height of the beam over a place where the vehicle is not, before the lift, m.
pub(super) fn beam_over(scene: &Scene, envelope: &Envelope<'_>, [x, z]: [f64; 2]) -> Option<f64> {
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

/// Under the sills on either side, and under the ends; with each whether it lies across.
pub(super) fn step_chock_places(scene: &Scene, envelope: &Envelope<'_>) -> Vec<([f64; 2], bool)> {
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
pub(super) fn strut_places(scene: &Scene) -> Vec<[f64; 2]> {
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

//! What must hold across the fields of a scene: one function a rule. A rule adds a
//! problem at the field to change, with the numbers.

mod check;
mod wedges;

use super::body::{Body, FreePart, MisfitReason, Segment, bodies};
use super::cut::{CutFace, Footprint};
use super::envelope::{Envelope, Solid};
use super::equipment::{CarriedBy, Strut, Wedge};
use super::model::Scene;
use super::problem::{Problems, show};
use super::schema::MOST_TIMBERS;
use super::tree::Node;
use super::vehicle::RestsOn;
use crate::units::Dimension::Length;
use crate::units::{UnitSystem, UnitText};
use check::{Check, GroundPart, SLACK_M, mm, place, soles};

/// A limb pressed below this share of its thickness counts as crushed, not trapped.
const CRUSHED_SHARE: f64 = 0.40;

const RULES: &[fn(&Check<'_>)] = &[
    timbers_can_be_played,
    struts_are_long_enough,
    parts_stand_apart,
    parts_stand_clear_of_the_vehicle,
    packing_has_the_vehicle_above_it,
    void_fill_follows_the_face_above_it,
    limbs_lie_under_the_vehicle,
    limbs_have_room,
    bodies_reach_what_is_trapped,
    nothing_stands_in_a_body,
    the_vehicle_lies_on_nobody_else,
    soles_are_wider_than_what_they_carry,
    supports_carry_one_bag,
    at_most_two_bags_in_a_stack,
    bags_lie_within_their_stack,
    bags_have_something_to_lift,
    wedges::lie_under_the_vehicle_or_under_bags,
    wedges::fit_what_they_lie_on,
    wedges::under_bags_have_room,
    bags_have_one_hose,
    beam_rests_on_tops,
    beam_rests_level,
    beam_reaches_over_its_supports,
    beam_passes_its_openings,
    captures_stand_under_the_beam,
    step_chocks_are_snug,
];

/// Runs every rule.
pub(super) fn check(scene: &Scene, doc: &Node, problems: &Problems) {
    // A vehicle that does not lie still was reported when it was read.
    let Some(envelope) = Envelope::new(&scene.vehicle, scene.lies) else { return };
    let check = Check { scene, doc, problems, envelope, bodies: bodies(scene) };
    RULES.iter().for_each(|rule| rule(&check));
}

/// Each timber is a body of its own, and a lift of thousands would take hours.
fn timbers_can_be_played(c: &Check<'_>) {
    let stacks: usize = c.scene.stacks.iter().map(|s| s.layers * s.members).sum();
    // Two timbers a layer; packing has as many layers as fit, which are few.
    let captures: usize = c.scene.captures.iter().map(|v| 2 * (v.layers + v.steps)).sum();
    let timbers = stacks + captures;
    if timbers > MOST_TIMBERS {
        let longest = if stacks > captures { "stacks" } else { "captures" };
        c.complain(
            &[longest],
            format!(
                "{timbers} timbers in stacks and captures; a set-up has at most {MOST_TIMBERS}: \
                 take layers or stacks away"
            ),
        );
    }
}

/// A strut rises from its foot.
fn struts_are_long_enough(c: &Check<'_>) {
    for strut in &c.scene.struts {
        let (pin, to) = (strut.pin(), strut.aims_at());
        let length_m = (0..3).map(|i| (to[i] - pin[i]).powi(2)).sum::<f64>().sqrt();
        if to[1] < pin[1] + Strut::LEAST_M || length_m < Strut::LEAST_M {
            c.complain(
                &["struts", &strut.name, "head_height"],
                UnitText::new(|u| {
                    format!(
                        "a strut rises by {} at least from its foot; aim it higher",
                        mm(u, Strut::LEAST_M)
                    )
                }),
            );
        }
    }
}

/// Nothing on the ground stands in another part or on a limb.
fn parts_stand_apart(c: &Check<'_>) {
    let parts = c.parts();
    let limbs: Vec<GroundPart<'_>> = c
        .scene
        .limbs
        .iter()
        .map(|l| GroundPart {
            list: "casualty",
            noun: "limb",
            name: &l.name,
            solid: Solid::around(l.at, l.size, l.thickness_m),
        })
        .collect();
    for (i, part) in parts.iter().enumerate() {
        for other in limbs.iter().chain(&parts[..i]) {
            // What has a sole plate stands on it.
            if part.list == other.list && part.name == other.name {
                continue;
            }
            let [x, z] = part.solid.overlap(&other.solid);
            if x > SLACK_M && z > SLACK_M {
                c.complain(
                    &[part.list, part.name, "at"],
                    UnitText::new(|u| {
                        format!(
                            "overlaps the {} \"{}\" by {} along the vehicle and {} across it; move \
                         one of them by the smaller of the two",
                            other.noun,
                            other.name,
                            mm(u, x),
                            mm(u, z)
                        )
                    }),
                );
            }
        }
    }
}

/// No part stands higher than the room under the vehicle above it.
fn parts_stand_clear_of_the_vehicle(c: &Check<'_>) {
    for part in c.parts() {
        if let Some(clash) = c.envelope.clash(&part.solid) {
            c.complain(
                &[part.list, part.name, "at"],
                UnitText::new(|u| {
                    format!(
                        "the {} stands {} high but the vehicle's {} is {} above the ground there; \
                     move it or make it lower",
                        part.noun,
                        mm(u, part.solid.top),
                        clash.part,
                        mm(u, clash.height_m)
                    )
                }),
            );
        }
    }
}

/// Void fill, captures and wedges are cut to the face above them: the vehicle must be
/// above all of them, also once it has settled or tipped a little.
fn packing_has_the_vehicle_above_it(c: &Check<'_>) {
    const SETTLES_M: f64 = 0.02;
    let scene = c.scene;
    let square = |length_m: f64| [length_m; 2];
    let void_fill = scene.void_fill.iter().map(|v| {
        let key = ["void_fill", v.name.as_str(), "at"];
        (key, v.at, square(v.length_m))
    });
    let captures = scene.captures.iter().filter(|v| !v.is_under_beam()).map(|v| {
        let key = ["captures", v.name.as_str(), "at"];
        (key, v.at, square(v.length_m))
    });
    let wedges = scene.wedges.iter().map(|w| {
        let (stack, _) = c.stack_under(w.on);
        // The bags on a wedge may stick out beyond the vehicle: its middle half gives the slope.
        let under_bags = matches!(w.on, CarriedBy::Stack(_));
        let size = if under_bags { w.size.map(|side| side / 2.0) } else { w.size };
        (["wedges", w.name.as_str(), "size"], scene.stacks[stack].at, size)
    });
    for (key, at, size) in void_fill.chain(captures).chain(wedges) {
        let half = size.map(|s| s / 2.0 + SETTLES_M);
        let corner = |sx: f64, sz: f64| [at[0] + sx * half[0], at[1] + sz * half[1]];
        let corners = [corner(-1.0, -1.0), corner(-1.0, 1.0), corner(1.0, 1.0), corner(1.0, -1.0)];
        if let Some([x, z]) = corners.into_iter().find(|at| c.envelope.underside(*at).is_none()) {
            c.complain(
                &key,
                UnitText::new(|u| {
                    format!(
                        "no part of the vehicle is above x {}, z {}, a corner of it; move it under \
                     the vehicle or make it smaller",
                        place(u, x),
                        place(u, z)
                    )
                }),
            );
        }
    }
}

/// Void fill bears on all of the wedges on it. Under an edge of the roof, or a corner of the
/// outline, they follow the face over their middles only.
fn void_fill_follows_the_face_above_it(c: &Check<'_>) {
    for fill in &c.scene.void_fill {
        let light_m = Footprint::on_crib(fill.at, fill.timber, fill.length_m)
            .into_iter()
            .filter_map(|foot| CutFace::under(foot, |at| c.envelope.underside(at)))
            .fold(0.0, |most, cut| cut.light_m.max(most));
        if light_m > SLACK_M {
            c.complain(
                &["void_fill", &fill.name, "at"],
                UnitText::new(|u| {
                    format!(
                        "the face above it bends: wedges that touch it over their middles leave up \
                     to {} of light at their ends (limit {}); move it away from the edge of roof \
                     or body, or make it shorter",
                        mm(u, light_m),
                        mm(u, SLACK_M)
                    )
                }),
            );
        }
    }
}

/// A trapped limb lies under body or roof.
fn limbs_lie_under_the_vehicle(c: &Check<'_>) {
    for limb in &c.scene.limbs {
        if c.envelope.underside(limb.at).is_none() {
            c.complain(
                &["casualty", &limb.name, "at"],
                UnitText::new(|u| {
                    format!(
                        "no part of the vehicle is above x {}, z {}, so nothing traps it; move it \
                     under the vehicle",
                        place(u, limb.at[0]),
                        place(u, limb.at[1])
                    )
                }),
            );
        }
    }
}

/// A limb is trapped, not crushed: the room left for it is a fair share of its thickness.
fn limbs_have_room(c: &Check<'_>) {
    for limb in &c.scene.limbs {
        let solid = Solid::around(limb.at, limb.size, limb.thickness_m);
        let least = CRUSHED_SHARE * limb.thickness_m;
        if let Some(above) = c.envelope.underside_over(&solid)
            && above.height_m < least
        {
            c.complain(
                &["casualty", &limb.name, "at"],
                UnitText::new(|u| {
                    format!(
                        "the vehicle's {} leaves {} for a limb {} thick, less than {:.0} % of it \
                     ({}); move the limb to where there is more room",
                        above.part,
                        mm(u, above.height_m.max(0.0)),
                        mm(u, limb.thickness_m),
                        CRUSHED_SHARE * 100.0,
                        mm(u, least)
                    )
                }),
            );
        }
    }
}

/// Where a scene says nothing of how its casualty lies, what is said for it.
fn lay_told(c: &Check<'_>, body: &Body, u: UnitSystem) -> String {
    if !c.scene.people.is_empty() {
        return String::new();
    }
    let p = &body.person;
    format!(
        " (the scene says nothing of how its casualty lies, so that it lies {}, hips at x {}, z \
         {}, head towards {}; `people` lays it otherwise)",
        p.lies.word(),
        place(u, p.at[0]),
        place(u, p.at[1]),
        u.angle(p.head_rad)
    )
}

/// The bodies of those of whom the scene says how they lie: of nobody else is more asked than
/// that nothing stands in them.
fn said<'b>(c: &'b Check<'_>) -> impl Iterator<Item = &'b Body> {
    c.bodies.iter().filter(|_| !c.scene.people.is_empty())
}

/// Each trapped part lies where its pad does.
fn bodies_reach_what_is_trapped(c: &Check<'_>) {
    for body in said(c) {
        for misfit in &body.misfits {
            let limb = &c.scene.limbs[misfit.limb];
            let (part, who) = (limb.part.word(), &body.person.name);
            let text = |u: UnitSystem| match &misfit.why {
                MisfitReason::Reach { joint, at, far_m, least_m, most_m } => {
                    let (way, by_m) = match far_m > most_m {
                        true => ("towards it", far_m - most_m),
                        false => ("away from it", least_m - far_m),
                    };
                    format!(
                        "the {part} of \"{who}\" cannot lie there: its {joint} is at x {}, z {}, \
                         {} away, and it reaches {} to {}; move the person's hips by {} {way}, or \
                         turn the person",
                        place(u, at[0]),
                        place(u, at[1]),
                        mm(u, *far_m),
                        mm(u, *least_m),
                        mm(u, *most_m),
                        mm(u, by_m.max(1e-3))
                    )
                }
                MisfitReason::Beside { off_m } => format!(
                    "the {part} of \"{who}\" lies {} beside it; move the person's hips by that",
                    mm(u, *off_m)
                ),
                MisfitReason::Taken => format!(
                    "the {part} of \"{who}\" is trapped by another pad already; say the other \
                     `side`, another `part`, or whose it is (`of`)"
                ),
            };
            c.complain(&["casualty", &limb.name, "at"], UnitText::new(text));
        }
    }
}

/// What of a body lies on the ground.
fn on_the_ground(body: &Body) -> impl Iterator<Item = &Segment> {
    body.segments.iter().filter(|segment| segment.outside)
}

/// The part of a body that a box on the ground stands in deepest, and how deep, m.
fn deepest<'b>(body: &'b Body, solid: &Solid) -> Option<(&'b Segment, f64)> {
    on_the_ground(body)
        .filter(|segment| segment.bottom_m() + SLACK_M < solid.top)
        .filter_map(|segment| Some((segment, segment.overlap_m(solid)?)))
        .filter(|(_, deep_m)| *deep_m > SLACK_M)
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// The shortest way along or across the vehicle by which a box gets clear of a body: which of
/// the two, and how far, m.
fn way_out(body: &Body, solid: &Solid) -> (usize, f64) {
    const STEP_M: f64 = 0.01;
    /// Steps that are tried at once, before the last of them one by one.
    const STRIDE: u32 = 8;
    const STRIDES: u32 = 25;
    let clear = |k: u32| {
        let far = STEP_M * f64::from(k);
        [(0, far), (0, -far), (1, far), (1, -far)].into_iter().find(|&(axis, far)| {
            let mut moved = *solid;
            let span = if axis == 0 { &mut moved.x } else { &mut moved.z };
            *span = span.map(|end| end + far);
            deepest(body, &moved).is_none()
        })
    };
    let far = (1..=STRIDES).map(|k| STRIDE * k).find(|&k| clear(k).is_some());
    let far = far.unwrap_or(STRIDE * STRIDES);
    let near = (far - STRIDE + 1..=far).find_map(clear);
    near.unwrap_or((0, STEP_M * f64::from(far)))
}

/// Nothing on the ground stands in a body. Void fill stands up to the vehicle and a capture
/// follows it, so that neither passes under a part of a body.
fn nothing_stands_in_a_body(c: &Check<'_>) {
    for part in c.parts() {
        let grows = matches!(part.list, "void_fill" | "captures");
        let top = if grows { f64::INFINITY } else { part.solid.top };
        let solid = Solid { top, ..part.solid };
        // What stands in a trapped limb itself is told already.
        let in_a_limb = c.scene.limbs.iter().any(|limb| {
            let pad = Solid::around(limb.at, limb.size, limb.thickness_m);
            part.solid.overlap(&pad).iter().all(|shared| *shared > SLACK_M)
        });
        if in_a_limb {
            continue;
        }
        for body in &c.bodies {
            let Some((segment, deep_m)) = deepest(body, &solid) else { continue };
            let (axis, far_m) = way_out(body, &solid);
            let along = if axis == 0 { "x" } else { "z" };
            c.complain(
                &[part.list, part.name, "at"],
                UnitText::new(|u| {
                    format!(
                        "the {} \"{}\" stands {} deep in the {} of \"{}\"; move it by {} along {along}, \
                         or lay the person otherwise{}",
                        part.noun,
                        part.name,
                        mm(u, deep_m),
                        segment.say(),
                        body.person.name,
                        show(u, Length, far_m),
                        lay_told(c, body, u)
                    )
                }),
            );
        }
    }
}

/// The vehicle lies on the parts of bodies that the scene says are trapped, and on no other.
/// What is close beside a trapped part is pressed with it. Who is inside has the vehicle below.
fn the_vehicle_lies_on_nobody_else(c: &Check<'_>) {
    for body in said(c).filter(|body| !body.person.inside) {
        let worst = on_the_ground(body)
            .filter(|segment| !segment.held)
            .flat_map(|segment| segment.tops().into_iter().map(move |top| (segment, top)))
            .filter_map(|(segment, (at, top_m))| {
                let room_m = c.envelope.underside(at)?;
                Some((segment, at, top_m, room_m))
            })
            .filter(|(_, at, ..)| !body.beside_held(*at))
            .filter(|(.., top_m, room_m)| *room_m < (1.0 - FreePart::GIVES_SHARE) * top_m)
            .max_by(|a, b| (a.2 - a.3).total_cmp(&(b.2 - b.3)));
        let Some((segment, at, top_m, room_m)) = worst else { continue };
        c.complain(
            &["people", &body.person.name, "at"],
            UnitText::new(|u| {
                format!(
                    "the vehicle would lie on the {} of \"{}\": at x {}, z {} it leaves {} for {}; \
                     lay the person otherwise, or say in `casualty` that this part is trapped",
                    segment.say(),
                    body.person.name,
                    place(u, at[0]),
                    place(u, at[1]),
                    mm(u, room_m.max(0.0)),
                    mm(u, top_m)
                )
            }),
        );
    }
}

/// A sole plate is there to be wider than what stands on it.
fn soles_are_wider_than_what_they_carry(c: &Check<'_>) {
    for (list, name, _, length_m, sole) in soles(c.scene) {
        let side = sole.size[0].min(sole.size[1]);
        if side + SLACK_M < length_m {
            c.complain(
                &[list, name, "sole"],
                UnitText::new(|u| format!(
                    "is {} on its shorter side, but what stands on it is {} wide; take a larger \
                     board or shorter timbers",
                    mm(u, side),
                    mm(u, length_m)
                )),
            );
        }
    }
}

/// Two bags do not lie side by side on one support.
fn supports_carry_one_bag(c: &Check<'_>) {
    for (i, bag) in c.scene.bags.iter().enumerate() {
        if let Some(first) = c.scene.bags[..i].iter().find(|b| b.on == bag.on) {
            c.complain(
                &["bags", &bag.name, "on"],
                format!(
                    "\"{}\" carries the bag \"{}\" already; put this one on \"{}\" or on another \
                     stack",
                    c.name(bag.on),
                    first.name,
                    first.name
                ),
            );
        }
    }
}

/// Bags are stacked two high at most, as their makers allow.
fn at_most_two_bags_in_a_stack(c: &Check<'_>) {
    for (i, bag) in c.scene.bags.iter().enumerate() {
        let (stack, bags) = c.stack_under(CarriedBy::Bag(i));
        if bags > 2 {
            c.complain(
                &["bags", &bag.name, "on"],
                format!(
                    "is bag {bags} on the stack \"{}\"; at most 2 may lie on each other, so add \
                     a layer to the stack instead",
                    c.scene.stacks[stack].name
                ),
            );
        }
    }
}

/// No bag is larger than the stack under it.
fn bags_lie_within_their_stack(c: &Check<'_>) {
    for (i, bag) in c.scene.bags.iter().enumerate() {
        let stack = &c.scene.stacks[c.stack_under(CarriedBy::Bag(i)).0];
        let side = bag.size[0].max(bag.size[1]);
        if side > stack.length_m + SLACK_M {
            c.complain(
                &["bags", &bag.name, "size"],
                UnitText::new(|u| format!(
                    "{} is larger than the stack \"{}\" under it, {} wide; take a smaller bag or \
                     longer timbers",
                    mm(u, side),
                    stack.name,
                    mm(u, stack.length_m)
                )),
            );
        }
    }
}

/// A bag with nothing on it has the vehicle above it.
fn bags_have_something_to_lift(c: &Check<'_>) {
    for (i, bag) in c.scene.bags.iter().enumerate() {
        let here = CarriedBy::Bag(i);
        let at = c.scene.stacks[c.stack_under(here).0].at;
        // Half of it under the vehicle at least: a roof rail is narrow.
        let inner = Solid::around(at, bag.size.map(|side| side / 2.0), 0.0);
        let bears = c.envelope.underside_over(&inner).is_some();
        if c.bag_on(here).is_none() && !c.carries_beam(here) && !bears {
            c.complain(
                &["bags", &bag.name, "on"],
                UnitText::new(|u| format!(
                    "nothing lies on it, and the vehicle is not above x {}, z {}; move its stack \
                     under the vehicle or rest the beam on it",
                    place(u, at[0]),
                    place(u, at[1])
                )),
            );
        }
    }
}

/// No bag has two hoses at once, nor both legs of one.
fn bags_have_one_hose(c: &Check<'_>) {
    let outlets = c.scene.air.outlets.iter();
    let legs: Vec<(&str, &str, usize)> = outlets
        .flat_map(|o| {
            let second = o.and.map(|bag| (o.name.as_str(), "and", bag));
            std::iter::once((o.name.as_str(), "to", o.to)).chain(second)
        })
        .collect();
    for (i, &(outlet, field, bag)) in legs.iter().enumerate() {
        if let Some((first, ..)) = legs[..i].iter().find(|(.., other)| *other == bag) {
            c.complain(
                &["air", "outlets", outlet, field],
                format!(
                    "the bag \"{}\" has the hose of \"{first}\" already; send this one to \
                     another bag",
                    c.scene.bags[bag].name
                ),
            );
        }
    }
}

/// The beam lies on the top of what it rests on, with nothing between.
fn beam_rests_on_tops(c: &Check<'_>) {
    let Some(beam) = &c.scene.beam else { return };
    for &support in &beam.rests_on {
        if let Some(bag) = c.bag_on(support) {
            c.complain(
                &["beam", "rests_on"],
                format!(
                    "the bag \"{}\" lies on \"{}\", so the beam cannot rest there; name the \
                     topmost bag",
                    c.scene.bags[bag].name,
                    c.name(support)
                ),
            );
        }
    }
}

/// The tops that carry the beam are equally high before the lift.
fn beam_rests_level(c: &Check<'_>) {
    /// What a shim makes good, m.
    const SHIM_M: f64 = 0.015;
    let Some(beam) = &c.scene.beam else { return };
    let Some(&first) = beam.rests_on.first() else { return };
    for &support in &beam.rests_on {
        let step = c.under_beam(beam, support) - c.under_beam(beam, first);
        if step.abs() > SHIM_M {
            c.complain(
                &["beam", "rests_on"],
                UnitText::new(|u| {
                    format!(
                        "\"{}\" stands {} high and \"{}\" {}, more than {} apart; make the stacks \
                     equally high with layers or pads",
                        c.name(first),
                        mm(u, c.under_beam(beam, first)),
                        c.name(support),
                        mm(u, c.under_beam(beam, support)),
                        mm(u, SHIM_M)
                    )
                }),
            );
        }
    }
}

/// The beam sticks out of the body on both sides and lies over all it rests on.
fn beam_reaches_over_its_supports(c: &Check<'_>) {
    /// The least length of beam on a support that can be tried, m.
    const BEARING_M: f64 = 0.05;
    let Some(beam) = &c.scene.beam else { return };
    let half = beam.length_m / 2.0;
    let ends = [beam.at[1] - half, beam.at[1] + half];
    let body = c.scene.vehicle.half_width.body;
    if ends[0] > -body || ends[1] < body {
        c.complain(
            &["beam", "length"],
            UnitText::new(|u| {
                format!(
                    "reaches from z {} to {}, but the body from {} to {}; take a longer beam or \
                 centre it",
                    place(u, ends[0]),
                    place(u, ends[1]),
                    place(u, -body),
                    place(u, body)
                )
            }),
        );
    }
    for &support in &beam.rests_on {
        let at = c.scene.stacks[c.stack_under(support).0].at;
        let inner = at[1] - at[1].signum() * c.size(support)[1] / 2.0;
        let bearing = if at[1] < 0.0 { inner - ends[0] } else { ends[1] - inner };
        if bearing < BEARING_M {
            c.complain(
                &["beam", "length"],
                UnitText::new(|u| format!(
                    "reaches from z {} to {}, so that {} of it lie on \"{}\", which begins at z \
                     {}; at least {} is needed: take a longer beam or move the stack in",
                    place(u, ends[0]),
                    place(u, ends[1]),
                    mm(u, bearing.max(0.0)),
                    c.name(support),
                    place(u, inner),
                    mm(u, BEARING_M)
                )),
            );
        }
        let room = (c.size(support)[0] - beam.timber.width_m) / 2.0;
        let off = (at[0] - beam.at[0]).abs();
        if off > room {
            c.complain(
                &["beam", "at"],
                UnitText::new(|u| format!(
                    "passes {} from the middle of \"{}\", which has room for {}; put the beam at \
                     x {}",
                    mm(u, off),
                    c.name(support),
                    mm(u, room.max(0.0)),
                    place(u, at[0])
                )),
            );
        }
    }
}

/// The beam passes each opening it goes through: between its posts, the roof and the belt line.
fn beam_passes_its_openings(c: &Check<'_>) {
    let Some(beam) = &c.scene.beam else { return };
    if c.scene.lies != RestsOn::Roof {
        c.complain(
            &["beam"],
            format!(
                "a beam through the side windows lifts a vehicle on its roof, and this one lies \
                 on its {}; leave it out",
                c.scene.lies.word()
            ),
        );
        return;
    }
    let Some(&first) = beam.rests_on.first() else { return };
    let bottom = c.under_beam(beam, first);
    let height = [bottom, bottom + beam.timber.height_m];
    let half = beam.timber.width_m / 2.0;
    let x = [beam.at[0] - half, beam.at[0] + half];
    let room = c.envelope.opening_heights(x);
    // Shims stand on it up to the belt line.
    let top = room.filter(|_| beam.shims).map_or(height[1], |[_, belt]| belt.max(height[1]));
    for name in &beam.through {
        let opening = c.scene.vehicle.openings.iter().find(|o| o.name == *name);
        let Some(opening) = opening else { continue };
        let [front, rear] = opening.posts.map(|i| &c.scene.vehicle.posts[i]);
        let limits = [height[0], top]
            .map(|y| [c.envelope.post_span(rear, y)[1], c.envelope.post_span(front, y)[0]]);
        let free = [limits[0][0].max(limits[1][0]), limits[0][1].min(limits[1][1])];
        if x[0] < free[0] || x[1] > free[1] {
            c.complain(
                &["beam", "at"],
                UnitText::new(|u| {
                    format!(
                        "runs from x {} to {}, but the {name} is free from {} to {} at its height \
                     and that of its shims; move the beam between its posts",
                        place(u, x[0]),
                        place(u, x[1]),
                        place(u, free[0]),
                        place(u, free[1])
                    )
                }),
            );
        }
    }
    let Some([roof, belt]) = room else {
        c.complain(
            &["beam", "at"],
            UnitText::new(|u| {
                format!("the roof does not pass under x {}; move the beam", place(u, beam.at[0]))
            }),
        );
        return;
    };
    if height[0] < roof || height[1] > belt {
        c.complain(
            &["beam", "rests_on"],
            UnitText::new(|u| {
                format!(
                    "the beam would lie from {} to {} above the ground, but it passes between the \
                 roof at {} and the belt line at {}; change the stacks' layers or pads",
                    mm(u, height[0]),
                    mm(u, height[1]),
                    mm(u, roof),
                    mm(u, belt)
                )
            }),
        );
    }
}

/// Timber that follows the beam has the beam over all of its width, and stands lower.
fn captures_stand_under_the_beam(c: &Check<'_>) {
    for capture in c.scene.captures.iter().filter(|capture| capture.is_under_beam()) {
        let complain = |field: &str, text: UnitText| {
            c.complain(&["captures", &capture.name, field], text);
        };
        let Some(beam) = &c.scene.beam else {
            complain(
                "under",
                "the scene has no beam; bring one, or have it follow the vehicle".into(),
            );
            continue;
        };
        let half = [beam.timber.width_m / 2.0, beam.length_m / 2.0];
        let off = [0, 1].map(|k| (capture.at[k] - beam.at[k]).abs());
        // The beam is narrower than the timber under it, and longer.
        let room = [capture.length_m / 2.0 - half[0], half[1] - capture.length_m / 2.0];
        for (k, along) in ["along the vehicle", "across it"].into_iter().enumerate() {
            if off[k] > room[k] + SLACK_M {
                complain(
                    "at",
                    UnitText::new(move |u| {
                        format!(
                            "its middle is {} {along} from the beam's, which lies over all of it \
                             up to {}; move it by {}",
                            mm(u, off[k]),
                            mm(u, room[k].max(0.0)),
                            mm(u, off[k] - room[k].max(0.0))
                        )
                    }),
                );
            }
        }
        let Some(&first) = beam.rests_on.first() else { continue };
        let (top_m, beam_m) = (capture.height_m(), c.under_beam(beam, first));
        if top_m > beam_m + SLACK_M {
            complain(
                "layers",
                UnitText::new(move |u| {
                    format!(
                        "it stands {} high, and the beam lies at {}; take layers away",
                        mm(u, top_m),
                        mm(u, beam_m)
                    )
                }),
            );
        }
    }
}

/// A step of each step chock goes under the vehicle, and the higher ones stand clear of it.
fn step_chocks_are_snug(c: &Check<'_>) {
    for chock in &c.scene.step_chocks {
        let path = ["step_chocks", chock.name.as_str(), "at"];
        let (edge_m, corners) = (c.edge_m(chock), chock.packer().corners());
        let over = corners.into_iter().all(|at| c.envelope.underside(at).is_some());
        let Some(step) = c.snug_step(chock).filter(|_| over) else {
            let least_m = chock.rise_m + Wedge::LEAST_M;
            let most_m = chock.top_m(chock.steps - 1) + chock.packer_most_m();
            c.complain(
                &path,
                UnitText::new(move |u| {
                    if !over {
                        return "the vehicle is not over all of its step; move it further in"
                            .into();
                    }
                    format!(
                        "the vehicle's edge is {} high there, and its steps with a packer reach \
                         from {} to {}; move it, or take another",
                        mm(u, edge_m),
                        mm(u, least_m),
                        mm(u, most_m)
                    )
                }),
            );
            continue;
        };
        let away = chock.away(c.middle());
        let higher = (step + 1..chock.steps).find_map(|k| {
            let [near, far] = chock.from_step(k, step);
            let middle = [0, 1].map(|i| chock.at[i] + away[i] * (near + far) / 2.0);
            let size = [0, 1].map(|i| if away[i] == 0.0 { chock.width_m } else { far - near });
            let size = size.map(|side| side - 2.0 * SLACK_M);
            c.envelope.clash(&Solid::around(middle, size, chock.top_m(k)))
        });
        if let Some(clash) = higher {
            c.complain(
                &path,
                UnitText::new(move |u| {
                    format!(
                        "its higher steps stand in the vehicle's {}, {} above the ground there; \
                         move it outwards",
                        clash.part,
                        mm(u, clash.height_m)
                    )
                }),
            );
        }
    }
}

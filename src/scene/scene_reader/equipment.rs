//! Reads who is trapped and what a crew sets up.

use crate::scene::equipment::{
    Bag, Beam, Capture, CarriedBy, Chock, Limb, SolePlate, Stack, Strap, StrapEnd, Strut, VoidFill,
    Wedge,
};
use crate::scene::field_reader::{Fields, all};
use crate::scene::lists::{Lists, Named, unknown};
use crate::scene::person::Person;
use crate::scene::problem::show;
use crate::scene::schema::entry::{Nested, Text, Typed};
use crate::scene::schema::{
    bag, beam, capture, chock, limb, person, sole, stack, step_chock, strap, strut, void_fill,
    wedge,
};
use crate::scene::step_chock::StepChock;
use crate::scene::vehicle::Vehicle;
use crate::units::Dimension::{Force, Length};
use crate::units::{self, UnitText};

pub(super) fn person(g: &Fields<'_>) -> Option<Person> {
    let at = g.take(person::AT);
    let head_rad = g.take(person::HEAD_TOWARDS);
    let lies = g.take(person::LIES);
    let stature_m = g.take(person::STATURE);
    let inside = g.take(person::INSIDE);
    Some(Person {
        name: g.take(person::NAME)?,
        at: at?,
        lies: lies?,
        head_rad: head_rad?,
        stature_m: stature_m?,
        inside: inside?,
    })
}

/// Whose a limb is: the first person's where it is not said.
fn owner(g: &Fields<'_>, people: &Named<'_>) -> Option<Option<usize>> {
    match g.take_if_there(limb::OF)? {
        Some(name) => people.find(g, limb::OF.key(), &name).map(Some),
        None => Some((!people.items.is_empty()).then_some(0)),
    }
}

/// The gap that frees a limb. Where its thickness is known, that is the lower limit: the table's own
/// is not told besides.
fn gap_needed_m(g: &Fields<'_>, thickness_m: Option<f64>) -> Option<f64> {
    let written = g.written(limb::GAP_NEEDED);
    let needed_m = written.and_then(|text| units::parse(text, Length).ok());
    let (Some(written), Some(thickness)) = (written, thickness_m) else {
        return g.take(limb::GAP_NEEDED);
    };
    if needed_m.is_none_or(|needed| needed >= thickness) {
        return g.take(limb::GAP_NEEDED);
    }
    let thick = Length.show_beside(written, thickness);
    let text =
        format!("{written} cannot free a limb {thick} thick; ask for more than its thickness");
    g.complain(limb::GAP_NEEDED.key(), text);
    None
}

pub(super) fn limb(g: &Fields<'_>, people: &Named<'_>) -> Option<Limb> {
    let of = owner(g, people);
    let part = g.take(limb::PART);
    let side = g.take_if_there(limb::SIDE_OF_BODY);
    let at = g.take(limb::AT);
    let thickness_m = g.take(limb::THICKNESS);
    let size = g.take(limb::SIZE);
    let stiffness_n_m = g.take(limb::STIFFNESS);
    let gap_needed_m = gap_needed_m(g, thickness_m);
    Some(Limb {
        name: g.take(limb::NAME)?,
        of: of?,
        part: part?,
        side: side?,
        at: at?,
        thickness_m: thickness_m?,
        size: size?,
        stiffness_n_m: stiffness_n_m?,
        gap_needed_m: gap_needed_m?,
    })
}

/// A sole plate; a missing one is none, one that could not be read is a failure.
fn sole(g: &Fields<'_>, entry: Typed<Nested>) -> Option<Option<SolePlate>> {
    let Some(s) = g.optional_group(entry) else { return Some(None) };
    let size = s.take(sole::SIZE);
    let thickness_m = s.take(sole::THICKNESS);
    s.end();
    size.zip(thickness_m).map(|(size, thickness_m)| Some(SolePlate { size, thickness_m }))
}

pub(super) fn stack(g: &Fields<'_>) -> Option<Stack> {
    let at = g.take(stack::AT);
    let lean = g.take(stack::LEAN);
    let timber = g.take(stack::TIMBER);
    let length_m = g.take(stack::LENGTH);
    let layers = g.take(stack::LAYERS);
    let members = g.take(stack::MEMBERS);
    let pads_m = g.take(stack::PADS);
    let sole = sole(g, stack::SOLE);
    let strength_share = g.take(stack::STRENGTH);
    let stack = Stack {
        name: g.take(stack::NAME)?,
        at: at?,
        lean: lean?,
        timber: timber?,
        length_m: length_m?,
        layers: layers?,
        members: members?,
        pads_m: pads_m?,
        sole: sole?,
        strength_share: strength_share?,
    };
    let needed = stack.members as f64 * stack.timber.width_m;
    if needed > stack.length_m {
        g.complain(
            stack::MEMBERS.key(),
            UnitText::new(|u| {
                format!(
                    "{} timbers side by side take {}, but a layer is only {} wide; use fewer or \
                     longer timbers",
                    stack.members,
                    show(u, Length, needed),
                    show(u, Length, stack.length_m)
                )
            }),
        );
        return None;
    }
    Some(stack)
}

pub(super) fn void_fill(g: &Fields<'_>) -> Option<VoidFill> {
    let at = g.take(void_fill::AT);
    let timber = g.take(void_fill::TIMBER);
    let length_m = g.take(void_fill::LENGTH);
    let sole = sole(g, void_fill::SOLE);
    Some(VoidFill {
        name: g.take(void_fill::NAME)?,
        at: at?,
        timber: timber?,
        length_m: length_m?,
        sole: sole?,
    })
}

pub(super) fn chock(g: &Fields<'_>) -> Option<Chock> {
    let (at, staked, set) = (g.take(chock::AT), g.take(chock::STAKED), g.take(chock::SET));
    Some(Chock { name: g.take(chock::NAME)?, at: at?, staked: staked?, set: set? })
}

pub(super) fn step_chock(g: &Fields<'_>) -> Option<StepChock> {
    let (at, across) = (g.take(step_chock::AT), g.take(step_chock::ACROSS));
    let (rise_m, tread_m) = (g.take(step_chock::RISE), g.take(step_chock::TREAD));
    let (steps, width_m) = (g.take(step_chock::STEPS), g.take(step_chock::WIDTH));
    Some(StepChock {
        name: g.take(step_chock::NAME)?,
        at: at?,
        across: across?,
        rise_m: rise_m?,
        tread_m: tread_m?,
        steps: steps?,
        width_m: width_m?,
    })
}

pub(super) fn strut(g: &Fields<'_>) -> Option<Strut> {
    let (at, head, head_height_m) =
        (g.take(strut::AT), g.take(strut::HEAD), g.take(strut::HEAD_HEIGHT));
    let (seated, staked) = (g.take(strut::SEATED), g.take(strut::STAKED));
    let (diameter_m, wall_m) = (g.take(strut::DIAMETER), g.take(strut::WALL));
    let (capacity_n, plate_m) = (g.take(strut::CAPACITY), g.take(strut::PLATE));
    if let (Some(diameter), Some(wall)) = (diameter_m, wall_m)
        && 2.0 * wall > diameter
    {
        g.complain(
            strut::WALL.key(),
            UnitText::new(|u| {
                format!(
                    "a tube {} wide has no room for walls of {}; make them thinner",
                    show(u, Length, diameter),
                    show(u, Length, wall)
                )
            }),
        );
        return None;
    }
    Some(Strut {
        name: g.take(strut::NAME)?,
        at: at?,
        head: head?,
        head_height_m: head_height_m?,
        seated: seated?,
        diameter_m: diameter_m?,
        wall_m: wall_m?,
        capacity_n: capacity_n?,
        plate_m: plate_m?,
        staked: staked?,
    })
}

/// The ends of a strap, as many as are written.
fn strap_ends(g: &Fields<'_>, lists: &Lists<'_>) -> Option<Vec<StrapEnd>> {
    let foot = |entry: Typed<Text>| match g.has(entry) {
        true => lists.struts.take(g, entry).map(|strut| Some(StrapEnd::Foot(strut))),
        false => Some(None),
    };
    let (strut, other) = (foot(strap::STRUT), foot(strap::OTHER));
    let (at, height_m) = (g.take_if_there(strap::AT), g.take_if_there(strap::HEIGHT));
    let anchor = g.take_if_there(strap::ANCHOR);
    let vehicle = match (at?, height_m?) {
        (Some([x, z]), Some(y)) => Some(StrapEnd::Vehicle([x, y, z])),
        (None, None) => None,
        _ => {
            g.complain(
                strap::HEIGHT.key(),
                "the end at the vehicle needs `at` and `height`; give both or neither",
            );
            return None;
        }
    };
    let ends = [strut?, other?, vehicle, anchor?.map(StrapEnd::Ground)];
    Some(ends.into_iter().flatten().collect())
}

pub(super) fn strap(g: &Fields<'_>, lists: &Lists<'_>) -> Option<Strap> {
    let ends = strap_ends(g, lists);
    let (preload_n, capacity_n) = (g.take(strap::PRELOAD), g.take(strap::CAPACITY));
    let elongation = g.take(strap::ELONGATION);
    let ends = ends.and_then(|ends| match <[StrapEnd; 2]>::try_from(ends) {
        Ok([one, other]) if one != other => Some([one, other]),
        _ => {
            g.complain(
                strap::STRUT.key(),
                "a strap has two ends in two places: give two of `strut`, `other`, `at` with \
                 `height`, and `anchor`",
            );
            None
        }
    });
    if let (Some(preload), Some(capacity)) = (preload_n, capacity_n)
        && preload > capacity
    {
        g.complain(
            strap::PRELOAD.key(),
            UnitText::new(|u| {
                format!(
                    "{} is more than its lashing capacity of {}; draw it less tight or use a \
                     stronger one",
                    show(u, Force, preload),
                    show(u, Force, capacity)
                )
            }),
        );
        return None;
    }
    Some(Strap {
        name: g.take(strap::NAME)?,
        ends: ends?,
        preload_n: preload_n?,
        capacity_n: capacity_n?,
        elongation: elongation?,
    })
}

pub(super) fn capture(g: &Fields<'_>) -> Option<Capture> {
    let (at, under) = (g.take(capture::AT), g.take(capture::UNDER));
    let (timber, step) = (g.take(capture::TIMBER), g.take(capture::STEP));
    let length_m = g.take(capture::LENGTH);
    let layers = g.take(capture::LAYERS);
    let steps = g.take(capture::STEPS);
    let sole = sole(g, capture::SOLE);
    Some(Capture {
        name: g.take(capture::NAME)?,
        under: under?,
        at: at?,
        timber: timber?,
        length_m: length_m?,
        layers: layers?,
        step: step?,
        steps: steps?,
        sole: sole?,
    })
}

pub(super) fn bag(g: &Fields<'_>, index: usize, lists: &Lists<'_>) -> Option<Bag> {
    let on = g.take(bag::ON).and_then(|name| {
        let on = lists.support(g, bag::ON.key(), &name)?;
        // The order of the list rules out bags that lie on each other in a circle.
        if matches!(on, CarriedBy::Bag(lower) if lower >= index) {
            g.complain(
                bag::ON.key(),
                format!("\"{name}\" comes later in the list; write the lower bag first"),
            );
            return None;
        }
        Some(on)
    });
    let size = g.take(bag::SIZE);
    let working_pa = g.take(bag::WORKING);
    g.end();
    Some(Bag { name: g.take(bag::NAME)?, on: on?, size: size?, working_pa: working_pa? })
}

pub(super) fn wedge(g: &Fields<'_>, lists: &Lists<'_>) -> Option<Wedge> {
    let on = g.take(wedge::ON).and_then(|name| lists.support(g, wedge::ON.key(), &name));
    let size = g.take(wedge::SIZE);
    Some(Wedge { name: g.take(wedge::NAME)?, on: on?, size: size? })
}

pub(super) fn beam(g: &Fields<'_>, lists: &Lists<'_>, vehicle: Option<&Vehicle>) -> Option<Beam> {
    let timber = g.take(beam::TIMBER);
    let length_m = g.take(beam::LENGTH);
    let at = g.take(beam::AT);
    let through = g.take(beam::THROUGH).and_then(|names| {
        let openings = &vehicle?.openings;
        all(names.into_iter().map(|name| {
            if openings.iter().any(|o| o.name == name) {
                return Some(name);
            }
            let known = openings.iter().map(|o| o.name.as_str());
            unknown(g, beam::THROUGH.key(), "opening", &name, known);
            None
        }))
    });
    let rests_on = g.take(beam::RESTS_ON).and_then(|names| {
        all(names.iter().map(|name| lists.support(g, beam::RESTS_ON.key(), name)))
    });
    let pad_m = g.take_if_there(beam::PAD);
    let shims = g.take(beam::SHIMS);
    let strength_share = g.take(beam::STRENGTH);
    g.end();
    Some(Beam {
        timber: timber?,
        length_m: length_m?,
        at: at?,
        through: through?,
        rests_on: rests_on?,
        pad_m: pad_m?,
        shims: shims?,
        strength_share: strength_share?,
    })
}

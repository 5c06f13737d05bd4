//! Where a wedge may lie, and how large it may be.

use super::check::{Check, SLACK_M, mm};
use crate::scene::equipment::{Bag, CarriedBy, Wedge};
use crate::scene::leaning_seat::{LeaningSeat, column_on};
use crate::units::UnitText;

/// Room that a wedge under bags has to spare, m: the vehicle may settle so far before the lift.
const SETTLES_M: f64 = 0.01;

/// A wedge is cut to the vehicle: between it and a wedge on a bag there is nothing, and between
/// it and a wedge on a stack only bags.
pub(super) fn lie_under_the_vehicle_or_under_bags(c: &Check<'_>) {
    for (i, wedge) in c.scene.wedges.iter().enumerate() {
        let first = c.scene.wedges[..i].iter().find(|w| w.on == wedge.on);
        let taken = first.map(|first| {
            format!(
                "\"{}\" carries the wedge \"{}\", and one wedge squares the face; leave one of \
                 them out",
                c.name(wedge.on),
                first.name
            )
        });
        let text = taken.or_else(|| match wedge.on {
            CarriedBy::Bag(bag) => not_on_a_bag(c, bag),
            CarriedBy::Stack(stack) => not_on_a_stack(c, stack),
        });
        if let Some(text) = text {
            c.complain(&["wedges", &wedge.name, "on"], text);
        }
    }
}

/// Why no wedge can lie on a bag, and the mend.
fn not_on_a_bag(c: &Check<'_>, bag: usize) -> Option<String> {
    let on = CarriedBy::Bag(bag);
    let taken = if let Some(upper) = c.bag_on(on) {
        format!("carries the bag \"{}\"", c.scene.bags[upper].name)
    } else if c.carries_beam(on) {
        "carries the beam".to_owned()
    } else {
        let (stack, _) = c.stack_under(on);
        let under = c.scene.wedges.iter().find(|w| w.on == CarriedBy::Stack(stack))?;
        return Some(format!(
            "\"{}\" leans on the wedge \"{}\" and bears square to the face already, and the level \
             foot of a second wedge does not fit it; leave one of them out",
            c.name(on),
            under.name
        ));
    };
    Some(format!(
        "\"{}\" {taken}, but a wedge lies between one top bag and the vehicle; put it on the top \
         bag or leave it out",
        c.name(on)
    ))
}

/// Why no wedge can lie on a stack, and the mend.
fn not_on_a_stack(c: &Check<'_>, stack: usize) -> Option<String> {
    let column = column_on(&c.scene.bags, stack);
    let mut supports = column.iter().map(|&bag| CarriedBy::Bag(bag));
    let name = c.name(CarriedBy::Stack(stack));
    if c.carries_beam(CarriedBy::Stack(stack)) || supports.any(|bag| c.carries_beam(bag)) {
        return Some(format!(
            "\"{name}\" or a bag on it carries the beam. Bags on a wedge lean square to the \
             vehicle's face; leave it out"
        ));
    }
    column.is_empty().then(|| {
        format!(
            "no bag lies on \"{name}\", but a wedge on a stack makes its bags lean; put a bag on \
             the stack, or the wedge on a top bag"
        )
    })
}

/// No wedge is larger than what it lies on, and none under bags is smaller than they are.
pub(super) fn fit_what_they_lie_on(c: &Check<'_>) {
    for wedge in &c.scene.wedges {
        let (most, noun) = (
            c.size(wedge.on),
            match wedge.on {
                CarriedBy::Bag(_) => "bag",
                CarriedBy::Stack(_) => "stack",
            },
        );
        if (0..2).any(|k| wedge.size[k] > most[k] + SLACK_M) {
            c.complain(
                &["wedges", &wedge.name, "size"],
                UnitText::new(|u| {
                    format!(
                        "{} by {} is larger than the {noun} \"{}\" under it, {} by {}; make the \
                         wedge smaller",
                        mm(u, wedge.size[0]),
                        mm(u, wedge.size[1]),
                        c.name(wedge.on),
                        mm(u, most[0]),
                        mm(u, most[1])
                    )
                }),
            );
        }
        let Some((stack, seat)) = seat(c, wedge) else { continue };
        // The wedge's upper face is longer than its foot.
        let face = [0, 1].map(|k| wedge.size[k] * seat.slope[k].hypot(1.0));
        let bags = column_on(&c.scene.bags, stack);
        let wider = |bag: &Bag| (0..2).any(|k| bag.size[k] > face[k] + SLACK_M);
        if let Some(bag) = bags.into_iter().map(|i| &c.scene.bags[i]).find(|bag| wider(bag)) {
            c.complain(
                &["wedges", &wedge.name, "size"],
                UnitText::new(|u| {
                    format!(
                        "its upper face, {} by {}, is smaller than the bag \"{}\" on it, {} by {}; \
                         make the wedge larger or take a smaller bag",
                        mm(u, face[0]),
                        mm(u, face[1]),
                        bag.name,
                        mm(u, bag.size[0]),
                        mm(u, bag.size[1])
                    )
                }),
            );
        }
    }
}

/// The stack under a wedge, and the face that it is cut to under the bags there.
fn seat(c: &Check<'_>, wedge: &Wedge) -> Option<(usize, LeaningSeat)> {
    let CarriedBy::Stack(stack) = wedge.on else { return None };
    let above = |at| c.envelope.underside(at);
    Some((stack, LeaningSeat::of(wedge, &c.scene.stacks, &c.scene.bags, above)?))
}

/// A wedge under bags is as thick as the room that the stack and the empty bags leave.
pub(super) fn under_bags_have_room(c: &Check<'_>) {
    for wedge in &c.scene.wedges {
        let Some((stack, seat)) = seat(c, wedge) else { continue };
        let [thin, thick] = seat.ends_m();
        let (least, most) = (Wedge::LEAST_M + SETTLES_M, Wedge::UNDER_BAGS_MOST_M);
        let name = &c.scene.stacks[stack].name;
        if thin < least {
            c.complain(
                &["wedges", &wedge.name, "on"],
                UnitText::new(|u| {
                    format!(
                        "between the stack \"{name}\" and its bags there is room for a thin end of \
                         {}, less than {}; take a layer or a pad off the stack",
                        mm(u, thin.max(0.0)),
                        mm(u, least)
                    )
                }),
            );
        } else if thick > most {
            c.complain(
                &["wedges", &wedge.name, "on"],
                UnitText::new(|u| {
                    format!(
                        "between the stack \"{name}\" and its bags it would be {} thick at one end \
                         and {} at the other, more than {}; add a layer to the stack, or lift where \
                         the face is less steep",
                        mm(u, thin),
                        mm(u, thick),
                        mm(u, most)
                    )
                }),
            );
        }
    }
}

//! Reads what the crew is not told.

use crate::scene::faults::{Fault, HiddenFault};
use crate::scene::field_reader::Fields;
use crate::scene::lists::{Lists, Named};
use crate::scene::schema::fault;

pub(super) fn hidden(
    g: &Fields<'_>,
    lists: &Lists<'_>,
    hoses: &Named<'_>,
    has_beam: bool,
) -> Option<HiddenFault> {
    let keys: Vec<&'static str> = fault::GROUP.alternatives().map(|field| field.key).collect();
    let given: Vec<&'static str> = keys.iter().copied().filter(|key| g.has_key(key)).collect();
    if given.len() != 1 {
        let found = if given.is_empty() { "none".into() } else { given.join(" and ") };
        g.complain(
            "",
            format!(
                "give exactly one failure per fault; found {found}; choose one of {}",
                keys.join(", ")
            ),
        );
        return None;
    }
    let at_s = g.take(fault::AT);
    let fault = if g.has(fault::HOSE) {
        hoses.take(g, fault::HOSE).map(|outlet| Fault::Burst { outlet })
    } else if g.has(fault::VALVE) {
        hoses.take(g, fault::VALVE).map(|outlet| Fault::Valve { outlet })
    } else if g.has(fault::CROSS) {
        let one = hoses.take(g, fault::CROSS);
        let other = hoses.take(g, fault::WITH);
        one.zip(other).map(|(one, other)| Fault::Cross { outlets: [one, other] })
    } else if g.has(fault::LEAK) {
        let bag = lists.bags.take(g, fault::LEAK);
        let bore_m = g.take(fault::BORE);
        bag.zip(bore_m).map(|(bag, bore_m)| Fault::Leak { bag, bore_m })
    } else if g.has(fault::REGULATOR) {
        g.take(fault::REGULATOR).map(|pa| Fault::Regulator { pa })
    } else if g.has(fault::CYLINDER) {
        g.take(fault::CYLINDER).map(|pa| Fault::Cylinder { pa })
    } else if g.has(fault::CRACK) {
        let what = lists.cracked(g, fault::CRACK, has_beam);
        what.zip(g.take(fault::TO)).map(|(what, left)| Fault::Crack { what, left })
    } else if g.has(fault::SLICK) {
        let under = lists.standing(g, fault::SLICK);
        under.zip(g.take(fault::TO)).map(|(under, left)| Fault::Slick { under, left })
    } else {
        load(g)
    };
    g.end();
    Some(HiddenFault { fault: fault?, at_s: at_s? })
}

fn load(g: &Fields<'_>) -> Option<Fault> {
    let kg = g.take(fault::LOAD);
    let place = g.take_or(fault::PLACE, Vec::new())?;
    let &[x, y, z] = place.as_slice() else {
        g.complain(
            fault::PLACE.key(),
            "needs three lengths in the vehicle's own frame: forwards from the middle of the \
             wheelbase, up from the ground it drives on, to its right; such as [\"-1.7 m\", \
             \"0.7 m\", \"0 m\"]",
        );
        return None;
    };
    kg.map(|kg| Fault::Load { kg, place_m: [x, y, z] })
}

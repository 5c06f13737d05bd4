//! Reads what the crew is told.

use crate::scene::field_reader::Fields;
use crate::scene::lists::{Lists, Named};
use crate::scene::near::did_you_mean;
use crate::scene::orders::{Order, Until};
use crate::scene::schema::entry::{Names, Typed};
use crate::scene::schema::{order, until};

pub(super) fn order(g: &Fields<'_>, lists: &Lists<'_>, hoses: &Named<'_>) -> Option<Order> {
    let keys: Vec<&'static str> = order::GROUP.alternatives().map(|field| field.key).collect();
    let told: Vec<&'static str> = keys.iter().copied().filter(|key| g.has_key(key)).collect();
    let &[verb] = told.as_slice() else {
        let (found, near) = match told.is_empty() {
            true => {
                let near = g.keys().map(|key| did_you_mean(key, keys.iter().copied()));
                ("none".to_owned(), near.collect::<String>())
            }
            false => (told.join(" and "), String::new()),
        };
        g.complain(
            "",
            format!(
                "give exactly one action per order; found {found}; {near}choose one of {}",
                keys.join(", ")
            ),
        );
        return None;
    };
    if verb == order::WAIT.key() {
        return wait(g, lists);
    }
    let order = named_order(verb, g, lists, hoses);
    g.end();
    order
}

/// An order that names things.
fn named_order(verb: &str, g: &Fields<'_>, lists: &Lists<'_>, hoses: &Named<'_>) -> Option<Order> {
    type Make = fn(Vec<usize>) -> Order;
    let at_once: [(Typed<Names>, &Named<'_>, Make); 5] = [
        (order::STOP, &lists.bags, |bags| Order::Stop { bags }),
        (order::LOCK_OUT, &lists.bags, |bags| Order::LockOut { bags }),
        (order::UNLOCK, &lists.bags, |bags| Order::Unlock { bags }),
        (order::CAPTURE, &lists.captures, |captures| Order::Capture { captures }),
        (order::SET_CHOCKS, &lists.chocks, |chocks| Order::SetChocks { chocks }),
    ];
    if let Some((entry, list, make)) = at_once.iter().find(|(entry, ..)| entry.key() == verb) {
        return list.find_all(g, *entry).map(make);
    }
    if verb == order::MOVE_HOSE.key() {
        let outlet = hoses.take(g, order::MOVE_HOSE);
        let from =
            if g.has(order::FROM) { lists.bags.take(g, order::FROM).map(Some) } else { Some(None) };
        let to = lists.bags.take(g, order::TO);
        return Some(Order::MoveHose { outlet: outlet?, from: from?, to: to? });
    }
    let raises = verb == order::RAISE.key();
    let bags = lists.bags.find_all(g, if raises { order::RAISE } else { order::LOWER });
    let opening = g.take(order::OPENING);
    let until = match g.optional_group(order::UNTIL) {
        Some(u) => until(&u, lists),
        None => Some(Until::Now),
    };
    if raises && matches!(until, Some(Until::OnTimber(_))) {
        g.complain(
            order::UNTIL.key(),
            "a raise takes load off timber; use `on_timber` with `lower` or `wait`",
        );
        return None;
    }
    let at_most_s = at_most(g, until);
    let (bags, opening, until, at_most_s) = (bags?, opening?, until?, at_most_s?);
    Some(if raises {
        Order::Raise { bags, opening, until, at_most_s }
    } else {
        Order::Lower { bags, opening, until, at_most_s }
    })
}

fn wait(g: &Fields<'_>, lists: &Lists<'_>) -> Option<Order> {
    let until = g.group(order::WAIT).and_then(|u| until(&u, lists));
    if matches!(until, Some(Until::Height(_))) {
        g.complain(
            order::WAIT.key(),
            "a wait names no bags; wait for `for`, `rise`, `gap` or `on_timber`",
        );
        return None;
    }
    let at_most_s = at_most(g, until);
    g.end();
    until.zip(at_most_s).map(|(until, at_most_s)| Order::Wait { until, at_most_s })
}

/// After how long an order is given up; by default one minute, or as long as it was told.
fn at_most(g: &Fields<'_>, until: Option<Until>) -> Option<f64> {
    let default = match until {
        Some(Until::For(s)) => s,
        _ => 60.0,
    };
    g.take_or(order::AT_MOST, default)
}

fn until(u: &Fields<'_>, lists: &Lists<'_>) -> Option<Until> {
    let keys: Vec<&'static str> = until::GROUP.alternatives().map(|field| field.key).collect();
    let given = keys.iter().filter(|key| u.has_key(key)).count();
    if given != 1 {
        u.complain(
            "",
            format!(
                "needs exactly one of {}, not {given}; such as (rise: \"60 mm\")",
                keys.join(", ")
            ),
        );
        return None;
    }
    let until = if u.has(until::FOR) {
        u.take(until::FOR).map(Until::For)
    } else if u.has(until::HEIGHT) {
        u.take(until::HEIGHT).map(Until::Height)
    } else if u.has(until::RISE) {
        u.take(until::RISE).map(Until::Rise)
    } else if u.has(until::ON_TIMBER) {
        u.take(until::ON_TIMBER).map(Until::OnTimber)
    } else {
        let m = u.take(until::GAP);
        let limb = lists.limbs.take(u, until::AT);
        limb.zip(m).map(|(limb, m)| Until::Gap { limb, m })
    };
    u.end();
    until
}

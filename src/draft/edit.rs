//! Edits: the only way a set-up is changed. Each makes a new tree out of the old one.

use super::error::EditError;
use super::item::{Item, ItemKind, hand, items, text};
use super::names::{self, drop_field, list_mut, mirrored, twin};
use super::place;
use super::proposal;
use crate::scene::schema::{person, scene as scene_field, word_keys};
use crate::scene::tree::{Node, Value};
use crate::scene::{CarriedBy, Envelope, Scene, read_and_check};
use crate::units::{self, Dimension, UnitSystem};
use std::borrow::Cow;

#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Brings a thing to the likeliest place, or where it is told, m; a bag or a wedge
    /// onto a stack or a bag.
    Add {
        kind: ItemKind,
        at: Option<[f64; 2]>,
        on: Option<Item>,
    },
    Remove(Item),
    /// Puts the middle of a thing to a place on the ground, m.
    Move {
        item: Item,
        at: [f64; 2],
    },
    /// Gives one field a value.
    Set {
        item: Item,
        key: &'static str,
        value: Value,
    },
    /// Another size the other way round: a quarter turn.
    Turn(Item),
    /// Onto the middle line; a beam also into the middle of its opening.
    Centre(Item),
    /// The same thing on the other side, with what lies on it.
    Mirror(Item),
    Rename(Item, String),
    /// Takes away everything that a crew brought, and the script of orders.
    Bare,
    /// Another script of orders.
    Orders(Vec<Node>),
}

impl Edit {
    /// What it does, in few words.
    pub(super) fn say(&self, doc: &Node) -> String {
        let name = |item: &Item| {
            let name = item.name(doc);
            let noun = item.kind.noun();
            if name.contains(noun) { name } else { format!("{noun} {name}") }
        };
        match self {
            Self::Add { kind, .. } => format!("add a {}", kind.noun()),
            Self::Remove(item) => format!("remove {}", name(item)),
            Self::Move { item, .. } => format!("move {}", name(item)),
            Self::Set { item, .. } => format!("change {}", name(item)),
            Self::Turn(item) => format!("turn {}", name(item)),
            Self::Centre(item) => format!("centre {}", name(item)),
            Self::Mirror(item) => format!("mirror {}", name(item)),
            Self::Rename(item, _) => format!("rename {}", name(item)),
            Self::Bare => "clear the set-up".into(),
            Self::Orders(_) => "change the orders".into(),
        }
    }

    /// The tree after it, and the thing made or touched. With `both`, what is done to one
    /// side is done to its twin on the other too.
    ///
    /// # Errors
    /// Why it cannot be done.
    pub(super) fn apply(
        &self,
        doc: &Node,
        scene: &Scene,
        both: bool,
        units: UnitSystem,
    ) -> Result<(Node, Option<Item>), EditError> {
        let doc = &*without_its_lesson(doc);
        let mut new = doc.clone();
        let other = |item: &Item| if both { twin(doc, *item) } else { None };
        let touched = match self {
            Self::Add { kind, at, on } => {
                let item;
                (new, item) = add(doc, scene, *kind, (*at, *on), both, units)?;
                Some(item)
            }
            Self::Remove(item) => {
                remove(doc, &mut new, *item, other(item))?;
                None
            }
            Self::Move { item, at } => {
                if item.node(doc).and_then(|n| n.get("at")).is_none() {
                    return Err(EditError::NoPlace);
                }
                if let Some(twin) = other(item) {
                    set(&mut new, twin, "at", place::pair(units, [at[0], -at[1]]))?;
                }
                set(&mut new, *item, "at", place::pair(units, *at))?;
                Some(*item)
            }
            Self::Set { item, key, value } => {
                if item.kind == ItemKind::Outlet {
                    names::write_out_hoses(&mut new);
                }
                if let Some(twin) = other(item) {
                    set(&mut new, twin, key, hand(opposite(doc, key, value)))?;
                }
                set(&mut new, *item, key, hand(value.clone()))?;
                Some(*item)
            }
            Self::Turn(item) => {
                turn(doc, &mut new, std::iter::once(*item).chain(other(item)))?;
                Some(*item)
            }
            Self::Centre(item) => {
                centre(doc, &mut new, scene, *item, units)?;
                Some(*item)
            }
            Self::Mirror(item) => Some(mirror(&mut new, *item, units)?),
            Self::Rename(item, name) => {
                if item.kind == ItemKind::Outlet {
                    names::write_out_hoses(&mut new);
                }
                names::rename(&mut new, *item, name)?;
                Some(*item)
            }
            Self::Bare => {
                ItemKind::BROUGHT.into_iter().for_each(|kind| names::take_away(&mut new, kind));
                drop_field(&mut new, scene_field::FAULTS.key());
                drop_field(&mut new, scene_field::ORDERS.key());
                None
            }
            Self::Orders(orders) => {
                new.set(scene_field::ORDERS.key(), hand(Value::List(orders.clone())))?;
                None
            }
        };
        Ok((new, touched))
    }
}

/// Takes a thing and its twin away.
fn remove(doc: &Node, new: &mut Node, item: Item, twin: Option<Item>) -> Result<(), EditError> {
    if !ItemKind::BROUGHT.contains(&item.kind) && item.kind != ItemKind::Person {
        return Err(EditError::Found);
    }
    // From the end, so that the first removal does not shift the second.
    let mut both: Vec<Item> = std::iter::once(item).chain(twin).collect();
    both.sort_by_key(|i| std::cmp::Reverse(i.index));
    both.into_iter().for_each(|item| names::remove(new, item));
    // A scene without a list of hoses has one for each bag: the last one stays.
    if let (Some(hose), [], [bag, ..]) = (
        items(doc, ItemKind::Outlet).first(),
        &items(new, ItemKind::Outlet)[..],
        &items(new, ItemKind::Bag)[..],
    ) {
        if item.kind == ItemKind::Outlet {
            return Err(EditError::LastHose);
        }
        let to = text(bag.name(new));
        if let (Some(mut hose), Some(list)) =
            (hose.node(doc).cloned(), list_mut(new, ItemKind::Outlet))
        {
            hose.set("to", to)?;
            list.push(hose);
        }
    }
    Ok(())
}

const HEAD_TOWARDS: &str = person::HEAD_TOWARDS.key();

/// Where a person's head lies, rad.
fn head_rad(doc: &Node, item: Item) -> Option<f64> {
    match &item.node(doc)?.get(HEAD_TOWARDS)?.value {
        Value::Text(text) => units::parse(text, Dimension::Angle).ok(),
        _ => None,
    }
}

/// A way over the ground as it is written, within half a turn either way.
fn turned(rad: f64) -> Node {
    let turn = std::f64::consts::TAU;
    let within = rad - turn * (rad / turn).round();
    let degrees = format!("{:.1}", within.to_degrees());
    let degrees = degrees.trim_end_matches('0').trim_end_matches('.');
    text(format!("{} deg", if degrees == "-0" { "0" } else { degrees }))
}

/// Turns things by a quarter.
fn turn(doc: &Node, new: &mut Node, things: impl Iterator<Item = Item>) -> Result<(), EditError> {
    for item in things {
        if item.kind == ItemKind::Person {
            let head = head_rad(doc, item).ok_or(EditError::Square)?;
            set(new, item, HEAD_TOWARDS, turned(head + std::f64::consts::FRAC_PI_2))?;
            continue;
        }
        let size = item.node(doc).and_then(|node| node.get("size")).cloned();
        let Some(Node { value: Value::List(mut sides), .. }) = size else {
            return Err(EditError::Square);
        };
        sides.reverse();
        set(new, item, "size", hand(Value::List(sides)))?;
    }
    Ok(())
}

/// Onto the middle line; a beam also into the middle of its opening.
fn centre(
    doc: &Node,
    new: &mut Node,
    scene: &Scene,
    item: Item,
    units: UnitSystem,
) -> Result<(), EditError> {
    let [x, _] = item.at(doc).ok_or(EditError::NothingToCentre)?;
    let x = match (item.kind, &scene.beam) {
        (ItemKind::Beam, Some(beam)) => opening_middle(scene, &beam.through).unwrap_or(x),
        _ => x,
    };
    set(new, item, "at", place::pair(units, [x, 0.0]))
}

/// A changed scene is no longer the lesson that it was: what its author says of its
/// ending, and where it stands on the shelf, do not hold for it.
fn without_its_lesson(doc: &Node) -> Cow<'_, Node> {
    let mut own = Cow::Borrowed(doc);
    for key in word_keys(|word| !word.outlives_edits) {
        if own.get(key).is_some() {
            drop_field(own.to_mut(), key);
        }
    }
    own
}

/// Whether an edit changed nothing.
pub(super) fn same_set_up(new: &Node, old: &Node) -> bool {
    *new == *without_its_lesson(old)
}

/// Sets one field of a thing.
fn set(doc: &mut Node, item: Item, key: &str, value: Node) -> Result<(), EditError> {
    if item.kind.single() {
        let top = item.kind.way()[0];
        if doc.get(top).is_none_or(|node| node.value == Value::Nothing) {
            doc.set(top, hand(Value::Table(Vec::new())))?;
        }
        return Ok(doc.get_mut(top).ok_or(EditError::Gone)?.set(key, value)?);
    }
    let list = list_mut(doc, item.kind).ok_or(EditError::Gone)?;
    Ok(list.get_mut(item.index).ok_or(EditError::Gone)?.set(key, value)?)
}

/// A value for the twin: places lie on the other side, and names are those of twins where
/// there are such.
fn opposite(doc: &Node, key: &str, value: &Value) -> Value {
    let negative = |node: &Node| match &node.value {
        Value::Text(text) => {
            let text = text.trim();
            let turned = match text.strip_prefix('-') {
                Some(rest) => rest.trim_start().to_owned(),
                None => format!("-{}", text.trim_start_matches('+')),
            };
            self::text(turned)
        }
        _ => node.clone(),
    };
    match (key, value) {
        (HEAD_TOWARDS, Value::Text(_)) => negative(&hand(value.clone())).value,
        ("at" | "lean" | "head" | "anchor", Value::List(pair)) if pair.len() == 2 => {
            Value::List(vec![pair[0].clone(), negative(&pair[1])])
        }
        ("on" | "to" | "strut" | "other", Value::Text(name)) => {
            let other = mirrored(name);
            let kinds = [ItemKind::Stack, ItemKind::Bag, ItemKind::Strut];
            let there = kinds.into_iter().flat_map(|k| items(doc, k)).any(|i| i.name(doc) == other);
            Value::Text(if there { other } else { name.clone() })
        }
        _ => value.clone(),
    }
}

fn push(doc: &mut Node, kind: ItemKind, fields: Vec<(String, Node)>) -> Result<Item, EditError> {
    let node = hand(Value::Table(fields));
    if kind.single() {
        doc.set(kind.way()[0], node)?;
        return Ok(Item::new(kind, 0));
    }
    if list_mut(doc, kind).is_none() {
        let empty = hand(Value::List(Vec::new()));
        match kind.way() {
            [top] => doc.set(top, empty)?,
            [top, rest] => {
                if doc.get(top).is_none_or(|n| n.value == Value::Nothing) {
                    doc.set(top, hand(Value::Table(Vec::new())))?;
                }
                doc.get_mut(top).ok_or(EditError::Unreadable)?.set(rest, empty)?;
            }
            _ => {}
        }
    }
    let list = list_mut(doc, kind).ok_or(EditError::UnreadableList)?;
    list.push(node);
    Ok(Item::new(kind, list.len() - 1))
}

fn add(
    doc: &Node,
    scene: &Scene,
    kind: ItemKind,
    (at, on): (Option<[f64; 2]>, Option<Item>),
    both: bool,
    units: UnitSystem,
) -> Result<(Node, Item), EditError> {
    let mut base = doc.clone();
    if kind == ItemKind::Outlet {
        names::write_out_hoses(&mut base);
    }
    let on: Option<CarriedBy> = on.and_then(|item| proposal::support(scene, &item.name(doc)));
    let proposals = proposal::proposals(scene, kind, at, on, units)?;
    let make = |mut fields: Vec<(String, Node)>| -> Result<(Node, Item), EditError> {
        let mut new = base.clone();
        let of = |key: &str| fields.iter().find(|(k, _)| k == key).map(|(_, n)| n);
        if !kind.single() {
            let named = ["on", "to"].into_iter().find_map(of).and_then(|n| match &n.value {
                Value::Text(name) => Some(name.clone()),
                _ => None,
            });
            let place = of("at").and_then(|node| {
                let with = hand(Value::List(vec![hand(Value::Table(vec![(
                    "at".to_owned(),
                    node.clone(),
                )]))]));
                let probe = hand(Value::Table(vec![("stacks".to_owned(), with)]));
                Item::new(ItemKind::Stack, 0).at(&probe)
            });
            let name = proposal::name_for(&base, kind, place, named.as_deref());
            fields.insert(0, ("name".to_owned(), text(name)));
        }
        let item = push(&mut new, kind, fields)?;
        if both {
            // A thing on the middle line has no other side.
            let _ = mirror(&mut new, item, units);
        }
        Ok((new, item))
    };
    // The only way to place it is taken whatever the rules say of it.
    let proposals = match <[_; 1]>::try_from(proposals) {
        Ok([only]) => return make(only),
        Err(several) => several,
    };
    let before = read_and_check(&base).1.len();
    let mut first = None;
    for fields in proposals {
        let made = make(fields)?;
        if read_and_check(&made.0).1.len() <= before {
            return Ok(made);
        }
        first.get_or_insert(made);
    }
    // None fits: the likeliest is placed all the same, and the rules say what is in its way.
    first.ok_or(EditError::NoPlaceFor { noun: kind.noun() })
}

/// The middle along X of the opening that a beam passes, m.
fn opening_middle(scene: &Scene, through: &[String]) -> Option<f64> {
    let envelope = Envelope::new(&scene.vehicle, scene.lies)?;
    let middles = place::opening_middles(scene, &envelope);
    let names = scene.vehicle.openings.iter().rev().map(|o| &o.name);
    names.zip(middles).find(|(name, _)| through.contains(name)).map(|(_, x)| x)
}

/// The field by which a thing names what it lies on, or is fast to.
fn on_key(kind: ItemKind) -> &'static str {
    match kind {
        ItemKind::Outlet => "to",
        ItemKind::Strap => "strut",
        _ => "on",
    }
}

/// Copies a thing to the other side with what lies on it, their hoses, and the beam's
/// rest on it.
fn mirror(doc: &mut Node, item: Item, units: UnitSystem) -> Result<Item, EditError> {
    if item.kind.single() {
        return Err(EditError::OnlyOne);
    }
    if twin(doc, item).is_some() {
        return Err(EditError::OtherSideTaken { twin: mirrored(&item.name(doc)) });
    }
    let node = item.node(doc).cloned().ok_or(EditError::Gone)?;
    let name = item.name(doc);
    let made = if let Some([x, z]) = item.at(doc) {
        // A strap may go from either side to the middle.
        if z.abs() < 1e-3 && item.kind != ItemKind::Strap {
            return Err(EditError::OnTheMiddleLine);
        }
        let mut copy = node;
        copy.set("name", text(names::free_name(doc, item.kind, &mirrored(&name))))?;
        copy.set("at", place::pair(units, [x, -z]))?;
        if let Some(head) = head_rad(doc, item).filter(|_| item.kind == ItemKind::Person) {
            copy.set(HEAD_TOWARDS, turned(-head))?;
        }
        for key in ["head", "anchor", "strut", "other"] {
            if let Some(value) = copy.get(key).map(|node| opposite(doc, key, &node.value)) {
                copy.set(key, hand(value))?;
            }
        }
        push_node(doc, item.kind, copy)?
    } else {
        let on_key = on_key(item.kind);
        let on = match node.get(on_key).map(|n| &n.value) {
            Some(Value::Text(on)) => on.clone(),
            _ => return Err(EditError::NoOtherSide),
        };
        let across = mirrored(&on);
        let kinds = [ItemKind::Stack, ItemKind::Bag, ItemKind::Strut];
        if !kinds.into_iter().flat_map(|k| items(doc, k)).any(|i| i.name(doc) == across) {
            return Err(EditError::NothingAcross { across, on });
        }
        let mut copy = node;
        copy.set("name", text(names::free_name(doc, item.kind, &mirrored(&name))))?;
        copy.set(on_key, text(across))?;
        for key in ["other", "anchor"] {
            if let Some(value) = copy.get(key).map(|node| opposite(doc, key, &node.value)) {
                copy.set(key, hand(value))?;
            }
        }
        push_node(doc, item.kind, copy)?
    };
    // What lies on it goes with it.
    for kind in [ItemKind::Bag, ItemKind::Wedge, ItemKind::Outlet, ItemKind::Strap] {
        for above in items(doc, kind) {
            let key = on_key(kind);
            let on = above.node(doc).and_then(|n| n.get(key)).map(|n| n.value.clone());
            if on == Some(Value::Text(name.clone())) {
                // What is there already stays as it is.
                let _ = mirror(doc, above, units);
            }
        }
    }
    let twin_name = made.name(doc);
    if let Some(rests) = doc.get_mut("beam").and_then(|beam| beam.get_mut("rests_on"))
        && let Value::List(rests) = &mut rests.value
    {
        let has = |wanted: &str| rests.iter().any(|n| n.value == Value::Text(wanted.to_owned()));
        if has(&name) && !has(&twin_name) {
            rests.push(text(twin_name));
        }
    }
    Ok(made)
}

fn push_node(doc: &mut Node, kind: ItemKind, node: Node) -> Result<Item, EditError> {
    match node.value {
        Value::Table(fields) => push(doc, kind, fields),
        _ => Err(EditError::Unreadable),
    }
}

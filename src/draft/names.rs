//! Names of things, and everything that refers to one by its name.

use super::error::EditError;
use super::item::{Item, ItemKind, hand, items, text};
use crate::scene::schema::{self, Entry, Group, Refers, beam, fault, order, scene};
use crate::scene::tree::{Node, Value};

/// Whether a reference may name a thing of a kind.
fn may_be(refers: Refers, kind: ItemKind) -> bool {
    match refers {
        Refers::Support => matches!(kind, ItemKind::Stack | ItemKind::Bag),
        Refers::Base => matches!(
            kind,
            ItemKind::Stack | ItemKind::VoidFill | ItemKind::Chock | ItemKind::StepChock
        ),
        Refers::Timber => kind == ItemKind::Stack,
        Refers::Bag => kind == ItemKind::Bag,
        Refers::Capture => kind == ItemKind::Capture,
        Refers::Strut => kind == ItemKind::Strut,
        Refers::Chock => kind == ItemKind::Chock,
        Refers::Limb => kind == ItemKind::Limb,
        Refers::Person => kind == ItemKind::Person,
        Refers::Hose => kind == ItemKind::Outlet,
        Refers::Opening | Refers::Post => false,
    }
}

/// What becomes of a reference.
enum Fate {
    Keep,
    Rename(String),
    Drop,
}

/// A list of a tree, or none.
pub(super) fn list_mut(doc: &mut Node, kind: ItemKind) -> Option<&mut Vec<Node>> {
    let here = kind.way().iter().try_fold(doc, |node, key| node.get_mut(key))?;
    match &mut here.value {
        Value::List(items) => Some(items),
        _ => None,
    }
}

/// Settles the fate of the references in a field: one name, or a list of names. False
/// where none is left.
fn settle(owner: &mut Node, key: &str, fate: &dyn Fn(&str) -> Fate) -> bool {
    let Some(node) = owner.get_mut(key) else { return true };
    let one = |node: &mut Node| {
        let Value::Text(name) = &mut node.value else { return true };
        match fate(name.trim()) {
            Fate::Keep => true,
            Fate::Rename(new) => {
                *name = new;
                true
            }
            Fate::Drop => false,
        }
    };
    match &mut node.value {
        Value::List(items) => {
            let had_some = !items.is_empty();
            items.retain_mut(one);
            !(had_some && items.is_empty())
        }
        _ => one(node),
    }
}

/// Settles the references in all fields of a thing. False where one has none left.
fn settle_fields(owner: &mut Node, group: &Group, fate: &dyn Fn(Refers, &str) -> Fate) -> bool {
    group.fields.iter().all(|field| match field.entry {
        Entry::Name(refers) | Entry::Names(refers) => {
            settle(owner, field.key, &|name| fate(refers, name))
        }
        Entry::Group(inner) => {
            owner.get_mut(field.key).is_none_or(|node| settle_fields(node, inner, fate))
        }
        _ => true,
    })
}

/// Settles every reference of the tree. What cannot be without the thing it referred to
/// goes with it; those of them that have names are given.
fn settle_all(doc: &mut Node, fate: &dyn Fn(Refers, &str) -> Fate) -> Vec<(ItemKind, String)> {
    let mut gone = Vec::new();
    let name_of = |node: &Node| match node.get("name").map(|n| &n.value) {
        Some(Value::Text(name)) => name.trim().to_owned(),
        _ => String::new(),
    };
    for (kind, group) in [
        (ItemKind::Bag, schema::bag::GROUP),
        (ItemKind::Wedge, schema::wedge::GROUP),
        (ItemKind::Outlet, schema::outlet::GROUP),
        (ItemKind::Strap, schema::strap::GROUP),
    ] {
        if let Some(list) = list_mut(doc, kind) {
            list.retain_mut(|node| {
                // A Y without its second bag is a hose to the first.
                let and = schema::outlet::AND.key();
                if kind == ItemKind::Outlet && !settle(node, and, &|name| fate(Refers::Bag, name)) {
                    drop_field(node, and);
                }
                let stays = settle_fields(node, &group, fate);
                if !stays {
                    gone.push((kind, name_of(node)));
                }
                stays
            });
        }
    }
    // A limb whose person is gone says no longer whose it is.
    if let Some(limbs) = list_mut(doc, ItemKind::Limb) {
        let of = schema::limb::OF.key();
        for limb in limbs {
            if !settle(limb, of, &|name| fate(Refers::Person, name)) {
                drop_field(limb, of);
            }
        }
    }
    let key = scene::BEAM.key();
    let beam_stays = doc.get_mut(key).is_none_or(|beam| settle_fields(beam, &beam::GROUP, fate));
    if !beam_stays {
        gone.push((ItemKind::Beam, String::new()));
        drop_field(doc, key);
    }
    // Under the name "beam" it is the beam that cracks, where there is one.
    let beam = doc.get(key).is_some_and(|beam| beam.value != Value::Nothing);
    let stack = items(doc, ItemKind::Stack).into_iter().any(|stack| stack.name(doc) == "beam");
    let fate = |refers: Refers, name: &str| match (refers, name) {
        (Refers::Timber, "beam") if beam => Fate::Keep,
        (Refers::Timber, "beam") if !stack => Fate::Drop,
        _ => fate(refers, name),
    };
    for (list, group) in [(scene::FAULTS, fault::GROUP), (scene::ORDERS, order::GROUP)] {
        if let Some(Node { value: Value::List(items), .. }) = doc.get_mut(list.key()) {
            items.retain_mut(|node| settle_fields(node, &group, &fate));
        }
    }
    gone
}

/// Takes away all things of a kind.
pub(super) fn take_away(doc: &mut Node, kind: ItemKind) {
    match kind.way() {
        [top] => drop_field(doc, top),
        [top, rest] => {
            if let Some(group) = doc.get_mut(top) {
                drop_field(group, rest);
            }
        }
        _ => {}
    }
}

pub(super) fn drop_field(doc: &mut Node, key: &str) {
    if let Value::Table(fields) = &mut doc.value {
        fields.retain(|(k, _)| k != key);
    }
}

/// Hoses that the scene leaves to their default, one for each bag, are written out.
pub(super) fn write_out_hoses(doc: &mut Node) {
    if !items(doc, ItemKind::Outlet).is_empty() {
        return;
    }
    let hoses: Vec<Node> = items(doc, ItemKind::Bag)
        .into_iter()
        .map(|bag| text(bag.name(doc)))
        .map(|name| hand(Value::Table(vec![("name".into(), name.clone()), ("to".into(), name)])))
        .collect();
    if hoses.is_empty() {
        return;
    }
    if doc.get("air").is_none() {
        let _ = doc.set("air", hand(Value::Table(Vec::new())));
    }
    if let Some(air) = doc.get_mut("air") {
        if air.value == Value::Nothing {
            air.value = Value::Table(Vec::new());
        }
        let _ = air.set("outlets", hand(Value::List(hoses)));
    }
}

/// Takes a thing away, and what cannot be without it: bags with their stack, wedges with
/// their bag, orders that have nobody left to do them.
pub(super) fn remove(doc: &mut Node, item: Item) {
    let hoses_written = !items(doc, ItemKind::Outlet).is_empty();
    let mut gone = vec![(item.kind, item.name(doc))];
    if item.kind.single() {
        drop_field(doc, item.kind.way()[0]);
    } else if let Some(list) = list_mut(doc, item.kind)
        && item.index < list.len()
    {
        list.remove(item.index);
    }
    while let Some((kind, name)) = gone.pop() {
        let fate = |refers: Refers, other: &str| {
            let by_bag = !hoses_written && kind == ItemKind::Bag && refers == Refers::Hose;
            if other == name && (may_be(refers, kind) || by_bag) { Fate::Drop } else { Fate::Keep }
        };
        gone.extend(settle_all(doc, &fate));
    }
}

/// Gives a thing another name, also where it is referred to.
///
/// # Errors
/// Why it cannot have that name.
pub(super) fn rename(doc: &mut Node, item: Item, new: &str) -> Result<(), EditError> {
    let new = new.trim();
    if new.is_empty() {
        return Err(EditError::EmptyName);
    }
    let old = item.name(doc);
    if old == new {
        return Ok(());
    }
    let taken = items(doc, item.kind).into_iter().any(|other| other.name(doc) == new);
    if taken {
        return Err(EditError::NameTaken { noun: item.kind.noun(), name: new.to_owned() });
    }
    let hoses_written = !items(doc, ItemKind::Outlet).is_empty();
    let fate = |refers: Refers, name: &str| {
        let by_bag = !hoses_written && item.kind == ItemKind::Bag && refers == Refers::Hose;
        if name == old && (may_be(refers, item.kind) || by_bag) {
            Fate::Rename(new.to_owned())
        } else {
            Fate::Keep
        }
    };
    settle_all(doc, &fate);
    let node = list_mut(doc, item.kind).and_then(|list| list.get_mut(item.index));
    Ok(node.ok_or(EditError::Nameless)?.set("name", text(new))?)
}

/// A name like `wanted` that no stack, bag or thing of the kind has.
pub(super) fn free_name(doc: &Node, kind: ItemKind, wanted: &str) -> String {
    let of = |kind: ItemKind| items(doc, kind).into_iter().map(|i| i.name(doc)).collect::<Vec<_>>();
    let mut taken = of(kind);
    if matches!(kind, ItemKind::Stack | ItemKind::Bag) {
        taken.extend([ItemKind::Stack, ItemKind::Bag].into_iter().flat_map(of));
    }
    if !taken.iter().any(|t| t == wanted) {
        return wanted.to_owned();
    }
    (2..).map(|n| format!("{wanted} {n}")).find(|n| !taken.contains(n)).unwrap_or_default()
}

const OTHER_SIDE: &str = " other side";

/// The name of the same thing on the other side.
pub(super) fn mirrored(name: &str) -> String {
    let swap = |word: &str| match word {
        "left" => "right".to_owned(),
        "right" => "left".to_owned(),
        "Left" => "Right".to_owned(),
        "Right" => "Left".to_owned(),
        word => word.to_owned(),
    };
    let swapped = name.split(' ').map(swap).collect::<Vec<_>>().join(" ");
    if swapped != name {
        return swapped;
    }
    match name.strip_suffix(OTHER_SIDE) {
        Some(name) => name.to_owned(),
        None => format!("{name}{OTHER_SIDE}"),
    }
}

/// The same thing on the other side, where there is one.
pub(super) fn twin(doc: &Node, item: Item) -> Option<Item> {
    if item.kind.single() {
        return None;
    }
    let name = mirrored(&item.name(doc));
    let twin = items(doc, item.kind).into_iter().find(|other| other.name(doc) == name)?;
    let apart = match (item.at(doc), twin.at(doc)) {
        (Some([x, z]), Some([tx, tz])) => (x - tx).abs() < 1e-3 && (z + tz).abs() < 1e-3,
        (None, None) => true,
        _ => false,
    };
    (twin != item && apart).then_some(twin)
}

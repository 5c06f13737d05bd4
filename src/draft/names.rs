//! Names of things, and everything that refers to one by its name.

use super::{Item, Kind, hand, items};
use crate::scene::doc::{Node, Value};

/// What a reference may name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Refers {
    /// A stack or a bag.
    Support,
    /// Whatever stands on the ground.
    Standing,
    To(Kind),
}

impl Refers {
    fn may_be(self, kind: Kind) -> bool {
        match self {
            Self::Support => matches!(kind, Kind::Stack | Kind::Bag),
            Self::Standing => matches!(kind, Kind::Stack | Kind::VoidFill | Kind::Chock),
            Self::To(own) => own == kind,
        }
    }
}

/// What becomes of a reference.
enum Fate {
    Keep,
    Rename(String),
    Drop,
}

const NAMES_ORDERED: [(&str, Kind); 8] = [
    ("raise", Kind::Bag),
    ("lower", Kind::Bag),
    ("stop", Kind::Bag),
    ("lock_out", Kind::Bag),
    ("unlock", Kind::Bag),
    ("move_hose", Kind::Outlet),
    ("capture", Kind::Capture),
    ("set_chocks", Kind::Chock),
];

/// A list of a tree, or none.
pub(super) fn list_mut(doc: &mut Node, kind: Kind) -> Option<&mut Vec<Node>> {
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

/// Settles every reference of the tree. What cannot be without the thing it referred to
/// goes with it; those of them that have names are given.
fn settle_all(doc: &mut Node, fate: &dyn Fn(Refers, &str) -> Fate) -> Vec<(Kind, String)> {
    let mut gone = Vec::new();
    let name_of = |node: &Node| match node.get("name").map(|n| &n.value) {
        Some(Value::Text(name)) => name.trim().to_owned(),
        _ => String::new(),
    };
    for (kind, key, refers) in [
        (Kind::Bag, "on", Refers::Support),
        (Kind::Wedge, "on", Refers::To(Kind::Bag)),
        (Kind::Outlet, "to", Refers::To(Kind::Bag)),
    ] {
        if let Some(list) = list_mut(doc, kind) {
            list.retain_mut(|node| {
                let stays = settle(node, key, &|name| fate(refers, name));
                if !stays {
                    gone.push((kind, name_of(node)));
                }
                stays
            });
        }
    }
    let beam_stays = doc
        .get_mut("beam")
        .is_none_or(|beam| settle(beam, "rests_on", &|name| fate(Refers::Support, name)));
    if !beam_stays {
        gone.push((Kind::Beam, String::new()));
        drop_field(doc, "beam");
    }
    let retain = |doc: &mut Node, list: &str, stays: &dyn Fn(&mut Node) -> bool| {
        if let Some(Node { value: Value::List(items), .. }) = doc.get_mut(list) {
            items.retain_mut(stays);
        }
    };
    let to = |kind: Kind| move |name: &str| fate(Refers::To(kind), name);
    // Under the name "beam" it is the beam that cracks, where there is one.
    let beam = doc.get("beam").is_some_and(|beam| beam.value != Value::Nothing);
    let stack = items(doc, Kind::Stack).into_iter().any(|stack| stack.name(doc) == "beam");
    let cracks = |name: &str| match name {
        "beam" if beam => Fate::Keep,
        "beam" if !stack => Fate::Drop,
        name => fate(Refers::To(Kind::Stack), name),
    };
    retain(doc, "faults", &|node| {
        ["hose", "valve"].iter().all(|key| settle(node, key, &to(Kind::Outlet)))
            && settle(node, "leak", &to(Kind::Bag))
            && settle(node, "slick", &|name| fate(Refers::Standing, name))
            && settle(node, "crack", &cracks)
    });
    retain(doc, "orders", &|node| {
        let mut stays = NAMES_ORDERED.iter().all(|(verb, kind)| settle(node, verb, &to(*kind)));
        if node.get("move_hose").is_some() {
            stays &= settle(node, "to", &to(Kind::Bag));
        }
        for key in ["until", "wait"] {
            if let Some(until) = node.get_mut(key) {
                stays &= settle(until, "at", &to(Kind::Limb));
            }
        }
        stays
    });
    gone
}

pub(super) fn drop_field(doc: &mut Node, key: &str) {
    if let Value::Table(fields) = &mut doc.value {
        fields.retain(|(k, _)| k != key);
    }
}

/// Hoses that the scene leaves to their default, one for each bag, are written out.
pub(super) fn write_out_hoses(doc: &mut Node) {
    if !items(doc, Kind::Outlet).is_empty() {
        return;
    }
    let hoses: Vec<Node> = items(doc, Kind::Bag)
        .into_iter()
        .map(|bag| super::text(bag.name(doc)))
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
    let hoses_written = !items(doc, Kind::Outlet).is_empty();
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
            let by_bag = !hoses_written && kind == Kind::Bag && refers == Refers::To(Kind::Outlet);
            if other == name && (refers.may_be(kind) || by_bag) { Fate::Drop } else { Fate::Keep }
        };
        gone.extend(settle_all(doc, &fate));
    }
}

/// Gives a thing another name, also where it is referred to.
///
/// # Errors
/// Why it cannot have that name.
pub(super) fn rename(doc: &mut Node, item: Item, new: &str) -> Result<(), String> {
    let new = new.trim();
    if new.is_empty() {
        return Err("a name cannot be empty".into());
    }
    let old = item.name(doc);
    if old == new {
        return Ok(());
    }
    let taken = items(doc, item.kind).into_iter().any(|other| other.name(doc) == new);
    if taken {
        return Err(format!("there is a {} \"{new}\" already", item.kind.noun()));
    }
    let hoses_written = !items(doc, Kind::Outlet).is_empty();
    let fate = |refers: Refers, name: &str| {
        let by_bag = !hoses_written && item.kind == Kind::Bag && refers == Refers::To(Kind::Outlet);
        if name == old && (refers.may_be(item.kind) || by_bag) {
            Fate::Rename(new.to_owned())
        } else {
            Fate::Keep
        }
    };
    settle_all(doc, &fate);
    let node = list_mut(doc, item.kind).and_then(|list| list.get_mut(item.index));
    node.ok_or("it has no name")?.set("name", super::text(new))
}

/// A name like `wanted` that no stack, bag or thing of the kind has.
pub(super) fn free_name(doc: &Node, kind: Kind, wanted: &str) -> String {
    let of = |kind: Kind| items(doc, kind).into_iter().map(|i| i.name(doc)).collect::<Vec<_>>();
    let mut taken = of(kind);
    if matches!(kind, Kind::Stack | Kind::Bag) {
        taken.extend([Kind::Stack, Kind::Bag].into_iter().flat_map(of));
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

//! The plan of the lift as it is written into a scene: each order a group with one verb, the
//! names it concerns, and when it is done.

use super::field::to_typed;
use super::history::Draft;
use super::item::{Item, ItemKind, hand, text};
use crate::scene::schema::{Entry, Field, Refers, Role, order, scene, until};
use crate::scene::tree::{Node, Value};
use std::sync::LazyLock;

/// What an order names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OrderTargets {
    Bags,
    Captures,
    Chocks,
    /// One hose, and the bag that it is to lead to.
    Hose,
    Nothing,
}

/// One thing a crew can be told.
#[derive(Clone, Copy, Debug)]
pub struct Verb {
    pub key: &'static str,
    /// As it is said.
    pub word: &'static str,
    pub names: OrderTargets,
    /// Goes on until something has come about.
    pub lasts: bool,
}

impl Verb {
    fn new(field: &Field) -> Self {
        let names = match field.entry {
            Entry::Names(Refers::Capture) => OrderTargets::Captures,
            Entry::Names(Refers::Chock) => OrderTargets::Chocks,
            Entry::Names(_) => OrderTargets::Bags,
            Entry::Name(_) => OrderTargets::Hose,
            _ => OrderTargets::Nothing,
        };
        let lasts = field.role == Role::Verb { lasts: true };
        Self { key: field.key, word: field.label(), names, lasts }
    }
}

/// Everything a crew can be told, in the order in which it is listed: that of the table, but
/// following the load right behind raising it.
pub static VERBS: LazyLock<Vec<Verb>> = LazyLock::new(|| {
    let mut verbs: Vec<Verb> = order::GROUP.alternatives().map(Verb::new).collect();
    let rank = |key: &str| match key {
        key if key == order::RAISE.key() => 0,
        key if key == order::CAPTURE.key() => 1,
        _ => 2,
    };
    verbs.sort_by_key(|verb| rank(verb.key));
    verbs
});

const fn way(field: &Field, figure: &'static str) -> (&'static str, &'static str, &'static str) {
    (field.key, field.label(), figure)
}

/// When an order that lasts is done: key, words, and what it is typed as at first.
pub const WAYS: [(&str, &str, &str); 5] = [
    way(&until::RISE.field, "50 mm"),
    way(&until::GAP.field, "150 mm"),
    way(&until::HEIGHT.field, "80 mm"),
    way(&until::FOR.field, "5 s"),
    way(&until::ON_TIMBER.field, "60 %"),
];

/// The orders of a tree.
pub fn orders_in(doc: &Node) -> &[Node] {
    match doc.get(scene::ORDERS.key()).map(|n| &n.value) {
        Some(Value::List(orders)) => orders,
        _ => &[],
    }
}

/// What an order tells, where that can be read.
pub fn verb_of(order: &Node) -> Option<&'static Verb> {
    VERBS.iter().find(|verb| order.get(verb.key).is_some())
}

/// When an order is done: the group that says so, and its way.
pub fn until(order: &Node) -> Option<(&Node, &'static str)> {
    let group = order.get(if order.get("wait").is_some() { "wait" } else { "until" })?;
    WAYS.iter().find(|(key, ..)| group.get(key).is_some()).map(|(key, ..)| (group, *key))
}

/// A group that says when an order is done.
pub fn group(way: &str, figure: &str, limb: &str) -> Node {
    let mut fields = vec![(way.to_owned(), text(figure))];
    if way == "gap" {
        fields.push(("at".to_owned(), text(limb)));
    }
    hand(Value::Table(fields))
}

/// An order of this kind for what the set-up has: everything it may name.
pub fn fresh(draft: &Draft, verb: &Verb) -> Node {
    let doc = draft.doc();
    let all = |kind: ItemKind| -> Vec<Node> {
        draft.items(kind).into_iter().map(|item| text(item.name(doc))).collect()
    };
    let scene = &draft.seen().scene;
    // Air comes through a hose: what has one is meant first.
    let hosed = || {
        let hosed =
            scene.air.outlets.iter().flat_map(|o| o.bags()).filter_map(|bag| scene.bags.get(bag));
        let names: Vec<Node> = hosed.map(|bag| text(bag.name.as_str())).collect();
        if names.is_empty() { all(ItemKind::Bag) } else { names }
    };
    let limb = Item::new(ItemKind::Limb, 0).name(doc);
    let (way, figure) = match (verb.key, scene.limbs.first()) {
        // Rounded up: what stops short of it frees nobody.
        ("raise", Some(limb)) => {
            ("gap", format!("{:.0} mm", (limb.gap_needed_m * 1e3 - 1e-6).ceil()))
        }
        ("wait", _) => ("for", "5 s".to_owned()),
        _ => ("height", "0 mm".to_owned()),
    };
    let until = group(way, &figure, &limb);
    let named = |nodes: Vec<Node>| hand(Value::List(nodes));
    let mut fields = match verb.names {
        OrderTargets::Bags => vec![(verb.key.to_owned(), named(hosed()))],
        OrderTargets::Captures => vec![(verb.key.to_owned(), named(all(ItemKind::Capture)))],
        OrderTargets::Chocks => vec![(verb.key.to_owned(), named(all(ItemKind::Chock)))],
        OrderTargets::Hose => {
            let hose = scene.air.outlets.first().map_or("", |o| o.name.as_str());
            let free = (0..scene.bags.len())
                .find(|bag| {
                    scene.air.outlets.iter().all(|outlet| outlet.bags().all(|to| to != *bag))
                })
                .map_or("", |bag| scene.bags[bag].name.as_str());
            vec![(verb.key.to_owned(), text(hose)), ("to".to_owned(), text(free))]
        }
        OrderTargets::Nothing => return hand(Value::Table(vec![(verb.key.to_owned(), until)])),
    };
    if verb.lasts {
        fields.push(("until".to_owned(), until));
    }
    hand(Value::Table(fields))
}

/// The names in an order.
pub fn names(order: &Node, verb: &Verb) -> Vec<String> {
    match order.get(verb.key).map(|n| &n.value) {
        Some(Value::List(names)) => names.iter().map(|n| to_typed(&n.value)).collect(),
        Some(Value::Text(name)) => vec![name.clone()],
        _ => Vec::new(),
    }
}

/// An order with one field given another value, or none.
pub fn with(order: &Node, key: &str, value: Option<Node>) -> Node {
    let mut new = order.clone();
    if let Value::Table(fields) = &mut new.value {
        match (value, fields.iter_mut().find(|(k, _)| k == key)) {
            (Some(value), Some((_, node))) => *node = value,
            (Some(value), None) => fields.push((key.to_owned(), value)),
            (None, _) => fields.retain(|(k, _)| k != key),
        }
    }
    new
}

/// One order in words: as the crew is told it where it can be read, else what stands there.
pub fn say(draft: &Draft, index: usize, units: crate::units::UnitSystem) -> String {
    let scene = &draft.seen().scene;
    let all = orders_in(draft.doc());
    if draft.seen().current
        && scene.orders.len() == all.len()
        && let Some(order) = scene.orders.get(index)
    {
        return order.say(scene, units);
    }
    match all.get(index).and_then(|order| Some((order, verb_of(order)?))) {
        Some((order, verb)) => format!("{} {}", verb.word, names(order, verb).join(", ")),
        None => "an order that cannot be read".into(),
    }
}

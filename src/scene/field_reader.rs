//! Reads one field after another from a [`Node`], each by its entry in the table, and collects
//! every problem on the way. A reader never stops at the first problem: it returns what it could
//! read and goes on with the next field. What the fields make together is in
//! `scene_reader`.

use super::near::did_you_mean;
use super::problem::Problems;
use super::schema::entry::{
    Absent, Choice, Count, Flag, Items, Lengths, NAME, Names, Nested, Pair, Quantity, Text, Typed,
    Worded,
};
use super::tree::{MOST_SHOWN, Node, Place, Value, parse_change_value};
use crate::printable::{brief, hidden_in};
use crate::units::{self, Dimension, UnitText};
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

/// The most items of a list.
const MOST_ITEMS: usize = 64;
/// The most characters of a text.
const MOST_CHARACTERS: usize = 4000;

/// All items, or `None` where one could not be read. It does not stop where collecting into an `Option` would: it
/// goes on past the first failure, so that every item reports its problems.
pub fn all<T>(items: impl IntoIterator<Item = Option<T>>) -> Option<Vec<T>> {
    let read: Vec<Option<T>> = items.into_iter().collect();
    read.into_iter().collect()
}

/// The names of a list's items, `None` where an item has no name that can be read. Two of one
/// name are a problem, because other fields refer to an item by it.
pub fn names_differ(noun: &str, items: &[Fields<'_>]) -> Vec<Option<String>> {
    let names: Vec<Option<String>> = items.iter().map(|g| g.take(NAME)).collect();
    for (i, name) in names.iter().enumerate() {
        if let Some(name) = name
            && names[..i].contains(&Some(name.clone()))
        {
            items[i].complain(
                NAME.key(),
                format!("there are two of the name \"{name}\"; give each {noun} its own"),
            );
        }
    }
    names
}

/// Reads the fields of one table. Call [`Fields::end`] last: it reports the fields that nothing
/// has read.
pub struct Fields<'a> {
    node: &'a Node,
    path: String,
    problems: &'a Problems,
    known: RefCell<Vec<&'static str>>,
}

impl<'a> Fields<'a> {
    pub fn new(node: &'a Node, path: impl Into<String>, problems: &'a Problems) -> Self {
        let fields = Self { node, path: path.into(), problems, known: RefCell::default() };
        if !matches!(node.value, Value::Table(_)) {
            fields.report(
                &node.place,
                "",
                format!("needs a group of fields (name: value, ...), not {}", node.value.noun()),
            );
        }
        fields
    }

    fn below(&self, key: &str) -> String {
        match (self.path.is_empty(), key.is_empty()) {
            (true, _) => key.to_owned(),
            (_, true) => self.path.clone(),
            _ => format!("{}.{key}", self.path),
        }
    }

    fn report(&self, place: &Place, key: &str, text: impl Into<UnitText>) {
        self.problems.add(place, &self.below(key), text);
    }

    /// Adds a problem at a field, or at the whole group where the field is absent.
    pub fn complain(&self, key: &str, text: impl Into<UnitText>) {
        let place = self.node.get(key).map_or(&self.node.place, |n| &n.place);
        self.report(place, key, text);
    }

    /// Whether the field is there at all.
    pub fn has<K>(&self, entry: Typed<K>) -> bool {
        self.has_key(entry.key())
    }

    pub fn has_key(&self, key: &'static str) -> bool {
        self.optional(key).is_some()
    }

    fn optional(&self, key: &'static str) -> Option<&'a Node> {
        self.known.borrow_mut().push(key);
        self.node.get(key).filter(|n| n.value != Value::Nothing)
    }

    fn required(&self, key: &'static str, write: impl FnOnce() -> String) -> Option<&'a Node> {
        let found = self.optional(key);
        if found.is_none() && matches!(self.node.value, Value::Table(_)) {
            let text = format!("is missing; write `{key}: {}`", write());
            self.report(&self.node.place, key, text);
        }
        found
    }

    /// The value of a field, in SI, or what the table says where it is left out; `None` where
    /// it cannot be read, which is then reported.
    pub fn take<K: FieldKind>(&self, entry: Typed<K>) -> Option<K::Value> {
        let key = entry.key();
        let found = match entry.field.absent {
            Absent::Takes(_) | Absent::Means(_) => self.optional(key),
            Absent::Needed | Absent::NeededThere => self.required(key, || entry.kind.example()),
        };
        match found {
            Some(node) => entry.kind.read(self, key, node),
            None => self.default_of(entry).or_else(|| entry.kind.absent(self, key)),
        }
    }

    /// The value that the table has for a field that is left out, also one of another group.
    pub fn default_of<K: FieldKind>(&self, entry: Typed<K>) -> Option<K::Value> {
        entry.kind.read(self, entry.key(), &default_node(entry.field.default()?))
    }

    /// The value of a field, or one that depends on other fields where it is left out.
    pub fn take_or<K: FieldKind>(&self, entry: Typed<K>, other: K::Value) -> Option<K::Value> {
        match self.optional(entry.key()) {
            Some(node) => entry.kind.read(self, entry.key(), node),
            None => Some(other),
        }
    }

    /// The fields that are there, known or not.
    pub fn keys(&self) -> impl Iterator<Item = &'a str> {
        let fields = match &self.node.value {
            Value::Table(fields) => fields.as_slice(),
            _ => &[],
        };
        fields.iter().map(|(key, _)| key.as_str())
    }

    /// A text as it is written; none where there is another value, or nothing.
    pub fn written<K>(&self, entry: Typed<K>) -> Option<&'a str> {
        match &self.optional(entry.key())?.value {
            Value::Text(text) => Some(text.trim()),
            _ => None,
        }
    }

    /// The value of a field that may be left out: none then, and a failure where what is
    /// written cannot be read.
    pub fn take_if_there<K: FieldKind>(&self, entry: Typed<K>) -> Option<Option<K::Value>> {
        if self.has(entry) { self.take(entry).map(Some) } else { Some(None) }
    }

    /// A text that has to be read at one look: of so many characters at the most.
    pub fn take_short(&self, entry: Typed<Text>, most: usize) -> Option<String> {
        let text = self.take(entry)?;
        let count = text.chars().count();
        if count > most {
            self.complain(entry.key(), format!("has {count} characters; shorten it to {most}"));
            return None;
        }
        Some(text)
    }

    /// A stand-in between two limits where this reader has them.
    fn stand_in(&self, key: &str, [least, most]: [f64; 2]) -> Option<f64> {
        let share = self.problems.stand_in(self.below(key))?;
        Some(least + share * (most - least))
    }

    /// Readers for the items of a list; an absent list is empty.
    pub fn list(&self, entry: Typed<Items>) -> Vec<Fields<'a>> {
        let key = entry.key();
        match self.optional(key) {
            None => Vec::new(),
            Some(Node { value: Value::List(items), .. }) => {
                if items.len() > MOST_ITEMS {
                    self.complain(
                        key,
                        format!("has {} items; at most {MOST_ITEMS} are read", items.len()),
                    );
                    return Vec::new();
                }
                let path = |(i, item): (usize, &Node)| match item.get("name").map(|n| &n.value) {
                    Some(Value::Text(name)) => {
                        format!("{}.{}", self.below(key), brief(name, MOST_SHOWN))
                    }
                    _ => format!("{}.{i}", self.below(key)),
                };
                items
                    .iter()
                    .enumerate()
                    .map(|(i, item)| Fields::new(item, path((i, item)), self.problems))
                    .collect()
            }
            Some(node) => {
                self.report(
                    &node.place,
                    key,
                    format!("needs a list [ ... ], not {}", node.value.noun()),
                );
                Vec::new()
            }
        }
    }

    /// A reader for a nested table that must be there.
    pub fn group(&self, entry: Typed<Nested>) -> Option<Fields<'a>> {
        let node = self.required(entry.key(), || "( ... )".to_owned())?;
        Some(Fields::new(node, self.below(entry.key()), self.problems))
    }

    /// A reader for a nested table that may be left out.
    pub fn optional_group(&self, entry: Typed<Nested>) -> Option<Fields<'a>> {
        let node = self.optional(entry.key())?;
        Some(Fields::new(node, self.below(entry.key()), self.problems))
    }

    /// A reader for a nested table; where it is left out, each of its fields is.
    pub fn group_or_bare(&self, entry: Typed<Nested>) -> Fields<'a> {
        static BARE: Node = Node { place: Place::Hand, value: Value::Table(Vec::new()) };
        let node = self.optional(entry.key()).unwrap_or(&BARE);
        Fields::new(node, self.below(entry.key()), self.problems)
    }

    /// Reports every field that nothing has read.
    pub fn end(&self) {
        let Value::Table(fields) = &self.node.value else { return };
        let mut known = self.known.borrow().clone();
        known.sort_unstable();
        known.dedup();
        for (key, node) in fields {
            if self.problems.are_many() && !known.contains(&key.as_str()) {
                // Only counted: a hundred thousand texts would be made for nobody.
                self.report(&node.place, "", String::new());
            } else if !known.contains(&key.as_str()) {
                let near = did_you_mean(key, known.iter().copied());
                self.report(
                    &node.place,
                    key,
                    format!("is not a field here; {near}known fields are {}", known.join(", ")),
                );
            }
        }
    }
}

/// A default of the table as a node. Each is parsed once, because a scene is read again with
/// every edit.
fn default_node(ron: &'static str) -> Rc<Node> {
    thread_local! {
        static PARSED: RefCell<HashMap<&'static str, Rc<Node>>> = RefCell::default();
    }
    let parse = || Rc::new(parse_change_value(ron, &"".into()));
    PARSED.with_borrow_mut(|parsed| parsed.entry(ron).or_insert_with(parse).clone())
}

/// How a field of some kind is read.
pub trait FieldKind: Copy {
    type Value;

    /// One correct way to write it.
    fn example(&self) -> String;

    fn read(&self, f: &Fields<'_>, key: &str, node: &Node) -> Option<Self::Value>;

    /// What stands in where it is left out and nothing holds then: only some kinds have it.
    fn absent(&self, _f: &Fields<'_>, _key: &str) -> Option<Self::Value> {
        None
    }
}

impl Quantity {
    fn good(self, f: &Fields<'_>, key: &str, node: &Node) -> Option<f64> {
        let Self { dimension, limits: [least, most] } = self;
        let text = match &node.value {
            Value::Text(text) => text.trim(),
            other => {
                f.report(
                    &node.place,
                    key,
                    format!(
                        "needs {} with its unit in quotes, such as {}, not {}",
                        dimension.noun(),
                        dimension.example(),
                        other.noun()
                    ),
                );
                return None;
            }
        };
        match units::parse(text, dimension) {
            Ok(value) if (least..=most).contains(&value) => return Some(value),
            // As it was typed, and its limits in the same unit.
            Ok(_) => {
                let [least, most] = [least, most].map(|end| dimension.show_beside(text, end));
                let text = brief(text, MOST_SHOWN);
                let said =
                    format!("{text} is outside {least} to {most}; choose a value between them");
                f.report(&node.place, key, said);
            }
            Err(why) => f.report(&node.place, key, why.to_string()),
        }
        None
    }
}

/// In SI, within its limits.
impl FieldKind for Quantity {
    type Value = f64;

    fn example(&self) -> String {
        self.dimension.example().to_owned()
    }

    fn read(&self, f: &Fields<'_>, key: &str, node: &Node) -> Option<f64> {
        self.good(f, key, node).or_else(|| self.absent(f, key))
    }

    fn absent(&self, f: &Fields<'_>, key: &str) -> Option<f64> {
        f.stand_in(key, self.limits)
    }
}

/// Two lengths such as x and z on the ground, m.
impl FieldKind for Pair {
    type Value = [f64; 2];

    fn example(&self) -> String {
        "[\"0.4 m\", \"1.1 m\"]".to_owned()
    }

    fn read(&self, f: &Fields<'_>, key: &str, node: &Node) -> Option<[f64; 2]> {
        let Value::List(items) = &node.value else {
            f.report(
                &node.place,
                key,
                format!("needs two lengths {}, not {}", self.example(), node.value.noun()),
            );
            return None;
        };
        let [a, b] = items.as_slice() else {
            f.report(&node.place, key, format!("needs two lengths, not {}", items.len()));
            return None;
        };
        let side = Quantity { dimension: Dimension::Length, limits: self.limits };
        let read = |i: usize, node| side.read(f, &format!("{key}.{i}"), node);
        let (a, b) = (read(0, a), read(1, b));
        Some([a?, b?])
    }
}

/// Lengths, m; an absent list is empty.
impl FieldKind for Lengths {
    type Value = Vec<f64>;

    fn example(&self) -> String {
        "[\"38 mm\"]".to_owned()
    }

    fn read(&self, f: &Fields<'_>, key: &str, node: &Node) -> Option<Vec<f64>> {
        let each = Quantity { dimension: Dimension::Length, limits: self.limits };
        let found = match &node.value {
            Value::List(items) if items.len() <= self.most => {
                let read = |(i, item)| each.read(f, &format!("{key}.{i}"), item);
                return all(items.iter().enumerate().map(read));
            }
            Value::List(items) => format!("{} of them", items.len()),
            other => other.noun(),
        };
        f.report(
            &node.place,
            key,
            format!(
                "needs a list of at most {} lengths {}, not {found}",
                self.most,
                self.example()
            ),
        );
        None
    }
}

impl Count {
    fn ends(self) -> [f64; 2] {
        self.limits.map(|end| end as f64)
    }
}

/// A whole number within its limits.
impl FieldKind for Count {
    type Value = usize;

    fn example(&self) -> String {
        self.limits[0].to_string()
    }

    fn read(&self, f: &Fields<'_>, key: &str, node: &Node) -> Option<usize> {
        let [least, most] = self.ends();
        match node.value {
            Value::Number(n) if n.fract() == 0.0 && (least..=most).contains(&n) => Some(n as usize),
            _ => {
                f.report(
                    &node.place,
                    key,
                    format!(
                        "needs a whole number from {} to {}, not {}",
                        self.limits[0],
                        self.limits[1],
                        node.value.noun()
                    ),
                );
                self.absent(f, key)
            }
        }
    }

    fn absent(&self, f: &Fields<'_>, key: &str) -> Option<usize> {
        f.stand_in(key, self.ends()).map(|n| n.round() as usize)
    }
}

impl FieldKind for Flag {
    type Value = bool;

    fn example(&self) -> String {
        "true".to_owned()
    }

    fn read(&self, f: &Fields<'_>, key: &str, node: &Node) -> Option<bool> {
        match &node.value {
            Value::Flag(flag) => Some(*flag),
            other => {
                let text = format!("needs true or false, not {}", other.noun());
                f.report(&node.place, key, text);
                None
            }
        }
    }
}

impl FieldKind for Text {
    type Value = String;

    fn example(&self) -> String {
        "\"...\"".to_owned()
    }

    fn read(&self, f: &Fields<'_>, key: &str, node: &Node) -> Option<String> {
        match &node.value {
            Value::Text(t) if t.chars().nth(MOST_CHARACTERS).is_some() => {
                let text = format!("is longer than {MOST_CHARACTERS} characters; shorten it");
                f.report(&node.place, key, text);
                None
            }
            Value::Text(t) if !t.trim().is_empty() => match hidden_in(t) {
                // In one line: a line break in a name would fake a line of a list.
                None if t.contains(['\n', '\r', '\t']) => {
                    Some(t.split_whitespace().collect::<Vec<_>>().join(" "))
                }
                None => Some(t.trim().to_owned()),
                Some(hidden) => {
                    let text = format!(
                        "holds the character U+{:04X}, which cannot be shown; take it out",
                        u32::from(hidden)
                    );
                    f.report(&node.place, key, text);
                    None
                }
            },
            other => {
                let text = format!("needs a text in quotes, not {}", other.noun());
                f.report(&node.place, key, text);
                None
            }
        }
    }
}

/// The names in a list, or one name on its own.
impl FieldKind for Names {
    type Value = Vec<String>;

    fn example(&self) -> String {
        "[\"...\"]".to_owned()
    }

    fn read(&self, f: &Fields<'_>, key: &str, node: &Node) -> Option<Vec<String>> {
        match &node.value {
            Value::List(items) if items.len() > MOST_ITEMS => {
                let text = format!("has {} names; at most {MOST_ITEMS} are read", items.len());
                f.report(&node.place, key, text);
                None
            }
            Value::List(items) if !items.is_empty() => {
                let read = |(i, item)| Text.read(f, &format!("{key}.{i}"), item);
                all(items.iter().enumerate().map(read))
            }
            Value::Text(_) => Text.read(f, key, node).map(|name| vec![name]),
            other => {
                let text =
                    format!("needs a list of names {}, not {}", self.example(), other.noun());
                f.report(&node.place, key, text);
                None
            }
        }
    }
}

/// One of a fixed set of words.
impl<T: Worded> FieldKind for Choice<T> {
    type Value = T;

    fn example(&self) -> String {
        let words = T::all().into_iter().map(|(word, _)| format!("\"{word}\""));
        words.collect::<Vec<_>>().join(", ")
    }

    fn read(&self, f: &Fields<'_>, key: &str, node: &Node) -> Option<T> {
        if let Value::Text(t) = &node.value
            && let Some((_, value)) = T::all().into_iter().find(|(word, _)| word == t)
        {
            return Some(value);
        }
        f.report(
            &node.place,
            key,
            format!("{} is not known here; choose one of {}", node.value.noun(), self.example()),
        );
        self.absent(f, key)
    }

    fn absent(&self, f: &Fields<'_>, key: &str) -> Option<T> {
        let choices = T::all();
        let place = f.stand_in(key, [0.0, choices.len() as f64])?;
        choices.get(place as usize).map(|(_, value)| *value)
    }
}

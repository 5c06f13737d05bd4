//! Reads fields from a [`Node`] and collects every problem on the way, each with
//! its place, path, value, limit and mend. A reader never stops at the first
//! problem: it returns what it could read and lets the next field have its turn.

use super::doc::{Node, Place, Value};
use crate::units::{self, Dimension, System, Words};
use std::cell::RefCell;
use std::fmt;
use std::ops::RangeInclusive;

/// One thing that is wrong with a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    pub place: Place,
    /// Dotted path of the field.
    pub path: String,
    /// What is wrong, with the value and the limit, and what mends it.
    pub text: Words,
}

impl Problem {
    /// With its place and its field, in one line.
    pub fn in_units(&self, units: System) -> String {
        let path = if self.path.is_empty() { "the file" } else { &self.path };
        format!("{}: {path}: {}", self.place, self.text.in_units(units))
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.in_units(System::Si))
    }
}

/// A value in SI as problems tell it: as scene files have it, or in feet and pounds.
pub fn show(units: System, dimension: Dimension, si: f64) -> String {
    match units {
        System::Si => dimension.show(si),
        System::Us => units.show(dimension, si),
    }
}

/// All problems found so far; shared by every reader of one scene.
#[derive(Default)]
pub struct Problems {
    list: RefCell<Vec<Problem>>,
    stand_ins: Option<StandIns>,
}

/// How far between its limits a field's stand-in lies, and its others: the middle, where places
/// are nought, and values near the lower limit, because much is in hundredths of what is allowed.
const STAND_IN: f64 = 0.4;
pub const OTHER_STAND_INS: [f64; 5] = [0.6, 0.5, 0.48, 0.01, 0.0005];

/// Values for numbers and choices that cannot be read, so that what does not hang on them
/// can still be told: whatever differs between stand-ins hangs on them.
struct StandIns {
    /// The field that takes another stand-in, and how far between its limits that lies, 0 to 1.
    other: Option<(String, f64)>,
    /// Paths of the fields that have taken one.
    taken: RefCell<Vec<String>>,
}

impl Problems {
    /// For reading on with stand-ins; the named field takes another one, so far between its
    /// limits.
    pub fn with_stand_ins(other: Option<(&str, f64)>) -> Self {
        let other = other.map(|(path, share)| (path.to_owned(), share));
        let stand_ins = Some(StandIns { other, taken: RefCell::default() });
        Self { list: RefCell::default(), stand_ins }
    }

    /// Whether what cannot be read has a stand-in, or is left out.
    pub fn reads_on(&self) -> bool {
        self.stand_ins.is_some()
    }

    /// Paths of the fields that have a stand-in.
    pub fn stood_in(&self) -> Vec<String> {
        self.stand_ins.as_ref().map_or_else(Vec::new, |s| s.taken.borrow().clone())
    }

    /// How far between a field's limits its stand-in lies, 0 to 1.
    fn stand_in(&self, path: String) -> Option<f64> {
        let stand_ins = self.stand_ins.as_ref()?;
        let other = stand_ins.other.as_ref().filter(|(other, _)| *other == path);
        let share = other.map_or(STAND_IN, |(_, share)| *share);
        let mut taken = stand_ins.taken.borrow_mut();
        if !taken.contains(&path) {
            taken.push(path);
        }
        Some(share)
    }

    /// Adds a problem that belongs to no reader.
    pub fn add(&self, place: &Place, path: &str, text: impl Into<Words>) {
        let problem = Problem { place: place.clone(), path: path.to_owned(), text: text.into() };
        let mut problems = self.list.borrow_mut();
        if !problems.contains(&problem) {
            problems.push(problem);
        }
    }

    pub fn into_vec(self) -> Vec<Problem> {
        self.list.into_inner()
    }
}

/// All of some items, or none where one could not be read. Unlike collecting into
/// an `Option`, it goes on past the first failure, so that every item reports its
/// problems.
pub fn all<T>(items: impl IntoIterator<Item = Option<T>>) -> Option<Vec<T>> {
    let read: Vec<Option<T>> = items.into_iter().collect();
    read.into_iter().collect()
}

/// The names of a list's items, none where an item has no name to read. Two of one name
/// are a problem, because other fields refer to an item by it.
pub fn names_differ(noun: &str, items: &[Fields<'_>]) -> Vec<Option<String>> {
    let names: Vec<Option<String>> = items.iter().map(|g| g.text("name")).collect();
    for (i, name) in names.iter().enumerate() {
        if let Some(name) = name
            && names[..i].contains(&Some(name.clone()))
        {
            items[i].complain(
                "name",
                format!("there are two of the name \"{name}\"; give each {noun} its own"),
            );
        }
    }
    names
}

/// Reads the fields of one table. Call [`Fields::end`] last: it reports the fields
/// nobody asked for.
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
            fields.problem(
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

    fn problem(&self, place: &Place, key: &str, text: impl Into<Words>) {
        self.problems.add(place, &self.below(key), text);
    }

    /// Adds a problem at a field, or at the whole group where the field is absent.
    pub fn complain(&self, key: &str, text: impl Into<Words>) {
        let place = self.node.get(key).map_or(&self.node.place, |n| &n.place);
        self.problem(place, key, text);
    }

    /// Whether the field is there at all.
    pub fn has(&self, key: &'static str) -> bool {
        self.optional(key).is_some()
    }

    fn optional(&self, key: &'static str) -> Option<&'a Node> {
        self.known.borrow_mut().push(key);
        self.node.get(key).filter(|n| n.value != Value::Nothing)
    }

    fn required(&self, key: &'static str, write: &str) -> Option<&'a Node> {
        let found = self.optional(key);
        if found.is_none() && matches!(self.node.value, Value::Table(_)) {
            self.problem(&self.node.place, key, format!("is missing; write `{key}: {write}`"));
        }
        found
    }

    /// A stand-in between two limits where this reader has them.
    fn stand_in(&self, key: &str, limits: &RangeInclusive<f64>) -> Option<f64> {
        let share = self.problems.stand_in(self.below(key))?;
        Some(limits.start() + share * (limits.end() - limits.start()))
    }

    fn quantity_of(
        &self,
        key: &str,
        node: &Node,
        dimension: Dimension,
        limits: RangeInclusive<f64>,
    ) -> Option<f64> {
        let found = self.good_quantity(key, node, dimension, limits.clone());
        found.or_else(|| self.stand_in(key, &limits))
    }

    fn good_quantity(
        &self,
        key: &str,
        node: &Node,
        dimension: Dimension,
        limits: RangeInclusive<f64>,
    ) -> Option<f64> {
        let value = match &node.value {
            Value::Text(text) => match units::parse(text, dimension) {
                Ok(value) => value,
                Err(text) => {
                    self.problem(&node.place, key, text);
                    return None;
                }
            },
            other => {
                self.problem(
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
        if limits.contains(&value) {
            return Some(value);
        }
        self.problem(
            &node.place,
            key,
            Words::of(|u| {
                format!(
                    "{} is outside {} to {}; choose a value between them",
                    show(u, dimension, value),
                    show(u, dimension, *limits.start()),
                    show(u, dimension, *limits.end())
                )
            }),
        );
        None
    }

    /// A quantity in SI that must be there and lie within `limits`.
    pub fn quantity(
        &self,
        key: &'static str,
        dimension: Dimension,
        limits: RangeInclusive<f64>,
    ) -> Option<f64> {
        match self.required(key, dimension.example()) {
            Some(node) => self.quantity_of(key, node, dimension, limits),
            None => self.stand_in(key, &limits),
        }
    }

    /// A quantity in SI that falls back to `default` where it is not given.
    pub fn quantity_or(
        &self,
        key: &'static str,
        dimension: Dimension,
        limits: RangeInclusive<f64>,
        default: f64,
    ) -> Option<f64> {
        match self.optional(key) {
            Some(node) => self.quantity_of(key, node, dimension, limits),
            None => Some(default),
        }
    }

    /// Two lengths `("x", "z")` on the ground, m.
    pub fn pair(&self, key: &'static str, limits: RangeInclusive<f64>) -> Option<[f64; 2]> {
        let node = self.required(key, "[\"0.4 m\", \"1.1 m\"]")?;
        self.pair_of(key, node, limits)
    }

    /// Two lengths that fall back to `default` where they are not given, m.
    pub fn pair_or(
        &self,
        key: &'static str,
        limits: RangeInclusive<f64>,
        default: [f64; 2],
    ) -> Option<[f64; 2]> {
        match self.optional(key) {
            Some(node) => self.pair_of(key, node, limits),
            None => Some(default),
        }
    }

    fn pair_of(&self, key: &str, node: &Node, limits: RangeInclusive<f64>) -> Option<[f64; 2]> {
        let Value::List(items) = &node.value else {
            self.problem(
                &node.place,
                key,
                format!("needs two lengths [\"0.4 m\", \"1.1 m\"], not {}", node.value.noun()),
            );
            return None;
        };
        let [a, b] = items.as_slice() else {
            self.problem(&node.place, key, format!("needs two lengths, not {}", items.len()));
            return None;
        };
        let read = |i: usize, node| {
            self.quantity_of(&format!("{key}.{i}"), node, Dimension::Length, limits.clone())
        };
        let (a, b) = (read(0, a), read(1, b));
        Some([a?, b?])
    }

    /// A list of lengths, m; an absent list is empty.
    pub fn lengths(
        &self,
        key: &'static str,
        most: usize,
        limits: RangeInclusive<f64>,
    ) -> Option<Vec<f64>> {
        let Some(node) = self.optional(key) else { return Some(Vec::new()) };
        match &node.value {
            Value::List(items) if items.len() <= most => {
                all(items.iter().enumerate().map(|(i, item)| {
                    let key = format!("{key}.{i}");
                    self.quantity_of(&key, item, Dimension::Length, limits.clone())
                }))
            }
            other => {
                let found = match other {
                    Value::List(items) => format!("{} of them", items.len()),
                    other => other.noun(),
                };
                self.problem(
                    &node.place,
                    key,
                    format!("needs a list of at most {most} lengths [\"38 mm\"], not {found}"),
                );
                None
            }
        }
    }

    /// A whole number within `limits`.
    pub fn count(
        &self,
        key: &'static str,
        limits: RangeInclusive<usize>,
        default: Option<usize>,
    ) -> Option<usize> {
        let example = limits.start().to_string();
        let ends = *limits.start() as f64..=*limits.end() as f64;
        let stand_in = || self.stand_in(key, &ends).map(|n| n.round() as usize);
        let node = match default {
            None => match self.required(key, &example) {
                Some(node) => node,
                None => return stand_in(),
            },
            Some(default) => match self.optional(key) {
                None => return Some(default),
                Some(node) => node,
            },
        };
        match node.value {
            Value::Number(n) if n.fract() == 0.0 && ends.contains(&n) => Some(n as usize),
            _ => {
                self.problem(
                    &node.place,
                    key,
                    format!(
                        "needs a whole number from {} to {}, not {}",
                        limits.start(),
                        limits.end(),
                        node.value.noun()
                    ),
                );
                stand_in()
            }
        }
    }

    pub fn flag(&self, key: &'static str, default: bool) -> Option<bool> {
        match self.optional(key) {
            None => Some(default),
            Some(Node { value: Value::Flag(b), .. }) => Some(*b),
            Some(node) => {
                self.problem(
                    &node.place,
                    key,
                    format!("needs true or false, not {}", node.value.noun()),
                );
                None
            }
        }
    }

    fn text_of(&self, key: &str, node: &Node) -> Option<String> {
        match &node.value {
            Value::Text(t) if !t.trim().is_empty() && t.len() <= 4000 => Some(t.trim().to_owned()),
            Value::Text(t) if t.len() > 4000 => {
                self.problem(&node.place, key, "is longer than 4000 characters; shorten it");
                None
            }
            other => {
                self.problem(
                    &node.place,
                    key,
                    format!("needs a text in quotes, not {}", other.noun()),
                );
                None
            }
        }
    }

    pub fn text(&self, key: &'static str) -> Option<String> {
        let node = self.required(key, "\"...\"")?;
        self.text_of(key, node)
    }

    pub fn text_or(&self, key: &'static str, default: &str) -> Option<String> {
        match self.optional(key) {
            Some(node) => self.text_of(key, node),
            None => Some(default.to_owned()),
        }
    }

    /// One of a fixed set of words.
    pub fn choice<T: Copy>(
        &self,
        key: &'static str,
        choices: &[(&str, T)],
        default: Option<T>,
    ) -> Option<T> {
        let list =
            || choices.iter().map(|(n, _)| format!("\"{n}\"")).collect::<Vec<_>>().join(", ");
        let stand_in = || {
            let place = self.stand_in(key, &(0.0..=choices.len() as f64))?;
            choices.get(place as usize).map(|(_, value)| *value)
        };
        let node = match default {
            None => match self.required(key, &list()) {
                Some(node) => node,
                None => return stand_in(),
            },
            Some(default) => match self.optional(key) {
                None => return Some(default),
                Some(node) => node,
            },
        };
        if let Value::Text(t) = &node.value
            && let Some((_, value)) = choices.iter().find(|(name, _)| name == t)
        {
            return Some(*value);
        }
        self.problem(
            &node.place,
            key,
            format!("{} is not known here; choose one of {}", node.value.noun(), list()),
        );
        stand_in()
    }

    /// The names in a list, or one name on its own.
    pub fn names(&self, key: &'static str) -> Option<Vec<String>> {
        let node = self.required(key, "[\"...\"]")?;
        match &node.value {
            Value::List(items) if !items.is_empty() => all(items
                .iter()
                .enumerate()
                .map(|(i, item)| self.text_of(&format!("{key}.{i}"), item))),
            Value::Text(_) => self.text_of(key, node).map(|t| vec![t]),
            other => {
                self.problem(
                    &node.place,
                    key,
                    format!("needs a list of names [\"...\"], not {}", other.noun()),
                );
                None
            }
        }
    }

    /// Readers for the items of a list; an absent list is empty.
    pub fn list(&self, key: &'static str) -> Vec<Fields<'a>> {
        match self.optional(key) {
            None => Vec::new(),
            Some(Node { value: Value::List(items), .. }) => {
                const MOST: usize = 64;
                if items.len() > MOST {
                    self.complain(
                        key,
                        format!("has {} items; at most {MOST} are read", items.len()),
                    );
                    return Vec::new();
                }
                let path = |(i, item): (usize, &Node)| match item.get("name").map(|n| &n.value) {
                    Some(Value::Text(name)) => format!("{}.{name}", self.below(key)),
                    _ => format!("{}.{i}", self.below(key)),
                };
                items
                    .iter()
                    .enumerate()
                    .map(|(i, item)| Fields::new(item, path((i, item)), self.problems))
                    .collect()
            }
            Some(node) => {
                self.problem(
                    &node.place,
                    key,
                    format!("needs a list [ ... ], not {}", node.value.noun()),
                );
                Vec::new()
            }
        }
    }

    /// A reader for a nested table that must be there.
    pub fn group(&self, key: &'static str) -> Option<Fields<'a>> {
        let node = self.required(key, "( ... )")?;
        Some(Fields::new(node, self.below(key), self.problems))
    }

    /// A reader for a nested table that may be left out.
    pub fn optional_group(&self, key: &'static str) -> Option<Fields<'a>> {
        let node = self.optional(key)?;
        Some(Fields::new(node, self.below(key), self.problems))
    }

    /// Reports every field that nobody asked for.
    pub fn end(&self) {
        let Value::Table(fields) = &self.node.value else { return };
        let known = self.known.borrow();
        for (key, node) in fields {
            if !known.contains(&key.as_str()) {
                let near = known
                    .iter()
                    .map(|k| (strsim::levenshtein(k, key), *k))
                    .filter(|(d, _)| *d <= 2)
                    .min()
                    .map(|(_, k)| format!("did you mean `{k}`? "));
                let mut list = known.clone();
                list.sort_unstable();
                list.dedup();
                self.problem(
                    &node.place,
                    key,
                    format!(
                        "is not a field here; {}known fields are {}",
                        near.unwrap_or_default(),
                        list.join(", ")
                    ),
                );
            }
        }
    }
}

//! Turns RON text into a tree of values that each know where they stand, and
//! changes single values of that tree for `--change`. Knows nothing of what a scene
//! means; see [`super::field_reader`] for that.
//!
//! ron itself parses every value; the place of a value is the offset of its raw
//! slice in the text.

use crate::digest::Digest;
use crate::printable::{brief, in_a_line};
use ron::value::RawValue;
use serde::de::{self, Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use std::cell::Cell;
use std::collections::BTreeSet;
use std::fmt;
use std::path::PathBuf;
use std::sync::Arc;

/// Where a value was written.
#[derive(Clone, Debug, PartialEq)]
pub enum Place {
    /// A file, with line and column counted from 1.
    File { file: Arc<PathBuf>, line: usize, column: usize },
    /// A `--change` on the command line, with its text.
    Change(Arc<str>),
    /// Placed by hand in a set-up that is being built.
    Hand,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File { file, line, column } => {
                write!(f, "{}:{line}:{column}", in_a_line(&file.to_string_lossy()))
            }
            Self::Change(text) => write!(f, "--change '{}'", brief(text, MOST_SHOWN)),
            Self::Hand => f.write_str("built by hand"),
        }
    }
}

/// One value and its place.
#[derive(Clone, Debug)]
pub struct Node {
    pub place: Place,
    pub value: Value,
}

/// What RON can say, as far as scenes use it. Struct names are not kept.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    Text(String),
    Number(f64),
    Flag(bool),
    /// `None` or `()`.
    Nothing,
    List(Vec<Node>),
    Table(Vec<(String, Node)>),
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}

impl Value {
    /// What kind of value it is, in words.
    pub fn noun(&self) -> String {
        match self {
            Self::Text(t) => format!("the text \"{}\"", brief(t, MOST_SHOWN)),
            Self::Number(n) => format!("the number {n}"),
            Self::Flag(b) => format!("{b}"),
            Self::Nothing => "nothing".into(),
            Self::List(_) => "a list".into(),
            Self::Table(_) => "a group of fields".into(),
        }
    }
}

/// The most characters of a value or a name that a problem shows.
pub const MOST_SHOWN: usize = 80;
/// The most items that a problem lists.
const MOST_LISTED: usize = 100;

/// The most steps of a path, more than any field of a scene needs. Each step may make a group,
/// and whatever walks a tree goes as deep as it is.
const MOST_STEPS: usize = 16;

/// Why a path leads to no value.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PathError {
    /// As far as `path` nothing is found; `there` is what stands before its last step.
    #[error("`{path}` leads nowhere; there is {there}")]
    Nowhere { path: String, there: String },
    #[error(
        "has {steps} steps, but a path has at most {MOST_STEPS}; write one such as \
         stacks.left.layers"
    )]
    TooLong { steps: usize },
}

/// Why a text is not a tree of values.
#[derive(Clone, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ParseError {
    #[error("{}", source.code)]
    NotRon { place: Place, source: Box<ron::error::SpannedError> },
    #[error("the field `{}` is given twice", brief(key, MOST_SHOWN))]
    GivenTwice { place: Place, key: String },
    #[error("more than 100 groups or lists stand in each other, and no scene needs ten")]
    TooDeep { place: Place },
}

impl ParseError {
    /// Where the text stops being one.
    pub fn place(&self) -> &Place {
        match self {
            Self::NotRon { place, .. }
            | Self::GivenTwice { place, .. }
            | Self::TooDeep { place } => place,
        }
    }
}

/// Parses a whole file.
///
/// # Errors
/// The first place where the text is not RON, with what was expected there.
pub fn parse(file: &Arc<PathBuf>, text: &str) -> Result<Node, ParseError> {
    // Offsets of the line starts, so that a large file is not counted through again for each of
    // its values.
    let starts: Vec<usize> =
        std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
    let at = |line: usize, column: usize| Place::File { file: file.clone(), line, column };
    // Where the value before stood, because values come in the order of the text: a line is not
    // counted through again for each of its own.
    let before = Cell::new((0, 0));
    let locate = |offset: usize| {
        let line = starts.partition_point(|&start| start <= offset);
        let start = starts[line - 1];
        let (from, count) = match before.get() {
            (seen, count) if (start..=offset).contains(&seen) => (seen, count),
            _ => (start, 0),
        };
        let count = count + text[from..offset].chars().count();
        before.set((offset, count));
        at(line, 1 + count)
    };
    let raw: &RawValue = ron::from_str(text).map_err(|source: ron::error::SpannedError| {
        let place = at(source.span.start.line, source.span.start.col);
        not_ron(place, source)
    })?;
    build(raw, text, &locate)
}

fn not_ron(place: Place, source: ron::error::SpannedError) -> ParseError {
    match source.code {
        ron::Error::ExceededRecursionLimit => ParseError::TooDeep { place },
        _ => ParseError::NotRon { place, source: Box::new(source) },
    }
}

/// Parses one value given on the command line. What is not RON is taken as text,
/// so that `5 deg` needs no quotes of its own.
pub fn parse_change_value(text: &str, whole: &Arc<str>) -> Node {
    let place = Place::Change(whole.clone());
    let locate = |_| place.clone();
    let parsed =
        ron::from_str::<&RawValue>(text).ok().and_then(|raw| build(raw, text, &locate).ok());
    parsed.unwrap_or_else(|| Node { place, value: Value::Text(text.trim().to_owned()) })
}

fn build(raw: &RawValue, text: &str, locate: &dyn Fn(usize) -> Place) -> Result<Node, ParseError> {
    let slice = raw.trim().get_ron();
    // Both slices lie in the same text, so the difference is the offset.
    let offset = (slice.as_ptr() as usize).saturating_sub(text.as_ptr() as usize).min(text.len());
    let place = locate(offset);
    let shallow: Shallow<'_> =
        ron::from_str(slice).map_err(|source| not_ron(place.clone(), source))?;
    // RON reads a word without quotes as an empty struct. As nothing, `staked: yes` would be a
    // field left out; as a text its field says what it wants instead.
    let is_word = slice.starts_with(|c: char| c.is_alphabetic() || c == '_') && slice != "None";
    let value = match shallow {
        Shallow::Scalar(Value::Nothing) if is_word => Value::Text(slice.to_owned()),
        Shallow::Scalar(value) => value,
        Shallow::List(items) => Value::List(
            items.into_iter().map(|raw| build(raw, text, locate)).collect::<Result<_, _>>()?,
        ),
        Shallow::Table(items) => {
            let mut table: Vec<(String, Node)> = Vec::new();
            let mut seen = BTreeSet::new();
            for (key, raw) in items {
                let node = build(raw, text, locate)?;
                if !seen.insert(key.clone()) {
                    return Err(ParseError::GivenTwice { place: node.place, key });
                }
                table.push((key, node));
            }
            Value::Table(table)
        }
    };
    Ok(Node { place, value })
}

/// One level of a value; what is inside stays raw text.
enum Shallow<'a> {
    Scalar(Value),
    List(Vec<&'a RawValue>),
    Table(Vec<(String, &'a RawValue)>),
}

impl<'de> Deserialize<'de> for Shallow<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Level;
        impl<'de> Visitor<'de> for Level {
            type Value = Shallow<'de>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text, a number, a list [..] or a group of fields (name: value)")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Self::Value, E> {
                Ok(Shallow::Scalar(Value::Text(v.to_owned())))
            }
            fn visit_char<E: de::Error>(self, v: char) -> Result<Self::Value, E> {
                Ok(Shallow::Scalar(Value::Text(v.to_string())))
            }
            fn visit_bool<E: de::Error>(self, v: bool) -> Result<Self::Value, E> {
                Ok(Shallow::Scalar(Value::Flag(v)))
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Self::Value, E> {
                Ok(Shallow::Scalar(Value::Number(v as f64)))
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Self::Value, E> {
                Ok(Shallow::Scalar(Value::Number(v as f64)))
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<Self::Value, E> {
                Ok(Shallow::Scalar(Value::Number(v)))
            }
            fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
                Ok(Shallow::Scalar(Value::Nothing))
            }
            fn visit_none<E: de::Error>(self) -> Result<Self::Value, E> {
                Ok(Shallow::Scalar(Value::Nothing))
            }
            fn visit_some<D: Deserializer<'de>>(self, d: D) -> Result<Self::Value, D::Error> {
                Shallow::deserialize(d)
            }
            fn visit_newtype_struct<D: Deserializer<'de>>(
                self,
                d: D,
            ) -> Result<Self::Value, D::Error> {
                Shallow::deserialize(d)
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Self::Value, A::Error> {
                let mut items = Vec::new();
                while let Some(item) = seq.next_element()? {
                    items.push(item);
                }
                Ok(Shallow::List(items))
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut items = Vec::new();
                while let Some(key) = map.next_key::<String>()? {
                    items.push((key, map.next_value()?));
                }
                Ok(Shallow::Table(items))
            }
        }
        deserializer.deserialize_any(Level)
    }
}

impl Node {
    /// A field of a table.
    pub fn get(&self, key: &str) -> Option<&Node> {
        match &self.value {
            Value::Table(fields) => fields.iter().find(|(k, _)| k == key).map(|(_, n)| n),
            _ => None,
        }
    }

    /// A field of a table, to be changed.
    pub fn get_mut(&mut self, key: &str) -> Option<&mut Node> {
        match &mut self.value {
            Value::Table(fields) => fields.iter_mut().find(|(k, _)| k == key).map(|(_, n)| n),
            _ => None,
        }
    }

    /// Where one step of a path leads, among a table's fields or a list's items: a
    /// field by its name, an item by its `name` or by its index from 0.
    fn index(&self, part: &str) -> Option<usize> {
        match &self.value {
            Value::Table(fields) => fields.iter().position(|(k, _)| k == part),
            Value::List(items) => {
                let named = items.iter().position(|item| {
                    matches!(item.get("name"), Some(Node { value: Value::Text(t), .. }) if t.trim() == part)
                });
                named.or_else(|| part.parse().ok()).filter(|&i| i < items.len())
            }
            _ => None,
        }
    }

    fn step(&mut self, part: &str) -> Option<&mut Node> {
        let index = self.index(part)?;
        match &mut self.value {
            Value::Table(fields) => Some(&mut fields[index].1),
            Value::List(items) => Some(&mut items[index]),
            _ => None,
        }
    }

    /// Adds an empty group where a table has no such field or the field is empty.
    fn make_group(&mut self, part: &str, place: &Place) {
        let Value::Table(fields) = &mut self.value else { return };
        let group = || Node { place: place.clone(), value: Value::Table(Vec::new()) };
        match fields.iter_mut().find(|(key, _)| key == part) {
            Some((_, field)) if field.value == Value::Nothing => *field = group(),
            Some(_) => {}
            None => fields.push((part.to_owned(), group())),
        }
    }

    /// Where the value at the end of a path was written, or as far as the path goes.
    pub fn place_of(&self, path: &[&str]) -> &Place {
        let mut here = self;
        for part in path {
            here = match (&here.value, here.index(part)) {
                (Value::Table(fields), Some(i)) => &fields[i].1,
                (Value::List(items), Some(i)) => &items[i],
                _ => break,
            };
        }
        &here.place
    }

    /// The steps of a dotted path, an item of a list by its index however the path names it:
    /// two paths to one place have the same steps.
    pub fn steps_of(&self, path: &str) -> Vec<String> {
        let mut here = Some(self);
        let step = |part: &str| {
            let at = here.and_then(|node| Some((node, node.index(part)?)));
            let (next, name) = match at.map(|(node, i)| (&node.value, i)) {
                Some((Value::List(items), i)) => (items.get(i), i.to_string()),
                Some((Value::Table(fields), i)) => (fields.get(i).map(|(_, n)| n), part.to_owned()),
                _ => (None, part.to_owned()),
            };
            here = next;
            name
        };
        path.split('.').map(step).collect()
    }

    /// Replaces the value at a dotted path, or adds the last field of it. A group of fields on
    /// the way that is left out is made; whether it is allowed there is checked when the tree
    /// is read.
    ///
    /// # Errors
    /// Which part of the path leads nowhere, and what stands there instead; or that it has
    /// too many steps.
    pub fn set(&mut self, path: &str, node: Node) -> Result<(), PathError> {
        let parts: Vec<&str> = path.split('.').collect();
        if parts.len() > MOST_STEPS {
            return Err(PathError::TooLong { steps: parts.len() });
        }
        let Some((last, way)) = parts.split_last() else { return Ok(()) };
        let mut here = self;
        for (depth, part) in way.iter().enumerate() {
            let there = here.children();
            here.make_group(part, &node.place);
            here = here
                .step(part)
                .ok_or_else(|| PathError::Nowhere { path: parts[..=depth].join("."), there })?;
        }
        if let Some(target) = here.step(last) {
            *target = node;
            return Ok(());
        }
        let there = here.children();
        match &mut here.value {
            Value::Table(fields) => {
                fields.push(((*last).to_owned(), node));
                Ok(())
            }
            _ => Err(PathError::Nowhere { path: path.to_owned(), there }),
        }
    }

    fn children(&self) -> String {
        let count = match &self.value {
            Value::Table(fields) => fields.len(),
            Value::List(items) => items.len(),
            _ => 0,
        };
        let mut names: Vec<String> = match &self.value {
            Value::Table(fields) => {
                fields.iter().take(MOST_LISTED).map(|(k, _)| brief(k, MOST_SHOWN).into()).collect()
            }
            Value::List(items) => items
                .iter()
                .take(MOST_LISTED)
                .enumerate()
                .map(|(i, item)| match item.get("name").map(|n| &n.value) {
                    Some(Value::Text(name)) => brief(name, MOST_SHOWN).into(),
                    _ => i.to_string(),
                })
                .collect(),
            value => vec![value.noun()],
        };
        if count > MOST_LISTED {
            names.push(format!("and {} more", count - MOST_LISTED));
        }
        if names.is_empty() { "nothing in it".into() } else { names.join(", ") }
    }

    /// One number for the values of a table, whatever their places and the fields' order,
    /// without some fields.
    pub fn digest(&self, without: &[&str]) -> u64 {
        fn walk(node: &Node, digest: &mut Digest, without: &[&str]) {
            match &node.value {
                Value::Text(text) => digest.bytes(b"text").text(text.trim()),
                Value::Number(number) => digest.bytes(b"number").f64(*number),
                Value::Flag(flag) => digest.bytes(b"flag").bytes(&[u8::from(*flag)]),
                Value::Nothing => digest.bytes(b"nothing"),
                Value::List(items) => {
                    digest.bytes(b"list").count(items.len() as u64);
                    items.iter().for_each(|item| walk(item, digest, &[]));
                    digest
                }
                Value::Table(fields) => {
                    let mut fields: Vec<_> =
                        fields.iter().filter(|(key, _)| !without.contains(&key.as_str())).collect();
                    fields.sort_by(|a, b| a.0.cmp(&b.0));
                    digest.bytes(b"table").count(fields.len() as u64);
                    for (key, node) in fields {
                        digest.text(key);
                        walk(node, digest, &[]);
                    }
                    digest
                }
            };
        }
        let mut digest = Digest::new();
        walk(self, &mut digest, without);
        digest.number()
    }

    /// The paths at which two trees differ, in the first tree's order: as deep as both
    /// have the same fields, and the same number of items in a list.
    pub fn differences(&self, other: &Self) -> Vec<String> {
        fn walk(a: &Node, b: &Node, path: &str, out: &mut Vec<String>) {
            let below = |part: &str| {
                if path.is_empty() { part.to_owned() } else { format!("{path}.{part}") }
            };
            match (&a.value, &b.value) {
                (Value::Table(fields), Value::Table(others)) => {
                    for (key, node) in fields {
                        match b.get(key) {
                            Some(other) => walk(node, other, &below(key), out),
                            None => out.push(below(key)),
                        }
                    }
                    let more = others.iter().filter(|(key, _)| a.get(key).is_none());
                    out.extend(more.map(|(key, _)| below(key)));
                }
                (Value::List(items), Value::List(others)) if items.len() == others.len() => {
                    for (i, (item, other)) in items.iter().zip(others).enumerate() {
                        let part = match item.get("name").map(|n| &n.value) {
                            Some(Value::Text(name)) => name.clone(),
                            _ => i.to_string(),
                        };
                        walk(item, other, &below(&part), out);
                    }
                }
                (a, b) if a == b => {}
                _ => out.push(path.to_owned()),
            }
        }
        let mut out = Vec::new();
        walk(self, other, "", &mut out);
        out
    }

    /// Every path in the tree that ends in a single value, in the file's order.
    pub fn leaf_paths(&self) -> Vec<String> {
        fn walk(node: &Node, path: &str, out: &mut Vec<String>) {
            let below = |part: &str| {
                if path.is_empty() { part.to_owned() } else { format!("{path}.{part}") }
            };
            match &node.value {
                Value::Table(fields) => {
                    fields.iter().for_each(|(k, n)| walk(n, &below(k), out));
                }
                Value::List(items) => {
                    items
                        .iter()
                        .enumerate()
                        .for_each(|(i, n)| walk(n, &below(&i.to_string()), out));
                }
                _ => out.push(path.to_owned()),
            }
        }
        let mut out = Vec::new();
        walk(self, "", &mut out);
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn node(text: &str) -> Node {
        parse(&Arc::new("a.ron".into()), text).unwrap()
    }

    #[test]
    fn every_value_knows_its_line_and_column() {
        let doc = node("// head\n(\n  a: \"5 m\", // first\n  list: [(name: \"x\", n: 3), ()],\n)");
        assert_eq!(doc.get("a").unwrap().place.to_string(), "a.ron:3:6");
        let Value::List(items) = &doc.get("list").unwrap().value else { panic!("a list") };
        assert_eq!(items[0].get("n").unwrap().place.to_string(), "a.ron:4:25");
        assert_eq!(items[0].get("n").unwrap().value, Value::Number(3.0));
    }

    #[test]
    fn a_word_without_quotes_is_a_text() {
        let doc = node("(a: yes, b: None, c: (), d: true, e: inf)");
        let value = |key: &str| doc.get(key).unwrap().value.clone();
        assert_eq!(value("a"), Value::Text("yes".into()));
        assert_eq!([value("b"), value("c")], [Value::Nothing, Value::Nothing]);
        assert_eq!([value("d"), value("e")], [Value::Flag(true), Value::Number(f64::INFINITY)]);
    }

    #[test]
    fn broken_text_says_where() {
        let broken = parse(&Arc::new("a.ron".into()), "(\n a: [1, 2\n)").unwrap_err();
        assert!(broken.place().to_string().starts_with("a.ron:3:"), "{broken:?}");
        assert!(parse(&Arc::new("a.ron".into()), "(a: 1, a: 2)").is_err());
    }

    #[test]
    fn set_finds_items_by_name_and_by_index() {
        let mut doc = node("(stacks: [(name: \"left\", layers: 4), (name: \"right\", layers: 4)])");
        let whole: Arc<str> = "stacks.right.layers=13".into();
        doc.set("stacks.right.layers", parse_change_value("13", &whole)).unwrap();
        doc.set("stacks.0.layers", parse_change_value("5 deg", &whole)).unwrap();
        assert_eq!(
            doc,
            node("(stacks: [(name: \"left\", layers: \"5 deg\"), (name: \"right\", layers: 13)])")
        );
        let lost = doc.set("stacks.middle.layers", parse_change_value("1", &whole)).unwrap_err();
        assert!(lost.to_string().contains("left, right"), "{lost}");
        assert_eq!(doc.leaf_paths().len(), 4);
    }

    #[test]
    fn differences_are_told_as_deep_as_the_trees_agree() {
        let a =
            node("(x: 1, stacks: [(name: \"left\", layers: 4), (name: \"right\")], chocks: [])");
        let b =
            node("(stacks: [(name: \"left\", layers: 5), (name: \"right\")], chocks: [()], y: 2)");
        assert_eq!(a.differences(&b), ["x", "stacks.left.layers", "chocks", "y"]);
        assert!(a.differences(&a).is_empty());
        assert_ne!(a.digest(&[]), b.digest(&[]));
        assert_ne!(a.digest(&["x"]), b.digest(&["y"]));
        let c =
            node("(chocks: [], stacks: [(layers: 4, name: \"left\"), (name: \"right\")], x: 2)");
        assert_eq!(a.digest(&["x"]), c.digest(&["x"]));
    }

    #[test]
    fn set_makes_a_group_that_is_left_out() {
        let mut doc = node("(name: \"x\", aims: None)");
        let whole: Arc<str> = "ground.wet=true".into();
        doc.set("ground.wet", parse_change_value("true", &whole)).unwrap();
        doc.set("aims.roll", parse_change_value("3 deg", &whole)).unwrap();
        assert_eq!(doc, node("(name: \"x\", aims: (roll: \"3 deg\"), ground: (wet: true))"));
        let lost = doc.set("name.first", parse_change_value("1", &whole)).unwrap_err();
        assert!(lost.to_string().contains("leads nowhere"), "{lost}");
    }
}

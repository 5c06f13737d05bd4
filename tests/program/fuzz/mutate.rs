//! Changes shipped scenes at random as somebody who knows their fields would: values of other
//! scenes in the same field, values beyond every limit, fields and items away, twice, or under
//! another name; now and then a few bytes of the text.

use arbtest::arbitrary::{Result, Unstructured};
use inchwise::scene::tree::{Node, Place, Value};
use std::collections::BTreeMap;

/// What shipped scenes hold: their trees, and every value by the name of its field.
pub struct Corpus {
    pub docs: Vec<Node>,
    by_field: BTreeMap<String, Vec<Node>>,
    fields: Vec<String>,
}

const ODD_TEXTS: &[&str] = &[
    "",
    " ",
    "0 m",
    "-1 m",
    "1e308 m",
    "1e-308 kg",
    "NaN m",
    "inf bar",
    "-0 deg",
    "90 deg",
    "180 deg",
    "9999999999 t",
    "5",
    "5 parsecs",
    "100 %",
    "-100 %",
    "0 %",
    "saloon",
    "pickup",
    "beam",
    "vehicle",
    "../../etc/passwd",
    "/dev/zero",
    "a.b.c",
    "=1+1",
    "\u{1b}[2J",
    "\u{202e}x",
    "\u{0}",
    "é°²",
    "{roll}",
    "{",
    "}{",
    "{casualty_load of nobody}",
    "on its roof",
    "on its left side",
    "on its wheels",
];
const ODD_NUMBERS: &[f64] = &[
    0.0,
    -0.0,
    1.0,
    -1.0,
    2.0,
    0.5,
    6.0,
    24.0,
    25.0,
    64.0,
    65.0,
    1e9,
    -1e9,
    1e308,
    1e-308,
    f64::NAN,
    f64::INFINITY,
    4_294_967_296.0,
];

/// Every field of a table, at whatever depth, with its key.
fn walk<'a>(node: &'a Node, each: &mut dyn FnMut(&str, &'a Node)) {
    match &node.value {
        Value::Table(fields) => fields.iter().for_each(|(key, node)| {
            each(key, node);
            walk(node, each);
        }),
        Value::List(items) => items.iter().for_each(|item| walk(item, each)),
        _ => {}
    }
}

impl Corpus {
    pub fn shipped() -> Self {
        let names = inchwise::scene::builtin_names();
        let docs: Vec<Node> =
            names.iter().filter_map(|name| inchwise::scene::tree_of(name, &[]).ok()).collect();
        assert!(docs.len() > 20, "the shipped scenes are read");
        let mut by_field: BTreeMap<String, Vec<Node>> = BTreeMap::new();
        for doc in &docs {
            walk(doc, &mut |key, node| {
                let values = by_field.entry(key.to_owned()).or_default();
                if values.len() < 40 && !values.contains(node) {
                    values.push(node.clone());
                }
            });
        }
        let fields = by_field.keys().cloned().collect();
        Self { docs, by_field, fields }
    }

    /// A shipped scene with some changes in one of its fields, or anywhere.
    pub fn mutated(&self, u: &mut Unstructured<'_>, under: Option<&str>) -> Result<Node> {
        let mut doc = u.choose(&self.docs)?.clone();
        for _ in 0..u.int_in_range(1..=4)? {
            let root = match under {
                Some(key) => doc.get_mut(key),
                None => Some(&mut doc),
            };
            if let Some(root) = root {
                self.change(u, root)?;
            }
        }
        Ok(doc)
    }

    /// Goes down to a random place and changes what is there.
    fn change(&self, u: &mut Unstructured<'_>, node: &mut Node) -> Result<()> {
        let stops = u.ratio(1, 4)?;
        match &mut node.value {
            Value::Table(fields) if !fields.is_empty() => {
                let i = u.choose_index(fields.len())?;
                if !stops {
                    let (key, inner) = &mut fields[i];
                    return match inner.value {
                        Value::Table(_) | Value::List(_) => self.change(u, inner),
                        _ => self.replace(u, key, inner),
                    };
                }
                match u.int_in_range(0..=4)? {
                    0 => drop(fields.remove(i)),
                    1 => fields[i].0.clone_from(u.choose(&self.fields)?),
                    2 => fields.swap(0, i),
                    3 => {
                        let key = u.choose(&self.fields)?.clone();
                        let value = u.choose(&self.by_field[&key])?.clone();
                        fields.push((key, value));
                    }
                    _ => {
                        let (key, inner) = &mut fields[i];
                        self.replace(u, key, inner)?;
                    }
                }
            }
            Value::List(items) if !items.is_empty() => {
                let i = u.choose_index(items.len())?;
                if !stops {
                    return match items[i].value {
                        Value::Table(_) | Value::List(_) => self.change(u, &mut items[i]),
                        _ => self.replace(u, "", &mut items[i]),
                    };
                }
                match u.int_in_range(0..=3)? {
                    0 => drop(items.remove(i)),
                    1 => items.push(items[i].clone()),
                    2 => items.swap(0, i),
                    _ => self.replace(u, "", &mut items[i])?,
                }
            }
            _ => self.replace(u, "", node)?,
        }
        Ok(())
    }

    fn replace(&self, u: &mut Unstructured<'_>, key: &str, node: &mut Node) -> Result<()> {
        let same_field = self.by_field.get(key);
        node.value = match (u.int_in_range(0..=9)?, same_field) {
            (0..=3, Some(values)) => u.choose(values)?.value.clone(),
            (0..=5, _) => scaled(u, &node.value)?,
            (6, _) => Value::Text((*u.choose(ODD_TEXTS)?).to_owned()),
            (7, _) => Value::Number(*u.choose(ODD_NUMBERS)?),
            (8, _) => self.any_value(u)?.value.clone(),
            _ => u
                .choose(&[
                    Value::Nothing,
                    Value::Flag(true),
                    Value::List(Vec::new()),
                    Value::Table(Vec::new()),
                    Value::List(vec![Node { place: Place::Hand, value: Value::Nothing }; 65]),
                ])?
                .clone(),
        };
        Ok(())
    }

    fn any_value(&self, u: &mut Unstructured<'_>) -> Result<&Node> {
        let field = u.choose(&self.fields)?;
        u.choose(&self.by_field[field])
    }

    /// A path of a shipped scene with a step changed, and a value for it.
    pub fn change_option(&self, u: &mut Unstructured<'_>, doc: &Node) -> Result<String> {
        let paths = doc.leaf_paths();
        let path = u.choose(&paths)?.clone();
        let mut steps: Vec<&str> = path.split('.').collect();
        let i = u.choose_index(steps.len())?;
        match u.int_in_range(0..=6)? {
            0 => steps[i] = u.choose(&self.fields)?,
            1 => steps.truncate(i + 1),
            2 => steps.insert(i, "0"),
            3 => steps.extend(vec![steps[i]; u.int_in_range(1..=40)?]),
            4 => steps[i] = u.choose(ODD_TEXTS)?,
            _ => {}
        }
        let value = match u.int_in_range(0..=3)? {
            0 => (*u.choose(ODD_TEXTS)?).to_owned(),
            1 => u.choose(ODD_NUMBERS)?.to_string(),
            2 => "[(".repeat(u.int_in_range(1..=200)?),
            _ => match &self.any_value(u)?.value {
                Value::Text(text) => text.clone(),
                Value::Number(number) => number.to_string(),
                _ => "(a: [1, \"2 m\"])".to_owned(),
            },
        };
        Ok(format!("{}={value}", steps.join(".")))
    }
}

/// The same quantity, larger or smaller.
fn scaled(u: &mut Unstructured<'_>, value: &Value) -> Result<Value> {
    let factor = *u.choose(&[0.0, 0.5, 0.9, 1.1, 2.0, 10.0, -1.0, 1e6, 1e-6])?;
    Ok(match value {
        Value::Number(number) => Value::Number((number * factor).round()),
        Value::Flag(flag) => Value::Flag(!flag),
        Value::Text(text) => {
            let end = text.find(' ').unwrap_or(text.len());
            match text[..end].parse::<f64>() {
                Ok(number) => Value::Text(format!("{}{}", number * factor, &text[end..])),
                Err(_) => Value::Text(text.chars().rev().collect()),
            }
        }
        other => other.clone(),
    })
}

/// Bytes with a few of them changed, taken away, or there twice.
pub fn damaged(u: &mut Unstructured<'_>, bytes: &[u8]) -> Result<Vec<u8>> {
    const ODD: &[u8] = b"\"\\()[]{}:,.-=|\n\r\t 0{;#\x00\x1b\x7f\xff\xc3";
    let mut bytes = bytes.to_vec();
    for _ in 0..*u.choose(&[0, 1, 1, 2, 6])? {
        let i = u.int_in_range(0..=bytes.len())?;
        let long = u.int_in_range(1..=40)?;
        let end = (i + long).min(bytes.len());
        match u.int_in_range(0..=5)? {
            0 => drop(bytes.drain(i..end)),
            1 => {
                let copy = bytes[i..end].to_vec();
                bytes.splice(i..i, copy);
            }
            2 => bytes.insert(i, *u.choose(ODD)?),
            3 if i < bytes.len() => bytes[i] ^= 1 << u.int_in_range(0..=7)?,
            4 if u.ratio(1, 6)? => bytes.truncate(i),
            _ if i < bytes.len() => bytes[i] = *u.choose(ODD)?,
            _ => {}
        }
    }
    Ok(bytes)
}

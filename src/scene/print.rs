//! Writes a tree of values as RON text that reads as the same tree.

use super::tree::{Node, Value};

/// What fits into a line of this many characters is not broken.
const LINE: usize = 100;

/// The text of a scene file.
pub(super) fn scene(doc: &Node) -> String {
    // The outermost group is always broken: one field a line.
    let mut text = match &doc.value {
        Value::Table(fields) if !fields.is_empty() => broken_table(fields, 0),
        _ => value(doc, 0, 0),
    };
    text.push('\n');
    text
}

/// A value that begins `column` characters into a line indented by `indent` steps.
fn value(node: &Node, indent: usize, column: usize) -> String {
    let flat = flat(node);
    if column + flat.chars().count() < LINE {
        return flat;
    }
    match &node.value {
        Value::List(items) if !items.is_empty() => {
            let pad = "    ".repeat(indent + 1);
            let items: String = items
                .iter()
                .map(|item| format!("{pad}{},\n", value(item, indent + 1, pad.len() + 1)))
                .collect();
            format!("[\n{items}{}]", "    ".repeat(indent))
        }
        Value::Table(fields) if !fields.is_empty() => broken_table(fields, indent),
        _ => flat,
    }
}

fn broken_table(fields: &[(String, Node)], indent: usize) -> String {
    let pad = "    ".repeat(indent + 1);
    let plain = fields.iter().all(|(key, _)| is_plain(key));
    let lines: String = fields
        .iter()
        .map(|(key, node)| {
            let key = if plain { key.clone() } else { quoted(key) };
            let before = pad.len() + key.chars().count() + 3;
            format!("{pad}{key}: {},\n", value(node, indent + 1, before))
        })
        .collect();
    let [open, close] = if plain { ["(", ")"] } else { ["{", "}"] };
    format!("{open}\n{lines}{}{close}", "    ".repeat(indent))
}

/// A value on one line.
fn flat(node: &Node) -> String {
    let join = |items: Vec<String>| items.join(", ");
    match &node.value {
        Value::Text(text) => quoted(text),
        // Debug writes what reads as the same number, and whole ones without a point.
        Value::Number(n) if n.fract() == 0.0 && n.abs() < 1e15 => format!("{n:.0}"),
        Value::Number(n) if n.is_nan() => "NaN".into(),
        Value::Number(n) => format!("{n:?}"),
        Value::Flag(flag) => flag.to_string(),
        Value::Nothing => "None".into(),
        Value::List(items) => format!("[{}]", join(items.iter().map(flat).collect())),
        // `()` would read as nothing.
        Value::Table(fields) if fields.is_empty() => "{}".into(),
        Value::Table(fields) if fields.iter().all(|(key, _)| is_plain(key)) => {
            format!("({})", join(fields.iter().map(|(k, n)| format!("{k}: {}", flat(n))).collect()))
        }
        Value::Table(fields) => {
            let field = |(key, node): &(String, Node)| format!("{}: {}", quoted(key), flat(node));
            format!("{{{}}}", join(fields.iter().map(field).collect()))
        }
    }
}

/// Whether a key can stand without quotes.
fn is_plain(key: &str) -> bool {
    let mut chars = key.chars();
    chars.next().is_some_and(|c| c.is_ascii_alphabetic() || c == '_')
        && chars.all(|c| c.is_ascii_alphanumeric() || c == '_')
}

fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => out.push_str(&format!("\\u{{{:x}}}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use crate::scene::{builtin_names, text_of, tree, tree_of, tree_of_text};
    use std::path::Path;
    use std::sync::Arc;

    fn parse(text: &str) -> tree::Node {
        tree::parse(&Arc::new("a.ron".into()), text).unwrap_or_else(|e| panic!("{e}: {text}"))
    }

    /// Whether a shipped scene, or the one that it is like, changes a field of its vehicle.
    fn changes_its_vehicle(name: &str) -> bool {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenes/{name}.ron"));
        let text = std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{name}: {e}"));
        let like =
            text.lines().find_map(|line| line.trim().strip_prefix("like: \"")?.split('"').next());
        text.contains("\"vehicle.") || like.is_some_and(changes_its_vehicle)
    }

    /// Every kind of value, awkward ones too, reads back as itself.
    #[test]
    fn what_is_written_reads_as_the_same() {
        let long = "x".repeat(150);
        for text in [
            "(a: 1, b: -2.5, c: 1e300, d: 1e-7, e: true, f: None, g: [], h: {}, i: [None, \"\"])"
                .to_owned(),
            r#"(t: "say \"so\" \\ \t \n \u{7f} \u{1} ü → 'x'")"#.to_owned(),
            r#"({"two words": 1, "": 2})"#.replace("({", "{").replace("})", "}"),
            format!("(a: [(b: \"{long}\", c: [(d: \"{long}\")]), {{\"e f\": \"{long}\"}}])"),
            "3".to_owned(),
        ] {
            let doc = parse(&text);
            let again = super::scene(&doc);
            assert_eq!(parse(&again), doc, "{again}");
            assert_eq!(super::scene(&parse(&again)), again, "written twice it is the same text");
        }
    }

    /// A shipped scene that is saved and opened is the same scene, with its vehicle by name.
    #[test]
    fn every_shipped_scene_is_saved_and_opened_the_same() {
        for name in builtin_names() {
            let Ok(doc) = tree_of(&name, &[]) else { panic!("{name} cannot be read") };
            let text = text_of(&doc, Path::new("saved.ron"));
            // A vehicle of the shelf is saved by its name, one that the scene changed whole.
            let named = text.lines().any(|line| line.starts_with("    vehicle: \""));
            assert_eq!(named, !changes_its_vehicle(&name), "{name}: {text}");
            let Ok(again) = tree_of_text(&text) else { panic!("{name} cannot be read again") };
            assert_eq!(doc, again, "{name}");
        }
    }

    /// A vehicle that was changed has no file of its own any more: it is written out.
    #[test]
    fn a_changed_vehicle_is_written_out() {
        let sets = ["vehicle.mass=1500 kg".to_owned()];
        let Ok(doc) = tree_of("beam-lift", &sets) else { panic!("cannot be read") };
        let text = text_of(&doc, Path::new("saved.ron"));
        assert!(text.contains("1500 kg"), "{text}");
        let Ok(again) = tree_of_text(&text) else { panic!("cannot be read again") };
        assert_eq!(doc, again);
    }
}

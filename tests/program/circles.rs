//! No file of the source uses another that uses it in turn, however many files lie between:
//! each can be read, moved and tested with only what is below it.
//!
//! An edge goes from a file to the file that defines a name. A name that a file only passes
//! on (`pub use`) leads to where it is defined; declaring a module (`mod name;`) is no edge.
//! A file that calls a method of a type of its own which another file implements uses that file.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// One source file: its code without comments, strings and tests, and where it stands.
struct Source {
    /// Path below the root.
    path: String,
    /// Its module path, such as `["watch", "slide"]`; empty for lib.rs.
    module: Vec<String>,
    code: String,
}

/// A path in the code, such as `super::a::B`, made absolute, with the name it is bound to.
struct Used {
    path: Vec<String>,
    /// The name that a `use` brings in; none for a path in the middle of code.
    binds: Option<String>,
}

fn sources(folder: &Path, module: &[String], out: &mut Vec<Source>) {
    let mut entries: Vec<_> = std::fs::read_dir(folder)
        .expect("src is there")
        .map(|e| e.expect("an entry").path())
        .collect();
    entries.sort();
    for path in entries {
        let stem = path.file_stem().and_then(|s| s.to_str()).expect("a name").to_owned();
        let below = [module, std::slice::from_ref(&stem)].concat();
        if path.is_dir() {
            sources(&path, &below, out);
        } else if path.extension().is_some_and(|e| e == "rs") && stem != "main" {
            let here = if stem == "mod" || stem == "lib" { module.to_vec() } else { below };
            let text = std::fs::read_to_string(&path).expect("a source");
            let root = Path::new(env!("CARGO_MANIFEST_DIR"));
            let path = path.strip_prefix(root).expect("below the root").display().to_string();
            out.push(Source { path, module: here, code: bare(&text) });
        }
    }
}

/// Code without comments, without what stands in quotes, and without its tests.
fn bare(text: &str) -> String {
    let text = text.split("#[cfg(test)]\nmod ").next().unwrap_or_default();
    let mut out = String::new();
    for line in text.lines() {
        let line = line.split("//").next().unwrap_or_default();
        // Strings of one line; those over several lines hold no paths here.
        for (i, piece) in line.replace("\\\"", "").split('"').enumerate() {
            out += if i % 2 == 0 { piece } else { " " };
        }
        out.push('\n');
    }
    out
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Every path in the code that begins with `crate`, `super`, `self` or a module declared here.
fn used(source: &Source, children: &BTreeSet<String>) -> Vec<Used> {
    let code = &source.code;
    let mut out = Vec::new();
    // Inline modules that are open: at which depth of braces each began.
    let (mut inline, mut depth, mut at) = (Vec::new(), 0_usize, 0);
    let mut before = String::new();
    while at < code.len() {
        let rest = &code[at..];
        let c = rest.chars().next().expect("a character");
        if !is_word(c) {
            match c {
                '{' => depth += 1,
                '}' => {
                    depth = depth.saturating_sub(1);
                    if inline.last() == Some(&depth) {
                        inline.pop();
                    }
                }
                _ => {}
            }
            at += c.len_utf8();
            continue;
        }
        let end = rest.find(|c| !is_word(c)).unwrap_or(rest.len());
        let word = &rest[..end];
        if before == "mod" && rest[end..].trim_start().starts_with('{') {
            inline.push(depth);
        }
        let inside = code[..at].trim_end().ends_with("::");
        let is_use = before == "use";
        let begins = !inside && (rest[end..].starts_with("::") || is_use);
        if begins && (["crate", "super", "self"].contains(&word) || children.contains(word)) {
            let tail = if is_use { rest.split(';').next().unwrap_or(rest) } else { rest };
            let mut found = Vec::new();
            let mut cursor = tail;
            tree(&mut cursor, &[], is_use, &mut found);
            for (path, binds) in found {
                out.extend(absolute(&path, source, inline.len()).map(|path| Used { path, binds }));
            }
            at += if is_use { tail.len() } else { end };
        } else {
            at += end;
        }
        word.clone_into(&mut before);
    }
    out
}

/// Reads one tree of paths, such as `a::{b, c::d as e}`.
fn tree(
    rest: &mut &str,
    front: &[String],
    is_use: bool,
    out: &mut Vec<(Vec<String>, Option<String>)>,
) {
    let mut path = front.to_vec();
    loop {
        *rest = rest.trim_start();
        if is_use && let Some(inner) = rest.strip_prefix('{') {
            *rest = inner;
            loop {
                *rest = rest.trim_start_matches([' ', '\n', ',']);
                if rest.is_empty() {
                    return;
                }
                if let Some(after) = rest.strip_prefix('}') {
                    *rest = after;
                    return;
                }
                tree(rest, &path, is_use, out);
            }
        }
        if let Some(after) = rest.strip_prefix('*') {
            *rest = after;
            path.push("*".into());
            out.push((path, Some("*".into())));
            return;
        }
        let end = rest.find(|c| !is_word(c)).unwrap_or(rest.len());
        if end == 0 {
            return;
        }
        path.push(rest[..end].to_owned());
        *rest = &rest[end..];
        if let Some(after) = rest.strip_prefix("::") {
            *rest = after;
            continue;
        }
        let mut binds = path.last().filter(|last| *last != "self").cloned();
        if path.last().is_some_and(|last| last == "self") && path.len() > 1 {
            path.pop();
            binds = path.last().cloned();
        }
        if is_use && let Some(after) = rest.trim_start().strip_prefix("as ") {
            let after = after.trim_start();
            let end = after.find(|c| !is_word(c)).unwrap_or(after.len());
            binds = Some(after[..end].to_owned());
            *rest = &after[end..];
        }
        out.push((path, binds.filter(|_| is_use)));
        return;
    }
}

/// The path from the crate's root; `inline` modules are open around it.
fn absolute(path: &[String], source: &Source, inline: usize) -> Option<Vec<String>> {
    let mut here = source.module.clone();
    let mut up = 0;
    let mut rest = path;
    match path.first()?.as_str() {
        "crate" => return Some(path[1..].to_vec()),
        "self" => rest = &path[1..],
        _ => {
            while rest.first().is_some_and(|word| word == "super") {
                up += 1;
                rest = &rest[1..];
            }
        }
    }
    for _ in inline..up {
        here.pop()?;
    }
    here.extend_from_slice(rest);
    Some(here)
}

/// The file that defines what a path names, following what files only pass on.
fn home(
    path: &[String],
    files: &BTreeMap<Vec<String>, usize>,
    uses: &[Vec<Used>],
    sources: &[Source],
    steps: usize,
) -> Option<usize> {
    let known = (0..=path.len()).rev().find(|&n| files.contains_key(&path[..n]))?;
    let file = files[&path[..known]];
    let Some(name) = path.get(known).filter(|name| *name != "*") else { return Some(file) };
    if steps == 0 {
        return Some(file);
    }
    let passed_on = |used: &&Used| used.binds.as_ref() == Some(name);
    if let Some(used) = uses[file].iter().find(passed_on) {
        let path = [used.path.as_slice(), &path[known + 1..]].concat();
        return home(&path, files, uses, sources, steps - 1);
    }
    let defined =
        ["fn", "struct", "enum", "const", "static", "type", "trait", "mod", "macro_rules!"]
            .iter()
            .any(|kind| sources[file].code.contains(&format!("{kind} {name}")));
    if !defined {
        for used in uses[file].iter().filter(|used| used.binds.as_deref() == Some("*")) {
            let path = [&used.path[..used.path.len() - 1], &path[known..]].concat();
            let there = home(&path, files, uses, sources, steps - 1);
            if there.is_some_and(|there| {
                there != file && sources[there].code.contains(&format!(" {name}"))
            }) {
                return there;
            }
        }
    }
    Some(file)
}

/// Which file uses which, by what names.
fn edges(sources: &[Source]) -> BTreeMap<(usize, usize), BTreeSet<String>> {
    let files: BTreeMap<Vec<String>, usize> =
        sources.iter().enumerate().map(|(i, s)| (s.module.clone(), i)).collect();
    let children = |source: &Source| -> BTreeSet<String> {
        let below = files.keys().filter(|m| m.len() == source.module.len() + 1);
        below.filter(|m| m.starts_with(&source.module)).filter_map(|m| m.last().cloned()).collect()
    };
    let uses: Vec<Vec<Used>> = sources.iter().map(|s| used(s, &children(s))).collect();
    let mut out: BTreeMap<(usize, usize), BTreeSet<String>> = BTreeMap::new();
    for (from, used) in uses.iter().enumerate() {
        for Used { path, binds } in used {
            // What a file passes on and does not use itself is no edge of its own.
            if let Some(name) = binds {
                let mut words = sources[from].code.split(|c| !is_word(c));
                let seen = words.by_ref().filter(|word| word == name).count();
                if seen <= 1 && is_parent(&sources[from].path) {
                    continue;
                }
            }
            if let Some(to) = home(path, &files, &uses, sources, 8)
                && to != from
            {
                out.entry((from, to)).or_default().insert(path.join("::"));
            }
        }
    }
    for (from, to, name) in method_edges(sources, &files, &uses) {
        out.entry((from, to)).or_default().insert(name);
    }
    out
}

/// Methods that a file gives to a type.
struct Methods {
    /// The type as it is named there.
    of: String,
    names: BTreeSet<String>,
}

/// Methods of ours whose names the standard library's types have as well.
const STANDARD: &[&str] = &["map"];

/// The methods of every `impl Type` in a file's code; traits are called by their own names.
fn methods(code: &str) -> Vec<Methods> {
    let mut out = Vec::new();
    let begins = code.match_indices("impl").filter(|(at, _)| {
        code[..*at].chars().next_back().is_none_or(|c| c.is_whitespace())
            && code[at + 4..].starts_with([' ', '<'])
    });
    for (at, _) in begins {
        let Some((head, body)) = code[at + 4..].split_once('{') else { continue };
        // Also in the middle of a signature: `-> impl Iterator`.
        if head.contains([';', ')', '=']) || head.split_whitespace().any(|word| word == "for") {
            continue;
        }
        let mut of = head.trim();
        if of.starts_with('<') {
            of = of.split_once("> ").map_or("", |(_, rest)| rest);
        }
        let of = of.split(['<', ' ', '\n']).next().unwrap_or_default().to_owned();
        let (mut depth, mut names, mut before) = (1, BTreeSet::new(), "");
        let mut rest = body;
        while depth > 0 && !rest.is_empty() {
            let end = rest.find(|c| !is_word(c)).unwrap_or(rest.len());
            if end > 0 {
                if depth == 1 && before == "fn" {
                    names.insert(rest[..end].to_owned());
                }
                (before, rest) = rest.split_at(end);
                continue;
            }
            depth += i32::from(rest.starts_with('{')) - i32::from(rest.starts_with('}'));
            let c = rest.chars().next().map_or(0, char::len_utf8);
            rest = &rest[c..];
        }
        out.push(Methods { of, names });
    }
    out
}

/// From the file of each type to the files that implement methods of it which that file calls.
fn method_edges(
    sources: &[Source],
    files: &BTreeMap<Vec<String>, usize>,
    uses: &[Vec<Used>],
) -> Vec<(usize, usize, String)> {
    let mut defined: BTreeMap<&str, usize> = BTreeMap::new();
    for source in sources {
        let mut words = source.code.split(|c| !is_word(c)).filter(|word| !word.is_empty());
        while let Some(word) = words.next() {
            if word == "fn"
                && let Some(name) = words.next()
            {
                *defined.entry(name).or_default() += 1;
            }
        }
    }
    let mut out = Vec::new();
    for (to, source) in sources.iter().enumerate() {
        for Methods { of, names } in methods(&source.code) {
            let path: Vec<String> = of.split("::").map(str::to_owned).collect();
            let path = if path.len() > 1 { absolute(&path, source, 0) } else { None }
                .unwrap_or_else(|| [source.module.as_slice(), &path].concat());
            let Some(from) = home(&path, files, uses, sources, 8).filter(|from| *from != to) else {
                continue;
            };
            let (code, of) = (&sources[from].code, path.last().cloned().unwrap_or_default());
            for name in names {
                // A name that other types have too says whose it is only behind the type.
                let alone =
                    defined.get(name.as_str()) == Some(&1) && !STANDARD.contains(&name.as_str());
                let own = code.contains(&format!("fn {name}("));
                // Without its brackets behind a dot it is a field.
                let calls = code.match_indices(name.as_str()).any(|(at, _)| {
                    let (front, behind) = (&code[..at], &code[at + name.len()..]);
                    let called = behind.starts_with('(') || behind.starts_with("::<");
                    let of_self = front.ends_with("self.") && called;
                    let of_type = [String::from("Self::"), format!("{of}::")]
                        .iter()
                        .any(|path| front.ends_with(path) && !behind.starts_with(is_word));
                    (alone && called && front.ends_with('.')) || (!own && (of_self || of_type))
                });
                if calls {
                    out.push((from, to, format!("{of}.{name}")));
                }
            }
        }
    }
    out
}

fn is_parent(path: &str) -> bool {
    path.ends_with("/mod.rs") || path.ends_with("lib.rs")
}

/// Every circle as a set of files that can reach each other.
fn circles(count: usize, edges: &BTreeMap<(usize, usize), BTreeSet<String>>) -> Vec<Vec<usize>> {
    let mut reach = vec![BTreeSet::new(); count];
    for (start, reached) in reach.iter_mut().enumerate() {
        let mut todo = vec![start];
        while let Some(at) = todo.pop() {
            for &(_, to) in edges.keys().filter(|(from, _)| *from == at) {
                if reached.insert(to) {
                    todo.push(to);
                }
            }
        }
    }
    let mut out: Vec<Vec<usize>> = Vec::new();
    for start in 0..count {
        if reach[start].contains(&start) && !out.iter().any(|circle| circle.contains(&start)) {
            out.push(
                (0..count)
                    .filter(|&i| reach[start].contains(&i) && reach[i].contains(&start))
                    .collect(),
            );
        }
    }
    out
}

#[test]
fn no_circle_of_files_is_left() {
    let mut all = Vec::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &[], &mut all);
    let edges = edges(&all);
    assert!(edges.len() > 300, "only {} uses were found: is the search blind?", edges.len());
    let told: Vec<String> = circles(all.len(), &edges)
        .into_iter()
        .map(|circle| {
            let mut text = String::new();
            for ((from, to), names) in &edges {
                if circle.contains(from) && circle.contains(to) {
                    let names: Vec<_> = names.iter().map(String::as_str).collect();
                    text += &format!(
                        "  {} -> {}: {}\n",
                        all[*from].path,
                        all[*to].path,
                        names.join(", ")
                    );
                }
            }
            text
        })
        .collect();
    assert!(told.is_empty(), "{} circles of files:\n{}", told.len(), told.join("\n"));
}

/// The search sees a circle through a name that is passed on, through an inline module, through
/// three files and through a method; and sees none where there is none.
#[test]
fn circles_are_seen() {
    let source = |module: &str, code: &str| Source {
        path: format!(
            "src/{}",
            if module == "a" { "a/mod.rs".into() } else { format!("{module}.rs") }
        ),
        module: module.split("::").filter(|m| !m.is_empty()).map(str::to_owned).collect(),
        code: bare(code),
    };
    let found = |sources: &[Source]| {
        circles(sources.len(), &edges(sources))
            .into_iter()
            .map(|c| {
                c.into_iter().map(|i| sources[i].module.join("::")).collect::<Vec<_>>().join(" ")
            })
            .collect::<Vec<_>>()
    };
    let parent = |code: &str| source("a", code);
    let (b, c) = ("use super::C;\npub struct B(C);", "pub struct C;");
    let passes_on = "mod b;\nmod c;\npub use b::B;\npub use c::C;";
    assert!(found(&[parent(passes_on), source("a::b", b), source("a::c", c)]).is_empty());
    let c = "use super::B;\npub struct C(B);";
    assert_eq!(found(&[parent(passes_on), source("a::b", b), source("a::c", c)]), ["a::b a::c"]);
    let uses = "mod b;\nuse b::B;\npub struct A(B);\npub const X_M: f64 = 1.0;";
    let b = "pub struct B;\nmod inner { fn f() -> f64 { super::super::X_M } }";
    assert_eq!(found(&[parent(uses), source("a::b", b)]), ["a a::b"]);
    let three = [
        source("x", "pub fn x() { crate::y::y() }"),
        source("y", "use crate::{z};\npub fn y() { z::z() }"),
        source(
            "z",
            "pub fn z() { if false { crate::x::x() } }\n#[cfg(test)]\nmod tests { use super::*; }",
        ),
    ];
    assert_eq!(found(&three), ["x y z"]);
    let of_a = |call: &str| {
        let a = format!("pub struct A<'a>(&'a u8);\nimpl<'a> A<'a> {{ fn f(&self) {{ {call} }} }}");
        let b = "use crate::x::A;\nimpl A<'_> {\n    pub fn g(&self) { if true {} }\n    \
                 fn h(&self) {}\n}\nimpl Drop for A<'_> { fn drop(&mut self) {} }";
        let c = "pub struct C;\nimpl C { fn h(&self) {} }";
        found(&[source("x", &a), source("y", b), source("z", c)])
    };
    assert_eq!(of_a("self.g()"), ["x y"]);
    assert_eq!(of_a("A::h(self)"), ["x y"]);
    // Another type's method of that name, a trait's, and a field are something else.
    assert!(of_a("c.h(); self.drop(); self.gg(); self.g += 1").is_empty());
}

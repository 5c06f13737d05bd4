//! The house's edges: which module may use which, who may name the physics engine and
//! the window, what a type's name means, and what a build without a window holds.
//! DEVELOPERS.md tells why; this file makes it true.

use crate::sources::{code_below, root, sources, words};
use inchwise::scene::tree::Value;
use inchwise::scene::{builtin_names, tree_of};
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

/// Every module and what it may use, from top to bottom: only modules further down.
///
/// `watch` and `world` do not know each other, so what is found does not depend on how
/// it was simulated. `statics` and `world` do not either: that they agree is evidence.
const HOUSE: &[(&str, &[&str])] = &[
    (
        "cli",
        &[
            "view",
            "shelf",
            "sweep",
            "task",
            "class",
            "debrief",
            "statics",
            "scene",
            "units",
            "parallel",
            "files",
            "printable",
            "caution",
        ],
    ),
    ("web_page", &["debrief", "scene", "units"]),
    (
        "view",
        &[
            "session", "task", "class", "framing", "draft", "debrief", "practice", "lift", "world",
            "statics", "snapshot", "scene", "tables", "bag_law", "units", "files", "caution",
        ],
    ),
    (
        "session",
        &[
            "task", "class", "answer", "framing", "draft", "debrief", "practice", "lift", "world",
            "statics", "snapshot", "scene", "units", "files",
        ],
    ),
    ("shelf", &["debrief", "practice", "snapshot", "scene", "units", "printable", "caution"]),
    (
        "sweep",
        &[
            "debrief",
            "lift",
            "world",
            "statics",
            "snapshot",
            "scene",
            "tables",
            "bag_law",
            "units",
            "parallel",
            "files",
            "printable",
            "digest",
            "caution",
        ],
    ),
    (
        "task",
        &[
            "answer",
            "draft",
            "debrief",
            "statics",
            "scene",
            "units",
            "files",
            "printable",
            "caution",
        ],
    ),
    (
        "class",
        &["answer", "framing", "debrief", "statics", "snapshot", "scene", "units", "caution"],
    ),
    ("answer", &["debrief", "scene", "units"]),
    ("framing", &["snapshot", "scene"]),
    ("draft", &["scene", "tables", "units", "files"]),
    (
        "debrief",
        &["practice", "lift", "snapshot", "statics", "scene", "units", "printable", "caution"],
    ),
    ("lift", &["watch", "world", "snapshot", "scene", "units", "digest"]),
    ("practice", &["snapshot", "scene", "tables", "units"]),
    ("watch", &["snapshot", "scene", "tables", "bag_law", "units"]),
    ("world", &["snapshot", "scene", "tables", "bag_law", "units"]),
    ("statics", &["scene", "tables", "bag_law", "units", "printable", "caution"]),
    ("snapshot", &["scene", "units"]),
    ("scene", &["tables", "bag_law", "units", "files", "printable", "digest"]),
    ("tables", &["units"]),
    ("bag_law", &[]),
    ("units", &["printable"]),
    ("parallel", &[]),
    ("files", &[]),
    ("printable", &[]),
    ("digest", &[]),
    ("caution", &[]),
];

/// The names right behind each `path::`, those in braces among them.
fn names_behind(code: &str, path: &str) -> BTreeSet<String> {
    let mut out = BTreeSet::new();
    for (at, _) in code.match_indices(path) {
        let before = code[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':') {
            continue;
        }
        let rest = &code[at + path.len()..];
        let Some(group) = rest.strip_prefix('{') else {
            out.extend(words(rest).next().map(str::to_owned));
            continue;
        };
        let (mut depth, mut item) = (1, String::new());
        for c in group.chars() {
            match c {
                '{' => depth += 1,
                '}' => depth -= 1,
                _ => {}
            }
            if depth == 0 || (depth == 1 && c == ',') {
                out.extend(words(&item).next().map(str::to_owned));
                item.clear();
            } else {
                item.push(c);
            }
            if depth == 0 {
                break;
            }
        }
    }
    out
}

#[test]
fn names_are_found_in_every_way_to_write_them() {
    let code = "use crate::a::{x, y}; fn f() { crate::b::g(); } use crate::{\n c::{d, e}, self_ as h,\n};\
                use mycrate::no; pub(in crate::i) fn j() {}";
    let found = names_behind(code, "crate::");
    assert_eq!(found.iter().map(String::as_str).collect::<Vec<_>>(), ["a", "b", "c", "i", "self_"]);
}

#[test]
fn the_table_points_down_and_has_every_module() {
    let below = |i: usize| HOUSE[i + 1..].iter().map(|(name, _)| *name).collect::<Vec<_>>();
    for (i, (module, uses)) in HOUSE.iter().enumerate() {
        for used in *uses {
            assert!(below(i).contains(used), "{module} may use {used}, which is not below it");
        }
    }
    let lib = std::fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let modules = lib.lines().filter_map(|l| l.strip_prefix("pub mod ")?.strip_suffix(';'));
    for module in modules {
        assert!(HOUSE.iter().any(|(name, _)| *name == module), "give `{module}` a row in HOUSE");
    }
}

#[test]
fn every_import_points_down() {
    let mut edges = 0;
    for (path, module, code) in sources() {
        if module == "lib" || module == "main" {
            continue;
        }
        let Some((_, allowed)) = HOUSE.iter().find(|(name, _)| *name == module) else {
            panic!("{path}: `{module}` has no row in HOUSE");
        };
        let mut used = names_behind(&code, "crate::");
        // The program's library by its own name, and the way up and down again.
        used.extend(names_behind(&code, "inchwise::"));
        let top = path.matches('/').count() == 1 || path.ends_with("/mod.rs");
        let up = if top { "super::" } else { "super::super::" };
        used.extend(
            names_behind(&code, up).into_iter().filter(|name| HOUSE.iter().any(|(m, _)| m == name)),
        );
        for name in used.iter().filter(|name| **name != module) {
            assert!(
                allowed.contains(&name.as_str()),
                "{path} uses `{name}`; {module} may use only {allowed:?}"
            );
            edges += 1;
        }
    }
    assert!(edges > 30, "only {edges} imports were found: is the search blind?");
}

/// The type that a line begins to declare: its name. An indented `type` belongs to a trait and
/// is no type of its own.
fn declared_type(line: &str) -> Option<&str> {
    let code = line.trim_start();
    let code = match code.strip_prefix("pub") {
        Some(rest) if rest.starts_with('(') => rest.split_once(") ")?.1,
        Some(rest) => rest.trim_start(),
        None => code,
    };
    let (kind, rest) = code.split_once(' ')?;
    let declares = match kind {
        "struct" | "enum" | "union" | "trait" => true,
        "type" => !line.starts_with(' '),
        _ => false,
    };
    words(rest).next().filter(|_| declares)
}

/// Who reads a type's name anywhere knows which type it is.
#[test]
fn a_type_name_means_one_thing() {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (path, _, code) in sources() {
        for (i, line) in code.lines().enumerate() {
            if let Some(name) = declared_type(line) {
                places.entry(name.to_owned()).or_default().push(format!("{path}:{}", i + 1));
            }
        }
    }
    assert!(places.len() > 500, "only {} types were found: is the search blind?", places.len());
    let twice: Vec<_> = places.iter().filter(|(_, places)| places.len() > 1).collect();
    assert!(twice.is_empty(), "these names mean more than one type: {twice:#?}");
}

#[test]
fn types_are_found_however_they_are_declared() {
    let lines = [
        "pub(super) struct A<'a>(u8);",
        "    enum B {",
        "pub type C = u8;",
        "    type Output = u8;",
        "pub trait D: Send {",
        "impl E {",
    ];
    assert_eq!(lines.map(declared_type), [Some("A"), Some("B"), Some("C"), None, Some("D"), None]);
}

/// A test's folder is its own and goes with the test, whatever becomes of that: it comes from
/// `tempfile`.
#[test]
fn a_folder_of_a_test_goes_with_it() {
    const CALL: &str = concat!("temp", "_dir()");
    for (path, code) in [code_below("src"), code_below("tests")].concat() {
        assert!(!code.contains(CALL), "{path} calls {CALL}");
    }
}

/// To exchange the engine or the window, one folder changes.
#[test]
fn engine_and_window_have_one_door_each() {
    let mut named = BTreeSet::new();
    for (path, module, code) in sources() {
        for word in words(&code) {
            let door = match word {
                "bevy_rapier3d" | "rapier" | "rapier3d" => "world",
                "bevy" | "bevy_egui" | "egui" | "wgpu" | "winit" => "view",
                _ => continue,
            };
            assert_eq!(module, door, "{path} names {word}; only src/{door} may");
            named.insert(door);
        }
    }
    assert!(named.contains("world"), "nothing names the engine: is the search blind?");
}

#[test]
fn the_solver_is_set_in_one_file() {
    const SETTINGS: &[&str] = &[
        "SpringCoefficients",
        "FrictionModel",
        "contact_recycling",
        "warmstart_joints",
        "normalized_linear_threshold",
        "angular_threshold",
        "time_until_sleep",
    ];
    for (path, _, code) in sources() {
        for word in words(&code).filter(|word| SETTINGS.contains(word)) {
            assert_eq!(path, "src/world/solver.rs", "{path} sets {word}");
        }
    }
}

/// What time it is comes from one place, and a session takes it from its edge.
#[test]
fn the_time_of_day_is_asked_in_one_file() {
    let asking: Vec<String> = sources()
        .into_iter()
        .filter(|(_, _, code)| code.contains("SystemTime::now"))
        .map(|(path, ..)| path)
        .collect();
    assert_eq!(asking, ["src/files/clock.rs"]);
}

/// Everything else in the world works with the names that `engine.rs` gives out.
#[test]
fn inside_the_world_three_files_name_the_engine() {
    let naming: Vec<String> = sources()
        .into_iter()
        .filter(|(_, module, _)| module == "world")
        .filter(|(_, _, code)| words(code).any(|w| w.contains("rapier")))
        .map(|(path, ..)| path)
        .collect();
    assert_eq!(naming, ["src/world/engine.rs", "src/world/sliding.rs", "src/world/solver.rs"]);
}

/// What happens must come out of the forces: nothing that plays or judges a lift may
/// know which scene it is or how its author expects it to end.
#[test]
fn nothing_that_plays_a_lift_knows_how_it_should_end() {
    for (path, module, code) in sources() {
        if !["world", "lift", "watch", "practice", "snapshot", "bag_law", "tables"]
            .contains(&module.as_str())
        {
            continue;
        }
        let flat: String = code.split_whitespace().collect();
        for field in ["expect", "name", "group", "teaches", "lesson", "data"] {
            let needle = format!("scene.{field}");
            let needle = needle.as_str();
            assert!(!flat.contains(needle), "{path} looks at {needle}");
        }
        assert!(!words(&code).any(|w| w == "Expect" || w == "Outcome"), "{path} names an outcome");
    }
}

/// The packages of a build with their features, one a line.
fn packages(which: &[&str]) -> BTreeSet<String> {
    let tree = Command::new(env!("CARGO"))
        .args(["tree", "--locked", "--prefix", "none", "--no-dedupe", "--format", "{p} {f}"])
        .args(which)
        .current_dir(root())
        .output()
        .unwrap();
    assert!(tree.status.success(), "{}", String::from_utf8_lossy(&tree.stderr));
    String::from_utf8_lossy(&tree.stdout).lines().map(str::to_owned).collect()
}

fn names(packages: &BTreeSet<String>) -> BTreeSet<&str> {
    packages.iter().filter_map(|line| line.split_whitespace().next()).collect()
}

/// The build without the feature `view` has no drawing in it.
#[test]
fn the_build_without_a_window_has_no_rendering_in_it() {
    const DRAWING: &[&str] = &["bevy_render", "bevy_winit", "bevy_egui", "wgpu", "winit"];
    let packages = packages(&["--no-default-features", "-e", "normal"]);
    let packages = names(&packages);
    assert!(packages.contains("bevy_rapier3d"), "not the program's tree: {packages:?}");
    let lock = std::fs::read_to_string(root().join("Cargo.lock")).unwrap();
    for package in DRAWING {
        assert!(!packages.contains(package), "{package} is in the build without a window");
        // Guards the list itself: with a window each of them is used, under this name.
        assert!(lock.contains(&format!("name = \"{package}\"\n")), "{package} is not known at all");
    }
}

/// `cargo test --release` after `cargo run --release` builds no package a second time: what
/// only tests use asks for no feature that the program does without. (The default features
/// of `approx` would have glam, nalgebra and all of Bevy built again.)
#[test]
fn the_tests_build_no_package_of_the_program_again() {
    let program = packages(&["-e", "normal,build"]);
    let with_tests = packages(&["-e", "normal,build,dev"]);
    assert!(names(&program).contains("bevy"), "not the program's packages: {program:?}");
    assert!(program.is_subset(&with_tests));
    let more: BTreeSet<String> = with_tests.difference(&program).cloned().collect();
    let again: Vec<&str> = names(&more).intersection(&names(&program)).copied().collect();
    assert!(again.is_empty(), "the tests build these again, with other features: {again:?}");
}

/// The shelf is for a class: each shipped scene says under which heading it stands, what
/// it teaches, what is expected, and that its figures and its vehicle's are invented.
#[test]
fn every_shipped_scene_introduces_itself() {
    let names = builtin_names();
    assert!(names.len() >= 3, "{names:?}");
    for name in names {
        let Ok(doc) = tree_of(&name, &[]) else { panic!("{name} cannot be read") };
        let text = |path: &[&str]| {
            let node = path.iter().try_fold(&doc, |node, part| node.get(part));
            match node.map(|node| &node.value) {
                Some(Value::Text(text)) => text.clone(),
                other => panic!("{name}: {path:?} is no text but {other:?}"),
            }
        };
        assert!(!text(&["group"]).is_empty(), "{name} stands under no heading");
        assert!(text(&["teaches"]).len() > 40, "{name} says too little of what it teaches");
        assert!(!text(&["expect", "outcome"]).is_empty(), "{name} expects nothing");
        assert!(text(&["data"]).contains("Invented"), "{name} does not say: Invented");
        assert!(
            text(&["vehicle", "data"]).contains("Invented"),
            "{name}'s vehicle does not either"
        );
    }
}

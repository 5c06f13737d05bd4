//! Scene files: the shipped ones are good, and bad ones are told apart with place,
//! path and mend, never with a crash.

use approx::assert_abs_diff_eq;
use inchwise::scene::Source;
use inchwise::scene::schema::{Entry, GROUPS, Group, rows};
use inchwise::scene::tree::{Node, Place, Value, parse_change_value};
use inchwise::scene::{
    Problem, builtin_names, load, load_from, read_shelf, scene_from_tree, tree_of,
};
use inchwise::units::UnitSystem;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The beam lift with some changes; its problems.
fn problems(scene: &str, changes: &[(&str, &str)]) -> Vec<Problem> {
    let mut doc = tree_of(scene, &[]).unwrap();
    for (path, value) in changes {
        let whole: Arc<str> = format!("{path}={value}").into();
        doc.set(path, parse_change_value(value, &whole)).unwrap();
    }
    scene_from_tree(&doc).err().unwrap_or_default()
}

fn show(problems: &[Problem]) -> String {
    problems.iter().map(|p| format!("{p}\n")).collect()
}

#[test]
fn shipped_scenes_are_good_and_say_what_they_teach() {
    let names = builtin_names();
    assert!(names.len() >= 3, "{names:?}");
    for name in names {
        match load(&name, &[]) {
            Ok(loaded) => {
                assert!(loaded.scene.teaches.len() > 40, "{name}");
                assert!(loaded.scene.data.contains("nvented"), "{name}");
                assert!(!loaded.scene.orders.is_empty(), "{name}");
            }
            Err(problems) => panic!("{name}:\n{}", show(&problems)),
        }
    }
    assert_eq!(read_shelf().len(), builtin_names().len());
}

#[test]
fn the_shipped_copy_reads_like_the_file() {
    for name in builtin_names() {
        let Ok(inside) = load_from(&Source::Builtin(name.clone()), &[]) else {
            panic!("{name} inside the program")
        };
        assert_eq!(inside.doc, load(&name, &[]).ok().unwrap().doc);
    }
}

/// A scene as one writes it for tomorrow's drill.
#[test]
fn ten_lines_make_a_scene() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("short.ron");
    let text = r#"(
        name: "Short", teaches: "How little a scene needs.", vehicle: "saloon",
        casualty: [(name: "leg", at: ["-0.2 m", "0 m"], thickness: "125 mm", gap_needed: "150 mm")],
        stacks: [(name: "tail", at: ["-1.7 m", "0 m"], layers: 8)],
        bags: [(name: "bag", on: "tail", size: ["510 mm", "510 mm"])],
        orders: [(raise: "bag", until: (rise: "60 mm")), (lock_out: "bag")],
    )"#;
    std::fs::write(&path, text).unwrap();
    let result = load(path.to_str().unwrap(), &[]);
    let scene = match result {
        Ok(loaded) => loaded.scene,
        Err(problems) => panic!("{}", show(&problems)),
    };
    assert_eq!(scene.air.outlets.len(), 1);
    assert_eq!(scene.air.outlets[0].name, "bag");

    // A folder, a missing file, too large a file and no text at all.
    let complain = |path: &std::path::Path| load(path.to_str().unwrap(), &[]).err().unwrap();
    assert!(show(&complain(folder.path())).contains("is a folder"));
    assert!(show(&complain(&folder.path().join("none.ron"))).contains("cannot be opened"));
    std::fs::write(&path, vec![b' '; (1 << 20) + 1]).unwrap();
    assert!(show(&complain(&path)).contains("larger than 1 MiB"));
    std::fs::write(&path, b"(\n  name: \"\xff\")").unwrap();
    assert!(show(&complain(&path)).contains("short.ron:2:10: the file: is not text in UTF-8"));
    for text in ["", "(", "[[[[", "5", "()", "(vehicle: \"../saloon\")", "(vehicle: \"tank\")"] {
        std::fs::write(&path, text).unwrap();
        assert!(!complain(&path).is_empty(), "{text}");
    }
    for text in ["(", "[", "(a:", "Some("] {
        std::fs::write(&path, text.repeat((1 << 20) / text.len())).unwrap();
        assert!(!complain(&path).is_empty(), "deep {text}");
    }
    // Many values: each knows its line, in a time that grows with the file alone.
    std::fs::write(&path, format!("(a: [\n{}])", "1,\n".repeat(300_000))).unwrap();
    assert!(!complain(&path).is_empty());
}

/// What one may write by mistake in the place of a value.
fn mistakes(value: &Value) -> Vec<Value> {
    let mut out: Vec<Value> = match value {
        Value::Text(text) => {
            let unit = text.trim_start_matches(|c: char| c.is_ascii_digit() || "+-.".contains(c));
            ["NaN", "inf", "-inf", "-1", "0", "1e300", "1e-300", "1e999"]
                .iter()
                .map(|number| Value::Text(format!("{number}{unit}")))
                .chain(["5 furlong", "nobody", "", " ", "5"].map(|t| Value::Text(t.into())))
                .collect()
        }
        _ => [f64::NAN, f64::INFINITY, -1.0, 0.0, 0.5, 1e300].map(Value::Number).into(),
    };
    out.extend([
        Value::Nothing,
        Value::Flag(true),
        Value::List(Vec::new()),
        Value::Table(Vec::new()),
    ]);
    out.push(Value::Text("x".repeat(5000)));
    out
}

#[test]
fn every_mistake_in_every_field_is_told_and_never_crashes() {
    let place = Place::Change("mistake".into());
    let mut told = 0;
    for name in builtin_names() {
        let good = tree_of(&name, &[]).unwrap();
        let mut doc = good.clone();
        for path in good.leaf_paths() {
            let right = leaf(&good, &path);
            for mistake in mistakes(&right.value) {
                let noun = mistake.noun();
                doc.set(&path, Node { place: place.clone(), value: mistake }).unwrap();
                if let Err(problems) = scene_from_tree(&doc) {
                    told += 1;
                    assert!(!problems.is_empty(), "{name} {path} = {noun}: no problem named");
                    for p in &problems {
                        let at = format!("{name} {path} = {noun}: {p}");
                        assert!(p.place.to_string().len() > 5, "no place: {at}");
                        assert!(!p.path.is_empty(), "no path: {at}");
                        assert!(p.text.in_units(UnitSystem::Si).len() > 15, "no mend: {at}");
                    }
                }
            }
            doc.set(&path, right.clone()).unwrap();
        }
        assert_eq!(doc, good, "{name} is whole again");
    }
    assert!(told > 5000, "only {told} mistakes were told");
}

fn leaf<'a>(doc: &'a Node, path: &str) -> &'a Node {
    path.split('.').fold(doc, |node, part| match &node.value {
        Value::List(items) => &items[part.parse::<usize>().unwrap()],
        _ => node.get(part).unwrap(),
    })
}

#[test]
fn a_quantity_that_is_no_number_never_passes() {
    for value in ["NaN m", "inf m", "-inf m", "1e999 m", "5", "5 kg", ""] {
        for path in ["casualty.0.thickness", "beam.length", "stacks.left.at.0", "vehicle.com.x"] {
            let found = problems("beam-lift", &[(path, value)]);
            assert!(found.iter().any(|p| p.path.contains(last(path))), "{path} = {value}");
        }
    }
}

fn last(path: &str) -> &str {
    let parts: Vec<&str> = path.split('.').collect();
    parts[parts.len() - if parts[parts.len() - 1] == "0" { 2 } else { 1 }]
}

#[test]
fn all_problems_are_told_at_once_where_they_stand() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("many.ron");
    let text = "(
  name: \"Many\",
  vehicle: \"saloon\",
  ground: (surface: \"ice\", slope: 5),
  casualty: [(name: \"leg\", at: [\"0 m\", \"0 m\"], thickness: \"125 kg\", gap_needed: \"2 mm\")],
  stacks: [
    (name: \"tail\", at: [\"-1.7 m\", \"0 m\"], layers: 99),
    (name: \"tail\", at: [\"-1.7 m\", \"0 m\"], layers: 2, pad: [\"38 mm\"]),
  ],
  orders: [(rise: [\"bag\"])],
)";
    std::fs::write(&path, text).unwrap();
    let found = load(path.to_str().unwrap(), &["vehicle.mass=9 kg".into(), "a.b=1".into()]);
    let shown = show(&found.err().unwrap());
    for expected in [
        "many.ron:1:1: teaches: is missing",
        "many.ron:4:21: ground.surface: the text \"ice\" is not known",
        "many.ron:4:35: ground.slope: needs an angle with its unit",
        "many.ron:5:59: casualty.leg.thickness: \"125 kg\": \"kg\" is not a unit of length",
        "many.ron:5:81: casualty.leg.gap_needed: 2 mm is outside 20 mm to 1000 mm;",
        "many.ron:7:51: stacks.tail.layers: needs a whole number from 1 to 24",
        "many.ron:8:12: stacks.tail.name: there are two of the name \"tail\"",
        "many.ron:8:59: stacks.tail.pad: is not a field here; did you mean `pads`?",
        "many.ron:10:12: orders.0 (order 1): give exactly one action per order",
        "--change 'vehicle.mass=9 kg': vehicle.mass: 9 kg is outside",
        "--change 'a.b=1': a: is not a field here",
    ] {
        assert!(shown.contains(expected), "{expected}\nis not in\n{shown}");
    }
}

#[test]
fn a_wrong_field_of_the_vehicle_is_told_in_its_own_file() {
    let mut doc = tree_of("beam-lift", &[]).unwrap();
    let Value::Table(fields) = &mut doc.get_mut("vehicle").unwrap().value else { panic!() };
    fields.retain(|(key, _)| key != "mass");
    let shown = show(&scene_from_tree(&doc).unwrap_err());
    assert!(shown.contains("saloon.ron:"), "{shown}");
    assert!(shown.contains("vehicle.mass: is missing"), "{shown}");
}

#[test]
fn a_name_that_is_not_on_the_shelf_lists_the_shelf() {
    let shown = show(&load("beam-lfit", &[]).err().unwrap());
    assert!(shown.contains("beam-lift, ") && shown.contains(", deck-lid-tall, "), "{shown}");
    let shown = show(&load("beam-lift", &["vehicle=tank".into()]).err().unwrap());
    assert!(shown.contains("there is no vehicle \"tank\"") && shown.contains("saloon"), "{shown}");
    let shown = show(&load("beam-lift", &["name".into()]).err().unwrap());
    assert!(shown.contains("has no `=`"), "{shown}");
}

/// A scene that leaves an optional group out takes a change to a field in it all the same.
#[test]
fn a_change_reaches_into_a_group_that_is_left_out() {
    let sets = ["ground.surface=grass", "aims.roll=3 deg"].map(str::to_owned);
    let scene = load("deck-lid-wedged", &sets).unwrap_or_else(|p| panic!("{}", show(&p))).scene;
    assert_eq!(scene.ground.surface.to_string(), "grass");
    assert_abs_diff_eq!(scene.aims.roll_rad.to_degrees(), 3.0, epsilon = 1e-9);
    // What is no group, or no field, is still told.
    for (set, told) in [
        ("gruond.surface=grass", "gruond: is not a field here; did you mean `ground`?"),
        ("faults.hose=tail", "faults: needs a list"),
        ("ground.surface=ice", "ground.surface: the text \"ice\" is not known"),
        ("name.first=a", "`name.first` leads nowhere"),
    ] {
        let shown = show(&load("deck-lid-wedged", &[set.to_owned()]).err().unwrap());
        assert!(shown.contains(told), "{set}:\n{shown}");
    }
}

/// Two posts, openings or panels of one name, a waist that is nowhere, tyres beside the body.
#[test]
fn a_vehicle_that_contradicts_itself_is_told() {
    for (changes, told) in [
        (
            &[("vehicle.posts.1.name", "A")][..],
            "vehicle.posts.A.name: there are two of the name \"A\"; give each post its own",
        ),
        (
            &[("vehicle.openings.1.name", "front side window")],
            "there are two of the name \"front side window\"; give each opening its own",
        ),
        (&[("vehicle.panels.1.name", "bonnet edge")], "give each panel its own"),
        // Two points in one place: the outline would have no edge between them to lie on.
        (
            &[("vehicle.profile.cowl.0", "0.15 m"), ("vehicle.profile.cowl.1", "1.43 m")],
            "cowl is at x 0.15 m and header at x 0.15 m",
        ),
        (&[("vehicle.profile.waist", "0.95 m")], "its waist, where the body is widest, must lie"),
        (&[("vehicle.half_width.sill", "0.9 m")], "`sill` is wider than the body"),
        (&[("vehicle.wheels.track", "1.6 m")], "the tyres, 0.2 m wide, stand out of the body"),
        (
            &[
                ("vehicle.panels.0.depth", "0.3 m"),
                ("vehicle.profile.waist", "0.6 m"),
                ("vehicle.half_width.belt", "0.8 m"),
            ],
            "cannot be pushed in by",
        ),
    ] {
        let shown = show(&problems("beam-lift", changes));
        assert!(shown.contains(told), "{changes:?}:\n{shown}");
    }
}

/// A shipped scene, changes to it, and the path and part of the text of what is then told.
type Case<'a> = (&'a str, &'a [(&'a str, &'a str)], &'a str, &'a str);

/// A wedge under the bags of the tall stack: as it fits, too small, too large, with one on the
/// topmost bag as well, and twice.
const UNDER: &str = "[(name: \"under\", on: \"tail\", size: [\"425 mm\", \"455 mm\"])]";
const UNDER_ONE: &str = "[(name: \"under\", on: \"tail\", size: [\"300 mm\", \"400 mm\"])]";
const UNDER_WIDE: &str = "[(name: \"under\", on: \"tail\", size: [\"600 mm\", \"455 mm\"])]";
const UNDER_AND_ON: &str = "[(name: \"under\", on: \"tail\", size: [\"425 mm\", \"455 mm\"]), \
    (name: \"fitted\", on: \"tail upper\", size: [\"300 mm\", \"400 mm\"])]";
const TWO_UNDER: &str = "[(name: \"under\", on: \"tail\", size: [\"425 mm\", \"455 mm\"]), \
    (name: \"second\", on: \"tail\", size: [\"425 mm\", \"455 mm\"])]";

/// Each rule: a change to a good scene that breaks it, and what it then says where.
#[test]
fn each_rule_is_tripped_by_its_own_change() {
    let bag = |name: &str, on: &str, size: &str| {
        format!("(name: \"{name}\", on: \"{on}\", size: [\"{size}\", \"{size}\"])")
    };
    let four = |third: (&str, &str), fourth: (&str, &str)| {
        format!(
            "[{}, {}, {}, {}]",
            bag("left lower", "left", "510 mm"),
            bag("right lower", "right", "510 mm"),
            bag("left upper", third.0, third.1),
            bag("right upper", fourth.0, fourth.1)
        )
    };
    let twice = four(("left lower", "460 mm"), ("left lower", "460 mm"));
    let three = four(("left lower", "460 mm"), ("left upper", "460 mm"));
    let wide = four(("left lower", "460 mm"), ("right lower", "650 mm"));
    let cases: &[Case<'_>] = &[
        ("beam-lift", &[("void_fill.0.at.1", "-0.3 m")], "void_fill.bonnet right.at", "overlaps"),
        ("beam-lift", &[("stacks.left.at.1", "0.95 m")], "stacks.left.at", "B post"),
        (
            "beam-lift",
            &[("stacks.left.at.1", "0.45 m")],
            "captures.left rail.at",
            "overlaps the stack",
        ),
        ("deck-lid-tall", &[("stacks.tail.layers", "9")], "stacks.tail.at", "vehicle's body"),
        ("beam-lift", &[("chocks.0.at.0", "2.2 m")], "chocks.nose left.at", "vehicle's body"),
        (
            "beam-lift",
            &[("captures.0.at.1", "1.9 m")],
            "captures.left rail.at",
            "under the vehicle",
        ),
        (
            "beam-cribbed",
            &[("captures.left end.at.0", "-0.20 m")],
            "captures.left end.at",
            "from the beam's",
        ),
        (
            "beam-cribbed",
            &[("captures.left end.layers", "5")],
            "captures.left end.layers",
            "take layers away",
        ),
        ("beam-cribbed", &[("beam", "None")], "captures.left end.under", "no beam"),
        (
            "sill-crib",
            &[("step_chocks", "[(name: \"far\", at: [\"0 m\", \"-1.5 m\"])]")],
            "step_chocks.far.at",
            "not over all of its step",
        ),
        (
            "sill-crib",
            &[("step_chocks", "[(name: \"high\", at: [\"0 m\", \"-0.60 m\"])]")],
            "step_chocks.high.at",
            "move it outwards",
        ),
        // Where the roof's rear edge ends over it.
        (
            "deck-lid-wedged",
            &[
                ("captures", "[]"),
                ("orders", "[]"),
                (
                    "void_fill",
                    "[(name: \"roof end\", at: [\"-0.95 m\", \"0.5 m\"], timber: \"4x4\", length: \"12 in\")]",
                ),
            ],
            "void_fill.roof end.at",
            "leave up to",
        ),
        ("beam-lift", &[("casualty.0.at.0", "3 m")], "casualty.lower leg.at", "nothing traps it"),
        ("beam-lift", &[("casualty.1.at.0", "0.1 m")], "casualty.forearm.at", "less than 40 %"),
        (
            "beam-lift",
            &[("stacks.left.sole", "(size: [\"500 mm\", \"900 mm\"])")],
            "stacks.left.sole",
            "larger board",
        ),
        (
            "beam-lift",
            &[("stacks.left.sole", "(size: [\"700 mm\", \"1.9 m\"])")],
            "captures.left rail.at",
            "overlaps the sole plate of",
        ),
        ("beam-lift", &[("bags", &twice)], "bags.right upper.on", "carries the bag"),
        ("beam-lift", &[("bags", &three)], "bags.right upper.on", "at most 2"),
        ("beam-lift", &[("bags", &wide)], "bags.right upper.size", "larger than the stack"),
        (
            "deck-lid-tall",
            &[("stacks.tail.at.0", "-3 m")],
            "bags.tail upper.on",
            "nothing lies on it",
        ),
        ("deck-lid-wedged", &[("wedges.0.on", "tail lower")], "wedges.fitted.on", "top bag"),
        (
            "deck-lid-wedged",
            &[("wedges.0.size.0", "500 mm")],
            "wedges.fitted.size",
            "larger than the bag",
        ),
        ("deck-lid-wedged", &[("wedges", UNDER_ONE)], "wedges.under.size", "smaller than the bag"),
        (
            "deck-lid-wedged",
            &[("wedges", UNDER_WIDE)],
            "wedges.under.size",
            "larger than the stack",
        ),
        ("deck-lid-wedged", &[("wedges", UNDER_AND_ON)], "wedges.fitted.on", "leans on the wedge"),
        ("deck-lid-wedged", &[("wedges", TWO_UNDER)], "wedges.second.on", "carries the wedge"),
        (
            "deck-lid-wedged",
            &[("wedges", UNDER), ("stacks.0.layers", "6")],
            "wedges.under.on",
            "add a layer",
        ),
        (
            "deck-lid-wedged",
            &[("wedges", UNDER), ("stacks.0.layers", "9")],
            "wedges.under.on",
            "take a layer",
        ),
        (
            "deck-lid-wedged",
            &[
                ("wedges", UNDER),
                ("bags", "[]"),
                ("air.outlets", "[]"),
                ("orders", "[]"),
                ("after", "Nothing was lifted."),
                ("decides", "slide"),
            ],
            "wedges.under.on",
            "no bag lies on",
        ),
        (
            "beam-lift",
            &[("wedges", "[(name: \"under\", on: \"left\", size: [\"510 mm\", \"510 mm\"])]")],
            "wedges.under.on",
            "carries the beam",
        ),
        (
            "beam-lift",
            &[("air.outlets.right.to", "left lower")],
            "air.outlets.right.to",
            "has the hose",
        ),
        ("beam-lift", &[("beam.rests_on.0", "left lower")], "beam.rests_on", "topmost bag"),
        ("beam-lift", &[("stacks.left.layers", "2")], "beam.rests_on", "equally high"),
        ("beam-lift", &[("lies", "wheels")], "beam", "a beam through the side windows"),
        ("beam-lift", &[("lies", "left side")], "casualty.lower leg.at", "leaves 0 mm"),
        ("beam-lift", &[("lies", "nose")], "lies", "choose one of \"roof\", \"left side\""),
        ("beam-lift", &[("beam.length", "5 ft")], "beam.length", "but the body"),
        ("beam-lift", &[("beam.length", "6 ft")], "beam.length", "is needed: take a longer beam"),
        ("beam-lift", &[("beam.at.0", "-0.75 m")], "beam.at", "which has room for"),
        ("beam-lift", &[("beam.at.0", "-0.28 m")], "beam.at", "is free from"),
        ("beam-lift", &[("beam.through.0", "front side window")], "beam.at", "is free from"),
        (
            "beam-lift",
            &[("stacks.left.layers", "5"), ("stacks.right.layers", "5")],
            "beam.rests_on",
            "belt line at",
        ),
    ];
    let mut with_figures = 0;
    for (scene, changes, path, text) in cases {
        let found = problems(scene, changes);
        assert!(
            found.iter().any(|p| p.path == *path && p.text.in_units(UnitSystem::Si).contains(text)),
            "{changes:?} should say `{path}` .. {text}, but said\n{}",
            show(&found)
        );
        // A reader of feet and pounds gets no metric figure but those that were typed.
        for problem in &found {
            let us = problem.text.in_units(UnitSystem::Us);
            let words: Vec<&str> = us.split([' ', ',', ';']).collect();
            let metric = words.windows(2).find(|pair| {
                pair[0].parse::<f64>().is_ok() && ["m", "mm", "kg", "bar", "N"].contains(&pair[1])
            });
            assert!(metric.is_none(), "{us}");
            with_figures += usize::from(problem.text.in_units(UnitSystem::Si) != us);
        }
    }
    assert!(with_figures > 20, "{with_figures} tell figures in both");
}

#[test]
fn unknown_names_list_the_known_ones() {
    for (path, value, known) in [
        ("bags.0.on", "middle", "choose from left, right, left lower"),
        ("air.outlets.0.to", "bag", "left lower, right lower, left upper, right upper"),
        ("beam.through.0", "sunroof", "front side window, rear side window"),
        ("beam.rests_on.1", "roof", "left upper"),
        ("orders.1.capture.0", "rail", "left rail, right rail"),
        ("orders.5.move_hose", "third", "left, right"),
        ("orders.0.raise.0", "left", "left lower, right lower"),
        ("stacks.left.timber", "5x5", "\"2x4\", \"2x6\", \"4x4\""),
        ("vehicle.openings.0.between.0", "D", "A, B, C"),
    ] {
        let shown = show(&problems("beam-lift", &[(path, value)]));
        assert!(shown.contains(known), "{path} = {value}:\n{shown}");
    }
}

#[test]
fn a_fault_is_one_thing_and_names_what_it_befalls() {
    for (fault, text) in [
        ("(hose: \"left\", leak: \"left lower\")", "hose and leak"),
        ("(at: \"3 s\")", "choose one of hose, leak, valve, cross, regulator, cylinder, crack"),
        ("(hose: \"third\")", "choose from left, right"),
        ("(leak: \"left\", bore: \"1 mm\")", "there is no bag \"left\""),
        ("(leak: \"left lower\")", "bore: is missing"),
        ("(leak: \"left lower\", bore: \"1 m\")", "is outside 0.0002 m to 0.02 m"),
        ("(valve: \"left\", at: \"-1 s\")", "is outside 0 s to"),
        ("(cross: \"left\")", "with: is missing"),
        ("(cross: \"left\", with: \"third\")", "choose from left, right"),
        ("(regulator: \"900 bar\")", "is outside"),
        ("(cylinder: \"9\")", "cylinder: "),
        ("(crack: \"post\", to: \"40 %\")", "choose from beam, left, right"),
        ("(crack: \"beam\")", "to: is missing"),
        ("(slick: \"roof\", to: \"40 %\")", "choose from vehicle, left, right, bonnet left"),
        ("(load: \"200 kg\")", "needs three lengths in the vehicle's own frame"),
        ("(load: \"200 kg\", place: [\"9 m\", \"1 m\", \"0 m\"])", "is outside -4 m to 4 m"),
        ("(leak: \"left lower\", bore: \"1 mm\", size: 3)", "size: is not a field here"),
    ] {
        let shown = show(&problems("beam-lift", &[("faults", &format!("[{fault}]"))]));
        assert!(shown.contains(text), "{fault}:\n{shown}");
    }
    let crack = problems("deck-lid-tall", &[("faults", "[(crack: \"beam\", to: \"40 %\")]")]);
    assert!(
        show(&crack).contains("there is no timber \"beam\"; choose from tail"),
        "{}",
        show(&crack)
    );
}

#[test]
fn an_order_has_one_verb_and_one_condition() {
    for (order, text) in [
        ("(raise: \"left lower\", lower: \"left lower\")", "raise and lower"),
        ("(until: (rise: \"3 mm\"))", "choose one of raise, lower, stop, lock_out"),
        ("(raise: \"left lower\", until: (rise: \"3 mm\", for: \"2 s\"))", "exactly one of for"),
        ("(lockout: \"left lower\")", "orders.0 (order 1): give exactly one action"),
        ("(lockout: \"left lower\")", "did you mean `lock_out`? choose one of raise"),
        ("(wait: (height: \"3 mm\"))", "a wait names no bags"),
        ("(wait: (gap: \"3 mm\", at: \"nose\"))", "there is no limb \"nose\""),
        ("(raise: [\"left lower\", \"left lower\"])", "twice"),
        ("(raise: [])", "needs a list of names"),
    ] {
        let shown = show(&problems("beam-lift", &[("orders.0", order)]));
        assert!(shown.contains(text), "{order}:\n{shown}");
    }
}

/// Puts a field that no reader knows into every group of a tree.
fn put_unknown(node: &mut Node) {
    match &mut node.value {
        Value::List(items) => items.iter_mut().for_each(put_unknown),
        Value::Table(fields) => {
            fields.iter_mut().for_each(|(_, node)| put_unknown(node));
            let unknown = Node { place: Place::Hand, value: Value::Flag(true) };
            fields.push(("nobody_knows_this".into(), unknown));
        }
        _ => {}
    }
}

/// The heading that a group's table has on the page.
fn heading(group: &Group) -> &str {
    if group.key.is_empty() { "The scene" } else { group.key }
}

/// A group's table in Markdown.
fn markdown(group: &Group) -> String {
    let mut out = "| field | is | limits | left out |\n|---|---|---|---|\n".to_owned();
    for field in group.fields {
        let limits = match field.entry {
            Entry::Group(_) | Entry::List(_) => "below".to_owned(),
            _ => field.limits(),
        };
        let cells = [field.about.to_owned(), limits, field.left_out()];
        let padded = |cell: String| if cell.is_empty() { " ".into() } else { format!(" {cell} ") };
        out += &format!("| `{}` |{}|\n", field.key, cells.map(padded).join("|"));
    }
    out
}

/// The tables of `docs/SCENES.md` are those of the program's own table of fields.
/// `INCHWISE_SCENES=write` writes them.
#[test]
fn the_page_of_scenes_has_the_table_of_fields() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/SCENES.md");
    hold_page_to_table(path, "## The scene", GROUPS, "INCHWISE_SCENES");
}

/// Holds a page's tables to those of groups of fields, the first of which stands under a heading
/// of its own; where the variable says "write", it writes them.
pub fn hold_page_to_table(path: &str, whole: &str, groups: &[Group], variable: &str) {
    let page = std::fs::read_to_string(path).unwrap();
    let mut written = page.clone();
    for group in groups {
        let head = match group.key {
            "" => format!("\n{whole}\n"),
            key => format!("\n## `{key}`\n"),
        };
        let section = written.find(&head).unwrap_or_else(|| panic!("no heading {head:?}"));
        let from = section + written[section..].find("\n| field").expect("a table") + 1;
        let rows = written[from..].split_inclusive('\n').take_while(|line| line.starts_with('|'));
        let to = from + rows.map(str::len).sum::<usize>();
        written.replace_range(from..to, &markdown(group));
    }
    if std::env::var(variable).is_ok_and(|v| v == "write") {
        std::fs::write(path, &written).unwrap();
        return;
    }
    for (is, should) in page.lines().zip(written.lines()) {
        assert_eq!(is, should, "write the page with {variable}=write");
    }
    assert_eq!(page, written);
}

/// Every default of the table can be read, and every entry says what it is.
#[test]
fn every_entry_of_the_table_is_whole() {
    for row in rows() {
        assert!(!row.field.about.is_empty(), "{}: says nothing", row.path);
        if let Some(ron) = row.field.default() {
            let value = parse_change_value(ron, &"".into()).value;
            let quantity = matches!(row.field.entry, Entry::Quantity(_));
            assert_eq!(quantity, quantity && matches!(value, Value::Text(_)), "{}", row.path);
        }
    }
    let groups: BTreeSet<&str> = rows().iter().map(|row| row.group).collect();
    assert_eq!(groups, GROUPS.iter().map(|group| group.key).collect(), "groups on no path");
}

/// Of a path with very many steps the limit is told; nothing is made on the way, so that no
/// tree becomes too deep to be walked.
#[test]
fn a_path_of_very_many_steps_is_a_problem() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("deep.ron");
    let steps = vec!["a"; 400_000].join(".");
    let text = format!(
        "(name: \"Deep\", teaches: \"x\", like: \"beam-lift\", change: {{ \"{steps}\": 1 }})"
    );
    std::fs::write(&path, text).unwrap();
    let found = load(path.to_str().unwrap(), &[]).err().expect("is told");
    let told = show(&found);
    assert!(told.contains("400000 steps") && told.contains("at most 16"), "{told:.300}");
    assert!(told.len() < 2000, "the path itself is not told at length");
    // By the command line, and over a few steps too many.
    for steps in [17, 400_000] {
        let set = format!("{}=1", vec!["a"; steps].join("."));
        let told = show(&load("beam-lift", &[set]).err().expect("is told"));
        assert!(told.contains("at most 16"), "{told:.300}");
    }
    // Sixteen are followed to a field that is not known.
    let set = format!("{}=1", vec!["a"; 16].join("."));
    let told = show(&load("beam-lift", &[set]).err().expect("is told"));
    assert!(told.contains("a: is not a field here"), "{told}");
}

/// `docs/SCENES.md` names every field that the reader knows, under the heading of its group:
/// the reader itself lists them when it meets one that it does not know. A scene that has
/// every kind of group is asked.
#[test]
fn the_page_of_scenes_names_every_field_that_is_read() {
    const PAGE: &str = include_str!("../../docs/SCENES.md");
    let sections: Vec<(&str, &str)> = PAGE
        .split("\n## ")
        .skip(1)
        .filter_map(|section| section.split_once('\n'))
        .map(|(head, body)| (head.trim_matches('`'), body))
        .collect();
    let mut doc = tree_of("deck-lid-wedged", &[]).unwrap();
    for (path, value) in [
        ("expect", r#"(outcome: "failed", cause: "sink")"#),
        ("ground", r#"(soil: "mud")"#),
        ("spread", r#"(mass: "5 %")"#),
        (
            "measured",
            r#"(data: "scales", weights: (front_left: "3 kN", front_right: "3 kN",
                rear_left: "3 kN", rear_right: "3 kN"),
                slides: [(what: "timber", on: "ground", angle: "20 deg")],
                raised: [(size: ["1 m", "1 m"], load: "9 kN", pressure: "1 bar", height: "9 cm")],
                drills: [(task: "beam", least: "1 min", most: "2 min")])"#,
        ),
        ("crew", "(people: 4)"),
        ("people", r#"[(name: "p", at: ["-0.29 m", "1.09 m"], head_towards: "90 deg")]"#),
        (
            "kit",
            r#"(name: "trailer", timbers: [(timber: "4x4", length: "2 ft", count: 9)],
                boards: [(size: ["1 m", "1 m"], thickness: "2 in", count: 1)],
                blocks: [(size: ["25 cm", "25 cm"], count: 1)],
                carried_step_chocks: [(count: 1)],
                rated_struts: [(capacity: "9 kN", count: 1)],
                rated_straps: [(capacity: "9 kN", count: 1)],
                lifting_bags: [(size: ["50 cm", "50 cm"], count: 1)], cylinders: [(count: 1)])"#,
        ),
        ("aims", r#"(roll: "1 deg")"#),
        ("stacks.tail.sole", r#"(size: ["900 mm", "900 mm"])"#),
        ("void_fill", r#"[(name: "nose", at: ["1.5 m", "0 m"])]"#),
        ("chocks", r#"[(name: "nose chock", at: ["2.3 m", "0 m"])]"#),
        ("step_chocks", r#"[(name: "bonnet", at: ["1.6 m", "0.7 m"])]"#),
        (
            "struts",
            r#"[(name: "tail", at: ["-2.4 m", "0 m"], head: ["-1.9 m", "0 m"], head_height: "1 m")]"#,
        ),
        ("straps", r#"[(name: "tie", strut: "tail", anchor: ["-1.5 m", "0 m"])]"#),
        ("beam", r#"(length: "3 m", at: ["0 m", "0 m"], through: [], rests_on: [])"#),
        ("air", r#"(outlets: [(name: "one", to: "tail lower")])"#),
        (
            "faults",
            r#"[(hose: "one"), (valve: "one"), (cross: "one", with: "one"), (leak: "tail lower"), (regulator: "9 bar"),
                (cylinder: "9 bar"), (crack: "tail"), (slick: "vehicle"), (load: "9 kg")]"#,
        ),
        (
            "orders",
            r#"[(raise: "tail lower", until: (gap: "9 cm", at: "lower leg")), (lower: "tail lower"),
                (stop: "tail lower"), (lock_out: "tail lower"), (unlock: "tail lower"),
                (move_hose: "one", to: "tail upper"), (capture: "left rail"),
                (set_chocks: "nose chock"), (wait: (for: "1 s"))]"#,
        ),
    ] {
        doc.set(path, parse_change_value(value, &"a scene with every group".into())).unwrap();
    }
    put_unknown(&mut doc);
    let (mut asked, mut read) = (Vec::new(), BTreeSet::new());
    for problem in scene_from_tree(&doc).err().unwrap() {
        let text = problem.text.in_units(UnitSystem::Si);
        let Some((_, known)) = text.split_once("known fields are ") else { continue };
        // The last part of the path that has a heading is the group's kind.
        let parts = problem.path.rsplit('.').skip(1);
        let kind = |part: &str| match part {
            "wait" => Some("until"),
            part => sections.iter().find(|(head, _)| *head == part).map(|(head, _)| *head),
        };
        let kind = parts.filter_map(kind).next().unwrap_or("The scene");
        let (_, body) = sections.iter().find(|(head, _)| *head == kind).unwrap();
        for field in known.split(", ") {
            assert!(body.contains(&format!("`{field}`")), "{}: `{field}`, {kind}", problem.path);
            read.insert((kind, field.to_owned()));
        }
        asked.push(kind);
    }
    // Every field of the table is one that the reader asks for.
    for group in GROUPS {
        for field in group.fields {
            let key = (heading(group), field.key.to_owned());
            assert!(read.contains(&key), "`{}` of `{}` is never read", field.key, group.key);
        }
    }
    // No heading stands for a group that the reader was not asked about.
    let left: Vec<&str> =
        sections.iter().map(|(head, _)| *head).filter(|head| !asked.contains(head)).collect();
    assert!(left.is_empty(), "not asked: {left:?}");
    for word in ["like", "change"] {
        assert!(PAGE.contains(&format!("`{word}`")), "{word}");
    }
}

//! The sheet leaves nothing out: whatever the play listens to changes a row, or the sheet names
//! the field under "not on the sheet".

use inchwise::parallel::{ThreadsError, cores, each};
use inchwise::scene::schema::{Entry, FieldRow, Role, rows};
use inchwise::scene::tree::{Node, Value};
use inchwise::scene::{Loaded, load};
use inchwise::statics::sheet::{NOT_ON_THE_SHEET, Row, RowGroup, Sheet};
use inchwise::units::UnitSystem;
use std::collections::BTreeSet;

/// Scenes that together have every field, with what some of them get to begin with.
const SCENES: &[(&str, &[&str])] = &[
    ("beam-lift", &[]),
    ("deck-lid-wedged", &[]),
    ("beam-lift", &[OPEN_VALVES]),
    ("beam-lift", &[SHUT_OFFS]),
    ("beam-lift", &[HOSES]),
    ("beam-lift", &[Y, Y_ORDERS]),
    ("deck-lid-wedged", &[SWAPPED, "wedges.fitted.on=tail lower"]),
    ("beam-lift", &[LOWER_BAGS_ONLY, "beam.rests_on=[\"left lower\", \"right lower\"]", SHUT_OFFS]),
    (
        "verge-soles",
        &[
            "ground.slope=2 deg",
            "captures.left rail.sole=(size: [\"0.31 m\", \"0.31 m\"], thickness: \"30 mm\")",
            "void_fill.bonnet left.sole=(size: [\"0.6 m\", \"0.6 m\"], thickness: \"20 mm\")",
        ],
    ),
    ("side-crib", &["ground.slope=1 deg"]),
    (
        "struts-tied",
        &[
            THREE_STRUTS,
            "straps=[(name: \"tie\", strut: \"left\", other: \"third\"), (name: \"down\", \
             strut: \"right\", at: [\"-1.9 m\", \"0 m\"], height: \"0.5 m\", preload: \"1 kN\", \
             capacity: \"9 kN\", elongation: \"5 %\"), (name: \"out\", strut: \"left\", \
             anchor: [\"-1.9 m\", \"0 m\"])]",
        ],
    ),
    ("sill-crib", &[]),
    ("lower-together", &[]),
    ("chocks-missing", &[]),
    ("sill-crib", &["lashed=none", "vehicle.wheels.rate=20 N/mm"]),
    ("sill-crib", &["measured=drill"]),
    // It would lie still in two ways, by itself.
    (
        "pickup-cover",
        &[
            "after=Nothing was lifted.",
            "decides=slide",
            "people=[]",
            UNDER_ITS_BED,
            "stacks=[]",
            "void_fill=[]",
            "chocks=[]",
            "captures=[]",
            "wedges=[]",
            "bags=[]",
            "orders=[]",
            "air=(cylinder: \"6.8 L\")",
        ],
    ),
    ("beam-lift", &[Y, Y_ORDERS]),
    ("beam-lift", &[ON_TIMBER]),
    ("beam-cribbed", &[]),
    (
        "sill-crib",
        &[
            "ground=(surface: \"grass\")",
            "step_chocks=[(name: \"sill\", at: [\"0.45 m\", \"-0.78 m\"], across: true, rise: \
             \"55 mm\", tread: \"120 mm\", steps: 5, width: \"160 mm\"), (name: \"block\", at: \
             [\"-0.45 m\", \"-0.74 m\"], across: true, rise: \"130 mm\", tread: \"150 mm\", steps: \
             1, width: \"160 mm\")]",
        ],
    ),
];
const THREE_STRUTS: &str = "struts=[(name: \"left\", at: [\"-1.90 m\", \"1.35 m\"], \
    head: [\"-1.90 m\", \"0.78 m\"], head_height: \"1.12 m\", seated: true, diameter: \"60 mm\", \
    wall: \"4 mm\", capacity: \"20 kN\", plate: \"200 mm\", staked: true), (name: \"right\", \
    at: [\"-1.90 m\", \"-1.35 m\"], head: [\"-1.90 m\", \"-0.78 m\"], head_height: \"1.12 m\", \
    seated: true), (name: \"third\", at: [\"-1.70 m\", \"-1.45 m\"], head: [\"-1.70 m\", \
    \"-0.78 m\"], head_height: \"1.06 m\", seated: true)]";
const OPEN_VALVES: &str = "orders=[(raise: [\"left lower\", \"right lower\"], opening: \"20 %\"), \
    (wait: (rise: \"20 mm\")), (stop: \"left lower\"), (wait: (for: \"1 s\")), \
    (stop: \"right lower\"), (raise: [\"left lower\", \"right lower\"], opening: \"20 %\"), \
    (wait: (gap: \"120 mm\", at: \"forearm\"))]";
const SHUT_OFFS: &str = "orders=[(raise: \"left lower\", until: (for: \"2 s\")), \
    (raise: \"right lower\", until: (height: \"30 mm\")), (lock_out: \"left lower\"), \
    (raise: \"right lower\", until: (gap: \"110 mm\", at: \"forearm\")), \
    (unlock: \"left lower\"), (raise: \"left lower\", until: (for: \"2 s\"))]";
const HOSES: &str = "orders=[(raise: [\"left lower\", \"right lower\"], until: (rise: \"20 mm\")), \
    (lock_out: [\"left lower\", \"right lower\"]), (move_hose: \"left\", to: \"left upper\"), \
    (raise: \"left upper\", opening: \"5 %\", until: (rise: \"200 mm\"), at_most: \"6 s\")]";
const Y: &str = "air.outlets=[(name: \"both\", to: \"left lower\", and: \"right lower\")]";
const Y_ORDERS: &str = "orders=[(raise: \"left lower\", until: (rise: \"20 mm\")), \
    (lock_out: [\"left lower\", \"right lower\"]), \
    (move_hose: \"both\", from: \"left lower\", to: \"left upper\"), \
    (unlock: \"right lower\"), (raise: \"right lower\", until: (rise: \"40 mm\"))]";
const ON_TIMBER: &str = "orders=[(raise: [\"left lower\", \"right lower\"], until: (rise: \"20 mm\")), \
    (capture: [\"left rail\", \"right rail\"]), \
    (lower: [\"left lower\", \"right lower\"], until: (on_timber: \"30 %\")), \
    (wait: (on_timber: \"20 %\"))]";
const UNDER_ITS_BED: &str = "casualty=[(name: \"arm\", at: [\"-1.60 m\", \"0.10 m\"], \
    thickness: \"135 mm\", gap_needed: \"142 mm\")]";
/// The two bags the other way up, with the wedge on the topmost.
const SWAPPED: &str = "bags=[(name: \"tail upper\", on: \"tail\", size: [\"455 mm\", \"455 mm\"]), \
    (name: \"tail lower\", on: \"tail upper\", size: [\"400 mm\", \"400 mm\"])]";
const LOWER_BAGS_ONLY: &str = "bags=[(name: \"left lower\", on: \"left\", size: [\"510 mm\", \"510 mm\"]), \
    (name: \"right lower\", on: \"right\", size: [\"510 mm\", \"510 mm\"])]";
/// Who lies on whom: no single one of these can change, so whole set-ups are held against each
/// other.
const TOGETHER: &[(&str, usize, usize)] = &[
    ("bags.NAME.on", 1, 5),
    ("wedges.NAME.on", 1, 5),
    ("beam.rests_on", 3, 6),
    ("lies", 8, 9),
    ("captures.NAME.under", 0, 19),
];
/// An order waits for no height.
const NOWHERE: &[&str] = &["orders.N.wait.height"];
/// As many changes of a field as are tried in each before it counts as left out.
const TRIES: usize = 10;

struct Subject {
    loaded: Loaded,
    sets: Vec<String>,
    name: &'static str,
    rows: Vec<Row>,
}

/// Without pieces and minutes, which no force follows from.
fn rows_of(loaded: &Loaded) -> Vec<Row> {
    let rows = Sheet::new(&loaded.scene, UnitSystem::Si).rows.into_iter();
    rows.filter(|row| !matches!(row.group, RowGroup::Kit | RowGroup::Job)).collect()
}

/// The items of a list, by their names or their numbers.
fn items(node: &Node) -> Vec<String> {
    let Value::List(items) = &node.value else { return Vec::new() };
    let name = |(i, item): (usize, &Node)| match item.get("name").map(|n| &n.value) {
        Some(Value::Text(name)) => name.clone(),
        _ => i.to_string(),
    };
    items.iter().enumerate().map(name).collect()
}

fn at<'a>(doc: &'a Node, path: &str) -> Option<&'a Node> {
    path.split('.').try_fold(doc, |node, step| match &node.value {
        Value::List(list) => {
            let found = items(node).iter().position(|name| name == step);
            list.get(found.or_else(|| step.parse().ok())?)
        }
        _ => node.get(step),
    })
}

/// The paths in a scene that a row of the table stands for.
fn paths(doc: &Node, row: &FieldRow) -> Vec<String> {
    row.path.split('.').fold(vec![String::new()], |before, step| {
        let go = |path: String| -> Vec<String> {
            let join = |step: &str| {
                if path.is_empty() { step.to_owned() } else { format!("{path}.{step}") }
            };
            if step == "NAME" || step == "N" {
                at(doc, &path).map_or_else(Vec::new, items).iter().map(|s| join(s)).collect()
            } else {
                vec![join(step)]
            }
        };
        before.into_iter().flat_map(go).collect()
    })
}

/// A number and its unit.
fn split(text: &str) -> Option<(f64, &str)> {
    let (number, unit) = text.trim().split_once(' ')?;
    Some((number.parse().ok()?, unit))
}

fn moved(text: &str) -> Vec<String> {
    let Some((number, unit)) = split(text) else { return Vec::new() };
    let a_metre = match unit {
        "m" => 1.0,
        "mm" => 1000.0,
        "cm" => 100.0,
        "in" => 39.37,
        _ => return Vec::new(),
    };
    let ways = [0.02, -0.02, 0.05, -0.05, 0.1, -0.1, 0.2];
    ways.iter().map(|way| format!("{} {unit}", number + way * a_metre)).collect()
}

fn scaled(text: &str) -> Vec<String> {
    let Some((number, unit)) = split(text) else { return Vec::new() };
    let shares = [1.05, 0.95, 1.2, 0.8, 1.6, 0.5, 2.5];
    let scaled = shares.iter().map(|share| format!("{} {unit}", number * share));
    let words = ["2 deg", "-2 deg", "30 mm", "-30 mm", "5 deg"];
    if number == 0.0 { words.map(str::to_owned).into() } else { scaled.collect() }
}

/// What can stand in a field instead, and where.
fn changes(subject: &Subject, row: &FieldRow, path: &str) -> Vec<String> {
    let there = at(&subject.loaded.doc, path).map(|node| &node.value);
    let default = row.field.default().unwrap_or_default();
    let text = match there {
        Some(Value::Text(text)) => text.clone(),
        _ => default.trim_matches('"').to_owned(),
    };
    let set = |value: String| format!("{path}={value}");
    let each = |values: Vec<String>| values.into_iter().map(set).collect();
    match row.field.entry {
        Entry::Quantity(_) => {
            let scaled = scaled(&text);
            // A quantity that is left out, and whose default is no figure.
            let some = ["10 deg", "2 deg", "0.6 m", "0.75 m", "1.3 m", "300 mm", "5 s", "5 kN"];
            each(if scaled.is_empty() { some.map(str::to_owned).into() } else { scaled })
        }
        Entry::Pair => match there {
            Some(Value::List(two)) => (0..2)
                .flat_map(|i| {
                    match &two[i].value {
                        Value::Text(text) => moved(text),
                        _ => Vec::new(),
                    }
                    .into_iter()
                    .map(move |v| (i, v))
                    .collect::<Vec<_>>()
                })
                .map(|(i, value)| format!("{path}.{i}={value}"))
                .collect(),
            _ => each(
                ["[\"60 mm\", \"0 mm\"]", "[\"0 mm\", \"60 mm\"]", "[\"150 mm\", \"200 mm\"]"]
                    .map(str::to_owned)
                    .into(),
            ),
        },
        Entry::Lengths(_) => {
            each(["[\"25 mm\"]", "[\"25 mm\", \"19 mm\"]"].map(str::to_owned).into())
        }
        Entry::Count(..) => {
            let now = match there {
                Some(Value::Number(n)) => *n,
                _ => default.parse().unwrap_or(1.0),
            };
            each([1.0, -1.0, 2.0].map(|more| (now + more).to_string()).into())
        }
        Entry::Flag => each(["true", "false"].map(str::to_owned).into()),
        Entry::Choice(_) => each(row.field.choices().into_iter().map(str::to_owned).collect()),
        Entry::Name(_) | Entry::Names(_) => {
            let lists = ["bags", "stacks", "captures", "chocks", "casualty", "struts"];
            let vehicle = ["vehicle.openings", "vehicle.posts"];
            let named = lists
                .iter()
                .chain(&vehicle)
                .flat_map(|list| at(&subject.loaded.doc, list).map_or_else(Vec::new, items));
            each(named.collect())
        }
        Entry::Text | Entry::Group(_) | Entry::List(_) => Vec::new(),
    }
}

/// Whether the play listens to a field.
fn is_played(row: &FieldRow) -> bool {
    let says = ["name", "data", "group"].contains(&row.field.key);
    // How much room is wanted over a limb is told beside the ending, and turns none.
    let unplayed =
        ["faults.", "spread.", "expect.", "kit.", "crew.", "measured.drills.", "aims.clearance"];
    let aside = unplayed.iter().any(|list| row.path.starts_with(list));
    let leaf = !matches!(row.field.entry, Entry::Group(_) | Entry::List(_) | Entry::Text);
    leaf && !says && !aside && !matches!(row.field.role, Role::Word(_))
}

/// How many changes of a field were tried, and one that the sheet shows.
///
/// One that the sheet names as left out is tried once in each set-up: there a change that shows
/// would tell that it is named wrongly.
fn tried_and_seen(subjects: &[Subject], row: &FieldRow, named: bool) -> (usize, Option<String>) {
    let most = if named { 1 } else { TRIES };
    let (mut tried, mut seen) = (0, None);
    'tries: for subject in subjects {
        let mut tried_here = 0;
        let there = |path: &&String| {
            // An order has one verb: only what it tells already can be changed.
            !row.path.starts_with("orders.") || at(&subject.loaded.doc, path).is_some()
        };
        for change in paths(&subject.loaded.doc, row)
            .iter()
            .filter(there)
            .flat_map(|path| changes(subject, row, path))
            .take(8 * TRIES)
        {
            let mut sets = subject.sets.clone();
            sets.push(change.clone());
            let Ok(changed) = load(subject.name, &sets) else { continue };
            let (path, said) = change.split_once('=').unwrap_or_default();
            let default = row.field.default().unwrap_or_default().trim_matches('"');
            let no_news = at(&subject.loaded.doc, path).is_none() && said == default;
            if changed.doc.differences(&subject.loaded.doc).is_empty() || no_news {
                continue;
            }
            (tried, tried_here) = (tried + 1, tried_here + 1);
            if rows_of(&changed) != subject.rows {
                seen = Some(format!("{} {change}", subject.name));
                break 'tries;
            }
            if tried_here >= most {
                break;
            }
        }
    }
    for (_, one, other) in TOGETHER.iter().filter(|(path, ..)| *path == row.path) {
        tried += 1;
        if subjects[*one].rows != subjects[*other].rows {
            seen = Some(format!("set-ups {one} and {other}"));
        }
    }
    (tried, seen)
}

#[test]
fn every_field_that_is_played_is_on_the_sheet_or_named() {
    let subjects: Vec<Subject> = SCENES
        .iter()
        .map(|(name, sets)| {
            let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
            let loaded = load(name, &sets).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
            let rows = rows_of(&loaded);
            // A figure that is no number differs from itself, and any change would seem to be seen.
            for (row, again) in rows.iter().zip(rows_of(&loaded)) {
                assert_eq!(*row, again, "{name}");
            }
            Subject { loaded, sets, name, rows }
        })
        .collect();
    let named: BTreeSet<&str> =
        NOT_ON_THE_SHEET.iter().flat_map(|(_, paths)| paths.iter().copied()).collect();
    let played: Vec<FieldRow> = rows().into_iter().filter(is_played).collect();
    let try_it = |row: &FieldRow| tried_and_seen(&subjects, row, named.contains(row.path.as_str()));
    let tries = each(&played, cores(), try_it, &mut |_| Ok::<_, ThreadsError>(())).unwrap();
    let mut wrong = Vec::new();
    for (row, (tried, seen)) in played.iter().zip(tries) {
        let refers = row.field.refers().is_some();
        match (tried, seen, named.contains(row.path.as_str())) {
            (0, None, true) if refers => {}
            (0, ..) if NOWHERE.contains(&row.path.as_str()) => {}
            (0, ..) => wrong.push(format!("{}: no change of it could be tried", row.path)),
            (_, None, false) => wrong.push(format!("{}: {tried} changes, none seen", row.path)),
            (_, Some(seen), true) => wrong.push(format!("{} is named, and seen: {seen}", row.path)),
            _ => {}
        }
    }
    let known: BTreeSet<String> = rows().into_iter().map(|row| row.path).collect();
    wrong.extend(named.iter().filter(|p| !known.contains(**p)).map(|p| format!("{p}: no field")));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

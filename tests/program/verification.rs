//! docs/VERIFICATION.md is what the tests found. Each test holds its own row; here every
//! row is held to have its test, and every claim its row.
//!
//! To rewrite the page, in one command:
//!
//!     INCHWISE_RESIDUALS=write cargo test --release --no-default-features --test physics --test program -- val_ verification
//!
//! Tables of what takes long to measure are made from the numbers in tests/reference that
//! `tests/physics/survey.rs` has written there.

use crate::common::{PAGE, notes, root};
use serde_json::Value;
use std::collections::BTreeSet;

const HEAD: &str = include_str!("../reference/verification_head.md");

/// The head's text, cut at its tables; each piece but the first begins with a table's name.
fn pieces() -> impl Iterator<Item = &'static str> {
    HEAD.split("{table ")
}

/// The ids of every claim, from the sources of the tests.
fn claimed() -> BTreeSet<String> {
    let mut ids = BTreeSet::new();
    for entry in std::fs::read_dir(root().join("tests/physics")).expect("the tests are there") {
        let path = entry.expect("a test").path();
        let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default().to_owned();
        if !name.starts_with("val_") {
            continue;
        }
        let family = name.trim_start_matches("val_").trim_end_matches(".rs").to_owned();
        let text = std::fs::read_to_string(&path).expect("a test's text");
        for id in text.split("id: \"").skip(1).filter_map(|rest| rest.split('"').next()) {
            assert!(
                id.split('.').next() == Some(&family),
                "{name}: the claim {id} is of another family than its file, {family}"
            );
        }
        // An id is a string of its own: "family.name".
        for piece in text.split('"') {
            if piece.strip_prefix(&family).is_some_and(|rest| {
                rest.strip_prefix('.')
                    .is_some_and(|id| id.chars().all(|c| c.is_ascii_alphanumeric() || c == '_'))
            }) {
                ids.insert(piece.to_owned());
            }
        }
    }
    ids
}

fn survey(text: &str) -> Value {
    serde_json::from_str(text).expect("the survey reads")
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

fn table(head: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut text = format!("| {} |\n|{}\n", head.join(" | "), "---|".repeat(head.len()));
    for row in rows {
        assert_eq!(row.len(), head.len(), "{row:?}");
        text += &format!("| {} |\n", row.join(" | "));
    }
    text
}

/// By which shares cribs come down early.
fn early(shares: &[Value]) -> String {
    let one = |share: &Value| {
        share.as_f64().map_or("over 10".to_owned(), |share| format!("{:.1}", 100.0 * share))
    };
    shares.iter().map(one).collect::<Vec<_>>().join(", ") + " %"
}

/// With a steady setting a shorter step makes no crib come down more than this much earlier.
const STEADY: f64 = 0.01;

/// One way to reckon the loaded crib: what it is, x real time, and how early cribs of 13, 12,
/// 14 and 16 layers come down.
struct Way<'a> {
    engine: &'static str,
    what: String,
    speed: f64,
    early: &'a [Value],
    /// A shorter step makes it little worse.
    steady: bool,
}

impl Way<'_> {
    fn error(&self) -> f64 {
        self.early[0].as_f64().unwrap_or(1.0)
    }
}

fn ways(data: &Value) -> Vec<Way<'_>> {
    // How much earlier the worst of the cribs comes down with a shorter step.
    let earlier = |shorter: &Value, than: &Value| {
        let share = |e: &Value| e.as_f64().unwrap_or(1.0);
        let pairs = list(shorter).iter().zip(list(than));
        pairs.map(|(a, b)| share(a) - share(b)).fold(0.0, f64::max)
    };
    let theirs = list(&data["mujoco"]);
    let of_mujoco = theirs.iter().map(|row| {
        let shorter = |other: &&Value| {
            other["solimp"] == row["solimp"] && number(&other["step_s"]) <= number(&row["step_s"])
        };
        let no_worse = |other: &Value| earlier(&other["early"], &row["early"]) <= STEADY;
        let stands = list(&row["early"]).iter().all(Value::is_number);
        let steady = stands && theirs.iter().filter(shorter).all(no_worse);
        let solimp = row["solimp"].as_str().expect("text").trim_end_matches(" 0.001");
        Way {
            engine: "MuJoCo 4.0.0",
            what: format!("{} ms, solimp {solimp}", 1e3 * number(&row["step_s"])),
            speed: number(&row["speed"]),
            early: list(&row["early"]),
            steady,
        }
    });
    let of_ours = list(&data["ours"]).iter().map(|row| {
        let of = |name: &str| number(&row[name]);
        let passes = if of("passes") > 1.0 { " of two passes" } else { "" };
        Way {
            engine: "ours",
            what: format!(
                "{} Hz, {} iterations{passes}, contacts at {} Hz, damping ratio {}",
                of("rate_hz"),
                of("iterations"),
                of("contact_hz"),
                of("damping")
            ),
            speed: number(&row["speed"]),
            early: list(&row["early"]),
            steady: earlier(&row["early_at_half_the_step"], &row["early"]) <= STEADY,
        }
    });
    of_mujoco.chain(of_ours).collect()
}

fn speed_table(data: &Value) -> String {
    table(
        &["engine", "settings", "speed", "13, 12, 14, 16 layers come down early by", "steady"],
        ways(data).iter().map(|way| {
            let steady = if way.steady { "yes" } else { "no" };
            let speed = format!("{:.1}", way.speed);
            vec![
                way.engine.to_owned(),
                way.what.clone(),
                speed,
                early(way.early),
                steady.to_owned(),
            ]
        }),
    )
}

/// The fastest of MuJoCo's ways that is no further off at 13 layers than one of ours.
fn as_near<'a>(ways: &'a [Way<'a>], our: &Way, steady: bool) -> Option<&'a Way<'a>> {
    ways.iter()
        .filter(|t| t.engine != "ours" && (t.steady || !steady) && t.error() <= our.error() + 1e-4)
        .max_by(|a, b| a.speed.total_cmp(&b.speed))
}

/// Each of our steady ways beside the fastest of MuJoCo that is as near.
fn equal_error_table(data: &Value) -> String {
    let ways = ways(data);
    let beside = |our: &Way, steady: bool| {
        as_near(&ways, our, steady).map_or("none".to_owned(), |t| {
            format!("{}: {:.1}; ours is {:.1} times as fast", t.what, t.speed, our.speed / t.speed)
        })
    };
    table(
        &[
            "ours",
            "early by",
            "speed",
            "the fastest steady MuJoCo that is as near",
            "the fastest of all that is as near",
        ],
        ways.iter().filter(|way| way.engine == "ours" && way.steady).map(|our| {
            vec![
                our.what.clone(),
                format!("{:.1} %", 100.0 * our.error()),
                format!("{:.1}", our.speed),
                beside(our, true),
                beside(our, false),
            ]
        }),
    )
}

/// Thirteen layers within 1.5 % of the closed form at 20 times real time on one core, and
/// well over MuJoCo's speed at equal or smaller error. The bar of three times is not met: the
/// page says by how much, and why.
#[test]
fn the_bars_of_speed_hold_in_what_was_measured() {
    let data = survey(include_str!("../reference/speed.json"));
    let ways = ways(&data);
    let Some(program) = ways.iter().find(|way| way.engine == "ours") else { panic!("no ways") };
    let bars = program.steady && program.error() < 0.015 && program.speed >= 20.0;
    assert!(bars, "{}", program.what);
    let beside = as_near(&ways, program, true).expect("MuJoCo is as near somewhere");
    assert!(program.speed >= 1.5 * beside.speed, "{} beside {}", program.speed, beside.speed);
}

fn settings_table(data: &Value) -> String {
    table(
        &[
            "settings",
            "6, 13, 16 layers come down early by",
            "crib's speed",
            "its creep, mm a minute",
            "height of a load on a bag",
            "beams",
            "two supports",
            "crib 3 s after its rated load",
            "lean of a pushed stack",
            "beam lift's speed",
            "its worst sum of upright loads",
            "a limb's highest load",
            "a bag without a pad",
        ],
        list(data).iter().map(|row| {
            let (found, lift) = (&row["found"], &row["found"]["lift"]);
            let share = |value: &Value| format!("{:.2} %", 100.0 * number(value));
            let lean_mm = number(&found["lean_mm"]);
            vec![
                row["what"].as_str().expect("text").to_owned(),
                early(list(&found["crib_early"])),
                format!("{:.0}", number(&found["crib_speed"])),
                format!("{:.2}", number(&found["creep_mm_min"])),
                share(&found["bag_height"]),
                share(&found["beams"]),
                share(&found["two_supports"]),
                share(&found["rated_crib"]),
                if lean_mm > 100.0 { "goes over".to_owned() } else { format!("{lean_mm:.0} mm") },
                format!("{:.0}", number(&lift["speed"])),
                share(&lift["load_residual"]),
                format!("{:.0} N", number(&lift["limb_n"])),
                found["no_pad"].as_str().expect("text").to_owned(),
            ]
        }),
    )
}

fn assumed_table(data: &Value) -> String {
    let shipped = data["shipped"].as_object().expect("lessons");
    table(
        &["changed", "lessons that end otherwise"],
        list(&data["rows"]).iter().map(|row| {
            let otherwise = row["otherwise"].as_object().expect("lessons");
            let one = |(name, end): (&String, &Value)| {
                let [was, is] = [&shipped[name], end].map(|e| e.as_str().expect("text"));
                format!("{name}: {is}, as shipped {was}")
            };
            let all: Vec<String> = otherwise.iter().map(one).collect();
            let all = if all.is_empty() { "none".to_owned() } else { all.join("; ") };
            vec![row["what"].as_str().expect("text").to_owned(), all]
        }),
    )
}

/// The lessons that none of the changes turns, and those that some do.
fn lessons_table(data: &Value) -> String {
    let rows = list(&data["rows"]);
    let shipped = data["shipped"].as_object().expect("lessons");
    let turned = |name: &str| -> Vec<&str> {
        let otherwise = rows.iter().filter(|row| row["otherwise"].get(name).is_some());
        otherwise.filter_map(|row| row["what"].as_str()).collect()
    };
    table(
        &["lesson", "ends", "changes of those above that end it otherwise"],
        shipped.iter().map(|(name, end)| {
            let by = turned(name);
            let by = if by.is_empty() { "none".to_owned() } else { by.join("; ") };
            vec![name.clone(), end.as_str().expect("text").to_owned(), by]
        }),
    )
}

/// A table that is made from committed numbers; the others are noted by the tests.
fn surveyed(name: &str) -> Option<String> {
    let speed = || survey(include_str!("../reference/speed.json"));
    let assumed = || survey(include_str!("../reference/assumed.json"));
    match name {
        "speed" => Some(speed_table(&speed())),
        "equal_error" => Some(equal_error_table(&speed())),
        "settings" => Some(settings_table(&survey(include_str!("../reference/settings.json")))),
        "assumed" => Some(assumed_table(&assumed())),
        "lessons" => Some(lessons_table(&assumed())),
        _ => None,
    }
}

#[test]
fn the_page_has_a_row_for_each_claim_and_no_other() {
    let claimed = claimed();
    assert!(claimed.len() > 25, "only {} claims were found", claimed.len());
    let writing = std::env::var("INCHWISE_RESIDUALS").is_ok_and(|v| v == "write");
    if writing {
        let mut page = String::new();
        for (i, piece) in pieces().enumerate() {
            let table = piece.split_once("}\n").filter(|_| i > 0);
            let Some((name, text)) = table else {
                page += piece;
                continue;
            };
            page += &surveyed(name).unwrap_or_else(|| {
                let noted = std::fs::read_to_string(notes().join(format!("table.{name}")));
                noted.expect("a table is noted: run the tests named above first")
            });
            page += text;
        }
        let mut family = "";
        for id in &claimed {
            let Ok(row) = std::fs::read_to_string(notes().join(id)) else {
                panic!("{id} has noted no residual: run the tests named above first")
            };
            let now = id.split('.').next().unwrap_or_default();
            if now != family {
                page += &format!(
                    "\n## {now}\n\nHeld by `tests/physics/val_{now}.rs`.\n\n| id | claim | held against | \
                     range | tolerance and its reason | worst residual |\n|---|---|---|---|---|---|\n"
                );
                family = now;
            }
            page += &row;
            page += "\n";
        }
        std::fs::write(root().join(PAGE), page).expect("the page is written");
    }
    let page = std::fs::read_to_string(root().join(PAGE)).expect("the page is there");
    let mut rest = page.as_str();
    for (i, piece) in pieces().enumerate() {
        let (name, text) =
            if i == 0 { ("", piece) } else { piece.split_once("}\n").unwrap_or_default() };
        if let Some(table) = surveyed(name) {
            assert!(rest.starts_with(&table), "{PAGE} no longer says as tests/reference: {table}");
        }
        let found = rest.find(text).filter(|at| i > 0 || *at == 0);
        let Some(at) = found else { panic!("{PAGE} no longer says as tests/reference: {text}") };
        rest = &rest[at + text.len()..];
    }
    let rows: BTreeSet<String> = page
        .lines()
        .filter_map(|line| line.strip_prefix("| ")?.split(" | ").next())
        .filter(|id| id.contains('.') && !id.contains(' '))
        .map(str::to_owned)
        .collect();
    assert_eq!(rows, claimed);
}

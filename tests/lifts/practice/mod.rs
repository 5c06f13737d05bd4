//! Whether a lift was done as the trade does it: each rule with a lift that does not keep to it,
//! and one change apart a lift that does. The limits are common practice; each
//! rule tells its source.

mod end;
mod raising;
mod set_up;

use crate::played::played;
use inchwise::debrief::Debrief;
use inchwise::practice::{Freed, HEADING, Point, Practice, Record, STRETCHES};
use inchwise::snapshot::Snapshot;
use std::sync::Arc;

const RAISE: &str = "(raise: [\"tail lower\"], opening: \"60 %\", until: (rise: \"40 mm\"))";
const HIGHER: &str = "(raise: [\"tail lower\"], opening: \"60 %\", until: (rise: \"80 mm\"))";
const AT_ONCE: &str = "(raise: [\"tail lower\"], opening: \"60 %\", until: (rise: \"110 mm\"))";
const CAPTURE: &str = "(capture: [\"left rail\", \"right rail\"])";
const LET_DOWN: &str = "(lower: [\"tail lower\"], opening: \"100 %\", until: (for: \"25 s\"))";
const LOCK_OUT: &str = "(lock_out: [\"tail lower\"])";
const MOVE_HOSE: &str = "(move_hose: \"tail\", to: \"tail upper\")";
const SET_CHOCKS: &str = "(set_chocks: [\"nose left\", \"nose right\"])";
const WAIT: &str = "(wait: (for: \"1 s\"))";

const GRASS: &str = "ground=(surface: \"grass\")";
const NO_EXPECTATION: &str = "expect=(outcome: \"incomplete\")";

fn orders(orders: &[&str]) -> String {
    format!("orders=[{}]", orders.join(", "))
}

/// The tail of the wedged deck lid on grass, with these orders.
fn tail(given: &[&str], changes: &[&str]) -> Arc<Debrief> {
    let given = orders(given);
    let all = [&[GRASS, NO_EXPECTATION, given.as_str()], changes].concat();
    played("deck-lid-wedged", &all)
}

/// The beam lift with these changes, raised by 30 mm and captured.
fn beam(changes: &[&str]) -> Arc<Debrief> {
    let given = orders(&[
        "(raise: [\"left lower\", \"right lower\"], opening: \"30 %\", until: (rise: \"30 mm\"))",
        CAPTURE,
        WAIT,
    ]);
    played("beam-lift", &[&[NO_EXPECTATION, given.as_str()], changes].concat())
}

fn points(debrief: &Debrief) -> &[Point] {
    &debrief.practice.as_ref().expect("it was played").points
}

fn of(debrief: &Debrief, word: &str) -> Option<Point> {
    points(debrief).iter().find(|point| point.rule.word == word).cloned()
}

/// What the rules say of a played lift whose moments were changed afterwards.
fn recorded(lift: &Debrief, change: impl Fn(&mut Snapshot)) -> Practice {
    let mut history = lift.history.clone();
    history.iter_mut().for_each(change);
    let history: Vec<&Snapshot> = history.iter().collect();
    let (scene, parts) = (&lift.scene, &lift.parts);
    Practice::of(&Record::new(scene, parts, &history, &lift.records, &lift.findings, true))
}

/// The first lift has a point of this rule, with its words in either system, and the second has
/// not. The point is given back.
fn apart(word: &str, trips: &Debrief, keeps: &Debrief) -> Point {
    let mut rules = STRETCHES.iter().flat_map(|stretch| stretch.rules);
    assert!(rules.any(|rule| rule.word == word), "{word} is no rule");
    let told = of(trips, word).unwrap_or_else(|| panic!("{word} is not told\n{}", trips.text()));
    assert_eq!(of(keeps, word), None, "\n{}", keeps.text());
    let said = told.say(&trips.scene, inchwise::UnitSystem::Si);
    assert!(trips.text().contains(&said) && !said.is_empty(), "{said}\n{}", trips.text());
    assert!(told.place.iter().all(|x| x.abs() < 5.0), "{told:?}");
    assert!(told.t_s <= trips.sim_s, "{told:?}");
    told
}

/// What comes after the first thing that went wrong is no point, and nobody is free then.
#[test]
fn a_failure_is_told_by_the_outcome_alone() {
    let failed = played("void-not-filled", &[]);
    let practice = failed.practice.as_ref().expect("it was played");
    let failed_s = failed.findings[0].t_s;
    assert_eq!(practice.failed_s, Some(failed_s));
    assert!(practice.points.iter().all(|point| point.t_s <= failed_s), "{:?}", practice.points);
    assert!(practice.points.iter().any(|point| point.rule.word == "packing"));
    assert_eq!(practice.casualty(), Some(Freed::Trapped));
    let ends = ["on_timber", "under_air"].map(|word| of(&failed, word));
    assert_eq!(ends, [None, None]);
}

/// The page of rules is made from the rules. `INCHWISE_PRACTICE=write` writes it.
#[test]
fn the_page_of_rules_has_every_rule() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/PRACTICE.md");
    let page = std::fs::read_to_string(path).expect("the page is there");
    assert!(page.starts_with(&format!("# {HEADING}\n")), "the page stands under the same heading");
    let head = page.find("\n## ").expect("a first table");
    let mut written = page[..head].to_owned();
    for stretch in STRETCHES {
        written += &format!("\n## {}\n\n", stretch.heading);
        written += "| rule | asks that | limit | what is measured, and what is taken | source |\n";
        written += "|---|---|---|---|---|\n";
        for rule in stretch.rules {
            written += &format!(
                "| `{}` | {} | {} | {} | {} |\n",
                rule.word,
                rule.asks,
                rule.say_limit(inchwise::UnitSystem::Si),
                rule.takes,
                rule.source
            );
        }
    }
    if std::env::var("INCHWISE_PRACTICE").is_ok_and(|v| v == "write") {
        std::fs::write(path, &written).expect("it can be written");
        return;
    }
    assert_eq!(page, written, "write the page with INCHWISE_PRACTICE=write");
}

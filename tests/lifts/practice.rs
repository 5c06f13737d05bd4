//! Whether a lift was done as the trade does it: each rule with a lift that does not keep to it,
//! and one change apart a lift that does. The limits are common practice; `RULES` tells the
//! source of each.

use crate::played::played;
use inchwise::debrief::Debrief;
use inchwise::practice::{Freed, HEADING, Point, STRETCHES};
use inchwise::scene::Outcome;
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

#[test]
fn timber_follows_each_inch_or_two() {
    let at_once = tail(&[AT_ONCE, CAPTURE, WAIT], &[]);
    let in_steps = tail(&[RAISE, CAPTURE, HIGHER, CAPTURE, AT_ONCE, CAPTURE, WAIT], &[]);
    let point = apart("rise_on_air", &at_once, &in_steps);
    // Two inches or so are passed on the way; the most is no more than the load rose.
    let most = point.figure.expect("it is measured");
    assert!((0.05..=at_once.peaks.rise_m).contains(&most), "{most}");
    let end_s = at_once.history.last().expect("a row").t_s;
    assert!(point.t_s > 1.0 && point.t_s < end_s - 4.0, "{point:?}");
    // Without any capture stack it is all of the rise.
    let none = tail(&[AT_ONCE, WAIT], &["captures=[]"]);
    let most = of(&none, "rise_on_air").and_then(|point| point.figure).expect("a point");
    assert!((most - none.peaks.rise_m).abs() < 1e-3, "{most} of {}", none.peaks.rise_m);
}

/// Let down onto its capture stacks, the load rests on them, and the limb is free to be released;
/// left on its bag, it is clear on air at the same gap. Either ends as it did before.
#[test]
fn the_load_is_let_down_onto_timber() {
    let clear = ["aims.clearance=5 mm", "casualty.lower leg.gap_needed=130 mm"];
    let lift = [RAISE, CAPTURE, HIGHER, CAPTURE];
    let on_air = tail(&[&lift[..], &[WAIT]].concat(), &clear);
    let down = tail(&[&lift[..], &[LET_DOWN, WAIT]].concat(), &clear);
    let point = apart("on_timber", &on_air, &down);
    assert!(point.figure.is_some_and(|share| (0.0..0.5).contains(&share)), "{point:?}");
    let lies = |debrief: &Debrief| debrief.practice.as_ref().and_then(|p| p.casualty());
    assert_eq!(lies(&on_air), Some(Freed::ClearOnAir), "{}", on_air.text());
    assert_eq!(lies(&down), Some(Freed::ToBeReleased), "{}", down.text());
    assert!(down.text().contains("when to release is a medical decision"));
    assert_eq!([on_air.outcome, down.outcome], [Outcome::Lifted; 2]);
    // The clearance moves the state, and no ending.
    let wide = ["aims.clearance=60 mm", clear[1]];
    let wide = tail(&[&lift[..], &[WAIT]].concat(), &wide);
    assert_eq!((lies(&wide), wide.outcome), (Some(Freed::Trapped), Outcome::Lifted));
    assert_eq!(wide.state_hash, on_air.state_hash);
}

#[test]
fn nobody_lies_under_air_at_the_end() {
    let open = tail(&[RAISE, WAIT], &[]);
    let held = tail(&[RAISE, CAPTURE, WAIT], &[]);
    let point = apart("under_air", &open, &held);
    assert_eq!(point.part, "lower leg");
    assert!(point.figure.is_some_and(|falls_m| falls_m > point.limit), "{point:?}");
}

/// Chocks at the nose hold a tail lift; ordered after the first air they come too late, and
/// chocks at the tail hold what is lifted.
#[test]
fn the_far_end_is_held_before_the_first_air() {
    let ready = ["chocks.nose left.set=false", "chocks.nose right.set=false"];
    let before = tail(&[SET_CHOCKS, RAISE, CAPTURE, WAIT], &ready);
    let after = tail(&[RAISE, SET_CHOCKS, CAPTURE, WAIT], &ready);
    let point = apart("far_end", &after, &before);
    assert_eq!((point.figure, point.limit), (Some(0.0), 1.0));
    let without = tail(&[RAISE, CAPTURE, WAIT], &["chocks=[]"]);
    apart("far_end", &without, &tail(&[RAISE, CAPTURE, WAIT], &[]));
}

/// The leg under the bonnet is where the vehicle turns; the forearm is on the lifted side.
#[test]
fn the_void_beside_a_limb_is_packed() {
    let point = apart("packing", &beam(&["void_fill=[]"]), &beam(&[]));
    assert_eq!((point.part.as_str(), point.figure), ("lower leg", None));
    // A leg further to the right, and packing on the left alone.
    let right = "casualty.lower leg.at=[\"1.30 m\", \"-0.30 m\"]";
    let left = "void_fill=[(name: \"left\", at: [\"1.64 m\", \"0.50 m\"], length: \"12 in\")]";
    let point = apart("packing", &beam(&[right, left]), &beam(&[right]));
    // From the leg's edges, 1.36 m and -0.15 m, to those of a crib of 12 in.
    let half_m = 6.0 * 0.0254;
    let apart_m = f64::hypot(1.64 - half_m - 1.36, 0.50 - half_m + 0.15);
    assert!(point.figure.is_some_and(|m| (m - apart_m).abs() < 1e-6), "{point:?}");
}

#[test]
fn a_shut_off_is_closed_before_the_hose_comes_off() {
    let open = tail(&[RAISE, CAPTURE, MOVE_HOSE, WAIT], &[]);
    let shut = tail(&[RAISE, CAPTURE, LOCK_OUT, MOVE_HOSE, WAIT], &[]);
    let point = apart("shut_off", &open, &shut);
    assert_eq!(point.part, "tail lower");
    assert!(point.figure.is_some_and(|pa| pa > 1e4), "{point:?}");
}

/// Seven layers of 4x4 are 622 mm; timbers of 12 in lie side by side on 178 mm, which is 3.5 to
/// 1, and those of 18 in on 279 mm, which is 2.2 to 1.
#[test]
fn a_capture_is_no_taller_than_its_base_bears() {
    let capture = |length: &str| {
        format!(
            "captures=[(name: \"tail\", at: [\"-1.45 m\", \"0.50 m\"], length: \"{length}\", layers: \
             7, steps: 0)]"
        )
    };
    let [narrow, broad] =
        ["12 in", "18 in"].map(|length| tail(&[RAISE, WAIT], &[&capture(length)]));
    let point = apart("capture_base", &narrow, &broad);
    let ratio = 7.0 * 0.0889 / (2.0 * 0.0889);
    assert!(point.figure.is_some_and(|of| (of - ratio).abs() < 1e-6), "{point:?}");
}

/// 8 layers of 4x4 and three boards are 825 mm, on 279 mm over timbers of 18 in and on 229 mm
/// over timbers of 16 in.
#[test]
fn a_stack_is_no_taller_than_its_base_bears() {
    let small = |bag: &str| format!("bags.tail {bag}.size=[\"400 mm\", \"400 mm\"]");
    let bags = ["lower", "upper"].map(small);
    let on = |length: &str| {
        let length = format!("stacks.tail.length={length}");
        tail(&[RAISE, CAPTURE, WAIT], &[&bags[0], &bags[1], &length])
    };
    let point = apart("stack_base", &on("16 in"), &on("18 in"));
    let ratio = (8.0 * 0.0889 + 3.0 * 0.038) / (16.0 * 0.0254 - 2.0 * 0.0889);
    assert!(point.figure.is_some_and(|of| (of - ratio).abs() < 1e-6), "{point:?}");
    assert_eq!((point.corners, point.limit), (Some(4), 3.0));
    // A stack that leans bears on fewer corners, for which less is allowed.
    let leans = played("stack-out-of-plumb", &[]);
    let point = of(&leans, "stack_base").unwrap_or_else(|| panic!("{}", leans.text()));
    let allowed = match point.corners {
        Some(1) => 1.0,
        Some(2 | 3) => 1.5,
        _ => panic!("{point:?}"),
    };
    assert_eq!(point.limit, allowed);
}

#[test]
fn a_pad_lies_between_a_bag_and_sheet_metal() {
    let bare = tail(&[RAISE, CAPTURE, WAIT], &["wedges=[]"]);
    let point = apart("pad", &bare, &tail(&[RAISE, CAPTURE, WAIT], &[]));
    assert_eq!(point.part, "tail upper");
    let most = bare.peaks.bag_load_n.most;
    assert!(point.figure.is_some_and(|n| n > 0.5 * most && n < 1.1 * most), "{point:?} of {most}");
}

#[test]
fn a_beam_stands_out_evenly_and_is_shimmed() {
    let even = beam(&[]);
    let off = |by: &str| beam(&[&format!("beam.at.1={by}")]);
    let point = apart("overhang", &off("60 mm"), &off("40 mm"));
    assert!(point.figure.is_some_and(|m| (m - 0.12).abs() < 1e-9), "{point:?}");
    apart("shims", &beam(&["beam.shims=false"]), &even);
}

#[test]
fn stakes_go_into_ground_that_takes_them() {
    let given = [RAISE, CAPTURE, WAIT];
    let asphalt = tail(&given, &["ground=(surface: \"asphalt\")"]);
    let point = apart("stakes", &asphalt, &tail(&given, &[]));
    assert_eq!(point.figure, Some(2.0));
    // Nobody drives a stake where the chocks lie by friction.
    let laid = ["chocks.nose left.staked=false", "chocks.nose right.staked=false"];
    let laid = tail(&given, &[&["ground=(surface: \"asphalt\")"], &laid[..]].concat());
    assert_eq!(of(&laid, "stakes"), None);
}

#[test]
fn the_regulator_stands_at_the_bags_pressure() {
    let given = [RAISE, CAPTURE, WAIT];
    let weak = "bags.tail lower.working=6 bar";
    let above = tail(&given, &[weak]);
    let point = apart("regulator", &above, &tail(&given, &[weak, "air.regulator=6 bar"]));
    assert_eq!((point.figure, point.limit), (Some(8e5), 6e5));
    // A bag that no hose goes to gets none.
    assert_eq!(of(&tail(&given, &["bags.tail upper.working=6 bar"]), "regulator"), None);
}

/// The leg is 125 mm thick; with no more than that to reach, what stands over it is too much.
#[test]
fn the_load_is_lifted_no_higher_than_needed() {
    let steps = [RAISE, CAPTURE, HIGHER, CAPTURE, AT_ONCE, CAPTURE];
    let clear = ["aims.clearance=0 mm", "casualty.lower leg.gap_needed=125 mm"];
    let high = "(raise: [\"tail lower\"], opening: \"60 %\", until: (rise: \"170 mm\"))";
    let higher = tail(&[&steps[..], &[high, CAPTURE, WAIT]].concat(), &clear);
    let enough = tail(&[&steps[..], &[WAIT]].concat(), &clear);
    let point = apart("too_high", &higher, &enough);
    let most = higher.gaps[0].max_m - 0.125;
    assert!(point.figure.is_some_and(|m| (m - most).abs() < 1e-3), "{point:?} of {most}");
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

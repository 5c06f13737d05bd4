//! What yields and breaks, in whole lifts: each mode with a lift that it ends, one change
//! away a lift that it does not, and the same lift with the mode taken away, so that the
//! mode and nothing else makes the difference. What ought to happen is common practice, no
//! source: spread the load on soft ground.

use crate::played::played;
use approx::{abs_diff_eq, relative_eq};
use inchwise::debrief::Debrief;
use inchwise::scene::{Cause, Outcome, Source, load};
use inchwise::shelf::{ShelfScene, differences};
use inchwise::snapshot::Measured;
use inchwise::statics::sheet::{Row, RowQuantity, Sheet, Verdict};
use inchwise::units::UnitSystem;
use std::sync::Arc;

fn ends(name: &str, sets: &[&str], outcome: Outcome, cause: Option<Cause>) -> Arc<Debrief> {
    let debrief = played(name, sets);
    let text = debrief.text();
    assert_eq!((debrief.outcome, debrief.cause), (outcome, cause), "{sets:?}\n{text}");
    debrief
}

/// The wedged deck lid on a stack that these tests hold still: three 4x4 a layer.
const STACK: &str = "stacks=[(name: \"tail\", at: [\"-1.78 m\", \"0 m\"], length: \"24 in\", \
                     layers: 8, members: 3)]";
/// On soft ground the roof has gone in: the tail stands lower, and a leg under it is trapped further
/// back.
const LOWER: &str = "stacks.tail.layers=7";
const FURTHER_BACK: &str = "casualty.lower leg.at.0=-0.48 m";
const LIES_THERE: &str = "people=[(name: \"casualty\", at: [\"-0.48 m\", \"1.04 m\"], \
                          head_towards: \"90 deg\")]";
/// Boards under the captures, which mud does not bear without: they stand where the leg leaves room.
const RAILS: [&str; 4] = [
    "captures.left rail.at.0=-0.78 m",
    "captures.right rail.at.0=-0.78 m",
    "captures.left rail.sole=(size: [\"320 mm\", \"450 mm\"])",
    "captures.right rail.sole=(size: [\"320 mm\", \"450 mm\"])",
];
/// The lift without its let-down: on soft ground the captures go in as they take the load.
const UP: &str = "orders=[(raise: \"tail lower\", opening: \"60 %\", until: (rise: \"80 mm\")), \
                  (capture: [\"left rail\", \"right rail\"]), (lock_out: \"tail lower\"), \
                  (move_hose: \"tail\", to: \"tail upper\"), \
                  (raise: \"tail upper\", opening: \"60 %\", until: (rise: \"200 mm\")), \
                  (capture: [\"left rail\", \"right rail\"]), (wait: (for: \"3 s\"))]";
const MUD: &str = "ground=(surface: \"grass\", soil: \"mud\")";

/// Less than the shipped lift asks for: on mud the nose goes down as the tail comes up.
const LESS: &str = "casualty.lower leg.gap_needed=165 mm";

/// The tail stack comes down on 0.163 m2 of timber; mud bears (2 + pi) 6 kPa, which is 5 kN.
#[test]
fn on_mud_a_stack_sinks_and_a_sole_plate_holds_it() {
    let bare = [[STACK, MUD, LOWER, FURTHER_BACK, LIES_THERE, LESS].as_slice(), &RAILS].concat();
    let sunk = ends("deck-lid-wedged", &bare, Outcome::Failed, Some(Cause::Sink));
    let value =
        |name| sunk.findings[0].measured.values().iter().find(|(n, _)| *n == name).map(|(_, v)| *v);
    let capacity = (2.0 + std::f64::consts::PI) * 6e3 * 3.0 * 0.0889 * 0.6096;
    assert!(value("capacity_n").is_some_and(|n| relative_eq!(n, capacity, max_relative = 1e-6)));
    // Near miss: a board under the same stack.
    let board = "stacks.tail.sole=(size: [\"900 mm\", \"900 mm\"])";
    let set = [bare.as_slice(), &[board, UP]].concat();
    let held = ends("deck-lid-wedged", &set, Outcome::Lifted, None);
    let base = |debrief: &Debrief| {
        let deepest = |s: &inchwise::snapshot::Snapshot| s.bases[0].deepest_m;
        debrief.history.iter().map(deepest).fold(0.0, f64::max)
    };
    assert!(base(&held) < 0.02 && base(&sunk) > 0.03, "{} {}", base(&held), base(&sunk));
    // Hard ground: the shipped lift, with nothing to sink into.
    let hard = "ground=(surface: \"grass\")";
    let hard = ends("deck-lid-wedged", &[STACK, hard], Outcome::Lifted, None);
    assert!(hard.history.iter().all(|s| s.bases.is_empty()));
}

/// A heavy vehicle lifted at its tail has 13 kN on its nose at full height. A nose 1.64 m wide needs
/// 13 kN / 31 kPa / 1.64 m = 0.26 m of mud, and half of that on soil twice as strong. With its bonnet
/// at 12.5 deg to the ground and its front at 71 deg it has to lie in it by (0.26 m - its fold) /
/// (1 / tan 12.5 deg + 1 / tan 71 deg) = 49 mm, or 22 mm; 17 mm and 7 mm of that it lies in it before
/// the lift.
#[test]
fn a_heavy_nose_goes_into_mud_and_not_into_what_is_firmer() {
    let sole = "stacks.tail.sole=(size: [\"900 mm\", \"900 mm\"])";
    let stack = [LOWER, "stacks.tail.pads=[]", sole, "void_fill=[]"];
    let vehicle = ["vehicle.mass=2600 kg", "vehicle.com.x=0.4 m", FURTHER_BACK, LIES_THERE];
    let under_it = ["captures.left rail.layers=0", "captures.right rail.layers=0"];
    let on = |ground: &str, outcome, cause| {
        let set = [stack.as_slice(), &vehicle, &under_it, &[ground, UP]].concat();
        ends("deck-lid-wedged", &set, outcome, cause)
    };
    let sunk = on(MUD, Outcome::Failed, Some(Cause::Sink));
    assert_eq!(sunk.findings[0].part, "nose", "{}", sunk.text());
    on("ground=(surface: \"grass\", soil: \"soft\")", Outcome::Lifted, None);
}

/// Rotten timber: 10 % of green spruce's 1.4 MPa is 1.1 kN on a crossing of 4x4. 5.6 kN
/// come down off the middle of four of them, or of nine.
#[test]
fn rotten_timber_is_crushed_and_a_third_timber_a_layer_holds_it() {
    let weak = [STACK, "wood=green spruce", "stacks.tail.strength=10 %"];
    let two = [weak[0], weak[1], weak[2], "stacks.tail.members=2"];
    let crushed = ends("deck-lid-wedged", &two, Outcome::Failed, Some(Cause::Crush));
    // Near miss: nine crossings a joint instead of four.
    let held = ends("deck-lid-wedged", &weak, Outcome::Lifted, None);
    let deepest = |debrief: &Debrief| {
        let states = debrief.history.iter().flat_map(|s| &s.crossings);
        states.map(|c| c.set_m).fold(0.0, f64::max)
    };
    assert!(deepest(&crushed) > 0.002 && deepest(&held) < 0.001, "{}", deepest(&held));
    // Sound timber, everything else the same.
    let sound = [STACK, weak[1], "stacks.tail.members=2"];
    let sound = ends("deck-lid-wedged", &sound, Outcome::Lifted, None);
    assert_eq!(deepest(&sound), 0.0);
}

/// A 4x4 of green timber with a knot, on stacks far out: half of the tail's weight on an
/// arm of 0.75 m is 3 kN m; it cracks at 2.0 and breaks at 2.5.
#[test]
fn stacks_too_far_out_break_a_green_beam() {
    let far = ["stacks.left.at.1=1.45 m", "stacks.right.at.1=-1.45 m"];
    let green = ["beam.timber=4x4", "wood=green douglas fir", "beam.strength=90 %"];
    let set = [green[0], green[1], green[2], far[0], far[1]];
    let broken = ends("beam-lift", &set, Outcome::Failed, Some(Cause::Beam));
    assert!(broken.history.last().is_some_and(|s| s.beam.is_some_and(|b| b.broken)));
    assert!(broken.text().contains("the beam broke in two"), "{}", broken.text());
    // With a trickle of air it is heard to crack, and the officer's stop keeps it whole.
    let slow = [set.as_slice(), &["orders.0.opening=1 %"]].concat();
    let cracked = ends("beam-lift", &slow, Outcome::Failed, Some(Cause::Beam));
    assert!(cracked.text().contains("the beam cracks"), "{}", cracked.text());
    assert!(cracked.history.last().is_some_and(|s| s.beam.is_some_and(|b| !b.broken)));
    // Near miss: the same beam with the stacks where they were.
    let held = ends("beam-lift", &green, Outcome::Lifted, None);
    assert!(held.peaks.beam_design_share.held > 0.9, "{:?}", held.peaks.beam_design_share);
    // The same lift with a beam that cannot break.
    let never = [green[0], green[1], far[0], far[1], "beam.strength=1000 %"];
    ends("beam-lift", &never, Outcome::Lifted, None);
}

/// The lift takes 7 kN where it begins and the skin gives way at 3: the bags swell by its
/// depth before the vehicle has risen, and a skin that does not give saves them that.
#[test]
fn bags_under_the_roof_skin_lose_its_depth() {
    let soft = ends("roof-skin", &[], Outcome::Lifted, None);
    let stiff = [
        "vehicle.panels.roof skin.stiffness=5000 N/mm",
        "vehicle.panels.roof skin.plateau=1000 kN",
    ];
    // Its bags rise so little then that they cannot let the load down onto the captures.
    let stiff = ends("roof-skin", &stiff, Outcome::Incomplete, None);
    // Both bags together, at the top of the same rise.
    let swell = |debrief: &Debrief| {
        let top = debrief.history.iter().max_by(|a, b| a.rise_m.total_cmp(&b.rise_m));
        top.map_or(0.0, |s| s.bags.iter().map(|bag| bag.height_m).sum::<f64>())
    };
    let lost = swell(&soft) - swell(&stiff);
    // The depth stands square to a face at 17 to 19 deg; the wedge bears on two fifths of a
    // bag's width, and the vehicle pivots a little otherwise.
    assert!((0.05..0.09).contains(&lost), "{lost} m lost of 0.07");
    // Near miss: nothing squares the sloping roof, and the bag is used up. The shelf has it.
    let shelf = ["roof-skin", "roof-skin-bare"].map(|name| ShelfScene {
        source: Source::Builtin(name.to_owned()),
        loaded: load(name, &[]).unwrap_or_else(|problems| panic!("{name}: {problems:#?}")),
    });
    assert_eq!(differences(&shelf[0], &shelf[1]), ["wedges"]);
    let bare = ends("roof-skin-bare", &[], Outcome::Failed, Some(Cause::BagOverload));
    assert!(bare.scene.wedges.is_empty());
}

/// A loose beam with 68 mm of room over it, on small bags: these close up at 2 x 180 / pi =
/// 115 mm, so more than half of that is climbed before anything bears.
#[test]
fn bags_that_climb_for_nothing_are_told_before_they_are_used_up() {
    let small = [
        "bags.left lower.size=[\"180 mm\", \"180 mm\"]",
        "bags.right lower.size=[\"180 mm\", \"180 mm\"]",
    ];
    let verdict = |sets: &[&str]| {
        let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
        let scene = load("beam-loose", &sets).unwrap_or_else(|p| panic!("{p:#?}")).scene;
        let sheet = Sheet::new(&scene, UnitSystem::Si);
        let row = sheet.rows.iter().find(|row| *row.quantity() == RowQuantity::FreeStroke);
        row.and_then(Row::verdict)
    };
    let climbed = ends("beam-loose", &small, Outcome::Failed, Some(Cause::BagOverload));
    assert!(matches!(climbed.findings[0].measured, Measured::FreeStroke { .. }));
    assert!(climbed.history.iter().all(|s| s.rise_m < 0.002), "nothing was lifted");
    assert_eq!(verdict(&small), Some(Verdict::Fails));
    // Near miss: the shipped bags close up at 325 mm, and take up the load.
    ends("beam-loose", &[], Outcome::Incomplete, None);
    assert_eq!(verdict(&[]), Some(Verdict::Holds));
}

/// A beam pushed through by 0.54 m bears on one edge of a bag, which tilts past twice the
/// friction angle of 0.75 x 0.3, 25 deg. By 0.30 m it bears far enough in.
#[test]
fn a_bag_that_bears_at_an_edge_is_told_by_its_tilt() {
    let tilted = ends("beam-overhang", &[], Outcome::Failed, Some(Cause::KickOut));
    assert!(matches!(tilted.findings[0].measured, Measured::BagTilt { .. }));
    ends("beam-overhang", &["beam.at.1=300 mm"], Outcome::Lifted, None);
}

/// The nose goes up, the rear of the roof goes down: onto the head of somebody who lies under
/// it, with a tenth of it to give. Somebody whose head lies 120 mm further back has room to the
/// end.
#[test]
fn a_roof_that_comes_down_onto_a_head_is_found() {
    let third = |x: f64| {
        format!(
            "people=[(name: \"driver\", at: [\"0.752 m\", \"-0.27 m\"], head_towards: \"180 deg\", \
             inside: true), (name: \"third\", at: [\"{x} m\", \"0 m\"], head_towards: \"0 deg\")]"
        )
    };
    let leg = "casualty=[(name: \"lower leg\", of: \"driver\", at: [\"1.48 m\", \"-0.36 m\"], \
               thickness: \"125 mm\", size: [\"120 mm\", \"300 mm\"], gap_needed: \"145 mm\")]";
    let with = |x: f64| [leg.to_owned(), "decides=slide".into(), "after=Nothing.".into(), third(x)];
    let sets = with(-1.28);
    let sets: Vec<&str> = sets.iter().map(String::as_str).collect();
    let pressed = ends("nose-raised", &sets, Outcome::Failed, Some(Cause::CasualtyLoad));
    let finding = &pressed.findings[0];
    assert_eq!(finding.part, "head of third");
    let Measured::Pressed { pressed_m, depth_m, limit_m } = finding.measured else {
        panic!("{finding:?}")
    };
    assert!(
        pressed_m > limit_m && abs_diff_eq!(limit_m, 0.1 * depth_m, epsilon = 1e-9),
        "{finding:?}"
    );
    let sets = with(-1.40);
    let sets: Vec<&str> = sets.iter().map(String::as_str).collect();
    ends("nose-raised", &sets, Outcome::Lifted, None);
}

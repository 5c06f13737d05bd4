//! What is asked of the lift over its course.

use super::{
    AT_ONCE, CAPTURE, HIGHER, LET_DOWN, LOCK_OUT, MOVE_HOSE, NO_EXPECTATION, RAISE, WAIT, apart,
    of, orders, recorded, tail,
};
use crate::played::played;
use approx::abs_diff_eq;
use inchwise::UnitSystem;
use inchwise::snapshot::{PartKind, Shape, Snapshot};
use inchwise::statics::sheet::{Limit, RowQuantity, Sheet, Verdict};

/// Timber under both ends of a beam guards the limb beside it; not built up it does not.
#[test]
fn a_beam_on_timber_guards_the_limb_beside_it() {
    let point =
        apart("beside_limb", &played("beam-not-cribbed", &[]), &played("beam-cribbed", &[]));
    assert_eq!(point.part, "forearm");
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
    assert!(
        abs_diff_eq!(most, none.peaks.rise_m, epsilon = 1e-3),
        "{most} of {}",
        none.peaks.rise_m
    );
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
            "captures=[(name: \"tail\", at: [\"-1.45 m\", \"0.56 m\"], length: \"{length}\", layers: \
             7, steps: 0)]"
        )
    };
    let [narrow, broad] =
        ["12 in", "18 in"].map(|length| tail(&[RAISE, WAIT], &[&capture(length)]));
    let point = apart("capture_base", &narrow, &broad);
    let ratio = 7.0 * 0.0889 / (2.0 * 0.0889);
    assert!(point.figure.is_some_and(|of| abs_diff_eq!(of, ratio, epsilon = 1e-6)), "{point:?}");
}

/// 8 layers of 4x4 and three boards are 825 mm: on the 330 mm over timbers of 20 in that is 2.5 to
/// 1, and with the bags and the block on it more than 3.
#[test]
fn a_stack_with_its_bags_is_no_taller_than_its_base_bears() {
    let on =
        |length: &str| tail(&[RAISE, CAPTURE, WAIT], &[&format!("stacks.tail.length={length}")]);
    let trips = on("20 in");
    let point = apart("stack_base", &trips, &on("22 in"));
    // Up to the middle of the block's upper face, which is the highest that it stands.
    let block = trips.parts.iter().position(|part| part.kind == PartKind::Wedge(0));
    let block = block.expect("it is cut");
    let Shape::Hull(corners) = &trips.parts[block].shape else { panic!("a block is cut") };
    let top_m = |now: &Snapshot| {
        corners[4..].iter().map(|at| now.poses[block].ground(*at)[1]).sum::<f64>() / 4.0
    };
    let highest_m = trips.history.iter().map(top_m).fold(0.0, f64::max);
    let ratio = highest_m / (20.0 * 0.0254 - 2.0 * 0.0889);
    assert!(point.figure.is_some_and(|of| abs_diff_eq!(of, ratio, epsilon = 0.03)), "{point:?}");
    assert_eq!((point.corners, point.limit), (Some(4), 3.0));
    // A stack that leans bears on fewer corners, for which less is allowed.
    let slender = ["stacks.tail.length=12 in", "stacks.tail.lean=[\"0 mm\", \"105 mm\"]"];
    let leans = played("stack-out-of-plumb", &slender);
    let point = of(&leans, "stack_base").unwrap_or_else(|| panic!("{}", leans.text()));
    let allowed = match point.corners {
        Some(1) => 1.0,
        Some(2 | 3) => 1.5,
        _ => panic!("{point:?}"),
    };
    assert_eq!(point.limit, allowed);
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
    assert!(
        point.figure.is_some_and(|m| abs_diff_eq!(m, most, epsilon = 1e-3)),
        "{point:?} of {most}"
    );
}

/// The body is widest 0.82 m from its middle, and stands less than a metre over the ground there.
#[test]
fn no_head_lies_under_a_load_on_air() {
    let arm = "casualty=[(name: \"forearm\", part: \"forearm\", at: [\"-0.14 m\", \"0.42 m\"], \
               thickness: \"85 mm\", size: [\"90 mm\", \"250 mm\"], gap_needed: \"100 mm\")]";
    let lying = |z: &str| {
        let people = format!(
            "people=[(name: \"passenger\", at: [\"-0.64 m\", \"{z}\"], head_towards: \"0 deg\")]"
        );
        tail(&[RAISE, CAPTURE, WAIT], &[arm, &people])
    };
    let point = apart("head", &lying("0.85 m"), &lying("1.05 m"));
    assert_eq!(point.part, "head of passenger");
    assert!(point.figure.is_some_and(|m| m < 1.0), "{point:?}");
}

#[test]
fn a_bag_stays_below_what_it_is_made_for() {
    let made_for = |pressure: &str| {
        let bag = |name: &str, on: &str| {
            format!(
                "(name: \"{name}\", on: \"{on}\", size: [\"300 mm\", \"300 mm\"], working: \
                 \"{pressure}\")"
            )
        };
        let [lower, upper] = [bag("tail lower", "tail"), bag("tail upper", "tail lower")];
        let bags = format!("bags=[{lower}, {upper}]");
        let wedge = "wedges.fitted.size=[\"300 mm\", \"300 mm\"]";
        tail(&[RAISE, CAPTURE, WAIT], &[&bags, wedge])
    };
    let point = apart("bag_pressure", &made_for("0.3 bar"), &made_for("3 bar"));
    // Its relief valve lets go there, so that it holds no more.
    assert!(point.figure.is_some_and(|pa| abs_diff_eq!(pa, 0.3e5, epsilon = 1e3)), "{point:?}");
}

/// The right-hand valve opens to a third, and that side stays behind.
#[test]
fn the_load_rises_alike_on_both_sides() {
    let point = apart("even_rise", &played("uneven-air", &[]), &played("even-air", &[]));
    assert_eq!(point.part, "right upper");
    assert!(point.figure.is_some_and(|m| m > point.limit), "{point:?}");
}

/// The left-hand capture stack stands 0.29 m from the leg's edge, or 0.79 m from it: then the
/// load over the leg is held by nothing near it, though it is by the other one.
#[test]
fn timber_beside_a_limb_follows_the_load() {
    let high = "(raise: [\"tail lower\"], opening: \"60 %\", until: (rise: \"170 mm\"))";
    let steps = [RAISE, CAPTURE, HIGHER, CAPTURE, AT_ONCE, CAPTURE, high, CAPTURE, WAIT];
    let beside = tail(&steps, &[]);
    let point = apart("beside_limb", &tail(&steps, &["captures.left rail.at.0=-1.20 m"]), &beside);
    assert_eq!(point.part, "lower leg");
    // It is how far the gap over the leg has grown.
    let grown_m = beside.gaps[0].max_m - beside.gaps[0].start_m;
    assert!(
        point.figure.is_some_and(|m| abs_diff_eq!(m, grown_m, epsilon = 0.01)),
        "{point:?} of {grown_m}"
    );
}

/// No car of the shelf comes near it: the same lift with more on its capture stacks. Four
/// crossings of 4x4 at 500 psi are 109 kN.
#[test]
fn a_capture_bears_no_more_than_it_is_rated_for() {
    let lift = tail(&[RAISE, CAPTURE, WAIT], &[]);
    let bearing = |load_n: f64| {
        recorded(&lift, |now: &mut Snapshot| {
            now.captures.iter_mut().for_each(|capture| capture.load_n = load_n);
        })
    };
    let points = |load_n: f64| {
        let points = bearing(load_n).points.into_iter();
        points.filter(|point| point.rule.word == "capture_rating").collect::<Vec<_>>()
    };
    let over = points(110e3);
    assert_eq!(over.len(), 2, "{over:?}");
    let rated_n = 4.0 * 0.0889_f64.powi(2) * 500.0 * 6894.757;
    assert!(abs_diff_eq!(over[0].limit, rated_n, epsilon = 1.0), "{over:?}");
    assert_eq!(points(108e3), []);
}

/// The roof lies at 17 to 18 deg and turns with the lift. Timber slides on wet sheet metal from
/// 18.3 deg, on dry from 21.8 deg. The bag is bare, so that the captures alone meet the metal.
#[test]
fn timber_meets_a_face_that_it_does_not_slide_on() {
    let lift = [RAISE, CAPTURE, HIGHER, CAPTURE, LET_DOWN, WAIT];
    let ground = |wet: bool| {
        tail(&lift, &["wedges=[]", &format!("ground=(surface: \"grass\", wet: {wet})")])
    };
    let point = apart("steep_face", &ground(true), &ground(false));
    assert!(abs_diff_eq!(point.limit, 0.33_f64.atan(), epsilon = 1e-6), "{point:?}");
    assert!(point.figure.is_some_and(|rad| (18.3..21.8).contains(&rad.to_degrees())), "{point:?}");
}

/// A block on a bag slides on the roof as timber under it does.
#[test]
fn a_block_on_a_bag_meets_such_a_face_too() {
    let ground = |wet: bool| {
        let ground = format!("ground=(surface: \"grass\", wet: {wet})");
        let given = orders(&[
            "(raise: \"lower\", opening: \"80 %\", until: (rise: \"20 mm\"), at_most: \"20 s\")",
            WAIT,
        ]);
        // Timber that meets the roof itself is left out.
        played("roof-skin", &[NO_EXPECTATION, &given, "captures=[]", &ground])
    };
    let point = apart("steep_face", &ground(true), &ground(false));
    assert_eq!(point.part, "fitted");
    assert!(point.figure.is_some_and(|rad| (18.3..21.8).contains(&rad.to_degrees())), "{point:?}");
}

/// Where the sheet finds a stack too tall or a face too steep, so does the rule, by the same
/// figure: worked out for the one and measured for the other.
#[test]
fn the_sheet_and_the_rules_judge_by_the_same_figures() {
    let lift = played("deck-lid-wedged", &[]);
    let sheet = Sheet::new(&lift.scene, UnitSystem::Si);
    let pairs = [
        ("stack_base", RowQuantity::HeightToBase, 0.05),
        ("steep_face", RowQuantity::FaceSlope, 0.05),
    ];
    for (word, quantity, tolerance) in pairs {
        let row = sheet.rows.iter().find(|row| *row.quantity() == quantity).expect("a row of it");
        assert_eq!(row.verdict(), Some(Verdict::Fails), "{quantity:?}");
        let point = of(&lift, word).unwrap_or_else(|| panic!("{word}\n{}", lift.text()));
        let (figure, limit) = (point.figure.expect("it is measured"), row.limit.expect("a limit"));
        let Limit::AtMost(limit) = limit else { panic!("{limit:?}") };
        assert_eq!(point.limit, limit.value(), "{word}");
        let worked_out = row.result.expect("it is worked out").value();
        assert!((figure / worked_out - 1.0).abs() < tolerance, "{word}: {figure} of {worked_out}");
    }
}

/// A stack in mud without a sole plate and with one; and on clay under grass, for which nothing on
/// the shelf is heavy enough, the same lift with more on its stack.
#[test]
fn a_stack_presses_no_harder_than_the_ground_bears() {
    let point = apart("ground_bearing", &played("verge-bare", &[]), &played("verge-soles", &[]));
    // Half of what mud of 6 kPa undrained strength bears at most.
    let mud_pa = (2.0 + std::f64::consts::PI) * 6e3 / 2.0;
    assert!(abs_diff_eq!(point.limit, mud_pa, epsilon = 1.0), "{point:?}");
    let lift = tail(&[RAISE, CAPTURE, WAIT], &[]);
    let area_m2 = 0.610 * 0.610;
    let told = |pressure_pa: f64| {
        let practice = recorded(&lift, |now: &mut Snapshot| {
            now.stacks.iter_mut().for_each(|stack| stack.load_n = pressure_pa * area_m2);
        });
        practice.points.into_iter().find(|point| point.rule.word == "ground_bearing")
    };
    assert!(told(109e3).is_some_and(|point| abs_diff_eq!(
        point.limit,
        1.5 * 71.8e3,
        epsilon = 1.0
    )));
    assert_eq!(told(107e3), None);
}

/// A slender tube folds long before it reaches the load on its label.
#[test]
fn a_strut_keeps_well_short_of_folding() {
    let tube = |diameter: &str| {
        let tubes = ["left", "right"].map(|strut| format!("struts.{strut}.diameter={diameter}"));
        played("struts-tied", &[&tubes[0], &tubes[1]])
    };
    let point = apart("strut_load", &tube("15 mm"), &tube("40 mm"));
    assert!(point.limit < 20e3, "half of what folds it, not its rated load: {point:?}");
}

//! What is asked of the set-up: it is looked at as the first air goes in.

use super::{CAPTURE, NO_EXPECTATION, RAISE, SET_CHOCKS, WAIT, apart, beam, of, orders, tail};
use crate::played::played;
use approx::abs_diff_eq;

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

/// Step chocks that stand snug under the far sill hold it as chocks do on the level, and down a slope
/// they do not.
#[test]
fn step_chocks_hold_the_far_end() {
    const STEPS: &str = "step_chocks=[(name: \"front\", at: [\"0.45 m\", \"-0.78 m\"]), (name: \
        \"rear\", at: [\"-0.45 m\", \"-0.78 m\"])]";
    let given = orders(&["(raise: \"bag\", opening: \"40 %\", until: (for: \"1 s\"))", WAIT]);
    let sill = |changes: &[&str]| {
        played("sill-crib", &[&[NO_EXPECTATION, given.as_str(), "chocks=[]"], changes].concat())
    };
    let held = sill(&[STEPS]);
    assert_eq!(apart("far_end", &sill(&[]), &held).figure, Some(0.0));
    apart("chock_gap", &sill(&[STEPS, "ground=(surface: \"asphalt\", slope: \"2 deg\")"]), &held);
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
    assert!(point.figure.is_some_and(|m| abs_diff_eq!(m, apart_m, epsilon = 1e-6)), "{point:?}");
}

#[test]
fn a_beam_stands_out_evenly_and_is_shimmed() {
    let even = beam(&[]);
    let off = |by: &str| beam(&[&format!("beam.at.1={by}")]);
    let point = apart("overhang", &off("60 mm"), &off("40 mm"));
    assert!(point.figure.is_some_and(|m| abs_diff_eq!(m, 0.12, epsilon = 1e-9)), "{point:?}");
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

/// A chock is moved out to the vehicle where it would stand in it, and left where it is told to
/// stand else: so much further off, so much more room.
#[test]
fn a_chock_stands_against_the_vehicle() {
    let chock = |x: &str, slope: &str| {
        let chock = format!("chocks=[(name: \"nose\", at: [\"{x}\", \"0 m\"], staked: true)]");
        let ground = format!("ground=(surface: \"grass\", slope: \"{slope}\")");
        tail(&[RAISE, CAPTURE, WAIT], &[&chock, &ground])
    };
    let far = apart("chock_gap", &chock("2.33 m", "0 deg"), &chock("2.265 m", "0 deg"));
    assert!(far.figure.is_some_and(|m| (0.01..0.10).contains(&m)), "{far:?}");
    let further = of(&chock("2.38 m", "0 deg"), "chock_gap").expect("it is further off");
    let by = further.figure.zip(far.figure).map(|(further, far)| further - far);
    assert!(by.is_some_and(|m| abs_diff_eq!(m, 0.05, epsilon = 1e-3)), "{by:?}");
    // Down to the tail, a chock at the nose is on the wrong side.
    let wrong = apart("chock_gap", &chock("2.265 m", "-2 deg"), &chock("2.265 m", "2 deg"));
    assert_eq!(wrong.figure, None);
    // Where there is no chock at all on level ground, that is told once.
    let none = tail(&[RAISE, CAPTURE, WAIT], &["chocks=[]"]);
    assert_eq!(of(&none, "chock_gap"), None);
}

/// A field that falls to the vehicle's left: straps hold it from the right, and a strap on the left
/// does not. A flatter field asks for none.
#[test]
fn the_low_side_is_held_on_a_slope() {
    let falls = |by: &str, straps: &str| {
        beam(&[&format!("ground.cross_slope={by}"), &format!("straps=[{straps}]")])
    };
    let strap = |side: &str| {
        format!(
            "(name: \"tie\", at: [\"0.30 m\", \"{side}0.50 m\"], height: \"0.60 m\", anchor: [\"0.30 m\", \
             \"{side}3.00 m\"], preload: \"100 N\")"
        )
    };
    let (uphill, downhill) = (strap("-"), strap(""));
    let tied = falls("4 deg", &uphill);
    assert_eq!(apart("low_side", &falls("4 deg", ""), &tied).figure, Some(0.0));
    apart("low_side", &falls("4 deg", &downhill), &tied);
    apart("low_side", &falls("-4 deg", &uphill), &falls("2.9 deg", ""));
}

/// A hatchback on its right side, its wheels towards -Z: a crib under the belt line keeps it off its
/// roof, and a strut against the underside off its wheels. Chocks at the tyres stop it sliding, and
/// it turns over them.
#[test]
fn a_vehicle_on_its_side_is_held_on_both_sides() {
    let given = orders(&["(raise: \"bag\", opening: \"40 %\", until: (for: \"1 s\"))", WAIT]);
    let on_its_side = |changes: &[&str]| {
        played("side-crib", &[&[NO_EXPECTATION, given.as_str()], changes].concat())
    };
    let strut = |staked: bool| {
        format!(
            "struts=[(name: \"underside\", at: [\"0 m\", \"-1.10 m\"], head: [\"0 m\", \"0.40 m\"], \
             head_height: \"1.20 m\", staked: {staked})]"
        )
    };
    let (staked, loose) = (strut(true), strut(false));
    let both = on_its_side(&[&staked]);
    // Inside the place on which it would turn over, timber holds nothing of it.
    let inside = on_its_side(&[&staked, "captures.belt line.at.1=0.45 m"]);
    assert_eq!(apart("both_sides", &inside, &both).part, "roof");
    assert_eq!(apart("both_sides", &on_its_side(&[&loose]), &both).part, "wheels");
    let point = apart("both_sides", &on_its_side(&[]), &both);
    assert_eq!((point.part.as_str(), point.figure), ("wheels", Some(0.0)));
}

/// An inch over the height of the stack.
#[test]
fn a_stack_stands_plumb() {
    let leans = |by: &str| {
        let lean = format!("stacks.tail.lean=[\"{by}\", \"15 mm\"]");
        tail(&[RAISE, CAPTURE, WAIT], &[&lean])
    };
    let point = apart("plumb", &leans("-21 mm"), &leans("-19 mm"));
    let out_m = 0.021_f64.hypot(0.015);
    assert!(point.figure.is_some_and(|m| abs_diff_eq!(m, out_m, epsilon = 1e-9)), "{point:?}");
}

/// 13 layers of 4x4 are 1.16 m, 14 are 1.24 m, and 48 in are 1.22 m. 6x6 may stand higher.
#[test]
fn a_stack_is_no_taller_than_its_timber_allows() {
    let spare = |layers: usize, timber: &str| {
        let spare = format!(
            "stacks=[(name: \"tail\", at: [\"-1.78 m\", \"0 m\"], length: \"18 in\", layers: 8, \
             pads: [\"38 mm\", \"38 mm\", \"38 mm\"]), (name: \"spare\", at: [\"-1.78 m\", \
             \"-2.00 m\"], length: \"24 in\", timber: \"{timber}\", layers: {layers})]"
        );
        tail(&[RAISE, CAPTURE, WAIT], &[&spare])
    };
    let point = apart("stack_height", &spare(14, "4x4"), &spare(13, "4x4"));
    assert_eq!(point.part, "spare");
    assert!(
        point.figure.is_some_and(|m| abs_diff_eq!(m, 14.0 * 0.0889, epsilon = 1e-6)),
        "{point:?}"
    );
    assert_eq!(of(&spare(9, "6x6"), "stack_height"), None);
}

#[test]
fn the_larger_bag_lies_below() {
    let lower = |side: &str| {
        let size = format!("bags.tail lower.size=[\"{side}\", \"455 mm\"]");
        tail(&[RAISE, CAPTURE, WAIT], &[&size])
    };
    let point = apart("bag_order", &lower("440 mm"), &lower("455 mm"));
    assert_eq!(point.part, "tail upper");
    assert!(
        point.figure.is_some_and(|share| abs_diff_eq!(share, 455.0 / 440.0, epsilon = 1e-6)),
        "{point:?}"
    );
}

/// The tail ends a little behind the stack; the bags are 455 mm square.
#[test]
fn most_of_a_bag_lies_under_the_load() {
    let at = |x: &str| {
        tail(&[RAISE, WAIT], &["wedges=[]", "captures=[]", &format!("stacks.tail.at.0={x}")])
    };
    let point = apart("bag_under", &at("-1.94 m"), &at("-1.84 m"));
    assert!(point.figure.is_some_and(|share| (0.5..0.75).contains(&share)), "{point:?}");
}

/// 1.095 m up from the pin in the foot; out by 1.17 m that is 43 deg, by 1.07 m 46 deg.
#[test]
fn a_strut_stands_steep_enough_and_its_foot_is_tied() {
    let raise = orders(&["(raise: [\"bag\"], opening: \"10 %\", until: (for: \"1 s\"))"]);
    let struts = |changes: &[&str]| {
        played("struts-tied", &[&[NO_EXPECTATION, raise.as_str()], changes].concat())
    };
    let out = |z: &str| struts(&[&format!("struts.left.at.1={z}")]);
    let point = apart("strut_angle", &out("1.95 m"), &out("1.85 m"));
    let stands = (1.12_f64 - 0.025).atan2(1.95 - 0.78);
    assert!(point.figure.is_some_and(|rad| abs_diff_eq!(rad, stands, epsilon = 1e-6)), "{point:?}");

    let tied = struts(&[]);
    let loose = struts(&["straps=[]"]);
    assert_eq!(apart("strut_foot", &loose, &tied).figure, Some(0.0));
    // And holds nothing at the end that is not lifted.
    assert_eq!(apart("far_end", &loose, &tied).figure, Some(0.0));
    // A stake does as well, where the ground takes it.
    let staked = struts(&["straps=[]", "struts.left.staked=true", "struts.right.staked=true"]);
    assert_eq!(of(&staked, "strut_foot"), None);
    assert_eq!(of(&staked, "stakes"), None);
    let on_asphalt = struts(&["ground.surface=asphalt", "struts.left.staked=true"]);
    let point = of(&on_asphalt, "stakes").expect("asphalt takes no stake");
    assert_eq!((point.part.as_str(), point.figure), ("left", Some(1.0)));
}

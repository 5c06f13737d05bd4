//! What is asked of the end.

use super::{CAPTURE, HIGHER, LET_DOWN, RAISE, WAIT, apart, of, recorded, tail};
use inchwise::debrief::Debrief;
use inchwise::practice::Freed;
use inchwise::scene::Outcome;
use inchwise::snapshot::Snapshot;

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

/// The same lift with the vehicle further from its chocks at the end, or over them.
#[test]
fn chocks_stand_against_the_vehicle_after_the_rise() {
    let lift = tail(&[RAISE, CAPTURE, HIGHER, CAPTURE, WAIT], &[]);
    let set_again = |lift: &Debrief, gap_m: Option<f64>| {
        let practice = recorded(lift, |now: &mut Snapshot| {
            now.chocks.iter_mut().for_each(|chock| chock.gap_m = gap_m);
        });
        practice.points.into_iter().find(|point| point.rule.word == "set_again")
    };
    assert_eq!(of(&lift, "set_again"), None);
    assert_eq!(set_again(&lift, Some(0.11)).and_then(|point| point.figure), Some(0.11));
    assert_eq!(set_again(&lift, Some(0.09)), None);
    assert_eq!(set_again(&lift, None).expect("it stands over them").figure, None);
    // After so small a rise everything stands as it was set.
    assert_eq!(set_again(&tail(&[RAISE, CAPTURE, WAIT], &[]), Some(0.11)), None);
}

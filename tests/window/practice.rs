//! Law protected: a recruit who lifts by hand sees afterwards where practice was not kept, and
//! the same lift done again with timber has no point left.

use bevy::prelude::KeyCode;
use inchwise::scene;
use inchwise::units::UnitSystem;
use inchwise::view::{Rendering, Trial};

const SIZE: [u32; 2] = [1280, 720];

const NO_POINT: &str = "No listed point was found";

/// What the look back says of a rise without timber under the load and beside the limb.
const POINTS: [&str; 2] = ["on air only", "over the timber beside it"];

/// Some more than the gap that is needed, as timber gives a little when it takes the load.
const GAP_M: f64 = 0.268;

fn is_enough(trial: &Trial) -> bool {
    trial.now().is_some_and(|now| now.limbs[0].gap_m > GAP_M)
}

/// Air into the bag until something holds.
fn raise_until(trial: &mut Trial, holds: impl Fn(&Trial) -> bool) {
    trial.key_down(KeyCode::KeyQ);
    assert!(trial.wait_until(60.0, holds), "the load rises");
    trial.key_up(KeyCode::KeyQ);
    trial.frames(3);
}

#[test]
fn a_recruit_gets_points_of_practice_and_lifts_again_without_them() {
    let start = scene::load("sill-crib", &[]).ok();
    let mut trial = Trial::new(Vec::new(), start, UnitSystem::Si, SIZE, Rendering::Blind).unwrap();
    assert!(trial.wait_until(4.0, |t| t.now().is_some()), "the lift is set up");
    trial.tap(KeyCode::Digit7);
    // All the way on air.
    raise_until(&mut trial, is_enough);
    trial.wait(1.0);
    trial.tap(KeyCode::Digit8);
    trial.frames(3);
    assert!(trial.says("Pause to see them."), "{:?}", trial.texts());
    trial.tap(KeyCode::Space);
    trial.frames(3);
    for point in POINTS {
        assert!(trial.says(point), "{point}: {:?}", trial.texts());
    }
    assert!(!trial.says(NO_POINT));
    // Again, timber set at each small rise, and the load let down onto it.
    trial.tap(KeyCode::KeyR);
    assert!(
        trial.wait_until(10.0, |t| t.now().is_some_and(|now| now.t_s < 0.5)),
        "it starts again"
    );
    trial.tap(KeyCode::Digit7);
    while !is_enough(&trial) {
        let from_m = trial.now().map_or(0.0, |now| now.rise_m);
        raise_until(&mut trial, |t| {
            is_enough(t) || t.now().is_some_and(|now| now.rise_m > from_m + 0.015)
        });
        trial.tap(KeyCode::KeyC);
        trial.frames(3);
    }
    // The valve wide open.
    trial.tap(KeyCode::KeyV);
    trial.tap(KeyCode::KeyV);
    trial.hold(KeyCode::KeyA, 12.0);
    trial.wait(1.0);
    trial.tap(KeyCode::Digit8);
    trial.tap(KeyCode::Space);
    trial.frames(3);
    assert!(trial.says(NO_POINT), "{:?}", trial.texts());
    assert!(trial.findings().is_empty(), "{:?}", trial.findings());
}

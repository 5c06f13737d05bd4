//! Law protected: the window does what hands and keys ask for, by the way that a real
//! window's events come. Nothing is drawn here, so it needs no graphics driver.
#![cfg(feature = "view")]

use bevy::prelude::KeyCode;
use inchwise::scene::{self, Loaded};
use inchwise::units::System;
use inchwise::view::{Sight, Trial};

const SIZE: [u32; 2] = [1280, 720];

fn shipped(name: &str) -> Loaded {
    scene::load(name, &[]).ok().unwrap()
}

fn on_the_shelf() -> Trial {
    let shelf = vec![shipped("beam-lift"), shipped("deck-lid-tall")];
    Trial::new(shelf, None, System::Si, SIZE, Sight::Blind).unwrap()
}

#[test]
fn a_key_and_a_click_do_the_same() {
    let mut trial = on_the_shelf();
    assert!(trial.says("Inchwise"));
    // The units, by a click and back by a key.
    trial.click("Metric").unwrap();
    assert!(trial.find("Feet and pounds").is_some());
    trial.tap(KeyCode::KeyU);
    assert!(trial.find("Metric").is_some());
    // A scene, by its name.
    trial.click("Open this scene").unwrap();
    assert!(trial.wait_until(2.0, |t| t.now().is_some()), "the lift is set up");
    trial.frames(2);
    assert!(trial.find("Size up").unwrap().on);
    trial.click("Set up").unwrap();
    assert!(trial.find("Set up").unwrap().on);
    trial.tap(KeyCode::F4);
    assert!(trial.find("Lift").unwrap().on);
}

/// A raise button held by the hand opens its valve, and letting go shuts it.
#[test]
fn a_held_key_raises_its_bag() {
    let start = Some(shipped("beam-lift"));
    let mut trial = Trial::new(Vec::new(), start, System::Si, SIZE, Sight::Blind).unwrap();
    trial.wait_until(2.0, |t| t.now().is_some());
    let before = trial.now().unwrap().bags.clone();
    trial.hold(KeyCode::KeyQ, 2.0);
    let now = trial.now().unwrap();
    assert!(now.bags[0].gauge_pa > before[0].gauge_pa, "air went in");
    assert_eq!(now.outlets[0].opening, 0.0, "and no more");
    assert!(trial.said().iter().any(|s| s.order.starts_with("raise")));
}

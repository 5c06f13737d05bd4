//! The way through the window: where it stops, and by which keys and clicks it gets there.

use super::Walk;
use bevy::math::Vec2;
use bevy::prelude::{KeyCode, MouseButton};
use inchwise::scene::{self, Loaded};
use inchwise::units::UnitSystem;

/// So many frames at once where a lift only has to get somewhere.
const FAST: u32 = 12;

pub fn shipped(name: &str) -> Loaded {
    scene::load(name, &[]).ok().unwrap()
}

fn shelf() -> Vec<Loaded> {
    scene::read_shelf().into_iter().map(|(_, read)| read.ok().unwrap()).collect()
}

pub fn the_shelf_and_its_lists(walk: &mut Walk) {
    let mut trial = walk.open(shelf());
    walk.at("shelf", &mut trial);
    trial.point(Vec2::new(200.0, 300.0));
    for _ in 0..30 {
        trial.scroll(-3.0);
    }
    trial.wait(0.5);
    walk.at("shelf, scrolled", &mut trial);
    for _ in 0..12 {
        trial.tap(KeyCode::ArrowDown);
    }
    trial.wait(0.5);
    walk.at("shelf, another scene", &mut trial);
    trial.tap(KeyCode::KeyC);
    trial.wait(0.5);
    walk.at("list of classes", &mut trial);
    trial.tap(KeyCode::KeyC);
    trial.tap(KeyCode::KeyP);
    trial.wait(0.5);
    walk.at("list of tasks", &mut trial);
    trial.tap(KeyCode::KeyP);
    trial.tap(KeyCode::KeyH);
    trial.wait(0.5);
    walk.at("help", &mut trial);
    trial.tap(KeyCode::KeyH);
    trial.tap(KeyCode::KeyO);
    trial.wait(0.5);
    walk.at("shelf, a file asked for", &mut trial);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("broken.ron");
    std::fs::write(&path, "(name: \"Broken\", vehicle: (like: \"saloon\"), colour: 3)").unwrap();
    trial.drop_file(&path);
    trial.wait(0.5);
    assert!(trial.says("broken"), "{:?}", trial.texts());
    walk.at("shelf, a refused file", &mut trial);
}

pub fn the_size_up_and_the_set_up(walk: &mut Walk) {
    let mut trial = walk.open(vec![shipped("beam-lift")]);
    trial.tap(KeyCode::Enter);
    walk.pass("settling", &mut trial);
    assert!(trial.wait_until(4.0, |t| t.now().is_some()));
    trial.tap(KeyCode::Digit5);
    trial.wait(0.5);
    walk.at("size up", &mut trial);
    trial.tap(KeyCode::KeyN);
    for place in [[1.0, 0.3, 0.8], [-1.0, 0.9, 0.2]] {
        let at = trial.seen_at(place).unwrap();
        trial.click_at(at);
    }
    trial.wait(0.5);
    walk.at("size up, measured", &mut trial);
    trial.tap(KeyCode::Digit6);
    trial.wait(0.5);
    walk.at("set up", &mut trial);
    for _ in 0..3 {
        trial.tap(KeyCode::PageDown);
    }
    trial.wait(0.5);
    walk.at("set up, a thing chosen", &mut trial);
    trial.tap(KeyCode::KeyQ);
    trial.wait(0.5);
    walk.at("set up, the plan", &mut trial);
    trial.click("order 2").unwrap();
    trial.wait(0.5);
    walk.at("set up, an order chosen", &mut trial);
    trial.tap(KeyCode::KeyQ);
    trial.tap(KeyCode::KeyS);
    trial.wait(0.5);
    walk.at("set up, changed", &mut trial);
    trial.key_down(KeyCode::ControlLeft);
    trial.frame();
    trial.tap(KeyCode::KeyS);
    trial.key_up(KeyCode::ControlLeft);
    trial.wait(0.5);
    assert!(trial.says("Save this set-up"), "{:?}", trial.texts());
    walk.pass("saving card", &mut trial);
    trial.tap(KeyCode::Enter);
    trial.wait(0.5);
    walk.pass("set up, saved", &mut trial);
}

pub fn a_set_up_that_does_not_fit(walk: &mut Walk) {
    let mut trial = walk.on("beam-lift", KeyCode::Digit6);
    // Bags on bags on bags, and things where others are.
    for key in [KeyCode::KeyA, KeyCode::KeyA, KeyCode::KeyW, KeyCode::KeyS, KeyCode::KeyS] {
        trial.tap(key);
        trial.frames(2);
    }
    for _ in 0..30 {
        trial.tap(KeyCode::ArrowRight);
    }
    trial.wait(0.5);
    for problem in &trial.draft().unwrap().seen().problems {
        walk.words.add(problem.text.in_units(UnitSystem::Si));
    }
    walk.at("set up, what does not fit", &mut trial);
}

pub fn the_lift_and_the_look_back(walk: &mut Walk) {
    let mut trial = walk.on("deck-lid-tall", KeyCode::Digit7);
    walk.at("lift, before it", &mut trial);
    trial.tap(KeyCode::Space);
    trial.wait(6.0);
    for key in
        [KeyCode::KeyG, KeyCode::KeyL, KeyCode::KeyT, KeyCode::KeyY, KeyCode::KeyF, KeyCode::KeyM]
    {
        trial.tap(key);
    }
    walk.at("lift, with every overlay", &mut trial);
    trial.tap(KeyCode::KeyH);
    trial.wait(0.5);
    walk.at("lift, help", &mut trial);
    trial.tap(KeyCode::KeyH);
    trial.tap(KeyCode::Digit0);
    trial.wait(0.5);
    walk.at("lift, the instructor", &mut trial);
    trial.tap(KeyCode::Digit0);
    trial.stride(FAST);
    trial.tap(KeyCode::KeyN);
    trial.wait_until(300.0, |t| !t.findings().is_empty());
    trial.frames(10);
    assert!(!trial.findings().is_empty(), "it fails");
    walk.at("lift, failed", &mut trial);
    trial.tap(KeyCode::Digit8);
    walk.usual_pace(&mut trial);
    trial.wait(0.5);
    walk.at("look back", &mut trial);
    trial.point(Vec2::new(1180.0, 300.0));
    for _ in 0..60 {
        trial.scroll(-3.0);
    }
    trial.wait(0.5);
    walk.at("look back, scrolled", &mut trial);
    trial.tap(KeyCode::Digit9);
    trial.wait(3.0);
    walk.at("look back, two runs", &mut trial);
    trial.tap(KeyCode::Digit7);
    trial.wait(0.5);
    walk.at("lift, two runs", &mut trial);
}

pub fn a_lift_with_a_beam_and_its_end(walk: &mut Walk) {
    let mut trial = walk.on("beam-lift", KeyCode::Digit7);
    trial.tap(KeyCode::KeyJ);
    trial.tap(KeyCode::Space);
    trial.wait(5.0);
    walk.at("lift with a beam", &mut trial);
    trial.tap(KeyCode::KeyU);
    trial.frames(3);
    walk.at("lift with a beam, in feet", &mut trial);
    trial.tap(KeyCode::KeyU);
    trial.tap(KeyCode::KeyX);
    trial.wait(0.5);
    walk.at("lift by hand", &mut trial);
    trial.tap(KeyCode::KeyX);
    trial.stride(FAST);
    trial.wait_until(300.0, |t| t.find("End of run").is_some());
    walk.usual_pace(&mut trial);
    walk.at("lift, at its end", &mut trial);
    trial.tap(KeyCode::Digit8);
    trial.wait(0.5);
    walk.at("look back on a sound lift", &mut trial);
}

pub fn a_class_and_its_reveal(walk: &mut Walk) {
    let mut trial = walk.open(shelf());
    trial.tap(KeyCode::KeyC);
    trial.frames(2);
    trial.click("Stabilise first").unwrap();
    trial.frames(2);
    walk.pass("class, settling", &mut trial);
    assert!(trial.wait_until(4.0, |t| t.now().is_some()));
    walk.at("class", &mut trial);
    trial.tap(KeyCode::PageDown);
    trial.tap(KeyCode::Digit2);
    trial.wait(0.5);
    walk.at("class, a question", &mut trial);
    trial.tap(KeyCode::PageDown);
    trial.stride(FAST);
    let teaches = shipped("chocks-missing").scene.teaches;
    assert!(trial.wait_until(600.0, |t| t.says(&teaches)));
    walk.usual_pace(&mut trial);
    walk.at("class, the reveal", &mut trial);
    trial.tap(KeyCode::PageDown);
    trial.wait(3.0);
    walk.at("class, after the reveal", &mut trial);
    trial.tap(KeyCode::Escape);
    trial.wait(0.5);
    walk.at("class, left", &mut trial);
}

pub fn a_task_from_its_brief_to_what_came_of_it(walk: &mut Walk) {
    let mut trial = walk.open(shelf());
    trial.tap(KeyCode::KeyP);
    trial.frames(2);
    trial.click("Saloon, two lines of air").unwrap();
    assert!(trial.wait_until(4.0, |t| t.now().is_some()));
    trial.wait(0.5);
    walk.at("task", &mut trial);
    trial.tap(KeyCode::Space);
    trial.wait(0.5);
    walk.at("task, how it ends", &mut trial);
    trial.tap(KeyCode::Digit1);
    trial.wait(0.5);
    walk.at("task, what goes wrong first", &mut trial);
    trial.tap(KeyCode::Digit3);
    trial.wait(0.5);
    walk.at("task, the next question", &mut trial);
    trial.tap(KeyCode::Digit5);
    trial.wait(0.5);
    walk.at("task, how far it rises", &mut trial);
    trial.tap(KeyCode::Enter);
    trial.stride(FAST);
    assert!(trial.wait_until(60.0, |t| t.find("Lift").is_some_and(|tab| tab.on)));
    trial.tap(KeyCode::Space);
    assert!(trial.wait_until(600.0, |t| t.says("It was")), "{:?}", trial.texts());
    walk.usual_pace(&mut trial);
    walk.at("task, what came of it", &mut trial);
    trial.tap(KeyCode::Enter);
    for _ in 0..3 {
        trial.tap(KeyCode::PageDown);
        trial.frames(2);
    }
    walk.at("task, its hints", &mut trial);
    trial.tap(KeyCode::Digit6);
    trial.wait(0.5);
    walk.at("task, its set-up", &mut trial);
}

pub fn the_guided_first_lift(walk: &mut Walk) {
    let mut trial = walk.open(shelf());
    trial.tap(KeyCode::KeyI);
    assert!(trial.wait_until(4.0, |t| t.now().is_some()));
    trial.wait(0.5);
    walk.at("guide, first step", &mut trial);
    let middle = Vec2::new(640.0, 450.0);
    trial.drag(middle, middle + Vec2::new(60.0, 0.0), MouseButton::Left);
    for (key, stop) in [
        (KeyCode::Digit4, "guide, after looking round"),
        (KeyCode::Digit6, "guide, the set-up"),
        (KeyCode::Digit7, "guide, the lift"),
    ] {
        trial.frames(2);
        walk.at(stop, &mut trial);
        trial.tap(key);
    }
    trial.wait(0.5);
    trial.hold(KeyCode::KeyQ, 2.0);
    walk.at("guide, raising", &mut trial);
}

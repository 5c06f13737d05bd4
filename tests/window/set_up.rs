//! Law protected: a recruit alone does the whole job in the window, with no file in
//! sight: sizes up, builds the set-up from nothing, sees what the sheet says, undoes,
//! saves, and lifts by hand until the casualty is free. By made-up keys and clicks that
//! come the way a real window's do; nothing is drawn, so no graphics driver is needed.

use bevy::prelude::{KeyCode, MouseButton};
use bevy_egui::egui::accesskit::Role;
use inchwise::draft::{Item, ItemKind};
use inchwise::scene::{self, Loaded, Order, Until};
use inchwise::snapshot::Told;
use inchwise::units::UnitSystem;
use inchwise::view::{Rendering, Trial};
use std::path::PathBuf;

const SIZE: [u32; 2] = [1280, 720];

fn shipped(name: &str) -> Loaded {
    scene::load(name, &[]).ok().unwrap()
}

fn on_the_shelf(folder: &std::path::Path, name: &str) -> Trial {
    Trial::in_folder(folder, vec![shipped(name)], None, UnitSystem::Si, SIZE, Rendering::Blind)
        .unwrap()
}

/// A shipped scene on the bench, in a window so tall that every field of it can be clicked.
fn on_the_bench(folder: &std::path::Path, tall: u32) -> Trial {
    on_the_bench_of("deck-lid-wedged", folder, tall)
}

fn on_the_bench_of(scene: &str, folder: &std::path::Path, tall: u32) -> Trial {
    let shelf = vec![shipped(scene)];
    let mut trial =
        Trial::in_folder(folder, shelf, None, UnitSystem::Si, [1280, tall], Rendering::Blind)
            .unwrap();
    trial.tap(KeyCode::Enter);
    trial.wait_until(2.0, |t| t.now().is_some());
    trial.tap(KeyCode::Digit6);
    trial.frames(3);
    trial
}

/// Types a figure over what stands in a field.
pub fn type_in(trial: &mut Trial, field: &str, figure: &str) {
    trial.click(field).unwrap();
    trial.frames(2);
    control(trial, KeyCode::KeyA);
    trial.write(figure);
    trial.tap(KeyCode::Enter);
    trial.frames(3);
}

fn control(trial: &mut Trial, key: KeyCode) {
    trial.key_down(KeyCode::ControlLeft);
    trial.frame();
    trial.tap(key);
    trial.key_up(KeyCode::ControlLeft);
    trial.frames(2);
}

fn count(trial: &Trial, kind: ItemKind) -> usize {
    trial.draft().unwrap().items(kind).len()
}

fn place(trial: &Trial, kind: ItemKind, index: usize) -> [f64; 2] {
    Item::new(kind, index).at(trial.draft().unwrap().doc()).unwrap()
}

/// What is on screen where something is missed.
fn expect(trial: &Trial, text: &str) {
    assert!(trial.says(text), "\"{text}\" is not among {:#?}", trial.texts());
}

#[test]
fn a_recruit_alone_builds_saves_and_lifts_to_freed() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut trial = on_the_shelf(dir, "face-wedged");
    trial.click("Start from bare vehicle").unwrap();
    assert!(trial.wait_until(2.0, |t| t.now().is_some()));
    trial.frames(60);

    // Size up: what is asked is answered with how well it is known.
    assert!(trial.find("Size up").unwrap().on);
    assert!(!trial.says("1320 kg"), "nobody has asked yet");
    trial.click("How heavy is it?").unwrap();
    trial.frames(2);
    expect(&trial, "1320 kg");
    expect(&trial, "1188 kg and 1452 kg");
    trial.click("Who is trapped, and where?").unwrap();
    trial.frames(2);
    expect(&trial, "Still to gain");
    // A tape along the ground, from one metre mark to the next: 1000 mm, off by what one
    // pixel is at that distance.
    trial.tap(KeyCode::KeyN);
    for x in [0.0, 1.0] {
        let at = trial.seen_at([x, 0.0, 1.6]).unwrap();
        trial.click_at(at);
    }
    trial.frames(2);
    let tape = trial.texts().iter().find(|t| t.contains(" level, ")).expect("a tape is shown");
    let mm: f64 =
        tape.split_whitespace().find_map(|w| w.parse().ok().filter(|n| *n > 100.0)).unwrap();
    assert!((mm - 1000.0).abs() < 25.0, "{tape}");

    // Set up: keys bring things to sensible places.
    trial.tap(KeyCode::Digit6);
    trial.frames(2);
    expect(&trial, "No equipment yet.");
    trial.tap(KeyCode::KeyS);
    assert_eq!(count(&trial, ItemKind::Stack), 1);
    trial.click("Bag").unwrap();
    trial.tap(KeyCode::KeyA);
    trial.tap(KeyCode::KeyW);
    for key in [KeyCode::KeyC, KeyCode::KeyD, KeyCode::KeyK] {
        trial.tap(key);
    }
    trial.frames(2);
    let kinds =
        [ItemKind::Bag, ItemKind::Wedge, ItemKind::Capture, ItemKind::VoidFill, ItemKind::Chock];
    let counts = kinds.map(|k| count(&trial, k));
    assert_eq!(counts, [2, 1, 2, 2, 2], "both sides at once where there are two");
    assert!(trial.draft().unwrap().seen().ready().is_some());
    expect(&trial, "On paper");
    expect(&trial, "holds");

    // Drag the stack's foot over the ground: it goes with its bags, and back with undo, however
    // coarsely the yard is drawn.
    let before = place(&trial, ItemKind::Stack, 0);
    let mut after = before;
    for coarse in [true, false] {
        trial.draw_coarsely(coarse);
        trial.frames(2);
        let from = trial.seen_at([before[0], 0.25, 0.3]).unwrap();
        let to = trial.seen_at([before[0] + 0.12, 0.25, 0.3]).unwrap();
        trial.drag(from, to, MouseButton::Left);
        trial.frames(2);
        after = place(&trial, ItemKind::Stack, 0);
        assert!((after[0] - before[0] - 0.12).abs() < 0.05, "{before:?} to {after:?}");
        control(&mut trial, KeyCode::KeyZ);
        assert_eq!(place(&trial, ItemKind::Stack, 0), before);
    }
    control(&mut trial, KeyCode::KeyY);
    assert_eq!(place(&trial, ItemKind::Stack, 0), after);
    control(&mut trial, KeyCode::KeyZ);
    // By arrow keys: one step towards the nose.
    trial.tap(KeyCode::ArrowUp);
    let nudged = place(&trial, ItemKind::Stack, 0);
    assert!((nudged[0] - before[0] - 0.01).abs() < 1e-9, "{before:?} to {nudged:?}");
    control(&mut trial, KeyCode::KeyZ);
    // More timber a layer, by its button; an exact figure, typed.
    trial.frames(2);
    trial.click("Length").unwrap();
    trial.frames(2);
    control(&mut trial, KeyCode::KeyA);
    trial.write("26");
    trial.write(" in");
    trial.tap(KeyCode::Enter);
    trial.frames(2);
    let stack = |t: &Trial| t.draft().unwrap().seen().scene.stacks[0].clone();
    assert!((stack(&trial).length_m - 26.0 * 0.0254).abs() < 1e-9, "{:?}", stack(&trial));
    assert_eq!(count(&trial, ItemKind::Stack), 1, "letters that are typed bring nothing");

    // What does not fit says why, and cannot be lifted.
    for _ in 0..4 {
        trial.tap(KeyCode::Equal);
    }
    trial.frames(2);
    expect(&trial, "make it lower");
    trial.tap(KeyCode::Space);
    trial.frames(2);
    assert!(trial.find("Set up").unwrap().on, "it stays where it is");
    for _ in 0..4 {
        control(&mut trial, KeyCode::KeyZ);
    }
    assert!(trial.draft().unwrap().seen().ready().is_some());

    // Saved under a name, it opens again the same.
    assert!(trial.draft().unwrap().dirty());
    control(&mut trial, KeyCode::KeyS);
    expect(&trial, "Save this set-up");
    control(&mut trial, KeyCode::KeyA);
    trial.write("Deck lid 1");
    trial.tap(KeyCode::Enter);
    trial.frames(3);
    assert!(!trial.draft().unwrap().dirty(), "{:#?}", trial.texts());
    let path = trial.draft().unwrap().path().unwrap().to_owned();
    let again = scene::tree_of_file(&path).unwrap_or_else(|p| panic!("{p:?}"));
    assert_eq!(again, *trial.draft().unwrap().doc());

    // Lift by hand: raise, capture, the next bag, until the limb is free.
    trial.tap(KeyCode::Space);
    assert!(trial.wait_until(2.0, |t| t.find("Lift").is_some_and(|w| w.on)));
    trial.frames(2);
    expect(&trial, "By hand");
    let needed = trial.draft().unwrap().seen().scene.limbs[0].gap_needed_m;
    let free = |t: &Trial| t.now().is_some_and(|n| n.limbs[0].gap_m >= needed);
    'lift: for key in [KeyCode::KeyQ, KeyCode::KeyW] {
        for _ in 0..10 {
            trial.hold(key, 2.5);
            trial.tap(KeyCode::KeyC);
            trial.wait(0.3);
            if free(&trial) {
                break 'lift;
            }
        }
    }
    let now = trial.now().unwrap();
    assert!(free(&trial), "gap {} at {} s, {:?}", now.limbs[0].gap_m, now.t_s, trial.findings());
    expect(&trial, "gap is enough");
    assert!(trial.records().iter().any(|s| matches!(s.told, Told::Order(Order::Capture { .. }))));
}

/// Whatever ends the window, the work is offered again, with what does not fit in it.
#[test]
fn nothing_unsaved_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut trial = on_the_shelf(dir, "beam-lift");
    trial.tap(KeyCode::Enter);
    trial.wait_until(2.0, |t| t.now().is_some());
    trial.tap(KeyCode::Digit6);
    trial.frames(2);
    trial.tap(KeyCode::PageDown);
    // The left stack and its twin, ten steps in: they reach into the body.
    trial.tap(KeyCode::KeyN);
    for _ in 0..8 {
        trial.tap(KeyCode::ArrowRight);
    }
    trial.frames(2);
    assert!(trial.draft().unwrap().seen().ready().is_none());
    let left = trial.draft().unwrap().doc().clone();
    // The window is gone without a word.
    drop(trial);
    let mut trial = on_the_shelf(dir, "beam-lift");
    trial.frames(2);
    expect(&trial, "Unsaved drafts");
    trial.click("Open draft").unwrap();
    assert!(trial.wait_until(2.0, |t| t.draft().is_some() && t.now().is_some()));
    trial.frames(2);
    assert_eq!(*trial.draft().unwrap().doc(), left);
    expect(&trial, "What does not fit");
    // A slip of the hand throws nothing away, nor does a second click at the same place.
    trial.tap(KeyCode::Escape);
    trial.frames(2);
    let there = trial.find("Delete").unwrap().rect.center();
    trial.click_at(there);
    trial.frames(2);
    expect(&trial, "Delete permanently?");
    trial.click_at(there);
    trial.frames(2);
    expect(&trial, "Unsaved drafts");
    // Thrown away it is gone.
    trial.click("Delete").unwrap();
    trial.frames(2);
    trial.click("Yes, delete").unwrap();
    trial.frames(2);
    assert!(!trial.says("Unsaved drafts"));
}

/// What was saved is on the shelf of the next start and opens the same; what has been broken
/// there since is told, with its file.
#[test]
fn what_was_saved_is_on_the_shelf_of_the_next_start() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut trial = on_the_bench(dir, 720);
    trial.tap(KeyCode::KeyK);
    trial.frames(2);
    control(&mut trial, KeyCode::KeyS);
    trial.tap(KeyCode::Enter);
    trial.frames(3);
    expect(&trial, "Saved as");
    let saved = trial.draft().unwrap().doc().clone();
    let name = trial.draft().unwrap().seen().scene.name.clone();
    drop(trial);
    let mut trial = on_the_shelf(dir, "deck-lid-wedged");
    trial.frames(2);
    expect(&trial, "Own scenes");
    assert!(!trial.says("Unsaved drafts"));
    trial.click(&name).unwrap();
    trial.frames(2);
    trial.tap(KeyCode::Enter);
    assert!(trial.wait_until(2.0, |t| t.draft().is_some() && t.now().is_some()));
    assert_eq!(*trial.draft().unwrap().doc(), saved);
    drop(trial);
    let file = dir.join("scenes").read_dir().unwrap().next().unwrap().unwrap().path();
    std::fs::write(&file, "(name: ").unwrap();
    let mut trial = on_the_shelf(dir, "deck-lid-wedged");
    trial.frames(2);
    expect(&trial, "A scene of yours cannot be used.");
    expect(&trial, &file.file_name().unwrap().to_string_lossy());
    assert!(!trial.says(&name));
}

/// A slow frame may see a whole chord pressed and let go: it undoes all the same and brings
/// nothing.
#[test]
fn a_quick_chord_in_one_frame_is_a_chord() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut trial = on_the_bench(dir, 720);
    let before = count(&trial, ItemKind::Stack);
    trial.tap(KeyCode::KeyS);
    trial.frames(2);
    assert!(count(&trial, ItemKind::Stack) > before);
    for key in [KeyCode::ControlLeft, KeyCode::KeyZ] {
        trial.key_down(key);
    }
    for key in [KeyCode::KeyZ, KeyCode::ControlLeft] {
        trial.key_up(key);
    }
    trial.frames(2);
    assert_eq!(count(&trial, ItemKind::Stack), before);
}

/// From nothing but a vehicle; both sides of a beam lift by a few keys.
#[test]
fn a_beam_lift_is_built_from_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut trial = on_the_shelf(dir, "beam-lift");
    trial.click("saloon").unwrap();
    assert!(trial.wait_until(2.0, |t| t.now().is_some()));
    trial.frames(2);
    assert!(trial.find("Set up").unwrap().on);
    trial.tap(KeyCode::KeyS);
    // From under the tail to beside the window, typed; the twin comes by mirroring.
    trial.click("Place along").unwrap();
    trial.frames(2);
    control(&mut trial, KeyCode::KeyA);
    trial.write("-450");
    trial.tap(KeyCode::Tab);
    trial.frames(2);
    control(&mut trial, KeyCode::KeyA);
    trial.write("1150");
    trial.tap(KeyCode::Enter);
    trial.frames(2);
    let [x, z] = place(&trial, ItemKind::Stack, 0);
    assert!((x + 0.45).abs() < 1e-9 && (z - 1.15).abs() < 1e-9, "{x} {z}");
    for _ in 0..12 {
        trial.tap(KeyCode::Minus);
        if trial.draft().unwrap().seen().scene.stacks[0].layers == 3 {
            break;
        }
    }
    trial.tap(KeyCode::KeyA);
    trial.tap(KeyCode::PageUp);
    trial.tap(KeyCode::KeyX);
    trial.tap(KeyCode::KeyI);
    trial.frames(2);
    let draft = trial.draft().unwrap();
    assert!(draft.seen().scene.beam.is_some(), "{:#?}", trial.texts());
    assert_eq!((count(&trial, ItemKind::Stack), count(&trial, ItemKind::Bag)), (2, 2));
    assert!(draft.seen().ready().is_some(), "{:?}", draft.seen().problems);
}

/// What was lifted last is not played while something else, that does not fit, is on the
/// bench: no stage, key or lever leads there, and the bench says why.
#[test]
fn no_way_leads_from_a_faulty_bench_to_an_old_lift() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut trial = on_the_bench(dir, 1400);
    control(&mut trial, KeyCode::KeyZ);
    expect(&trial, "There is nothing to undo.");
    trial.tap(KeyCode::PageDown);
    trial.frames(3);
    type_in(&mut trial, "Place along", "9 m");
    for key in [KeyCode::Digit7, KeyCode::Space, KeyCode::Digit8] {
        trial.tap(KeyCode::Digit5);
        trial.frames(3);
        let before = trial.now().map(|now| now.t_s);
        trial.tap(key);
        trial.frames(6);
        expect(&trial, "Correct the problems first.");
        assert_eq!(trial.now().map(|now| now.t_s), before, "{key:?}");
    }
}

/// A click in the yard chooses what is under it, and the ground chooses nothing.
#[test]
fn a_click_chooses_what_is_under_it() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut trial = on_the_shelf(dir, "beam-lift");
    trial.tap(KeyCode::Enter);
    trial.wait_until(2.0, |t| t.now().is_some());
    trial.tap(KeyCode::Digit6);
    trial.frames(60);
    expect(&trial, "Nothing chosen");
    // The near face of the left stack, half way up.
    let at = trial.seen_at([-0.45, 0.12, 1.42]).unwrap();
    trial.click_at(at);
    trial.frames(2);
    assert!(!trial.says("Nothing chosen"), "{at:?}");
    let bare_ground = trial.seen_at([1.2, 0.0, 2.2]).unwrap();
    trial.click_at(bare_ground);
    trial.frames(2);
    expect(&trial, "Nothing chosen");
}

/// The plan of the lift is made in the window: an order is added, told otherwise, moved and
/// taken out, each undone by one key; what cannot be done says why.
#[test]
fn the_plan_of_the_lift_is_made_in_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut trial = on_the_shelf(dir, "beam-lift");
    trial.tap(KeyCode::Enter);
    trial.wait_until(2.0, |t| t.now().is_some());
    trial.tap(KeyCode::Digit6);
    trial.frames(3);
    let orders = |t: &Trial| t.draft().unwrap().seen().scene.orders.clone();
    let first = orders(&trial);
    trial.tap(KeyCode::KeyQ);
    trial.frames(2);
    // After the first one: a raise of every bag that has a hose, until the limb is free.
    trial.click("order 1").unwrap();
    trial.frames(2);
    expect(&trial, &format!("Order 1 of {}", first.len()));
    trial.click("Add an order").unwrap();
    trial.frames(2);
    expect(&trial, &format!("Order 2 of {}", first.len() + 1));
    let with_one = orders(&trial);
    assert_eq!(with_one.len(), first.len() + 1);
    assert_eq!([&with_one[..1], &with_one[2..]].concat(), first);
    let Order::Raise { bags, until: Until::Gap { limb: 0, m }, .. } = &with_one[1] else {
        panic!("{:?}", with_one[1])
    };
    let needed = trial.draft().unwrap().seen().scene.limbs[0].gap_needed_m;
    assert!(bags.len() == 2 && (m - needed).abs() < 1e-9, "{bags:?} {m}");
    // One bag less, another figure, typed.
    let second = trial.draft().unwrap().seen().scene.bags[bags[1]].name.clone();
    trial.click_nth(&second, count_of(&trial, &second) - 1).unwrap();
    trial.frames(2);
    trial.click("Figure").unwrap();
    trial.frames(2);
    control(&mut trial, KeyCode::KeyA);
    trial.write("120");
    trial.tap(KeyCode::Enter);
    trial.frames(2);
    let Order::Raise { bags: one, until: Until::Gap { m, .. }, .. } = &orders(&trial)[1] else {
        panic!("{:?}", orders(&trial)[1])
    };
    assert!(*one == bags[..1] && (m - 0.120).abs() < 1e-9, "{one:?} {m}");
    // Told otherwise: a capture names every capture.
    trial.click("what is told").unwrap();
    trial.frames(3);
    trial.click("capture").unwrap();
    trial.frames(3);
    assert!(matches!(&orders(&trial)[1], Order::Capture { captures } if captures.len() == 2));
    trial.click("Move down").unwrap();
    trial.frames(2);
    assert!(matches!(&orders(&trial)[2], Order::Capture { captures } if captures.len() == 2));
    // Taken out; then everything back, step by step.
    trial.tap(KeyCode::Delete);
    trial.frames(2);
    assert_eq!(orders(&trial), first);
    for _ in 0..6 {
        control(&mut trial, KeyCode::KeyZ);
    }
    assert_eq!(orders(&trial), first);
    for _ in 0..2 {
        control(&mut trial, KeyCode::KeyY);
    }
    assert_eq!(orders(&trial).len(), first.len() + 1);
    // An order that concerns nobody says so, and is not lifted with.
    trial.click("order 2").unwrap();
    trial.frames(2);
    let first_bag = trial.draft().unwrap().seen().scene.bags[bags[0]].name.clone();
    trial.click_nth(&first_bag, count_of(&trial, &first_bag) - 1).unwrap();
    trial.frames(2);
    assert!(trial.draft().unwrap().seen().ready().is_none());
    expect(&trial, "What does not fit");
}

/// How many things that a hand can press have this label.
fn count_of(trial: &Trial, label: &str) -> usize {
    let pressed = trial.widgets().iter().filter(|w| w.label == label && w.role == Role::Button);
    pressed.count()
}

/// Presses the nth row of the list of things with a name; what is selected, and what is drawn, may
/// have the same label.
pub fn press_nth(trial: &mut Trial, label: &str, nth: usize) {
    let named = trial.widgets().iter().filter(|w| w.label == label && w.role == Role::Button);
    let mut rows: Vec<_> =
        named.filter(|w| w.rect.min.x < 300.0).map(|w| w.rect.center()).collect();
    rows.sort_by(|a, b| a.y.total_cmp(&b.y));
    trial.click_at(*rows.get(nth).unwrap_or_else(|| panic!("no {label}")));
}

/// Soil, sole plates and a lean are set by hand, figures typed in any unit.
#[test]
fn soil_sole_plates_and_a_lean_are_set_by_hand() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    // Its stack stands on no plate yet.
    let mut trial = on_the_bench_of("roof-skin", dir, 1200);
    let scene = |t: &Trial| t.draft().unwrap().seen().scene.clone();
    let stack = scene(&trial).stacks[0].name.clone();
    press_nth(&mut trial, &stack, 0);
    trial.frames(3);
    assert_eq!(scene(&trial).stacks[0].sole, None);
    trial.click("none").unwrap();
    trial.frames(3);
    let sole = scene(&trial).stacks[0].sole.expect("a plate is laid");
    assert!((sole.size[0] - 0.9).abs() < 1e-9 && (sole.thickness_m - 0.0381).abs() < 1e-9);
    type_in(&mut trial, "Sole plate thick", "2 in");
    type_in(&mut trial, "Top leans by along", "15");
    let now = scene(&trial).stacks[0].clone();
    assert!((now.sole.unwrap().thickness_m - 2.0 * 0.0254).abs() < 1e-9, "{now:?}");
    assert!((now.lean[0] - 0.015).abs() < 1e-9, "{now:?}");
    trial.click("ground").unwrap();
    trial.frames(3);
    trial.click("Soil under bases").unwrap();
    trial.frames(3);
    trial.click("clay").unwrap();
    trial.frames(3);
    assert_eq!(scene(&trial).ground.soil.map(|bed| bed.name), Some("clay"));
    for _ in 0..4 {
        control(&mut trial, KeyCode::KeyZ);
    }
    let back = scene(&trial);
    assert!(back.ground.soil.is_none() && back.stacks[0].sole.is_none());
    assert_eq!(back.stacks[0].lean, [0.0; 2]);
}

/// Hoses and the cylinder are set on the bench: where a hose leads, how far its valve opens,
/// one hose more and one less, what the cylinder holds. What cannot be says why, undo brings
/// all of it back, and the lift begins with what was set.
#[test]
fn hoses_and_the_cylinder_are_set_on_the_bench() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut trial = on_the_bench(dir, 1400);
    let air = |t: &Trial| t.draft().unwrap().seen().scene.air.clone();
    let ready = |t: &Trial| t.draft().unwrap().seen().ready().is_some();
    let all = |t: &Trial| format!("{:?}", air(t));
    let (first, written) = (air(&trial), all(&trial));
    assert_eq!((first.outlets.len(), first.outlets[0].to), (1, 0));
    // The stack is called the same and stands above it in the list.
    press_nth(&mut trial, "tail", 1);
    trial.frames(3);
    expect(&trial, "Leads to");
    // To the upper bag, from the list under the field on the right.
    trial.click("Leads to").unwrap();
    trial.frames(3);
    let upper = |t: &Trial| {
        let mut all = t.widgets().iter().filter(|w| w.label == "tail upper");
        all.find(|w| w.role == Role::Button && w.rect.min.x > 900.0).map(|w| w.rect.center())
    };
    let at = upper(&trial).expect("the bags to choose from");
    trial.click_at(at);
    trial.frames(3);
    assert_eq!(air(&trial).outlets[0].to, 1);
    expect(&trial, "to tail upper");
    type_in(&mut trial, "Valve opens to", "40");
    assert!((air(&trial).outlets[0].opening - 0.4).abs() < 1e-9, "{:?}", air(&trial));
    // One hose more goes to the bag that has none, and then there is no bag for another.
    trial.tap(KeyCode::KeyP);
    trial.frames(3);
    let two = air(&trial);
    assert_eq!((two.outlets.len(), two.outlets[1].to), (2, 0), "{two:?}");
    trial.tap(KeyCode::KeyP);
    trial.frames(3);
    expect(&trial, "Every bag has its hose already.");
    assert_eq!(air(&trial).outlets.len(), 2);
    trial.tap(KeyCode::Delete);
    trial.frames(3);
    assert_eq!(air(&trial).outlets.len(), 1);

    // The cylinder: figures in any unit, and no more than the scene allows.
    trial.click("air supply").unwrap();
    trial.frames(3);
    type_in(&mut trial, "Cylinder", "9 L");
    type_in(&mut trial, "Filled to", "2900 psi");
    type_in(&mut trial, "Regulator set to", "6");
    let now = air(&trial);
    assert!((now.cylinder_m3 - 9e-3).abs() < 1e-9, "{now:?}");
    // 1 psi = 6894.757 Pa (NIST SP 811, B.8).
    assert!((now.cylinder_pa - 2900.0 * 6894.757).abs() < 10.0, "{now:?}");
    assert!((now.regulator_pa - 6e5).abs() < 1.0, "{now:?}");
    assert!(ready(&trial));
    type_in(&mut trial, "Filled to", "900");
    assert!(!ready(&trial));
    expect(&trial, "outside");
    trial.tap(KeyCode::Space);
    trial.frames(2);
    assert!(trial.find("Set up").unwrap().on, "it stays where it is");
    control(&mut trial, KeyCode::KeyZ);
    assert!(ready(&trial));
    assert_eq!(all(&trial), format!("{now:?}"));

    // The lift has what the bench has.
    trial.tap(KeyCode::Space);
    assert!(trial.wait_until(2.0, |t| t.find("Lift").is_some_and(|w| w.on)));
    trial.frames(3);
    let begun = trial.now().unwrap();
    assert!((begun.cylinder_pa / now.cylinder_pa - 1.0).abs() < 1e-3, "{}", begun.cylinder_pa);
    assert_eq!([begun.bags[0].hose, begun.bags[1].hose], [None, Some(0)]);
    assert!(trial.find("to tail upper").is_some());
    // Back on the bench, step by step to the first.
    trial.tap(KeyCode::Digit6);
    trial.frames(3);
    for _ in 0..7 {
        control(&mut trial, KeyCode::KeyZ);
    }
    assert_eq!(all(&trial), written);
}

/// Draws the stages of a set-up into `docs/pictures`. Needs a Vulkan driver.
#[test]
#[ignore = "draws the pictures of the guide"]
fn pictures() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let out = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("docs/pictures");
    let shelf = vec![shipped("deck-lid-wedged")];
    let mut trial =
        Trial::in_folder(dir, shelf, None, UnitSystem::Si, SIZE, Rendering::Drawn).unwrap();
    let shot = |trial: &mut Trial, name: &str| {
        trial.frames(4);
        trial.picture(&out.join(format!("{name}.png"))).unwrap();
    };
    trial.frames(4);
    trial.click("Start from bare vehicle").unwrap();
    assert!(trial.wait_until(4.0, |t| t.now().is_some()));
    trial.wait(1.0);
    for question in ["How heavy is it?", "Who is trapped, and where?"] {
        trial.click(question).unwrap();
    }
    trial.tap(KeyCode::KeyN);
    for place in [[-0.2, 0.0, 2.0], [0.8, 0.0, 2.0]] {
        let at = trial.seen_at(place).unwrap();
        trial.click_at(at);
    }
    trial.tap(KeyCode::KeyI);
    let lid = trial.seen_at([-1.0, 0.80, 0.75]).unwrap();
    trial.click_at(lid);
    shot(&mut trial, "size-up");
    trial.tap(KeyCode::Digit6);
    for key in [KeyCode::KeyS, KeyCode::KeyA, KeyCode::KeyA, KeyCode::KeyW] {
        trial.tap(key);
    }
    for key in [KeyCode::KeyC, KeyCode::KeyD, KeyCode::KeyK] {
        trial.tap(key);
    }
    trial.tap(KeyCode::PageDown);
    trial.tap(KeyCode::PageUp);
    shot(&mut trial, "set-up");
}

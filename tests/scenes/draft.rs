//! Law protected: a set-up is built by edits that each make a new scene, checked by the
//! scene's own rules; every edit can be undone and done again; what is saved opens as the
//! same; what is not saved is kept.

use approx::{abs_diff_eq, assert_abs_diff_eq};
use inchwise::draft::{Draft, Edit, Entry, Item, ItemKind, fields, from_nothing, keep, snap};
use inchwise::scene::tree::{Node, Place, Value, parse_change_value};
use inchwise::scene::{self, StrapEnd, builtin_names, read_and_check, tree_of};
use inchwise::units::UnitSystem::{self, Si};
use std::path::PathBuf;

fn draft_of(name: &str) -> Draft {
    let Ok(doc) = tree_of(name, &[]) else { panic!("{name} cannot be read") };
    let Ok(draft) = Draft::new(doc) else { panic!("{name} cannot be opened") };
    draft
}

fn bare(name: &str) -> Draft {
    let mut draft = draft_of(name);
    draft.edit(&Edit::Bare, false, Si).unwrap();
    draft
}

fn add(draft: &mut Draft, kind: ItemKind, on: Option<Item>, both: bool) -> Item {
    let edit = Edit::Add { kind, at: None, on };
    draft.edit(&edit, both, Si).unwrap_or_else(|why| panic!("{kind:?}: {why}")).unwrap()
}

fn in_order(draft: &Draft) {
    let problems: Vec<String> = draft.seen().problems.iter().map(ToString::to_string).collect();
    assert!(draft.seen().ready().is_some(), "{problems:#?}");
}

/// On every shipped vehicle on its roof: cleared, then built up by single additions, each
/// placed where no rule is broken. On its side or its wheels places are told by hand.
#[test]
fn a_cleared_scene_can_be_built_up_again_without_a_figure_typed() {
    for name in builtin_names() {
        let mut draft = bare(&name);
        in_order(&draft);
        if draft.seen().scene.lies != scene::RestsOn::Roof {
            continue;
        }
        for kind in ItemKind::BROUGHT {
            assert!(draft.items(kind).is_empty(), "{name}: {kind:?} is left");
        }
        let stack = add(&mut draft, ItemKind::Stack, None, false);
        in_order(&draft);
        add(&mut draft, ItemKind::Bag, Some(stack), false);
        add(&mut draft, ItemKind::Bag, Some(stack), false);
        in_order(&draft);
        for kind in [ItemKind::VoidFill, ItemKind::Chock, ItemKind::Capture] {
            add(&mut draft, kind, None, true);
            in_order(&draft);
        }
        let scene = draft.seen().ready().unwrap();
        assert_eq!((scene.stacks.len(), scene.bags.len()), (1, 2), "{name}");
        assert_eq!(scene.air.outlets.len(), 2, "{name}: each bag has a hose");
        assert_eq!((scene.void_fill.len(), scene.chocks.len()), (2, 2), "{name}: both sides");
    }
}

/// A strut goes to either side, with the strap at its foot; undo takes both away again.
#[test]
fn a_strut_is_mirrored_with_its_strap() {
    let mut draft = draft_of("deck-lid-wedged");
    let at = Some([-1.9, 1.35]);
    let strut = draft.edit(&Edit::Add { kind: ItemKind::Strut, at, on: None }, false, Si);
    let strut = strut.unwrap().unwrap();
    add(&mut draft, ItemKind::Strap, None, false);
    draft.edit(&Edit::Mirror(strut), false, Si).unwrap();
    let scene = &draft.seen().scene;
    let [one, other] = &scene.struts[..] else { panic!("{} struts", scene.struts.len()) };
    assert_eq!((one.at[0], one.at[1]), (other.at[0], -other.at[1]));
    assert_eq!((one.head[0], one.head[1]), (other.head[0], -other.head[1]));
    assert_eq!(scene.straps.len(), 2);
    assert_eq!(scene.straps[1].ends[0], StrapEnd::Foot(1));
    // A strap cannot be without its strut.
    draft.edit(&Edit::Remove(strut), false, Si).unwrap();
    let scene = &draft.seen().scene;
    assert_eq!((scene.struts.len(), scene.straps.len()), (1, 1));
}

/// Step chocks go under both sills; one is moved, typed and taken away, and undo brings it back.
#[test]
fn step_chocks_are_set_under_both_sills() {
    let mut draft = draft_of("sill-crib");
    // The capture under the floor leaves no room there.
    draft.edit(&Edit::Remove(draft.items(ItemKind::Capture)[0]), false, Si).unwrap();
    in_order(&draft);
    add(&mut draft, ItemKind::StepChock, None, true);
    in_order(&draft);
    let places = |draft: &Draft| -> Vec<[f64; 2]> {
        draft.seen().scene.step_chocks.iter().map(|chock| chock.at).collect()
    };
    let both = places(&draft);
    let [one, other] = both[..] else { panic!("{both:?}") };
    assert_eq!((one[0], one[1]), (other[0], -other[1]));
    let item = draft.items(ItemKind::StepChock)[0];
    draft.edit(&Edit::Move { item, at: [one[0] + 0.1, one[1]] }, true, Si).unwrap();
    in_order(&draft);
    assert!(
        abs_diff_eq!(places(&draft)[1][0] - one[0], 0.1, epsilon = 1e-9),
        "its twin is moved with it"
    );
    let rise = Value::Text("40 mm".into());
    draft.edit(&Edit::Set { item, key: "rise", value: rise }, false, Si).unwrap();
    assert_eq!(draft.seen().scene.step_chocks[0].rise_m, 0.04);
    draft.edit(&Edit::Remove(item), false, Si).unwrap();
    assert_eq!(places(&draft).len(), 1);
    draft.undo();
    assert_eq!(places(&draft).len(), 2);
}

/// Once the vehicle has capture stacks, further ones go under the ends of the beam, on either side.
#[test]
fn timber_is_brought_under_the_ends_of_the_beam() {
    let mut draft = draft_of("beam-cribbed");
    draft
        .edit(
            &Edit::Set {
                item: draft.items(ItemKind::Beam)[0],
                key: "length",
                value: Value::Text("12 ft".into()),
            },
            false,
            Si,
        )
        .unwrap();
    for item in draft.items(ItemKind::Capture).into_iter().rev() {
        draft.edit(&Edit::Remove(item), false, Si).unwrap();
    }
    add(&mut draft, ItemKind::Capture, None, true);
    in_order(&draft);
    assert!(draft.seen().scene.captures.iter().all(|capture| !capture.is_under_beam()));
    add(&mut draft, ItemKind::Capture, None, true);
    in_order(&draft);
    let scene = &draft.seen().scene;
    let under: Vec<f64> =
        scene.captures.iter().filter(|c| c.is_under_beam()).map(|c| c.at[1]).collect();
    let [one, other] = under[..] else { panic!("{under:?}") };
    assert!(one == -other && one.abs() > 1.45, "{under:?}");
}

/// A beam lift by hand: stacks beside the window on both sides, bags, beam.
#[test]
fn a_beam_goes_onto_stacks_on_both_sides() {
    let mut draft = bare("beam-lift");
    let refused = draft.edit(&Edit::Add { kind: ItemKind::Beam, at: None, on: None }, false, Si);
    assert!(refused.unwrap_err().to_string().contains("either side"));
    let left = Edit::Add { kind: ItemKind::Stack, at: Some([-0.45, 1.15]), on: None };
    let left = draft.edit(&left, false, Si).unwrap().unwrap();
    add(&mut draft, ItemKind::Bag, Some(left), false);
    draft.edit(&Edit::Mirror(left), false, Si).unwrap();
    add(&mut draft, ItemKind::Beam, None, false);
    in_order(&draft);
    let scene = draft.seen().ready().unwrap();
    let beam = scene.beam.as_ref().unwrap();
    assert_eq!(beam.rests_on.len(), 2);
    assert_eq!(scene.bags.len(), 2, "the bag was mirrored with its stack");
    assert_abs_diff_eq!(scene.stacks[1].at[1], -1.15, epsilon = 1e-9);
    assert_eq!(scene.stacks[1].name, "right");
}

/// Without anything: each vehicle there is, on its roof, with a limb that the rules accept.
#[test]
fn a_set_up_begins_from_nothing_on_every_vehicle() {
    let names = scene::vehicle_names();
    assert!(!names.is_empty());
    for name in names {
        let Ok(draft) = from_nothing(&name) else { panic!("{name} cannot be begun with") };
        in_order(&draft);
        assert!(draft.dirty(), "{name}: nothing is saved yet");
    }
    assert!(from_nothing("no such").is_err());
}

/// An edit may be refused; it never breaks anything, and undone it is as if it had never
/// been. Three hundred edits and more, drawn by a fixed rule, over each scene.
#[test]
fn any_row_of_edits_can_be_undone_and_done_again() {
    for name in builtin_names() {
        let mut draft = draft_of(&name);
        let first = draft.doc().clone();
        let mut draw = 12345_u64;
        let mut pick = move |n: usize| {
            draw = draw.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (draw >> 33) as usize % n.max(1)
        };
        let kinds: Vec<ItemKind> = ItemKind::BROUGHT.into_iter().chain(ItemKind::FOUND).collect();
        let (mut done, mut refused) = (0, 0);
        for round in 0..350 {
            let kind = kinds[pick(kinds.len())];
            let items = draft.items(kind);
            let item = items.get(pick(items.len())).copied().unwrap_or(Item::new(kind, 9));
            let at = [pick(400) as f64 / 100.0 - 2.0, pick(300) as f64 / 100.0 - 1.5];
            let field = fields(kind)[pick(fields(kind).len())];
            let values =
                ["3", "\"24 in\"", "true", "[\"0.3 m\", \"0.4 m\"]", "\"left\"", "-1", "[]"];
            let value = parse_change_value(values[pick(values.len())], &"".into()).value;
            let edit = match pick(if round == 175 { 1 } else { 12 }) {
                0 => Edit::Bare,
                1..=3 => Edit::Add { kind, at: (pick(2) == 0).then_some(at), on: Some(item) },
                4 => Edit::Remove(item),
                5 | 6 => Edit::Move { item, at },
                7 | 8 => Edit::Set { item, key: field.key, value },
                9 => [Edit::Turn(item), Edit::Centre(item)][pick(2)].clone(),
                10 => Edit::Mirror(item),
                _ => Edit::Rename(item, ["left", "", "x 1", "right lower"][pick(4)].into()),
            };
            // A cleared yard is dull: seldom.
            if edit == Edit::Bare && round % 100 != 0 {
                continue;
            }
            draft.try_out(&edit, pick(2) == 0, Si);
            match draft.edit(&edit, pick(2) == 0, if pick(2) == 0 { Si } else { UnitSystem::Us }) {
                Ok(_) => done += 1,
                Err(why) => {
                    assert!(!why.to_string().is_empty());
                    refused += 1;
                }
            }
        }
        assert!(done > 100 && refused > 20, "{name}: {done} done, {refused} refused");
        let last = draft.doc().clone();
        assert_ne!(last, first);
        let mut back = 0;
        while draft.undo().is_some() {
            back += 1;
        }
        assert_eq!(*draft.doc(), first, "{name}: undone {back} times");
        assert!(!draft.dirty());
        in_order(&draft);
        while draft.redo().is_some() {}
        assert_eq!(*draft.doc(), last, "{name}: done again");
    }
}

/// What lay on a stack goes with it, and no order or hose is left without its bag.
#[test]
fn what_lies_on_a_stack_goes_with_it() {
    for name in builtin_names() {
        let draft = draft_of(&name);
        for kind in
            [ItemKind::Stack, ItemKind::Bag, ItemKind::Capture, ItemKind::Chock, ItemKind::Outlet]
        {
            let items = draft.items(kind);
            // The last hose stays.
            let some = if kind == ItemKind::Outlet && items.len() == 1 { 0 } else { items.len() };
            for item in items.into_iter().take(some) {
                let mut draft = draft_of(&name);
                draft.edit(&Edit::Remove(item), false, Si).unwrap();
                let lost: Vec<String> = draft
                    .seen()
                    .problems
                    .iter()
                    .map(ToString::to_string)
                    .filter(|p| p.contains("there is no"))
                    .collect();
                assert!(lost.is_empty(), "{name} without {item:?}: {lost:#?}");
            }
        }
    }
}

/// A new name is known wherever the old one was: the scene differs in nothing else.
#[test]
fn a_renamed_thing_is_known_by_its_new_name_everywhere() {
    for name in builtin_names() {
        for kind in ItemKind::BROUGHT.into_iter().filter(|k| !k.single()) {
            for item in draft_of(&name).items(kind) {
                let mut draft = draft_of(&name);
                let old = item.name(draft.doc());
                draft.edit(&Edit::Rename(item, "newly named".into()), false, Si).unwrap();
                in_order(&draft);
                assert_eq!(item.name(draft.doc()), "newly named");
                let other = draft.items(kind).iter().any(|i| i.name(draft.doc()) == old);
                assert!(!other, "{name}: {old}");
            }
        }
    }
}

/// With both sides at once, a stack and its twin stay mirror images.
#[test]
fn both_sides_are_built_alike() {
    let mut draft = draft_of("beam-lift");
    let left = Item::new(ItemKind::Stack, 0);
    draft.edit(&Edit::Move { item: left, at: [-0.5, 1.2] }, true, Si).unwrap();
    let layers = Edit::Set { item: left, key: "layers", value: Value::Number(4.0) };
    draft.edit(&layers, true, Si).unwrap();
    let scene = read_and_check(draft.doc()).0.unwrap();
    let [a, b] = [&scene.stacks[0], &scene.stacks[1]];
    assert_eq!((a.layers, a.at), (4, [-0.5, 1.2]));
    assert_eq!((b.layers, b.at), (4, [-0.5, -1.2]));
    draft.undo();
    draft.undo();
    // One side alone.
    draft.edit(&layers, false, Si).unwrap();
    let scene = read_and_check(draft.doc()).0.unwrap();
    assert_eq!((scene.stacks[0].layers, scene.stacks[1].layers), (4, 3));
    // The beam no longer lies level, and the rule that says so names the stacks.
    let problems = &draft.seen().problems;
    assert!(problems.iter().any(|p| p.text.in_units(Si).contains("equally high")), "{problems:?}");
    assert!(draft.seen().faulty(draft.doc(), Item::new(ItemKind::Beam, 0)));
    assert!(!draft.seen().faulty(draft.doc(), Item::new(ItemKind::Chock, 0)));
}

/// A person is added, moved, turned, mirrored and removed as other things are, and each is
/// undone.
#[test]
fn a_person_is_edited_as_other_things_are() {
    let mut draft = draft_of("deck-lid-wedged");
    let laid = |draft: &Draft| {
        let people = draft.seen().scene.people.iter();
        people.map(|p| (p.at, p.head_rad.to_degrees().round())).collect::<Vec<_>>()
    };
    assert!(laid(&draft).is_empty());
    let person = add(&mut draft, ItemKind::Person, None, false);
    // As one lies of whom a scene says nothing.
    in_order(&draft);
    let at = [-0.25, 1.05];
    draft.edit(&Edit::Move { item: person, at }, false, Si).unwrap();
    assert_eq!(laid(&draft), [(at, 90.0)]);
    draft.edit(&Edit::Turn(person), false, Si).unwrap();
    draft.edit(&Edit::Turn(person), false, Si).unwrap();
    // Three quarters of a turn are written as a quarter the other way.
    assert_eq!(laid(&draft), [(at, -90.0)]);
    draft.edit(&Edit::Mirror(person), false, Si).unwrap();
    assert_eq!(laid(&draft), [(at, -90.0), ([-0.25, -1.05], 90.0)]);
    let limb = Item::new(ItemKind::Limb, 0);
    let of = Value::Text(Item::new(ItemKind::Person, 1).name(draft.doc()));
    draft.edit(&Edit::Set { item: limb, key: "of", value: of }, false, Si).unwrap();
    assert_eq!(draft.seen().scene.limbs[0].of, Some(1));
    // Whose person is gone is the other's.
    draft.edit(&Edit::Remove(Item::new(ItemKind::Person, 1)), false, Si).unwrap();
    assert_eq!(laid(&draft), [(at, -90.0)]);
    assert_eq!(draft.seen().scene.limbs[0].of, Some(0));
    for _ in 0..5 {
        draft.undo();
    }
    assert_eq!(laid(&draft), [(at, 90.0)]);
}

/// The labelled fields are the reader's own: none unknown to it, none missing that must be given,
/// and each default is what it takes by itself.
#[test]
fn every_field_is_the_scene_readers_own() {
    let mut draft = draft_of("deck-lid-wedged");
    for kind in
        [ItemKind::Limb, ItemKind::Person, ItemKind::StepChock, ItemKind::Strut, ItemKind::Strap]
    {
        add(&mut draft, kind, None, false);
    }
    let beam = draft_of("beam-lift");
    for kind in ItemKind::BROUGHT.into_iter().chain(ItemKind::FOUND) {
        let doc = if kind == ItemKind::Beam { beam.doc() } else { draft.doc() };
        let item = Item::new(kind, 0);
        let path = |key: &str| {
            let list = match kind {
                ItemKind::Stack => "stacks",
                ItemKind::Bag => "bags",
                ItemKind::Wedge => "wedges",
                ItemKind::Beam => return format!("beam.{key}"),
                ItemKind::Capture => "captures",
                ItemKind::VoidFill => "void_fill",
                ItemKind::Chock => "chocks",
                ItemKind::StepChock => "step_chocks",
                ItemKind::Strut => "struts",
                ItemKind::Strap => "straps",
                ItemKind::Outlet => "air.outlets",
                ItemKind::Limb => "casualty",
                ItemKind::Person => "people",
                ItemKind::Air => return format!("air.{key}"),
                ItemKind::Ground => return format!("ground.{key}"),
            };
            format!("{list}.{}.{key}", item.name(doc))
        };
        let hand = |value| Node { place: Place::Hand, value };
        let mut doc = doc.clone();
        if kind == ItemKind::Ground && doc.get("ground").is_none() {
            doc.set("ground", hand(Value::Table(Vec::new()))).unwrap();
        }
        let mut wrong = doc.clone();
        wrong.set(&path("zzzzzz"), hand(Value::Flag(true))).unwrap();
        let problems = read_and_check(&wrong).1;
        let text = &problems.iter().find(|p| p.path.ends_with("zzzzzz")).expect("is told").text;
        let text = text.in_units(Si);
        let known = text.rsplit_once("known fields are ").unwrap().1;
        let known: Vec<&str> = known.split(", ").collect();
        // Fields that can be left out need not be on the bench; what is written of them is kept.
        for field in fields(kind) {
            assert!(known.contains(&field.key), "{kind:?}: {} is not the reader's", field.key);
        }
        let must = known.iter().filter(|key| {
            let mut without = doc.clone();
            without.set(&path(key), hand(Value::Nothing)).unwrap();
            read_and_check(&without)
                .1
                .iter()
                .any(|p| p.path.ends_with(**key) && p.text.in_units(Si).contains("missing"))
        });
        for key in must.filter(|key| **key != "name") {
            let ours = fields(kind).iter().any(|f| f.key == *key);
            assert!(ours, "{kind:?}: {key} must be given, but src/draft/field.rs has it not");
        }
        for field in fields(kind).iter().filter(|f| f.default().is_some()) {
            let mut without = doc.clone();
            without.set(&path(field.key), hand(Value::Nothing)).unwrap();
            let mut with = doc.clone();
            with.set(&path(field.key), hand(field.value(None))).unwrap();
            let read = |doc: &Node| format!("{:?}", read_and_check(doc).0.expect("it can be read"));
            assert_eq!(read(&without), read(&with), "{kind:?} {}", field.key);
        }
        for field in fields(kind).iter().filter(|f| matches!(f.entry, Entry::Count(..))) {
            let Entry::Count(least, most) = field.entry else { continue };
            for (n, fits) in [(least, true), (most, true), (most + 1, false)] {
                let mut counted = doc.clone();
                counted.set(&path(field.key), hand(Value::Number(n as f64))).unwrap();
                let told = read_and_check(&counted)
                    .1
                    .iter()
                    .any(|p| p.text.in_units(Si).contains("whole number"));
                assert_eq!(!told, fits, "{kind:?} {} {n}", field.key);
            }
        }
    }
}

/// Saved, it opens as the same; changed since, it is unsaved again.
#[test]
fn what_is_saved_opens_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    for name in builtin_names() {
        let mut draft = draft_of(&name);
        assert!(!draft.dirty());
        let limb = Item::new(ItemKind::Limb, 0);
        draft.edit(&Edit::Rename(limb, "own name".into()), false, Si).unwrap();
        in_order(&draft);
        assert!(draft.dirty());
        let path = dir.join(keep::file_name(&format!("{name}: my own!")));
        draft.save(&path, "My own").unwrap();
        assert!(!draft.dirty());
        let again = scene::tree_of_file(&path).unwrap_or_else(|p| panic!("{name}: {p:?}"));
        assert_eq!(again, *draft.doc(), "{name}");
        let Ok(loaded) = scene::load(&path.display().to_string(), &[]) else { panic!("{name}") };
        assert_eq!(loaded.scene.name, "My own");
        draft.undo();
        assert!(draft.dirty(), "what is on disk is another state");
    }
    let mut draft = draft_of("beam-lift");
    let nowhere = PathBuf::from("/dev/null/x.ron");
    assert!(draft.save(&nowhere, "x").unwrap_err().to_string().contains("cannot write"));
}

/// Unsaved work is on disk after every edit, problems and all, and can be taken up; saved
/// work is not offered again, once the shelf can show it.
#[test]
fn what_is_not_saved_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let mut draft = draft_of("beam-lift");
    let kept = keep::Autosave::new(dir, inchwise::files::now());
    kept.update(&draft).unwrap();
    assert!(keep::list(dir, inchwise::files::now()).is_empty(), "nothing was done to it");
    // A state that breaks rules.
    let stack = Item::new(ItemKind::Stack, 0);
    draft.edit(&Edit::Move { item: stack, at: [0.0, 0.0] }, false, Si).unwrap();
    assert!(draft.seen().ready().is_none());
    kept.update(&draft).unwrap();
    // The process dies here.
    let found = keep::list(dir, inchwise::files::now());
    let [only] = found.as_slice() else { panic!("{} found", found.len()) };
    assert_eq!(only.name, "Beam lift");
    let again = keep::take_up(&only.path).unwrap();
    assert_eq!(again.doc(), draft.doc());
    assert!(again.dirty(), "no file of its own holds it");
    assert_eq!(again.seen().problems.len(), draft.seen().problems.len());
    draft.save(&dir.join("own.ron"), "Own").unwrap();
    kept.update(&draft).unwrap();
    assert_eq!(
        keep::list(dir, inchwise::files::now()).len(),
        1,
        "the shelf does not show what does not fit"
    );
    draft.undo();
    draft.save(&dir.join("own.ron"), "Own").unwrap();
    kept.update(&draft).unwrap();
    assert!(keep::list(dir, inchwise::files::now()).is_empty());
    std::fs::write(dir.join("unsaved-1-1.ron"), "not a scene").unwrap();
    assert!(
        keep::list(dir, inchwise::files::now()).is_empty(),
        "what cannot be read is not offered"
    );
}

/// A place near a line of what is there lies on it, and far from all on the grid:
/// 10 mm, or half an inch.
#[test]
fn places_snap_to_what_is_there() {
    let draft = draft_of("beam-lift");
    let scene = &draft.seen().scene;
    let stack = Item::new(ItemKind::Stack, 1);
    let near = snap(scene, stack, [-0.463, -1.156], 0.03, Si);
    assert_eq!(near.at, [-0.45, -1.15], "{near:?}");
    assert!(near.to[1].as_deref().unwrap().contains("across from left"), "{near:?}");
    let middle = snap(scene, stack, [3.333, 0.017], 0.03, Si);
    assert_eq!(middle.at[1], 0.0);
    assert_abs_diff_eq!(middle.at[0], 3.33, epsilon = 1e-9);
    assert_eq!(middle.to, [None, Some("on the middle line".into())]);
    let inches = snap(scene, stack, [3.333, 2.999], 0.0, UnitSystem::Us);
    for m in inches.at {
        let halves = m / 0.0127;
        assert!(abs_diff_eq!(halves, halves.round(), epsilon = 1e-9), "{m}");
    }
    // Beside a limb nothing overlaps it: half of both, and a little room.
    let limb = &scene.limbs[1];
    let capture = Item::new(ItemKind::Capture, 0);
    let off = (limb.size[0] + scene.captures[0].length_m) / 2.0;
    let beside = snap(scene, capture, [limb.at[0] - off - 0.04, 0.6], 0.02, Si);
    assert!(limb.at[0] - beside.at[0] >= off, "{beside:?}");
    assert!(beside.to[0].as_deref().unwrap().contains("beside the forearm"), "{beside:?}");
}

/// A vehicle on its side or its wheels has its own places: beside and under the roof and the
/// wheels, under the sills, in line with its axles. Worked out here from its own figures.
#[test]
fn places_snap_to_a_vehicle_on_its_side_and_on_its_wheels() {
    let draft = draft_of("side-crib");
    let scene = &draft.seen().scene;
    let (v, stack) = (&scene.vehicle, Item::new(ItemKind::Stack, 0));
    let half = scene.stacks[0].length_m / 2.0;
    // On its right side the tyres' treads stand at 0 and the roof lies at plus its height, less
    // a few millimetres: it leans by a few degrees, being narrower at the roof.
    let roof = v.profile.header[1];
    for (z, to) in [
        (roof + half + 0.02, "close beside the roof"),
        (roof - half, "under the roof"),
        (-half - 0.02, "close beside the wheels"),
        (half, "under the wheels"),
    ] {
        let snapped = snap(scene, stack, [v.wheel_x_m[1] + 0.01, z + 0.012], 0.02, Si);
        assert!(abs_diff_eq!(snapped.at[1], z, epsilon = 8e-3), "{to}: {snapped:?}");
        assert_eq!(snapped.to[1].as_deref(), Some(to), "{snapped:?}");
    }
    let axle = snap(scene, stack, [v.wheel_x_m[0] + 0.01, 3.0], 0.02, Si);
    assert!(abs_diff_eq!(axle.at[0], v.wheel_x_m[0], epsilon = 1e-6), "{axle:?}");
    let draft = draft_of("sill-crib");
    let scene = &draft.seen().scene;
    let (body, half) = (scene.vehicle.half_width.body, scene.stacks[0].length_m / 2.0);
    for side in [-1.0, 1.0] {
        for (z, to) in [
            (side * (body - half), "under the sill"),
            (side * (body + half + 0.02), "close beside the body"),
        ] {
            let snapped = snap(scene, stack, [3.333, z + 0.004], 0.01, Si);
            assert!(abs_diff_eq!(snapped.at[1], z, epsilon = 1e-6), "{to}: {snapped:?}");
            assert_eq!(snapped.to[1].as_deref(), Some(to), "{snapped:?}");
        }
    }
}

/// The last hose stays while there are bags, led to another where its own is taken away:
/// without a list of hoses every bag would have one.
#[test]
fn the_last_hose_is_not_taken_away() {
    let mut draft = draft_of("beam-lift");
    while draft.items(ItemKind::Outlet).len() > 1 {
        draft.edit(&Edit::Remove(Item::new(ItemKind::Outlet, 0)), false, Si).unwrap();
    }
    let why = draft.edit(&Edit::Remove(Item::new(ItemKind::Outlet, 0)), false, Si).unwrap_err();
    assert!(why.to_string().contains("lead it to another bag instead"), "{why}");
    let scene = read_and_check(draft.doc()).0.unwrap();
    let bag = scene.air.outlets[0].to;
    draft.edit(&Edit::Remove(Item::new(ItemKind::Bag, bag)), false, Si).unwrap();
    let left = read_and_check(draft.doc()).0.unwrap();
    assert_eq!(left.air.outlets.len(), 1);
    assert!(left.bags.len() > 1 && left.air.outlets[0].to < left.bags.len());
}

/// What was there before the crew came cannot be taken away. How somebody lies can: the casualty
/// then lies as one does of whom a scene says nothing.
#[test]
fn ground_air_and_casualty_stay() {
    for kind in ItemKind::FOUND.into_iter().filter(|kind| *kind != ItemKind::Person) {
        let why = draft_of("beam-lift").edit(&Edit::Remove(Item::new(kind, 0)), false, Si);
        assert!(why.is_err(), "{kind:?}");
    }
}

/// A crack in a stack's timber is known by the stack's name, and goes with it; one in the
/// beam goes with the beam.
#[test]
fn a_crack_follows_its_timber() {
    let cracked = |name: &str| {
        let set = format!("faults=[(at: \"9 s\", crack: \"{name}\", to: \"50 %\")]");
        let Ok(doc) = tree_of("beam-lift", &[set]) else { panic!("beam-lift cannot be read") };
        let Ok(draft) = Draft::new(doc) else { panic!("{name} cannot be opened") };
        draft
    };
    let faults = |draft: &Draft| read_and_check(draft.doc()).0.map(|scene| scene.faults.len());
    let stack = Item::new(ItemKind::Stack, 0);
    let name = stack.name(draft_of("beam-lift").doc());
    let mut draft = cracked(&name);
    draft.edit(&Edit::Rename(stack, "renamed".into()), false, Si).unwrap();
    assert_eq!(faults(&draft), Some(1));
    draft.edit(&Edit::Remove(Item::new(ItemKind::Beam, 0)), false, Si).unwrap();
    assert!(matches!(&draft.doc().get("faults").unwrap().value, Value::List(l) if l.len() == 1));
    draft.edit(&Edit::Remove(stack), false, Si).unwrap();
    assert!(matches!(&draft.doc().get("faults").unwrap().value, Value::List(l) if l.is_empty()));
    let mut draft = cracked("beam");
    draft.edit(&Edit::Remove(Item::new(ItemKind::Beam, 0)), false, Si).unwrap();
    assert!(matches!(&draft.doc().get("faults").unwrap().value, Value::List(l) if l.is_empty()));
}

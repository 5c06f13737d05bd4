//! The shelf: every scene ends as its author expects, by its cause, and every lesson has
//! a twin that differs in one choice and ends the other way. What an outcome ought to be
//! is common practice in the trade, no source, said in each scene.

use inchwise::debrief::{Debrief, Keep, play};
use inchwise::scene::{self, Loaded, builtin_names, load};
use inchwise::units::System;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// A folder of this test's own, among what is built.
fn own_folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("lessons-{name}"));
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn good(name: &str) -> Loaded {
    load(name, &[]).unwrap_or_else(|problems| panic!("{name}: {problems:#?}"))
}

fn played(scene: scene::Scene) -> Debrief {
    play(Arc::new(scene), System::Si, Keep::Nothing, &mut |_, _| ())
}

/// A scene that is like another differs from it in what it says under `change`, and takes
/// none of its words but heading and data.
#[test]
fn a_scene_like_another_differs_in_its_changes_only() {
    let folder = own_folder("like");
    let path = folder.join("own.ron");
    let text = r#"(
        name: "Own", teaches: "That a scene may be like another one.", like: "deck-lid-tall",
        change: { "stacks.tail.layers": 7, "vehicle.mass": "1400 kg" },
    )"#;
    std::fs::write(&path, text).unwrap();
    let own = load(path.to_str().unwrap(), &["ground.slope=1 deg".into()]);
    let own = own.unwrap_or_else(|problems| panic!("{problems:#?}"));
    let base = good("deck-lid-tall");
    let words = ["name", "teaches", "after", "decides", "twin", "expect"];
    let mut differ = own.doc.differences(&base.doc);
    differ.retain(|path| !words.contains(&path.split('.').next().unwrap()));
    assert_eq!(differ, ["vehicle.mass", "stacks.tail.layers", "ground"]);
    assert_eq!((own.scene.stacks[0].layers, own.scene.vehicle.mass_kg), (7, 1400.0));
    assert_eq!(own.scene.group, base.scene.group);
    assert_eq!(own.scene.data, base.scene.data);
    assert_eq!(
        own.scene.lesson,
        scene::Lesson { after: own.scene.lesson.after.clone(), ..Default::default() }
    );
    assert!(own.scene.wedges.is_empty(), "what its base changes is changed here too");
}

/// Each mistake in a lesson's own fields is told with its place and the mend.
#[test]
fn mistakes_in_a_lesson_are_told_with_their_place() {
    let folder = own_folder("mistakes");
    let path = folder.join("own.ron");
    for (line, words) in [
        (r#"like: "nowhere","#, ["own.ron:2:7: like", "beam-lift"]),
        (r#"like: "own","#, ["own.ron:2:7: like", "copy one"]),
        (r#"like: "../beam-lift","#, ["own.ron:2:7: like", "beam-lift"]),
        (r#"like: "beam-lift", stacks: [],"#, ["own.ron:2:28: stacks", "under `change`"]),
        (r#"like: "beam-lift", change: 5,"#, ["own.ron:2:28: change", "{ \"stacks"]),
        (
            r#"like: "beam-lift", change: { "stacks.middle.layers": 5 },"#,
            ["own.ron:2:54: stacks.middle.layers", "left, right"],
        ),
        (
            r#"like: "beam-lift", change: { "stacks.left.layers": 0.5 },"#,
            ["own.ron:2:52: stacks.left.layers", "whole number"],
        ),
        (r#"like: "beam-lift", twin: "nowhere","#, ["own.ron:2:26: twin", "beam-lift"]),
        (r#"like: "beam-lift", after: "{roll","#, ["own.ron:2:27: after", "never closed"]),
        (r#"like: "beam-lift", after: "{luck}","#, ["own.ron:2:27: after", "casualty_load"]),
        (r#"like: "beam-lift", after: "{gap}","#, ["own.ron:2:27: after", "lower leg, forearm"]),
        (
            r#"like: "beam-lift", after: "{lean of middle}","#,
            ["own.ron:2:27: after", "left, right"],
        ),
        (r#"like: "beam-lift", decides: "rise","#, ["own.ron:2:29: decides", "no limit"]),
        (r#"like: "beam-lift", near: "yes","#, ["own.ron:2:26: near", "true or false"]),
    ] {
        let text = format!("(name: \"Own\", teaches: \"How a mistake is told.\",\n{line})");
        std::fs::write(&path, text).unwrap();
        let problems = load(path.to_str().unwrap(), &[]).err().unwrap_or_default();
        let told: String = problems.iter().map(|p| format!("{p}\n")).collect();
        for word in words {
            assert!(told.contains(word), "{line}: {word} is missing in\n{told}");
        }
    }
}

/// Every number that the shelf's lessons name is there once a lift has been played.
#[test]
fn a_lesson_is_told_with_the_numbers_of_the_lift() {
    let debrief = played(good("void-not-filled").scene);
    let gap = &debrief.gaps[0];
    let lines = debrief.readings(|r| r.lines()).join("\n");
    // The largest load and the load at the start, from the debrief's own sums.
    for n in [gap.start_load_n, gap.max_load_n] {
        assert!(lines.contains(&System::Si.force(n)), "{n} N is missing in\n{lines}");
    }
    // The limit is the watch's: 15 N or 3 % more than at the start.
    let limit = gap.start_load_n + f64::max(15.0, 0.03 * gap.start_load_n);
    assert!(lines.contains(&System::Si.force(limit)), "{limit} N is missing in\n{lines}");
    assert!(lines.contains("beam-lift"), "the twin is named: {lines}");
    assert!(debrief.text().contains(&lines.lines().next().unwrap()[..40]));
}

/// Each shipped lesson names a twin that names it or is named by others, differs from it
/// in a few fields and is expected to end otherwise.
#[test]
fn every_lesson_has_a_twin() {
    const WORDS: &[&str] =
        &["name", "group", "teaches", "after", "decides", "near", "twin", "expect", "data"];
    for name in builtin_names() {
        let one = good(&name);
        let Some(twin) = &one.scene.lesson.twin else { panic!("{name} has no twin") };
        let other = good(twin);
        assert_ne!(one.scene.expect, other.scene.expect, "{name} and {twin} end alike");
        let mut choice = one.doc.differences(&other.doc);
        choice.retain(|path| !WORDS.contains(&path.split('.').next().unwrap_or_default()));
        let fields: std::collections::BTreeSet<&str> =
            choice.iter().filter_map(|path| path.split('.').next()).collect();
        assert!((1..=2).contains(&fields.len()), "{name} and {twin} differ in {choice:?}");
        assert!(one.scene.lesson.decides.is_some(), "{name} does not say what decides");
        assert!(!one.scene.lesson.after.is_empty(), "{name} says nothing after the lift");
    }
}

/// Every scene of the shelf, played: it ends as its author expects, by the cause expected,
/// and its lesson finds all its numbers.
#[test]
fn every_lesson_ends_as_its_author_expects() {
    let names = builtin_names();
    let next = AtomicUsize::new(0);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let wrong: Vec<String> = std::thread::scope(|scope| {
        let play_some = || {
            let mut wrong = Vec::new();
            while let Some(name) = names.get(next.fetch_add(1, Ordering::Relaxed)) {
                let debrief = played(good(name).scene);
                let lines = debrief.readings(|r| r.lines()).join("\n");
                if !debrief.as_expected() || lines.contains("(no number)") {
                    wrong.push(format!("{name}:\n{}", debrief.text()));
                }
            }
            wrong
        };
        let players: Vec<_> = (0..threads).map(|_| scope.spawn(play_some)).collect();
        players.into_iter().flat_map(|p| p.join().expect("a lift plays")).collect()
    });
    assert!(wrong.is_empty(), "{} scenes end otherwise\n{}", wrong.len(), wrong.join("\n\n"));
}

//! The shelf: every scene ends as its author expects, by its cause, and every lesson has
//! a twin that differs in one choice and ends the other way. What an outcome ought to be
//! is common practice in the trade, no source, said in each scene.

use crate::played::played;
use inchwise::debrief::{FrameRetention, play};
use inchwise::parallel::{ThreadsError, each};
use inchwise::practice::Freed;
use inchwise::scene::{Lesson, Loaded, Outcome, Problem, Source, TextPiece, load, read_shelf};
use inchwise::shelf::{
    Margin, PICTURES, SAMPLES, ShelfScene, differences, margins_of, page, sample, seal,
};
use inchwise::units::UnitSystem;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

const PAGE: &str = include_str!("../../docs/LESSONS.md");

fn shelf() -> Vec<ShelfScene> {
    let entry = |(source, read): (Source, Result<Loaded, Vec<Problem>>)| {
        let loaded = read.unwrap_or_else(|p| panic!("{source:?}: {p:#?}"));
        ShelfScene { source, loaded }
    };
    read_shelf().into_iter().map(entry).collect()
}

fn docs() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("docs")
}

fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

/// A folder of this test's own, among what is built.
fn own_folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("lessons-{name}"));
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn good(name: &str) -> Loaded {
    load(name, &[]).unwrap_or_else(|problems| panic!("{name}: {problems:#?}"))
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
    let words = ["name", "teaches", "after", "decides", "near", "twin", "expect"];
    let mut differ = own.doc.differences(&base.doc);
    differ.retain(|path| !words.contains(&path.split('.').next().unwrap()));
    assert_eq!(differ, ["vehicle.mass", "ground.slope", "stacks.tail.layers"]);
    assert_eq!((own.scene.stacks[0].layers, own.scene.vehicle.mass_kg), (7, 1400.0));
    assert_eq!(own.scene.group, base.scene.group);
    assert_eq!(own.scene.data, base.scene.data);
    assert_eq!(
        own.scene.lesson,
        Lesson { after: own.scene.lesson.after.clone(), ..Default::default() }
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
        (
            r#"like: "beam-lift", decides: "casualty_load of banana","#,
            ["own.ron:2:29: decides", "lower leg, forearm"],
        ),
        (r#"like: "beam-lift", near: "yes","#, ["own.ron:2:26: near", "true or false"]),
        // A word without quotes is no field left out.
        (r#"like: "beam-lift", near: yes,"#, ["own.ron:2:26: near", "true or false"]),
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
    let debrief = played("void-not-filled", &[]);
    let gap = &debrief.gaps[0];
    let lines = debrief.readings(|r| r.lines()).join("\n");
    // The largest load and the load at the start, from the debrief's own sums.
    for n in [gap.start_load_n, gap.max_load_n] {
        assert!(lines.contains(&UnitSystem::Si.force(n)), "{n} N is missing in\n{lines}");
    }
    // The limit is the watch's: 15 N or 3 % more than at the start.
    let limit = gap.start_load_n + f64::max(15.0, 0.03 * gap.start_load_n);
    assert!(lines.contains(&UnitSystem::Si.force(limit)), "{limit} N is missing in\n{lines}");
    assert!(lines.contains("beam-lift"), "the twin is named: {lines}");
    assert!(debrief.text().contains(&lines.lines().next().unwrap()[..40]));
}

/// Each shipped lesson names a twin that differs from it in one or two fields and is
/// expected to end otherwise; a failure has its cause; a scene that is no copy stays short.
#[test]
fn every_lesson_has_a_twin() {
    let shelf = shelf();
    for entry in &shelf {
        let (name, scene) = (entry.source.name(), &entry.loaded.scene);
        let Some(twin) = &scene.lesson.twin else { panic!("{name} has no twin") };
        let other = shelf.iter().find(|e| e.source.name() == *twin).expect("a twin on the shelf");
        assert_ne!(scene.expect.outcome, other.loaded.scene.expect.outcome, "{name} and {twin}");
        let choice = differences(entry, other);
        let fields: BTreeSet<&str> = choice.iter().filter_map(|p| p.split('.').next()).collect();
        assert!((1..=3).contains(&fields.len()), "{name} and {twin} differ in {choice:?}");
        assert!(scene.lesson.decides.is_some(), "{name} does not say what decides");
        let has_number = scene.lesson.after.iter().any(|p| matches!(p, TextPiece::Number(_)));
        assert!(has_number, "{name} gives no number after the lift");
        let failed = scene.expect.outcome == Outcome::Failed;
        assert_eq!(failed, scene.expect.cause.is_some(), "{name}: a failure has a cause");
    }
}

/// Every scene of the shelf, played: it ends as its author expects, by the cause expected,
/// its lesson finds all its numbers, and the page tells the same of it.
#[test]
fn every_lesson_ends_as_its_author_expects_and_as_the_page_tells() {
    let shelf = shelf();
    let debriefs = each(&shelf, threads(), |e| played(&e.source.name(), &[]), &mut |_| {
        Ok::<_, ThreadsError>(())
    })
    .unwrap();
    let mut wrong = Vec::new();
    for (entry, debrief) in shelf.iter().zip(&debriefs) {
        let lines = debrief.readings(|r| r.lines()).join("\n");
        if !debrief.as_expected() || lines.contains("(no number)") {
            wrong.push(format!("{}:\n{}", entry.source.name(), debrief.text()));
        }
    }
    assert!(wrong.is_empty(), "{} scenes end otherwise\n{}", wrong.len(), wrong.join("\n\n"));
    for (entry, debrief) in shelf.iter().zip(&debriefs) {
        let lies = debrief.practice.as_ref().and_then(|practice| practice.casualty());
        let lifted = debrief.outcome == Outcome::Lifted;
        assert!(
            !lifted || lies > Some(Freed::Trapped),
            "{} is lifted, and somebody is still trapped",
            entry.source.name()
        );
    }
    let found = page(&shelf, debriefs.iter().map(AsRef::as_ref), PAGE, &docs());
    let differ: Vec<String> = found
        .lines()
        .zip(PAGE.lines())
        .filter(|(found, told)| !alike(found, told))
        .map(|(found, told)| format!("told:  {told}\nfound: {found}"))
        .collect();
    assert!(
        differ.is_empty() && found.lines().count() == PAGE.lines().count(),
        "docs/LESSONS.md is not of this shelf; write it again: cargo run --release -- shelf \
         --page docs/LESSONS.md\n{}",
        differ.join("\n")
    );
}

/// The same words, and numbers that another machine's rounding may have moved: within a
/// twentieth, or two of the last digit.
fn alike(found: &str, told: &str) -> bool {
    let words =
        |text: &str| text.split(|c: char| c.is_ascii_digit() || c == '.').collect::<String>();
    let numbers = |text: &str| -> Vec<f64> {
        let digits = |c: char| !(c.is_ascii_digit() || c == '.');
        text.split(digits).filter_map(|n| n.trim_matches('.').parse().ok()).collect()
    };
    let (a, b) = (numbers(found), numbers(told));
    let near = |a: f64, b: f64| (a - b).abs() <= 0.05 * a.abs().max(b.abs()) + 2.0;
    words(found) == words(told) && a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| near(*a, *b))
}

/// The page tells of every scene how many of its samples keep their ending, of the scene as it
/// is now: at least 19 of 20, or the scene calls itself a near thing. The samples themselves
/// take too long to be played here; to play them again:
///
///     cargo run --release -- shelf --margins --page docs/LESSONS.md
#[test]
fn no_lesson_hangs_by_a_hair_unless_it_says_so() {
    let margins = margins_of(PAGE);
    for entry in shelf() {
        let (name, scene) = (entry.source.name(), &entry.loaded.scene);
        let Some(margin) = margins.iter().find(|m| m.scene == name) else {
            panic!("{name}: docs/LESSONS.md tells no margin");
        };
        assert_eq!(margin.seal, seal(&entry.loaded.doc), "{name} was changed; play its samples");
        assert!(margin.of >= SAMPLES, "{margin:?}");
        assert!(margin.is_wide() || scene.lesson.near, "{name} is a near thing: {margin:?}");
    }
}

/// What the page tells of the samples is so, as far as one sample of every third lesson says. The
/// command that writes the page plays them all.
#[test]
fn a_sample_of_every_third_lesson_keeps_its_ending() {
    let margins = margins_of(PAGE);
    let shelf: Vec<ShelfScene> =
        shelf().into_iter().filter(|e| !e.loaded.scene.lesson.near).step_by(3).collect();
    let seed = 7;
    let endings = each(&shelf, threads(), |e| sample(e, seed).expect("a sample"), &mut |_| {
        Ok::<_, ThreadsError>(())
    })
    .unwrap();
    let mut others = 0;
    for (entry, ending) in shelf.iter().zip(endings) {
        let one = Margin::from_endings(entry, &[ending]);
        // Where one of twenty ends otherwise it may be this one.
        let told = margins.iter().find(|m| m.scene == one.scene);
        let may_differ = told.is_none_or(|told| told.kept < told.of);
        assert!(one.kept == 1 || may_differ, "{one:?}, on the page {told:?}");
        others += 1 - one.kept;
    }
    assert!(others <= 1 + shelf.len() / 20, "{others} of {} end otherwise", shelf.len());
}

/// Every picture is of a scene that is there, and small enough to be kept.
#[test]
fn pictures_are_of_endings_and_small() {
    let names: BTreeSet<String> =
        shelf().iter().map(|entry| format!("{}.png", entry.source.name())).collect();
    let Ok(there) = std::fs::read_dir(docs().join(PICTURES)) else { return };
    for file in there.map(Result::unwrap) {
        let name = file.file_name().to_string_lossy().into_owned();
        assert!(names.contains(&name), "{name} is of no scene");
        let bytes = file.metadata().unwrap().len();
        assert!((2_000..60_000).contains(&bytes), "{name} has {bytes} bytes");
    }
}

/// Scenes as one writes them for tomorrow's drill, with all that can be left out left out:
/// each vehicle is lifted at the tail by one bag.
#[test]
fn short_scenes_of_other_vehicles_free_the_arm() {
    let folder = own_folder("short");
    for (vehicle, nose_down, arm, stack, rise) in [
        (
            "hatchback",
            "0 deg",
            r#"at: ["-0.20 m", "0.30 m"], thickness: "90 mm", gap_needed: "95 mm""#,
            r#"at: ["-0.95 m", "0 m"], layers: 2"#,
            "40 mm",
        ),
        (
            "suv",
            "20 deg",
            r#"at: ["-0.20 m", "0.40 m"], thickness: "165 mm", gap_needed: "165 mm""#,
            r#"at: ["-1.45 m", "0 m"], layers: 5"#,
            "40 mm",
        ),
        (
            "pickup",
            "20 deg",
            // The load cover goes in by far more than the pickup rises, and the wedge slips
            // along it: the lift asks for no more than its seat has room for.
            r#"at: ["-0.10 m", "0.30 m"], thickness: "140 mm", gap_needed: "142 mm""#,
            r#"at: ["-1.30 m", "0 m"], layers: 8"#,
            "30 mm",
        ),
    ] {
        let text = format!(
            r#"(
    name: "Short", teaches: "One bag under the tail.", vehicle: "{vehicle}",
    nose_down: "{nose_down}",
    casualty: [(name: "arm", {arm})],
    stacks: [(name: "tail", {stack})],
    bags: [(name: "bag", on: "tail", size: ["510 mm", "510 mm"])],
    wedges: [(name: "fitted", on: "bag", size: ["350 mm", "350 mm"])],
    orders: [(raise: "bag", opening: "60 %", until: (rise: "{rise}")), (lock_out: "bag")],
)"#
        );
        let path = folder.join(format!("{vehicle}.ron"));
        std::fs::write(&path, text).unwrap();
        let scene = Arc::new(good(path.to_str().unwrap()).scene);
        let debrief = play(scene, UnitSystem::Si, FrameRetention::None, &mut |_, _| ());
        assert_eq!(debrief.outcome, Outcome::Lifted, "{vehicle}\n{}", debrief.text());
    }
}

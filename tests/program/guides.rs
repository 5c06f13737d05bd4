//! What README.md and DEVELOPERS.md say is so: the scene in the README loads and frees,
//! and every file they name is there. `tests/lifts/readme.rs` plays its changed lifts.

use inchwise::debrief::{FrameRetention, play};
use inchwise::scene::{Cause, Outcome, load};
use inchwise::units::UnitSystem;
use std::path::{Path, PathBuf};
use std::sync::Arc;

const README: &str = include_str!("../../README.md");
const DEVELOPERS: &str = include_str!("../../DEVELOPERS.md");

/// A file of this test's own, among what is built.
fn own_file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("readme-{name}"))
}

/// The lines of each code block in a language.
fn blocks(text: &str, language: &str) -> Vec<String> {
    let fence = format!("```{language}\n");
    text.split(&fence).skip(1).filter_map(|rest| Some(rest.split_once("```")?.0.into())).collect()
}

#[test]
fn the_scene_in_ten_lines_is_ten_lines_and_frees_the_casualty() {
    let scenes = blocks(README, "ron");
    let [text] = scenes.as_slice() else { panic!("README.md has one scene, not {}", scenes.len()) };
    assert_eq!(text.lines().count(), 10);
    let path = own_file("quick.ron");
    std::fs::write(&path, text).unwrap();
    let loaded = load(path.to_str().unwrap(), &[]);
    let scene = match loaded {
        Ok(loaded) => Arc::new(loaded.scene),
        Err(problems) => panic!("{problems:#?}"),
    };
    let debrief = play(scene, UnitSystem::Si, FrameRetention::None, &mut |_, _| ());
    assert_eq!(debrief.outcome, Outcome::Lifted, "{}", debrief.text());
    assert!(debrief.records.iter().all(|s| s.refused.is_none()), "{}", debrief.text());
}

/// What is looked out for is listed whole.
#[test]
fn the_readme_lists_every_failure_that_is_watched_for() {
    let mut lines = README.lines().filter(|line| line.starts_with("The program watches for"));
    let line = lines.next().expect("a list of failures");
    let missing: Vec<&str> = Cause::WORDS
        .iter()
        .map(|(word, _)| *word)
        .filter(|word| !line.contains(&format!("`{word}`")))
        .collect();
    assert!(missing.is_empty(), "README.md leaves out {missing:?}");
}

/// Every path that a guide names in backquotes or links to is there.
#[test]
fn every_file_that_the_guides_name_is_there() {
    const FOLDERS: &[&str] = &["src/", "tests/", "scenes/", "docs/", "assets/", ".ci/"];
    let mut named = 0;
    for text in [README, DEVELOPERS] {
        // Code blocks hold what a reader is to write, not what is there.
        let prose = text.split("```").step_by(2).collect::<String>();
        let quoted = prose.split('`').skip(1).step_by(2).map(str::to_owned);
        let linked = prose
            .split("](")
            .skip(1)
            .filter_map(|rest| Some(rest.split_once(')')?.0.to_owned()))
            .filter(|link| !link.starts_with('#') && !link.contains("://"));
        let paths = quoted.filter(|q| FOLDERS.iter().any(|f| q.starts_with(f))).chain(linked);
        for path in paths.filter(|path| !path.contains(['*', ' ', '<'])) {
            // A file that README tells the reader to write.
            if path == "scenes/quick.ron" {
                continue;
            }
            let there = Path::new(env!("CARGO_MANIFEST_DIR")).join(&path).exists();
            assert!(there, "a guide names {path}, which is not there");
            named += 1;
        }
    }
    assert!(named > 20, "only {named} paths were found: is the search blind?");
}

/// Each lesson, task and class that the course names is shipped and stands in its column; each
/// pair is one of twins; each task and class has its step; each step has something to do.
#[test]
fn the_course_goes_by_what_is_shipped() {
    let course = include_str!("../../docs/COURSE.md");
    let rows = course.lines().filter(|line| line.starts_with("| ") && line.contains(". "));
    let names =
        |cell: &str| cell.split('`').skip(1).step_by(2).map(str::to_owned).collect::<Vec<String>>();
    let (mut tasks, mut classes, mut steps) = (Vec::new(), Vec::new(), 0);
    for row in rows {
        let cells: Vec<&str> = row.split('|').map(str::trim).collect();
        let &[_, step, lessons, of_step, class, by_hand, _] = cells.as_slice() else {
            panic!("five columns: {row}")
        };
        steps += 1;
        assert!(!lessons.is_empty() || !by_hand.is_empty(), "{step}");
        for pair in names(lessons).chunks(2) {
            let scenes = [0, 1].map(|i| load(&pair[i], &[]).ok().map(|loaded| loaded.scene));
            let [Some(one), Some(other)] = scenes else { panic!("{step}: {pair:?}") };
            let twin = |of: &inchwise::scene::Scene| of.lesson.twin.clone().unwrap_or_default();
            assert!(twin(&one) == pair[1] || twin(&other) == pair[0], "{step}: {pair:?}");
        }
        tasks.extend(names(of_step));
        classes.extend(names(class));
    }
    assert_eq!(steps, 14);
    for (named, shelf) in
        [(tasks, inchwise::task::FILES.shelf()), (classes, inchwise::class::FILES.shelf())]
    {
        let shipped: Vec<String> = shelf.iter().map(inchwise::scene::Source::name).collect();
        for name in &named {
            assert!(shipped.contains(name), "{name}");
        }
        for name in shipped {
            assert!(named.contains(&name), "{name} has no step");
        }
    }
}

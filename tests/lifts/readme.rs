//! The changed lifts in README.md end as it says. Each is played once, by the program itself;
//! other tests that look at how one of them ends take it from here.

use inchwise::scene::tree::Node;
use inchwise::scene::tree_of;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

const README: &str = include_str!("../../README.md");

/// A file of this test's own, among what is built.
fn own_file(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("readme-{name}"))
}

/// The README's commands with the ending that the line above each of them tells.
fn commands() -> Vec<(String, String)> {
    let lines: Vec<&str> = README.lines().collect();
    lines
        .windows(2)
        .filter_map(|pair| {
            let command = pair[1].strip_prefix("cargo run --release -- ")?;
            let (_, ending) = pair[0].split_once("Ends: ")?;
            Some((command.to_owned(), ending.to_owned()))
        })
        .collect()
}

/// A command of the README that was carried out.
struct Ended {
    command: String,
    /// What the README says of it.
    ending: String,
    code: Option<i32>,
    report: Value,
}

/// Played by the program itself through a shell, as a reader would.
static ENDED: LazyLock<Vec<Ended>> = LazyLock::new(|| {
    let played = |(i, (command, ending)): (usize, (String, String))| {
        let json = own_file(&format!("{i}.json"));
        // Nothing of an earlier run may be read in its place.
        let _ = std::fs::remove_file(&json);
        let line = format!(
            "\"{}\" {command} --quiet --json \"{}\"",
            env!("CARGO_BIN_EXE_inchwise"),
            json.display()
        );
        let status = Command::new("sh")
            .args(["-c", &line])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .status()
            .unwrap();
        let text = std::fs::read_to_string(&json).unwrap();
        let report = serde_json::from_str(&text).unwrap();
        Ended { command, ending, code: status.code(), report }
    };
    std::thread::scope(|scope| {
        let all: Vec<_> = commands()
            .into_iter()
            .enumerate()
            .map(|one| scope.spawn(move || played(one)))
            .collect();
        all.into_iter().map(|one| one.join().expect("it is played")).collect()
    })
});

#[test]
fn each_changed_lift_ends_as_the_readme_says() {
    assert_eq!(ENDED.len(), 6, "{:?}", commands());
    for Ended { command, ending, code, report } in ENDED.iter() {
        let (expected, found) = match ending.as_str() {
            "lifted" => (0, &report["outcome"]),
            "incomplete" => (3, &report["outcome"]),
            _ => (3, &report["cause"]),
        };
        assert_eq!(found, ending, "{command}");
        assert_eq!(*code, Some(expected), "{command}");
    }
}

/// The tree of a shipped scene with some changes.
fn tree(name: &str, changes: &[&str]) -> Node {
    let changes: Vec<String> = changes.iter().map(|change| (*change).to_owned()).collect();
    tree_of(name, &changes).unwrap_or_else(|problems| panic!("{changes:?}: {problems:?}"))
}

/// The report of the README's lift that is the beam lift with some changes.
pub fn of_the_readme(changes: &[&str]) -> &'static Value {
    let wanted = tree("beam-lift", changes);
    let is_it = |ended: &&Ended| {
        let mut words = ended.command.split(" --change ");
        let scene = words.next().and_then(|run| run.strip_prefix("run ")).unwrap_or_default();
        let own: Vec<&str> = words.map(|word| word.trim_matches('\'')).collect();
        tree(scene, &own) == wanted
    };
    let ended = ENDED.iter().find(is_it);
    &ended.unwrap_or_else(|| panic!("README.md has no lift with {changes:?}")).report
}

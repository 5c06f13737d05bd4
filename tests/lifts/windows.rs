//! The program for Windows plays every lesson to the end that it has here.

use crate::played::played;
use crate::typed::scratch;
use inchwise::parallel::{ThreadsError, cores, each};
use inchwise::scene::builtin_names;
use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// The debrief of a shipped lesson, as the program for Windows writes it.
fn on_windows(program: &str, name: &str, folder: &Path) -> Value {
    let json = folder.join(format!("{name}.json"));
    let run = Command::new(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/windows/wine"))
        .args([program, "run", name, "--quiet", "--json"])
        .arg(&json)
        // No folder `scenes` lies here: the shipped ones are played.
        .current_dir(folder)
        .output()
        .expect("wine starts");
    let report = std::fs::read_to_string(&json)
        .unwrap_or_else(|why| panic!("{name}: {why}\n{}", String::from_utf8_lossy(&run.stderr)));
    serde_json::from_str(&report).expect("JSON")
}

/// The maths library differs there, so the last bits do too; endings must not.
#[test]
#[ignore = "wants the program for Windows (its path in INCHWISE_WINDOWS) and wine: 5 minutes"]
fn every_lesson_ends_on_windows_as_here() {
    let program = std::env::var("INCHWISE_WINDOWS").expect("the path of the Windows program");
    let program = std::fs::canonicalize(program).expect("the program is there");
    let program = program.to_str().expect("a plain path");
    let folder = scratch();
    let compare = |name: &String| {
        let here: Value =
            serde_json::from_str(&played(name, &[]).json().expect("JSON")).expect("JSON");
        let there = on_windows(program, name, folder.path());
        let ending = |report: &Value| {
            let findings = report["findings"].as_array().into_iter().flatten();
            let kinds: Vec<&str> = findings.filter_map(|f| f["kind"].as_str()).collect();
            format!("{} {} {kinds:?}", report["outcome"], report["cause"])
        };
        let same_end = here["outcome"] == there["outcome"] && here["cause"] == there["cause"];
        (
            same_end,
            here["state_hash"] == there["state_hash"],
            format!("{name}: here {}, on Windows {}", ending(&here), ending(&there)),
        )
    };
    let names = builtin_names();
    let compared = each(&names, cores(), compare, &mut |(same_end, same_bits, words)| {
        println!("{} {} {words}", if *same_end { "ok  " } else { "FAIL" }, u8::from(*same_bits));
        Ok::<(), ThreadsError>(())
    })
    .expect("threads");
    let bits = compared.iter().filter(|(_, same_bits, _)| *same_bits).count();
    println!("{bits} of {} lessons end in the same bits", names.len());
    let other: Vec<_> =
        compared.iter().filter(|(same_end, ..)| !same_end).map(|(.., words)| words).collect();
    assert!(other.is_empty(), "{other:#?}");
}

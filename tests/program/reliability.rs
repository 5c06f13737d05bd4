//! The long run of what [`crate::fuzz`] and [`crate::machine`] do in short, and the page that
//! says what came of it.
//!
//! `INCHWISE_INPUTS` is how many inputs of each kind that is only read, `INCHWISE_FIRST` the
//! number of the first, so that a later run may go on where one ended.

use crate::fuzz::{Stock, TARGETS};
use std::fmt::Write;
use std::path::Path;
use std::time::Instant;

const HEAD: &str = "\
# How it bears abuse

Written by the command that measured it; a part of it runs with every test (`tests/program/fuzz`, \
`tests/program/machine.rs`).

    cargo test --release --no-default-features --test program -- --ignored --nocapture reliability

An input is made from its number alone.
It is a shipped scene with changed values, fields and items, by the table of fields, or a file with \
a few changed bytes.
A finding is a panic, an end by a signal, more than ten seconds twice, or a problem reported badly \
or not at all.
It is also a state that is not finite, a file that was only read and changed, or a file that is \
torn.
What was found once is kept in `tests/corpus`, and `tests/program/abuse.rs` holds what a review by \
hand found.

";

fn from_environment(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

#[test]
#[ignore = "takes hours; writes docs/RELIABILITY.md"]
fn reliability() {
    let inputs = from_environment("INCHWISE_INPUTS", 100_000);
    let first = from_environment("INCHWISE_FIRST", 0);
    let kills = from_environment("INCHWISE_KILLS", 200);
    let mut page = HEAD.to_owned();
    page += "| what | inputs | by number | in order, the others refused | findings | s |\n";
    page += "|---|---|---|---|---|---|\n";
    let mut found = Vec::new();
    let stock = Stock::new();
    for target in TARGETS {
        let begun = Instant::now();
        let count = ((inputs as f64 * target.share) as u64).max(1);
        let tried = stock.tried(target, first..first + count, inchwise::parallel::cores());
        let _ = writeln!(
            page,
            "| {} | {} | {first} to {} | {} | {} | {:.0} |",
            target.what,
            tried.inputs,
            first + count - 1,
            tried.good,
            tried.findings.len(),
            begun.elapsed().as_secs_f64()
        );
        println!("{}: {} of {count} findings", target.name, tried.findings.len());
        found.extend(
            tried.findings.iter().map(|(n, why)| format!("{} {n}: {why:.300}", target.name)),
        );
    }
    #[cfg(target_os = "linux")]
    {
        let windows = kills / 4;
        let mut lost = crate::machine::killed(kills - windows);
        lost.extend(crate::machine::writer_killed(windows));
        let _ = writeln!(
            page,
            "\nEnded at a moment anywhere in their time: {} commands that write (`run`, `sheet`, \
             `sweep`, `shelf`).\nThe same was done {windows} times to a window's writing \
             (settings, an unsaved set-up, a scene).\nEach file was as before or whole, and a \
             second run wrote the same bytes, but for {} of them.",
            kills - windows,
            lost.len()
        );
        found.extend(lost);
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/RELIABILITY.md");
    std::fs::write(path, page).unwrap();
    println!("{}", found.join("\n"));
    assert!(found.is_empty(), "{} findings", found.len());
}

//! The long run of what [`crate::fuzz`], [`crate::machine`] and [`crate::soak`] do in short, and
//! the page that says what came of it.
//!
//! What was measured is noted part by part in `tests/reference/reliability.json`, from which the
//! page is written, so that the parts can be measured one after the other:
//! `INCHWISE_ONLY` names those to measure, with commas between; all where it is not set.
//! `INCHWISE_INPUTS` is how many inputs of each kind that is only read, `INCHWISE_SETUPS` how many
//! random set-ups, `INCHWISE_KILLS` how many ends by force, `INCHWISE_FIRST` the number of the
//! first input or set-up.

use crate::common::root;
use crate::fuzz::{AT_MOST, QUIET_AT_MOST, Stock, TARGETS};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::ops::Range;
use std::path::PathBuf;
use std::time::Instant;

const HEAD: &str = "\
# How it bears abuse

Written from what the command measured; a part of it runs with every test (`tests/program/fuzz`, \
`tests/program/machine.rs`, `tests/program/soak.rs`).

    cargo test --release --no-default-features --test program -- --ignored --nocapture reliability

## Inputs that are changed

An input is made from its number alone.
It is a shipped scene with changed values, fields and items, by the table of fields, or a file with \
a few changed bytes.
A finding is a panic, an end by a signal, or a problem reported badly or not at all.
So is more than ten seconds twice; sixty for a command line, which may play a whole lift.
It is also a state that is not finite, a file that was only read and changed, or a file that is \
torn.
What was found once is kept in `tests/corpus`, and `tests/program/abuse.rs` holds what a review by \
hand found.

";

const SET_UPS: &str = "
## Random legal set-ups

A set-up is built from its number alone, as a hand builds one.
A vehicle lies on some ground; things are brought, moved and changed one by one, and orders are \
given at random.
An edit that breaks a rule is undone, so that `check` finds each in order.
Each is lifted for up to 40 s, and three laws are held at every tenth of a second.

- No state is broken.
- What holds the vehicle up sums to its weight and what accelerates it, within 1 % as a mean over \
that tenth.
  That is held while nothing has gone wrong and nothing moves faster than 0.1 m/s.
  Where something does, the engine's loads are those of the last part of a blow, and the worst is \
told only.
- No energy comes from nowhere.
  Height, motion and what was lost are at most 3 % more than the start and the work of the air and \
the crew.
  The share is of the energy turned over.

Losses are in sheet metal, limbs, straps, contacts, and the walls and damping of bags.
One that breaks a law is kept in `tests/corpus/set_ups`, and played with every test once it is \
corrected.
Known and not corrected yet: the numbers 306, 320, 362, 379 and 407 break one.
In 379 a capture is laid where a strut has come down.

";

/// What was measured of one kind of input.
#[derive(Clone, Default, Deserialize, Serialize)]
struct Inputs {
    first: u64,
    count: u64,
    good: u64,
    findings: u64,
    seconds: f64,
}

/// What was measured of random set-ups.
#[derive(Clone, Default, Deserialize, Serialize)]
struct SetUps {
    first: u64,
    count: u64,
    refused: u64,
    simulated_s: f64,
    causes: BTreeMap<String, u64>,
    loads_off: f64,
    loads_off_later: f64,
    energy_over: f64,
    findings: u64,
    seconds: f64,
}

/// What was measured of ends by force.
#[derive(Clone, Default, Deserialize, Serialize)]
struct Kills {
    commands: u64,
    windows: u64,
    lost: u64,
}

/// All that the page tells.
#[derive(Clone, Default, Deserialize, Serialize)]
struct Measured {
    inputs: BTreeMap<String, Inputs>,
    set_ups: SetUps,
    kills: Kills,
    /// The most memory held by half an hour of lift and by an hour, bytes, once measured.
    hour_bytes: Option<[u64; 2]>,
}

impl Measured {
    fn path() -> PathBuf {
        root().join("tests/reference/reliability.json")
    }

    fn read() -> Self {
        let text = std::fs::read_to_string(Self::path()).expect("the measured figures are there");
        serde_json::from_str(&text).expect("they read")
    }

    fn write(&self) {
        let text = serde_json::to_string_pretty(self).expect("figures");
        std::fs::write(Self::path(), text + "\n").expect("the folder is there");
        std::fs::write(root().join(PAGE), self.page()).expect("the folder is there");
    }

    fn page(&self) -> String {
        let mut page = HEAD.to_owned();
        page += "| what | inputs | by number | in order, the others refused | findings | s |\n";
        page += "|---|---|---|---|---|---|\n";
        for target in TARGETS {
            let Some(of) = self.inputs.get(target.name) else { continue };
            let _ = writeln!(
                page,
                "| {} | {} | {} to {} | {} | {} | {:.0} |",
                target.what,
                of.count,
                of.first,
                of.first + of.count - 1,
                of.good,
                of.findings,
                of.seconds
            );
        }
        page += SET_UPS;
        let of = &self.set_ups;
        page += "| what | measured |\n|---|---|\n";
        let mut row = |what: &str, measured: String| {
            let _ = writeln!(page, "| {what} | {measured} |");
        };
        row(
            "set-ups, by number",
            format!("{}, {} to {}", of.count, of.first, of.first + of.count - 1),
        );
        row("refused, as parts overlap or the vehicle does not lie still", of.refused.to_string());
        row("played", format!("{:.1} h, in {:.0} s", of.simulated_s / 3600.0, of.seconds));
        row("set-ups that break a law", of.findings.to_string());
        row("worst sum of the loads", format!("{:.2} % of the weight", 100.0 * of.loads_off));
        row(
            "... of a moment that is not held to the bar",
            format!("{:.0} % of the weight", 100.0 * of.loads_off_later),
        );
        row("worst balance of energy", format!("{:.2} % too much", 100.0 * of.energy_over));
        for (cause, count) in &of.causes {
            row(&format!("set-ups with a finding `{cause}`"), count.to_string());
        }
        let Kills { commands, windows, lost } = self.kills;
        let _ = write!(
            page,
            "\n## Ended by force\n\nEnded at a moment anywhere in their time: {commands} commands \
             that write (`run`, `sheet`, `sweep`, `shelf`, `class`, `attempts`).\nThe same was \
             done {windows} times to a window's writing (settings, an unsaved set-up, a \
             scene).\nEach file was as before or whole, and a second run wrote the same bytes, \
             but for {lost} of them.\n"
        );
        if let Some([half, end]) = self.hour_bytes.map(|of| of.map(|bytes| bytes as f64 / 1e6)) {
            let _ = write!(
                page,
                "\n## An hour of lift\n\nThe beam was raised and let down for an hour of one lift, \
                 with its whole history kept.\nThe most memory held was {half:.0} MB by half an \
                 hour and {end:.0} MB by the end.\n"
            );
        }
        page
    }
}

const PAGE: &str = "docs/RELIABILITY.md";

fn from_environment(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

fn inputs(measured: &mut Measured, chosen: &dyn Fn(&str) -> bool, found: &mut Vec<String>) {
    let count = from_environment("INCHWISE_INPUTS", 100_000);
    let first = from_environment("INCHWISE_FIRST", 0);
    let stock = Stock::new();
    for target in TARGETS.iter().filter(|target| chosen(target.name)) {
        let begun = Instant::now();
        let count = ((count as f64 * target.share) as u64).max(1);
        let numbers = first..first + count;
        // Some command lines play a whole lift.
        let at_most = if target.name == "line" { AT_MOST } else { QUIET_AT_MOST };
        let tried = stock.tried(target, numbers, inchwise::parallel::cores(), at_most);
        let of = Inputs {
            first,
            count: tried.inputs,
            good: tried.good,
            findings: tried.findings.len() as u64,
            seconds: begun.elapsed().as_secs_f64(),
        };
        println!("{}: {} of {} findings, {:.0} s", target.name, of.findings, of.count, of.seconds);
        measured.inputs.insert(target.name.to_owned(), of);
        found.extend(
            tried.findings.iter().map(|(n, why)| format!("{} {n}: {why:.300}", target.name)),
        );
    }
}

fn set_ups(measured: &mut Measured, numbers: Range<u64>, found: &mut Vec<String>) {
    let begun = Instant::now();
    let sum = crate::soak::tried(numbers.clone(), inchwise::parallel::cores());
    found.extend(sum.findings.iter().map(|(n, why)| format!("set-up {n}: {why}")));
    measured.set_ups = SetUps {
        first: numbers.start,
        count: numbers.end - numbers.start,
        refused: sum.refused,
        simulated_s: sum.simulated_s,
        causes: sum.causes,
        loads_off: sum.loads_off,
        loads_off_later: sum.loads_off_later,
        energy_over: sum.energy_over,
        findings: sum.findings.len() as u64,
        seconds: begun.elapsed().as_secs_f64(),
    };
}

#[test]
#[ignore = "takes hours; writes docs/RELIABILITY.md"]
fn reliability() {
    let only = std::env::var("INCHWISE_ONLY").ok();
    let chosen = |name: &str| only.as_ref().is_none_or(|only| only.split(',').any(|o| o == name));
    let mut measured = Measured::read();
    let mut found = Vec::new();
    inputs(&mut measured, &chosen, &mut found);
    if chosen("set_ups") {
        let first = from_environment("INCHWISE_FIRST", 0);
        let count = from_environment("INCHWISE_SETUPS", 500);
        set_ups(&mut measured, first..first + count, &mut found);
    }
    #[cfg(target_os = "linux")]
    {
        if chosen("kills") {
            let kills = from_environment("INCHWISE_KILLS", 200);
            let windows = kills / 4;
            let mut lost = crate::machine::killed(kills - windows);
            lost.extend(crate::machine::writer_killed(windows));
            measured.kills = Kills { commands: kills - windows, windows, lost: lost.len() as u64 };
            found.extend(lost);
        }
        if chosen("hour") {
            let [half, end] = crate::soak::hour();
            measured.hour_bytes = Some([half, end]);
            if end as f64 > 1.05 * half as f64 {
                found.push(format!("an hour of lift: {half} bytes, then {end}"));
            }
        }
    }
    measured.write();
    println!("{}", found.join("\n"));
    assert!(found.is_empty(), "{} findings", found.len());
}

/// The page tells what was measured, of every kind of input.
#[test]
fn the_page_is_as_measured() {
    let measured = Measured::read();
    let page = std::fs::read_to_string(root().join(PAGE)).expect("the page is there");
    assert!(page == measured.page(), "{PAGE} is not what was measured: run `reliability`");
    for target in TARGETS {
        let of = measured.inputs.get(target.name).unwrap_or_else(|| panic!("no {}", target.name));
        assert!(of.count > 0 && of.findings == 0, "{}: {} findings", target.name, of.findings);
    }
    assert!(measured.set_ups.count >= 100 && measured.kills.lost == 0);
}

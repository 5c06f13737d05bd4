//! Law protected: whatever the machine does, a file of a user's is there as it was or whole as
//! it should be: no room left, a folder that goes or takes nothing, an end at any moment, two
//! programs on one file, a clock set back, too little memory.

use crate::typed::{said, scratch};
use inchwise::draft::{Draft, keep};
use inchwise::scene;
use inchwise::session::SettingsFile;
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant, SystemTime};

const SHORT: &str = include_str!("../common/short.ron");
const OLD: &str = "what stood there before";
const PROGRAM: &str = env!("CARGO_BIN_EXE_inchwise");

/// Every command that writes files, and those files.
const WRITERS: &[(&str, &[&str])] = &[
    ("run short.ron --quiet --csv a.csv --html a.html", &["a.csv", "a.html"]),
    ("sheet short.ron --csv b.csv --html b.html", &["b.csv", "b.html"]),
    (
        "sweep short.ron --quiet --threads 2 --vary stacks.tail.layers=7,8,24 --csv c.csv \
         --json c.json --map c.svg",
        &["c.csv", "c.json", "c.svg"],
    ),
    ("shelf --page d.md --threads 2", &["d.md"]),
    ("class class.ron --html e.html", &["e.html"]),
    ("attempts --log attempts.jsonl --html f.html --csv f.csv", &["f.html", "f.csv"]),
];

/// A log with one attempt.
const LOG: &str = "{\"at_s\":0,\"seat\":1,\"task\":\"x\",\"title\":\"x\",\"scene\":\"x\",\"changes\":[],\
                   \"hints\":0,\"took_s\":1.0,\"came\":{\"stopped\":{\"why\":\"wait\"}}}\n";

/// A class on the short lift.
const CLASS: &str = "(name: \"Short\", about: \"x\", steps: [(show: \"short\"), (ask: \"How?\", \
                     from: \"ending\"), (reveal: \"x\")])";

fn shell(script: &str, folder: &Path) -> Output {
    Command::new("sh").args(["-c", script, PROGRAM]).current_dir(folder).output().unwrap()
}

/// A folder with the short lift, also as its own shelf, and old files where new ones go.
fn fill(folder: &Path) {
    fs::create_dir_all(folder.join("scenes")).unwrap();
    fs::write(folder.join("short.ron"), SHORT).unwrap();
    fs::write(folder.join("class.ron"), CLASS).unwrap();
    fs::write(folder.join("attempts.jsonl"), LOG).unwrap();
    fs::write(folder.join("scenes/short.ron"), SHORT).unwrap();
    for file in WRITERS.iter().flat_map(|(_, files)| *files) {
        fs::write(folder.join(file), OLD).unwrap();
    }
}

fn begin(line: &str, folder: &Path) -> Child {
    Command::new(PROGRAM)
        .args(line.split_whitespace())
        .current_dir(folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// The files of a folder by name.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let plain = entries.filter(|path| path.is_file());
    plain
        .map(|path| (path.file_name().unwrap().to_string_lossy().into(), fs::read(&path).unwrap()))
        .collect()
}

/// What a writer writes that nothing disturbs, and how long it takes.
fn undisturbed(line: &str) -> (BTreeMap<String, Vec<u8>>, Duration) {
    let folder = scratch();
    fill(folder.path());
    let begun = Instant::now();
    let code = begin(line, folder.path()).wait().unwrap().code();
    assert!(matches!(code, Some(0 | 3)), "{line}: {code:?}");
    (files(folder.path()), begun.elapsed())
}

/// Lines that tell how long something took differ from run to run.
fn steady(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes).into_owned();
    let timed = |line: &&str| !line.contains("real time");
    text.lines().filter(timed).collect::<Vec<_>>().join("\n")
}

/// No file may grow beyond half a kilobyte, as on a disk that is full: each old file stays, nothing is
/// left beside it, and the exit code tells.
#[test]
fn a_full_disk_costs_no_file() {
    for (line, outputs) in WRITERS {
        let folder = scratch();
        fill(folder.path());
        let before = files(folder.path());
        let out = shell(&format!("trap '' XFSZ; ulimit -f 1; exec \"$0\" {line}"), folder.path());
        assert_eq!(out.status.code(), Some(1), "{line}: {:.500}", said(&out));
        assert!(said(&out).contains("cannot be written"), "{line}: {:.500}", said(&out));
        let after = files(folder.path());
        for (name, bytes) in &before {
            // One that fits is written.
            let whole = after[name] == *bytes || !outputs.contains(&name.as_str());
            assert!(whole || after[name].len() <= 1024, "{line}: {name}");
        }
        let left: Vec<&String> = after.keys().filter(|name| !before.contains_key(*name)).collect();
        let journal = |name: &&String| name.ends_with(".journal");
        assert!(left.iter().all(journal), "{line} leaves {left:?}");
    }
}

/// That a folder takes no file is told before anything is played.
#[test]
fn a_folder_that_takes_no_file_is_told_at_once() {
    let folder = scratch();
    fill(folder.path());
    for line in [
        "run short.ron --csv /proc/a.csv",
        "sheet short.ron --html /proc/a.html",
        "sweep short.ron --vary stacks.tail.layers=7,8 --csv /proc/a.csv",
        "shelf --page /proc/a.md",
        "run short.ron --csv gone/a.csv",
        "run short.ron --csv short.ron/a.csv",
    ] {
        let out = shell(&format!("exec \"$0\" {line}"), folder.path());
        assert_eq!(out.status.code(), Some(1), "{line}: {:.500}", said(&out));
        assert!(said(&out).contains("cannot be written"), "{line}: {:.500}", said(&out));
        let played = String::from_utf8_lossy(&out.stdout).contains("LIFTED");
        assert!(!played, "{line}: it is told before the lift");
    }
}

/// The folder of the outputs goes while the lift is played.
#[test]
fn a_folder_that_goes_is_told() {
    for line in [
        "run ../short.ron --quiet --csv a.csv",
        "sweep ../short.ron --quiet --vary stacks.tail.layers=7,8 --csv a.csv",
    ] {
        let folder = scratch();
        fill(folder.path());
        let gone = folder.path().join("gone");
        fs::create_dir(&gone).unwrap();
        let mut child = Command::new(PROGRAM)
            .args(line.split_whitespace())
            .current_dir(&gone)
            .stdin(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(100));
        fs::remove_dir_all(&gone).unwrap();
        let out = child.wait().unwrap();
        assert!(matches!(out.code(), Some(1 | 2)), "{line}: {out:?}");
    }
}

/// A number that looks random and is the same in each run.
fn scattered(number: u64) -> f64 {
    let mixed = (number + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    (mixed >> 40) as f64 / (1_u64 << 24) as f64
}

/// Ends commands at moments over all of their time, and begins them again: what was lost.
pub fn killed(times: u64) -> Vec<String> {
    let mut lost = Vec::new();
    for (of, (line, outputs)) in WRITERS.iter().enumerate() {
        let (whole, taken) = undisturbed(line);
        for number in (0..times).filter(|number| *number as usize % WRITERS.len() == of) {
            let folder = scratch();
            fill(folder.path());
            let mut child = begin(line, folder.path());
            std::thread::sleep(taken.mul_f64(1.1 * scattered(number)));
            let _ = child.kill();
            let _ = child.wait();
            let after = files(folder.path());
            for (name, old) in
                [("short.ron", SHORT)].into_iter().chain(outputs.iter().map(|n| (*n, OLD)))
            {
                let now = after.get(name).map(|bytes| steady(bytes));
                let whole = whole.get(name).map(|bytes| steady(bytes));
                if now.as_deref() != Some(steady(old.as_bytes()).as_str()) && now != whole {
                    lost.push(format!("{number}: {line}: {name} is torn"));
                }
            }
            let code = begin(line, folder.path()).wait().unwrap().code();
            let again = files(folder.path());
            for name in *outputs {
                if steady(&again[*name]) != steady(&whole[*name]) {
                    lost.push(format!("{number}: {line}: {name} differs afterwards ({code:?})"));
                }
            }
        }
    }
    lost
}

#[test]
fn an_end_at_any_moment_loses_nothing() {
    assert_eq!(killed(10), Vec::<String>::new());
}

/// Writes settings and an unsaved set-up again and again until it is ended: for the test below,
/// which runs it as a process of its own.
#[test]
#[ignore = "goes on until it is ended"]
fn writer() {
    let Ok(folder) = std::env::var("INCHWISE_WRITER") else { return };
    let folder = Path::new(&folder);
    let doc = scene::tree_of("beam-lift", &[]).unwrap();
    let (mut settings, _) = SettingsFile::read(&folder.join("settings.ron"));
    let place = keep::Autosave::resume(&folder.join("unsaved-1.ron"));
    let draft = Draft::new(doc).unwrap().unsaved();
    loop {
        settings.now.dark ^= true;
        assert_eq!(settings.keep(), None);
        place.update(&draft).unwrap();
        let mut own = Draft::new(draft.doc().clone()).unwrap();
        own.save(&folder.join("own.ron"), "My own").unwrap();
    }
}

/// As the window writes them: settings, an unsaved set-up and a scene, ended at any moment.
pub fn writer_killed(times: u64) -> Vec<String> {
    let mut lost = Vec::new();
    let folder = scratch();
    let [settings, unsaved, own] =
        ["settings.ron", "unsaved-1.ron", "own.ron"].map(|name| folder.path().join(name));
    for number in 0..times {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "machine::writer", "--ignored"])
            .env("INCHWISE_WRITER", folder.path())
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        let begun = Instant::now();
        while !own.exists() && begun.elapsed() < Duration::from_secs(20) {
            std::thread::sleep(Duration::from_millis(2));
        }
        std::thread::sleep(Duration::from_secs_f64(0.05 * scattered(number)));
        let ended = child.try_wait().unwrap();
        let _ = child.kill();
        let _ = child.wait();
        let (_, trouble) = SettingsFile::read(&settings);
        lost.extend(ended.map(|code| format!("{number}: the writer ended by itself: {code}")));
        lost.extend(trouble.map(|why| format!("{number}: {why}")));
        lost.extend(keep::first_damaged(folder.path()).map(|why| format!("{number}: {why}")));
        for path in [&unsaved, &own] {
            if scene::load(path.to_str().unwrap(), &[]).is_err() {
                lost.push(format!("{number}: {} is torn", path.display()));
            }
        }
    }
    lost
}

#[test]
fn what_the_window_writes_survives_an_end_at_any_moment() {
    assert_eq!(writer_killed(4), Vec::<String>::new());
}

/// Of two programs that write one file, one has the last word, and all of it is there.
#[test]
fn two_programs_on_one_file_leave_a_whole_one() {
    let (line, outputs) = WRITERS[1];
    let (whole, _) = undisturbed(line);
    let folder = scratch();
    fill(folder.path());
    let mut both: Vec<Child> = (0..4).map(|_| begin(line, folder.path())).collect();
    for child in &mut both {
        assert!(matches!(child.wait().unwrap().code(), Some(0 | 3)));
    }
    let after = files(folder.path());
    for name in outputs {
        assert_eq!(steady(&after[*name]), steady(&whole[*name]), "{name}");
    }
    assert_eq!(after.len(), whole.len(), "nothing is left beside: {:?}", after.keys());
}

/// The clock was set back: set-ups of before lie in the future, and the one of now is kept.
#[test]
fn a_clock_that_is_set_back_costs_no_set_up() {
    let folder = scratch();
    let text = SHORT.replace("Short lift", "Kept before");
    for number in 0..keep::MOST {
        let path = folder.path().join(format!("unsaved-{number}.ron"));
        fs::write(&path, &text).unwrap();
        let ahead = SystemTime::now() + Duration::from_secs(86_400 + number as u64);
        File::options().write(true).open(&path).unwrap().set_modified(ahead).unwrap();
    }
    let place = keep::Autosave::new(folder.path(), inchwise::files::now());
    let draft = Draft::new(scene::tree_of("beam-lift", &[]).unwrap()).unwrap().unsaved();
    for _ in 0..3 {
        place.update(&draft).unwrap();
    }
    let listed = keep::list(folder.path(), inchwise::files::now());
    assert_eq!(listed.len(), keep::MOST);
    assert!(listed.iter().any(|kept| kept.name != "Kept before"), "this one is kept");
    assert!(listed.iter().all(|kept| kept.age_s < 600), "no age below zero");
}

/// With too little memory the program may end, and never with half a file.
#[test]
fn too_little_memory_costs_no_file() {
    let (line, outputs) = WRITERS[0];
    let (whole, _) = undisturbed(line);
    for kilobytes in [4_000, 20_000, 40_000, 80_000, 120_000, 160_000, 240_000] {
        let folder = scratch();
        fill(folder.path());
        let out = shell(&format!("ulimit -v {kilobytes}; exec \"$0\" {line}"), folder.path());
        let after = files(folder.path());
        let done = matches!(out.status.code(), Some(0 | 3));
        for name in outputs {
            let now = steady(&after[*name]);
            // A page says where its pictures could not be drawn, and ends all the same.
            let ends = name.ends_with(".html") && now.trim_end().ends_with("</html>");
            let is_whole = ends || now == steady(&whole[*name]);
            assert!(
                is_whole || (!done && now == OLD),
                "{kilobytes} kB: {name}: {:.300}",
                said(&out)
            );
        }
    }
}

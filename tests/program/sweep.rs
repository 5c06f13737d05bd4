//! Sweeps as they are typed: the same bytes whatever the number of threads, in one piece
//! or in parts, and after being killed at any moment.

use crate::typed::{inchwise, said, scratch};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// A lift of a few seconds.
const SHORT: &str = include_str!("../common/short.ron");
const GRID: [&str; 4] =
    ["--vary", "ground.slope=0 deg..16 deg:3", "--vary", "stacks.tail.layers=8,20"];

/// A lift of less than a second on a fifth of the timbers, for sweeps that are played many times.
const BRIEF: &str = r#"(
    name: "Brief lift", teaches: "Nothing but how to sweep.", data: "Invented.",
    vehicle: "hatchback", nose_down: "0 deg",
    casualty: [(name: "arm", at: ["-0.20 m", "0.30 m"], thickness: "90 mm", gap_needed: "91 mm")],
    stacks: [(name: "tail", at: ["-0.95 m", "0 m"], layers: 2)],
    bags: [(name: "bag", on: "tail", size: ["510 mm", "510 mm"])],
    wedges: [(name: "fitted", on: "bag", size: ["350 mm", "350 mm"])],
    orders: [(raise: "bag", until: (rise: "20 mm")), (lock_out: "bag")],
)"#;
const BRIEF_GRID: [&str; 4] =
    ["--vary", "ground.slope=0 deg..16 deg:3", "--vary", "stacks.tail.layers=2,20"];

fn written(folder: &TempDir, name: &str, text: &str) -> String {
    let path = folder.path().join(name);
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

fn short(folder: &TempDir) -> String {
    written(folder, "short.ron", SHORT)
}

fn brief(folder: &TempDir) -> String {
    written(folder, "brief.ron", BRIEF)
}

/// A cell whose lift cannot begin is neither a failure nor a scene that cannot be read: it has
/// a word and a mark of its own, and says why.
#[test]
fn a_cell_that_cannot_begin_is_a_kind_of_its_own() {
    // On stacks a layer lower the beam lies in the roof's rail; a thicker board lifts it out.
    let grid = ["--vary", "beam.pad=19 mm,75 mm"];
    let low = ["--change", "stacks.left.layers=2", "--change", "stacks.right.layers=2"];
    let wait = ["--change", "orders=[(wait: (for: \"0.1 s\"))]"];
    let out = inchwise(&[&["sweep", "beam-lift"], &grid[..], &low[..], &wait[..]].concat());
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    let [_, jammed, played] = text.lines().collect::<Vec<_>>()[..] else { panic!("{text}") };
    assert!(jammed.contains(",0,0,0,0,jammed,,"), "{jammed}");
    assert!(jammed.contains("invalid start: ") && jammed.contains("shim"), "{jammed}");
    assert!(played.contains(",1,0,0,1,incomplete,,"), "{played}");
}

/// The files of a sweep, and its grid.
struct Outputs([PathBuf; 3], [&'static str; 4]);

impl Outputs {
    fn new(folder: &TempDir, name: &str) -> Self {
        Self::over(folder, name, GRID)
    }

    fn over(folder: &TempDir, name: &str, grid: [&'static str; 4]) -> Self {
        let files = ["csv", "json", "svg"].map(|end| folder.path().join(format!("{name}.{end}")));
        Self(files, grid)
    }

    fn journal(&self) -> PathBuf {
        PathBuf::from(format!("{}.journal", self.0[0].display()))
    }

    fn args<'a>(&'a self, scene: &'a str, more: &[&'a str]) -> Vec<&'a str> {
        let [csv, json, map] = self.0.each_ref().map(|p| p.to_str().unwrap());
        let files = ["--csv", csv, "--json", json, "--map", map];
        [&["sweep", scene], &self.1[..], &files, more].concat()
    }

    fn bytes(&self) -> [Vec<u8>; 3] {
        self.0.each_ref().map(|path| std::fs::read(path).expect("the output is there"))
    }
}

fn swept(outputs: &Outputs, scene: &str, more: &[&str]) {
    let out = inchwise(&outputs.args(scene, more));
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    assert!(!outputs.journal().exists(), "the journal is left behind");
}

/// A sweep that is under way and says nothing.
fn begun(outputs: &Outputs, scene: &str, more: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_inchwise"))
        .args(outputs.args(scene, more))
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts")
}

#[test]
fn threads_parts_and_kills_give_the_same_bytes() {
    let folder = scratch();
    let scene = brief(&folder);
    let outputs = |name: &str| Outputs::over(&folder, name, BRIEF_GRID);
    let whole = outputs("whole");
    let began = Instant::now();
    swept(&whole, &scene, &["--threads", "1"]);
    let takes = began.elapsed();
    let expected = whole.bytes();

    // Killed at moments that have nothing to do with its work, and taken up each time.
    let cut = outputs("cut");
    let (mut kills, mut kept) = (0, 0);
    for attempt in 0_u32.. {
        let mut child = begun(&cut, &scene, &["--threads", "2"]);
        // Shares of what it takes in one go, so that a fast machine and a slow one kill it as
        // often, and a little more each time, so that it comes to its end.
        let thousandths = 70 + attempt * 181 % 410 + 18 * attempt;
        std::thread::sleep(takes * thousandths / 1000);
        if let Some(status) = child.try_wait().unwrap() {
            assert_eq!(status.code(), Some(0));
            break;
        }
        child.kill().unwrap();
        child.wait().unwrap();
        kills += 1;
        let lines = std::fs::read_to_string(cut.journal()).map_or(0, |t| t.lines().count());
        kept += usize::from(lines > 1);
    }
    assert!(kills > 0 && kept > 0, "{kills} kills, {kept} of them after a cell was done");
    assert_eq!(cut.bytes(), expected, "after {kills} kills");

    // In two parts, put together again.
    let parts = ["1/2", "2/2"].map(|part| {
        let outputs = outputs(&format!("part-{}", &part[..1]));
        swept(&outputs, &scene, &["--part", part]);
        outputs
    });
    let joined = outputs("joined");
    let [a, b] = parts.each_ref().map(|p| p.0[0].to_str().unwrap());
    swept(&joined, &scene, &["--join", b, a]);
    assert_eq!(joined.bytes(), expected);

    let words = String::from_utf8(expected[0].clone()).unwrap();
    assert!(words.contains("lifted") && words.contains(",slide,"), "{words}");
    // A stack of twenty layers stands in the vehicle: no such scene, and why.
    assert!(words.contains("refused") && words.contains("stacks.tail"), "{words}");

    // What does not belong together is told.
    let missing = inchwise(&joined.args(&scene, &["--join", a]));
    assert!(said(&missing).contains("3 of 6 cells"), "{}", said(&missing));
    let other = inchwise(&joined.args(&scene, &["--change", "friction=90 %", "--join", a, b]));
    assert!(said(&other).contains("not a table of this sweep"), "{}", said(&other));
    assert_eq!((missing.status.code(), other.status.code()), (Some(2), Some(2)));
}

#[test]
fn a_journal_of_another_sweep_is_not_taken_up() {
    let folder = scratch();
    let scene = short(&folder);
    let outputs = Outputs::new(&folder, "journal");
    std::fs::write(outputs.journal(), "[\"inchwise sweep 0000000000000000\"]\n").unwrap();
    let out = inchwise(&outputs.args(&scene, &[]));
    assert_eq!(out.status.code(), Some(1));
    assert!(said(&out).contains("another sweep") && said(&out).contains("remove it"));
    assert!(outputs.journal().exists(), "it is not ours to remove");
}

/// Starts a sweep and kills it once its journal holds this many cells.
fn killed_after(outputs: &Outputs, scene: &str, cells: usize) {
    let mut child = begun(outputs, scene, &["--threads", "1"]);
    while lines(&outputs.journal()) <= cells {
        assert!(child.try_wait().unwrap().is_none(), "the sweep is done already");
        std::thread::sleep(Duration::from_millis(5));
    }
    child.kill().unwrap();
    child.wait().unwrap();
}

fn lines(path: &Path) -> usize {
    std::fs::read_to_string(path).map_or(0, |text| text.lines().count())
}

/// A diary in the journal's place is neither emptied nor taken away.
#[test]
fn a_file_that_is_no_journal_is_left_as_it_is() {
    let folder = scratch();
    let scene = short(&folder);
    let outputs = Outputs::new(&folder, "table");
    std::fs::write(outputs.journal(), "diary\n").unwrap();
    let out = inchwise(&outputs.args(&scene, &[]));
    assert_eq!(out.status.code(), Some(1), "{}", said(&out));
    assert!(said(&out).contains("not the journal of a sweep"), "{}", said(&out));
    assert_eq!(std::fs::read_to_string(outputs.journal()).unwrap(), "diary\n");
    assert!(!outputs.0[0].exists(), "nothing was played");
}

/// Neither the journal's place nor any other file is written twice.
#[test]
fn outputs_that_would_destroy_each_other_are_refused() {
    let folder = scratch();
    let scene = short(&folder);
    let [csv, beside] = ["y.csv", "y.csv.journal"]
        .map(|name| folder.path().join(name).to_str().unwrap().to_owned());
    let map = folder.path().join("y.svg").to_str().unwrap().to_owned();
    for files in [
        vec!["--csv", &csv, "--json", &beside],
        vec!["--csv", &csv, "--json", &csv],
        vec!["--map", &map, "--map", &map],
    ] {
        let out = inchwise(&[&["sweep", &scene], &GRID[..], &files].concat());
        assert_eq!(out.status.code(), Some(2), "{files:?}: {}", said(&out));
        assert!(said(&out).contains("a file of its own"), "{}", said(&out));
    }
    // A table that is joined is read.
    let out =
        inchwise(&[&["sweep", &scene], &GRID[..], &["--join", &scene, "--csv", &scene]].concat());
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    assert_eq!(std::fs::read_to_string(&scene).unwrap(), SHORT);
    assert!([&csv, &beside, &map].iter().all(|path| !Path::new(path).exists()));
}

/// Edited lines, lines of other cells and lines told twice: what does not verify is played
/// again, and the table is that of a sweep that nobody touched.
#[test]
fn lines_of_a_journal_are_not_trusted() {
    let folder = scratch();
    let scene = short(&folder);
    let whole = Outputs::new(&folder, "whole");
    swept(&whole, &scene, &[]);
    let cut = Outputs::new(&folder, "cut");
    killed_after(&cut, &scene, 3);
    let text = std::fs::read_to_string(cut.journal()).unwrap();
    let written: Vec<&str> = text.lines().collect();
    let [head, first, second, third] = written[..4] else { panic!("{text}") };
    let edited = first.replace("\"lifted\"", "\"failed\"").replace("0 deg", "1 deg");
    assert_ne!(edited, first);
    let broken = second.replace("refused", "NaN");
    let foreign = third.replace("[\"", "[\"0");
    let lines = [head, &edited, &broken, &foreign, "[\"3\"]", "[]", third, third];
    std::fs::write(cut.journal(), lines.map(|line| format!("{line}\n")).concat()).unwrap();
    let out = inchwise(&cut.args(&scene, &[]));
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    assert!(said(&out).contains("5 lines of the journal"), "{}", said(&out));
    assert_eq!(cut.bytes(), whole.bytes());
}

/// Two processes never write one table: the second is told.
#[test]
fn one_process_at_a_time_has_a_journal() {
    let folder = scratch();
    let scene = short(&folder);
    let outputs = Outputs::new(&folder, "table");
    killed_after(&outputs, &scene, 1);
    // As another process that plays the sweep has it.
    let other = std::fs::File::open(outputs.journal()).unwrap();
    other.try_lock().unwrap();
    let second = inchwise(&outputs.args(&scene, &[]));
    assert_eq!(second.status.code(), Some(1), "{}", said(&second));
    assert!(said(&second).contains("another process plays this sweep"), "{}", said(&second));
    drop(other);
    swept(&outputs, &scene, &[]);
    let cells: Vec<String> =
        read_table(&outputs.0[0]).into_iter().map(|mut row| row.remove("cell").unwrap()).collect();
    assert_eq!(cells, ["0", "1", "2", "3", "4", "5"]);
}

/// Cells of a build that plays otherwise are neither gone on with nor joined.
#[test]
fn cells_of_another_build_are_not_mixed_in() {
    let folder = scratch();
    let scene = short(&folder);
    let cut = Outputs::new(&folder, "cut");
    killed_after(&cut, &scene, 1);
    // As a build with other physics would have written it.
    let text = std::fs::read_to_string(cut.journal()).unwrap();
    let key = text.lines().next().unwrap().trim_matches(['[', ']', '"']).to_owned();
    let key = key.strip_prefix("inchwise sweep ").unwrap();
    let other = format!("{}-{}", key.split('-').next().unwrap(), "0".repeat(16));
    let journal = text.replace(key, &other);
    std::fs::write(cut.journal(), &journal).unwrap();
    let out = inchwise(&cut.args(&scene, &[]));
    assert_eq!(out.status.code(), Some(1), "{}", said(&out));
    for words in ["another build of the program", "Remove the journal", "afresh"] {
        assert!(said(&out).contains(words), "{words} is missing in\n{}", said(&out));
    }
    assert_eq!(std::fs::read_to_string(cut.journal()).unwrap(), journal);

    std::fs::remove_file(cut.journal()).unwrap();
    swept(&cut, &scene, &[]);
    let table = std::fs::read_to_string(&cut.0[0]).unwrap();
    assert!(table.contains(key), "the table tells what it was played by");
    let part = folder.path().join("part.csv");
    std::fs::write(&part, table.replace(key, &other)).unwrap();
    let out = inchwise(&cut.args(&scene, &["--join", part.to_str().unwrap()]));
    assert_eq!(out.status.code(), Some(2), "{}", said(&out));
    assert!(said(&out).contains("another build of the program"), "{}", said(&out));
}

#[test]
fn samples_make_a_cell_a_share_and_a_seed_makes_it_again() {
    let folder = scratch();
    let scene = brief(&folder);
    let table = |seed: &str| {
        let out = inchwise(&[
            "sweep",
            &scene,
            "--vary",
            "ground.slope=0 deg,9 deg",
            "--spread",
            "3",
            "--seed",
            seed,
        ]);
        assert_eq!(out.status.code(), Some(0), "{}", said(&out));
        out.stdout
    };
    let first = table("5");
    assert_eq!(first, table("5"));
    assert_ne!(first, table("6"));
    let mut rows = csv::Reader::from_reader(first.as_slice());
    let heads = rows.headers().unwrap().clone();
    let at = |head: &str| heads.iter().position(|h| h == head).unwrap();
    for row in rows.records() {
        let row = row.unwrap();
        let count = |head: &str| row[at(head)].parse::<usize>().unwrap();
        assert_eq!(count("plays"), 3);
        assert_eq!(count("lifted") + count("failed") + count("incomplete"), 3);
    }
}

#[test]
fn a_wrong_sweep_says_how_to_write_it() {
    let slope = ["--vary", "ground.slope=0 deg..4 deg:3"];
    for (args, word) in [
        (vec![], "--vary"),
        (vec!["--vary", "ground.slope"], "has no `=`"),
        (vec!["--vary", "ground.slop=0 deg..4 deg:3"], "did you mean `slope`"),
        (vec!["--vary", "stacks.middle.layers=3..5:3"], "left, right"),
        // A value that no cell could be played with, wherever it stands in the list.
        (vec!["--vary", "ground.slope=0 deg,4 kg"], "is not a unit of angle"),
        (vec!["--vary", "stacks.left.layers=3,99"], "whole number from 1 to 24"),
        ([&slope[..], &["--vary", "ground.wet=true,perhaps"]].concat(), "true or false"),
        ([&slope[..], &slope].concat(), "varied twice"),
        ([&slope[..], &["--part", "3/2"]].concat(), "I from 1 to N"),
        ([&slope[..], &["--spread", "0"]].concat(), "outside 1 to"),
        ([&slope[..], &["--map", "x.jpg"]].concat(), ".svg nor .png"),
        ([&slope[..], &["--join", "no-such.csv"]].concat(), "cannot be read"),
    ] {
        let out = inchwise(&[&["sweep", "beam-lift"], &args[..]].concat());
        assert_eq!(out.status.code(), Some(2), "{args:?}: {}", said(&out));
        assert!(said(&out).contains(word), "{args:?}: {word} is missing in\n{}", said(&out));
    }
    assert!(!Path::new("x.jpg").exists());
}

/// A row of a table by its heads.
type Row = HashMap<String, String>;

fn read_table(path: &Path) -> Vec<Row> {
    let mut reader = csv::Reader::from_path(path).expect("a table");
    reader.deserialize().map(|row| row.expect("a row")).collect()
}

/// The map of the stack under a sloping face: whatever its height, the bag rolls out where the
/// face that it bears on is steeper than the tilt from which friction is not sure to hold it. The
/// cells are a degree wide, and a stack that leans and a face that the lift turns take up to two
/// degrees more. Beyond that no cell is lifted.
#[test]
fn a_bag_rolls_out_under_a_steep_face_whatever_its_stack() {
    const HOLDS_TO_DEG: f64 = 25.4;
    let rows = read_table(Path::new("docs/maps/face.csv"));
    let slope = |row: &Row| -> f64 {
        row["vehicle.profile.deck_slope"].trim_end_matches(" deg").parse().expect("degrees")
    };
    for layers in 4..=12 {
        let of = |r: &&Row| r["stacks.tail.layers"] == layers.to_string();
        let row: Vec<&Row> = rows.iter().filter(of).collect();
        assert_eq!(row.len(), 17, "{layers} layers");
        let went = row.iter().position(|r| r["outcome"] == "failed").expect("one goes");
        let played = slope(row[went]);
        assert!(
            played - 1.0 <= HOLDS_TO_DEG && HOLDS_TO_DEG <= played + 2.0,
            "{layers} layers: {played:.1} deg played"
        );
        for cell in &row[went..] {
            let cause = cell["cause"].as_str();
            assert!(["topple", "kick_out"].contains(&cause), "{layers} layers: {cause}");
        }
    }
}

/// The shipped map is of this program: the two cells at its boundary with twelve layers.
#[test]
fn the_shipped_map_is_of_this_program() {
    let folder = scratch();
    let table = folder.path().join("map.csv");
    let out = inchwise(&[
        "sweep",
        "docs/maps/face.ron",
        "--quiet",
        "--vary",
        "stacks.tail.layers=12 & vehicle.profile.header.1=2.0108 m & \
         vehicle.profile.roof_rear.1=2.0108 m & vehicle.com.y=1.2608 m",
        "--vary",
        "vehicle.profile.deck_slope=24 deg,25 deg",
        "--csv",
        table.to_str().unwrap(),
    ]);
    assert_eq!(out.status.code(), Some(0), "{}", said(&out));
    let shipped = read_table(Path::new("docs/maps/face.csv"));
    for played in read_table(&table) {
        let same = |key: &str, row: &Row| row[key] == played[key];
        let of = |r: &&Row| same("stacks.tail.layers", r) && same("vehicle.profile.deck_slope", r);
        let row = shipped.iter().find(of).expect("a cell of the map");
        for key in ["outcome", "cause", "state", "paper_topple"] {
            assert!(same(key, row), "{key}: {} shipped, {} played", row[key], played[key]);
        }
    }
}

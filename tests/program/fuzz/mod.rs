//! Law protected: whatever a file, a change or a command line holds, the program says what is
//! wrong with it, or does what it says: no panic, no hang, no broken state, nothing lost.
//!
//! Each input is made from its number alone, so that a finding can be made again. A short run
//! over fixed numbers is part of the usual tests; [`crate::reliability`] does the long one. What
//! once broke is kept in `tests/corpus`.

mod mutate;

use crate::typed::scratch;
use arbtest::arbitrary::{Result, Unstructured};
use arbtest::arbtest;
use inchwise::class::{self, ClassStepKind};
use inchwise::draft::{ItemKind, keep};
use inchwise::lift::{self, PlayOptions};
use inchwise::scene::tree::{Node, Place};
use inchwise::scene::{self, FileKind, LARGEST_BYTES, Problem, Source};
use inchwise::session::{Action, Ask, Edge, Folders, Pace, Session, SettingsFile, Stage};
use inchwise::statics::sheet::Sheet;
use inchwise::sweep::{Axis, CellRow, Grid, Journal, Sweep, SweepPart};
use inchwise::task;
use inchwise::units::UnitSystem;
use mutate::{Corpus, damaged};
use std::cell::Cell;
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::{Duration, Instant};
use tempfile::TempDir;

const SHORT: &str = include_str!("../../common/short.ron");
/// Nothing takes longer, on a machine with other work.
pub const AT_MOST: Duration = Duration::from_secs(60);
/// Nothing takes longer on a machine that does nothing else.
pub const QUIET_AT_MOST: Duration = Duration::from_secs(10);

const LATE: &str = "it took ";

const SETTINGS: &[&str] = &[
    "feet_and_pounds",
    "large_text",
    "dark",
    "plain_graphics",
    "low_power",
    "stop_if_amiss",
    "show_endings",
    "seat",
    "colour",
];

/// Of the input with a number: the lower half is how many random bytes there are, the upper where
/// they begin.
pub fn seed(number: u64) -> u64 {
    (number + 1).wrapping_mul(0x9e37_79b9) << 32 | 4096
}

/// What mutated inputs are made from.
pub struct Stock {
    corpus: Corpus,
    sweep: Sweep,
    journal: Vec<u8>,
    rows: Vec<CellRow>,
    settings: Vec<u8>,
    carried: String,
    folder: TempDir,
}

/// One kind of input: tries one, and tells whether the program took it for good.
pub struct Target {
    pub name: &'static str,
    pub what: &'static str,
    /// How many of them for one that is only read.
    pub share: f64,
    pub tried: fn(&Stock, &Path, &mut Unstructured<'_>) -> Result<bool>,
}

pub const TARGETS: &[Target] = &[
    Target { name: "scene", what: "scenes, changed anywhere", share: 1.0, tried: a_scene },
    Target { name: "vehicle", what: "their vehicles", share: 1.0, tried: a_vehicle },
    Target { name: "orders", what: "their orders", share: 1.0, tried: an_order },
    Target { name: "bytes", what: "their text, by bytes", share: 1.0, tried: some_bytes },
    Target { name: "class", what: "classes, by bytes", share: 1.0, tried: a_class },
    Target { name: "task", what: "tasks, by bytes", share: 1.0, tried: a_task },
    Target { name: "change", what: "`--change` options", share: 1.0, tried: a_change },
    Target { name: "vary", what: "`--vary` and `--part` options", share: 1.0, tried: an_axis },
    Target { name: "journal", what: "journals of a sweep", share: 1.0, tried: a_journal },
    Target { name: "settings", what: "settings", share: 1.0, tried: some_settings },
    Target { name: "draft", what: "unsaved set-ups", share: 1.0, tried: a_draft },
    Target { name: "carried", what: "files of all that is a user's", share: 1.0, tried: carried },
    Target { name: "line", what: "command lines of the program", share: 1.0, tried: a_line },
    Target { name: "played", what: "changed scenes, 2 s played", share: 0.05, tried: played },
];

/// What came of trying a range of inputs.
pub struct Tried {
    pub inputs: u64,
    pub good: u64,
    pub findings: Vec<(u64, String)>,
}

impl Stock {
    pub fn new() -> Self {
        let folder = scratch();
        let short = folder.path().join("short.ron");
        std::fs::write(&short, SHORT).unwrap();
        let axis = Axis::parse("stacks.tail.layers=9..24:4").unwrap();
        let grid = Grid::new(vec![axis]).unwrap();
        let sweep = Sweep::new(short.to_str().unwrap(), &[], grid, None, 1);
        let sweep = sweep.unwrap_or_else(|problems| panic!("{problems:?}"));
        // Cells that are refused take no time.
        let path = folder.path().join("journal");
        let mut journal = Journal::open(&path, &sweep).unwrap();
        let part = SweepPart::parse("2/2").unwrap();
        sweep.play(part, 1, Some(&mut journal), &mut |_| {}).unwrap();
        drop(journal);
        let rows: Vec<_> = Journal::open(&path, &sweep).unwrap().rows().cloned().collect();
        assert!(!rows.is_empty());
        let journal = std::fs::read(&path).unwrap();
        let mut session = session(folder.path());
        session.act(Action::Dark);
        session.act(Action::Open(0));
        session.advance(1.0 / 60.0);
        session.act(Action::Stage(Stage::SetUp));
        session.act(Action::Bench(Ask::SaveUnder("My own".into())));
        session.act(Action::Bench(Ask::Bring(ItemKind::Chock)));
        let carried = match session.act(Action::ExportEverything) {
            Some(inchwise::session::Effect::Save { text, .. }) => text,
            other => panic!("{other:?}"),
        };
        assert!(carried.len() > 2000, "settings, a scene and an unsaved set-up: {carried}");
        let settings = std::fs::read(folder.path().join("settings.ron")).unwrap();
        Self { corpus: Corpus::shipped(), sweep, journal, rows, settings, carried, folder }
    }

    /// Tries inputs by their numbers, on as many threads as asked for; one that takes longer than
    /// `at_most` is a finding.
    pub fn tried(
        &self,
        target: &Target,
        numbers: Range<u64>,
        threads: usize,
        at_most: Duration,
    ) -> Tried {
        let all: Vec<u64> = numbers.collect();
        let chunks: Vec<&[u64]> = all.chunks(50).collect();
        let work = |chunk: &&[u64]| {
            let folder = tempfile::tempdir_in(self.folder.path()).unwrap();
            let mut tried = Tried { inputs: 0, good: 0, findings: Vec::new() };
            for number in *chunk {
                tried.inputs += 1;
                // Other work on the machine may have delayed one that takes too long alone.
                let late = |why: &String| why.starts_with(LATE);
                let try_it = || self.one(target, *number, folder.path(), at_most);
                let done = try_it();
                let done = match done {
                    Err(why) if late(&why) => try_it(),
                    done => done,
                };
                match done {
                    Ok(good) => tried.good += u64::from(good),
                    Err(why) => tried.findings.push((*number, why)),
                }
            }
            tried
        };
        let done: std::result::Result<Vec<Tried>, inchwise::parallel::ThreadsError> =
            inchwise::parallel::each(&chunks, threads, work, &mut |_| Ok(()));
        let mut all = Tried { inputs: 0, good: 0, findings: Vec::new() };
        for one in done.unwrap() {
            all.inputs += one.inputs;
            all.good += one.good;
            all.findings.extend(one.findings);
        }
        all
    }

    /// One input; what went wrong with it, where something did.
    fn one(
        &self,
        target: &Target,
        number: u64,
        folder: &Path,
        at_most: Duration,
    ) -> std::result::Result<bool, String> {
        let good = Cell::new(false);
        let begun = Instant::now();
        let done = catch_unwind(AssertUnwindSafe(|| {
            arbtest(|u| {
                good.set((target.tried)(self, folder, u)?);
                Ok(())
            })
            .seed(seed(number))
            .run();
        }));
        let taken = begun.elapsed();
        match done {
            Err(why) => {
                let words = why.downcast_ref::<String>().cloned();
                let words = words.or_else(|| Some((*why.downcast_ref::<&str>()?).to_owned()));
                Err(words.unwrap_or_else(|| "it panicked".to_owned()))
            }
            Ok(()) if taken > at_most => Err(format!("{LATE}{taken:?}")),
            Ok(()) => Ok(good.get()),
        }
    }
}

fn session(folder: &Path) -> Session {
    let (settings, _) = SettingsFile::read(&folder.join("settings.ron"));
    let edge = Edge {
        pace: Pace::InStep,
        folders: Folders::below(folder),
        settings,
        clock: inchwise::files::now,
    };
    Session::new(scene::load("beam-lift", &[]).into_iter().collect(), None, edge)
}

/// Whether problems are told as they should be.
fn told(problems: &[Problem], lines: usize) {
    assert!(!problems.is_empty(), "refused without a word");
    assert!(problems.len() <= 200, "{} problems", problems.len());
    for problem in problems {
        let words = problem.to_string();
        assert!(words.len() < 8000, "{} bytes: {words:.300}", words.len());
        assert_eq!(inchwise::printable::hidden_in(&words), None, "{words:?}");
        assert!(!words.contains('\n'), "more than a line: {words:?}");
        if let Place::File { line, file, .. } = &problem.place
            && file.as_os_str() == "fuzz.ron"
        {
            assert!((1..=lines + 1).contains(line), "line {line} of {lines}: {words}");
        }
    }
}

/// Reads and checks a scene's text as any, works it out on paper and writes it again.
fn read(bytes: &[u8]) -> bool {
    let lines = bytes.iter().filter(|byte| **byte == b'\n').count() + 1;
    let source = match Source::handed("fuzz.ron", bytes.to_vec()) {
        Ok(source) => source,
        Err(problems) => {
            told(&problems, lines);
            return false;
        }
    };
    match scene::load_from(&source, &[]) {
        Err(problems) => {
            told(&problems, lines);
            false
        }
        Ok(loaded) => {
            assert!(!Sheet::new(&loaded.scene, UnitSystem::Si).text().is_empty());
            let text = scene::text_of(&loaded.doc, Path::new("fuzz.ron"));
            let again =
                Source::handed("fuzz.ron", text.into_bytes()).and_then(|s| scene::tree_from(&s));
            assert_eq!(again.as_ref().ok(), Some(&loaded.doc), "written and read again");
            true
        }
    }
}

fn text_of(doc: &Node) -> Vec<u8> {
    scene::text_of(doc, Path::new("fuzz.ron")).into_bytes()
}

fn a_scene(stock: &Stock, _: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    Ok(read(&text_of(&stock.corpus.mutated(u, None)?)))
}

fn a_vehicle(stock: &Stock, _: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    Ok(read(&text_of(&stock.corpus.mutated(u, Some("vehicle"))?)))
}

fn an_order(stock: &Stock, _: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    Ok(read(&text_of(&stock.corpus.mutated(u, Some("orders"))?)))
}

fn some_bytes(stock: &Stock, _: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    let text = text_of(u.choose(&stock.corpus.docs)?);
    Ok(read(&damaged(u, &text)?))
}

/// Whatever a class file holds: a class whose first step shows a scene, or a refusal.
fn a_class(_: &Stock, _: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    a_file_of(class::FILES, u, |source| {
        let class = class::load_from(source)?;
        assert!(matches!(class.steps[0].kind, ClassStepKind::Show(0)));
        Ok(())
    })
}

/// Whatever a task file holds: a task whose set-up has orders, or a refusal.
fn a_task(_: &Stock, _: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    a_file_of(task::FILES, u, |source| {
        let task = task::load_from(source)?;
        assert!(!task.scene.orders.is_empty() && task.scene.kit.is_some());
        Ok(())
    })
}

/// A shipped file of a kind, damaged: whether it was taken.
fn a_file_of(
    kind: FileKind,
    u: &mut Unstructured<'_>,
    take: impl Fn(&Source) -> std::result::Result<(), Vec<Problem>>,
) -> Result<bool> {
    let names = kind.shipped();
    let name = u.choose(&names)?;
    let text = scene::shipped_text(&format!("{}/{name}.ron", kind.folder)).unwrap();
    let bytes = damaged(u, text.as_bytes())?;
    let lines = bytes.iter().filter(|byte| **byte == b'\n').count() + 1;
    match Source::handed("fuzz.ron", bytes).and_then(|source| take(&source)) {
        Ok(()) => Ok(true),
        Err(problems) => {
            told(&problems, lines);
            Ok(false)
        }
    }
}

fn a_change(stock: &Stock, _: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    let names = scene::builtin_names();
    let name = u.choose(&names)?;
    let doc = u.choose(&stock.corpus.docs)?;
    let changes = [stock.corpus.change_option(u, doc)?, stock.corpus.change_option(u, doc)?];
    match scene::load(name, &changes[..u.int_in_range(1..=2)?]) {
        Ok(loaded) => {
            assert!(!Sheet::new(&loaded.scene, UnitSystem::Us).text().is_empty());
            Ok(true)
        }
        Err(problems) => {
            told(&problems, usize::MAX - 1);
            Ok(false)
        }
    }
}

fn an_axis(stock: &Stock, _: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    let doc = u.choose(&stock.corpus.docs)?;
    let text = stock.corpus.change_option(u, doc)?;
    let more = ["..9:4", "..1e308 m:2", ",2", "&a=1", ":0", "..", "..2 m:1000", "..2 m:1001"];
    let text = format!("{text}{}", u.choose(&more)?);
    let text = String::from_utf8_lossy(&damaged(u, text.as_bytes())?).into_owned();
    let part = String::from_utf8_lossy(&damaged(u, b"1/3")?).into_owned();
    if let Err(why) = SweepPart::parse(&part) {
        assert!(!why.to_string().is_empty());
    }
    match Axis::parse(&text).and_then(|axis| Grid::new(vec![axis])) {
        Ok(grid) => {
            let last = grid.cells() - 1;
            assert_eq!(grid.cell(&grid.place(last)), last);
            let fine = |(_, value): (&str, &str)| !inchwise::printable::is_formula(value);
            assert!(grid.axes[0].changes(0).all(fine), "{text}");
            Ok(true)
        }
        Err(why) => {
            let words = why.to_string();
            assert!(words.len() < 1000, "{} bytes", words.len());
            Ok(false)
        }
    }
}

/// Whatever a journal's bytes are: rows that were written, or a refusal that leaves it alone.
fn a_journal(stock: &Stock, folder: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    let path = folder.join("fuzz.journal");
    let bytes = damaged(u, &stock.journal)?;
    std::fs::write(&path, &bytes).unwrap();
    let opened = Journal::open(&path, &stock.sweep);
    let good = match &opened {
        Ok(journal) => {
            assert!(journal.rows().all(|row| stock.rows.contains(row)), "a row nobody wrote");
            true
        }
        Err(why) => {
            assert!(!why.to_string().is_empty());
            assert_eq!(std::fs::read(&path).unwrap(), bytes, "what is refused stays");
            false
        }
    };
    drop(opened);
    std::fs::remove_file(&path).unwrap();
    Ok(good)
}

fn some_settings(stock: &Stock, folder: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    let path = folder.join("settings.ron");
    let bytes = match u.ratio(1, 2)? {
        true => damaged(u, &stock.settings)?,
        false => {
            let mut text = String::from("(");
            for _ in 0..u.int_in_range(0..=4)? {
                let field = u.choose(SETTINGS)?;
                text += &format!("{field}: {},", u.choose(&["true", "false", "on", "3", "\"x\""])?);
            }
            damaged(u, (text + ")").as_bytes())?
        }
    };
    std::fs::write(&path, &bytes).unwrap();
    let (mut settings, trouble) = SettingsFile::read(&path);
    assert_eq!(std::fs::read(&path).unwrap(), bytes, "reading changes nothing");
    settings.now.dark ^= true;
    assert_eq!(settings.keep(), None);
    let kept = folder.join("settings.ron.damaged");
    assert_eq!(kept.exists(), trouble.is_some(), "{trouble:?}");
    if trouble.is_some() {
        assert_eq!(std::fs::read(&kept).unwrap(), bytes, "the damaged ones are kept");
        std::fs::remove_file(&kept).unwrap();
    }
    assert_eq!(SettingsFile::read(&path).0.now, settings.now);
    Ok(trouble.is_none())
}

/// An unsaved set-up is listed or told, never passed over in silence.
fn a_draft(stock: &Stock, folder: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    let path = folder.join("unsaved-1.ron");
    let mut bytes = text_of(&stock.corpus.mutated(u, None)?);
    if u.ratio(1, 3)? {
        bytes = damaged(u, &bytes)?;
    }
    std::fs::write(&path, &bytes).unwrap();
    let (listed, told) = (keep::list(folder, inchwise::files::now()), keep::first_damaged(folder));
    assert_ne!(listed.is_empty(), told.is_none(), "{told:?}");
    let good = match keep::take_up(&path) {
        Ok(mut draft) => {
            draft.undo();
            true
        }
        Err(why) => {
            assert!(!why.to_string().is_empty());
            false
        }
    };
    assert_eq!(std::fs::read(&path).unwrap(), bytes);
    std::fs::remove_file(&path).unwrap();
    Ok(good)
}

fn carried(stock: &Stock, folder: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    let mut session = session(folder);
    let bytes = damaged(u, stock.carried.as_bytes())?;
    session.act(Action::TakeFile { name: "mine.ron".to_owned(), bytes });
    Ok(session.trouble().is_none_or(|words| !words.contains("cannot")))
}

/// Plays what is in order for two seconds.
fn played(stock: &Stock, _: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    for _ in 0..20 {
        let doc = stock.corpus.mutated(u, None)?;
        let Ok(scene) = scene::scene_from_tree(&doc) else { continue };
        let options = PlayOptions { at_most_s: 2.0, ..PlayOptions::default() };
        let played = lift::play(Arc::new(scene), &options, &mut |_, _| {});
        assert!(!played.broken, "a state that is not finite");
        return Ok(played.impossible.is_none());
    }
    Ok(false)
}

/// A command line of words that belong there, in any order.
fn a_line(_: &Stock, folder: &Path, u: &mut Unstructured<'_>) -> Result<bool> {
    const WORDS: &[&str] = &[
        "short.ron",
        "nothing.ron",
        "beam-lift",
        "",
        "/",
        ".",
        "-",
        "--",
        "--change",
        "--vary",
        "--csv",
        "--json",
        "--html",
        "--map",
        "--part",
        "--join",
        "--threads",
        "--spread",
        "--seed",
        "--units",
        "us",
        "si",
        "--quiet",
        "--help",
        "--version",
        "out.csv",
        "short.ron",
        "/dev/null",
        "/dev/full",
        "no/such/folder/x.csv",
        "1/2",
        "3/2",
        "0",
        "-1",
        "99999999999999999999",
        "\u{1b}[2J",
        "stacks.tail.layers=7",
        "stacks.tail.layers=8,900",
        "ground.slope=90 deg",
        "a=b=c",
        "=",
    ];
    let path = folder.join("short.ron");
    std::fs::write(&path, SHORT).unwrap();
    // What plays whole lifts is tried seldom.
    let jobs: &[&str] = match u.ratio(1, 12)? {
        true => &["run", "sweep"],
        false => &["check", "fields", "sheet", "shelf", "nonsense", "help"],
    };
    let mut args = vec![*u.choose(jobs)?];
    for _ in 0..u.int_in_range(0..=6)? {
        args.push(u.choose(WORDS)?);
    }
    let out = Command::new(env!("CARGO_BIN_EXE_inchwise"))
        .args(&args)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let said = crate::typed::said(&out);
    let code = out.status.code();
    assert!(code.is_some_and(|code| (0..=3).contains(&code)), "{args:?}: {code:?}: {said:.500}");
    assert!(!said.contains("panicked"), "{args:?}: {said:.500}");
    let silent = out.stderr.is_empty() && matches!(code, Some(1 | 2));
    assert!(!silent, "{args:?} fails without a word");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), SHORT, "{args:?}: what is read stays");
    Ok(code == Some(0))
}

/// Everything that once broke, and what is made like it.
#[test]
fn what_is_in_the_corpus_breaks_nothing() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/corpus");
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    // The set-ups in there are played by another test.
    files.retain(|path| path.is_file());
    files.sort();
    assert!(files.len() >= 6, "{files:?}");
    for file in files {
        let bytes = std::fs::read(&file).unwrap();
        assert!(bytes.len() as u64 <= LARGEST_BYTES);
        let begun = Instant::now();
        let good = read(&bytes);
        assert!(begun.elapsed() < AT_MOST, "{}", file.display());
        let name = file.file_name().unwrap().to_string_lossy().into_owned();
        assert_eq!(good, name.starts_with("good-"), "{name}");
    }
}

/// The short run: the same inputs each time.
#[test]
fn mutated_inputs_break_nothing() {
    let stock = Stock::new();
    for target in TARGETS {
        let count = (f64::max(150.0 * target.share, 6.0)) as u64;
        let begun = Instant::now();
        let tried = stock.tried(target, 0..count, 2, AT_MOST);
        println!("{:10} {count} {} good {:?}", target.name, tried.good, begun.elapsed());
        assert!(tried.findings.is_empty(), "{}: {:#?}", target.name, tried.findings);
        let lift = target.name == "played";
        assert!(tried.good > 0 || tried.inputs < 50, "{}: all were refused", target.name);
        assert!(tried.good < tried.inputs || lift, "{}: none was refused", target.name);
    }
}

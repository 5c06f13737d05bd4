//! Law protected: a task file is read as strictly as a scene; while a task is worked on nothing
//! on the screen tells how it ends before it was lifted, no lift begins before it was said what
//! will come of it, and every attempt is in the log whatever ends the program.

use crate::scenes::hold_page_to_table;
use inchwise::caution::CAUTION;
use inchwise::draft::{Draft, Edit, Item, ItemKind};
use inchwise::scene::tree::Value;
use inchwise::scene::{self, Source};
use inchwise::session::{
    Action, Ask, Edge, Effect, Folders, LiftTaskAction, LiftTaskCard, LiftTaskShown, Pace, Screen,
    Session, SettingsFile, Stage,
};
use inchwise::task::{
    self, Attempt, AttemptLog, Attempts, Came, GROUPS, LiftTask, StopReason, WayOut, attempts_csv,
    attempts_page, attempts_text,
};
use inchwise::units::UnitSystem;
use std::process::{Command, Stdio};
use std::time::Duration;
use tempfile::TempDir;

/// The time of a frame, s: what is played goes by ticks, so that longer frames save time only.
const FRAME_S: f64 = 0.1;

fn handed(text: &str) -> Result<LiftTask, String> {
    let source = Source::Handed { name: "task.ron".to_owned(), text: text.to_owned() };
    task::load_from(&source)
        .map_err(|problems| problems.iter().map(|problem| format!("{problem}\n")).collect())
}

/// A task of these fields.
fn with_fields(fields: &str) -> Result<LiftTask, String> {
    handed(&format!("(\n    name: \"Trial\",\n    brief: \"A car.\",\n{fields}\n)"))
}

const SCENE: &str = "scene: \"chocks-not-staked\", kit: \"rescue-truck\",";
const MEND: &str = "mend: [(change: \"chocks.0.staked=true\", say: \"Stake it.\")],";

/// Twelve, six of which say that nothing on the truck makes them hold. Neither title, brief nor
/// truck tells which: of every truck that is used some can be made to hold and some cannot, and
/// the scenes that both have in common turn by the truck alone.
#[test]
fn shipped_tasks_are_in_order_and_mixed() {
    let sources = task::FILES.shelf();
    let tasks: Vec<LiftTask> = sources
        .iter()
        .map(|source| {
            let inside = task::load_from(&Source::Builtin(source.name()));
            assert!(inside.is_ok(), "{} as it is built in", source.name());
            task::load_from(source).unwrap_or_else(|problems| panic!("{problems:?}"))
        })
        .collect();
    let is_mended = |task: &&LiftTask| matches!(task.way_out, WayOut::Mend { .. });
    assert_eq!((tasks.len(), tasks.iter().filter(is_mended).count()), (12, 6));
    for task in &tasks {
        assert!(task::FILES.is_named(&task.file));
        let of_truck = |other: &&LiftTask| other.kit() == task.kit();
        let on_truck: Vec<&LiftTask> = tasks.iter().filter(of_truck).collect();
        let mended = on_truck.iter().copied().filter(|task| is_mended(task)).count();
        assert!((1..on_truck.len()).contains(&mended), "the {} tells the answer", task.kit());
        // What the scene says of itself is not in what is handed out.
        let out = &task.scene;
        assert_eq!((&out.name, &out.teaches), (&task.name, &task.brief));
        assert!(out.lesson.twin.is_none() && out.lesson.decides.is_none(), "{}", task.file);
        assert!(out.lesson.after.is_empty());
        for word in ["stake", "chock", "wedge", "void", "capture", "sole", "fail", "slide"] {
            let told = format!("{} {}", task.name, task.brief).to_lowercase();
            assert!(!told.contains(word), "{}: \"{word}\" gives it away", task.file);
        }
    }
    assert!(!task::FILES.is_named("beam-lift") && !task::FILES.is_named("stabilise-first"));
}

/// Each mistake is told with its place, its field and the correction.
#[test]
fn a_bad_task_is_told() {
    let long = "x".repeat(401);
    for (fields, told) in [
        (MEND.to_owned(), "scene: is missing"),
        (format!("scene: \"chocks-not-staked\", {MEND}"), "kit: is missing"),
        (format!("scene: \"no-such\", kit: \"rescue-truck\", {MEND}"), "choose from"),
        (format!("scene: \"../beam-lift\", kit: \"rescue-truck\", {MEND}"), "choose from"),
        (
            format!("scene: \"beam-lift\", kit: \"no-such\", {MEND}"),
            "task.ron:4:26: kit: there is no kit \"no-such\"",
        ),
        (SCENE.to_owned(), "says neither how to correct it"),
        (
            format!("{SCENE} {MEND} no_good_lift: (why: \"wait\", say: \"x\")"),
            "says both how to correct it",
        ),
        (format!("{SCENE} mend: []"), "at least one change"),
        (format!("{SCENE} mend: [(change: \"x\")]"), "say: is missing"),
        (format!("{SCENE} mend: [(change: \"x\", say: \"y\")]"), "has no `=`"),
        (format!("{SCENE} mend: [(change: \"chocks.9.staked=true\", say: \"y\")]"), "chocks.9"),
        (
            format!("{SCENE} mend: [(change: \"chocks.0.staked=maybe\", say: \"y\")]"),
            "needs true or false",
        ),
        (format!("{SCENE} no_good_lift: (why: \"luck\", say: \"x\")"), "choose one of \"wait\""),
        (format!("{SCENE} no_good_lift: (why: \"wait\", say: \"{long}\")"), "shorten it to 400"),
        (format!("{SCENE} {MEND} hints: (look: \"{long}\")"), "shorten it to 200"),
        (format!("{SCENE} {MEND} hints: (lok: \"x\")"), "did you mean `look`?"),
        (format!("{SCENE} {MEND} title: \"x\""), "is not a field here"),
        (format!("{SCENE} mend: [(change: \"a=1\", say: \"a\u{202e}b\")]"), "U+202E"),
    ] {
        let found = with_fields(&fields).err().unwrap_or_default();
        assert!(found.contains(told), "{fields}\n{told} is not told in\n{found}");
    }
    assert!(with_fields(&format!("{SCENE} {MEND}")).is_ok());
}

#[test]
fn page_of_tasks_is_that_of_the_table() {
    hold_page_to_table("docs/TASKS.md", "## The task", GROUPS, "INCHWISE_TASKS");
}

fn session_in(folder: &TempDir) -> Session {
    let folders = Folders::below(folder.path());
    let edge = Edge {
        pace: Pace::InStep,
        folders,
        settings: SettingsFile::nowhere(),
        clock: inchwise::files::now,
    };
    Session::new(Vec::new(), None, edge)
}

/// Begins a task of the list by its file's name.
fn begin(session: &mut Session, file: &str) {
    session.act(Action::Tasks);
    let list = session.task_list().expect("a list");
    let place = list.tasks.iter().position(|task| task.file == file).unwrap();
    session.act(Action::BeginTask(place));
    session.advance(FRAME_S);
    assert!(session.task().is_some() && session.play().is_some(), "{file}");
}

fn ask(session: &mut Session, action: LiftTaskAction) {
    session.act(Action::Task(action));
    session.advance(FRAME_S);
}

fn shown(session: &Session) -> LiftTaskShown {
    session.task_shown().expect("a task")
}

/// Says that it ends so, what goes first and where by their places, and how far it rises in steps;
/// then lifts it to its end.
fn say_and_lift(session: &mut Session, [ends, first, place]: [usize; 3], steps: i32) {
    session.act(Action::PlayOrPause);
    assert!(session.task().unwrap().asks(), "it is asked first");
    for choice in [ends, first, place] {
        ask(session, LiftTaskAction::Choose(choice));
    }
    ask(session, LiftTaskAction::Rise(steps));
    ask(session, LiftTaskAction::Take);
    assert_eq!(session.stage(), Stage::Lift);
    assert!(!session.task().unwrap().is_open());
    session.act(Action::PlayOrPause);
    for _ in 0..6000 {
        session.advance(FRAME_S);
        if session.task().unwrap().is_open() {
            return;
        }
    }
    panic!("the lift is never over");
}

fn told(session: &Session) -> (Vec<[String; 3]>, String) {
    match shown(session).card {
        LiftTaskCard::Told { rows, told } => (rows, told.join("\n")),
        card => panic!("{card:?}"),
    }
}

fn log_of(folder: &TempDir) -> Attempts {
    let path = folder.path().join("attempts.jsonl");
    AttemptLog::at(Some(&path)).read().expect("a log")
}

/// From failing to sound with hints: said, lifted, told; hints in their order; a change; sound. The
/// log has both attempts, and what the scene teaches is told at the end only.
#[test]
fn a_task_goes_from_failing_to_sound_with_hints() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = session_in(&folder);
    session.act(Action::Seat(7));
    begin(&mut session, "wet-field-truck");
    let lesson = session.task().unwrap().task().lesson.clone();
    let Ok(twin) = scene::load("chocks-staked", &[]) else { panic!("a twin") };
    let twin = twin.scene;
    let secrets =
        [&lesson.name, &lesson.teaches, &twin.name, &twin.teaches, "stake", "chocks-not-staked"];
    let holds_back = |session: &Session| {
        let scene = session.play().map(|play| play.scene().clone()).expect("a lift");
        let mut texts: Vec<String> =
            shown(session).texts().into_iter().map(str::to_owned).collect();
        texts.extend([scene.name.clone(), scene.teaches.clone()]);
        texts.extend(session.lesson());
        for (text, secret) in texts.iter().flat_map(|t| secrets.map(|s| (t, s))) {
            assert!(!text.contains(secret), "\"{text}\" gives away \"{secret}\"");
        }
        assert!(session.twin_scene().is_none());
    };
    holds_back(&session);
    // No lever, no crew and no script goes before what is said.
    for action in [Action::PlayOrPause, Action::Capture, Action::Stage(Stage::Lift)] {
        session.act(action);
        assert!(session.task().unwrap().asks());
        session.advance(FRAME_S);
        assert_eq!(session.play().unwrap().end_s(), 0.0);
        ask(&mut session, LiftTaskAction::Back);
        assert!(!session.task().unwrap().is_open());
    }
    // It ends well, nothing goes wrong: where is not asked.
    session.act(Action::PlayOrPause);
    ask(&mut session, LiftTaskAction::Choose(0));
    ask(&mut session, LiftTaskAction::Choose(0));
    assert!(matches!(shown(&session).card, LiftTaskCard::Rise { .. }));
    ask(&mut session, LiftTaskAction::Back);
    ask(&mut session, LiftTaskAction::Back);
    ask(&mut session, LiftTaskAction::Back);
    holds_back(&session);
    say_and_lift(&mut session, [0, 2, 0], 12);
    let (rows, words) = told(&session);
    assert_eq!(rows.len(), 4);
    assert!(rows[0][1].contains("comes off") && rows[0][2] == "Something goes wrong", "{rows:?}");
    assert!(rows[1][1].contains("bag") && rows[1][2].contains("slides"), "{rows:?}");
    assert!(rows[3][1].contains("120 mm"), "{rows:?}");
    assert!(words.contains("slid ") && words.contains("Nothing was changed"), "{words}");
    assert!(!words.contains(&lesson.teaches), "it can still be worked on");
    let page = session.act(Action::ShowDebrief);
    let Some(Effect::ShowPage { html, .. }) = page else { panic!("a page") };
    assert!(html.contains(CAUTION) && !html.contains("Expected by"), "nobody says how it ends");
    ask(&mut session, LiftTaskAction::Take);
    for hints in 1..=4 {
        ask(&mut session, LiftTaskAction::Hint);
        assert_eq!(shown(&session).hints.len(), hints.min(3));
    }
    let hints = shown(&session).hints;
    assert!(hints[0].contains("Look at the vehicle"), "{hints:?}");
    assert!(hints[1].contains("limit "), "{hints:?}");
    assert!(hints[2].contains("stake"), "{hints:?}");
    session.act(Action::Stage(Stage::SetUp));
    let stake = |i| {
        let item = Item::new(ItemKind::Chock, i);
        Action::Bench(Ask::Edit(Edit::Set { item, key: "staked", value: Value::Flag(true) }))
    };
    session.act(Action::Bench(Ask::Both));
    for i in [0, 1] {
        session.act(stake(i));
    }
    session.advance(FRAME_S);
    assert!(shown(&session).state.contains(&"Changed: 2".to_owned()), "{:?}", shown(&session));
    say_and_lift(&mut session, [0, 2, 0], 9);
    let (rows, words) = told(&session);
    assert!(rows[0][2].contains("comes off"), "{rows:?}");
    assert!(words.contains(&lesson.teaches) && words.contains("2 things"), "{words}");
    let log = log_of(&folder);
    assert_eq!((log.all.len(), log.unread), (2, 0));
    let [first, second] = log.all.as_slice() else { panic!("two") };
    assert_eq!((first.seat, first.hints, first.changes.len()), (7, 0, 0));
    assert_eq!((second.hints, second.changes.len()), (3, 2));
    let outcome = |came: &Came| match came {
        Came::Lifted(lifted) => (lifted.outcome.clone(), lifted.holds()),
        Came::Stopped { .. } => panic!("lifted"),
    };
    assert_eq!(outcome(&first.came), ("failed".to_owned(), false));
    assert_eq!(outcome(&second.came), ("lifted".to_owned(), true));
    // Played again it is no further attempt; from the start it is asked again.
    ask(&mut session, LiftTaskAction::Take);
    session.act(Action::PlayOrPause);
    session.advance(FRAME_S);
    assert!(!session.task().unwrap().asks());
    session.act(Action::Restart);
    session.act(Action::PlayOrPause);
    assert!(session.task().unwrap().asks());
    assert_eq!(log_of(&folder).all.len(), 2);
}

/// To stop is an answer, with its reason beside what the task knows.
#[test]
fn to_stop_is_an_answer() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = session_in(&folder);
    for (file, knows) in [("verge", "The task says: more kit"), ("beam-field", "look again")] {
        begin(&mut session, file);
        let teaches = session.task().unwrap().task().lesson.teaches.clone();
        ask(&mut session, LiftTaskAction::Stop);
        assert!(session.task().unwrap().asks());
        ask(&mut session, LiftTaskAction::Back);
        assert!(!session.task().unwrap().is_open());
        ask(&mut session, LiftTaskAction::Stop);
        ask(&mut session, LiftTaskAction::Choose(1));
        let (rows, words) = told(&session);
        assert!(rows.is_empty() && words.contains("You said: more kit"), "{words}");
        assert!(words.contains(knows), "{words}");
        assert_eq!(words.contains(&teaches), file == "verge", "{words}");
        session.act(Action::Shelf);
        assert!(session.task().is_none() && matches!(session.screen(), Screen::Shelf));
    }
    let came: Vec<Came> = log_of(&folder).all.into_iter().map(|attempt| attempt.came).collect();
    assert_eq!(came, vec![Came::Stopped { why: StopReason::MoreKit }; 2]);
}

/// What the crew did not bring cannot be changed, and what was said is of the set-up that it was said of.
#[test]
fn what_is_found_stays() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = session_in(&folder);
    begin(&mut session, "across-the-hill");
    session.act(Action::Stage(Stage::SetUp));
    session.advance(FRAME_S);
    let doc = |session: &Session| session.bench().unwrap().draft.doc().clone();
    let before = doc(&session);
    let item = Item::new(ItemKind::Ground, 0);
    let level = Edit::Set { item, key: "cross_slope", value: Value::Text("0 deg".to_owned()) };
    session.act(Action::Bench(Ask::Edit(level)));
    assert!(doc(&session) == before, "the hill stays");
    let note = session.bench().unwrap().note.clone().unwrap_or_default();
    assert!(note.contains("A task fixes its vehicle"), "{note}");
    // Whatever can be brought may be.
    for kind in ItemKind::BROUGHT {
        let mut draft = Draft::new(before.clone()).expect("a draft");
        if draft.edit(&Edit::Add { kind, at: None, on: None }, true, UnitSystem::Si).is_ok() {
            let task = session.task().unwrap().task();
            assert!(task.leaves_what_is_found(draft.doc()), "{kind:?}");
        }
    }
    // Said, then changed: it is asked again.
    session.act(Action::Stage(Stage::Lift));
    for choice in [1, 1, 4] {
        ask(&mut session, LiftTaskAction::Choose(choice));
    }
    ask(&mut session, LiftTaskAction::Take);
    session.act(Action::Stage(Stage::SetUp));
    let item = Item::new(ItemKind::Stack, 0);
    session.act(Action::Bench(Ask::Edit(Edit::Move { item, at: [-0.46, 1.15] })));
    assert!(doc(&session) != before);
    session.act(Action::Stage(Stage::Lift));
    assert!(session.task().unwrap().asks());
}

/// A task from outside is begun at once; a bad one is told.
#[test]
fn a_task_from_outside_is_begun() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = session_in(&folder);
    let mut take = |text: String| {
        let (name, bytes) = ("their.ron".to_owned(), text.into_bytes());
        session.act(Action::TakeFile { name, bytes });
        session.advance(FRAME_S);
        (session.task().is_some(), session.trouble().unwrap_or_default().to_owned())
    };
    let (is_on, told) = take(format!("(name: \"x\", brief: \"x\", {SCENE})"));
    assert!(!is_on && told.contains("their.ron:1:"), "{told}");
    assert!(take(format!("(name: \"x\", brief: \"x\", {SCENE} {MEND})")).0);
}

/// A line that an end of the program tore is left out and told; the next attempt stands on a line
/// of its own. Where nothing can be kept that is told, and the work goes on.
#[test]
fn the_log_survives_a_torn_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("attempts.jsonl");
    let stop = |session: &mut Session| {
        begin(session, "verge");
        ask(session, LiftTaskAction::Stop);
        ask(session, LiftTaskAction::Choose(0));
        session.act(Action::Shelf);
    };
    let mut session = session_in(&folder);
    stop(&mut session);
    stop(&mut session);
    let whole = std::fs::read(&path).unwrap();
    for torn in [1, 40, whole.len() / 4] {
        std::fs::write(&path, &whole[..whole.len() - torn]).unwrap();
        let log = log_of(&folder);
        assert_eq!(
            (log.all.len(), log.unread),
            (1 + usize::from(torn == 1), usize::from(torn > 1))
        );
        stop(&mut session);
        let log = log_of(&folder);
        let unread = usize::from(torn > 1);
        assert_eq!((log.all.len(), log.unread), (3 - unread, unread), "torn by {torn}");
    }
    assert!(attempts_text(&log_of(&folder), UnitSystem::Si).contains("1 line of the log"));
    std::fs::remove_file(&path).unwrap();
    std::fs::create_dir(&path).unwrap();
    begin(&mut session, "verge");
    ask(&mut session, LiftTaskAction::Stop);
    ask(&mut session, LiftTaskAction::Choose(0));
    let trouble = session.trouble().unwrap_or_default();
    assert!(trouble.contains("is not in the log"), "{trouble}");
    assert!(session.task().unwrap().is_open(), "what came of it is shown all the same");
}

/// Whatever stands in a log is shown and does nothing: no tag in the page, no formula in the table,
/// nothing that moves a terminal's cursor. Each has the caution.
#[test]
fn pages_and_tables_of_the_log_are_safe_and_say_the_caution() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("attempts.jsonl");
    let evil = "=1+cmd|'/c x'!A0 <script>alert(1)</script>";
    let line = format!(
        "{{\"at_s\":0,\"seat\":1,\"task\":\"{evil}\",\"title\":\"{evil}\",\"scene\":\"@x\",\
         \"changes\":[\"-2+3\"],\"hints\":0,\"took_s\":1.0,\"came\":{{\"stopped\":{{\"why\":\
         \"wait\"}}}}}}\n"
    );
    std::fs::write(&path, line).unwrap();
    let log = log_of(&folder);
    assert_eq!(log.all.len(), 1);
    let csv = String::from_utf8(attempts_csv(&log).unwrap()).unwrap();
    let row = csv.lines().nth(1).unwrap();
    for cell in row.split(',') {
        let cell = cell.trim_matches('"');
        assert!(!cell.starts_with(['=', '@']), "{cell} is a formula");
    }
    assert!(row.contains("'=1+cmd") && row.contains("'@x") && row.contains("'-2+3"), "{row}");
    let page = attempts_page(&log, UnitSystem::Si);
    assert!(!page.contains("<script>") && page.contains("&lt;script&gt;"));
    let text = attempts_text(&log, UnitSystem::Si);
    for all in [&csv, &page, &text] {
        assert!(all.contains(CAUTION));
        assert!(!all.to_lowercase().contains("score:"), "no score");
    }
    assert!(page.matches(CAUTION).count() >= 3, "head, foot of the table, end");
    let mut session = session_in(&folder);
    let Some(Effect::ShowPage { html, .. }) = session.act(Action::ShowAttempts) else {
        panic!("a page")
    };
    assert_eq!(html, page);
}

/// The log goes along with everything else that is carried to another machine, once.
#[test]
fn attempts_are_carried_along() {
    let [here, there] = [0; 2].map(|_| tempfile::tempdir().expect("a folder"));
    let mut session = session_in(&here);
    begin(&mut session, "verge");
    ask(&mut session, LiftTaskAction::Stop);
    ask(&mut session, LiftTaskAction::Choose(2));
    let Some(Effect::Save { name, text }) = session.act(Action::ExportEverything) else {
        panic!("a file")
    };
    let mut other = session_in(&there);
    for told in ["1 attempt at tasks", "Taken in"] {
        let (name, bytes) = (name.clone(), text.clone().into_bytes());
        other.act(Action::TakeFile { name, bytes });
        assert!(other.trouble().unwrap_or_default().contains(told), "{:?}", other.trouble());
        assert_eq!(log_of(&there), log_of(&here));
    }
}

/// A log that cannot be read is not exported as an empty one without a word, and takes in nothing
/// that it may have already.
#[test]
fn a_log_that_cannot_be_read_is_told_and_stays() {
    let [here, there] = [0; 2].map(|_| tempfile::tempdir().expect("a folder"));
    let mut session = session_in(&here);
    begin(&mut session, "verge");
    ask(&mut session, LiftTaskAction::Stop);
    ask(&mut session, LiftTaskAction::Choose(2));
    let export = |session: &mut Session| match session.act(Action::ExportEverything) {
        Some(Effect::Save { name, text }) => (name, text.into_bytes()),
        other => panic!("{other:?}"),
    };
    let (name, bytes) = export(&mut session);
    // It is larger than any log that is read, and can be written on.
    let path = there.path().join("attempts.jsonl");
    let log = std::fs::File::create(&path).expect("a log");
    log.set_len(65 << 20).expect("a long log");
    let mut other = session_in(&there);
    other.act(Action::TakeFile { name, bytes });
    let told = other.trouble().unwrap_or_default().to_owned();
    assert!(
        told.contains("The log of attempts is not taken: ") && told.contains("larger"),
        "{told}"
    );
    assert_eq!(std::fs::metadata(&path).expect("a log").len(), 65 << 20);
    export(&mut other);
    let told = other.trouble().unwrap_or_default();
    assert!(told.contains("The log of attempts cannot be read and is not in the file"), "{told}");
}

/// Lines of the log that are left out of an export are counted.
#[test]
fn torn_lines_of_the_log_are_told_in_an_export() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("attempts.jsonl"), "{\"at_s\": 1").expect("a log");
    let mut session = session_in(&folder);
    assert!(matches!(session.act(Action::ExportEverything), Some(Effect::Save { .. })));
    let told = session.trouble().unwrap_or_default();
    assert!(told.contains("1 line of the log cannot be read"), "{told}");
}

/// The log has the time by the clock that the session was given.
#[test]
fn an_attempt_is_dated_by_the_clock_of_the_edge() {
    let folder = tempfile::tempdir().expect("a folder");
    let edge = Edge {
        pace: Pace::InStep,
        folders: Folders::below(folder.path()),
        settings: SettingsFile::nowhere(),
        clock: || std::time::SystemTime::UNIX_EPOCH + Duration::from_secs(1234),
    };
    let mut session = Session::new(Vec::new(), None, edge);
    begin(&mut session, "verge");
    ask(&mut session, LiftTaskAction::Stop);
    ask(&mut session, LiftTaskAction::Choose(2));
    assert_eq!(log_of(&folder).all[0].at_s, 1234);
}

/// The variable that says where the writer below writes; without it nothing is written.
const WRITES_TO: &str = "INCHWISE_ATTEMPTS_TO_KILL";

/// A writer for the test below: attempts without end, each told once it is kept.
#[test]
#[ignore = "it is killed by the test below"]
fn a_writer_that_is_killed() {
    let Some(path) = std::env::var_os(WRITES_TO) else { return };
    let log = AttemptLog::at(Some(std::path::Path::new(&path)));
    for seat in 1.. {
        let attempt = Attempt {
            at_s: 0,
            seat,
            task: "x".repeat(2000),
            title: "x".to_owned(),
            scene: "x".to_owned(),
            changes: Vec::new(),
            hints: 0,
            came: Came::Stopped { why: StopReason::Wait },
            took_s: 1.0,
        };
        log.add(&attempt).expect("kept");
        println!("\nkept {seat}");
    }
}

/// Whenever the program is killed, every attempt that it had gone on from is in the log, in turn,
/// and the log can be written on.
#[test]
fn the_log_survives_a_kill() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("attempts.jsonl");
    let mut seen = 0;
    for wait_ms in [30, 70, 120, 200] {
        let _ = std::fs::remove_file(&path);
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--ignored", "--exact", "task::a_writer_that_is_killed", "--nocapture"])
            .env(WRITES_TO, &path)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(wait_ms));
        child.kill().unwrap();
        let out = child.wait_with_output().unwrap();
        let said = String::from_utf8_lossy(&out.stdout).into_owned();
        let kept = said.lines().filter(|line| line.starts_with("kept ")).count();
        let log = log_of(&folder);
        assert!(log.all.len() >= kept, "{kept} were kept, {} are there", log.all.len());
        assert!(log.unread <= 1, "{} torn lines", log.unread);
        for (i, attempt) in log.all.iter().enumerate() {
            assert_eq!(attempt.seat as usize, i + 1);
        }
        seen += kept;
    }
    assert!(seen > 0, "nothing was written before a kill");
}

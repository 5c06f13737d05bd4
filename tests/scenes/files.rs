//! Law protected: everything of a user's goes into one file and comes back from it; a stranger's
//! file can do nothing but be shown; that nothing is kept is told before the first edit.

use inchwise::draft::keep;
use inchwise::scene::{self, Loaded};
use inchwise::session::{
    Action, Ask, Edge, Effect, Folders, Pace, Screen, Session, SettingsFile, Stage,
};
use std::path::Path;

const FRAME_S: f64 = 1.0 / 60.0;

fn shipped(name: &str) -> Loaded {
    scene::load(name, &[]).unwrap_or_else(|_| panic!("{name} loads"))
}

/// A session on the shelf; a user's files are below the folder.
fn session(folder: &Path) -> Session {
    let (settings, trouble) = SettingsFile::read(&folder.join("settings.ron"));
    assert_eq!(trouble, None);
    let edge = Edge {
        pace: Pace::InStep,
        folders: Folders::below(folder),
        settings,
        clock: inchwise::files::now,
    };
    Session::new(vec![shipped("beam-lift")], None, edge)
}

fn take(session: &mut Session, name: &str, bytes: impl Into<Vec<u8>>) -> String {
    session.act(Action::TakeFile { name: name.to_owned(), bytes: bytes.into() });
    session.trouble().unwrap_or_default().to_owned()
}

fn exported(session: &mut Session) -> String {
    match session.act(Action::ExportEverything) {
        Some(Effect::Save { text, .. }) => text,
        other => panic!("{other:?}"),
    }
}

/// Saves one scene, and leaves an edit after that unsaved.
fn fill(folder: &Path) -> Session {
    let mut session = session(folder);
    session.act(Action::Dark);
    session.act(Action::Open(0));
    session.advance(FRAME_S);
    session.act(Action::Stage(Stage::SetUp));
    session.act(Action::Bench(Ask::SaveUnder("My own".into())));
    session.act(Action::Bench(Ask::Bring(inchwise::draft::ItemKind::Chock)));
    assert!(session.unsaved().is_some());
    session
}

fn texts(folder: &Path) -> Vec<(String, String)> {
    let paths = inchwise::files::list(folder);
    let name = |path: &Path| path.file_name().unwrap().to_string_lossy().into_owned();
    paths.iter().map(|path| (name(path), std::fs::read_to_string(path).unwrap())).collect()
}

/// What goes out of one folder comes into another the same; taken in once more it changes
/// nothing; another scene of a name that is there gets a number.
#[test]
fn everything_goes_out_and_comes_in() {
    let [from, to] = [(); 2].map(|()| tempfile::tempdir().expect("a folder"));
    let text = exported(&mut fill(from.path()));
    let mut there = session(to.path());
    let told = take(&mut there, "all.json", text.clone());
    assert!(told.starts_with("Taken in: 1 scene and 1 unsaved set-up."), "{told}");
    assert!(there.settings().dark, "{told}");
    assert_eq!(there.scenes().all().len(), 2);
    assert_eq!(texts(&to.path().join("scenes")), texts(&from.path().join("scenes")));
    let only_texts = |folder: &Path| texts(folder).into_iter().map(|t| t.1).collect::<Vec<_>>();
    let unsaved = [&from, &to].map(|folder| only_texts(&folder.path().join("unsaved")));
    assert_eq!(unsaved[0], unsaved[1]);
    assert_eq!(exported(&mut there).len(), text.len(), "and out again as much");

    let told = take(&mut there, "all.json", text.clone());
    assert!(told.starts_with("Taken in: 0 scenes and 0 unsaved set-ups. 2 files here"), "{told}");
    assert_eq!(there.scenes().all().len(), 2);

    let mine = to.path().join("scenes").join("my-own.ron");
    let other = std::fs::read_to_string(&mine).unwrap() + "// Mine.\n";
    std::fs::write(&mine, &other).unwrap();
    let told = take(&mut there, "all.json", text);
    assert!(told.contains("my-own-2.ron"), "{told}");
    assert_eq!(std::fs::read_to_string(&mine).unwrap(), other, "nothing is overwritten");
}

/// A file that was damaged, is too large, or wants out of its folder is told, and what is good
/// in it is taken.
#[test]
fn what_cannot_be_taken_in_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = session(folder.path());
    for (bytes, why) in [
        (&b"{"[..], "Export everything"),
        (b"{\"inchwise_export\": 7}", "form 7"),
        (b"{\"inchwise_export\": 1, \"settings\": \"()\"}", "damaged"),
        (&[b'{'; 5_000_001], "5 MB"),
    ] {
        let told = take(&mut session, "all.json", bytes);
        assert!(told.contains("all.json") && told.contains(why), "{told}");
    }
    let good = scene::text_of(&shipped("beam-lift").doc, Path::new("x"));
    let file = |name: &str, text: &str| {
        format!("{{\"name\": {}, \"text\": {}}}", quoted(name), quoted(text))
    };
    let all = format!(
        "{{\"inchwise_export\": 1, \"settings\": \"(colour: 3)\", \"scenes\": [{}, {}], \
         \"unsaved\": [{}]}}",
        file("../../out.ron", &good),
        file("bad.ron", "(name:\n 3"),
        file("unsaved-1.ron", "(name: \"no vehicle\")"),
    );
    let told = take(&mut session, "all.json", all);
    assert!(told.starts_with("Taken in: 1 scene and 0 unsaved set-ups."), "{told}");
    assert!(told.contains("settings cannot be read") && told.contains("bad.ron:2"), "{told}");
    assert!(told.contains("unsaved-1.ron"), "{told}");
    assert_eq!(texts(&folder.path().join("scenes"))[0].0, "out.ron");
    assert!(!folder.path().join("out.ron").exists());
}

fn quoted(text: &str) -> String {
    serde_json::to_string(text).expect("it is text")
}

/// A scene that is dropped is opened, and has no file here; a strange one is told with its line
/// and how to correct it, and names no file of this machine.
#[test]
fn a_dropped_scene_is_shown_and_nothing_else() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = session(folder.path());
    for (text, why) in [
        ("(name: \"x\",\n like: \"../secret\")", "strange.ron:2"),
        ("(name: \"x\", like: \"strange\")", "there is no scene of the name"),
        ("(name: \"x\",\n\n vehicle: \"/etc/passwd\")", "strange.ron:3"),
        ("(name:\n", "correct"),
        ("", "strange.ron:1"),
    ] {
        std::fs::write(folder.path().join("strange.ron"), "(name: \"secret\")").unwrap();
        let told = take(&mut session, "strange.ron", text);
        assert!(told.contains(why), "{text:?}: {told}");
        assert!(matches!(session.screen(), Screen::Shelf));
    }
    let told = take(&mut session, "strange.ron", &b"(name: \"\xff\")"[..]);
    assert!(told.contains("strange.ron:1:9") && told.contains("UTF-8"), "{told}");
    let told = take(&mut session, "strange.ron", vec![b' '; (1 << 20) + 1]);
    assert!(told.contains("larger than 1 MiB"), "{told}");

    let mut good = shipped("beam-lift").doc;
    let script = "<script>alert(1)</script>";
    good.set(
        "name",
        scene::tree::Node {
            place: scene::tree::Place::Hand,
            value: scene::tree::Value::Text(script.into()),
        },
    )
    .expect("it has a name");
    let told = take(&mut session, "good.ron", scene::text_of(&good, Path::new("x")));
    assert_eq!(told, "");
    session.advance(FRAME_S);
    let bench = session.bench().expect("it is open");
    assert!(bench.draft.path().is_none() && bench.draft.dirty(), "it has no file here");
    for show in [Action::ShowSheet, Action::ShowDebrief] {
        let Some(Effect::ShowPage { title, html }) = session.act(show) else { panic!("no page") };
        assert!(title.contains(script) && !html.contains(script));
        assert!(html.contains("&lt;script&gt;"));
    }
}

/// Where nothing can be kept it is told at the start and on the bench, with the path and the
/// reason, before the first edit; what is set up there goes out all the same.
#[test]
fn refused_storage_is_told_before_the_first_edit() {
    let folder = tempfile::tempdir().expect("a folder");
    // A file stands where the folder would be.
    std::fs::write(folder.path().join("unsaved"), "").unwrap();
    let mut session = session(folder.path());
    let told = session.trouble().expect("it is told").to_owned();
    assert!(told.contains("unsaved") && told.contains("Export everything"), "{told}");
    session.act(Action::Open(0));
    session.advance(FRAME_S);
    session.act(Action::Stage(Stage::SetUp));
    let note = session.bench().expect("a bench").note.clone().unwrap_or_default();
    assert_eq!(note, told);
    session.act(Action::Bench(Ask::Bring(inchwise::draft::ItemKind::Chock)));
    assert!(session.bench().expect("a bench").unkept.is_some());
    let kept = exported(&mut session);
    let doc = session.bench().expect("a bench").draft.doc().clone();
    let refused = take(&mut session, "x.ron", "(");
    assert!(refused.contains("export everything first"), "{refused}");

    // It is left only when that is asked for twice.
    session.act(Action::Shelf);
    assert!(session.bench().is_some() && session.trouble().is_some_and(|t| t.contains("F9")));
    session.act(Action::Understood);
    session.act(Action::Shelf);
    assert!(session.bench().is_some(), "it is told again");
    session.act(Action::Shelf);
    assert!(session.bench().is_none() && session.trouble().is_none());

    let elsewhere = tempfile::tempdir().expect("a folder");
    let mut there = self::session(elsewhere.path());
    take(&mut there, "all.json", kept);
    let path = there.scenes().unsaved()[0].path.clone();
    assert!(keep::take_up(&path).expect("it is read").doc() == &doc);
}

/// The debrief in the window tells the lift as it was played, like the one without a window.
#[test]
fn a_debrief_is_of_the_lift_as_it_was_played() {
    let folder = tempfile::tempdir().expect("a folder");
    let edge = Edge {
        pace: Pace::InStep,
        folders: Folders::below(folder.path()),
        settings: SettingsFile::nowhere(),
        clock: inchwise::files::now,
    };
    let mut session = Session::new(Vec::new(), Some(shipped("capture-late")), edge);
    session.advance(FRAME_S);
    session.act(Action::PlayOrPause);
    let page = |session: &mut Session| match session.act(Action::ShowDebrief) {
        Some(Effect::ShowPage { html, .. }) => html,
        other => panic!("{other:?}"),
    };
    for _ in 0..60 {
        session.advance(FRAME_S);
    }
    let early = page(&mut session);
    assert!(early.contains("was cut off at"), "it is not over");
    for _ in 0..60 * 400 {
        if session.play().is_some_and(inchwise::session::Play::ended) {
            break;
        }
        session.advance(FRAME_S);
    }
    let html = page(&mut session);
    let alone = inchwise::play(
        std::sync::Arc::new(shipped("capture-late").scene),
        inchwise::UnitSystem::Si,
        inchwise::FrameRetention::None,
        &mut |_, _| {},
    );
    assert!(!html.contains("was cut off at") && html.contains("Expected by the scene's author"));
    assert!(html.contains(&format!("state {:016x}", alone.state_hash)), "the same end");
    for finding in &alone.findings {
        assert!(html.contains(finding.cause().word()), "{}", finding.cause().word());
    }
}

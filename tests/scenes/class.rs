//! Law protected: a class file is read as strictly as a scene; and while a class is held nothing
//! on the screen gives an answer away before its reveal.

use crate::scenes::hold_page_to_table;
use approx::assert_abs_diff_eq;
use inchwise::class::{self, Class, ClassStepKind, GROUPS};
use inchwise::scene::{self, Source};
use inchwise::session::{
    Action, ClassAction, ClassShown, Edge, Folders, Overlay, Pace, Screen, Session, SettingsFile,
    Stage, View,
};
use tempfile::TempDir;

/// The time of a frame, s: what is played goes by ticks, so that longer frames save time only.
const FRAME_S: f64 = 0.1;

fn handed(text: &str) -> Result<Class, String> {
    let source = Source::Handed { name: "class.ron".to_owned(), text: text.to_owned() };
    class::load_from(&source)
        .map_err(|problems| problems.iter().map(|problem| format!("{problem}\n")).collect())
}

/// A class of these steps.
fn with_steps(steps: &str) -> Result<Class, String> {
    handed(&format!("(\n    name: \"Trial\",\n    about: \"x\",\n    steps: [\n{steps}\n    ],\n)"))
}

#[test]
fn shipped_classes_are_in_order() {
    let sources = class::FILES.shelf();
    assert_eq!(sources.len(), 4);
    for source in sources {
        let name = source.name();
        assert!(class::FILES.is_named(&name), "{name}");
        let inside = class::load_from(&Source::Builtin(name.clone()));
        let here = class::load_from(&source);
        let (Ok(inside), Ok(here)) = (inside, here) else { panic!("{name} is in order") };
        assert_eq!(inside.steps.len(), here.steps.len(), "{name} as it is built in");
        let has = |wanted: fn(&ClassStepKind) -> bool| here.steps.iter().any(|s| wanted(&s.kind));
        assert!(has(|kind| matches!(kind, ClassStepKind::Reveal(_))), "{name}");
        assert!(has(|kind| matches!(kind, ClassStepKind::Compare { .. })), "{name}");
        let last = here.steps.last().map(|step| &step.kind);
        let Some(ClassStepKind::Card(words)) = last else { panic!("{name} ends with a card") };
        assert!(words.contains("ocal procedures"), "{name}: {words}");
    }
    assert!(!class::FILES.is_named("beam-lift") && !class::FILES.is_named("no-such-class"));
}

/// Each mistake is told with its place, its field and the correction.
#[test]
fn a_bad_class_is_told() {
    let show = "(show: \"beam-lift\"),";
    let ask = "(ask: \"What?\", from: \"cause\"),";
    let long = "x".repeat(401);
    for (steps, told) in [
        ("", "at least one step"),
        (
            "(show: \"beam-lift\", stop: (time: \"1 s\")),",
            "exactly one action per step; found show and stop",
        ),
        ("(note: \"x\"),", "exactly one action per step; found none"),
        ("(show: \"no-such\"),", "choose from"),
        ("(show: \"../beam-lift\"),", "choose from"),
        ("(show: 3),", "class.ron:5:8: steps.0.show (step 1): needs a text"),
        ("(card: \"x\"),", "put a `show` before it"),
        (&format!("{show} (stop: (order: 99)),"), "from 1 to 64"),
        (&format!("{show} (stop: (order: 18)),"), "which has 17; choose 1 to 17"),
        (&format!("{show} (stop: (at: \"1 s\")),"), "exactly one of order, time, finding"),
        (&format!("{show} (stop: (time: \"3 m\")),"), "steps.1.stop.time"),
        (&format!("{show} (stop: (time: \"1 s\", finding: 1)),"), "exactly one of"),
        (&format!("{show} (ask: \"x\"), (reveal: \"x\"),"), "needs choices"),
        (
            &format!("{show} (ask: \"x\", from: \"luck\"), (reveal: \"x\"),"),
            "\"ending\", \"cause\"",
        ),
        (
            &format!("{show} (ask: \"x\", choices: [(say: \"one\")]), (reveal: \"x\"),"),
            "has 1 choices; give 2 to 9",
        ),
        (
            &format!(
                "{show} (ask: \"x\", from: \"cause\", choices: [(say: \"a\"), (say: \"b\")]),
                 (reveal: \"x\"),"
            ),
            "both kinds",
        ),
        (
            &format!(
                "{show} (ask: \"x\", choices: [(say: \"a\", cause: \"luck\"), (say: \"b\")]),
                 (reveal: \"x\"),"
            ),
            "choose one of \"slide\"",
        ),
        (&format!("{show} {ask}"), "open question; add a `reveal`"),
        (&format!("{show} {ask} {ask} (reveal: \"x\"),"), "put a `reveal` before it"),
        (&format!("{show} {ask} (compare: \"x\"), (reveal: \"x\"),"), "put a `reveal` before it"),
        (&format!("{show} (reveal: \"x\"),"), "put an `ask` before it"),
        (&format!("{show} (card: \"{long}\"),"), "has 401 characters; shorten it to 400"),
        (&format!("{show} (card: \"x\", from: \"cause\"),"), "belongs to `ask`"),
        (&format!("{show} (card: \"a\u{202e}b\"),"), "U+202E"),
        (&format!("{show} (card: \"a\\u{{1b}}[2J\"),"), "U+001B"),
        (&format!("{show} (card: \"x\", nte: \"y\"),"), "did you mean `note`?"),
        (&format!("{show} (card: \"x\", beside: \"verge-bare\"),"), "belongs to `compare`"),
        (&format!("{show} (compare: \"x\", beside: [\"no-such\"]),"), "no scene of this name"),
        (
            &format!("{show} (compare: \"x\", beside: [\"a\", \"b\", \"c\"]),"),
            "names 3 scenes; name 1 or 2",
        ),
    ] {
        let found = with_steps(steps).err().unwrap_or_default();
        assert!(found.contains(told), "{steps}\n{told} is not told in\n{found}");
    }
    let two = with_steps("(show: \"no-such\"),\n(card: 3),\n(stop: ()),").err().unwrap_or_default();
    assert!(two.lines().count() >= 3, "all at once:\n{two}");
    assert!(handed("(name: \"x\", about: \"x\", steps: [").err().unwrap().contains("class.ron:1:"));
    let good = with_steps(&format!("{show} {ask} (stop: (time: \"1 s\")), (reveal: \"x\"),"));
    assert!(good.is_ok(), "{:?}", good.err());
}

/// A scene without orders and one without a twin cannot do what a class asks; a scene beside the
/// class is found before one of the shelf.
#[test]
fn a_class_takes_the_scenes_beside_it() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(folder.path().join("classes")).unwrap();
    let own = "(name: \"My own\", teaches: \"x\", like: \"verge-bare\")";
    std::fs::write(folder.path().join("beam-lift.ron"), own).unwrap();
    let no_orders =
        "(name: \"Bare\", teaches: \"x\", like: \"verge-bare\", change: {\"orders\": []})";
    std::fs::write(folder.path().join("bare.ron"), no_orders).unwrap();
    let path = folder.path().join("classes").join("mine.ron");
    let class = |steps: &str| {
        let text = format!("(name: \"Mine\", about: \"x\", steps: [{steps}])");
        std::fs::write(&path, text).unwrap();
        class::load(path.to_str().unwrap()).map_err(|p| format!("{p:?}"))
    };
    let read = class("(show: \"beam-lift\")").unwrap();
    assert_eq!(read.scenes[0].scene.name, "My own");
    assert!(class("(show: \"bare\")").err().unwrap().contains("has no orders"));
    assert!(class("(show: \"roof-skin\"), (compare: \"x\")").is_ok());
    let alone = "(name: \"Alone\", teaches: \"x\", like: \"roof-skin\")";
    std::fs::write(folder.path().join("alone.ron"), alone).unwrap();
    let told = class("(show: \"alone\"), (compare: \"x\")").err().unwrap();
    assert!(told.contains("has no twin"), "{told}");
    let beside =
        class("(show: \"alone\"), (compare: \"x\", beside: [\"alone\", \"sill-crib\"])").unwrap();
    let files: Vec<&str> = beside.scenes.iter().map(|shown| shown.file.as_str()).collect();
    assert_eq!(files, ["alone", "sill-crib"], "each is read once");
    assert!(class::FILES.is_named(path.to_str().unwrap()));
    assert_eq!(class::FILES.own(folder.path()).len(), 1);
}

/// The tables of `docs/CLASSES.md` are those of the program's own table of fields.
/// `INCHWISE_CLASSES=write` writes them.
#[test]
fn the_page_of_classes_has_the_table_of_fields() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/CLASSES.md");
    hold_page_to_table(path, "## The class", GROUPS, "INCHWISE_CLASSES");
}

fn session() -> (Session, TempDir) {
    let folder = tempfile::tempdir().expect("a folder");
    let folders = Folders::below(folder.path());
    let edge = Edge {
        pace: Pace::InStep,
        folders,
        settings: SettingsFile::nowhere(),
        clock: inchwise::files::now,
    };
    (Session::new(Vec::new(), None, edge), folder)
}

/// Holds a class of the list by its name in the file.
fn hold(session: &mut Session, file: &str) {
    session.act(Action::Classes);
    let place = class::FILES.shelf().iter().position(|source| source.name() == file).unwrap();
    session.act(Action::HoldClass(place));
    session.advance(FRAME_S);
    assert!(session.class().is_some() && session.play().is_some(), "{file}");
}

fn class_act(session: &mut Session, action: ClassAction) {
    session.act(Action::Class(action));
    session.advance(FRAME_S);
}

fn shown(session: &Session) -> ClassShown {
    session.class_shown().expect("a class")
}

fn step(session: &Session) -> usize {
    session.class().expect("a class").step()
}

/// Goes on to the next step, letting the lift come to where this one leads.
fn go_on(session: &mut Session) {
    let at = step(session);
    for _ in 0..6000 {
        class_act(session, ClassAction::Next);
        if step(session) != at {
            return;
        }
    }
    panic!("step {at} is never over: {:?}", shown(session));
}

/// What would give the answer away: name, teaching, ending and twin of the scene that is on.
fn secrets(session: &Session) -> Vec<String> {
    let class = session.class().expect("a class");
    let scene = &class.class().scenes[class.class().scene_at(class.step())].scene;
    let twin = scene.lesson.twin.as_deref().and_then(|twin| scene::load(twin, &[]).ok());
    let twin = twin.map(|twin| twin.scene);
    let mut all = vec![class.class().name.clone(), scene.name.clone(), scene.teaches.clone()];
    all.extend(twin.into_iter().flat_map(|twin| [twin.name, twin.teaches]));
    all.extend(["Lifted in this model", "went wrong", "No limit was passed"].map(String::from));
    all
}

/// Holds that nothing on the screen tells what the room is asked.
fn holds_back(session: &Session) {
    hides(session, &secrets(session));
}

fn hides(session: &Session, secrets: &[String]) {
    let shown = shown(session);
    assert_eq!(shown.title, None);
    assert!(shown.told.is_empty() && shown.answers.iter().all(|a| a.right.is_none()));
    assert!(session.here().findings.is_empty(), "marks in the picture");
    assert!(session.runs_compared().is_none(), "the twin stands there");
    let overlays = session.overlays();
    assert!(Overlay::ALL.iter().all(|(which, _)| !overlays.has(*which)));
    for secret in secrets {
        for text in shown.texts() {
            assert!(!text.contains(secret), "\"{text}\" gives away \"{secret}\"");
        }
    }
}

/// Through each shipped class from the first step to the last: nothing leaks before its reveal,
/// not between two frames either, and behind it everything is there.
#[test]
fn nothing_gives_the_answer_away_before_its_reveal() {
    for source in class::FILES.shelf() {
        let (mut session, _folder) = session();
        hold(&mut session, &source.name());
        let mut revealed = 0;
        let last = session.class().unwrap().class().steps.len() - 1;
        // Whatever the room's machine had on before.
        session.act(Action::Toggle(Overlay::Thrust));
        while step(&session) < last {
            let kind = session.class().unwrap().class().steps[step(&session)].kind.clone();
            if session.class().unwrap().hides() {
                holds_back(&session);
            } else {
                assert!(shown(&session).title.is_some());
            }
            let secrets = secrets(&session);
            for _ in 0..6000 {
                if session.class().unwrap().hides() {
                    hides(&session, &secrets);
                }
                if !session.play().is_some_and(|play| play.playing) {
                    break;
                }
                session.advance(FRAME_S);
            }
            if let ClassStepKind::Reveal(_) = kind {
                revealed += 1;
                let shown = shown(&session);
                let right = shown.answers.iter().filter(|a| a.right == Some(true)).count();
                // A question for the hands only has no right answer.
                let steps = &session.class().unwrap().class().steps[..step(&session)];
                let asked = steps.iter().rev().find_map(|step| match &step.kind {
                    ClassStepKind::Ask(question) => Some(question),
                    _ => None,
                });
                let is_marked = asked.unwrap().answers.iter().any(|a| !a.tests.is_empty());
                assert_eq!(right, usize::from(is_marked), "{}: {shown:?}", source.name());
                assert!(shown.told.len() >= 2, "{shown:?}");
                let scene = session.play().unwrap().scene().clone();
                assert_eq!(shown.title.as_ref(), Some(&scene.name));
                assert_eq!(shown.told[1], scene.teaches);
                assert_eq!(session.here().findings, session.play().unwrap().findings());
            }
            go_on(&mut session);
        }
        assert!(revealed >= 2, "{}", source.name());
    }
}

/// Hands are counted and taken back, for the choices of the question that is on; behind the
/// reveal the count stands.
#[test]
fn hands_are_counted() {
    let (mut session, _folder) = session();
    hold(&mut session, "stabilise-first");
    class_act(&mut session, ClassAction::Hand { choice: 0, up: true });
    assert!(session.class().unwrap().hands().is_empty(), "nothing is asked yet");
    go_on(&mut session);
    for (choice, up) in [(0, true), (1, true), (1, true), (1, false), (1, true), (2, false)] {
        class_act(&mut session, ClassAction::Hand { choice, up });
    }
    class_act(&mut session, ClassAction::Hand { choice: 9, up: true });
    assert_eq!(session.class().unwrap().hands()[..3], [1, 2, 0]);
    go_on(&mut session);
    class_act(&mut session, ClassAction::Hand { choice: 0, up: true });
    let hands: Vec<usize> = shown(&session).answers.iter().map(|answer| answer.hands).collect();
    assert_eq!(hands[..3], [1, 2, 0], "no hand goes up behind the reveal");
}

/// A stop stands still at its moment; back goes to the step before with the lift as it stood
/// there, hides again what was hidden, and from a scene goes to the scene before.
#[test]
fn back_hides_again_and_the_lift_stands_where_it_stood() {
    let (mut session, _folder) = session();
    hold(&mut session, "air-and-evenness");
    class_act(&mut session, ClassAction::Back);
    assert_eq!(step(&session), 0, "before the first there is none");
    go_on(&mut session);
    class_act(&mut session, ClassAction::Next);
    assert_eq!(step(&session), 1, "the lift has yet to come there");
    go_on(&mut session);
    let stood_s = session.here().snapshot.t_s;
    assert!((3.0..3.3).contains(&stood_s), "{stood_s}");
    session.act(Action::PlayOrPause);
    session.advance(FRAME_S);
    assert_eq!(session.here().snapshot.t_s, stood_s, "no time passes while it is asked");
    go_on(&mut session);
    session.advance(FRAME_S);
    assert!(!session.class().unwrap().hides());
    class_act(&mut session, ClassAction::Back);
    holds_back(&session);
    // A recorded moment, three ticks apart.
    assert_abs_diff_eq!(session.here().snapshot.t_s, stood_s, epsilon = 0.06);
    while session.class().unwrap().class().scene_at(step(&session)) == 0 {
        go_on(&mut session);
    }
    session.advance(FRAME_S);
    assert_eq!(session.here().snapshot.t_s, 0.0);
    holds_back(&session);
    class_act(&mut session, ClassAction::Back);
    assert_eq!(step(&session), 0);
    session.advance(FRAME_S);
    holds_back(&session);
}

/// A class from outside is held at once, with shipped scenes; a bad one is told.
#[test]
fn a_class_from_outside_is_held() {
    let (mut session, _folder) = session();
    let take = |session: &mut Session, text: &str| {
        let (name, bytes) = ("their.ron".to_owned(), text.as_bytes().to_vec());
        session.act(Action::TakeFile { name, bytes });
    };
    take(&mut session, "(name: \"x\", about: \"x\", steps: [(show: \"nowhere\")])");
    let told = session.trouble().unwrap_or_default();
    assert!(told.contains("their.ron:1:") && told.contains("choose from"), "{told}");
    assert!(session.class().is_none());
    take(
        &mut session,
        "(name: \"x\", about: \"x\", steps: [(show: \"verge-bare\"), (card: \"y\")])",
    );
    session.advance(FRAME_S);
    holds_back(&session);
    go_on(&mut session);
    assert_eq!(shown(&session).words.as_deref(), Some("y"));
}

/// Leaving asks first; in a class nothing else is to be had, and after it everything again.
#[test]
fn leaving_a_class_asks_first() {
    let (mut session, _folder) = session();
    session.act(Action::HoldClass(0));
    assert!(session.class().is_none(), "no list is shown");
    hold(&mut session, "capture-as-you-go");
    for action in [
        Action::Stage(Stage::LookBack),
        Action::ShowDebrief,
        Action::ShowSheet,
        Action::Script(false),
        Action::Seek(1.0),
        Action::Instructor,
        Action::Guide,
        Action::NextBeside,
        Action::TakeFile { name: "x".to_owned(), bytes: vec![1] },
        Action::ExportEverything,
    ] {
        assert_eq!(session.act(action.clone()), None, "{action:?}");
    }
    assert!(session.act(Action::Look(View::Side)).is_some());
    session.advance(FRAME_S);
    holds_back(&session);
    assert!(
        session.stage() != Stage::LookBack && !session.instructor() && session.guide().is_none()
    );
    class_act(&mut session, ClassAction::Leave);
    assert!(shown(&session).asks_to_leave);
    class_act(&mut session, ClassAction::Next);
    assert_eq!((step(&session), shown(&session).asks_to_leave), (0, false), "that was a no");
    session.act(Action::Shelf);
    session.act(Action::Shelf);
    assert!(session.class().is_none() && matches!(session.screen(), Screen::Shelf));
    // While its scene is set up, too.
    session.act(Action::Classes);
    session.act(Action::HoldClass(0));
    holds_back(&session);
    class_act(&mut session, ClassAction::Leave);
    class_act(&mut session, ClassAction::Leave);
    assert!(session.class().is_none());
}

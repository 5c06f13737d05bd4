//! Law protected: a rehearsal is driven by plain actions and by time, with no window: what it
//! plays is the lift that is played without it; a lift taken up again is the same lift; edits
//! are undone and done again; nothing unsaved is lost; the guide waits; why something cannot be
//! opened is told.

use approx::{abs_diff_eq, assert_abs_diff_eq};
use inchwise::draft::{Edit, Item, ItemKind};
use inchwise::lift::Lift;
use inchwise::scene::tree::Value;
use inchwise::scene::{self, Fault, Loaded, Order};
use inchwise::session::{
    Action, Ask, Edge, Effect, Folders, Guide, Lever, MeasureAction, MeasuredValue, Overlay, Pace,
    Ray, Screen, Session, SettingsFile, Stage, Tool, View, Which,
};
use inchwise::snapshot::{OrderRecord, Snapshot, Told};
use inchwise::units::UnitSystem;
use std::path::Path;
use std::sync::Arc;
use tempfile::TempDir;

/// The time of a frame, s.
const FRAME_S: f64 = 1.0 / 60.0;

fn shipped(name: &str) -> Loaded {
    scene::load(name, &[]).unwrap_or_else(|_| panic!("{name} loads"))
}

fn edge(folder: &Path) -> Edge {
    Edge {
        pace: Pace::InStep,
        folders: Folders::below(folder),
        settings: SettingsFile::nowhere(),
        clock: inchwise::files::now,
    }
}

/// On a scene, with the lift set up; the folder has a user's files.
fn on(name: &str) -> (Session, TempDir) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = Session::new(Vec::new(), Some(shipped(name)), edge(folder.path()));
    assert_eq!(session.advance(FRAME_S), Some(Effect::NewLift(View::ThreeQuarter)));
    (session, folder)
}

/// Lets time pass, s.
fn wait(session: &mut Session, s: f64) {
    for _ in 0..(s / FRAME_S).round() as usize {
        session.advance(FRAME_S);
    }
}

/// Lets time pass until something holds; false where it does not within this many seconds.
fn wait_until(session: &mut Session, at_most_s: f64, holds: impl Fn(&Session) -> bool) -> bool {
    for _ in 0..(at_most_s / FRAME_S).ceil() as usize {
        if holds(session) {
            return true;
        }
        session.advance(FRAME_S);
    }
    holds(session)
}

fn bench(session: &mut Session, ask: Ask) -> Option<Effect> {
    let effect = session.act(Action::Bench(ask));
    session.advance(FRAME_S);
    effect
}

fn note(session: &Session) -> &str {
    session.bench().and_then(|bench| bench.note.as_deref()).unwrap_or_default()
}

fn count(session: &Session, kind: ItemKind) -> usize {
    session.bench().expect("a bench").draft.items(kind).len()
}

fn t_s(session: &Session) -> f64 {
    session.here().snapshot.t_s
}

/// Straight down onto a place, m along X and Z.
fn down_at(at: [f64; 2]) -> Option<Ray> {
    Some(Ray { from: [at[0], 5.0, at[1]], towards: [0.0, -1.0, 0.0] })
}

/// The same ticks by a lift alone.
fn alone(name: &str, t_s: f64) -> Snapshot {
    let mut lift = Lift::new(Arc::new(shipped(name).scene));
    while lift.snapshot().t_s < t_s - 1e-9 {
        lift.tick();
    }
    lift.snapshot().clone()
}

/// What is played in a session is the very lift that is played without one.
#[test]
fn a_session_plays_the_lift_that_is_played_alone() {
    let (mut session, _folder) = on("beam-lift");
    assert_eq!(session.stage(), Stage::SizeUp);
    session.act(Action::PlayOrPause);
    assert_eq!(session.stage(), Stage::Lift, "playing goes to the lift");
    wait(&mut session, 4.0);
    session.act(Action::PlayOrPause);
    session.advance(FRAME_S);
    assert!(abs_diff_eq!(t_s(&session), 4.0, epsilon = 0.1), "{}", t_s(&session));
    assert!(session.here().snapshot == alone("beam-lift", t_s(&session)));
    assert_eq!(session.here().scene.as_ref().map(|s| &*s.name), Some("Beam lift"));
    assert!(!session.here().parts.is_empty() && session.here().findings.is_empty());
}

/// Looked back to a moment and carried on from there, a lift is the same to the bit.
#[test]
fn a_lift_taken_up_again_is_the_same_to_the_bit() {
    let (mut session, _folder) = on("beam-lift");
    session.act(Action::PlayOrPause);
    wait(&mut session, 5.0);
    session.act(Action::PlayOrPause);
    session.advance(FRAME_S);
    // Of what stands still, the last moment that is on record.
    session.act(Action::Step(false));
    session.advance(FRAME_S);
    let first = session.here().snapshot.clone();
    session.act(Action::Seek(3.0));
    session.advance(FRAME_S);
    let seen = session.here().snapshot.clone();
    assert!(
        abs_diff_eq!(seen.t_s, 3.0, epsilon = 0.06)
            && session.play().expect("a lift").looking_back()
    );
    // Taken up there: orders by hand, and by the script again.
    session.act(Action::Script(false));
    session.act(Action::Script(true));
    wait(&mut session, 2.0 * FRAME_S);
    assert!(session.here().snapshot == seen, "where it is taken up");
    session.act(Action::PlayOrPause);
    assert!(wait_until(&mut session, 20.0, |s| t_s(s) >= first.t_s + 0.1));
    session.act(Action::Seek(first.t_s));
    session.advance(FRAME_S);
    assert!(session.here().snapshot == first, "and where it had been");
    assert!(session.play().expect("a lift").before.is_some(), "the old run is kept");
    // From the start once more: nothing has been done.
    session.act(Action::Restart);
    session.advance(FRAME_S);
    assert_eq!((session.stage(), session.play().expect("a lift").reel.count()), (Stage::SizeUp, 1));
}

/// A fault struck live is played again at its time.
#[test]
fn a_fault_struck_live_is_played_again_to_the_bit() {
    let (mut session, _folder) = on("beam-lift");
    session.act(Action::PlayOrPause);
    wait(&mut session, 2.0);
    session.act(Action::Strike(Fault::Burst { outlet: 0 }));
    wait(&mut session, 2.5);
    session.act(Action::PlayOrPause);
    session.advance(FRAME_S);
    session.act(Action::Step(false));
    session.advance(FRAME_S);
    let first = session.here().snapshot.clone();
    assert!(first.outlets[0].burst);
    session.act(Action::Seek(3.0));
    session.act(Action::Script(false));
    session.act(Action::Script(true));
    session.act(Action::PlayOrPause);
    assert!(wait_until(&mut session, 20.0, |s| t_s(s) >= first.t_s + 0.1));
    session.act(Action::Seek(first.t_s));
    session.advance(FRAME_S);
    assert!(session.here().snapshot == first, "with the fault in it");
}

/// A lever opens its valve while it is held, and shuts it when it is let go; one that was held
/// at the moment a lift is taken up from is held no more.
#[test]
fn a_lever_is_held_until_it_is_let_go() {
    let (mut session, _folder) = on("even-air");
    session.act(Action::Stage(Stage::Lift));
    let hold = |session: &mut Session, outlet, lever| {
        session.act(Action::Hold { outlet, lever });
    };
    let open = |session: &Session| -> Vec<bool> {
        session.here().snapshot.outlets.iter().map(|o| o.opening > 0.0).collect()
    };
    hold(&mut session, 0, Some(Lever::Up));
    hold(&mut session, 1, Some(Lever::Up));
    hold(&mut session, 7, Some(Lever::Up));
    wait(&mut session, 3.0);
    assert_eq!(open(&session), [true, true]);
    assert_eq!(session.held(), [Some(Lever::Up); 2]);
    hold(&mut session, 0, None);
    hold(&mut session, 1, None);
    wait(&mut session, 3.0 * FRAME_S);
    assert_eq!(open(&session), [false, false]);
    session.act(Action::Seek(1.5));
    session.advance(FRAME_S);
    assert_eq!(open(&session), [true, true], "both were open");
    hold(&mut session, 0, Some(Lever::Up));
    wait(&mut session, 1.0);
    assert_eq!(open(&session), [true, false], "only the one held now");
}

/// Fingers leave the levers after the script was told to go on, as in one slow frame: the script
/// has shut what they held, and goes on.
#[test]
fn the_script_takes_over_what_is_held() {
    let (mut session, _folder) = on("even-air");
    session.act(Action::Stage(Stage::Lift));
    let hold = |session: &mut Session, lever| {
        for outlet in 0..2 {
            session.act(Action::Hold { outlet, lever });
        }
    };
    hold(&mut session, Some(Lever::Up));
    wait(&mut session, 1.0);
    let script = |session: &Session| session.play().expect("a lift").script();
    assert!(!script(&session));
    let orders = session.play().expect("a lift").records().len();
    session.act(Action::Script(true));
    hold(&mut session, None);
    wait(&mut session, 1.0);
    assert!(script(&session) && session.held().iter().all(Option::is_none));
    let told = &session.play().expect("a lift").records()[orders..];
    let stops = |record: &&OrderRecord| matches!(record.told, Told::Order(Order::Stop { .. }));
    assert_eq!(told.iter().filter(stops).count(), 2, "{told:?}");
    assert!(told.iter().any(|record| !stops(&record)), "the script's own: {told:?}");
    hold(&mut session, Some(Lever::Up));
    assert!(!script(&session), "a lever taken hold of again is a hand's");
}

/// A run beside itself as it was before the change, and beside its twin, at the same time of the
/// lift.
#[test]
fn two_runs_stand_side_by_side_in_step() {
    let (mut session, _folder) = on("even-air");
    session.act(Action::Stage(Stage::Lift));
    session.act(Action::NextBeside);
    assert_eq!(
        session.runs_compared().map(|runs| (runs.which, runs.has)),
        Some((Which::Twin, [false, true]))
    );
    session.act(Action::PlayOrPause);
    wait(&mut session, 3.0);
    session.act(Action::PlayOrPause);
    wait(&mut session, 3.0 * FRAME_S);
    let apart = |s: &Session| (s.beside()[0].snapshot.t_s - t_s(s)).abs();
    assert!(apart(&session) < 0.06);
    assert!(session.beside()[0].snapshot == alone("uneven-air", session.beside()[0].snapshot.t_s));
    session.act(Action::Seek(2.0));
    wait(&mut session, 2.0 * FRAME_S);
    assert!(abs_diff_eq!(t_s(&session), 2.0, epsilon = 0.06) && apart(&session) < 1e-6);
    // One side only from here on: the run as it was stands beside.
    session.act(Action::Hold { outlet: 0, lever: Some(Lever::Up) });
    wait(&mut session, 1.0);
    session.act(Action::Hold { outlet: 0, lever: None });
    session.act(Action::PlayOrPause);
    session.act(Action::Beside(Some(Which::AsItWas)));
    wait(&mut session, 2.0 * FRAME_S);
    assert!(t_s(&session) > 2.5 && apart(&session) < 0.06);
    assert!(session.here().snapshot != session.beside()[0].snapshot, "they have parted");
    session.act(Action::Seek(1.0));
    wait(&mut session, 2.0 * FRAME_S);
    assert!(session.here().snapshot == session.beside()[0].snapshot, "the same before the change");
    session.act(Action::Beside(None));
    session.advance(FRAME_S);
    assert!(
        session.beside().iter().all(|shown| shown.scene.is_none())
            && session.runs_compared().is_none()
    );
}

/// The guided first lift waits for what it asks for, and only that brings it on.
#[test]
fn the_guide_waits_for_the_users_own_hands() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = Session::new(vec![shipped("beam-lift")], None, edge(folder.path()));
    session.act(Action::Guide);
    let done = |session: &Session| session.guide().map(Guide::done);
    wait(&mut session, 0.5);
    session.act(Action::Look(View::Casualty));
    session.advance(FRAME_S);
    assert_eq!(done(&session), Some(0), "not what it waits for");
    assert_eq!(session.act(Action::Turn([60.0, 0.0])), Some(Effect::Turn([60.0, 0.0])));
    assert_eq!(done(&session), Some(1));
    session.act(Action::Look(View::Casualty));
    session.act(Action::Stage(Stage::SetUp));
    session.advance(FRAME_S);
    session.act(Action::Stage(Stage::Lift));
    session.advance(FRAME_S);
    assert_eq!(done(&session), Some(4));
    for outlet in 0..2 {
        session.act(Action::Hold { outlet, lever: Some(Lever::Up) });
    }
    assert!(wait_until(&mut session, 60.0, |s| done(s) == Some(5)), "it rises");
    for outlet in 0..2 {
        session.act(Action::Hold { outlet, lever: None });
    }
    session.act(Action::Toggle(Overlay::Loads));
    wait(&mut session, 3.0 * FRAME_S);
    assert_eq!(done(&session), Some(5), "the captures come first");
    session.act(Action::Capture);
    wait(&mut session, 3.0 * FRAME_S);
    assert_eq!(done(&session), Some(7), "the loads are shown already");
    session.act(Action::Guide);
    assert!(session.guide().is_none());
}

/// What was brought is undone and done again; what cannot be says so.
#[test]
fn an_edit_is_undone_and_done_again() {
    let (mut session, _folder) = on("beam-lift");
    session.act(Action::Stage(Stage::SetUp));
    let before = count(&session, ItemKind::Chock);
    bench(&mut session, Ask::Undo);
    assert_eq!(note(&session), "There is nothing to undo.");
    bench(&mut session, Ask::Bring(ItemKind::Chock));
    let brought = count(&session, ItemKind::Chock);
    assert!(brought > before);
    bench(&mut session, Ask::Undo);
    assert_eq!(count(&session, ItemKind::Chock), before);
    assert!(note(&session).starts_with("Undone: "), "{}", note(&session));
    bench(&mut session, Ask::Redo);
    assert_eq!(count(&session, ItemKind::Chock), brought);
    bench(&mut session, Ask::Redo);
    assert_eq!(note(&session), "There is nothing to do again.");
    // The lift is set up from what stands there now.
    session.act(Action::Stage(Stage::Lift));
    assert!(matches!(session.screen(), Screen::Settling(_)));
    assert_eq!(session.advance(FRAME_S), None, "the camera stays where it is");
    assert_eq!(session.here().scene.as_ref().map(|s| s.chocks.len()), Some(brought));
}

/// A line of sight chooses what it meets; a drag moves that, and one that takes hold of nothing
/// turns the camera.
#[test]
fn a_line_of_sight_chooses_and_drags() {
    let (mut session, _folder) = on("beam-lift");
    session.act(Action::Stage(Stage::SetUp));
    session.advance(FRAME_S);
    let selected = |session: &Session| session.bench().expect("a bench").selected;
    // The near face of the left stack, half way up.
    let (eye, face) = ([3.4, 2.2, 4.8], [-0.45, 0.12, 1.42]);
    let towards = [0, 1, 2].map(|k| face[k] - eye[k]);
    let line = Some(Ray { from: eye, towards });
    bench(&mut session, Ask::Click(line));
    assert_eq!(selected(&session), Some(Item::new(ItemKind::Stack, 0)));
    bench(&mut session, Ask::Click(None));
    assert_eq!(selected(&session), None, "nothing is looked at");
    let bare_ground = [1.2, 2.2];
    bench(&mut session, Ask::Click(down_at(bare_ground)));
    assert_eq!(selected(&session), None, "the ground is no thing");
    let drag = |from, to, done| Ask::Drag { from, to, by: [3.0, 4.0], done };
    let walked = bench(&mut session, drag(down_at(bare_ground), down_at([1.0, 2.0]), true));
    assert_eq!(walked, Some(Effect::Turn([3.0, 4.0])));
    // The stack goes with the hand.
    let stack = Item::new(ItemKind::Stack, 0);
    let at = |session: &Session| stack.at(session.bench().expect("a bench").draft.doc());
    let from = at(&session).expect("it has a place");
    let by = [0.1, 0.2];
    let beside = Some(Ray { from: [eye[0] + by[0], eye[1], eye[2] + by[1]], towards });
    for done in [false, true] {
        assert_eq!(bench(&mut session, drag(line, beside, done)), None);
    }
    assert_eq!(selected(&session), Some(stack));
    let now = at(&session).expect("it has a place");
    assert!(
        (0..2).all(|k| abs_diff_eq!(now[k] - from[k], by[k], epsilon = 0.04)),
        "{now:?} from {from:?}"
    );
    bench(&mut session, Ask::Undo);
    assert_eq!(at(&session), Some(from), "one drag is one edit");
}

/// A step chock is brought, typed, mirrored, dragged and taken back as other things are, and so is
/// timber under the beam.
#[test]
fn step_chocks_and_timber_under_the_beam_go_by_hand() {
    let (mut session, _folder) = on("sill-crib");
    session.act(Action::Stage(Stage::SetUp));
    bench(&mut session, Ask::Select(Some(Item::new(ItemKind::Capture, 0))));
    bench(&mut session, Ask::Remove);
    bench(&mut session, Ask::Both);
    bench(&mut session, Ask::Bring(ItemKind::StepChock));
    assert_eq!(count(&session, ItemKind::StepChock), 1, "{}", note(&session));
    let item = Item::new(ItemKind::StepChock, 0);
    let seen = |session: &Session| session.bench().expect("a bench").draft.seen().scene.clone();
    let rise = Value::Text("50 mm".to_owned());
    bench(&mut session, Ask::Edit(Edit::Set { item, key: "rise", value: rise }));
    bench(&mut session, Ask::Select(Some(item)));
    bench(&mut session, Ask::Mirror);
    let both = seen(&session).step_chocks.clone();
    let [one, other] = &both[..] else { panic!("{both:?}") };
    assert_eq!((one.at[0], one.at[1], one.rise_m), (other.at[0], -other.at[1], other.rise_m));
    assert!(one.away([0.0; 2]) != other.away([0.0; 2]), "its steps rise away from the middle");
    bench(&mut session, Ask::Undo);
    assert_eq!(count(&session, ItemKind::StepChock), 1);
    bench(&mut session, Ask::Select(Some(item)));
    bench(&mut session, Ask::Nudge([2, 0]));
    assert!(seen(&session).step_chocks[0].at[0] > one.at[0]);

    let (mut session, _folder) = on("beam-cribbed");
    session.act(Action::Stage(Stage::SetUp));
    bench(&mut session, Ask::Both);
    bench(&mut session, Ask::Select(Some(Item::new(ItemKind::Capture, 1))));
    bench(&mut session, Ask::Remove);
    bench(&mut session, Ask::Select(Some(Item::new(ItemKind::Capture, 0))));
    bench(&mut session, Ask::Mirror);
    let captures = seen(&session).captures.clone();
    let places: Vec<f64> = captures.iter().map(|capture| capture.at[1]).collect();
    assert!(captures.iter().all(|capture| capture.is_under_beam()), "{captures:?}");
    assert_eq!(places, [1.61, -1.61]);
    bench(&mut session, Ask::Undo);
    assert_eq!(count(&session, ItemKind::Capture), 1);
}

/// Somebody who lies there is chosen and dragged by the body; what is trapped stays a thing of
/// its own.
#[test]
fn a_person_is_dragged_by_the_body() {
    let (mut session, _folder) = on("van-sill");
    session.act(Action::Stage(Stage::SetUp));
    session.advance(FRAME_S);
    let person = Item::new(ItemKind::Person, 0);
    // On the head, which lies clear of the vehicle.
    let head = [0.81, 1.38];
    bench(&mut session, Ask::Click(down_at(head)));
    assert_eq!(session.bench().expect("a bench").selected, Some(person));
    let at = |session: &Session| person.at(session.bench().expect("a bench").draft.doc());
    let from = at(&session).expect("it has a place");
    let drag = |to, done| Ask::Drag { from: down_at(head), to, by: [0.0; 2], done };
    for done in [false, true] {
        assert_eq!(bench(&mut session, drag(down_at([0.91, 1.48]), done)), None);
    }
    let now = at(&session).expect("it has a place");
    assert!(
        (0..2).all(|k| abs_diff_eq!(now[k] - from[k], 0.1, epsilon = 0.04)),
        "{now:?} from {from:?}"
    );
    bench(&mut session, Ask::Undo);
    assert_eq!(at(&session), Some(from), "one drag is one edit");
}

/// What was lifted last is not played while something else, that does not fit, is on the bench.
#[test]
fn no_way_leads_from_a_faulty_bench_to_an_old_lift() {
    let (mut session, _folder) = on("beam-lift");
    session.act(Action::Stage(Stage::SetUp));
    bench(&mut session, Ask::Select(Some(Item::new(ItemKind::Stack, 0))));
    bench(&mut session, Ask::Nudge([900, 0]));
    assert!(session.bench().expect("a bench").draft.seen().ready().is_none());
    let hold = Action::Hold { outlet: 0, lever: Some(Lever::Up) };
    for way in
        [Action::Stage(Stage::Lift), Action::PlayOrPause, Action::Stage(Stage::LookBack), hold]
    {
        session.act(Action::Stage(Stage::SizeUp));
        session.advance(FRAME_S);
        let before = session.play().expect("a lift").latest().t_s;
        session.act(way);
        wait(&mut session, 6.0 * FRAME_S);
        assert_eq!(note(&session), "Correct the problems first.");
        assert_eq!(
            (session.stage(), before),
            (Stage::SetUp, session.play().expect("one").latest().t_s)
        );
    }
}

/// Whatever ends a session, the work is offered again, with what does not fit in it; thrown away
/// it is gone.
#[test]
fn nothing_unsaved_is_lost() {
    let (mut session, folder) = on("beam-lift");
    session.act(Action::Stage(Stage::SetUp));
    bench(&mut session, Ask::Select(Some(Item::new(ItemKind::Stack, 0))));
    bench(&mut session, Ask::Nudge([0, -80]));
    let draft = &session.bench().expect("a bench").draft;
    assert!(draft.seen().ready().is_none());
    let left = draft.doc().clone();
    // It is gone without a word.
    drop(session);
    let mut session = Session::new(vec![shipped("beam-lift")], None, edge(folder.path()));
    let path = session.scenes().unsaved()[0].path.clone();
    session.act(Action::TakeUp(path.clone()));
    session.advance(FRAME_S);
    assert_eq!((session.stage(), session.benching()), (Stage::SetUp, true));
    assert_eq!(*session.bench().expect("a bench").draft.doc(), left);
    session.act(Action::Shelf);
    assert!(session.here().scene.is_none(), "nothing is left of it on screen");
    assert_eq!(session.scenes().unsaved().len(), 1);
    session.act(Action::ThrowAway(path));
    assert!(session.scenes().unsaved().is_empty());
}

/// What was saved is on the shelf, now and of the next start, and opens the same; what has been
/// broken there since is told, with the reason.
#[test]
fn what_was_saved_is_on_the_shelf() {
    let (mut session, folder) = on("deck-lid-wedged");
    session.act(Action::Stage(Stage::SetUp));
    bench(&mut session, Ask::Bring(ItemKind::Chock));
    assert_eq!(session.scenes().all().len(), 0);
    bench(&mut session, Ask::SaveUnder("My own".into()));
    assert!(note(&session).starts_with("Saved as "), "{}", note(&session));
    assert_eq!(session.scenes().all()[0].name, "My own");
    let saved = session.bench().expect("a bench").draft.doc().clone();
    drop(session);
    let mut session = Session::new(Vec::new(), None, edge(folder.path()));
    assert!(session.trouble().is_none() && session.scenes().unsaved().is_empty());
    session.act(Action::Open(0));
    session.advance(FRAME_S);
    assert_eq!(*session.bench().expect("a bench").draft.doc(), saved);
    let folders = Folders::below(folder.path());
    let file = folders.scenes.read_dir().expect("it is there").next().expect("one").expect("file");
    std::fs::write(file.path(), "(name: ").expect("it is written");
    let session = Session::new(Vec::new(), None, edge(folder.path()));
    let told = session.trouble().expect("it is told");
    assert!(told.starts_with("A scene of yours cannot be used. "), "{told}");
    assert!(told.contains(&*file.file_name().to_string_lossy()), "{told}");
}

/// Why something cannot be opened is told, whatever it is.
#[test]
fn the_reason_why_something_cannot_be_opened_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = Session::new(vec![shipped("beam-lift")], None, edge(folder.path()));
    let mut reason = |action: Action| {
        session.act(action);
        assert!(matches!(session.screen(), Screen::Shelf));
        let told = session.trouble().unwrap_or_default().to_owned();
        told.strip_prefix("This cannot be opened: ").map(str::to_owned).unwrap_or(told)
    };
    let missing = folder.path().join("unsaved").join("unsaved-1-1.ron");
    let why = reason(Action::TakeUp(missing));
    assert!(why.contains("unsaved-1-1.ron"), "{why}");
    let why = reason(Action::Begin("hovercraft".into()));
    assert!(why.contains("hovercraft"), "{why}");
    // A scene that can be read but not opened.
    let Ok(doc) = scene::tree_of("beam-lift", &[]) else { panic!("it is read") };
    let broken =
        Loaded { scene: shipped("beam-lift").scene, doc: doc.get("vehicle").expect("one").clone() };
    let session = Session::new(Vec::new(), Some(broken), edge(folder.path()));
    let told = session.trouble().unwrap_or_default();
    assert!(told.len() > "This cannot be opened: ".len() + 10, "{told:?}");
}

/// A tape measures where lines of sight meet something, and what can be asked is answered from
/// the sheet.
#[test]
fn what_is_there_is_measured_and_asked() {
    let (mut session, _folder) = on("beam-lift");
    session.act(Action::Measure(MeasureAction::Tool(Tool::Tape)));
    for at in [[1.2, 2.2], [1.2, 3.2]] {
        session.act(Action::Measure(MeasureAction::Click(down_at(at))));
    }
    let [MeasuredValue::Tape { from, to, rise_m }] = session.measure().taken[..] else {
        panic!("{:?}", session.measure().taken)
    };
    assert!(abs_diff_eq!(to[2] - from[2], 1.0, epsilon = 1e-3) && rise_m.abs() < 1e-3);
    session.act(Action::Measure(MeasureAction::Click(None)));
    assert_eq!(session.measure().taken.len(), 1, "the sky is no place");
    session.advance(FRAME_S);
    assert_eq!(session.measure().weight().count(), 1);
    assert!(session.measure().bears_on().all(|(on, row)| !on.is_empty() && row.result.is_some()));
    assert!(session.measure().bears_on().count() > 0);
}

/// Rows of the sheet about the chosen thing are told from those about a thing whose name only
/// begins the same.
#[test]
fn a_row_is_about_the_chosen_thing_alone() {
    let (mut session, _folder) = on("beam-lift");
    session.act(Action::Stage(Stage::SetUp));
    let mut chosen = |kind| {
        bench(&mut session, Ask::Select(Some(Item::new(kind, 0))));
        let bench = session.bench().expect("a bench");
        let rows = bench.rows.iter().filter(|row| bench.is_about_chosen(row));
        rows.map(inchwise::statics::sheet::Row::what).collect::<Vec<_>>()
    };
    let (stack, bag) = (chosen(ItemKind::Stack), chosen(ItemKind::Bag));
    assert!(!stack.is_empty() && !bag.is_empty());
    assert!(stack.iter().all(|what| !bag.contains(what)), "{stack:?} and {bag:?}");
    assert!(stack.iter().all(|what| !what.contains("lower")), "{stack:?}");
}

/// What concerns only the camera and the screen comes back as plain data, and a finding is gone
/// to in place and time.
#[test]
fn a_session_asks_its_driver_for_what_it_cannot_do() {
    let (mut session, _folder) = on("capture-late");
    for (action, effect) in [
        (Action::Look(View::Side), Effect::Look(View::Side)),
        (Action::Turn([1.0, 2.0]), Effect::Turn([1.0, 2.0])),
        (Action::Shift([1.0, 2.0]), Effect::Shift([1.0, 2.0])),
        (Action::Nearer(3.0), Effect::Nearer(3.0)),
        (Action::WholeScreen, Effect::WholeScreen),
    ] {
        assert_eq!(session.act(action), Some(effect));
    }
    assert_eq!(session.act(Action::Visit(0)), None, "nothing has gone wrong yet");
    session.act(Action::Freeze);
    session.act(Action::PlayOrPause);
    let found = |s: &Session| s.play().is_some_and(|play| play.frozen);
    assert!(wait_until(&mut session, 200.0, found), "it stands still when something goes wrong");
    let finding = session.here().findings[0].clone();
    session.act(Action::Seek(1.0));
    let Some(Effect::Visit(stand)) = session.act(Action::Visit(0)) else { panic!("no visit") };
    let off: f64 = (0..3).map(|i| (stand.focus[i] - finding.place[i]).powi(2)).sum();
    assert!(off.sqrt() < 1.5, "{stand:?} for {finding:?}");
    session.advance(FRAME_S);
    assert_abs_diff_eq!(t_s(&session), finding.t_s, epsilon = 0.06);
    assert!(!session.play().expect("a lift").playing);
}

/// At the end of a lift it is looked back at, once, and its lesson is told.
#[test]
fn the_end_is_looked_back_at() {
    let (mut session, _folder) = on("capture-late");
    session.act(Action::PlayOrPause);
    let back = |s: &Session| s.stage() == Stage::LookBack;
    assert!(wait_until(&mut session, 400.0, back));
    assert!(session.play().expect("a lift").ended());
    assert!(!session.lesson().is_empty());
    let practice = session.practice().expect("how it was done is told").clone();
    let late = practice.points.iter().position(|point| point.rule.word == "rise_on_air");
    let late = late.expect("the capture came late");
    let place = practice.points[late].place;
    let Some(Effect::Visit(stand)) = session.act(Action::VisitPoint(late)) else {
        panic!("no visit")
    };
    let off: f64 = (0..3).map(|i| (stand.focus[i] - place[i]).powi(2)).sum();
    assert!(off.sqrt() < 1.5, "{stand:?} for {place:?}");
    session.advance(FRAME_S);
    assert_abs_diff_eq!(t_s(&session), practice.points[late].t_s, epsilon = 0.06);
    assert_eq!(session.practice(), Some(&practice), "whatever moment is looked at");
    assert_eq!(session.act(Action::VisitPoint(99)), None);
    session.act(Action::Units);
    assert_eq!((session.units(), session.here().units), (UnitSystem::Us, UnitSystem::Us));
    session.act(Action::Stage(Stage::Lift));
    wait(&mut session, 0.5);
    assert_eq!(session.stage(), Stage::Lift, "once is enough");
}

/// How far a frame takes the lift on, s.
fn frame_takes_s(session: &mut Session, frame_s: f64) -> f64 {
    let before = t_s(session);
    session.advance(frame_s);
    t_s(session) - before
}

/// A machine whose frames last too long plays slower, every frame by as much, and says so; one
/// long frame is neither caught up nor told.
#[test]
fn a_machine_that_falls_behind_slows_evenly_and_says_so() {
    let (mut session, _folder) = on("beam-lift");
    session.act(Action::PlayOrPause);
    let slowed_to = |session: &Session| session.play().and_then(|play| play.slowed_to());
    wait(&mut session, 2.0);
    frame_takes_s(&mut session, 3.0);
    assert!(frame_takes_s(&mut session, FRAME_S) <= 0.25 + 1e-6, "it is not caught up");
    for _ in 0..200 {
        let takes_s = frame_takes_s(&mut session, FRAME_S);
        assert!(
            abs_diff_eq!(takes_s, FRAME_S, epsilon = 1e-6),
            "the next ones last as ever: {takes_s}"
        );
        assert_eq!(slowed_to(&session), None);
    }
    // Two frames a second are more than a lift catches up.
    session.advance(0.5);
    for _ in 0..12 {
        let takes_s = frame_takes_s(&mut session, 0.5);
        assert!(abs_diff_eq!(takes_s, 0.25, epsilon = 1e-6), "evenly: {takes_s}");
    }
    let told = slowed_to(&session).expect("it is told");
    assert!(abs_diff_eq!(told, 0.5, epsilon = 0.02), "{told}");
    session.act(Action::PlayOrPause);
    session.advance(FRAME_S);
    assert_eq!(slowed_to(&session), None, "nothing goes on");
}

/// A lift that takes longer to play than to happen goes on in small steps and makes up for none.
#[test]
fn a_lift_that_is_slower_than_time_does_not_jump() {
    let folder = tempfile::tempdir().expect("a folder");
    let edge = Edge { pace: Pace::Free, ..edge(folder.path()) };
    let mut session = Session::new(Vec::new(), Some(shipped("beam-lift")), edge);
    while session.play().is_none() {
        session.advance(FRAME_S);
        std::thread::yield_now();
    }
    session.act(Action::PlayOrPause);
    // A frame of this loop says that it lasted 17 ms, in which no machine gets that far.
    let (mut frames, mut longest_s) = (0, 0.0_f64);
    while t_s(&session) < 1.5 {
        longest_s = longest_s.max(frame_takes_s(&mut session, FRAME_S));
        frames += 1;
    }
    let passed_s = f64::from(frames) * FRAME_S;
    assert!(passed_s > 2.0 * 1.5, "this lift was to be too slow: {passed_s} s");
    assert!(longest_s < 0.051, "it jumped by {longest_s} s");
    let told = session.play().and_then(|play| play.slowed_to()).expect("it is told");
    assert!(told < 0.9, "{told}");
}

/// Low power is remembered and draws plainly; the usual graphics end it.
#[test]
fn low_power_is_plain() {
    let (mut session, _folder) = on("beam-lift");
    session.act(Action::LowPower);
    assert!(session.low_power() && session.plain());
    session.act(Action::LowPower);
    assert!(!session.low_power() && !session.plain());
    session.act(Action::LowPower);
    session.act(Action::Plain);
    assert!(!session.low_power() && !session.plain());
}

/// Before its lift a lesson tells neither what it teaches nor how it ends, and no look back does so
/// early; once it was played as its author set it up, the shelf may, and where an instructor asks.
#[test]
fn an_ending_is_told_after_its_lift_only() {
    let folder = tempfile::tempdir().expect("a folder");
    let begin = |start: Option<Loaded>| {
        let shelf = vec![shipped("capture-late"), shipped("capture-each-inch")];
        Session::new(shelf, start, edge(folder.path()))
    };
    let told = |session: &Session| {
        let scenes = session.scenes().all();
        [0, 1].map(|i| session.endings_told().is_told(&scenes[i]))
    };
    let lift = |session: &mut Session| {
        assert!(wait_until(session, 20.0, |s| s.play().is_some()));
        session.act(Action::PlayOrPause);
        wait(session, 1.0);
        session.act(Action::Stage(Stage::LookBack));
        assert_eq!(session.lesson(), Vec::<String>::new(), "the lift goes on");
        assert!(wait_until(session, 400.0, |s| s.play().is_some_and(|play| play.ended())));
        assert_eq!(session.lesson()[0], shipped("capture-late").scene.teaches);
        session.act(Action::Shelf);
    };
    // Another set-up than the lesson's tells of another ending.
    let change = "orders.1.wait.for=\"9 s\"".to_owned();
    let mut session = begin(scene::load("capture-late", &[change]).ok());
    lift(&mut session);
    assert_eq!(told(&session), [false; 2]);
    let mut session = begin(None);
    assert_eq!(told(&session), [false; 2]);
    session.act(Action::ShowEndings);
    assert_eq!(told(&session), [true; 2]);
    session.act(Action::ShowEndings);
    session.act(Action::Open(0));
    lift(&mut session);
    assert_eq!(told(&session), [true, false]);
}

//! The job by the clock and what the truck carries.

use approx::abs_diff_eq;
use inchwise::scene::{Piece, TaskKind, builtin_names, load};
use inchwise::statics::job::{Held, Job, WorkPace};
use inchwise::statics::plan::Plan;
use inchwise::statics::sheet::{RowGroup, Sheet, Verdict};
use inchwise::statics::take::taken;
use inchwise::units::UnitSystem;

const MINUTE_S: f64 = 60.0;

fn jobs(changes: &[String]) -> Vec<(String, Job)> {
    let all = builtin_names().into_iter().filter_map(|name| {
        let scene = load(&name, changes).ok()?.scene;
        let plan = Plan::new(&scene)?;
        Some((name, Job::new(&scene, &plan)))
    });
    all.collect()
}

/// With stakes to drive and no block on the bag the stack is what takes longest.
const STAKED: [&str; 2] = ["chocks.0.staked=true", "chocks.1.staked=true"];
const NO_BLOCK: &str = "wedges=[]";

/// By hand, at the middle of each range, with people enough: the kit is laid out in 4 min, as long
/// as a chock (40 s) and its stake (2 min) take from the end of making safe (210 s) on are longer:
/// 370 s; then a stack of so many timbers at 10 s, a bag at 40 s, and a minute to agree the release.
#[test]
fn val_a_sill_lift_is_ready_after_the_tasks_that_wait_for_each_other() {
    let changes = ["crew=(people: 20)", STAKED[0], STAKED[1], NO_BLOCK].map(str::to_owned);
    let scene = load("sill-crib", &changes).unwrap().scene;
    let stack = &scene.stacks[0];
    let pieces = stack.layers * stack.members + stack.pads_m.len();
    let by_hand_s = 210.0 + 40.0 + 120.0 + 10.0 * pieces as f64 + 40.0 + MINUTE_S;
    let job = Job::new(&scene, &Plan::new(&scene).unwrap());
    let ready_s = job.ready_s(WorkPace::Usual);
    assert!(abs_diff_eq!(ready_s, by_hand_s, epsilon = 1e-9), "{ready_s} s, by hand {by_hand_s} s");
}

/// On every shipped scene: nobody has two tasks at once, nothing begins before what it waits for,
/// and the job is no shorter than its hands times minutes allow.
#[test]
fn nobody_does_two_things_at_once_and_nothing_begins_too_soon() {
    for (name, job) in jobs(&[]) {
        for pace in [WorkPace::Fastest, WorkPace::Usual, WorkPace::Slowest] {
            let slots = job.slots(pace);
            let people = job.who(pace);
            for (i, (task, slot)) in job.list.tasks.iter().zip(slots).enumerate() {
                assert_eq!(people[i].len(), task.people.min(job.people), "{name}, task {i}");
                let first = people[i].contains(&0);
                assert!(task.order.is_none() || first == task.at_controller(), "{name}, task {i}");
                for before in &task.after {
                    assert!(slots[*before].end_s <= slot.begin_s + 1e-9, "{name}, task {i}");
                }
                let held_s = match slot.held {
                    Held::Nothing => 0.0,
                    Held::After(other) | Held::People(other) => slots[other].end_s,
                };
                assert!(abs_diff_eq!(slot.begin_s, held_s, epsilon = 1e-9), "{name}, task {i}");
                for other in 0..i {
                    let apart = slots[other].end_s <= slot.begin_s + 1e-9
                        || slot.end_s <= slots[other].begin_s + 1e-9;
                    let shared = people[other].iter().any(|who| people[i].contains(who));
                    assert!(apart || !shared, "{name}: one person at {other} and {i}");
                }
            }
            let work_s: f64 = job
                .list
                .tasks
                .iter()
                .zip(slots)
                .map(|(task, slot)| {
                    task.people.min(job.people) as f64 * (slot.end_s - slot.begin_s)
                })
                .sum();
            let end_s = slots.iter().map(|slot| slot.end_s).fold(0.0, f64::max);
            assert!(end_s * job.people as f64 >= work_s - 1e-6, "{name}");
        }
        assert!(job.ready_s(WorkPace::Fastest) < job.ready_s(WorkPace::Slowest), "{name}");
    }
}

/// Over the shelf: a crew of three is never ready before one of twelve.
#[test]
fn more_people_are_never_slower() {
    let few = jobs(&["crew=(people: 3)".into()]);
    let many = jobs(&["crew=(people: 12)".into()]);
    let mut sooner = 0;
    for ((name, few), (_, many)) in few.iter().zip(&many) {
        let [few_s, many_s] = [few, many].map(|job| job.ready_s(WorkPace::Usual));
        assert!(many_s <= few_s + 1e-9, "{name}: {many_s} s with twelve, {few_s} s with three");
        sooner += usize::from(many_s < few_s - MINUTE_S);
    }
    assert!(sooner > 20, "people decide in {sooner} scenes only");
}

/// A crew's own drills stand in for what is assumed: timbers at 8 s in the place of 10 s.
#[test]
fn drills_stand_in_for_assumed_times() {
    let at = |changes: &[String]| {
        let stack_decides = [STAKED[0], STAKED[1], NO_BLOCK].map(str::to_owned);
        let scene = load("sill-crib", &[changes, &stack_decides].concat()).unwrap().scene;
        let pieces =
            scene.stacks[0].layers * scene.stacks[0].members + scene.stacks[0].pads_m.len();
        (Job::new(&scene, &Plan::new(&scene).unwrap()).ready_s(WorkPace::Usual), pieces as f64)
    };
    let crew = "crew=(people: 20)".to_owned();
    let drill = "measured=(data: \"Invented.\", drills: [(task: \"stack timber\", least: \"6 s\", most: \"10 s\")])";
    let (assumed_s, pieces) = at(std::slice::from_ref(&crew));
    let (drilled_s, _) = at(&[crew, drill.into()]);
    assert!(
        abs_diff_eq!(assumed_s - drilled_s, 2.0 * pieces, epsilon = 1e-9),
        "{assumed_s} {drilled_s}"
    );
    assert_eq!(TaskKind::StackTimber.assumed_s(), [5.0, 15.0]);
}

/// Counted by hand in the scene's file: two stacks of three layers of two timbers with a board
/// each; a board on each upper bag; a pair of shims at either opening; one pair of wedges on each
/// of two timbers at four places.
#[test]
fn val_the_beam_lift_takes_what_stands_in_its_file() {
    let scene = load("beam-lift", &[]).unwrap().scene;
    let list = taken(&scene, Plan::new(&scene).as_ref());
    let count = |of: &dyn Fn(Piece) -> bool| {
        list.iter().filter(|stock| of(stock.piece)).map(|stock| stock.count).sum::<usize>()
    };
    let long = |m: f64| move |piece: Piece| matches!(piece, Piece::Timber { length_m, .. } if (length_m - m).abs() < 1e-3);
    assert_eq!(count(&long(0.6096)), 12, "timbers of the stacks, 24 in");
    assert_eq!(count(&long(3.048)), 1, "the beam, 10 ft");
    assert_eq!(count(&|piece| matches!(piece, Piece::Board { .. })), 4);
    assert_eq!(count(&|piece| piece == Piece::WedgePair), 2 * 4 + 2);
    assert_eq!(count(&|piece| piece == Piece::Chock), 2);
    assert_eq!(count(&|piece| piece == Piece::Stake), 2);
    assert_eq!(count(&|piece| matches!(piece, Piece::Bag { .. })), 4);
    assert_eq!(count(&|piece| piece == Piece::Outlet), 2);
}

/// The rescue truck has all of the beam lift; the first engine lacks the beam and half of the
/// bags, and longer timbers do for shorter ones.
#[test]
fn what_is_not_on_the_truck_is_said_with_what_does_in_its_place() {
    let rows = |kit: &str| {
        let scene = load("beam-lift", &[format!("kit={kit}")]).unwrap().scene;
        let sheet = Sheet::new(&scene, UnitSystem::Si);
        sheet.rows.into_iter().filter(|row| row.group == RowGroup::Kit).collect::<Vec<_>>()
    };
    assert!(rows("rescue-truck").iter().all(|row| row.verdict() != Some(Verdict::Fails)));
    let short: Vec<_> = rows("first-engine")
        .into_iter()
        .filter(|row| row.verdict() == Some(Verdict::Fails))
        .map(|row| (row.what(), row.note))
        .collect();
    let note = |what: &str| short.iter().find(|(w, _)| w == what).map(|(_, note)| note.as_str());
    let scene = load("beam-lift", &[]).unwrap().scene;
    let beam = scene.beam.expect("it lifts by a beam").timber.nominal;
    assert_eq!(note(&format!("{beam} timbers")), Some("1 short."));
    assert_eq!(note("Lifting bags"), Some("2 short."));
    assert_eq!(note("Pairs of wedges"), Some("2 short."));
    assert_eq!(note("Chocks"), None);
    // 16 timbers of 18 in do for the 4 of 12 in that the captures take, and nothing else does.
    let packing = rows("first-engine").into_iter().find(|row| row.note.contains("larger ones do"));
    let packing = packing.expect("longer timbers do");
    assert!(packing.note.starts_with("4 larger ones do, 457 mm long"), "{}", packing.note);
    assert_eq!(packing.verdict(), Some(Verdict::Close));
}

#[test]
fn every_shipped_kit_can_be_taken_up() {
    for kit in ["first-engine", "rescue-truck", "timber-trailer"] {
        for name in builtin_names() {
            let scene = load(&name, &[format!("kit={kit}")]).unwrap().scene;
            let kit = scene.kit.as_ref().expect("the kit that was named");
            assert!(kit.stock.iter().all(|stock| stock.count > 0));
        }
    }
}

/// The page of scenes tells what is assumed of every task.
#[test]
fn the_page_of_scenes_has_the_assumed_times() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/SCENES.md");
    let page = std::fs::read_to_string(path).expect("the page is there");
    for (word, task) in TaskKind::WORDS {
        let [least, most] = task.assumed_s();
        let people = match task.people() {
            0 => "who commands".to_owned(),
            people => people.to_string(),
        };
        let line = format!("| `\"{word}\"` | {people} | {least} to {most} s |");
        assert!(page.contains(&line), "no line {line}");
    }
}

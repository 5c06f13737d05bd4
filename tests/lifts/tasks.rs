//! Law protected: what a task's file says of its way out is borne out by lifts. As it is handed out
//! each fails; with its mend it holds, within its truck; and where nothing on the truck is said to
//! mend it, none of the first obvious changes does. So neither always lifting nor always stopping does
//! better than chance.

use crate::played::played;
use inchwise::caution::CAUTION;
use inchwise::debrief::Debrief;
use inchwise::parallel::{ThreadsError, cores, each};
use inchwise::scene::{self, Outcome, Source, choice};
use inchwise::task::{
    self, HintPair, LiftTask, LiftTaskPlan, PlayedTask, WayOut, kit_short, obvious_changes,
};
use inchwise::units::UnitSystem;
use std::sync::{Arc, LazyLock};

const UNITS: UnitSystem = UnitSystem::Si;

/// So many of the obvious changes are played here; `inchwise task FILE --play` plays them all.
const TRIED: usize = 3;

/// A task with its lifts.
struct Lifts {
    task: LiftTask,
    as_handed_out: Arc<Debrief>,
    tried: Vec<PlayedTask>,
}

impl Lifts {
    /// With its mend, or with the first of the obvious changes that its truck allows.
    fn of(task: LiftTask) -> Self {
        let changes: Vec<Vec<String>> = match &task.way_out {
            WayOut::Mend { mends, .. } => {
                vec![mends.iter().map(|mend| mend.change.clone()).collect()]
            }
            WayOut::NoGoodLift { .. } => obvious_changes(&task)
                .into_iter()
                .filter(|changes| {
                    let made = task.with(changes);
                    made.is_some_and(|scene| kit_short(&scene, UNITS).is_empty())
                })
                .take(TRIED)
                .collect(),
        };
        Self::with(task, changes)
    }

    fn with(task: LiftTask, changes: Vec<Vec<String>>) -> Self {
        let as_handed_out = played(&task.scene_file, &[]);
        let tried = changes.into_iter().map(|changes| {
            let debrief = lift(&task, &changes);
            PlayedTask { changes, debrief }
        });
        let tried = tried.collect();
        Self { task, as_handed_out, tried }
    }

    fn plan(&self) -> LiftTaskPlan<'_> {
        let Self { task, as_handed_out, tried } = self;
        LiftTaskPlan { task, as_handed_out, tried, units: UNITS }
    }
}

/// A task's set-up with some changes, played. What has become the scene's twin is the twin's lift,
/// which the shelf plays anyway; the truck's kit moves no lift.
fn lift(task: &LiftTask, changes: &[String]) -> Arc<Debrief> {
    let texts: Vec<&str> = changes.iter().map(String::as_str).collect();
    let twin = task.lesson.lesson.twin.as_deref();
    let made = scene::tree_of(&task.scene_file, changes).ok();
    let same = twin.filter(|twin| {
        let other = scene::tree_of(twin, &[]).ok();
        made.as_ref().zip(other.as_ref()).is_some_and(|(a, b)| choice(a, b).is_empty())
    });
    match same {
        Some(twin) => played(twin, &[]),
        None => played(&task.scene_file, &texts),
    }
}

/// Every shipped task with its lifts, played once.
static ALL: LazyLock<Vec<Lifts>> = LazyLock::new(|| {
    let lifts = |source: &Source| {
        Lifts::of(task::load_from(source).unwrap_or_else(|problems| panic!("{problems:?}")))
    };
    let all = each(&task::FILES.shelf(), cores(), lifts, &mut |_| Ok::<_, ThreadsError>(()));
    all.unwrap_or_else(|why| panic!("{why}"))
});

#[test]
fn the_lifts_bear_out_what_each_task_says() {
    for lifts in ALL.iter() {
        let (plan, file) = (lifts.plan(), &lifts.task.file);
        assert_eq!(plan.misfits(), Vec::<String>::new(), "{file}\n{}", plan.text());
        assert_ne!(lifts.as_handed_out.outcome, Outcome::Lifted, "{file}");
        let holds = lifts.tried.iter().filter(|p| p.debrief.outcome == Outcome::Lifted).count();
        match lifts.task.way_out {
            WayOut::Mend { .. } => assert_eq!(holds, 1, "{file}"),
            WayOut::NoGoodLift { .. } => {
                assert_eq!(holds, 0, "{file}");
                let tried = lifts.tried.len();
                assert!(tried >= 2, "{file}: a search of {tried} changes is none");
            }
        }
    }
}

/// Always lifting, with the mend that there is, comes off in half of the twelve, and always stopping
/// is right in the other half: neither beats a coin.
#[test]
fn neither_always_lifting_nor_always_stopping_beats_a_coin() {
    let is_held = |p: &PlayedTask| p.debrief.outcome == Outcome::Lifted;
    let lifting = ALL.iter().filter(|lifts| lifts.tried.iter().any(is_held)).count();
    let stopping = ALL.len() - lifting;
    assert!(2 * lifting <= ALL.len() && 2 * stopping <= ALL.len(), "{lifting}, {stopping}");
    let as_it_stands = ALL.iter().filter(|l| l.as_handed_out.outcome == Outcome::Lifted).count();
    assert_eq!(as_it_stands, 0, "a lift without a thought never comes off");
}

/// The first two hints lead to what went wrong and its number; the last alone says whether there
/// is a mend.
#[test]
fn hints_go_from_where_to_what() {
    for Lifts { task, as_handed_out, .. } in ALL.iter() {
        let HintPair { look, number } = HintPair::of_lift(as_handed_out, UNITS).or_own(task);
        assert!(look.starts_with("Look at "), "{}: {look}", task.file);
        assert!(number.chars().any(|c| c.is_ascii_digit()), "{}: {number}", task.file);
        let on_paper = HintPair::on_paper(&task.scene, UNITS);
        for hint in [&look, &number, &on_paper.look, &on_paper.number] {
            assert!(!hint.contains("truck"), "{}: {hint}", task.file);
        }
        let last = task.last_hint();
        let none = last.contains("Nothing on this truck");
        assert_eq!(none, matches!(task.way_out, WayOut::NoGoodLift { .. }), "{last}");
    }
}

/// A file that says what the lifts do not bear out is told.
#[test]
fn a_task_that_does_not_fit_its_lifts_is_told() {
    let stakes: Vec<String> = [0, 1].map(|i| format!("chocks.{i}.staked=true")).into();
    let handed = |fields: &str, tried: &[Vec<String>]| {
        let text = format!("(name: \"x\", brief: \"x\", kit: \"rescue-truck\", {fields})");
        let source = Source::Handed { name: "task.ron".to_owned(), text };
        let task = task::load_from(&source).unwrap_or_else(|problems| panic!("{problems:?}"));
        Lifts::with(task, tried.to_vec())
    };
    let none = "no_good_lift: (why: \"wait\", say: \"x\")";
    let mend = "mend: [(change: \"chocks.0.staked=false\", say: \"x\")]";
    let lifts = handed(&format!("scene: \"chocks-not-staked\", {mend}"), &[Vec::new()]);
    let misfits = lifts.plan().misfits();
    assert!(
        misfits.len() == 1 && misfits[0].contains("not hold with its correction"),
        "{misfits:?}"
    );
    let lifts =
        handed(&format!("scene: \"chocks-not-staked\", {none}"), std::slice::from_ref(&stakes));
    assert!(obvious_changes(&lifts.task).contains(&stakes), "stakes are obvious");
    let misfits = lifts.plan().misfits();
    assert!(misfits.len() == 1 && misfits[0].contains("obvious change: chocks.0"), "{misfits:?}");
    let lifts = handed(&format!("scene: \"chocks-staked\", {none}"), &[]);
    let misfits = lifts.plan().misfits();
    assert!(misfits.len() == 1 && misfits[0].contains("as it is handed out"), "{misfits:?}");
    let text = lifts.plan().text();
    assert!(text.contains("Mend this: ") && text.contains(CAUTION));
}

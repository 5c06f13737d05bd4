//! Law protected: which answer of a class is right comes of the lift that is played, and of
//! nothing else; its pages show what was written and do nothing, and carry the caution.

use crate::played::played;
use inchwise::answer::{AnswerTest, LiftEnding};
use inchwise::caution::CAUTION;
use inchwise::class::{self, Class, ClassPlan, ClassStepKind};
use inchwise::debrief::Debrief;
use inchwise::scene::Source;
use inchwise::units::UnitSystem;
use std::sync::Arc;

fn handed(text: &str) -> Class {
    let source = Source::Handed { name: "class.ron".to_owned(), text: text.to_owned() };
    class::load_from(&source).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn lifts(class: &Class) -> Vec<Arc<Debrief>> {
    class.scenes.iter().map(|shown| played(&shown.file, &[])).collect()
}

fn plan<'a>(class: &'a Class, lifts: &'a [Arc<Debrief>]) -> ClassPlan<'a> {
    let played = lifts.iter().map(|lift| &**lift).collect();
    ClassPlan { class, played, units: UnitSystem::Si }
}

/// Every question of the shipped classes has one right choice, and where it asks for what goes
/// wrong first it is the one that the scene's author expects.
#[test]
fn the_lifts_answer_the_shipped_classes() {
    for source in class::FILES.shelf() {
        let class = class::load_from(&source).unwrap_or_else(|problems| panic!("{problems:?}"));
        let lifts = lifts(&class);
        let plan = plan(&class, &lifts);
        assert_eq!(plan.misfits(), Vec::<String>::new(), "{}", source.name());
        for (at, step) in class.steps.iter().enumerate() {
            let ClassStepKind::Ask(question) = &step.kind else { continue };
            let lift = &lifts[class.scene_at(at)];
            let right = question.right(LiftEnding::of(lift));
            let Some(&right) = right.first() else {
                let for_hands = question.answers.iter().all(|answer| answer.tests.is_empty());
                assert!(for_hands, "{}, step {}: nothing is right", source.name(), at + 1);
                continue;
            };
            let tests = &question.answers[right].tests;
            let fits = tests.iter().all(|test| match test {
                AnswerTest::Ends(outcome) => *outcome == lift.scene.expect.outcome,
                AnswerTest::Holds => lift.scene.expect.cause.is_none(),
                AnswerTest::First(causes) => {
                    lift.scene.expect.cause.is_some_and(|cause| causes.contains(&cause))
                }
            });
            assert!(fits, "{}, step {}: {tests:?}", source.name(), at + 1);
        }
        assert!(plan.text().contains(CAUTION));
    }
}

/// The same words about twins: the answer turns with the lift.
#[test]
fn another_lift_makes_another_answer_right() {
    let mut told = Vec::new();
    for scene in ["chocks-missing", "chocks-staked"] {
        let class = handed(&format!(
            "(name: \"x\", about: \"x\", steps: [(show: \"{scene}\"),
             (ask: \"What?\", from: \"cause\"), (reveal: \"x\"), (ask: \"How?\", choices: [
             (say: \"well\", ending: \"lifted\"), (say: \"badly\", ending: \"failed\")]),
             (reveal: \"x\"), (ask: \"Where?\", choices: [(say: \"here\"), (say: \"there\")]),
             (reveal: \"x\")])"
        ));
        let lifts = lifts(&class);
        let text = plan(&class, &lifts).text();
        assert!(text.contains("gives no answer"), "{text}");
        told.push(text.lines().filter(|l| l.contains("Right: ")).map(str::to_owned).collect());
    }
    let [missing, staked]: [Vec<String>; 2] = told.try_into().unwrap();
    assert!(
        missing[0].contains("slides or rolls") && missing[1].contains("2, badly"),
        "{missing:?}"
    );
    assert!(staked[0].contains("It holds") && staked[1].contains("1, well"), "{staked:?}");
}

/// What the lift does not bear out is told.
#[test]
fn a_class_that_does_not_fit_its_lift_is_told() {
    let class = handed(
        "(name: \"x\", about: \"x\", steps: [(show: \"chocks-staked\"), (stop: (time: \"20 min\")),
         (ask: \"What?\", choices: [(say: \"a\", cause: \"sink\"), (say: \"b\", cause: \"beam\")]),
         (reveal: \"x\")])",
    );
    let lifts = lifts(&class);
    let misfits = plan(&class, &lifts).misfits();
    assert_eq!(misfits.len(), 2, "{misfits:?}");
    assert!(misfits[0].contains("step 2") && misfits[1].contains("none of the choices"));
}

/// Whatever a class file says is shown and does nothing; each page has the caution at its head
/// and foot; the answer sheet gives nothing away.
#[test]
fn the_pages_of_a_class_are_safe_and_say_the_caution() {
    let class = handed(
        "(name: \"A <b>bold</b> & name\", about: \"about <i>\", steps: [
         (show: \"chocks-missing\", note: \"<script>alert(1)</script>\"),
         (ask: \"Why < and > ?\", from: \"cause\", note: \"secret note\"),
         (reveal: \"said <u>later</u>\")])",
    );
    let lifts = lifts(&class);
    let page = plan(&class, &lifts).html();
    for tag in ["<b>bold", "<i>", "<script", "<u>"] {
        assert!(!page.contains(tag), "{tag} stands in the page");
    }
    for piece in ["A &lt;b&gt;bold&lt;/b&gt; &amp; name", "&lt;script&gt;", "Why &lt; and &gt; ?"] {
        assert!(page.contains(piece), "{piece} is missing in\n{page}");
    }
    let (instructor, sheet) = page.split_once("<h1>Answer sheet").expect("both parts");
    assert!(instructor.matches(CAUTION).count() >= 3, "head, foot of the table, next head");
    assert!(sheet.matches(CAUTION).count() >= 2, "foot of the table, end");
    assert!(instructor.contains("Right: ") && instructor.contains("secret note"));
    let scene = &class.scenes[0].scene;
    for secret in ["Right: ", "secret note", "said ", &scene.name, "slid ", &class.name] {
        assert!(!sheet.contains(secret), "the answer sheet tells \"{secret}\"");
    }
    assert!(sheet.contains("Why &lt; and &gt; ?") && sheet.contains(&scene.data));
}

//! What is assumed is swept, and the endings of shipped lessons are watched. The whole sweep
//! is `tests/physics/survey.rs`, its endings tests/reference/assumed.json and, for the reader,
//! docs/VERIFICATION.md, "What depends on assumptions". Here a small part is played again,
//! by what a scene can be told: sheet metal's stiffness and plateau, the ground's surface.

use crate::played::played;
use inchwise::scene::{self, Cause, Outcome};
use serde_json::Value;

fn ends(name: &str, sets: &[&str]) -> (Outcome, Option<Cause>) {
    let debrief = played(name, sets);
    (debrief.outcome, debrief.cause)
}

/// Half and double of what is assumed of bonnet edge and deck lid.
const PANELS: [[&str; 2]; 4] = [
    ["vehicle.panels.bonnet edge.plateau=1.6 kN", "vehicle.panels.deck lid.plateau=4.5 kN"],
    ["vehicle.panels.bonnet edge.plateau=6.4 kN", "vehicle.panels.deck lid.plateau=18 kN"],
    ["vehicle.panels.bonnet edge.stiffness=75 N/mm", "vehicle.panels.deck lid.stiffness=60 N/mm"],
    ["vehicle.panels.bonnet edge.stiffness=300 N/mm", "vehicle.panels.deck lid.stiffness=240 N/mm"],
];

fn survey() -> Value {
    serde_json::from_str(include_str!("../reference/assumed.json")).expect("the survey reads")
}

fn words((outcome, cause): (Outcome, Option<Cause>)) -> String {
    cause.map_or(outcome.word().to_owned(), |c| format!("{} ({})", outcome.word(), c.word()))
}

/// `tests/lifts/shelf.rs` holds that each ends as it expects.
#[test]
fn the_survey_played_the_shelf_as_it_is() {
    let survey = survey();
    let shipped = survey["shipped"].as_object().expect("lessons");
    assert!(shipped.len() > 20, "{} lessons", shipped.len());
    for (name, ended) in shipped {
        let Ok(loaded) = scene::load(name, &[]) else { panic!("{name} loads") };
        let expected = loaded.scene.expect;
        let (ended, expected) =
            (ended.as_str().expect("text"), words((expected.outcome, expected.cause)));
        assert!(ended.starts_with(&expected), "{name}: {ended}, expected {expected}");
    }
}

/// What is lifted only while something assumed is as assumed calls itself a near thing.
#[test]
fn a_lifted_lesson_that_an_assumed_value_turns_says_so() {
    let survey = survey();
    let lifted = |name: &String| survey["shipped"][name] == Outcome::Lifted.word();
    let mut turned = 0;
    for row in survey["rows"].as_array().expect("rows") {
        let otherwise = row["otherwise"].as_object().expect("lessons");
        for (name, ended) in otherwise.iter().filter(|(name, _)| lifted(name)) {
            let Ok(loaded) = scene::load(name, &[]) else { panic!("{name} loads") };
            assert!(loaded.scene.lesson.near, "{name}: {ended} with {}", row["what"]);
            turned += 1;
        }
    }
    assert!(turned > 0, "nothing turns any lesson");
}

/// A row of the survey played again, for what a scene can be told.
#[test]
fn rows_of_the_survey_come_out_again() {
    let survey = survey();
    for (what, field, unit, share, lesson) in [
        ("sheet metal's plateau, half", "plateau", "N", 0.5, "beam-lift"),
        ("sheet metal's plateau, double", "plateau", "N", 2.0, "beam-lift"),
        ("sheet metal's stiffness, half", "stiffness", "N/m", 0.5, "beam-lift"),
        ("sheet metal's stiffness, double", "stiffness", "N/m", 2.0, "beam-lift"),
        ("sheet metal's plateau, half", "plateau", "N", 0.5, "lower-bag-first"),
        ("sheet metal's plateau, half", "plateau", "N", 0.5, "deck-lid-wedged"),
        ("sheet metal's stiffness, half", "stiffness", "N/m", 0.5, "deck-lid-wedged"),
        ("sheet metal's stiffness, double", "stiffness", "N/m", 2.0, "stack-plumb"),
        ("sheet metal's stiffness, half", "stiffness", "N/m", 0.5, "face-wedged"),
    ] {
        let rows = survey["rows"].as_array().expect("rows");
        let Some(row) = rows.iter().find(|row| row["what"] == what) else { panic!("no {what}") };
        let said = row["otherwise"].get(lesson).unwrap_or(&survey["shipped"][lesson]);
        let Ok(loaded) = scene::load(lesson, &[]) else { panic!("{lesson} loads") };
        let sets: Vec<String> = loaded
            .scene
            .vehicle
            .panels
            .iter()
            .map(|panel| {
                let now = if field == "plateau" { panel.plateau_n } else { panel.stiffness_n_m };
                format!("vehicle.panels.{}.{field}={} {unit}", panel.name, now * share)
            })
            .collect();
        let sets: Vec<&str> = sets.iter().map(String::as_str).collect();
        assert_eq!(Some(words(ends(lesson, &sets)).as_str()), said.as_str(), "{lesson}: {what}");
    }
}

#[test]
fn the_tall_stack_never_lifts_whatever_the_sheet_metal() {
    for sets in PANELS {
        let (tall, cause) = ends("deck-lid-tall", &sets);
        assert_eq!(tall, Outcome::Failed, "{sets:?}");
        let by = matches!(cause, Some(Cause::KickOut | Cause::Topple | Cause::BagOverload));
        assert!(by, "{sets:?}: {cause:?}");
    }
}

#[test]
fn a_chocked_beam_lift_does_not_hang_on_the_ground() {
    for surface in ["asphalt", "concrete", "gravel", "grass"] {
        // Wet is the worse; dry grass is what it is shipped with.
        let found = ends("beam-lift", &[&format!("ground.surface={surface}"), "ground.wet=true"]);
        assert_eq!(found, (Outcome::Lifted, None), "{surface}");
    }
}

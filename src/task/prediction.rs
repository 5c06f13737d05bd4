//! What is said before a lift, and what comes of it: how it ends, what goes first, where, and how
//! far it rises. Both in the same words, so that they stand beside each other. Nothing is counted.

use crate::answer::{Answer, AnswerSource, LiftEnding, say_ending};
use crate::debrief::Debrief;
use crate::scene::Scene;
use crate::units::UnitSystem;
use serde::{Deserialize, Serialize};

/// What was said before a lift.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Prediction {
    /// One of [`ending_choices`].
    pub ends: String,
    /// One of [`first_choices`].
    pub first: String,
    /// One of [`place_choices`].
    pub place: String,
    pub rise_m: f64,
}

/// What came of a lift, in the words of a prediction.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Happened {
    pub ends: String,
    pub first: String,
    pub place: String,
    pub rise_m: f64,
    /// What happened with its numbers, in one sentence.
    pub why: String,
}

/// What is said of a place where nothing went wrong.
const NOWHERE: &str = "Nowhere: nothing goes wrong";
/// Nearer to the middle line than this is in the middle, m: about a hand's length (assumed).
const MIDDLE_M: f64 = 0.2;
/// Beyond this share of the way to an axle is an end of the vehicle (assumed).
const END_SHARE: f64 = 0.5;

/// How it may end.
pub fn ending_choices(scene: &Scene) -> Vec<String> {
    said(AnswerSource::Ending.answers(scene))
}

/// What may go wrong first.
pub fn first_choices(scene: &Scene) -> Vec<String> {
    said(AnswerSource::Cause.answers(scene))
}

/// Where: nine areas of the vehicle, from the nose to the tail and across, and nowhere is said by
/// the choice of what goes first.
pub fn place_choices(scene: &Scene) -> Vec<String> {
    Area::all().map(|area| area.say(scene)).collect()
}

fn said(answers: Vec<Answer>) -> Vec<String> {
    answers.into_iter().map(|answer| answer.say).collect()
}

/// A third of the vehicle's length, and one of its breadth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Area {
    /// 0 at the nose, 1 in the middle, 2 at the tail.
    pub along: usize,
    /// 0 on the side of +Z, 1 in the middle, 2 on the side of -Z.
    pub across: usize,
}

impl Area {
    /// Every one, in the order of the choices.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..9).map(|i| Self { along: i / 3, across: i % 3 })
    }

    /// The one that holds a place of the ground frame, m.
    pub fn of(scene: &Scene, place: [f64; 3]) -> Self {
        let [front_m, rear_m] = scene.vehicle.wheel_x_m;
        let [x_m, _, z_m] = place;
        let along = match x_m {
            x_m if x_m > END_SHARE * front_m => 0,
            x_m if x_m < END_SHARE * rear_m => 2,
            _ => 1,
        };
        let across = match z_m {
            z_m if z_m > MIDDLE_M => 0,
            z_m if z_m < -MIDDLE_M => 2,
            _ => 1,
        };
        Self { along, across }
    }

    /// In words.
    pub fn say(self, scene: &Scene) -> String {
        let along = ["At the nose", "In the middle of its length", "At the tail"][self.along];
        let [left, right] = scene.lies.sides();
        match self.across {
            0 => format!("{along}, {left}"),
            2 => format!("{along}, {right}"),
            _ => format!("{along}, on the middle line"),
        }
    }
}

impl Happened {
    /// What came of a lift that was played.
    pub fn of(debrief: &Debrief, units: UnitSystem) -> Self {
        let (scene, ending) = (&*debrief.scene, LiftEnding::of(debrief));
        let right = |source: AnswerSource| {
            let answers = source.answers(scene).into_iter();
            let right = answers.into_iter().find(|answer| answer.is_right(ending));
            right.map(|answer| answer.say)
        };
        let first = debrief.findings.first();
        let cause = |cause: crate::scene::Cause| cause.word().replace('_', " ");
        Self {
            ends: right(AnswerSource::Ending).unwrap_or_default(),
            // What can happen with nothing of its kind set up has no choice of its own.
            first: right(AnswerSource::Cause)
                .unwrap_or_else(|| debrief.cause.map(cause).unwrap_or_default()),
            place: first.map_or_else(
                || NOWHERE.to_owned(),
                |finding| Area::of(scene, finding.place).say(scene),
            ),
            rise_m: debrief.peaks.rise_m,
            why: say_ending(debrief, units),
        }
    }
}

impl Prediction {
    /// What was said and what happened, line by line: what it is of, what was said, what happened.
    pub fn beside(&self, happened: &Happened, units: UnitSystem) -> [[String; 3]; 4] {
        let row = |of: &str, said: &str, was: &str| [of, said, was].map(str::to_owned);
        [
            row("How it ends", &self.ends, &happened.ends),
            row("What goes first", &self.first, &happened.first),
            row("Where", &self.place, &happened.place),
            row("How far it rises", &units.gap(self.rise_m), &units.gap(happened.rise_m.max(0.0))),
        ]
    }

    /// Where it is said to go first, of a lift in which nothing is said to go wrong.
    pub fn nowhere() -> String {
        NOWHERE.to_owned()
    }

    /// Whether it says that nothing goes wrong: where is not asked then.
    pub fn holds(&self, scene: &Scene) -> bool {
        first_choices(scene).first() == Some(&self.first)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::load;

    /// Each place is in one area; ends and sides are those of the vehicle as it lies.
    #[test]
    fn an_area_is_where_it_says() {
        let Ok(loaded) = load("beam-lift", &[]) else { panic!("loads") };
        let scene = loaded.scene;
        let say = |x_m: f64, z_m: f64| Area::of(&scene, [x_m, 0.0, z_m]).say(&scene);
        assert_eq!(say(1.5, 0.6), "At the nose, left side");
        assert_eq!(say(-1.5, -0.6), "At the tail, right side");
        assert_eq!(say(0.1, 0.05), "In the middle of its length, on the middle line");
        let all = place_choices(&scene);
        assert_eq!(all.len(), 9);
        for (i, one) in all.iter().enumerate() {
            assert!(!all[..i].contains(one), "{one} twice");
        }
    }
}

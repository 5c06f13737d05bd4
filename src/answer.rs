//! Questions about a lift, for a class and for a task: choices made from what
//! stands there, and which of them the played lift makes right. Plays nothing itself.

use crate::debrief::{ALL_AIMS_MET, Debrief};
use crate::scene::{Cause, Outcome, Scene};
use crate::units::UnitSystem;

/// How a lift ended, as far as a question can ask for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LiftEnding {
    pub outcome: Outcome,
    /// What went wrong first.
    pub cause: Option<Cause>,
}

impl LiftEnding {
    /// Of a lift that was played to its end.
    pub fn of(debrief: &Debrief) -> Self {
        Self { outcome: debrief.outcome, cause: debrief.cause }
    }
}

/// What has to come of the lift for a choice to be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AnswerTest {
    /// The lift ends so.
    Ends(Outcome),
    /// Nothing goes wrong.
    Holds,
    /// One of these goes wrong first.
    First(Vec<Cause>),
}

impl AnswerTest {
    fn is_met(&self, ending: LiftEnding) -> bool {
        match self {
            Self::Ends(outcome) => ending.outcome == *outcome,
            Self::Holds => ending.cause.is_none(),
            Self::First(causes) => ending.cause.is_some_and(|cause| causes.contains(&cause)),
        }
    }
}

/// One choice of a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// As the room reads it.
    pub say: String,
    /// All of them have to be met; a choice without any is never right.
    pub tests: Vec<AnswerTest>,
}

impl Answer {
    /// Whether the lift made it right.
    pub fn is_right(&self, ending: LiftEnding) -> bool {
        !self.tests.is_empty() && self.tests.iter().all(|test| test.is_met(ending))
    }
}

/// What the choices of a question are made from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnswerSource {
    /// How the lift may end.
    Ending,
    /// What may go wrong first with what stands there.
    Cause,
}

impl AnswerSource {
    pub const WORDS: &[(&str, Self)] = &[("ending", Self::Ending), ("cause", Self::Cause)];

    /// The choices that a scene has; nine at the most, so that each has a number key.
    pub fn answers(self, scene: &Scene) -> Vec<Answer> {
        let answer = |say: &str, test| Answer { say: say.to_owned(), tests: vec![test] };
        match self {
            Self::Ending => vec![
                answer("The lift comes off: enough room, and nothing goes wrong", {
                    AnswerTest::Ends(Outcome::Lifted)
                }),
                answer("Something goes wrong", AnswerTest::Ends(Outcome::Failed)),
                answer("Nothing goes wrong, but it falls short", {
                    AnswerTest::Ends(Outcome::Incomplete)
                }),
            ],
            Self::Cause => {
                let there = |(there, say, causes): (bool, &str, &[Cause])| {
                    there.then(|| answer(say, AnswerTest::First(causes.to_vec())))
                };
                let holds = answer("It holds: nothing goes wrong", AnswerTest::Holds);
                let rows = cause_rows(scene).into_iter().filter_map(there);
                std::iter::once(holds).chain(rows).collect()
            }
        }
    }
}

/// How a lift ended, in one sentence.
pub fn say_ending(debrief: &Debrief, units: UnitSystem) -> String {
    if let Some(jam) = &debrief.impossible {
        return format!("Nothing was played: {}.", jam.say(units));
    }
    match (debrief.outcome, debrief.findings.first()) {
        (Outcome::Failed, Some(first)) => {
            format!("At {:.1} s {}.", first.t_s, first.say(&debrief.scene, units))
        }
        (Outcome::Lifted, _) => format!("Lifted in this model: {ALL_AIMS_MET}."),
        _ => "No limit was passed, but an aim was not reached or an order not done.".to_owned(),
    }
}

/// Whether it can happen there, the choice, and the causes that it stands for. What nobody can
/// tell apart from some way off is one choice.
fn cause_rows(scene: &Scene) -> [(bool, &'static str, &'static [Cause]); 8] {
    let bags = !scene.bags.is_empty();
    let steps = !scene.step_chocks.is_empty();
    let timber = steps || !(scene.stacks.is_empty() && scene.captures.is_empty());
    let tied = !(scene.struts.is_empty() && scene.straps.is_empty());
    let kicks_out = match steps {
        true => "A bag tilts or is used up, or a bag or a step chock slides out",
        false => "A bag tilts, kicks out or is used up",
    };
    [
        (true, "The vehicle slides or rolls", &[Cause::Slide, Cause::Roll]),
        (bags || steps, kicks_out, &[Cause::KickOut, Cause::BagOverload]),
        (timber, "A stack leans or is crushed", &[Cause::Topple, Cause::Crush]),
        (scene.ground.soil.is_some(), "Something sinks into the ground", &[Cause::Sink]),
        (scene.beam.is_some(), "The beam cracks", &[Cause::Beam]),
        (tied, "A strut or a strap lets go", &[Cause::Strut, Cause::Strap]),
        (true, "The load drops", &[Cause::Drop]),
        (true, "The casualty is pressed harder", &[Cause::CasualtyLoad]),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::load;

    /// Whatever goes wrong in a scene, exactly one choice is right.
    #[test]
    fn every_ending_has_one_choice() {
        for name in ["beam-lift", "deck-lid-tall", "verge-bare", "struts-tied"] {
            let Ok(loaded) = load(name, &[]) else { panic!("{name} loads") };
            let answers = AnswerSource::Cause.answers(&loaded.scene);
            assert!((2..=9).contains(&answers.len()), "{name}: {}", answers.len());
            let right = |ending| answers.iter().filter(|a| a.is_right(ending)).count();
            let lifted = LiftEnding { outcome: Outcome::Lifted, cause: None };
            assert_eq!(right(lifted), 1, "{name}");
            for (word, cause) in Cause::WORDS {
                let found = right(LiftEnding { outcome: Outcome::Failed, cause: Some(*cause) });
                assert!(found <= 1, "{name}: {word} has {found} choices");
            }
            for outcome in [Outcome::Lifted, Outcome::Failed, Outcome::Incomplete] {
                let answers = AnswerSource::Ending.answers(&loaded.scene);
                let ending = LiftEnding { outcome, cause: None };
                assert_eq!(answers.iter().filter(|a| a.is_right(ending)).count(), 1);
            }
        }
    }
}

//! The questions before a lift, one after the other: how it ends, what goes wrong first, where, and
//! how far it rises.

use super::task_shown::LiftTaskCard;
use crate::scene::Scene;
use crate::task::{Prediction, ending_choices, first_choices, place_choices};
use crate::units::UnitSystem;
use std::sync::Arc;

/// The highest rise that can be predicted, m: more than any bag of the tables stands high.
const RISE_AT_MOST_M: f64 = 1.0;

/// How far a step of a predicted rise goes, m.
fn rise_step_m(units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Si => 0.01,
        UnitSystem::Us => 0.0127,
    }
}

/// The question that is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Asked {
    Ends,
    First,
    Place,
    Rise,
}

/// A prediction that is being made.
pub(super) struct Saying {
    /// The set-up that is asked about.
    of: Arc<Scene>,
    said: Prediction,
    asked: Asked,
}

impl Saying {
    pub(super) fn new(of: Arc<Scene>) -> Self {
        Self { of, said: Prediction::default(), asked: Asked::Ends }
    }

    /// The answers to the question that is on; none where a length is asked for.
    pub(super) fn choices(&self) -> Vec<String> {
        match self.asked {
            Asked::Ends => ending_choices(&self.of),
            Asked::First => first_choices(&self.of),
            Asked::Place => place_choices(&self.of),
            Asked::Rise => Vec::new(),
        }
    }

    /// What is said so far to the question that is on.
    fn answer(&mut self) -> Option<&mut String> {
        match self.asked {
            Asked::Ends => Some(&mut self.said.ends),
            Asked::First => Some(&mut self.said.first),
            Asked::Place => Some(&mut self.said.place),
            Asked::Rise => None,
        }
    }

    /// Gives an answer by its place, and goes on.
    pub(super) fn choose(&mut self, place: usize) {
        if let Some(said) = self.choices().into_iter().nth(place) {
            if let Some(answer) = self.answer() {
                *answer = said;
            }
            self.take();
        }
    }

    /// So many steps more of rise, or fewer.
    pub(super) fn rise(&mut self, steps: i32, units: UnitSystem) {
        if self.asked == Asked::Rise {
            let rise_m = self.said.rise_m + f64::from(steps) * rise_step_m(units);
            self.said.rise_m = rise_m.clamp(0.0, RISE_AT_MOST_M);
        }
    }

    /// Goes on to the next question, once this one is answered; gives the prediction behind the last.
    pub(super) fn take(&mut self) -> Option<Prediction> {
        if self.answer().is_some_and(|answer| answer.is_empty()) {
            return None;
        }
        self.asked = match self.asked {
            Asked::Ends => Asked::First,
            // Where is not asked of a lift in which nothing is said to go wrong.
            Asked::First if self.said.holds(&self.of) => {
                self.said.place = Prediction::nowhere();
                Asked::Rise
            }
            Asked::First => {
                if self.said.place == Prediction::nowhere() {
                    self.said.place.clear();
                }
                Asked::Place
            }
            Asked::Place => Asked::Rise,
            Asked::Rise => return Some(self.said.clone()),
        };
        None
    }

    /// One question back; false where there is none before.
    pub(super) fn back(&mut self) -> bool {
        self.asked = match self.asked {
            Asked::Ends => return false,
            Asked::First => Asked::Ends,
            Asked::Rise if !self.said.holds(&self.of) => Asked::Place,
            Asked::Place | Asked::Rise => Asked::First,
        };
        true
    }

    /// The question as it is shown.
    pub(super) fn card(&self, units: UnitSystem) -> LiftTaskCard {
        let (ask, said) = match self.asked {
            Asked::Ends => ("Lifted like this: how does it end?", &self.said.ends),
            Asked::First => ("What goes wrong first?", &self.said.first),
            Asked::Place => ("Where?", &self.said.place),
            Asked::Rise => {
                return LiftTaskCard::Rise {
                    ask: "How far does the load rise at the most?".to_owned(),
                    rise: units.gap(self.said.rise_m),
                };
            }
        };
        let choices = self.choices();
        let chosen = choices.iter().position(|choice| choice == said);
        LiftTaskCard::Choose { ask: ask.to_owned(), choices, chosen }
    }
}

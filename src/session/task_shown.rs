//! What the cards of a task show: everything in words, so that what is hidden before a lift is not
//! in it.

use crate::task::LiftTask;
use std::sync::Arc;

/// The tasks there are, while one is chosen.
pub struct LiftTaskList {
    /// In their order on the shelf, whatever comes of them.
    pub tasks: Vec<Arc<LiftTask>>,
    /// The place of the chosen one.
    pub chosen: usize,
}

/// A card as it is shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum LiftTaskCard {
    #[default]
    Closed,
    /// One of some answers.
    Choose { ask: String, choices: Vec<String>, chosen: Option<usize> },
    /// How far it rises.
    Rise { ask: String, rise: String },
    /// What came of it: what it is of, what was said, what happened; then in sentences.
    Told { rows: Vec<[String; 3]>, told: Vec<String> },
}

/// Everything in words that the cards of a task show.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LiftTaskShown {
    pub title: String,
    pub brief: String,
    /// Truck, changes, attempts.
    pub state: Vec<String>,
    pub hints: Vec<String>,
    pub card: LiftTaskCard,
}

impl LiftTaskShown {
    /// Every text of it.
    pub fn texts(&self) -> Vec<&str> {
        let head = [&self.title, &self.brief].into_iter().chain(&self.state).chain(&self.hints);
        let card: Vec<&String> = match &self.card {
            LiftTaskCard::Closed => Vec::new(),
            LiftTaskCard::Choose { ask, choices, .. } => {
                std::iter::once(ask).chain(choices).collect()
            }
            LiftTaskCard::Rise { ask, rise } => vec![ask, rise],
            LiftTaskCard::Told { rows, told } => rows.iter().flatten().chain(told).collect(),
        };
        head.chain(card).map(String::as_str).collect()
    }
}

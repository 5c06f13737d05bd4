//! What is wrong with a scene: each problem with its place, path, value, limit and mend, and
//! the stand-ins with which a reader goes on after one.

use super::tree::{MOST_SHOWN, Place};
use crate::printable::brief;
use crate::units::{Dimension, UnitSystem, UnitText};
use std::cell::{Cell, RefCell};
use std::fmt;

/// The most characters of a problem's text: that of the longest list of what is known.
const MOST_WORDS: usize = 4000;

/// One thing that is wrong with a scene.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    pub place: Place,
    /// Dotted path of the field.
    pub path: String,
    /// What is wrong, with the value and the limit, and the correction.
    pub text: UnitText,
}

impl Problem {
    /// With its place and its field, in one line.
    pub fn in_units(&self, units: UnitSystem) -> String {
        let path =
            if self.path.is_empty() { "the file".into() } else { brief(&self.path, MOST_SHOWN) };
        let path = match self.counted() {
            Some(counted) => format!("{path} ({counted})"),
            None => path.to_string(),
        };
        // What it repeats of a file is shown, whatever it is.
        let text = brief(self.text.in_units(units), MOST_WORDS);
        format!("{}: {path}: {text}", self.place)
    }
}

/// Lists that screens and people count from 1.
const COUNTED: [(&str, &str); 2] = [("orders", "order"), ("steps", "step")];

impl Problem {
    /// "order 4" of a path such as `orders.3.until`.
    fn counted(&self) -> Option<String> {
        let (list, rest) = self.path.split_once('.')?;
        let (_, noun) = COUNTED.iter().find(|(key, _)| *key == list)?;
        let index: usize = rest.split('.').next()?.parse().ok()?;
        Some(format!("{noun} {}", index.checked_add(1)?))
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.in_units(UnitSystem::Si))
    }
}

/// A value in SI as problems show it: in the units of scene files, or in feet and pounds.
pub fn show(units: UnitSystem, dimension: Dimension, si: f64) -> String {
    match units {
        UnitSystem::Si => dimension.show(si),
        UnitSystem::Us => units.show(dimension, si),
    }
}

/// The most problems of one scene that are told: the rest is shown once these are corrected.
pub(super) const MOST_TOLD: usize = 100;

/// All problems found so far; shared by every reader of one scene.
#[derive(Default)]
pub struct Problems {
    list: RefCell<Vec<Problem>>,
    /// How many more there are than are kept.
    more: Cell<usize>,
    stand_ins: Option<StandIns>,
}

/// How far between its limits a field's stand-in lies, and its others: the middle, where
/// coordinates are zero, and values near the lower limit, because most real values are
/// hundredths of the largest one allowed. Two more, so that each of five choices is tried.
const STAND_IN: f64 = 0.4;
pub const OTHER_STAND_INS: [f64; 7] = [0.6, 0.5, 0.48, 0.01, 0.0005, 0.2, 0.9];

/// Values for numbers and choices that cannot be read, so that results that do not depend on
/// them can still be shown: a result that differs between two stand-ins depends on them.
struct StandIns {
    /// The field that takes another stand-in, and how far between its limits that lies, 0 to 1.
    other: Option<(String, f64)>,
    /// Paths of the fields that have taken one.
    taken: RefCell<Vec<String>>,
}

impl Problems {
    /// Reads on with stand-ins; the named field takes another one, at that share between its
    /// limits.
    pub fn with_stand_ins(other: Option<(&str, f64)>) -> Self {
        let other = other.map(|(path, share)| (path.to_owned(), share));
        let stand_ins = Some(StandIns { other, taken: RefCell::default() });
        Self { stand_ins, ..Self::default() }
    }

    /// Whether what cannot be read has a stand-in, or is left out.
    pub fn reads_on(&self) -> bool {
        self.stand_ins.is_some()
    }

    /// Paths of the fields that have a stand-in.
    pub fn stood_in(&self) -> Vec<String> {
        self.stand_ins.as_ref().map_or_else(Vec::new, |s| s.taken.borrow().clone())
    }

    /// How far between a field's limits its stand-in lies, 0 to 1.
    pub(super) fn stand_in(&self, path: String) -> Option<f64> {
        let stand_ins = self.stand_ins.as_ref()?;
        let other = stand_ins.other.as_ref().filter(|(other, _)| *other == path);
        let share = other.map_or(STAND_IN, |(_, share)| *share);
        let mut taken = stand_ins.taken.borrow_mut();
        if !taken.contains(&path) {
            taken.push(path);
        }
        Some(share)
    }

    /// Adds a problem that belongs to no reader.
    pub fn add(&self, place: &Place, path: &str, text: impl Into<UnitText>) {
        if self.are_many() {
            self.more.set(self.more.get() + 1);
            return;
        }
        let problem = Problem { place: place.clone(), path: path.to_owned(), text: text.into() };
        let mut problems = self.list.borrow_mut();
        if !problems.contains(&problem) {
            problems.push(problem);
        }
    }

    /// As many are kept as are told; one more only counts.
    pub fn are_many(&self) -> bool {
        self.list.borrow().len() >= MOST_TOLD
    }

    /// Those that are told, as `order` puts them, and behind them how many more there are; that
    /// stands at the place of the last of them, or of the whole file.
    pub fn into_told(
        self,
        whole: &Place,
        order: impl Fn(Vec<Problem>) -> Vec<Problem>,
    ) -> Vec<Problem> {
        let more = self.more.get();
        let mut told = order(self.list.into_inner());
        if more > 0 {
            let text = format!(
                "has {more} more problems, which are not listed; correct these \
                                first"
            );
            let place = told.last().map_or(whole, |last| &last.place).clone();
            told.push(Problem { place, path: String::new(), text: text.into() });
        }
        told
    }
}

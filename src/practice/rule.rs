//! What a rule of practice is, and a point where a lift did not keep to one.

use super::record::{Record, passes};
use crate::scene::{Capture, Scene, Stack};
use crate::snapshot::{CaptureState, PartKind};
use crate::units::{Dimension, UnitSystem};

/// The source of a rule that has none.
pub(super) const COMMON: &str = "common practice, no source";

/// What a figure is measured in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unit {
    /// SI, shown in the reader's units.
    Si(Dimension),
    /// A pressure on the ground, Pa.
    OnGround,
    /// A ratio or a count.
    Number,
}

impl Unit {
    /// A figure in words.
    pub fn show(self, figure: f64, units: UnitSystem) -> String {
        match self {
            Self::Si(dimension) => units.show(dimension, figure),
            Self::OnGround => units.ground_pressure(figure),
            Self::Number if figure.fract() == 0.0 => format!("{figure:.0}"),
            Self::Number => format!("{figure:.1}"),
        }
    }

    /// The SI unit of its figures, "1" for a plain number.
    pub fn si(self) -> &'static str {
        match self {
            Self::Si(Dimension::Length) => "m",
            Self::Si(Dimension::Force) => "N",
            Self::Si(Dimension::Angle) => "rad",
            Self::Si(Dimension::Pressure) | Self::OnGround => "Pa",
            _ => "1",
        }
    }
}

/// What a rule holds its figure against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RuleLimit {
    AtMost(f64),
    AtLeast(f64),
    /// The limit is another one for each part: what it is.
    OfThePart(&'static str),
}

/// One rule of practice.
#[derive(Debug)]
pub struct Rule {
    /// Its short name.
    pub word: &'static str,
    /// What it asks for.
    pub asks: &'static str,
    pub unit: Unit,
    pub limit: RuleLimit,
    /// What its figure is, and what is taken where nothing is written down.
    pub takes: &'static str,
    pub source: &'static str,
    pub(super) find: fn(&Record<'_>) -> Vec<Point>,
    pub(super) say: fn(&Point, &Scene, UnitSystem) -> String,
}

impl Rule {
    /// Its limit in words.
    pub fn say_limit(&self, units: UnitSystem) -> String {
        match self.limit {
            RuleLimit::AtMost(limit) => format!("at most {}", self.unit.show(limit, units)),
            RuleLimit::AtLeast(limit) => format!("at least {}", self.unit.show(limit, units)),
            RuleLimit::OfThePart(what) => what.to_owned(),
        }
    }

    /// A point at which it was not kept.
    pub(super) fn point(
        &'static self,
        (t_s, part, place): (f64, &str, [f64; 3]),
        figure: Option<f64>,
        limit: f64,
    ) -> Point {
        Point { rule: self, t_s, part: part.to_owned(), place, figure, limit, corners: None }
    }

    /// A point for each stack of which a measure, as it was built, passes its limit. Each stack
    /// gives its measure and its limit.
    pub(super) fn of_stacks(
        &'static self,
        record: &Record<'_>,
        measure: impl Fn(&Stack) -> (f64, f64),
    ) -> Vec<Point> {
        let Some(now) = record.set_up() else { return Vec::new() };
        let stacks = record.scene.stacks.iter().enumerate();
        let point = |(i, stack): (usize, &Stack)| {
            let (figure, limit) = measure(stack);
            let place = record.place_of(PartKind::StackTimber { stack: i, layer: 0 }, now);
            (figure > limit).then(|| self.point((now.t_s, &stack.name, place), Some(figure), limit))
        };
        stacks.filter_map(point).collect()
    }

    /// A point for each capture stack of which a measure passes its limit: when it first does, with
    /// the most that it reaches.
    pub(super) fn of_captures(
        &'static self,
        record: &Record<'_>,
        limit: impl Fn(&Capture) -> f64,
        measure: impl Fn(&Capture, &CaptureState) -> f64,
    ) -> Vec<Point> {
        let captures = record.scene.captures.iter().enumerate();
        let point = |(i, capture): (usize, &Capture)| {
            let limit = limit(capture);
            let moments = record
                .history
                .iter()
                .filter_map(|now| Some((*now, (), measure(capture, now.captures.get(i)?))));
            let (now, (), most) = passes(limit, moments)?;
            let place = record.place_of(PartKind::CaptureTimber { capture: i, layer: 0 }, now);
            Some(self.point((now.t_s, &capture.name, place), Some(most), limit))
        };
        captures.filter_map(point).collect()
    }
}

/// Two rules are the same where their words are.
impl PartialEq for Rule {
    fn eq(&self, other: &Self) -> bool {
        self.word == other.word
    }
}

/// Rules that look at the same stretch of a lift.
#[derive(Debug)]
pub struct Stretch {
    /// What they look at.
    pub heading: &'static str,
    /// In the order of a lift.
    pub rules: &'static [&'static Rule],
}

/// A place where a lift did not keep to a rule. It moves no outcome.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    pub rule: &'static Rule,
    /// When, s.
    pub t_s: f64,
    /// Name of the part concerned.
    pub part: String,
    pub place: [f64; 3],
    /// What was measured, in the rule's unit; none where there is nothing to measure.
    pub figure: Option<f64>,
    /// What it is held against, in the same unit.
    pub limit: f64,
    /// Of a stack, how many of its corners bear.
    pub corners: Option<usize>,
}

impl Point {
    /// What was done, with its figure and limit.
    pub fn say(&self, scene: &Scene, units: UnitSystem) -> String {
        (self.rule.say)(self, scene, units)
    }

    /// Its figure in words.
    pub(super) fn shown(&self, units: UnitSystem) -> String {
        self.figure.map_or_else(|| "none".to_owned(), |figure| self.rule.unit.show(figure, units))
    }

    /// Its limit in words.
    pub(super) fn limit_shown(&self, units: UnitSystem) -> String {
        self.rule.unit.show(self.limit, units)
    }
}

//! One row of the sheet: what is asked, formula, numbers, source, result, limit, verdict.

use crate::scene::Cause;
use crate::units::System;

/// A number with what it measures, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Figure {
    Force(f64),
    Mass(f64),
    /// A length of the order of a gap.
    Gap(f64),
    /// A length of the order of a vehicle.
    Span(f64),
    /// Gauge pressure of air.
    Air(f64),
    /// Stress in timber.
    Stress(f64),
    /// Pressure on the ground.
    Ground(f64),
    Angle(f64),
    Moment(f64),
    Area(f64),
    /// Free air.
    Volume(f64),
    Time(f64),
    /// A plain ratio or a count.
    Number(f64),
}

impl Figure {
    pub fn value(self) -> f64 {
        match self {
            Self::Force(v)
            | Self::Mass(v)
            | Self::Gap(v)
            | Self::Span(v)
            | Self::Air(v)
            | Self::Stress(v)
            | Self::Ground(v)
            | Self::Angle(v)
            | Self::Moment(v)
            | Self::Area(v)
            | Self::Volume(v)
            | Self::Time(v)
            | Self::Number(v) => v,
        }
    }

    /// The SI unit of [`Self::value`].
    pub fn unit(self) -> &'static str {
        match self {
            Self::Force(_) => "N",
            Self::Mass(_) => "kg",
            Self::Gap(_) | Self::Span(_) => "m",
            Self::Air(_) | Self::Stress(_) | Self::Ground(_) => "Pa",
            Self::Angle(_) => "rad",
            Self::Moment(_) => "N m",
            Self::Area(_) => "m2",
            Self::Volume(_) => "m3",
            Self::Time(_) => "s",
            Self::Number(_) => "1",
        }
    }

    /// As the reader is used to it.
    pub fn show(self, units: System) -> String {
        if !self.value().is_finite() {
            return "without bound".into();
        }
        match self {
            Self::Force(v) => units.force(v),
            Self::Mass(v) => units.mass(v),
            Self::Gap(v) => units.gap(v),
            Self::Span(v) => units.span(v),
            Self::Air(v) => units.pressure(v),
            Self::Stress(v) => units.stress(v),
            Self::Ground(v) => units.ground_pressure(v),
            Self::Angle(v) => units.angle(v),
            Self::Moment(v) => units.moment(v),
            Self::Area(v) => units.area(v),
            Self::Volume(v) => units.free_air(v),
            Self::Time(v) => format!("{v:.0} s"),
            Self::Number(v) if v.fract().abs() < 1e-9 => format!("{v:.0}"),
            Self::Number(v) => format!("{v:.2}"),
        }
    }
}

/// Which way a limit works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    AtMost(Figure),
    AtLeast(Figure),
}

impl Limit {
    pub fn figure(self) -> Figure {
        match self {
            Self::AtMost(f) | Self::AtLeast(f) => f,
        }
    }

    /// Share of the limit that is left at a value; negative past it.
    fn left(self, value: f64) -> f64 {
        let limit = self.figure().value();
        if !limit.is_finite() {
            return 1.0;
        }
        let room = match self {
            Self::AtMost(_) => limit - value,
            Self::AtLeast(_) => value - limit,
        };
        // A share of nothing is not a number: it is either kept or all missed.
        if limit == 0.0 { if room < 0.0 { -1.0 } else { 1.0 } } else { room / limit.abs() }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    Holds,
    /// Within [`CLOSE_SHARE`] of the limit, or past it at the bad end of a weak input.
    Close,
    Fails,
}

impl Verdict {
    pub fn word(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Close => "close",
            Self::Fails => "fails",
        }
    }
}

/// A margin below this share of the limit is close (assumed).
pub const CLOSE_SHARE: f64 = 0.10;

/// A heading of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    Vehicle,
    Lift,
    Gap,
    Bags,
    Air,
    Orders,
    Stacks,
    Beam,
    Face,
    Metal,
    Ground,
    Sliding,
    Turn,
}

impl Group {
    pub fn title(self) -> &'static str {
        match self {
            Self::Vehicle => "Vehicle as it lies",
            Self::Lift => "Lift force",
            Self::Gap => "Gap and limbs",
            Self::Bags => "Bags",
            Self::Air => "Air",
            Self::Orders => "Order by order",
            Self::Stacks => "Stacks",
            Self::Beam => "Beam",
            Self::Face => "Lifted face",
            Self::Metal => "Sheet metal",
            Self::Ground => "Ground",
            Self::Sliding => "Sliding",
            Self::Turn => "Turn about the tyres",
        }
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    pub group: Group,
    pub what: String,
    pub formula: String,
    /// The formula with its numbers and their units.
    pub numbers: String,
    pub source: String,
    /// None where it could not be worked out; the note then says why.
    pub result: Option<Figure>,
    pub limit: Option<Limit>,
    /// The limit at the bad end of what it is known to.
    pub weak_limit: Option<Figure>,
    /// The result at either end of its weak inputs.
    pub spread: Option<[Figure; 2]>,
    /// A rule of thumb, or what the row means.
    pub note: String,
    /// What goes wrong past its limit, where that is one of the things a played lift is
    /// watched for.
    pub warns: Option<Cause>,
}

impl Row {
    pub fn new(group: Group, what: impl Into<String>, result: Figure) -> Self {
        Self {
            group,
            what: what.into(),
            formula: String::new(),
            numbers: String::new(),
            source: String::new(),
            result: Some(result),
            limit: None,
            weak_limit: None,
            spread: None,
            note: String::new(),
            warns: None,
        }
    }

    /// A row that cannot be worked out, with what is missing.
    pub fn missing(group: Group, what: impl Into<String>, why: impl Into<String>) -> Self {
        Self { result: None, note: why.into(), ..Self::new(group, what, Figure::Number(0.0)) }
    }

    pub fn by(mut self, formula: &str, numbers: String, source: &str) -> Self {
        self.formula = formula.into();
        self.numbers = numbers;
        self.source = source.into();
        self
    }

    pub fn at_most(mut self, limit: Figure) -> Self {
        self.limit = Some(Limit::AtMost(limit));
        self
    }

    pub fn at_least(mut self, limit: Figure) -> Self {
        self.limit = Some(Limit::AtLeast(limit));
        self
    }

    pub fn between(mut self, ends: [Figure; 2]) -> Self {
        self.spread = Some(ends);
        self
    }

    /// What the limit may fall to.
    pub fn or_only(mut self, limit: Figure) -> Self {
        self.weak_limit = Some(limit);
        self
    }

    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }

    /// Past the limit this goes wrong.
    pub fn warns(mut self, cause: Cause) -> Self {
        self.warns = Some(cause);
        self
    }

    /// Share of the limit that is left.
    pub fn margin(&self) -> Option<f64> {
        Some(self.limit?.left(self.result?.value()))
    }

    /// None where the row has no limit or no result.
    pub fn verdict(&self) -> Option<Verdict> {
        let limit = self.limit?;
        let margin = self.margin()?;
        let value = self.result?.value();
        let weak = match (limit, self.weak_limit) {
            (Limit::AtMost(_), Some(weak)) => Limit::AtMost(weak),
            (Limit::AtLeast(_), Some(weak)) => Limit::AtLeast(weak),
            (limit, None) => limit,
        };
        let worst = self
            .spread
            .iter()
            .flatten()
            .map(|f| limit.left(f.value()))
            .fold(margin.min(weak.left(value)), f64::min);
        Some(if margin < 0.0 {
            Verdict::Fails
        } else if margin < CLOSE_SHARE || worst < 0.0 {
            Verdict::Close
        } else {
            Verdict::Holds
        })
    }
}

impl Row {
    /// The part that a row is about, and what it says of it: "left: height".
    pub fn part_and_rest(&self) -> (&str, &str) {
        self.what.split_once(": ").unwrap_or(("", &self.what))
    }

    /// Whether two rows tell a reader the same of two parts.
    fn says_the_same(&self, other: &Self, units: System) -> bool {
        let shown = |f: Option<Figure>| f.map(|f| f.show(units));
        let both = |row: &Self| {
            (
                shown(row.result),
                shown(row.limit.map(Limit::figure)),
                shown(row.weak_limit),
                row.spread.map(|ends| ends.map(|f| f.show(units))),
                row.numbers.clone(),
                row.note.clone(),
            )
        };
        self.group == other.group
            && !self.part_and_rest().0.is_empty()
            && self.part_and_rest().1 == other.part_and_rest().1
            && both(self) == both(other)
    }
}

/// The rows for a reader: parts of which the same is said share a row.
pub fn merged(rows: &[Row], units: System) -> Vec<Row> {
    let mut out: Vec<Row> = Vec::new();
    for row in rows {
        match out.iter_mut().find(|r| r.says_the_same(row, units)) {
            Some(first) => {
                let (part, rest) = first.part_and_rest();
                first.what = format!("{part}, {}: {rest}", row.part_and_rest().0);
            }
            None => out.push(row.clone()),
        }
    }
    out
}

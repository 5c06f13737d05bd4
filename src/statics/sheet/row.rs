//! One row of the sheet: what it is about, formula, numbers, source, result, limit, verdict.

use super::figure::{Figure, Limit};
use super::quantity::{RowGroup, RowPart, RowQuantity, Subject};
use super::verdict::{CLOSE_SHARE, Verdict};
use crate::scene::Cause;

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    pub group: RowGroup,
    pub subject: Subject,
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
    pub fn new(group: RowGroup, subject: impl Into<Subject>, result: Figure) -> Self {
        Self {
            group,
            subject: subject.into(),
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
    pub fn missing(group: RowGroup, subject: impl Into<Subject>, why: impl Into<String>) -> Self {
        Self { result: None, note: why.into(), ..Self::new(group, subject, Figure::Number(0.0)) }
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

    /// A note beside a result; without one the note says why.
    pub fn note_where_worked_out(self, note: &str) -> Self {
        if self.result.is_some() { self.note(note) } else { self }
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

    /// How far it is from its limit, as people say it; none without a limit, and where the limit is
    /// zero, which is kept or missed.
    pub fn say_margin(&self) -> Option<String> {
        let limit = self.limit.filter(|limit| limit.figure().value() != 0.0)?;
        let value = self.result?.value();
        value.is_finite().then(|| limit.say_left(value))
    }

    /// "holds, 40 % to spare", or nothing where the row is not judged.
    pub fn say_verdict(&self) -> String {
        let Some(verdict) = self.verdict() else { return String::new() };
        match self.say_margin() {
            Some(margin) => format!("{}, {margin}", verdict.word()),
            None => verdict.word().to_owned(),
        }
    }

    /// Its verdict, where it is one on the lift: what is missing on the truck is told apart.
    pub fn lift_verdict(&self) -> Option<Verdict> {
        self.verdict().filter(|_| self.group != RowGroup::Kit)
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
    /// What it tells.
    pub fn quantity(&self) -> &RowQuantity {
        &self.subject.quantity
    }

    /// What it tells that of; nothing where it is of the whole lift.
    pub fn parts(&self) -> &[RowPart] {
        &self.subject.parts
    }
}

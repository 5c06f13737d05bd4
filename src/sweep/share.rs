//! A part of a sweep, for one of several machines.

/// A part of a sweep: every `of`-th cell, from the `first` on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SweepPart {
    /// From 1 to `of`.
    pub first: usize,
    pub of: usize,
}

/// A text that tells no part of a whole.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{text}\" is not a part of a whole; write I/N with I from 1 to N, such as 1/8")]
#[non_exhaustive]
pub struct SweepPartError {
    pub text: String,
}

impl SweepPart {
    pub const WHOLE: Self = Self { first: 1, of: 1 };

    /// Reads `I/N`.
    ///
    /// # Errors
    /// How to write it.
    pub fn parse(text: &str) -> Result<Self, SweepPartError> {
        let parts = text.split_once('/').and_then(|(i, n)| {
            Some((i.trim().parse::<usize>().ok()?, n.trim().parse::<usize>().ok()?))
        });
        match parts {
            Some((first, of)) if (1..=of).contains(&first) => Ok(Self { first, of }),
            _ => Err(SweepPartError { text: text.to_owned() }),
        }
    }

    /// The cells of this part, out of `all`.
    pub(super) fn cells(self, all: usize) -> impl Iterator<Item = usize> {
        (self.first - 1..all).step_by(self.of)
    }
}

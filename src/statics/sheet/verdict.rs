//! How a result stands against its limit, and from where on that is close.

/// How a result stands against its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    Holds,
    /// Within [`CLOSE_SHARE`] of the limit, or past it at the bad end of a weak input.
    Close,
    Fails,
}

/// A margin below this share of the limit is close (assumed).
pub const CLOSE_SHARE: f64 = 0.10;

//! Words in a table for a cell without a lift; the others are the words of outcomes and causes.

/// The cell's scene cannot be played.
pub const REFUSED: &str = "refused";
/// The cell's lift cannot begin: parts stand in each other, or are jammed.
pub const JAMMED: &str = "jammed";
/// A body's state was not finite in one of its plays.
pub const BROKEN: &str = "broken";

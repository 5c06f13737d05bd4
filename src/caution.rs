//! What every screen, report, page and picture says of itself.

/// The caution shown with every result.
pub const CAUTION: &str = "This trains judgement. It never says that a real lift is safe: follow \
                           local procedures, the equipment's instructions and qualified command.";

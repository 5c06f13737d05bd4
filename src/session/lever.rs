//! The levers of the controller, as hands hold them.

/// Which way a lever is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lever {
    /// Lets air in.
    Up,
    /// Lets air out.
    Down,
}

/// How far a valve opens by hand, as shares of fully open.
pub const VALVES: [f64; 3] = [0.3, 0.6, 1.0];

//! Turns a scene into the sheet: the lift worked out on paper before it is tried, with
//! formula, numbers, source and verdict on every row. Pure f64 functions, one family of
//! formulas a file. Never looks at the simulation: that the two agree is evidence.
//!
//! See [`sheet::Sheet`].

pub mod air;
pub mod bags;
pub mod beam;
pub mod column;
pub mod face;
pub mod gap;
pub mod ground;
pub mod job;
pub mod lever;
pub mod load_shares;
pub mod panel;
pub mod plan;
pub mod plane;
pub mod predict;
mod root;
pub mod sheet;
pub mod slide;
pub mod stacks;
pub mod supports;
pub mod take;
pub mod vehicle;

//! Draws over the yard what the eye cannot see: one overlay a file, their labels and their
//! legend, and what the set-up and the size-up point at.

mod bending;
pub mod canvas;
mod colours;
mod findings;
mod friction;
mod gaps;
mod labels;
mod legend;
mod loads;
pub mod marks;
mod mass;
pub mod paint;
mod thrust;

//! Draws over the yard what the eye cannot see.

pub mod marks;
pub mod paint;

//! Pictures and films of a lift, drawn off screen, and how fast a machine draws.

pub mod filming;
pub mod frame;
pub mod pace;
pub mod studio;

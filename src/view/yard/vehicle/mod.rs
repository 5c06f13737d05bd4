//! Draws the vehicle.

pub mod build;
mod cabin;
mod car;
mod inside;
mod outline;
mod shell;
mod underbody;
mod wheels;

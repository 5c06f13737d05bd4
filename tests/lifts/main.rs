//! Whole lifts: how they end, by which cause, and what turns them.

#[path = "../common/mod.rs"]
mod common;

mod faults;
mod lessons;
mod modes;
mod orders;
mod outcomes;
mod val_sensitivity;

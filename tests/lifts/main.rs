//! Whole lifts: how they end, by which cause, what turns them, and what the sheet says of
//! them beforehand.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/program.rs"]
mod typed;

mod classes;
mod cribs;
mod faults;
mod harm;
mod laws;
mod let_run;
mod loads;
mod modes;
mod orders;
mod outcomes;
mod played;
mod practice;
mod readme;
mod sheet;
mod shelf;
mod tasks;
mod val_sensitivity;
mod windows;

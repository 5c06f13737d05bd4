//! The program as it is typed, its pages, and the structure of its source.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/program.rs"]
mod typed;

mod abuse;
mod circles;
mod cli;
mod guides;
mod house;
mod sweep;
mod verification;

//! The program as it is typed, its pages, and the structure of its source.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/energy.rs"]
mod energy;
#[path = "../common/program.rs"]
mod typed;
#[path = "../common/words.rs"]
mod words;

mod abuse;
mod circles;
mod cli;
mod fuzz;
mod guides;
mod house;
#[cfg(target_os = "linux")]
mod machine;
mod plain_words;
mod reliability;
mod set_ups;
mod soak;
mod sources;
mod sweep;
mod verification;

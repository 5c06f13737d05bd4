//! The panels around the yard: plain functions from how things stand to what was asked for.
//! They know nothing of Bevy.

pub mod bring;
mod chosen;
pub mod class;
pub mod compare;
mod controller;
mod faults;
mod guide;
mod head;
pub mod help;
mod icon;
pub mod input;
pub mod layout;
pub mod lift_screen;
mod look;
mod plan;
mod plots;
mod problems;
mod readings;
mod saving;
pub mod settling;
pub mod setup;
pub mod shelf;
mod side_view;
pub mod sizeup;
pub mod state;
pub mod task;
mod things;
mod time;
pub mod told;
mod typing;
mod verdicts;
pub mod widget;
pub mod words;

//! The panels around the yard: plain functions from how things stand to what was asked for.
//! They know nothing of Bevy.

pub mod bring;
pub mod compare;
mod controller;
mod faults;
mod guide;
mod head;
mod icon;
pub mod input;
pub mod layout;
pub mod lift_screen;
mod plan;
mod plots;
mod readings;
pub mod setup;
pub mod shelf;
pub mod sizeup;
pub mod state;
mod time;
mod typing;
pub mod widget;
pub mod words;

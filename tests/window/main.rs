//! The window, by keys and clicks, on a virtual display and without one.
#![cfg(feature = "view")]

#[path = "../common/words.rs"]
mod words;

mod pictures;
mod practice;
mod set_up;
mod trial;
mod walk;
mod window;

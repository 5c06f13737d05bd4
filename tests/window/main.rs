//! The window, by keys and clicks, on a virtual display and without one.
#![cfg(feature = "view")]

mod pictures;
mod set_up;
mod trial;
mod walk;
mod window;

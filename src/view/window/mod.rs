//! The window: which screen is on, what keys and the pointer ask for, and where its yards are
//! drawn.

mod act;
pub mod app;
mod detail;
mod keys;
mod rest;
mod screen;
mod state;
mod title;
pub mod trial;
mod user_files;
mod viewports;

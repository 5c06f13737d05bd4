//! The window: which screen is on, what keys and the pointer ask for, and where its yards are
//! drawn.

mod act;
pub mod app;
#[cfg(target_family = "wasm")]
mod browser;
#[cfg(not(target_family = "wasm"))]
mod desktop;
mod detail;
mod keys;
mod opengl;
mod renderer;
mod rest;
mod screen;
mod state;
mod title;
pub mod trial;
mod user_files;
mod viewports;

#[cfg(target_family = "wasm")]
use browser as outside;
#[cfg(not(target_family = "wasm"))]
use desktop as outside;

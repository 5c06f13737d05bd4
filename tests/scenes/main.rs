//! Scenes: how they are read, changed and edited, and the session that works on them.

mod class;
mod draft;
mod files;
mod people;
mod scenes;
mod session;
mod task;

//! Turns a scene and orders into bodies, joints and steps. The only module that
//! names bevy_rapier3d. Never draws.

pub mod engine;
pub mod solver;
use crate::scene::Scene;
use crate::snapshot::{Part, Snapshot};
use std::sync::Arc;
/// One tick of simulated time, s.
pub const TICK_S: f64 = 1.0 / 60.0;
#[derive(Clone)]
pub struct Yard { pub scene: Arc<Scene>, pub parts: Vec<Part>, pub snapshot: Snapshot }

//! The room that the vehicle leaves over head and trunk of who lies there. Bodies of people are
//! no bodies of the engine: only their trapped limbs bear.

use super::vehicle::{CLEAR_M, PlacedVehicle};
use crate::scene::{FreePart, Scene, free_parts};

#[derive(Clone, Default)]
pub(super) struct People {
    parts: Vec<FreePart>,
}

impl People {
    pub fn of(scene: &Scene) -> Self {
        Self { parts: free_parts(scene) }
    }

    /// The least room over each part, m.
    pub fn rooms_m(&self, outline: &PlacedVehicle<'_>) -> Vec<f64> {
        let room = |part: &FreePart| {
            let feet = part.feet.iter();
            feet.filter_map(|foot| outline.over(*foot).clearance(*foot, 0.0))
                .fold(CLEAR_M, f64::min)
        };
        self.parts.iter().map(room).collect()
    }
}

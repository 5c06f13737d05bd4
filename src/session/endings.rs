//! Of which lessons the shelf and the size-up may tell how they end: a crew knows only what it
//! sees, until it has played the lift.

use crate::scene::Scene;
use std::collections::BTreeSet;

/// Of which lessons the ending may be told before a lift.
#[derive(Clone, Copy, Debug)]
pub struct EndingsTold<'a> {
    /// Of every one: the instructor asks for it.
    pub all: bool,
    /// The names of the scenes that were played to their end in this session, as their author
    /// set them up.
    pub played: &'a BTreeSet<String>,
}

impl EndingsTold<'_> {
    /// Whether the ending of a scene may be told, with what the scene teaches and what decides.
    pub fn is_told(&self, scene: &Scene) -> bool {
        self.all || self.played.contains(&scene.name)
    }
}

//! One lift being played: the yard, the crew that carries out orders, and the watch.
use crate::scene::{Order, Scene};
use crate::snapshot::{Finding, Part, Said, Snapshot};
use crate::world::Yard;
use std::sync::Arc;
#[derive(Clone)]
pub struct Lift {
    yard: Yard,
}
impl Lift {
    /// Places everything and lets it settle; the first snapshot is at t = 0.
    pub fn new(_scene: Arc<Scene>) -> Self {
        unimplemented!()
    }
    pub fn scene(&self) -> &Arc<Scene> {
        &self.yard.scene
    }
    pub fn parts(&self) -> &[Part] {
        &self.yard.parts
    }
    pub fn snapshot(&self) -> &Snapshot {
        &self.yard.snapshot
    }
    /// One tick of `world::TICK_S`.
    pub fn tick(&mut self) {}
    /// An order by hand, carried out at once (its `until` counts as `Now`).
    pub fn give(&mut self, _order: Order) {}
    /// Whether the scene's own orders go on by themselves.
    pub fn set_script(&mut self, _on: bool) {}
    pub fn script(&self) -> bool {
        true
    }
    /// The script has ended and things have come to rest.
    pub fn done(&self) -> bool {
        false
    }
    pub fn findings(&self) -> &[Finding] {
        &[]
    }
    pub fn said(&self) -> &[Said] {
        &[]
    }
}

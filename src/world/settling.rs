//! Coming to rest before a lift: first the vehicle by itself, then with its set-up.

use super::physics::Physics;
use super::solver::TICK_S;
use super::yard::Yard;
use crate::scene::Scene;
use std::sync::Arc;

/// The vehicle, and later the set-up, get at most this long to come to rest, s.
const SETTLE_AT_MOST_S: f64 = 8.0;

/// A yard that comes to rest, a tick at a time.
pub struct SettlingYard {
    yard: Yard,
    ticks_left: usize,
    /// With its equipment it is ready to be played once it rests.
    equipped: bool,
}

impl SettlingYard {
    /// The vehicle, laid down as [`Yard::vehicle_settled_with`] lets it settle.
    pub fn with_vehicle(scene: Arc<Scene>, physics: Physics) -> Self {
        let mut yard = Yard::with_vehicle(scene, physics);
        for load in yard.faults.loads_from_the_start(&yard.scene) {
            yard.apply_fault(&load);
        }
        // Soil holds back sway by itself. Sheet metal that did so too would have the vehicle sink
        // first and turn later, off what has given way by then.
        let on_hard_ground = yard.scene.ground.soil.is_none();
        yard.vehicle.hold_back(on_hard_ground);
        Self::new(yard, false)
    }

    /// A scene's set-up, placed in a yard whose vehicle has settled as
    /// [`Yard::equipment_settled`] lets it settle.
    pub fn with_equipment(mut yard: Yard, scene: Arc<Scene>) -> Self {
        yard.bring(scene);
        yard.place_set_up();
        Self::new(yard, true)
    }

    fn new(yard: Yard, equipped: bool) -> Self {
        // Nothing is waited for where the vehicle is on its way already.
        let at_most_s = if yard.lies_still() { SETTLE_AT_MOST_S } else { 0.0 };
        Self { yard, ticks_left: (at_most_s / TICK_S) as usize, equipped }
    }

    /// One tick of [`TICK_S`]; true while more are needed.
    pub fn tick(&mut self) -> bool {
        if let Some(left) = self.ticks_left.checked_sub(1) {
            self.yard.step();
            self.yard.note_settling();
            let over = self.yard.engine().asleep() || !self.yard.lies_still();
            self.ticks_left = if over { 0 } else { left };
        }
        self.ticks_left > 0
    }

    /// The yard once it rests, after whatever ticks that still needs.
    pub fn at_rest(mut self) -> Yard {
        while self.tick() {}
        self.yard.vehicle.hold_back(false);
        if self.equipped {
            self.yard.begin();
        }
        self.yard
    }
}

impl Yard {
    /// Lays the vehicle down, lets it settle, places the set-up and lets that settle.
    /// The first snapshot is at t = 0.
    pub fn new(scene: Arc<Scene>) -> Self {
        Self::with_physics(scene, Physics::default())
    }

    /// As [`Self::new`], with other settings of the solver or other assumed values.
    pub fn with_physics(scene: Arc<Scene>, physics: Physics) -> Self {
        Self::vehicle_settled_with(scene.clone(), physics).equipment_settled(scene)
    }

    /// The vehicle at rest on the ground and on its limbs, before anything is brought.
    pub fn vehicle_settled(scene: Arc<Scene>) -> Self {
        Self::vehicle_settled_with(scene, Physics::default())
    }

    /// As [`Self::vehicle_settled`], with other settings or assumed values.
    pub fn vehicle_settled_with(scene: Arc<Scene>, physics: Physics) -> Self {
        SettlingYard::with_vehicle(scene, physics).at_rest()
    }

    /// A yard whose vehicle has settled, with a scene's set-up placed and let settle, ready to
    /// be played. The scene has the yard's vehicle, ground, limbs and faults.
    pub fn equipment_settled(self, scene: Arc<Scene>) -> Self {
        SettlingYard::with_equipment(self, scene).at_rest()
    }
}

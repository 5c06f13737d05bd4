//! Turns a scene and orders into bodies, joints and steps. The only module that
//! names bevy_rapier3d. Never draws, and never looks at a scene's name or at what
//! its author expects.
//!
//! See [`Yard`].

mod air;
mod bag;
mod balance;
pub mod beam;
mod crew;
mod crush;
pub mod engine;
mod faults;
mod give;
mod measure;
mod place;
mod rupture;
mod shapes;
mod sight;
mod soil;
pub mod solver;

pub use bag::GasBag;
pub use balance::Member;
pub use crew::Crew;
pub use give::{Giving, Law};
pub use sight::Sight;

use crate::scene::{Fault, Scene};
use crate::snapshot::{OutletState, Part, PartId, Snapshot};
use air::Cylinder;
use engine::{Engine, RigidBodyHandle};
use std::sync::Arc;

/// One tick of simulated time, s: the grain of orders, watch and pictures.
pub const TICK_S: f64 = 1.0 / 60.0;
const STEPS_PER_TICK: usize = 2;
/// The vehicle, and later the set-up, get at most this long to come to rest, s.
const SETTLE_AT_MOST_S: f64 = 8.0;

/// Conductance of a hose torn off at the bag, m³/(s Pa): 10 L/(s bar), a bore of about
/// 8 mm (assumed).
const BURST_CONDUCTANCE: f64 = 10e-8;

/// The place of the lift: every body, the air, and what was measured last.
#[derive(Clone)]
pub struct Yard {
    pub scene: Arc<Scene>,
    pub parts: Vec<Part>,
    pub snapshot: Snapshot,
    engine: Engine,
    /// The body of each part; shims share the beam's.
    bodies: Vec<RigidBodyHandle>,
    ground: RigidBodyHandle,
    grip: crate::tables::Grip,
    vehicle: PartId,
    panels: Vec<Giving>,
    limbs: Vec<Giving>,
    /// Empty on hard ground.
    bases: Vec<soil::Base>,
    /// Crossings of timbers that have been crushed.
    crossings: Vec<crush::Crossing>,
    rupture: rupture::Rupture,
    bags: Vec<GasBag>,
    outlets: Vec<Outlet>,
    cylinder: Cylinder,
    /// What the regulator lets through, Pa gauge.
    regulator_pa: f64,
    /// Sonic conductance of each bag's holes, m³/(s Pa).
    leaks: Vec<f64>,
    /// The share of the beam's strength that a crack has left.
    beam_left: f64,
    /// The share of each stack's strength that a crack has left.
    stacks_left: Vec<f64>,
    /// Which of the scene's faults have struck; and all that have, with their time, s.
    hidden_struck: Vec<bool>,
    struck: Vec<(f64, Fault)>,
    captures: Vec<place::CaptureBuild>,
    chocks_set: Vec<bool>,
    start: Option<measure::Start>,
    ticks: u64,
    slip: [f64; 2],
    /// Velocity of each part before the last step, m/s: what its loads changed.
    before: Vec<[f64; 3]>,
}

#[derive(Clone)]
struct Outlet {
    /// Bag at the end of its hose.
    to: usize,
    /// Above 0 filling, below 0 letting out; a share of the open valve.
    opening: f64,
    burst: bool,
    /// Its valve no longer follows the lever.
    stuck: bool,
}

impl Yard {
    /// Lays the vehicle down, lets it settle, places the set-up and lets that settle.
    /// The first snapshot is at t = 0.
    pub fn new(scene: Arc<Scene>) -> Self {
        Self::laid(scene.clone()).built(scene)
    }

    /// A laid yard with a scene's set-up placed and let settle, ready to be played. The
    /// scene has the yard's vehicle, ground, limbs and faults.
    pub fn built(mut self, scene: Arc<Scene>) -> Self {
        self.bring(scene);
        self.place_set_up();
        self.settle();
        self.begin();
        self
    }

    /// The vehicle at rest on the ground and on its limbs, before anything is brought.
    pub fn laid(scene: Arc<Scene>) -> Self {
        let mut yard = Self::with_vehicle(scene);
        yard.loads_from_the_start();
        yard.settle();
        yard
    }

    /// As [`Self::built`] before anything is let go: to look at, not to play.
    pub fn furnished(&self, scene: Arc<Scene>) -> Self {
        let mut yard = self.clone();
        yard.bring(scene);
        yard.place_set_up();
        yard.begin();
        yard
    }

    fn settle(&mut self) {
        let most = (SETTLE_AT_MOST_S / TICK_S) as usize;
        for _ in 0..most {
            self.step();
            if self.engine.asleep() {
                break;
            }
        }
    }

    /// Forgets the settling: from here on travel and rise are measured.
    fn begin(&mut self) {
        self.ticks = 0;
        self.slip = [0.0; 2];
        self.start = None;
        let first = self.measure();
        self.start = Some(measure::Start::of(self, &first));
        self.snapshot = self.measure();
    }

    /// One tick of [`TICK_S`].
    pub fn tick(&mut self) {
        self.faults();
        self.step();
        self.ticks += 1;
        self.snapshot = self.measure();
        self.crush();
        self.break_beam();
    }

    /// The engine has lost a body to a number that is none.
    pub fn broken(&self) -> bool {
        self.engine.broken()
    }

    /// The physics alone, to measure what the rest of a tick costs.
    pub fn engine(&self) -> &Engine {
        &self.engine
    }

    pub fn t_s(&self) -> f64 {
        self.ticks as f64 * TICK_S
    }

    fn step(&mut self) {
        for step in 0..STEPS_PER_TICK {
            self.move_air();
            // Its panels push it anew in each step.
            let vehicle = &mut self.engine.bodies[self.bodies[self.vehicle]];
            vehicle.reset_forces(false);
            vehicle.reset_torques(false);
            for giving in self.panels.iter_mut().chain(&mut self.limbs) {
                giving.advance(&mut self.engine);
            }
            self.soil_yields();
            if step + 1 == STEPS_PER_TICK {
                self.before = self.velocities();
            }
            self.engine.step();
        }
    }

    /// Lets air through each hose for one step, then lays the bags' motors.
    fn move_air(&mut self) {
        let mut air_j = vec![0.0; self.bags.len()];
        let supply_gauge = self.cylinder.gauge_pa().min(self.regulator_pa);
        for (outlet, spec) in self.outlets.iter().zip(&self.scene.air.outlets) {
            // While the vehicle settles no bag is there yet.
            let Some(bag) = self.bags.get(outlet.to) else { continue };
            if bag.locked_out {
                continue;
            }
            let atmosphere = crate::units::ATMOSPHERE_PA;
            let flow = |conductance, from, to| air::mass_flow(conductance, from, to);
            if outlet.burst {
                let out =
                    GasBag::air_of_flow_j(flow(BURST_CONDUCTANCE, bag.absolute_pa(), atmosphere));
                air_j[outlet.to] -= out.min(bag.spare_air_j());
            } else if outlet.opening > 0.0 {
                let open = outlet.opening * spec.conductance;
                let kg = flow(open, supply_gauge + atmosphere, bag.absolute_pa()) * solver::STEP_S;
                let kg = self.cylinder.take(kg);
                air_j[outlet.to] += kg * crate::tables::AIR_RT_J_KG;
            } else if outlet.opening < 0.0 {
                let open = -outlet.opening * spec.conductance;
                let out = GasBag::air_of_flow_j(flow(open, bag.absolute_pa(), atmosphere));
                air_j[outlet.to] -= out.min(bag.spare_air_j());
            }
        }
        // A hole lets air out whatever the hose and the shut-off do.
        for ((bag, air_j), leak) in self.bags.iter().zip(&mut air_j).zip(&self.leaks) {
            if *leak > 0.0 {
                let kg_s = air::mass_flow(*leak, bag.absolute_pa(), crate::units::ATMOSPHERE_PA);
                *air_j -= GasBag::air_of_flow_j(kg_s).min((bag.spare_air_j() + *air_j).max(0.0));
            }
        }
        for (bag, air_j) in self.bags.iter_mut().zip(air_j) {
            bag.advance(&mut self.engine, air_j);
        }
    }

    fn outlet_states(&self) -> Vec<OutletState> {
        self.outlets.iter().map(|o| OutletState { opening: o.opening, burst: o.burst }).collect()
    }
}

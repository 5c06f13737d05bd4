//! The place of the lift: the vehicle, the set-up and the air, each a part with its own
//! methods; here they are put in order and taken through each tick.

use super::balance::{self, Member};
use super::bedding::Bedding;
use super::bodies::Bodies;
use super::captures::{Around, Captures};
use super::chocks::{self, Chocks};
use super::crush::Crushing;
use super::engine::Engine;
use super::faults::{self, FaultState};
use super::limbs::Limbs;
use super::loads::loads;
use super::people::People;
use super::physics::Physics;
use super::pneumatics::Pneumatics;
use super::rupture::Rupture;
use super::shapes::{plain, vector};
use super::sight::{self, Sight};
use super::site::Site;
use super::soil::Soil;
use super::solver::TICK_S;
use super::stacks;
use super::step_chocks::{StepChocks, snug_steps};
use super::straps::Straps;
use super::struts::Struts;
use super::timber_room::void_fill_states;
use super::travel::Travel;
use super::vehicle::{PlacedVehicle, VehicleBody};
use crate::scene::{CarriedBy, CrackedTimber, Fault, Scene};
use crate::snapshot::{
    BeamState, Jam, Jammed, Load, Part, PartId, PartKind, Pose, Refusal, Settling, Snapshot,
    VehicleState,
};
use crate::units::GRAVITY_M_S2;
use std::sync::Arc;

/// The place of the lift: every body, the air, and what was measured last.
#[derive(Clone)]
pub struct Yard {
    pub scene: Arc<Scene>,
    pub snapshot: Snapshot,
    physics: Physics,
    engine: Engine,
    bodies: Bodies,
    pub(super) vehicle: VehicleBody,
    limbs: Limbs,
    people: People,
    bedding: Bedding,
    soil: Soil,
    pub(super) air: Pneumatics,
    crushing: Crushing,
    rupture: Rupture,
    captures: Captures,
    chocks: Chocks,
    step_chocks: StepChocks,
    struts: Struts,
    straps: Straps,
    pub(super) faults: FaultState,
    travel: Travel,
    settling: Settling,
    /// Where each part was as it was placed.
    placed: Vec<Pose>,
    /// The deepest overlap of the set-up as it was placed, m, and the two parts.
    overlap: Option<(PartId, PartId, f64)>,
    /// Velocity of each part before the last step, m/s: what its loads changed.
    before: Vec<[f64; 3]>,
    ticks: u64,
}

impl Yard {
    /// As [`Self::equipment_settled`] before anything is let go: to look at, not to play.
    pub fn preview(&self, scene: Arc<Scene>) -> Self {
        let mut yard = self.clone();
        yard.bring(scene);
        yard.place_set_up();
        yard.begin();
        yard
    }

    /// The ground, the vehicle as it lies, its panels, and the limbs under it.
    pub(super) fn with_vehicle(scene: Arc<Scene>, physics: Physics) -> Self {
        let gravity = vector(scene.ground.down().map(|part| part * GRAVITY_M_S2));
        let mut engine = Engine::with_settings(gravity, physics.solver);
        let grip = physics.assumed.grip(scene.grip());
        let mut bodies = Bodies::on_ground(&mut engine, &scene, grip);
        let vehicle = VehicleBody::lay(&mut engine, &mut bodies, &scene);
        let bedding = Bedding::lay(&mut engine, &bodies, &vehicle, &scene);
        let limbs = Limbs::place(&mut engine, &mut bodies, &vehicle, &scene);
        Self {
            snapshot: Snapshot::default(),
            physics,
            engine,
            bodies,
            vehicle,
            limbs,
            people: People::of(&scene),
            bedding,
            soil: Soil::default(),
            air: Pneumatics::new(&scene),
            crushing: Crushing::new(scene.stacks.len()),
            rupture: Rupture::default(),
            captures: Captures::none_built(scene.captures.len()),
            chocks: Chocks::none_set(scene.chocks.len()),
            step_chocks: StepChocks::default(),
            struts: Struts::default(),
            straps: Straps::default(),
            // What has struck while the vehicle was laid down does not strike again.
            faults: FaultState::none_of(scene.faults.len()),
            travel: Travel::default(),
            settling: Settling::default(),
            placed: Vec::new(),
            overlap: None,
            before: Vec::new(),
            ticks: 0,
            scene,
        }
    }

    /// What the scene's crew has at hand: the air supply, and nothing placed yet.
    pub(super) fn bring(&mut self, scene: Arc<Scene>) {
        self.people = People::of(&scene);
        self.air = Pneumatics::new(&scene);
        self.crushing = Crushing::new(scene.stacks.len());
        self.captures = Captures::none_built(scene.captures.len());
        self.chocks = Chocks::none_set(scene.chocks.len());
        self.step_chocks = StepChocks::default();
        self.struts = Struts::default();
        self.straps = Straps::default();
        self.scene = scene;
    }

    /// Everything the crew brings.
    pub(super) fn place_set_up(&mut self) {
        let scene = self.scene.clone();
        let com = plain(self.bodies.rigid(&self.engine, self.vehicle.part).center_of_mass());
        let middle = [com[0], com[2]];
        let snug = snug_steps(&self.engine, &self.bodies, &self.vehicle, &scene);
        self.soil = Soil::place(&mut self.engine, &self.bodies, &scene, middle, &snug);
        let mut site = Site {
            engine: &mut self.engine,
            bodies: &mut self.bodies,
            vehicle: &self.vehicle,
            soft_ground: scene.ground.soil.is_some(),
        };
        self.chocks.place(&mut site, &scene);
        self.step_chocks.place(&mut site, &scene, &snug, middle);
        self.struts.place(&mut site, &scene);
        self.straps.place(&mut site, &scene, &self.struts);
        site.void_fills(&scene);
        site.stacks(&scene);
        self.captures.place(&mut site, &scene);
        let shear_share = self.physics.assumed.bag_shear_share;
        let bags = (0..scene.bags.len()).map(|index| site.bag(&scene, index));
        self.air.bags = bags.map(|bag| bag.with_shear_share(shear_share)).collect();
        site.wedges(&scene);
        site.beam(&scene);
        self.travel.note_tops(&self.engine, &self.bodies, &scene);
        self.placed = self.bodies.poses(&self.engine, &[]);
        // Around a vehicle that has left its place nothing stands as it was meant to.
        self.overlap =
            if self.lies_still() { self.bodies.deepest_overlap(&self.engine) } else { None };
    }

    /// Takes down what the vehicle has done by now, before the lift begins.
    pub(super) fn note_settling(&mut self) {
        let loads = self.loads();
        let (engine, bodies, scene) = (&self.engine, &self.bodies, &self.scene);
        let now = self.travel.advance(engine, bodies, &self.vehicle, scene, &loads);
        self.settling = Travel::settling(scene, &now);
    }

    /// A step chock of which no step is snug, a wedge under bags without room, a strut or a strap
    /// that meets nothing of the vehicle: no lift begins so.
    pub fn misses(&self) -> Option<Jam> {
        let strut = |i: usize| ("struts", &self.scene.struts[i].name, "head");
        let strap = |i: usize| ("straps", &self.scene.straps[i].name, "at");
        if let Some(index) = self.step_chocks.misses() {
            let path = PartKind::StepChock(index).path(&self.scene);
            let part = self.scene.step_chocks[index].name.clone();
            return Some(Jam { part, against: None, path, how: Jammed::NoStep });
        }
        if let Some(index) = self.wedge_without_room() {
            let path = PartKind::Wedge(index).path(&self.scene);
            let part = self.scene.wedges[index].name.clone();
            return Some(Jam { part, against: None, path, how: Jammed::NoRoom });
        }
        let missing = self.struts.misses().map(strut).or(self.straps.misses().map(strap));
        missing.map(|(list, name, field)| Jam {
            part: name.clone(),
            against: None,
            path: [list, name, field].map(str::to_owned).into(),
            how: Jammed::NoVehicle,
        })
    }

    /// A wedge under bags for whose thin end no room was left as the vehicle lies.
    fn wedge_without_room(&self) -> Option<usize> {
        (0..self.scene.wedges.len()).find(|&wedge| {
            matches!(self.scene.wedges[wedge].on, CarriedBy::Stack(_))
                && !self.bodies.parts.iter().any(|part| part.kind == PartKind::Wedge(wedge))
        })
    }

    pub(super) fn lies_still(&self) -> bool {
        self.settling.is_still(&self.scene)
    }

    /// What the vehicle did before the lift began.
    pub fn settling(&self) -> &Settling {
        &self.settling
    }

    /// Where each part was as it was placed, before anything was let go.
    pub fn placed(&self) -> &[Pose] {
        &self.placed
    }

    /// How deep two parts of the set-up stand in each other as they were placed, m; the deepest.
    pub fn overlap(&self) -> Option<(PartId, PartId, f64)> {
        self.overlap
    }

    /// Ends the settling: travel and rise are measured from here.
    pub(super) fn begin(&mut self) {
        self.ticks = 0;
        self.bedding.begin();
        self.step_chocks.begin(&self.engine, &self.bodies);
        self.struts.begin(&mut self.engine, &self.bodies);
        self.straps.begin();
        self.travel.start_over();
        let first = self.measure();
        self.travel.begin(
            &self.engine,
            &self.bodies,
            &self.vehicle,
            &self.air,
            &self.scene,
            first.vehicle.roll_rad,
        );
        self.snapshot = self.measure();
    }

    /// One tick of [`TICK_S`].
    pub fn tick(&mut self) {
        for fault in self.faults.due(&self.scene, self.t_s()) {
            self.apply_fault(&fault);
        }
        self.step();
        self.ticks += 1;
        self.snapshot = self.measure();
        let (engine, bodies) = (&mut self.engine, &self.bodies);
        self.vehicle.give_way(engine, bodies, &self.scene.vehicle, &self.snapshot.loads);
        if !self.snapshot.asleep {
            self.give_way();
        }
    }

    /// The engine's steps of a tick.
    pub(super) fn step(&mut self) {
        let steps = self.physics.solver.steps_per_tick;
        for step in 0..steps {
            self.air.advance(&mut self.engine, &self.scene.air);
            self.vehicle.advance(&mut self.engine, &self.bodies);
            self.struts.advance(&mut self.engine, &self.bodies);
            self.straps.advance(&mut self.engine);
            self.limbs.advance(&mut self.engine);
            self.bedding.advance(&mut self.engine, &self.bodies);
            self.soil.advance(&mut self.engine);
            // A bag that swells meets a vehicle that rests.
            self.engine.keep_awake(self.bodies.handles[self.vehicle.part]);
            if step + 1 == steps {
                balance::velocities(&self.engine, &self.bodies, &mut self.before);
            }
            self.engine.step();
            self.vehicle.tend(&mut self.engine, &self.bodies);
        }
    }

    /// Crushes and breaks the timber that bears more than it can, drags stakes.
    fn give_way(&mut self) {
        let (engine, bodies) = (&mut self.engine, &mut self.bodies);
        let across_pa = self.scene.wood.across_pa();
        self.crushing.advance(engine, bodies, across_pa, &self.snapshot.crossings);
        self.chocks.drag(engine);
        self.struts.give_way(engine, bodies, &mut self.snapshot.struts);
        let Some(beam) = self.snapshot.beam.filter(|beam| !beam.broken) else { return };
        if self.rupture.advance(engine, bodies, &self.scene, beam) {
            self.snapshot.beam = Some(BeamState { broken: true, ..beam });
        }
    }

    fn measure(&mut self) -> Snapshot {
        let asleep = self.engine.asleep();
        if asleep && self.snapshot.asleep && self.snapshot.poses.len() == self.bodies.parts.len() {
            return self.unchanged();
        }
        let loads = self.loads();
        let (engine, bodies, scene) = (&self.engine, &self.bodies, &self.scene);
        let travelled = self.travel.advance(engine, bodies, &self.vehicle, scene, &loads);
        let upright = balance::upright(engine, bodies, &self.before);
        // What has just fallen asleep was stopped by the engine, not by a force.
        let inertia_n = if asleep { 0.0 } else { upright.inertia_n };
        let vehicle = VehicleState { weight_n: upright.weight_n, inertia_n, ..travelled };
        let outline = self.vehicle.outline(engine, bodies);
        let rise = self.travel.rise_m(engine, bodies, &self.vehicle);
        Snapshot {
            t_s: self.t_s(),
            poses: bodies.poses(engine, &self.snapshot.poses),
            vehicle,
            bags: self.air.bag_states(bodies, &loads),
            outlets: self.air.outlet_states(),
            cylinder_pa: self.air.cylinder_pa(),
            limbs: self.limbs.states(engine, &outline, scene),
            over_people_m: self.people.rooms_m(&outline),
            stacks: stacks::states(engine, bodies, scene, &loads, self.travel.stack_tops()),
            captures: self.captures.states(self.around(&outline), scene, &loads),
            void_fill: void_fill_states(engine, bodies, &outline, scene, &loads),
            chocks: chocks::states(engine, bodies, &self.vehicle, scene),
            bases: [self.soil.states(engine), self.bedding.states(engine)].concat(),
            crossings: self.crushing.states(bodies, scene, &loads),
            step_chocks: self.step_chocks.states(engine, bodies, &outline, &loads),
            struts: self.struts.states(engine, bodies, &loads),
            straps: self.straps.states(engine),
            beam: self.beam_state(&loads),
            rise_m: if rise.is_empty() {
                0.0
            } else {
                rise.iter().sum::<f64>() / rise.len() as f64
            },
            lift_rise_m: rise,
            loads,
            asleep,
            order: self.snapshot.order,
        }
    }

    /// What bears on what: contacts, and what pins and straps put on their ends.
    fn loads(&self) -> Vec<Load> {
        let mut all = loads(&self.engine, &self.bodies);
        all.extend(self.struts.loads(&self.bodies));
        all.extend(self.straps.loads(&self.engine, &self.bodies));
        all
    }

    /// The last moment at another time: nothing has moved, and the forces of sleeping bodies
    /// stay true.
    fn unchanged(&self) -> Snapshot {
        let mut same = self.snapshot.clone();
        same.t_s = self.t_s();
        same.outlets = self.air.outlet_states();
        self.air.update_hoses(&mut same.bags);
        same.cylinder_pa = self.air.cylinder_pa();
        same
    }

    fn beam_state(&self, loads: &[Load]) -> Option<BeamState> {
        self.rupture.state(&self.engine, &self.bodies, &self.scene, loads, self.snapshot.beam)
    }

    fn around<'a>(&'a self, outline: &'a PlacedVehicle<'a>) -> Around<'a> {
        Around { engine: &self.engine, bodies: &self.bodies, outline, soil: &self.soil }
    }

    /// Has a fault happen now.
    pub fn apply_fault(&mut self, fault: &Fault) {
        self.faults.note(self.t_s(), fault);
        let (engine, bodies) = (&mut self.engine, &self.bodies);
        match *fault {
            Fault::Burst { outlet } => self.air.burst(outlet),
            Fault::Leak { bag, bore_m } => self.air.leak(bag, bore_m),
            Fault::Valve { outlet } => self.air.stick(outlet),
            Fault::Cross { outlets: [one, other] } => self.air.cross(one, other),
            Fault::Regulator { pa } => self.air.set_regulator(pa),
            Fault::Cylinder { pa } => self.air.drain_cylinder(self.scene.air.cylinder_m3, pa),
            Fault::Crack { what: CrackedTimber::Beam, left } => self.rupture.crack(left),
            Fault::Crack { what: CrackedTimber::Stack(stack), left } => {
                self.crushing.crack(stack, left);
            }
            Fault::Slick { under, left } => {
                let surface = self.scene.ground.surface;
                let soil = (&self.soil, &self.bedding);
                faults::slick(engine, bodies, soil, surface, under, left);
            }
            Fault::Load { .. } => {
                let hidden = self.faults.loads();
                self.vehicle.load_up(engine, bodies, &self.scene, hidden);
            }
        }
    }

    /// How many layers a capture stack can be raised by now.
    pub(super) fn plan_capture(&self, index: usize) -> Result<usize, Refusal> {
        let outline = self.vehicle.outline(&self.engine, &self.bodies);
        self.captures.plan(self.around(&outline), index, &self.scene.captures[index])
    }

    /// Raises a capture stack by some layers and drives its wedges.
    pub(super) fn raise_capture(&mut self, index: usize, layers: usize) {
        let mut site = Site {
            engine: &mut self.engine,
            bodies: &mut self.bodies,
            vehicle: &self.vehicle,
            soft_ground: self.scene.ground.soil.is_some(),
        };
        let spec = &self.scene.captures[index];
        self.captures.raise(&mut site, &self.soil, index, spec, layers);
    }

    pub(super) fn chock_is_set(&self, index: usize) -> bool {
        self.chocks.is_set(index)
    }

    /// Sets a chock against the vehicle.
    pub(super) fn set_chock(&mut self, index: usize) {
        let mut site = Site {
            engine: &mut self.engine,
            bodies: &mut self.bodies,
            vehicle: &self.vehicle,
            soft_ground: self.scene.ground.soil.is_some(),
        };
        self.chocks.set(&mut site, &self.scene, index);
    }

    /// Every part that has stood here; a part keeps its place in the list.
    pub fn parts(&self) -> &[Part] {
        &self.bodies.parts
    }

    /// Simulated time since the lift began, s.
    pub fn t_s(&self) -> f64 {
        self.ticks as f64 * TICK_S
    }

    /// True once any body's position is not finite.
    pub fn broken(&self) -> bool {
        self.engine.broken()
    }

    /// The engine alone, so that a benchmark can measure the cost of the rest of a tick.
    pub fn engine(&self) -> &Engine {
        &self.engine
    }

    /// Faults that have struck, and when, s.
    pub fn struck(&self) -> &[(f64, Fault)] {
        self.faults.struck()
    }

    /// Gravity in the ground frame, m/s2.
    pub fn gravity(&self) -> [f64; 3] {
        plain(self.engine.gravity)
    }

    /// Every part that is present, once a body.
    pub fn members(&self) -> Vec<Member> {
        balance::members(&self.engine, &self.bodies, &self.before)
    }

    /// The nearest place that a ray meets; `None` where it meets nothing.
    pub fn sight(&self, from: [f64; 3], towards: [f64; 3]) -> Option<Sight> {
        sight::sight(&self.engine, &self.bodies, from, towards)
    }

    /// Straight down in the ground frame, unit length: a slope tilts it.
    pub fn plumb(&self) -> [f64; 3] {
        self.scene.ground.down()
    }
}

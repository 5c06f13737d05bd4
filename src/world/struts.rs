//! Struts: a plate on the ground, and a tube that is pinned to it and stands against the vehicle.
//! It bears along its line alone, and the plate slides where friction does not hold it. A head that
//! is seated is pinned to the vehicle as well, and drops out under a pull; another one is held by
//! the engine's own contact. Between its ends the tube meets nothing.

use super::bodies::Bodies;
use super::engine::{
    BodySpec, ColliderBuilder, Engine, GenericJoint, Groups, JointAxesMask, Mass, Real, Rotation,
    Vector,
};
use super::pins::Pin;
use super::shapes::{collider, plain, vector};
use super::site::Site;
use super::stakes::{Stake, stake};
use crate::scene::{Scene, Strut};
use crate::snapshot::{Load, PartId, PartKind, Shape, StrutState};
use crate::tables::{DRIVEN_M, Material, STEEL_KG_M3, stake_holds_n};

/// A seated head drops out under a pull of more than this, N (assumed: less than a strut weighs).
const DROPS_N: f64 = 100.0;
/// What keeps a tube from turning about its own line, kg m2 (assumed: a head does not roll).
const SPINS_KG_M2: f64 = 1.0;
/// Collar, handle and head, kg (assumed; spread over the tube).
const FITTINGS_KG: f64 = 4.0;
/// How far behind its pin the ball of a seated head is, m.
const BACK_M: f64 = 0.02;
/// What a head is drawn out against, N (assumed: by hand).
const SNUG_N: f64 = 200.0;

/// The struts of a scene, in its order; none where nothing of the vehicle was on the line.
#[derive(Clone, Default)]
pub(super) struct Struts {
    all: Vec<Option<StoodStrut>>,
    stakes: Vec<Stake>,
}

#[derive(Clone)]
struct StoodStrut {
    tube: PartId,
    foot: PartId,
    /// At a head that is seated, or held by hand until the lift begins.
    seat: Option<Pin>,
    seated: bool,
    /// Between the pins' middles, m, and what buckles it there, N.
    length_m: f64,
    euler_n: f64,
    /// Where its foot was when the lift began, m.
    began: [f64; 2],
    buckled: bool,
}

impl Struts {
    /// Sets every strut snug: its length brings its head to the vehicle, and is drawn out until
    /// it bears, as void fill is driven.
    pub fn place(&mut self, site: &mut Site<'_>, scene: &Scene) {
        for (index, strut) in scene.struts.iter().enumerate() {
            let stood = StoodStrut::place(site, index, strut);
            if let Some(stood) = stood.as_ref().filter(|_| strut.staked) {
                let ground = &scene.ground;
                let holds_n = stake_holds_n(ground.surface, ground.soil, ground.wet);
                let at = [strut.at[0], Strut::PLATE_M / 2.0, strut.at[1]];
                self.stakes.extend(stake(site, stood.foot, at, holds_n));
            }
            self.all.push(stood);
        }
    }

    /// The first that meets nothing of the vehicle.
    pub fn misses(&self) -> Option<usize> {
        self.all.iter().position(Option::is_none)
    }

    /// The plate under a strut.
    pub fn foot(&self, strut: usize) -> Option<PartId> {
        self.all.get(strut)?.as_ref().map(|stood| stood.foot)
    }

    /// The lift begins: how far the feet go is measured from here, and nobody holds a head.
    pub fn begin(&mut self, engine: &mut Engine, bodies: &Bodies) {
        for stood in self.all.iter_mut().flatten() {
            if let Some(held) = stood.seat.take_if(|_| !stood.seated) {
                held.part(engine);
            }
            stood.began = stood.stands(engine, bodies);
        }
    }

    /// Has the pins hold for one step. The caller clears the forces on the vehicle first.
    pub fn advance(&mut self, engine: &mut Engine, bodies: &Bodies) {
        for stood in self.all.iter_mut().flatten() {
            stood.advance(engine, bodies);
        }
    }

    /// What the pins put on each part, beside the contacts.
    pub fn loads(&self, bodies: &Bodies) -> Vec<Load> {
        let pins = self.all.iter().flatten().filter_map(|stood| stood.seat.as_ref());
        let load = |pin: &Pin| {
            let [on, by] = [pin.holder, pin.held].map(|body| bodies.part_of(body));
            on.map(|on| Load { on, by, point: plain(pin.at), force: plain(-pin.force) })
        };
        pins.filter_map(load).collect()
    }

    pub fn states(&self, engine: &Engine, bodies: &Bodies, loads: &[Load]) -> Vec<StrutState> {
        let state = |stood: &Option<StoodStrut>| {
            let Some(stood) = stood else { return StrutState::default() };
            let [x, z] = stood.stands(engine, bodies);
            StrutState {
                axial_n: stood.axial_n(engine, bodies, loads),
                euler_n: stood.euler_n,
                length_m: stood.length_m,
                slid_m: (x - stood.began[0]).hypot(z - stood.began[1]),
                buckled: stood.buckled,
            }
        };
        self.all.iter().map(state).collect()
    }

    /// After a tick: what bears more than buckles it folds, and stakes drag.
    pub fn give_way(
        &mut self,
        engine: &mut Engine,
        bodies: &mut Bodies,
        states: &mut [StrutState],
    ) {
        for (stood, state) in self.all.iter_mut().zip(states) {
            if let Some(stood) = stood.as_mut().filter(|stood| !stood.buckled)
                && state.axial_n >= stood.euler_n
            {
                (stood.buckled, state.buckled) = (true, true);
                bodies.take_away(engine, stood.tube);
                stood.seat = None;
            }
        }
        self.stakes.retain_mut(|stake| stake.holds(engine));
    }
}

impl StoodStrut {
    fn advance(&mut self, engine: &mut Engine, bodies: &Bodies) {
        for part in [self.foot, self.tube].into_iter().take(if self.buckled { 1 } else { 2 }) {
            let body = &mut engine.bodies[bodies.handles[part]];
            body.reset_forces(false);
            body.reset_torques(false);
        }
        if self.buckled {
            return;
        }
        let Some(seat) = &mut self.seat else { return };
        seat.advance(engine);
        let up = engine.bodies[seat.held].rotation() * Vector::Y;
        if f64::from(seat.force.dot(up)) > DROPS_N {
            seat.part(engine);
            self.seat = None;
        }
    }

    fn place(site: &mut Site<'_>, index: usize, strut: &Strut) -> Option<Self> {
        let (pin, aim) = (vector(strut.pin()), vector(strut.aims_at()));
        let outline = site.vehicle.outline(site.engine, site.bodies);
        let length_m = outline.ball_reaches(Strut::PIN_M, pin, aim)? + DRIVEN_M;
        if length_m < Strut::LEAST_M {
            return None;
        }
        let half = [strut.plate_m / 2.0, Strut::PLATE_M / 2.0, strut.plate_m / 2.0];
        let shape = Shape::Box(half);
        let spec = BodySpec {
            position: vector([strut.at[0], half[1], strut.at[1]]),
            rotation: Rotation::IDENTITY,
            shapes: collider(&shape).into_iter().collect(),
            mass: Mass::Density(STEEL_KG_M3),
            fixed: false,
            friction: site.bodies.grip_of(Material::Sheet),
            groups: if site.soft_ground { Groups::BaseOnSoil } else { Groups::Part },
        };
        let name = format!("{} foot", strut.name);
        let foot = site.bodies.add(site.engine, name, PartKind::StrutFoot(index), shape, spec);

        let (area_m2, _) = strut.section();
        let radius_m = strut.diameter_m / 2.0;
        let kg = STEEL_KG_M3 * area_m2 * length_m + FITTINGS_KG;
        let pin_over_m = strut.pin()[1] - Strut::PLATE_M / 2.0;
        // A thin tube about its middle.
        let across = kg * (length_m * length_m / 12.0 + radius_m * radius_m / 2.0);
        let half_m = length_m / 2.0;
        let along = (aim - pin).normalize();
        let end = vector([0.0, half_m, 0.0]);
        // A seated one bears by its pin, so its ball stands back.
        let ball = if strut.seated { end * (1.0 - BACK_M / half_m) as Real } else { end };
        let head = ColliderBuilder::ball(Strut::PIN_M as Real).translation(ball);
        let spec = BodySpec {
            position: pin + along * half_m as Real,
            rotation: Rotation::from_rotation_arc(Vector::Y, along),
            shapes: vec![head],
            mass: Mass::Given {
                kg,
                com: Vector::ZERO,
                inertia: vector([across, SPINS_KG_M2, across]),
            },
            fixed: false,
            friction: site.bodies.grip_of(Material::Rubber),
            groups: Groups::Part,
        };
        let shape = Shape::Box([radius_m, half_m, radius_m]);
        let kind = PartKind::Strut(index);
        let tube = site.bodies.add(site.engine, strut.name.clone(), kind, shape, spec);
        let [vehicle, plate, body] =
            [site.vehicle.part, foot, tube].map(|part| site.bodies.handles[part]);
        let mut hinge = GenericJoint::default();
        hinge.lock_axes(JointAxesMask::LIN_AXES);
        hinge.set_local_anchor1(vector([0.0, pin_over_m, 0.0]));
        hinge.set_local_anchor2(-end);
        hinge.set_contacts_enabled(false);
        site.engine.join(plate, body, hinge);
        let snug = -along * SNUG_N as Real;
        let seat = Some(Pin::new(site.engine, vehicle, body, end, snug));
        Some(Self {
            tube,
            foot,
            seat,
            seated: strut.seated,
            length_m,
            euler_n: strut.euler_n(length_m),
            began: strut.at,
            buckled: false,
        })
    }

    /// Where its foot is, along X and Z, m.
    fn stands(&self, engine: &Engine, bodies: &Bodies) -> [f64; 2] {
        let [x, _, z] = plain(bodies.rigid(engine, self.foot).translation());
        [x, z]
    }

    /// What the vehicle presses its head with, along its line, N.
    fn axial_n(&self, engine: &Engine, bodies: &Bodies, loads: &[Load]) -> f64 {
        if self.buckled {
            return 0.0;
        }
        let down = bodies.rigid(engine, self.tube).rotation() * -Vector::Y;
        if let Some(seat) = &self.seat {
            return f64::from(seat.force.dot(down)).max(0.0);
        }
        let down = plain(down);
        let along = |load: &Load| (0..3).map(|i| load.force[i] * down[i]).sum::<f64>();
        let by_vehicle = |load: &Load| match load.by {
            Some(by) if load.on == self.tube && bodies.is_vehicle(by) => along(load),
            Some(by) if by == self.tube && bodies.is_vehicle(load.on) => -along(load),
            _ => 0.0,
        };
        loads.iter().map(by_vehicle).sum::<f64>().max(0.0)
    }
}

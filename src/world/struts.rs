//! Struts: a plate on the ground, and a tube that stands on it and against the vehicle by a ball
//! at either end. The engine's own contacts push it, so that it bears along its line alone, never
//! pulls, and its foot slides where friction does not hold it. Between its ends it meets nothing.

use super::bodies::Bodies;
use super::engine::{
    BodySpec, ColliderBuilder, Engine, Friction, Groups, Mass, Real, Rotation, Vector,
};
use super::shapes::{collider, plain, vector};
use super::site::Site;
use super::stakes::{Stake, stake};
use crate::scene::{Scene, Strut};
use crate::snapshot::{Load, PartId, PartKind, Shape, StrutState};
use crate::tables::{Material, STEEL_KG_M3, stake_holds_n};

/// The friction figure of a ball in its socket, and of a head that is seated, no unit: with any
/// of the table's it holds a line 80 deg off square (assumed; a seat holds by its edges).
const SEATED: Friction = Friction { figure: 100.0, kind: usize::MAX };

/// The struts of a scene, in its order; none where nothing of the vehicle was on the line.
#[derive(Clone, Default)]
pub(super) struct Struts {
    all: Vec<Option<Stood>>,
    stakes: Vec<Stake>,
}

#[derive(Clone)]
struct Stood {
    tube: PartId,
    foot: PartId,
    /// Between the balls' middles, m, and what buckles it there, N.
    length_m: f64,
    euler_n: f64,
    /// Where its foot was when the lift began, m.
    began: [f64; 2],
    buckled: bool,
}

impl Struts {
    /// Sets every strut snug: its length brings its head to the vehicle.
    pub fn place(&mut self, site: &mut Site<'_>, scene: &Scene) {
        for (index, strut) in scene.struts.iter().enumerate() {
            let stood = Stood::place(site, index, strut);
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

    /// How far the feet go is measured from here.
    pub fn begin(&mut self, engine: &Engine, bodies: &Bodies) {
        for stood in self.all.iter_mut().flatten() {
            stood.began = stood.stands(engine, bodies);
        }
    }

    /// Before a step: what pushed the feet in the last one is taken off.
    pub fn advance(&self, engine: &mut Engine, bodies: &Bodies) {
        for stood in self.all.iter().flatten() {
            let foot = &mut engine.bodies[bodies.handles[stood.foot]];
            foot.reset_forces(false);
            foot.reset_torques(false);
        }
    }

    pub fn states(&self, engine: &Engine, bodies: &Bodies, loads: &[Load]) -> Vec<StrutState> {
        let state = |stood: &Option<Stood>| {
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
            }
        }
        self.stakes.retain_mut(|stake| stake.holds(engine));
    }
}

impl Stood {
    fn place(site: &mut Site<'_>, index: usize, strut: &Strut) -> Option<Self> {
        let (pin, aim) = (vector(strut.pin()), vector(strut.aims_at()));
        let outline = site.vehicle.outline(site.engine, site.bodies);
        let length_m = outline.ball_reaches(Strut::BALL_M, pin, aim)?;
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
        let kg = STEEL_KG_M3 * area_m2 * length_m;
        // A thin tube about its middle, and about its line.
        let across = kg * (length_m * length_m / 12.0 + radius_m * radius_m / 2.0);
        let half_m = length_m / 2.0;
        let along = (aim - pin).normalize();
        let ball = |y: f64| {
            ColliderBuilder::ball(Strut::BALL_M as Real).translation(vector([0.0, y, 0.0]))
        };
        let spec = BodySpec {
            position: pin + along * half_m as Real,
            rotation: Rotation::from_rotation_arc(Vector::Y, along),
            shapes: vec![ball(-half_m)],
            mass: Mass::Given {
                kg,
                com: Vector::ZERO,
                inertia: vector([across, kg * radius_m * radius_m, across]),
            },
            fixed: false,
            friction: SEATED,
            groups: Groups::Part,
        };
        let shape = Shape::Box([radius_m, half_m, radius_m]);
        let kind = PartKind::Strut(index);
        let tube = site.bodies.add(site.engine, strut.name.clone(), kind, shape, spec);
        let head = if strut.seated { SEATED } else { site.bodies.grip_of(Material::Rubber) };
        site.engine.add_shape(site.bodies.handles[tube], ball(half_m), head);
        Some(Self {
            tube,
            foot,
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
        let down = plain(bodies.rigid(engine, self.tube).rotation() * -Vector::Y);
        let along = |load: &Load| (0..3).map(|i| load.force[i] * down[i]).sum::<f64>();
        let by_vehicle = |load: &Load| match load.by {
            Some(by) if load.on == self.tube && bodies.is_vehicle(by) => along(load),
            Some(by) if by == self.tube && bodies.is_vehicle(load.on) => -along(load),
            _ => 0.0,
        };
        loads.iter().map(by_vehicle).sum::<f64>().max(0.0)
    }
}

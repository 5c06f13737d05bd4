//! Step chocks: a block of steps, each layer a shape of one body, and on the step that is snug a
//! packer that is driven until it bears.

use super::bodies::Bodies;
use super::engine::Engine;
use super::loads::up_n;
use super::shapes::plain;
use super::site::{Cut, Site};
use super::timber_room::over_timber_m;
use super::vehicle::{CLEAR_M, PlacedVehicle, VehicleBody};
use crate::scene::{Footprint, Scene, StepChock};
use crate::snapshot::{Load, PartId, PartKind, Shape, StepChockState};
use crate::tables::DRIVEN_M;

/// The step chocks of a scene, in its order; none where no step of it is snug.
#[derive(Clone, Default)]
pub(super) struct StepChocks(Vec<Option<StoodStepChock>>);

#[derive(Clone)]
struct StoodStepChock {
    part: PartId,
    step: usize,
    /// Where it stood when the lift began, m.
    began: [f64; 2],
}

/// The step of each that is snug under the vehicle as it lies.
pub(super) fn snug_steps(
    engine: &Engine,
    bodies: &Bodies,
    vehicle: &VehicleBody,
    scene: &Scene,
) -> Vec<Option<usize>> {
    let outline = vehicle.outline(engine, bodies);
    let edge_m = |foot: Footprint| outline.clearance(foot, 0.0);
    scene.step_chocks.iter().map(|chock| chock.snug_step(edge_m(chock.packer())?)).collect()
}

/// One layer of a step chock about the step at its place: from its own step to the far end.
fn layer(chock: &StepChock, layer: usize, step: usize, away: [f64; 2]) -> Shape {
    let [near, far] = chock.from_step(layer, step);
    let half = chock.width_m / 2.0;
    let point = |run: f64, y: f64, side: f64| {
        [run * away[0] + side * away[1].abs(), y, run * away[1] + side * away[0].abs()]
    };
    let corners = [(near, -half), (near, half), (far, half), (far, -half)];
    let at = |y: f64| corners.map(|(run, side)| point(run, y, side));
    let (low, high) = (layer as f64 * chock.rise_m, chock.top_m(layer));
    Shape::Hull(at(low).into_iter().chain(at(high)).collect())
}

impl StepChocks {
    /// Sets every one with its snug step at its place.
    pub fn place(
        &mut self,
        site: &mut Site<'_>,
        scene: &Scene,
        snug: &[Option<usize>],
        middle: [f64; 2],
    ) {
        for (index, (chock, step)) in scene.step_chocks.iter().zip(snug).enumerate() {
            self.0.push(
                step.and_then(|step| StoodStepChock::place(site, (index, chock), step, middle)),
            );
        }
    }

    /// The first of which no step is snug.
    pub fn misses(&self) -> Option<usize> {
        self.0.iter().position(Option::is_none)
    }

    /// The lift begins: how far they slide is measured from here.
    pub fn begin(&mut self, engine: &Engine, bodies: &Bodies) {
        for stood in self.0.iter_mut().flatten() {
            stood.began = stood.stands(engine, bodies);
        }
    }

    pub fn states(
        &self,
        engine: &Engine,
        bodies: &Bodies,
        outline: &PlacedVehicle<'_>,
        loads: &[Load],
    ) -> Vec<StepChockState> {
        let state = |(index, stood): (usize, &Option<StoodStepChock>)| {
            let Some(stood) = stood else { return StepChockState::default() };
            let is_own = |kind: PartKind| {
                kind == PartKind::StepChock(index) || kind == PartKind::StepPacker(index)
            };
            let own = |part: PartId| is_own(bodies.parts[part].kind);
            let [x, z] = stood.stands(engine, bodies);
            let load_n = up_n(loads, own, |part| bodies.is_vehicle(part)).max(0.0);
            let room_m = || over_timber_m(engine, bodies, outline, is_own).unwrap_or(CLEAR_M);
            StepChockState {
                load_n,
                clearance_m: if load_n > 0.0 { 0.0 } else { room_m() },
                slid_m: (x - stood.began[0]).hypot(z - stood.began[1]),
                step: stood.step,
            }
        };
        self.0.iter().enumerate().map(state).collect()
    }
}

impl StoodStepChock {
    fn place(
        site: &mut Site<'_>,
        (index, chock): (usize, &StepChock),
        step: usize,
        middle: [f64; 2],
    ) -> Option<Self> {
        let away = chock.away(middle);
        let kind = PartKind::StepChock(index);
        let shape = |k: usize| layer(chock, k, step, away);
        let name = &chock.name;
        let at = [chock.at[0], 0.0, chock.at[1]];
        let part = site.timber(name.clone(), kind, shape(0), at);
        for k in 1..chock.steps {
            site.bodies.add_to(site.engine, (name.clone(), kind), shape(k), part);
        }
        let driven = Cut { room_m: -DRIVEN_M, most_m: chock.packer_most_m() };
        let packer = PartKind::StepPacker(index);
        site.wedge(&format!("{name} packer"), packer, chock.packer(), chock.top_m(step), driven)?;
        Some(Self { part, step, began: chock.at })
    }

    /// Where it is, along X and Z, m.
    fn stands(&self, engine: &Engine, bodies: &Bodies) -> [f64; 2] {
        let [x, _, z] = plain(bodies.rigid(engine, self.part).translation());
        [x, z]
    }
}

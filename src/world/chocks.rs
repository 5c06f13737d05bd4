//! Chocks set against the vehicle, staked to the ground or not.

use super::bodies::Bodies;
use super::engine::Engine;
use super::shapes::plain;
use super::site::Site;
use super::stakes::{Stake, stake};
use super::vehicle::VehicleBody;
use crate::scene::{Chock, Scene};
use crate::snapshot::{ChockState, PartKind, Shape};
use crate::tables::stake_holds_n;

/// A chock is set no nearer to the vehicle than this, m (assumed).
const AWAY_M: f64 = 0.003;
/// Half the width and the height over which a chock faces the vehicle, m.
const OVER_M: [f64; 2] = [Chock::SIZE_M[2] / 2.0, Chock::SIZE_M[1]];

/// Which of the scene's chocks have been set, and the stakes that may drag.
#[derive(Clone, Default)]
pub(super) struct Chocks {
    set: Vec<bool>,
    stakes: Vec<Stake>,
}

impl Chocks {
    pub fn none_set(count: usize) -> Self {
        Self { set: vec![false; count], stakes: Vec::new() }
    }

    pub fn is_set(&self, chock: usize) -> bool {
        self.set[chock]
    }

    /// Sets those that stand from the start.
    pub fn place(&mut self, site: &mut Site<'_>, scene: &Scene) {
        for index in 0..scene.chocks.len() {
            if scene.chocks[index].set {
                self.set(site, scene, index);
            }
        }
    }

    /// Sets a chock against the vehicle: its upright face as near as it goes.
    pub fn set(&mut self, site: &mut Site<'_>, scene: &Scene, index: usize) {
        let chock = &scene.chocks[index];
        let com = plain(site.bodies.rigid(site.engine, site.vehicle.part).center_of_mass());
        let away = chock.away(scene.lies, [com[0], com[2]]);
        let at = stands_at(site, scene, chock, away);
        let depth = Chock::SIZE_M[0];
        let foot = [at[0] + away[0] * depth / 2.0, 0.0, at[1] + away[1] * depth / 2.0];
        let part = site.timber(chock.name.clone(), PartKind::Chock(index), shape(away), foot);
        if chock.staked {
            let ground = &scene.ground;
            let holds_n = stake_holds_n(ground.surface, ground.soil, ground.wet);
            self.stakes.extend(stake(site, part, foot, holds_n));
        }
        self.set[index] = true;
    }

    /// After a tick: stakes that were asked for more than they hold have been dragged along;
    /// those that came too far are out.
    pub fn drag(&mut self, engine: &mut Engine) {
        self.stakes.retain_mut(|stake| stake.holds(engine));
    }
}

/// The room between each chock's upright face and the vehicle as both are now.
pub(super) fn states(
    engine: &Engine,
    bodies: &Bodies,
    vehicle: &VehicleBody,
    scene: &Scene,
) -> Vec<ChockState> {
    let com = plain(bodies.rigid(engine, vehicle.part).center_of_mass());
    let axis = usize::from(scene.lies.on_side());
    let gap_m = |index: usize, chock: &Chock| {
        let part = bodies.parts.iter().position(|part| part.kind == PartKind::Chock(index))?;
        let middle = plain(bodies.rigid(engine, part).translation());
        let away = chock.away(scene.lies, [com[0], com[2]]);
        let at = [0, 1].map(|i| middle[2 * i] - away[i] * Chock::SIZE_M[0] / 2.0);
        let face_m = vehicle.face_towards(engine, bodies, at, away, OVER_M)?;
        Some((away[axis] * (at[axis] - face_m)).max(0.0))
    };
    let chocks = scene.chocks.iter().enumerate();
    chocks.map(|(index, chock)| ChockState { gap_m: gap_m(index, chock) }).collect()
}

/// Where its upright face comes to stand: at its place, or further out where the vehicle is.
fn stands_at(site: &Site<'_>, scene: &Scene, chock: &Chock, away: [f64; 2]) -> [f64; 2] {
    let axis = usize::from(scene.lies.on_side());
    let face = site.vehicle.face_towards(site.engine, site.bodies, chock.at, away, OVER_M);
    let mut at = chock.at;
    if let Some(face) = face
        && away[axis] * (chock.at[axis] - face) < AWAY_M
    {
        at[axis] = face + away[axis] * AWAY_M;
    }
    at
}

/// A chock that reaches away from the vehicle, about the middle of its foot.
fn shape(away: [f64; 2]) -> Shape {
    let [depth, height, width] = Chock::SIZE_M;
    let toe = Chock::TOE_M;
    // `run` away from the vehicle, `side` across.
    let point = |run: f64, y: f64, side: f64| {
        [run * away[0] + side * away[1].abs(), y, run * away[1] + side * away[0].abs()]
    };
    let (near, far, half) = (-depth / 2.0, depth / 2.0, width / 2.0);
    let lower = [(near, -half), (near, half), (far, half), (far, -half)];
    let top = |run: f64| if run < 0.0 { height } else { toe };
    let foot = lower.iter().map(|(run, side)| point(*run, 0.0, *side));
    let head = lower.iter().map(|(run, side)| point(*run, top(*run), *side));
    Shape::Hull(foot.chain(head).collect())
}

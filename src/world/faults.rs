//! The faults that have struck, without any notice to the crew. How each of them acts is up to
//! the parts of the yard.

use super::bedding::Bedding;
use super::bodies::Bodies;
use super::engine::{Engine, RigidBodyHandle};
use super::soil::Soil;
use crate::scene::{Fault, Scene, SlickTarget};
use crate::snapshot::{Footing, PartKind};
use crate::tables::{Material, Surface};

/// Which faults have struck.
#[derive(Clone)]
pub(super) struct FaultState {
    /// Which of the scene's own have.
    hidden_struck: Vec<bool>,
    /// All that have, with their time, s.
    struck: Vec<(f64, Fault)>,
}

impl FaultState {
    /// None of `hidden` faults has struck yet.
    pub fn none_of(hidden: usize) -> Self {
        Self { hidden_struck: vec![false; hidden], struck: Vec::new() }
    }

    /// The scene's hidden faults that are due by a time and have not struck, each once.
    pub fn due(&mut self, scene: &Scene, t_s: f64) -> Vec<Fault> {
        self.strike_hidden(scene, |at_s, _| t_s >= at_s)
    }

    /// Hidden loads that are present while the vehicle settles.
    pub fn loads_from_the_start(&mut self, scene: &Scene) -> Vec<Fault> {
        self.strike_hidden(scene, |at_s, fault| at_s == 0.0 && matches!(fault, Fault::Load { .. }))
    }

    fn strike_hidden(&mut self, scene: &Scene, due: impl Fn(f64, &Fault) -> bool) -> Vec<Fault> {
        let hidden = scene.faults.iter().zip(&mut self.hidden_struck);
        hidden
            .filter(|(hidden, struck)| !**struck && due(hidden.at_s, &hidden.fault))
            .map(|(hidden, struck)| {
                *struck = true;
                hidden.fault.clone()
            })
            .collect()
    }

    pub fn note(&mut self, t_s: f64, fault: &Fault) {
        self.struck.push((t_s, fault.clone()));
    }

    pub fn struck(&self) -> &[(f64, Fault)] {
        &self.struck
    }

    /// The hidden loads: kg and place in the vehicle, m.
    pub fn loads(&self) -> impl Iterator<Item = (f64, [f64; 3])> {
        self.struck.iter().filter_map(|(_, fault)| match *fault {
            Fault::Load { kg, place_m } => Some((kg, place_m)),
            _ => None,
        })
    }
}

/// Moves what stands there onto a ground of its own, with this share of the friction left.
pub(super) fn slick(
    engine: &mut Engine,
    bodies: &Bodies,
    (soil, bedding): (&Soil, &Bedding),
    surface: Surface,
    under: SlickTarget,
    left: f64,
) {
    // A pair's friction is the geometric mean of two figures, so the square.
    let mut ground = bodies.grip_of(Material::Ground(surface));
    ground.figure *= left * left;
    let of = match under {
        SlickTarget::Stack(stack) => Some(Footing::Stack(stack)),
        SlickTarget::VoidFill(fill) => Some(Footing::VoidFill(fill)),
        SlickTarget::Chock(chock) => Some(Footing::Chock(chock)),
        SlickTarget::StepChock(chock) => Some(Footing::StepChock(chock)),
        SlickTarget::Vehicle => None,
    };
    // On soil it is the earth under it that grows slippery.
    let earth: Vec<RigidBodyHandle> = match of {
        Some(of) => soil.earth_under(of).into_iter().collect(),
        None => bedding.earth().collect(),
    };
    if earth.is_empty() {
        engine.set_on_slick(&standing(bodies, under), ground);
    }
    for earth in earth {
        engine.set_friction(earth, ground.figure);
    }
    engine.wake_all();
}

/// The bodies of what stands there on the ground.
fn standing(bodies: &Bodies, under: SlickTarget) -> Vec<RigidBodyHandle> {
    let stands = |kind: PartKind| match under {
        SlickTarget::Vehicle => kind.is_vehicle(),
        SlickTarget::Stack(stack) => {
            let timber = PartKind::StackTimber { stack, layer: 0 };
            kind == timber || kind == PartKind::Sole(Footing::Stack(stack))
        }
        SlickTarget::VoidFill(fill) => {
            let sole = PartKind::Sole(Footing::VoidFill(fill));
            kind == PartKind::VoidFill(fill) || kind == sole
        }
        SlickTarget::Chock(chock) => kind == PartKind::Chock(chock),
        SlickTarget::StepChock(chock) => kind == PartKind::StepChock(chock),
    };
    let parts = bodies.parts.iter().zip(&bodies.handles);
    parts.filter(|(part, _)| part.present && stands(part.kind)).map(|(_, body)| *body).collect()
}

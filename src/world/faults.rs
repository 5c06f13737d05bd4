//! Faults at work: each changes what the crew's orders and the forces come to, and nothing
//! tells the crew.

use super::Yard;
use super::air::{self, Cylinder};
use super::shapes::vector;
use crate::scene::{Cracked, Fault, Standing};
use crate::snapshot::{Footing, PartKind};
use crate::tables::Material;
use bevy_rapier3d::rapier::prelude::*;

/// A hidden load is a block of this side, m (assumed).
const BLOCK_M: f64 = 0.5;

impl Yard {
    /// The scene's hidden faults whose time has come, each once.
    pub(super) fn faults(&mut self) {
        let scene = self.scene.clone();
        let t_s = self.t_s();
        for (index, hidden) in scene.faults.iter().enumerate() {
            if t_s >= hidden.at_s && !self.hidden_struck[index] {
                self.hidden_struck[index] = true;
                self.strike(&hidden.fault);
            }
        }
    }

    /// Loads that are there from the start, before the vehicle has come to rest.
    pub(super) fn loads_from_the_start(&mut self) {
        let scene = self.scene.clone();
        for (index, hidden) in scene.faults.iter().enumerate() {
            if hidden.at_s == 0.0 && matches!(hidden.fault, Fault::Load { .. }) {
                self.hidden_struck[index] = true;
                self.strike(&hidden.fault);
            }
        }
    }

    /// Has a fault happen now.
    pub fn strike(&mut self, fault: &Fault) {
        self.struck.push((self.t_s(), fault.clone()));
        match *fault {
            Fault::Burst { outlet } => self.outlets[outlet].burst = true,
            Fault::Leak { bag, bore_m } => self.leaks[bag] += air::bore_conductance(bore_m),
            Fault::Valve { outlet } => self.outlets[outlet].stuck = true,
            Fault::Regulator { pa } => self.regulator_pa = pa,
            Fault::Cylinder { pa } => {
                // A cylinder does not fill itself.
                let pa = pa.min(self.cylinder.gauge_pa());
                self.cylinder = Cylinder::new(self.scene.air.cylinder_m3, pa);
            }
            Fault::Crack { what: Cracked::Beam, left } => self.beam_left = left,
            Fault::Crack { what: Cracked::Stack(stack), left } => self.stacks_left[stack] = left,
            Fault::Slick { under, left } => self.slick(under, left),
            Fault::Load { .. } => self.load_up(),
        }
    }

    /// Faults that have struck, and when, s.
    pub fn struck(&self) -> &[(f64, Fault)] {
        &self.struck
    }

    /// The share of the beam's strength that a crack has left.
    pub fn beam_left(&self) -> f64 {
        self.beam_left
    }

    /// Moves what stands there onto a ground of its own, with less friction.
    fn slick(&mut self, under: Standing, left: f64) {
        let stands = |kind: PartKind| match under {
            Standing::Vehicle => matches!(kind, PartKind::Vehicle | PartKind::Panel(_)),
            Standing::Stack(stack) => {
                let timber = PartKind::StackTimber { stack, layer: 0 };
                kind == timber || kind == PartKind::Sole(Footing::Stack(stack))
            }
            Standing::VoidFill(fill) => {
                let sole = PartKind::Sole(Footing::VoidFill(fill));
                kind == PartKind::VoidFill(fill) || kind == sole
            }
            Standing::Chock(chock) => kind == PartKind::Chock(chock),
        };
        let bodies: Vec<RigidBodyHandle> = (self.parts.iter().zip(&self.bodies))
            .filter(|(part, _)| part.present && stands(part.kind))
            .map(|(_, body)| *body)
            .collect();
        // A pair's friction is the geometric mean of two figures, so the square.
        let ground = self.grip_of(Material::Ground(self.scene.ground.surface)) * left * left;
        let of = match under {
            Standing::Stack(stack) => Some(Footing::Stack(stack)),
            Standing::VoidFill(fill) => Some(Footing::VoidFill(fill)),
            Standing::Vehicle | Standing::Chock(_) => None,
        };
        // On soil it is the earth under the base that grows slippery.
        match of.and_then(|of| self.earth_under(of)) {
            Some(earth) => self.engine.set_friction(earth, ground),
            None => self.engine.set_on_slick(&bodies, ground),
        }
        self.engine.wake_all();
    }

    /// The vehicle as the scene has it, with every load that nobody knew of.
    fn load_up(&mut self) {
        let v = &self.scene.vehicle;
        let bare =
            MassProperties::new(vector(v.com_m), self.shell_kg() as Real, vector(v.inertia_kg_m2));
        let all = self.struck.iter().fold(bare, |sum, (_, fault)| match *fault {
            Fault::Load { kg, place_m } => {
                let about = vector([kg * BLOCK_M * BLOCK_M / 6.0; 3]);
                sum + MassProperties::new(vector(place_m), kg as Real, about)
            }
            _ => sum,
        });
        if let Some(body) = self.engine.bodies.get_mut(self.bodies[self.vehicle]) {
            body.set_additional_mass_properties(all, true);
        }
        self.engine.wake_all();
    }
}

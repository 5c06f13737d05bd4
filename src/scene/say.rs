//! Faults in words, with the names of a scene.

use super::faults::{Cracked, Fault, Standing};
use super::model::Scene;
use crate::units::System;

impl Standing {
    fn name(self, scene: &Scene) -> &str {
        match self {
            Self::Vehicle => &scene.vehicle.name,
            Self::Stack(i) => &scene.stacks[i].name,
            Self::VoidFill(i) => &scene.void_fill[i].name,
            Self::Chock(i) => &scene.chocks[i].name,
        }
    }
}

impl Fault {
    /// The fault as the debrief tells it.
    pub fn say(&self, scene: &Scene, units: System) -> String {
        let outlet = |i: usize| &scene.air.outlets[i].name;
        match self {
            Self::Burst { outlet: i } => format!("the {} hose burst", outlet(*i)),
            Self::Leak { bag, bore_m } => format!(
                "the {} bag leaks through a hole of {}",
                scene.bags[*bag].name,
                units.gap(*bore_m)
            ),
            Self::Valve { outlet: i } => format!("the {} valve stuck as it was", outlet(*i)),
            Self::Regulator { pa } => {
                format!("the regulator stuck and lets {} through", units.pressure(*pa))
            }
            Self::Cylinder { pa } => {
                format!("the cylinder holds no more than {}", units.pressure(*pa))
            }
            Self::Crack { what: Cracked::Beam, left } => {
                format!("the beam is cracked: {:.0} % of its strength is left", 100.0 * left)
            }
            Self::Crack { what: Cracked::Stack(i), left } => format!(
                "the timbers of {} are cracked: {:.0} % of their strength is left",
                scene.stacks[*i].name,
                100.0 * left
            ),
            Self::Slick { under, left } => format!(
                "something slippery under {}: {:.0} % of the friction is left",
                under.name(scene),
                100.0 * left
            ),
            Self::Load { kg, place_m: [x, ..] } => format!(
                "the vehicle carries {} that nobody knew of, {} {} the middle of its wheelbase",
                units.mass(*kg),
                units.span(x.abs()),
                if *x < 0.0 { "behind" } else { "ahead of" }
            ),
        }
    }
}

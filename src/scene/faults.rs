//! Faults: what goes wrong with the equipment or was not known of the scene. An instructor
//! hides them in a scene, or has them happen live.

use super::Scene;
use super::build::Lists;
use super::read::Fields;
use crate::units::Dimension::{Fraction, Length, Mass, Pressure, Time};
use crate::units::System;

/// One thing that is not as the crew believes. Names are resolved to indices of the scene's
/// lists; what is worked out on paper knows of none of them.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// The hose of an outlet is torn off at the bag.
    Burst { outlet: usize },
    /// A bag has a hole: round, by its bore, m.
    Leak { bag: usize, bore_m: f64 },
    /// The valve of an outlet stays as far open, or shut, as it is, whatever it is told.
    Valve { outlet: usize },
    /// The regulator lets through another pressure, Pa gauge.
    Regulator { pa: f64 },
    /// The cylinder holds only this, Pa gauge.
    Cylinder { pa: f64 },
    /// Timber has cracked: the share of its strength that is left.
    Crack { what: Cracked, left: f64 },
    /// Something slippery lies between a base and the ground: the share of their friction
    /// that is left.
    Slick { under: Standing, left: f64 },
    /// The vehicle carries a load that nobody knows of, at a place in its own frame, m.
    Load { kg: f64, place_m: [f64; 3] },
}

/// Timber that can crack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cracked {
    /// The beam: it bends, shears and breaks sooner.
    Beam,
    /// Every timber of a stack, by its index: split through and soft, they bear less across
    /// the grain. They do not come in two as a beam does: a beam bends between what bears it,
    /// while a crib's crossings stand one on the other, so that a timber is pressed across the
    /// grain and hardly bent. What is split there crushes and sags where it bears, under
    /// what lies on it (common practice, no source).
    Stack(usize),
}

/// What stands on the ground, by its index.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    Vehicle,
    Stack(usize),
    VoidFill(usize),
    Chock(usize),
}

/// A fault that a scene hides, and when it comes, s. One at 0 is there from the start: a load
/// before the vehicle has come to rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Hidden {
    pub fault: Fault,
    pub at_s: f64,
}

/// What can be hidden; each fault has exactly one of these fields.
const KINDS: [&str; 8] =
    ["hose", "leak", "valve", "regulator", "cylinder", "crack", "slick", "load"];

impl Hidden {
    pub(super) fn read(
        g: &Fields<'_>,
        lists: &Lists<'_>,
        hose: &dyn Fn(&'static str) -> Option<usize>,
        has_beam: bool,
    ) -> Option<Self> {
        let given: Vec<&'static str> = KINDS.into_iter().filter(|kind| g.has(kind)).collect();
        let &[kind] = given.as_slice() else {
            let found = if given.is_empty() { "none".into() } else { given.join(" and ") };
            g.complain(
                "",
                format!(
                    "each fault is exactly one thing, but this one has {found}; choose one of {}",
                    KINDS.join(", ")
                ),
            );
            return None;
        };
        let at_s = g.quantity_or("at", Time, 0.0..=3600.0, 0.0);
        let left = || g.quantity("to", Fraction, 0.01..=1.0);
        let fault = match kind {
            "hose" => hose(kind).map(|outlet| Fault::Burst { outlet }),
            "valve" => hose(kind).map(|outlet| Fault::Valve { outlet }),
            "leak" => {
                let bag = g.text(kind).and_then(|name| lists.bag(g, kind, &name));
                let bore_m = g.quantity("bore", Length, 0.0002..=0.02);
                bag.zip(bore_m).map(|(bag, bore_m)| Fault::Leak { bag, bore_m })
            }
            "regulator" => {
                let pa = g.quantity(kind, Pressure, 0.0..=20e5);
                pa.map(|pa| Fault::Regulator { pa })
            }
            "cylinder" => {
                let pa = g.quantity(kind, Pressure, 0.0..=320e5);
                pa.map(|pa| Fault::Cylinder { pa })
            }
            "crack" => {
                let what = g.text(kind).and_then(|name| lists.cracked(g, kind, &name, has_beam));
                what.zip(left()).map(|(what, left)| Fault::Crack { what, left })
            }
            "slick" => {
                let under = g.text(kind).and_then(|name| lists.standing(g, kind, &name));
                under.zip(left()).map(|(under, left)| Fault::Slick { under, left })
            }
            _ => {
                let kg = g.quantity(kind, Mass, 1.0..=3000.0);
                let place = g.lengths("place", 3, -4.0..=4.0);
                match place.as_deref() {
                    Some(&[x, y, z]) => kg.map(|kg| Fault::Load { kg, place_m: [x, y, z] }),
                    Some(_) => {
                        g.complain(
                            "place",
                            "needs three lengths in the vehicle's own frame: forwards from the \
                             middle of the wheelbase, up from the ground it drives on, to its \
                             right; such as [\"-1.7 m\", \"0.7 m\", \"0 m\"]",
                        );
                        None
                    }
                    None => None,
                }
            }
        };
        g.end();
        Some(Self { fault: fault?, at_s: at_s? })
    }
}

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

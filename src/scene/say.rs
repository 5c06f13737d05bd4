//! Orders and faults in words, with the names of a scene.

use super::faults::{CrackedTimber, Fault, SlickTarget};
use super::model::Scene;
use super::orders::{Order, Until};
use super::vehicle::{RestPose, RestsOn, Vehicle};
use crate::units::UnitSystem;
use std::borrow::Cow;

impl RestPose {
    /// How far it leans, and which way: "16.4° nose down", "level".
    pub fn say(&self, lies: RestsOn, units: UnitSystem) -> String {
        /// What leans less is level, rad.
        const LEVEL_RAD: f64 = 0.005;
        let off_rad = if lies == RestsOn::Roof { self.pitch_rad.abs() } else { self.off_rad };
        let angle = units.angle(off_rad);
        match lies {
            _ if off_rad < LEVEL_RAD => "level".into(),
            RestsOn::Roof if self.pitch_rad > 0.0 => format!("{angle} nose down"),
            RestsOn::Roof => format!("{angle} tail down"),
            _ if self.turn_rad.abs() < std::f64::consts::FRAC_PI_2 => {
                format!("turned {angle} towards its wheels")
            }
            _ => format!("turned {angle} towards its roof"),
        }
    }
}

impl Vehicle {
    /// The poses in which it would lie still beside the one it is laid in, each with the height
    /// of its centre of mass; none where there is only that one.
    pub fn say_other_poses(&self, lies: RestsOn, units: UnitSystem) -> Option<String> {
        let poses = self.rest_poses(lies);
        let [taken, others @ ..] = poses.as_slice() else { return None };
        if others.is_empty() {
            return None;
        }
        let told: Vec<String> = others
            .iter()
            .map(|pose| {
                let [_, height_m, _] = pose.ground(self.com_m);
                format!("{}, its centre of mass {} up", pose.say(lies, units), units.span(height_m))
            })
            .collect();
        Some(format!(
            "on its {} the vehicle is laid {}, the nearest to what is said; it would also lie still \
             {}",
            lies.word(),
            taken.say(lies, units),
            told.join("; or ")
        ))
    }
}

impl SlickTarget {
    fn name(self, scene: &Scene) -> &str {
        match self {
            Self::Vehicle => "the vehicle",
            Self::Stack(i) => &scene.stacks[i].name,
            Self::VoidFill(i) => &scene.void_fill[i].name,
            Self::Chock(i) => &scene.chocks[i].name,
            Self::StepChock(i) => &scene.step_chocks[i].name,
        }
    }
}

impl Fault {
    /// The fault in the words of the debrief.
    pub fn say(&self, scene: &Scene, units: UnitSystem) -> String {
        let outlet = |i: usize| &scene.air.outlets[i].name;
        match self {
            Self::Burst { outlet: i } => format!("the {} hose burst", outlet(*i)),
            Self::Leak { bag, bore_m } => format!(
                "the {} leaks through a hole of {}",
                named(&scene.bags[*bag].name, "bag"),
                units.gap(*bore_m)
            ),
            Self::Valve { outlet: i } => format!("the {} valve stuck as it was", outlet(*i)),
            Self::Cross { outlets: [one, other] } => {
                format!("the {} and {} hoses were crossed", outlet(*one), outlet(*other))
            }
            Self::Regulator { pa } => {
                format!("the regulator stuck and lets {} through", units.pressure(*pa))
            }
            Self::Cylinder { pa } => {
                format!("the cylinder holds no more than {}", units.pressure(*pa))
            }
            Self::Crack { what: CrackedTimber::Beam, left } => {
                format!("the beam is cracked: {:.0} % of its strength is left", 100.0 * left)
            }
            Self::Crack { what: CrackedTimber::Stack(i), left } => format!(
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

/// A part by its name and what it is: "left lower bag". A name that ends in what it is says so once:
/// "tail bag", "bag".
pub fn named<'a>(name: &'a str, noun: &str) -> Cow<'a, str> {
    let is_told =
        name.strip_suffix(noun).is_some_and(|rest| rest.is_empty() || rest.ends_with(' '));
    if is_told { name.into() } else { format!("{name} {noun}").into() }
}

/// Names as they are said together: "driver and passenger", or "nothing".
pub fn list_in_words<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<_> = names.collect();
    match names.as_slice() {
        [] => "nothing".into(),
        [one] => (*one).to_owned(),
        [front @ .., last] => format!("{} and {last}", front.join(", ")),
    }
}

impl Order {
    /// The order as it is said.
    pub fn say(&self, scene: &Scene, units: UnitSystem) -> String {
        let bags = |ids: &[usize]| list_in_words(ids.iter().map(|&i| scene.bags[i].name.as_str()));
        match self {
            Self::Raise { bags: ids, until, .. } => {
                format!("raise {}{}", bags(ids), until.say(scene, units))
            }
            Self::Lower { bags: ids, until, .. } => {
                format!("lower {}{}", bags(ids), until.say(scene, units))
            }
            Self::Stop { bags: ids } => format!("stop {}", bags(ids)),
            Self::LockOut { bags: ids } => format!("lock out {}", bags(ids)),
            Self::Unlock { bags: ids } => format!("open the shut-off of {}", bags(ids)),
            Self::MoveHose { outlet, from, to } => {
                let from = from.map(|from| format!(" from {}", scene.bags[from].name));
                format!(
                    "move the {} hose{} to {}",
                    scene.air.outlets[*outlet].name,
                    from.unwrap_or_default(),
                    scene.bags[*to].name
                )
            }
            Self::Capture { captures } => format!(
                "capture at {}",
                list_in_words(captures.iter().map(|&i| scene.captures[i].name.as_str()))
            ),
            Self::SetChocks { chocks } => format!(
                "set chocks: {}",
                list_in_words(chocks.iter().map(|&i| scene.chocks[i].name.as_str()))
            ),
            Self::Wait { until, .. } => format!("wait{}", until.say(scene, units)),
        }
    }
}

impl Until {
    fn say(self, scene: &Scene, units: UnitSystem) -> String {
        match self {
            Self::Now => String::new(),
            Self::For(s) => format!(" for {s:.0} s"),
            Self::Height(m) => format!(" to {}", units.gap(m)),
            Self::Rise(m) => format!(" until the load has risen {}", units.gap(m)),
            Self::Gap { limb, m } => {
                format!(" until the gap at the {} is {}", scene.limbs[limb].name, units.gap(m))
            }
            Self::OnTimber(share) => {
                format!(" until timber bears {:.0} % of what was lifted", 100.0 * share)
            }
        }
    }
}

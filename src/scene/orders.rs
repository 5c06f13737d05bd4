//! Orders: the only way anything is operated, by a scene's script or by hand.

use super::Scene;
use crate::units::System;

/// One thing the crew is told. Names are resolved to indices of the scene's lists.
#[derive(Clone, Debug, PartialEq)]
pub enum Order {
    /// Let air into the named bags, up to a share of the valve, until a condition.
    Raise {
        bags: Vec<usize>,
        opening: f64,
        until: Until,
        at_most_s: f64,
    },
    /// Let air out of them.
    Lower {
        bags: Vec<usize>,
        opening: f64,
        until: Until,
        at_most_s: f64,
    },
    /// Close the valves of the named bags.
    Stop {
        bags: Vec<usize>,
    },
    /// Close the shut-off at the bag: it keeps its air whatever the hose does.
    LockOut {
        bags: Vec<usize>,
    },
    /// Open the shut-off again.
    Unlock {
        bags: Vec<usize>,
    },
    /// Move an outlet's hose to another bag.
    MoveHose {
        outlet: usize,
        to: usize,
    },
    /// Follow the load: add as many layers as fit and drive the wedges snug.
    Capture {
        captures: Vec<usize>,
    },
    /// Set chocks that lie ready.
    SetChocks {
        chocks: Vec<usize>,
    },
    Wait {
        until: Until,
        at_most_s: f64,
    },
}

/// When an order is done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Until {
    /// At once: the order goes on while the next ones are given.
    Now,
    /// After this long, s.
    For(f64),
    /// Each named bag has reached this height, m; each stops by itself.
    Height(f64),
    /// The vehicle has risen this much over the lift points since the start, m.
    Rise(f64),
    /// The gap at a limb has reached this, m.
    Gap { limb: usize, m: f64 },
}

fn list<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<_> = names.collect();
    match names.as_slice() {
        [] => "nothing".into(),
        [one] => (*one).to_owned(),
        [front @ .., last] => format!("{} and {last}", front.join(", ")),
    }
}

impl Order {
    /// The order as it is said.
    pub fn say(&self, scene: &Scene, units: System) -> String {
        let bags = |ids: &[usize]| list(ids.iter().map(|&i| scene.bags[i].name.as_str()));
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
            Self::MoveHose { outlet, to } => format!(
                "move the {} hose to {}",
                scene.air.outlets[*outlet].name, scene.bags[*to].name
            ),
            Self::Capture { captures } => format!(
                "capture at {}",
                list(captures.iter().map(|&i| scene.captures[i].name.as_str()))
            ),
            Self::SetChocks { chocks } => format!(
                "set chocks: {}",
                list(chocks.iter().map(|&i| scene.chocks[i].name.as_str()))
            ),
            Self::Wait { until, .. } => format!("wait{}", until.say(scene, units)),
        }
    }
}

impl Until {
    fn say(self, scene: &Scene, units: System) -> String {
        match self {
            Self::Now => String::new(),
            Self::For(s) => format!(" for {s:.0} s"),
            Self::Height(m) => format!(" to {}", units.gap(m)),
            Self::Rise(m) => format!(" until the load has risen {}", units.gap(m)),
            Self::Gap { limb, m } => {
                format!(" until the gap at the {} is {}", scene.limbs[limb].name, units.gap(m))
            }
        }
    }
}

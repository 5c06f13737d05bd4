//! What the crew was told, and what came of it.

use crate::scene::{Order, Scene};
use crate::units::UnitSystem;

/// An entry of the crew's log.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderRecord {
    pub t_s: f64,
    pub told: Told,
    /// Why it could not be done, or none where it was.
    pub refused: Option<Refusal>,
    /// The bags with air in them that it left open to the air.
    pub left_open: Vec<LeftOpen>,
}

/// A bag that holds air and is left without a hose and with its shut-off open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeftOpen {
    pub bag: usize,
    /// What it held, Pa.
    pub gauge_pa: f64,
}

impl LeftOpen {
    /// What comes of it, in words.
    pub fn say(&self, scene: &Scene, units: UnitSystem) -> String {
        format!(
            "{} held {} and is open to the air, without a hose and not shut off: it lets itself \
             down",
            scene.bags[self.bag].name,
            units.pressure(self.gauge_pa)
        )
    }
}

/// What the crew is told.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Told {
    Order(Order),
    /// The officer's stop after the first failure: every valve is shut, no further order.
    OfficerStop,
}

impl Told {
    /// As it is said to the crew.
    pub fn say(&self, scene: &Scene, units: UnitSystem) -> String {
        match self {
            Self::Order(order) => order.say(scene, units),
            Self::OfficerStop => "STOP: failure. All valves closed; no further orders".into(),
        }
    }
}

/// Why an order could not be done. Indices are into the scene's lists.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Refusal {
    /// The bag's shut-off is closed.
    LockedOut { bag: usize },
    /// No hose goes to the bag.
    NoHose { bag: usize },
    /// The hose to the bag has burst.
    HoseBurst { outlet: usize, bag: usize },
    /// The outlet's hose goes to that bag already.
    HoseTaken { outlet: usize, bag: usize },
    /// The outlet's hose does not go to the bag that it is to be taken off.
    HoseElsewhere { outlet: usize, bag: usize },
    /// The chock is set already.
    ChockSet { chock: usize },
    /// The capture stack carries load.
    CaptureLoaded { capture: usize, load_n: f64 },
    /// There is too little room above the capture stack for a wedge.
    NoRoom { capture: usize, room_m: f64 },
    /// No wedge of at most `most_m` reaches the vehicle, which is `nearest_m` above the
    /// capture stack; `used_up` where more timber would have helped.
    NoWedge { capture: usize, nearest_m: f64, most_m: f64, used_up: bool },
    /// What the order waited for had not happened after this long, s.
    GivenUp { after_s: f64 },
}

impl Refusal {
    /// The reason in words, with what to do first where that helps.
    pub fn say(&self, scene: &Scene, units: UnitSystem) -> String {
        let bag_name = |bag: usize| &scene.bags[bag].name;
        let outlet_name = |outlet: usize| &scene.air.outlets[outlet].name;
        let capture_name = |capture: usize| &scene.captures[capture].name;
        match *self {
            Self::LockedOut { bag } => {
                format!("{} is locked out; open its shut-off first", bag_name(bag))
            }
            Self::NoHose { bag } => {
                format!("no hose goes to {}; move one there first", bag_name(bag))
            }
            Self::HoseBurst { outlet, bag } => format!(
                "the {} hose has burst; nothing reaches {}",
                outlet_name(outlet),
                bag_name(bag)
            ),
            Self::HoseTaken { outlet, bag } => {
                format!("the {} hose already goes to {}", outlet_name(outlet), bag_name(bag))
            }
            Self::HoseElsewhere { outlet, bag } => {
                format!("the {} hose does not go to {}", outlet_name(outlet), bag_name(bag))
            }
            Self::ChockSet { chock } => format!("{} is set already", scene.chocks[chock].name),
            Self::CaptureLoaded { capture, load_n } => {
                let load = units.load(load_n);
                format!("{} carries {load}; raise the load off it first", capture_name(capture))
            }
            Self::NoRoom { capture, room_m } => {
                format!("there are only {} above {}", units.gap(room_m), capture_name(capture))
            }
            Self::NoWedge { capture, nearest_m, most_m, used_up } => format!(
                "no wedge of at most {} fits between {} and the vehicle, {} above it at the \
                 nearest{}",
                units.gap(most_m),
                capture_name(capture),
                units.gap(nearest_m),
                if used_up { "; its timber is used up" } else { "" }
            ),
            Self::GivenUp { after_s } => {
                format!("given up after {after_s:.0} s without getting there")
            }
        }
    }
}

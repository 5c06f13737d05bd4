//! What the orders come to on paper: one step for each order that moves air, and the orders
//! that could not be worked out.

use crate::scene::named;
use crate::statics::plane::LaidOut;
use std::fmt;

/// A bag after an order.
#[derive(Clone, Copy, Debug)]
pub struct BagNow {
    pub gap_m: f64,
    pub force_n: f64,
    pub gauge_pa: f64,
    pub air_j: f64,
}

/// What an order that moves air came to.
#[derive(Clone, Debug)]
pub struct OrderOutcome {
    /// Its index among the scene's orders.
    pub order: usize,
    pub moved: Vec<usize>,
    /// The bags among them that are on one Y.
    pub on_y: Vec<[usize; 2]>,
    /// It lets air out.
    pub down: bool,
    /// Rise of the lift points at its end, m: of all together, and of each.
    pub rise_m: f64,
    pub rises_m: Vec<f64>,
    /// Roll of the vehicle at its end, and the most on the way, rad; the left higher is
    /// positive.
    pub roll_rad: f64,
    pub roll_most_rad: f64,
    /// Rise of each lift point when it rolls most, m.
    pub rises_most_m: Vec<f64>,
    /// Load on each point's stack, N.
    pub loads_n: Vec<f64>,
    pub bags: Vec<BagNow>,
    /// Time it takes, s; the slowest hose decides.
    pub time_s: f64,
    /// Air let out of bags until then, J.
    pub vented_j: f64,
    /// Why it does not get where it was told.
    pub stuck: Option<Stuck>,
}

/// Why an order does not get where it was told. Bags and stacks by their indices.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Stuck {
    HeightLimit,
    Captured,
    TimeOver {
        at_most_s: f64,
    },
    NoBagOpen,
    BagEmpty(usize),
    SoilGivesWay {
        stack: usize,
    },
    /// The bag has not the pressure to carry the load any higher.
    PressureShort(usize),
    NothingFlows {
        bag: usize,
    },
}

impl Stuck {
    /// The reason in words, with the parts' names.
    pub fn words(self, scene: &LaidOut) -> String {
        let bag = |bag: usize| &scene.bags[bag].name;
        match self {
            Self::HeightLimit => "the bags are at their height limit".into(),
            Self::Captured => "the captures carry it from here".into(),
            Self::TimeOver { at_most_s } => format!("its time of {at_most_s:.0} s is over"),
            Self::NoBagOpen => "no bag of the lift is open".into(),
            Self::BagEmpty(b) => format!("the {} is empty", named(bag(b), "bag")),
            Self::SoilGivesWay { stack } => {
                format!("the soil under {} gives way", scene.stacks[stack].name)
            }
            Self::PressureShort(b) => {
                format!(
                    "the {} cannot carry the load any higher at its pressure",
                    named(bag(b), "bag")
                )
            }
            Self::NothingFlows { bag: b } => {
                format!("nothing flows to the {}", named(bag(b), "bag"))
            }
        }
    }
}

/// An order that could not be worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// Its index among the scene's orders.
    pub order: usize,
    pub why: NotWorkedOut,
}

/// Why an order could not be worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum NotWorkedOut {
    /// A bag that holds air is left open to the air, and lets itself down; nor is what follows
    /// worked out.
    LetsItselfDown,
    /// Some bags fill while others empty.
    BothWays,
    LockedOrNoHose,
    /// Two bags on a Y with its valve shut feed each other while others move.
    FeedsEachOther,
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let why = match self.why {
            NotWorkedOut::LetsItselfDown => {
                "a bag that holds air is left open, and lets itself down from here on"
            }
            NotWorkedOut::BothWays => "air goes into some bags and out of others at the same time",
            NotWorkedOut::FeedsEachOther => {
                "two bags on a Y, not locked out, feed each other while it goes on"
            }
            NotWorkedOut::LockedOrNoHose => "a bag of it is locked out or has no hose",
        };
        write!(f, "order {}: {why}", self.order + 1)
    }
}

/// The mean of the lift points' values; 0 of none.
pub(super) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

//! What every family of rows is made from, and what several of them share.

use crate::scene::{Bag, Capture, Limb, RestsOn, Stack};
use crate::statics::beam::lever_share_n;
use crate::statics::job::Job;
use crate::statics::plan::{LiftPlan, Plan};
use crate::statics::plane::LaidOut;
use crate::statics::sheet::RowPart;
use crate::statics::take::KitCount;
use crate::statics::vehicle::State;
use crate::units::UnitSystem;

/// Sources that several rows share.
pub const STATICS: &str = "statics of a rigid body (textbook)";
pub const THUMB: &str = "common practice, no source";

/// What the rows are made from.
pub struct RowContext<'a> {
    pub scene: &'a LaidOut,
    pub plan: &'a Plan,
    pub job: &'a Job,
    /// None where the scene names no kit.
    pub kit: Option<&'a KitCount<'a>>,
    pub units: UnitSystem,
}

impl<'a> RowContext<'a> {
    /// Else it turns about its tyres, in its cross-section.
    pub fn on_roof(&self) -> bool {
        self.scene.lies() == RestsOn::Roof
    }

    pub fn lift(&self) -> Option<&'a LiftPlan> {
        self.plan.lift.as_ref()
    }
}

/// Why there is nothing to lift by.
pub fn no_lift(d: &RowContext<'_>) -> &'static str {
    if d.scene.bags.is_empty() {
        "the scene names no `bags` on a stack"
    } else if d.scene.beam().is_some() {
        "the beam lies where the vehicle has no opening above its roof"
    } else {
        "no bag of the scene has the vehicle above it as it lies"
    }
}

/// The most that a strut's head bears of the vehicle in a lift, upright, N. The strut by its index.
pub fn most_on_strut_n(d: &RowContext<'_>, lift: &LiftPlan, strut: usize) -> f64 {
    let on = |state: &State| d.plan.on_strut_n(state, strut);
    lift.up_to_rise().map(on).fold(on(&lift.end()), f64::max)
}

/// What timber under the beam bears where the bags let go and the beam lies on timber, N:
/// the whole lift, shared with the timber under the other end, or with the bags there where it has
/// none; what stands on one side shares evenly.
pub fn on_timber_under_beam_n(d: &RowContext<'_>, lift: &LiftPlan, capture: &Capture) -> f64 {
    let end = lift.end();
    let bags = lift
        .points
        .iter()
        .map(|point| (lift.force_n(point, &end), d.scene.stacks[point.stack].at[1]));
    let (all_n, moment_nm) = bags.clone().fold((0.0, 0.0), |(n, nm), (f, z)| (n + f, nm + f * z));
    let z = capture.at[1];
    let across = |other: f64| other * z < 0.0;
    let timber = d.scene.captures.iter().filter(|c| c.is_under_beam()).map(|c| c.at[1]);
    let beside = timber.clone().filter(|other| !across(*other)).count().max(1);
    let far = |a: f64, b: f64| if a.abs() > b.abs() { a } else { b };
    let other = timber.filter(|other| across(*other)).reduce(far);
    let other = other.or_else(|| bags.map(|(_, z)| z).filter(|other| across(*other)).reduce(far));
    let Some(other) = other.filter(|_| all_n > 0.0) else { return all_n };
    lever_share_n(all_n, moment_nm / all_n, z, other).max(0.0) / beside as f64
}

pub fn stack_part(stack: &Stack) -> RowPart {
    RowPart::Stack(stack.name.clone())
}

pub fn bag_part(bag: &Bag) -> RowPart {
    RowPart::Bag(bag.name.clone())
}

pub fn limb_part(limb: &Limb) -> RowPart {
    RowPart::Limb(limb.name.clone())
}

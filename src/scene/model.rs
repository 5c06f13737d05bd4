//! The whole of a scene, and what several of its parts say together.

use super::crew::CrewSize;
use super::equipment::{
    Aims, Air, Bag, Beam, Capture, Chock, Ground, Limb, Stack, Strap, Strut, VoidFill, Wedge,
};
use super::faults::HiddenFault;
use super::kit::Kit;
use super::lesson::Lesson;
use super::measured::Measurements;
use super::orders::Order;
use super::outcome::{Expect, OnFailure};
use super::person::Person;
use super::spread::Spread;
use super::step_chock::StepChock;
use super::vehicle::{Lashed, RestsOn, Vehicle};
use crate::tables::{FrictionPair, Grip, Material, Wood, friction_pairs};

/// One lift, ready to be worked out or played.
#[derive(Clone, Debug)]
pub struct Scene {
    pub name: String,
    /// The heading it stands under on the shelf.
    pub group: String,
    /// What it teaches; said after the lift.
    pub teaches: String,
    /// Where its data come from; invented data say so.
    pub data: String,
    pub expect: Expect,
    pub lesson: Lesson,
    pub vehicle: Vehicle,
    pub lies: RestsOn,
    /// Axles that are lashed to the body of a vehicle on its wheels.
    pub lashed: Lashed,
    pub ground: Ground,
    /// What all timber is sawn from.
    pub wood: Wood,
    /// Factor on the friction of the pair table, for every pair; 1 for the table's own values.
    pub friction_share: f64,
    /// Who lies there, as far as the scene says: [`super::people_of`] has everybody.
    pub people: Vec<Person>,
    pub limbs: Vec<Limb>,
    pub stacks: Vec<Stack>,
    pub void_fill: Vec<VoidFill>,
    pub chocks: Vec<Chock>,
    pub step_chocks: Vec<StepChock>,
    pub struts: Vec<Strut>,
    pub straps: Vec<Strap>,
    pub captures: Vec<Capture>,
    pub bags: Vec<Bag>,
    pub wedges: Vec<Wedge>,
    pub beam: Option<Beam>,
    pub air: Air,
    /// Faults that the crew does not know of.
    pub faults: Vec<HiddenFault>,
    pub orders: Vec<Order>,
    pub aims: Aims,
    pub spread: Spread,
    /// What was measured where it is played; it stands in for the tables already.
    pub measured: Option<Measurements>,
    /// What the truck carries; it changes nothing that is played.
    pub kit: Option<Kit>,
    /// Who does the work; a played lift carries orders out at once.
    pub crew: CrewSize,
    /// What the officer does once something has gone wrong.
    pub on_failure: OnFailure,
}

impl Scene {
    /// The row of the pair table for two materials, with the shares that hold here.
    pub fn friction(&self, a: Material, b: Material) -> Option<FrictionPair> {
        let on_ground = [a, b].iter().any(|m| matches!(m, Material::Ground(_)));
        let share = self.friction_share * if on_ground { self.ground.friction_share } else { 1.0 };
        let same = |p: &FrictionPair| (p.a, p.b) == (a, b) || (p.b, p.a) == (a, b);
        let pair = self.pairs().into_iter().find(same)?;
        Some(FrictionPair { dry: share * pair.dry, wet: share * pair.wet, ..pair })
    }

    /// The pair table, with what was measured in it.
    pub fn pairs(&self) -> Vec<FrictionPair> {
        let surface = self.ground.surface;
        let table = || friction_pairs(surface).to_vec();
        self.measured.as_ref().map_or_else(table, |measured| measured.pairs(surface))
    }

    /// One figure a material for the simulation, with the same shares: a pair's friction
    /// is the geometric mean of two figures, so the ground's takes the square of its own.
    pub fn grip(&self) -> Grip {
        let fit = Grip::of(&self.pairs(), self.ground.wet);
        let share = self.friction_share;
        Grip {
            timber: share * fit.timber,
            sheet: share * fit.sheet,
            rubber: share * fit.rubber,
            ground: share * self.ground.friction_share.powi(2) * fit.ground,
            ..fit
        }
    }
}

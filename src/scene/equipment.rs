//! What a scene is made of: the ground, who is trapped, what a crew sets up, the air, and
//! what the lift is for. Plain values in SI, with what follows from them alone.

use super::person::{BodyPart, BodySide};
use super::vehicle::RestsOn;
use crate::tables::{BAG_FACE_M, BOARD_SPREAD, Bed, Surface, Timber};

#[derive(Clone, Debug)]
pub struct Ground {
    pub surface: Surface,
    pub wet: bool,
    /// What gives way under the bases, or none where the ground is hard. The vehicle has
    /// come to rest already: under it the ground stays hard.
    pub soil: Option<Bed>,
    /// Factor on the friction of everything that lies on the ground, on top of the scene's own
    /// factor: a slick spot, a rough one.
    pub friction_share: f64,
    /// Downhill towards the nose is positive, rad.
    pub slope_rad: f64,
    /// Downhill towards +Z, the vehicle's left on its roof, is positive, rad.
    pub cross_slope_rad: f64,
}

impl Ground {
    /// Straight down in the ground frame, unit length: a slope tilts it.
    pub fn down(&self) -> [f64; 3] {
        let (x, z) = (self.slope_rad.sin(), self.cross_slope_rad.sin());
        [x, -(1.0 - x * x - z * z).max(0.0).sqrt(), z]
    }
}

/// A trapped limb: a soft pad between the ground and the vehicle.
#[derive(Clone, Debug)]
pub struct Limb {
    pub name: String,
    /// Whose it is: an index into the scene's people; none where the scene names nobody.
    pub of: Option<usize>,
    pub part: BodyPart,
    /// The person's own side, where it is said.
    pub side: Option<BodySide>,
    /// Middle of the limb on the ground, m.
    pub at: [f64; 2],
    /// Uncompressed thickness, m.
    pub thickness_m: f64,
    /// Width along X and length along Z, m.
    pub size: [f64; 2],
    /// Force per shortening, N/m.
    pub stiffness_n_m: f64,
    /// The gap that frees it, m.
    pub gap_needed_m: f64,
}

/// A box crib that carries bags or the beam.
#[derive(Clone, Debug)]
pub struct Stack {
    pub name: String,
    /// Middle of its top, and of its base on the ground where it stands plumb, m.
    pub at: [f64; 2],
    /// How far its top layer stands out over its lowest one, along X and Z, m. The layers
    /// between are spread evenly.
    pub lean: [f64; 2],
    pub timber: Timber,
    /// Length of every timber, m.
    pub length_m: f64,
    pub layers: usize,
    /// Timbers in a layer.
    pub members: usize,
    /// Solid boards on top, thickness from below upwards, m. As wide as the stack.
    pub pads_m: Vec<f64>,
    /// A board between its lowest layer and the ground.
    pub sole: Option<SolePlate>,
    /// Its timbers' strength across the grain as a share of the wood's: less than 1 for
    /// rotten ones.
    pub strength_share: f64,
}

/// What a crib covers on the ground along X and Z, m.
fn footprint_m(length_m: f64, sole: Option<SolePlate>) -> [f64; 2] {
    sole.map_or([length_m; 2], |sole| sole.size)
}

/// Thickness of what lies under a lowest layer, m.
fn sole_m(sole: Option<SolePlate>) -> f64 {
    sole.map_or(0.0, |sole| sole.thickness_m)
}

/// Area that a crib's base spreads its load over, m2: its lowest timbers, or as much of the
/// sole plate as is stiff enough to help.
fn bearing_area_m2(timber: Timber, members: usize, length_m: f64, sole: Option<SolePlate>) -> f64 {
    match sole {
        None => members as f64 * timber.width_m * length_m,
        Some(sole) => sole.bears_m(length_m).iter().product(),
    }
}

/// The narrower side of what a crib's base presses on, m: a timber, or as much of the sole
/// plate as is stiff enough to help.
fn bearing_strip_m(timber: Timber, length_m: f64, sole: Option<SolePlate>) -> f64 {
    let [x, z] = sole.map_or([timber.width_m, length_m], |sole| sole.bears_m(length_m));
    x.min(z)
}

impl Stack {
    /// Middle of a layer from 0, m; pads lie on the top layer.
    pub fn layer_at(&self, layer: usize) -> [f64; 2] {
        let top = self.layers.saturating_sub(1);
        let share = if layer < top { 1.0 - layer as f64 / top as f64 } else { 0.0 };
        [0, 1].map(|i| self.at[i] - share * self.lean[i])
    }

    /// Height of its top, m.
    pub fn height_m(&self) -> f64 {
        self.sole_m() + self.layers as f64 * self.timber.height_m + self.pads_m.iter().sum::<f64>()
    }

    /// How far its top layer stands out over its lowest one, over the ground, m.
    pub fn out_of_plumb_m(&self) -> f64 {
        let [x, z] = self.layer_at(0);
        (self.at[0] - x).hypot(self.at[1] - z)
    }

    /// Thickness of what lies under its lowest layer, m.
    pub fn sole_m(&self) -> f64 {
        sole_m(self.sole)
    }

    /// What it covers on the ground along X and Z, m.
    pub fn footprint_m(&self) -> [f64; 2] {
        footprint_m(self.length_m, self.sole)
    }

    /// Area that its base spreads its load over, m2.
    pub fn bearing_area_m2(&self) -> f64 {
        bearing_area_m2(self.timber, self.members, self.length_m, self.sole)
    }

    /// The narrower side of what its base presses on, m.
    pub fn bearing_strip_m(&self) -> f64 {
        bearing_strip_m(self.timber, self.length_m, self.sole)
    }
}

/// A solid board under a crib, wider than it: a sole plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SolePlate {
    /// Size along X and Z, m.
    pub size: [f64; 2],
    pub thickness_m: f64,
}

impl SolePlate {
    /// The part of it along X and Z that is stiff enough to press on the ground under a
    /// crib `length_m` wide, m.
    pub fn bears_m(&self, length_m: f64) -> [f64; 2] {
        self.size.map(|side| side.min(length_m + 2.0 * BOARD_SPREAD * self.thickness_m))
    }
}

/// Packing between the ground and the vehicle beside a trapped limb: as many
/// layers as fit, then wedges driven until snug.
#[derive(Clone, Debug)]
pub struct VoidFill {
    pub name: String,
    pub at: [f64; 2],
    pub timber: Timber,
    pub length_m: f64,
    pub sole: Option<SolePlate>,
}

impl VoidFill {
    /// Thickness of what lies under its lowest layer, m.
    pub fn sole_m(&self) -> f64 {
        sole_m(self.sole)
    }

    /// What it covers on the ground along X and Z, m.
    pub fn footprint_m(&self) -> [f64; 2] {
        footprint_m(self.length_m, self.sole)
    }

    /// Area that its base spreads its load over, m2.
    pub fn bearing_area_m2(&self) -> f64 {
        bearing_area_m2(self.timber, 2, self.length_m, self.sole)
    }

    /// The narrower side of what its base presses on, m.
    pub fn bearing_strip_m(&self) -> f64 {
        bearing_strip_m(self.timber, self.length_m, self.sole)
    }
}

/// A chock set against the vehicle, on the ground. It reaches away from the vehicle's
/// middle along X: forwards at the nose, rearwards at the tail. Where the vehicle lies on its
/// side it reaches away along Z: at the wheels and at the roof.
#[derive(Clone, Debug)]
pub struct Chock {
    pub name: String,
    /// Middle of the face that meets the vehicle, on the ground, m.
    pub at: [f64; 2],
    /// Held by stakes driven into the ground; otherwise it lies there by friction.
    pub staked: bool,
    /// Set before the lift; otherwise the order `set_chocks` sets it.
    pub set: bool,
}

impl Chock {
    /// Along X, upwards at the face that meets the vehicle, and along Z, m (assumed).
    pub const SIZE_M: [f64; 3] = [0.30, 0.089, 0.20];
    /// Height of its toe, at the far end, m (assumed).
    pub const TOE_M: f64 = 0.038;

    /// The way it reaches, as a unit vector over the ground, from the vehicle's middle at
    /// `middle`.
    pub fn away(&self, lies: RestsOn, middle: [f64; 2]) -> [f64; 2] {
        let k = usize::from(lies.on_side());
        let mut away = [0.0; 2];
        away[k] = if self.at[k] >= middle[k] { 1.0 } else { -1.0 };
        away
    }
}

/// A telescoping strut: a steel tube between a plate on the ground and a head at the vehicle.
/// It turns freely at both ends, so that it bears along its line alone.
#[derive(Clone, Debug)]
pub struct Strut {
    pub name: String,
    /// Middle of its foot plate on the ground, m.
    pub at: [f64; 2],
    /// What its head is aimed at, over the ground and up, m. The head meets the first of the
    /// vehicle on the way there.
    pub head: [f64; 2],
    pub head_height_m: f64,
    /// The head stands where it cannot slide off: in a seam, an opening, behind an edge. Otherwise
    /// friction holds it.
    pub seated: bool,
    /// The tube, outside, and its wall, m.
    pub diameter_m: f64,
    pub wall_m: f64,
    /// What it is rated for along its line, N.
    pub capacity_n: f64,
    /// Side of its square foot plate, m.
    pub plate_m: f64,
    /// Stakes hold the foot; otherwise it lies there by friction.
    pub staked: bool,
}

impl Strut {
    /// Thickness of the foot plate, m, and radius of the pin that it turns about at either end
    /// (assumed; so small that its line runs from pin to pin to within half a degree).
    pub const PLATE_M: f64 = 0.02;
    pub const PIN_M: f64 = 0.005;
    /// It is no shorter, m (assumed).
    pub const LEAST_M: f64 = 0.04;
    /// Young's modulus of steel, Pa (EN 1993-1-1, 3.2.6).
    pub const STEEL_PA: f64 = 210e9;

    /// The pin that it turns about at its foot, m.
    pub fn pin(&self) -> [f64; 3] {
        [self.at[0], Self::PLATE_M + Self::PIN_M, self.at[1]]
    }

    /// What its head is aimed at, m.
    pub fn aims_at(&self) -> [f64; 3] {
        [self.head[0], self.head_height_m, self.head[1]]
    }

    /// The angle between the ground and the line from its foot to what its head is aimed at, rad.
    pub fn to_ground_rad(&self) -> f64 {
        let ([x, y, z], [to_x, to_y, to_z]) = (self.pin(), self.aims_at());
        (to_y - y).atan2((to_x - x).hypot(to_z - z))
    }

    /// Section of its tube, m2, and second moment of that about its middle, m4.
    pub fn section(&self) -> (f64, f64) {
        let bore_m = self.diameter_m - 2.0 * self.wall_m;
        let pi = std::f64::consts::PI;
        (
            pi / 4.0 * (self.diameter_m.powi(2) - bore_m.powi(2)),
            pi / 64.0 * (self.diameter_m.powi(4) - bore_m.powi(4)),
        )
    }

    /// What buckles it between pins so far apart, m, in N: Euler's load `pi^2 E I / L^2` of a
    /// straight strut (strength of materials, any textbook). A bent or worn one buckles earlier:
    /// EN 1993-1-1, 6.3.1 has curves for that, and the rated load has to allow for it.
    pub fn euler_n(&self, length_m: f64) -> f64 {
        let (_, second_m4) = self.section();
        std::f64::consts::PI.powi(2) * Self::STEEL_PA * second_m4 / length_m.powi(2)
    }
}

/// Where an end of a strap is fast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StrapEnd {
    /// At the foot of a strut, by its index.
    Foot(usize),
    /// At the vehicle: on the way to this place, m.
    Vehicle([f64; 3]),
    /// In the ground, m.
    Ground([f64; 2]),
}

/// A strap or a chain: it pulls and never pushes.
#[derive(Clone, Debug)]
pub struct Strap {
    pub name: String,
    pub ends: [StrapEnd; 2],
    /// What it is drawn tight to before the lift, N.
    pub preload_n: f64,
    /// Its lashing capacity, N.
    pub capacity_n: f64,
    /// How much longer it is at its lashing capacity, as a share.
    pub elongation: f64,
}

impl Strap {
    /// It parts at so many times its lashing capacity (EN 12195-2 has webbing break at no less
    /// than twice its lashing capacity, EN 12195-3 chain; both from memory, not verified).
    pub const PARTS_AT: f64 = 2.0;

    /// Force per strain, N: a straight line to the elongation at its lashing capacity (that a
    /// webbing's is straight is assumed; EN 12195-2 allows 7 % at most, from memory, not
    /// verified).
    pub fn per_strain_n(&self) -> f64 {
        self.capacity_n / self.elongation
    }
}

/// What a capture stack stands under and follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CaptureUnder {
    Vehicle,
    Beam,
}

impl CaptureUnder {
    pub const WORDS: [(&'static str, Self); 2] = [("vehicle", Self::Vehicle), ("beam", Self::Beam)];
}

/// A crib that follows the load as it rises.
#[derive(Clone, Debug)]
pub struct Capture {
    pub name: String,
    pub under: CaptureUnder,
    pub at: [f64; 2],
    /// Timber of the layers it starts with.
    pub timber: Timber,
    pub length_m: f64,
    pub layers: usize,
    /// Timber of the layers added on the way, two to a layer.
    pub step: Timber,
    /// Layers at hand for adding.
    pub steps: usize,
    pub sole: Option<SolePlate>,
}

impl Capture {
    pub fn is_under_beam(&self) -> bool {
        self.under == CaptureUnder::Beam
    }

    /// Height of the layers it starts with, m.
    pub fn height_m(&self) -> f64 {
        self.sole_m() + self.layers as f64 * self.timber.height_m
    }

    /// Thickness of what lies under its lowest layer, m.
    pub fn sole_m(&self) -> f64 {
        sole_m(self.sole)
    }

    /// What it covers on the ground along X and Z, m.
    pub fn footprint_m(&self) -> [f64; 2] {
        footprint_m(self.length_m, self.sole)
    }

    /// Timber of its lowest layer.
    pub fn lowest(&self) -> Timber {
        if self.layers > 0 { self.timber } else { self.step }
    }

    /// Area that its base spreads its load over, m2.
    pub fn bearing_area_m2(&self) -> f64 {
        bearing_area_m2(self.lowest(), 2, self.length_m, self.sole)
    }
}

/// A lifting bag, lying on a stack or on another bag.
#[derive(Clone, Debug)]
pub struct Bag {
    pub name: String,
    pub on: CarriedBy,
    /// Laid-flat size along X and Z, m.
    pub size: [f64; 2],
    /// Working pressure at which its relief valve opens, Pa gauge.
    pub working_pa: f64,
}

impl Bag {
    /// Height of an empty bag, m: its two faces.
    pub const FLAT_M: f64 = 2.0 * BAG_FACE_M;

    /// Height of bags on each other with these gaps between their faces, m.
    pub fn column_m(gaps_m: impl IntoIterator<Item = f64>) -> f64 {
        gaps_m.into_iter().map(|gap_m| gap_m + Self::FLAT_M).sum()
    }

    /// How wide along X that is which lies on a bag, m, by the bag's index and the scene's beam:
    /// a beam on the bare bag is narrow, and all else covers it.
    pub fn face_m(index: usize, beam: Option<&Beam>) -> f64 {
        let bare = |beam: &&Beam| beam.pad_on(CarriedBy::Bag(index)) == Some(0.0);
        beam.filter(bare).map_or(f64::INFINITY, |beam| beam.timber.width_m)
    }
}

/// What a part lies on: an index into the scene's lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CarriedBy {
    Stack(usize),
    Bag(usize),
}

impl CarriedBy {
    /// The stack that it is, or that is under it.
    pub fn stack(self, bags: &[Bag]) -> usize {
        match self {
            Self::Stack(stack) => stack,
            Self::Bag(bag) => bags[bag].on.stack(bags),
        }
    }
}

/// A wedge cut to the face above. On top of a bag it gives the bag a level face to bear on; on a
/// stack, under the bags, it lets them lean square to the sloping face.
#[derive(Clone, Debug)]
pub struct Wedge {
    pub name: String,
    /// A topmost bag, or the stack under some.
    pub on: CarriedBy,
    /// Size along X and Z, m.
    pub size: [f64; 2],
}

impl Wedge {
    /// The thinnest end that a wedge is cut to, m (assumed).
    pub const LEAST_M: f64 = 0.006;
    /// The thickest end of a wedge under bags, m (assumed: timber built up to more counts as
    /// another layer of the stack).
    pub const UNDER_BAGS_MOST_M: f64 = 0.30;
}

/// A timber through a pair of side openings, lying on bags or stacks.
#[derive(Clone, Debug)]
pub struct Beam {
    pub timber: Timber,
    pub length_m: f64,
    /// Where along the vehicle it passes, m, and how far off centre, m.
    pub at: [f64; 2],
    /// Openings of the vehicle it passes through.
    pub through: Vec<String>,
    pub rests_on: Vec<CarriedBy>,
    /// Thickness of the board between the beam and each bag that it rests on, m, as large as
    /// the bag; none where the beam lies on the bare bag.
    pub pad_m: Option<f64>,
    /// Opposing shims driven between beam and vehicle at either opening.
    pub shims: bool,
    /// Its strength as a share of its grade's: less than 1 where it is cracked or full of
    /// knots.
    pub strength_share: f64,
}

impl Beam {
    /// Thickness of what lies between it and a support, m; none where it does not rest there.
    pub fn pad_on(&self, support: CarriedBy) -> Option<f64> {
        let on_bag = matches!(support, CarriedBy::Bag(_));
        let rests = self.rests_on.contains(&support);
        rests.then(|| self.pad_m.filter(|_| on_bag).unwrap_or(0.0))
    }
}

#[derive(Clone, Debug)]
pub struct Air {
    /// Water capacity of the cylinder, m³, and its pressure, Pa gauge.
    pub cylinder_m3: f64,
    pub cylinder_pa: f64,
    /// What the regulator lets through, Pa gauge.
    pub regulator_pa: f64,
    /// Outlets of the controller, each with a hose.
    pub outlets: Vec<Outlet>,
}

#[derive(Clone, Debug)]
pub struct Outlet {
    pub name: String,
    /// The bag its hose goes to at the start.
    pub to: usize,
    /// A second bag, by a Y in its hose.
    pub and: Option<usize>,
    /// Sonic conductance of the open valve and hose, m³/(s Pa), ISO 6358.
    pub conductance: f64,
    /// The largest share of that which the valve can open to, 0 to 1.
    pub opening: f64,
}

impl Outlet {
    /// The bags that its hose goes to at the start: one, or two by a Y.
    pub fn bags(&self) -> impl Iterator<Item = usize> + use<> {
        std::iter::once(self.to).chain(self.and)
    }
}

/// What the lift is for, and the limits it must keep.
#[derive(Clone, Debug)]
pub struct Aims {
    /// Largest roll of the vehicle from how it lay, rad.
    pub roll_rad: f64,
    /// Largest travel of the vehicle over the ground at a place where it bears, m.
    pub slide_m: f64,
    /// Largest uncommanded fall of the load, m.
    pub drop_m: f64,
    /// Room over a limb's thickness at which somebody can be drawn out, m: what practice takes
    /// for clear. No ending turns on it.
    pub clearance_m: f64,
}

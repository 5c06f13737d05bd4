//! What a moment of a lift looks like: its parts, and what each of them measures then.
//!
//! Space: the ground frame of [`crate::scene`]; SI units; forces in N.

use crate::scene::VehicleEdge;

/// Index into [`Yard::parts`].
///
/// [`Yard::parts`]: crate::world::Yard
pub type PartId = usize;

/// What a part is; decides how it is drawn and what is looked out for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartKind {
    Vehicle,
    /// A sheet-metal zone of the vehicle, by its index in the vehicle's list.
    Panel(usize),
    /// A wheel on its spring: front left, front right, rear left, rear right.
    Wheel(usize),
    /// A timber of a stack, by the stack's index in the scene and its layer from 0.
    StackTimber {
        stack: usize,
        layer: usize,
    },
    /// A solid board on a stack; `layer` counts on from the timbers.
    Pad {
        stack: usize,
        layer: usize,
    },
    /// The sole plate under a base.
    Sole(Footing),
    VoidFill(usize),
    CaptureTimber {
        capture: usize,
        layer: usize,
    },
    /// The wedges on top of a capture stack.
    CaptureWedge(usize),
    Chock(usize),
    /// A step chock, each of its layers, and the packer on the step that is snug.
    StepChock(usize),
    StepPacker(usize),
    /// The tube of a strut, and its foot plate.
    Strut(usize),
    StrutFoot(usize),
    /// One face of a bag: the lower or the upper plate.
    BagFace {
        bag: usize,
        upper: bool,
    },
    /// A wedge on a bag, or under one.
    Wedge(usize),
    /// The board between a bag and the beam.
    BagPad(usize),
    Beam,
    Shim,
    Limb(usize),
}

impl PartKind {
    /// The vehicle, or what moves on it by itself.
    pub fn is_vehicle(self) -> bool {
        matches!(self, Self::Vehicle | Self::Panel(_) | Self::Wheel(_))
    }
}

/// The outside of a part in its own frame, m.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A box by its half sizes.
    Box([f64; 3]),
    /// The convex hull of some points.
    Hull(Vec<[f64; 3]>),
    /// Drawn from the scene's vehicle, in the vehicle's frame.
    Vehicle,
}

impl Shape {
    /// Its lowest point while it lies level, m.
    pub fn lowest_m(&self) -> f64 {
        match self {
            Self::Box(half) => -half[1],
            Self::Hull(points) => points.iter().map(|p| p[1]).fold(f64::MAX, f64::min),
            Self::Vehicle => 0.0,
        }
    }
}

/// One movable thing. Its pose is in [`Snapshot::poses`].
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    pub name: String,
    pub kind: PartKind,
    pub shape: Shape,
    /// False once it has been removed (a wedge that was replaced).
    pub present: bool,
}

impl Part {
    /// What it is called in a sentence: the vehicle by that word, whatever its make, and anything
    /// else by its name.
    pub fn spoken(&self) -> &str {
        match self.kind {
            PartKind::Vehicle => "vehicle",
            _ => &self.name,
        }
    }
}

/// Position of a part's frame and its turn as a unit quaternion (x, y, z, w).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    pub position: [f32; 3],
    pub turn: [f32; 4],
}

impl Pose {
    /// The origin, without a turn.
    pub const ORIGIN: Self = Self { position: [0.0; 3], turn: [0.0, 0.0, 0.0, 1.0] };

    /// A direction of the part's frame, in the ground frame.
    pub fn turned(&self, v: [f64; 3]) -> [f64; 3] {
        let [x, y, z, w] = self.turn.map(f64::from);
        // v + 2 q x (q x v + w v), for a unit quaternion.
        let cross = |a: [f64; 3], b: [f64; 3]| {
            [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
        };
        let q = [x, y, z];
        let inner = cross(q, v);
        let inner = [0, 1, 2].map(|i| inner[i] + w * v[i]);
        let outer = cross(q, inner);
        [0, 1, 2].map(|i| v[i] + 2.0 * outer[i])
    }

    /// A point of the part's frame, in the ground frame.
    pub fn ground(&self, point: [f64; 3]) -> [f64; 3] {
        let (way, at) = (self.turned(point), self.at());
        [0, 1, 2].map(|i| at[i] + way[i])
    }

    /// A point of the ground frame, in the part's frame.
    pub fn local(&self, point: [f64; 3]) -> [f64; 3] {
        let [x, y, z, w] = self.turn;
        let back = Self { position: [0.0; 3], turn: [-x, -y, -z, w] };
        back.turned([0, 1, 2].map(|i| point[i] - f64::from(self.position[i])))
    }

    pub fn at(&self) -> [f64; 3] {
        self.position.map(f64::from)
    }
}

/// A force that one part puts on another at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// The part that is pushed.
    pub on: PartId,
    /// The part that pushes, or none where it is the ground.
    pub by: Option<PartId>,
    pub point: [f64; 3],
    /// Force on `on`, N.
    pub force: [f64; 3],
}

/// A bag at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BagState {
    /// Gap between its faces, m.
    pub height_m: f64,
    /// The gap at which its contact area is used up, m.
    pub height_limit_m: f64,
    pub gauge_pa: f64,
    /// What its air pushes its faces apart with, N.
    pub force_n: f64,
    /// What its upper face bears, N: less than `force_n` while it is filled fast, as its walls
    /// and its face take their share.
    pub load_n: f64,
    /// Angle between its faces, rad.
    pub tilt_rad: f64,
    /// How far its upper face has moved sideways over the lower one, m.
    pub shear_m: f64,
    /// Its shut-off is closed.
    pub locked_out: bool,
    /// The outlet whose hose goes to it.
    pub hose: Option<usize>,
    /// Its coupling is open to the air: it has no hose, and its shut-off is not closed.
    pub open: bool,
    /// Its hose is torn off at it.
    pub torn: bool,
    /// Its relief valve is blowing off.
    pub relieving: bool,
}

/// An outlet of the controller at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OutletState {
    /// Share of the valve that is open: above 0 filling, below 0 letting out.
    pub opening: f64,
    pub burst: bool,
}

/// A trapped limb at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LimbState {
    /// Free height between the ground and the vehicle above the limb, m.
    pub gap_m: f64,
    /// Force that the vehicle puts on it, N.
    pub load_n: f64,
    /// Some of the vehicle is above it. Where none is, the gap is as high as is measured.
    pub covered: bool,
}

impl LimbState {
    /// The vehicle stands over it with at least so much gap, m. Where no vehicle is above it
    /// any more it has gone away over the limb, or fallen off it: that frees nobody.
    pub fn is_clear(&self, gap_m: f64) -> bool {
        self.covered && self.gap_m >= gap_m
    }
}

/// Where the thrust line crosses one layer of a stack.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Thrust {
    /// Where the resultant crosses the top of the layer, m.
    pub point: [f64; 3],
    /// Resultant pressed into that layer from above, N.
    pub force: [f64; 3],
    /// Distance inside the bearing corners, m; negative outside; as measured
    /// across the nearest edge.
    pub margin_m: f64,
    /// The bearing corners, in turn around the layer, m.
    pub corners: [[f64; 3]; 4],
}

impl Thrust {
    /// Least load for which the thrust line's margin is reported, N.
    const LOADED_N: f64 = 200.0;

    pub fn is_loaded(&self) -> bool {
        -self.force[1] > Self::LOADED_N
    }
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct StackState {
    /// Load on its top, N.
    pub load_n: f64,
    /// How far its top has moved sideways since the start, m.
    pub lean_m: f64,
    pub thrust: Vec<Thrust>,
}

impl StackState {
    /// The least distance of a loaded thrust line inside its bearing corners, m.
    pub fn least_margin_m(&self) -> Option<f64> {
        let loaded = self.thrust.iter().filter(|t| t.is_loaded());
        loaded.map(|t| t.margin_m).reduce(f64::min)
    }
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct CaptureState {
    /// What it holds up of what it follows, the vehicle or the beam, N.
    pub load_n: f64,
    /// Least room between its timber and that straight above, m; zero while it bears.
    pub clearance_m: f64,
    pub steps_left: usize,
    /// The furthest that the middle of a layer has gone sideways from where it was laid, m.
    pub lean_m: f64,
}

/// Void fill at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FillState {
    /// Least room between its timber and the vehicle straight above, m; zero while it bears.
    pub clearance_m: f64,
}

/// A chock at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ChockState {
    /// Room between its upright face and the vehicle, over the ground, m; none where it is not
    /// set, or no vehicle is as low as it is.
    pub gap_m: Option<f64>,
}

/// What stands on the ground, by its index in the scene; or an edge by which the vehicle bears
/// on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Footing {
    Vehicle(VehicleEdge),
    Stack(usize),
    VoidFill(usize),
    Capture(usize),
    Chock(usize),
    StepChock(usize),
    Strut(usize),
}

/// A base on soil that gives way, at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BaseState {
    pub of: Footing,
    /// What it presses on the soil with, and the most that the soil under it bears, N.
    pub load_n: f64,
    pub capacity_n: f64,
    /// How far its middle has gone down since it was set down, and its deepest corner, m.
    pub sunk_m: f64,
    pub deepest_m: f64,
    /// The deepest set that stays in the soil when the load is taken off, m.
    pub set_m: f64,
}

/// A place where one timber of a crib lies across another, at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CrossingState {
    pub lower: PartId,
    pub upper: PartId,
    pub at: [f64; 3],
    /// What the upper timber presses on the lower one with, N.
    pub force_n: f64,
    pub area_m2: f64,
    /// Pressure at which its wood crushes, Pa.
    pub bears_pa: f64,
    /// How much thinner the two have become there for good, m.
    pub set_m: f64,
}

impl CrossingState {
    /// Bearing stress, Pa.
    pub fn bearing_pa(&self) -> f64 {
        self.force_n / self.area_m2
    }
}

/// The load effects in the beam at a moment, the worst over its length, from the forces on it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BeamState {
    /// Largest bending moment, N m, and where, m from the beam's middle.
    pub moment_nm: f64,
    pub at_m: f64,
    pub shear_n: f64,
    pub bending_pa: f64,
    pub shear_pa: f64,
    /// Largest bearing stress across the grain, Pa.
    pub bearing_pa: f64,
    /// How far it bends between what carries it, m.
    pub sag_m: f64,
    /// The largest share of a design value that it uses, for a load of ten minutes.
    pub design_share: f64,
    /// Bending stress at which it cracks, and bending and shear stress at which it breaks, Pa.
    pub cracks_pa: f64,
    pub rupture_pa: f64,
    pub shears_pa: f64,
    /// It lies in two pieces; the rest is as it was when it broke.
    pub broken: bool,
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct VehicleState {
    /// Turn about its length since the start, rad; positive where what lies towards +Z rises:
    /// the left side of a vehicle on its roof.
    pub roll_rad: f64,
    /// Nose-down angle, rad.
    pub pitch_rad: f64,
    /// Centre of mass, m.
    pub com: [f64; 3],
    /// Travel over the ground of the place that bears most, since the start, m.
    pub slide_m: f64,
    /// The most that a corner of its roof has been pressed in for good, m.
    pub roof_set_m: f64,
    /// Force between the vehicle and the ground itself, N (upwards).
    pub ground_n: f64,
    /// Its weight square to the ground with all that is in it, N, and its mass times its
    /// acceleration away from the ground, N: its supports sum to it.
    pub weight_n: f64,
    pub inertia_n: f64,
}

/// A step chock at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StepChockState {
    /// What it holds the vehicle up with, N.
    pub load_n: f64,
    /// Least room between it and the vehicle straight above, m; zero while it bears.
    pub clearance_m: f64,
    /// How far it has gone over the ground since the start, m.
    pub slid_m: f64,
    /// The step that is snug, from 0.
    pub step: usize,
}

/// A strut at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StrutState {
    /// What presses it along its line, N.
    pub axial_n: f64,
    /// What buckles it at its length between pins, N.
    pub euler_n: f64,
    pub length_m: f64,
    /// How far its foot has gone over the ground since the start, m.
    pub slid_m: f64,
    /// It has folded, and bears nothing.
    pub buckled: bool,
}

/// A strap at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StrapState {
    /// Where its ends are, m.
    pub ends: [[f64; 3]; 2],
    /// What it pulls with, N.
    pub tension_n: f64,
    /// How far its anchor has been drawn through the ground, m.
    pub dragged_m: f64,
    /// It has parted, or its anchor is out; it pulls no more.
    pub parted: bool,
}

/// Everything about one moment.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Snapshot {
    /// Time since the orders began, s; negative while things settle.
    pub t_s: f64,
    /// In the order of the parts.
    pub poses: Vec<Pose>,
    pub vehicle: VehicleState,
    pub bags: Vec<BagState>,
    pub outlets: Vec<OutletState>,
    pub cylinder_pa: f64,
    pub limbs: Vec<LimbState>,
    /// Room under the vehicle over what of people is to stay free, in the order of
    /// [`crate::scene::free_parts`], m.
    pub over_people_m: Vec<f64>,
    pub stacks: Vec<StackState>,
    pub captures: Vec<CaptureState>,
    pub void_fill: Vec<FillState>,
    pub chocks: Vec<ChockState>,
    /// Empty on hard ground.
    pub bases: Vec<BaseState>,
    pub crossings: Vec<CrossingState>,
    pub step_chocks: Vec<StepChockState>,
    pub struts: Vec<StrutState>,
    pub straps: Vec<StrapState>,
    pub beam: Option<BeamState>,
    pub loads: Vec<Load>,
    /// Mean rise of the vehicle over the lift points since the start, m.
    pub rise_m: f64,
    /// Rise at each lift point, in the order of the topmost bags, m.
    pub lift_rise_m: Vec<f64>,
    /// Nothing moves; the world sleeps.
    pub asleep: bool,
    /// Index of the order being carried out, or the number of orders when done.
    pub order: usize,
}

//! What a row of the sheet is about: a quantity, and the parts of the scene that it is of.
//! Data; [`super::words`] has the words.

use crate::scene::{Piece, VehicleEdge};

/// A heading of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RowGroup {
    Measured,
    Kit,
    Job,
    Vehicle,
    Lift,
    Gap,
    Bags,
    Air,
    Orders,
    Stacks,
    Beam,
    Face,
    Metal,
    Ground,
    Sliding,
    Turn,
    StepChocks,
    Struts,
}

/// A part of the scene by its name, or an order by its index.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum RowPart {
    Stack(String),
    Bag(String),
    Limb(String),
    Wedge(String),
    VoidFill(String),
    Capture(String),
    StepChock(String),
    Strut(String),
    Strap(String),
    Order(usize),
}

/// When a force of the lift is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Once the load is off what it lay on.
    Start,
    FullHeight,
}

/// What the vehicle bears on as it lies.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum BearingPart {
    BodyOrRoof,
    Body,
    RoofRail,
    TurningTyres,
    LiftedTyres,
    /// Sheet metal, by the panel's name.
    Panel(String),
    VoidFill(String),
    StepChock(String),
    Strut(String),
    Limb(String),
}

/// The end about which the vehicle turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pivot {
    Nose,
    Tail,
    Tyres,
}

/// A kind of piece of the kit, without its sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum PieceKind {
    /// By its section.
    Timber(&'static str),
    Board,
    WedgePair,
    Block,
    Chock,
    Stake,
    StepChock,
    Strut,
    Strap,
    Bag,
    Cylinder,
    Outlet,
}

impl From<Piece> for PieceKind {
    fn from(piece: Piece) -> Self {
        match piece {
            Piece::Timber { timber, .. } => Self::Timber(timber.nominal),
            Piece::Board { .. } => Self::Board,
            Piece::WedgePair => Self::WedgePair,
            Piece::Block { .. } => Self::Block,
            Piece::Chock => Self::Chock,
            Piece::Stake => Self::Stake,
            Piece::StepChock { .. } => Self::StepChock,
            Piece::Strut { .. } => Self::Strut,
            Piece::Strap { .. } => Self::Strap,
            Piece::Bag { .. } => Self::Bag,
            Piece::Cylinder { .. } => Self::Cylinder,
            Piece::Outlet => Self::Outlet,
        }
    }
}

/// What a row tells, of its part where it has one.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum RowQuantity {
    /// All that a heading of the sheet stands for, where nothing of it can be worked out.
    All(RowGroup),
    /// A part of the scene that cannot be read, by its key in the file.
    LeftOut {
        key: String,
    },

    /// Weight under a wheel, by its index, as it was measured.
    WheelWeight(usize),
    /// The measured angle at which one thing slides on another.
    SlideAngle {
        what: &'static str,
        on: &'static str,
    },
    /// The measured height of a bag under a known load.
    RaisedHeight,

    /// How many pieces of a kind the set-up takes; `place` tells two sizes of a kind apart.
    Taken {
        kind: PieceKind,
        place: usize,
    },

    /// When the lift can begin.
    ReadyToLift,
    /// When every gap is reached, on air.
    GapsReached,
    /// When timber has followed the load there.
    LoadOnTimber,
    CasualtyOut,

    /// How the vehicle lies.
    RestPose,
    Weight,
    CentreHeight,
    BearsOn(BearingPart),
    /// Where the end about which it turns stands along X.
    TurnsAbout(Pivot),
    /// Whether there is room for a void fill.
    PackingRoom,

    /// Force of the lift on all stacks together.
    LiftForce(When),
    /// Load on the stack of a lift point.
    StackLoad(When),
    /// An order that could not be worked out.
    OrderLeftOut,
    RollHeld,
    RollFromHoses,

    /// The gap of a scene that names no limb.
    CasualtyGap,
    /// The gap at a limb of a scene that lifts nothing.
    GapWithoutLift,
    Gap,
    /// Load of a limb above what it was found with, with void fill in place and without.
    LimbLoad,
    LimbLoadUnpacked,

    /// Heights and pressures of all bags.
    BagByBag,
    BagPressure,
    BagHeight,
    PairHeight,
    /// How far apart the two bags of a Y stand.
    YApart,
    /// How far the bags of a lift point climb before it takes up the load.
    FreeStroke,
    /// What a beam on a bare bag costs of the bag's height.
    StrokeLostToBeam,
    /// Rise at the end of an order that gets stuck.
    RiseReached,

    CylinderAir,
    /// Air, cylinders and time together.
    AirUsed,
    FreeAirUsed,
    CylindersNeeded,
    ValveTime,

    HardestLoadedStack,
    MostRoll,

    /// Everything that the load does to a stack.
    StackUnderLoad,
    StackHeight,
    HeightToBase,
    EndsPastCrossing,
    CrossingBearing,
    /// The same against what the wood crushes at.
    CrossingCrush,
    RatedLoad,
    ThrustLine,
    ThrustLineAcross,
    SidewaysForce,
    ThrustSlope,
    ThrustSlopeAtBase,

    /// Moment, shear and deflection of the beam together.
    BeamStrength,
    OverhangDifference,
    /// What shims under the belt line come to.
    ShimHeight,
    /// Room over the beam that it would need to lie over.
    BeamLiesOver,
    /// Where the load's line runs in the beam, across it.
    BeamLoadLine,
    BeamMoment,
    BeamMomentAgainstMean,
    BeamMomentAgainstCrack,
    BeamMomentPressedInMiddle,
    BeamMomentStackOutwards,
    /// What timber under the beam bears once the bags have let go, and how that bends the beam.
    OnTimberUnderBeam,
    BeamMomentOnTimber,
    BeamShear,
    BeamBearing,
    BeamDeflection,

    FaceSlope,
    FaceSlip,
    BagShear,
    BagTilt,
    LightPastBend,

    PanelForce {
        panel: String,
    },
    PanelHeightLost {
        panel: String,
    },
    /// Sheet metal where none lies over a bag.
    PanelUnderBag,

    /// The greatest pressure under any base.
    GreatestBasePressure,
    BasePressure,
    /// How deep an edge of the vehicle lies in soil at the start of the lift.
    LiesIn(VehicleEdge),
    /// How much deeper it goes in the lift.
    GoesInFurther(VehicleEdge),

    GroundSlope,
    Pull,
    UnchockedPull,
    ChocksHold,
    StakedChocksHold,

    ChocksMissing,
    Turned,
    TurnedAgainstBalance,
    FallIfBagLetsGo,
    TyresPushed,

    /// What a step chock bears, and what friction holds of it along the ground.
    StepBears,
    StepHolds,

    /// What a strut bears along its line.
    StrutBears,
    /// The load at which a strut folds.
    StrutBuckles,
    /// The slope of a strut's line, which friction has to hold at its foot.
    StrutFoot,
    /// What the stakes of a strut's foot have to hold at its rated load.
    StrutStakes,
    /// What a strap has to pull at its strut's rated load.
    StrapPull,
}

impl RowQuantity {
    /// The quantity of a part.
    pub fn of(self, part: RowPart) -> Subject {
        Subject { parts: vec![part], quantity: self }
    }
}

/// What a row is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Subject {
    /// None for what is of the whole lift, several where a reader sees one row for them all.
    pub parts: Vec<RowPart>,
    pub quantity: RowQuantity,
}

impl From<RowQuantity> for Subject {
    fn from(quantity: RowQuantity) -> Self {
        Self { parts: Vec::new(), quantity }
    }
}

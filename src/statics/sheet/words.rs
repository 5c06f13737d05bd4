//! The words of the sheet: headings, parts, quantities and verdicts as a reader sees them.
//! Nothing reads them back.

use super::quantity::{
    BearingPart, PieceKind, Pivot, RowGroup, RowPart, RowQuantity, Subject, When,
};
use super::row::Row;
use super::verdict::Verdict;
use std::borrow::Cow;
use std::fmt;

impl Verdict {
    pub fn word(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Close => "close",
            Self::Fails => "fails",
        }
    }
}

impl RowGroup {
    pub fn title(self) -> &'static str {
        match self {
            Self::Measured => "Measured in the yard",
            Self::Kit => "Off the truck",
            Self::Job => "The job by the clock",
            Self::Vehicle => "Vehicle as it lies",
            Self::Lift => "Lift force",
            Self::Gap => "Gap and limbs",
            Self::Bags => "Bags",
            Self::Air => "Air",
            Self::Orders => "Order by order",
            Self::Stacks => "Stacks",
            Self::Beam => "Beam",
            Self::Face => "Lifted face",
            Self::Metal => "Sheet metal",
            Self::Ground => "Ground",
            Self::Sliding => "Sliding",
            Self::Turn => "Turn about the tyres",
            Self::StepChocks => "Step chocks",
            Self::Struts => "Struts and straps",
        }
    }
}

impl fmt::Display for RowPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stack(name)
            | Self::Bag(name)
            | Self::Limb(name)
            | Self::Wedge(name)
            | Self::VoidFill(name)
            | Self::Capture(name)
            | Self::StepChock(name)
            | Self::Strut(name)
            | Self::Strap(name) => f.write_str(name),
            Self::Order(index) => write!(f, "Order {}", index + 1),
        }
    }
}

impl fmt::Display for BearingPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BodyOrRoof => f.write_str("body or roof"),
            Self::Body => f.write_str("body"),
            Self::RoofRail => f.write_str("roof rail"),
            Self::TurningTyres => f.write_str("tyres that it turns about"),
            Self::LiftedTyres => f.write_str("tyres of the lifted side"),
            Self::Panel(name) => f.write_str(name),
            Self::VoidFill(name) => write!(f, "void fill {name}"),
            Self::StepChock(name) => write!(f, "step chock {name}"),
            Self::Strut(name) => write!(f, "strut {name}"),
            Self::Limb(name) => write!(f, "limb {name}"),
        }
    }
}

impl PieceKind {
    fn words(self) -> Cow<'static, str> {
        Cow::Borrowed(match self {
            Self::Timber(section) => return format!("{section} timbers").into(),
            Self::Board => "Boards",
            Self::WedgePair => "Pairs of wedges",
            Self::Block => "Blocks",
            Self::Chock => "Chocks",
            Self::Stake => "Stakes",
            Self::StepChock => "Step chocks",
            Self::Strut => "Struts",
            Self::Strap => "Straps",
            Self::Bag => "Lifting bags",
            Self::Cylinder => "Cylinders",
            Self::Outlet => "Outlets with hoses",
        })
    }
}

impl Subject {
    /// The heading of a row: "left: height".
    fn heading(&self) -> String {
        let parts: Vec<String> = self.parts.iter().map(RowPart::to_string).collect();
        let (parts, words) = (parts.join(", "), self.quantity.words());
        match &self.quantity {
            RowQuantity::RiseReached => format!("{parts} {words}"),
            RowQuantity::GapWithoutLift | RowQuantity::PackingRoom => format!("{words} {parts}"),
            _ if self.parts.is_empty() => words.into_owned(),
            _ => format!("{parts}: {words}"),
        }
    }
}

impl RowQuantity {
    /// Its words, without its part.
    fn words(&self) -> Cow<'static, str> {
        Cow::Borrowed(match self {
            Self::All(group) => group.title(),
            Self::LeftOut { key } => return format!("Part of `{key}` is left out").into(),
            Self::WheelWeight(wheel) => {
                const WHEELS: [&str; 4] = ["front left", "front right", "rear left", "rear right"];
                return format!("Weight under the {} wheel", WHEELS[wheel % 4]).into();
            }
            Self::SlideAngle { what, on } => return format!("{what} slides on {on} at").into(),
            Self::RaisedHeight => "Height of a bag under its load",
            Self::Taken { kind, .. } => return kind.words(),
            Self::ReadyToLift => "Ready to lift after",
            Self::GapsReached => "Every gap reached after",
            Self::LoadOnTimber => "Load on timber after",
            Self::CasualtyOut => "Casualty out after",
            Self::RestPose => "How it lies",
            Self::Weight => "Weight",
            Self::CentreHeight => "Centre of mass above the ground",
            Self::BearsOn(what) => return format!("Bears on {what}").into(),
            Self::TurnsAbout(pivot) => pivot.words(),
            Self::PackingRoom => "Void fill",
            Self::LiftForce(When::Start) => "All stacks together, at the start",
            Self::LiftForce(When::FullHeight) => "All stacks together, at full height",
            Self::StackLoad(When::Start) => "load on the stack at the start",
            Self::StackLoad(When::FullHeight) => "load on the stack at full height",
            Self::OrderLeftOut => "An order",
            Self::RollHeld => "Left against right: roll that the far end holds",
            Self::RollFromHoses => "Roll from unequal valve openings",
            Self::CasualtyGap => "Gap at the casualty",
            Self::GapWithoutLift => "Gap at",
            Self::Gap => "gap",
            Self::LimbLoad => "load increase over initial",
            Self::LimbLoadUnpacked => "... without void fill",
            Self::BagByBag => "Bag by bag",
            Self::BagPressure => "pressure needed",
            Self::BagHeight => "height needed",
            Self::PairHeight => "height of the pair together",
            Self::YApart => "stands apart from the other bag of its Y",
            Self::StrokeLostToBeam => "sinks in under the beam by",
            Self::FreeStroke => "climb before it takes up the load",
            Self::RiseReached => "gets to",
            Self::CylinderAir => "Free air that one cylinder gives",
            Self::AirUsed => "Air used",
            Self::FreeAirUsed => "Free air used",
            Self::CylindersNeeded => "Cylinders needed",
            Self::ValveTime => "Time with valves open",
            Self::HardestLoadedStack => "hardest loaded stack",
            Self::MostRoll => "most that it rolls",
            Self::StackUnderLoad => "load",
            Self::StackHeight => "height",
            Self::HeightToBase => "height to base",
            Self::EndsPastCrossing => "ends past the crossing",
            Self::CrossingBearing => "bearing at a crossing",
            Self::CrossingCrush => "bearing at a crossing against what crushes it",
            Self::RatedLoad => "load against its rating",
            Self::ThrustLine => "thrust line off the middle",
            Self::ThrustLineAcross => "thrust line across, off the middle",
            Self::SidewaysForce => "sideways force at its top",
            Self::ThrustSlope => "slope of the thrust line",
            Self::ThrustSlopeAtBase => "slope of the thrust at the base",
            Self::BeamStrength => "Moment, shear and deflection",
            Self::OverhangDifference => "Overhang past the body, difference",
            Self::ShimHeight => "Shims have to fill",
            Self::BeamLiesOver => "Room that the beam needs to lie over",
            Self::BeamLoadLine => "Load's line off the beam's middle",
            Self::BeamMoment => "Moment between the shims",
            Self::BeamMomentAgainstMean => "Moment against mean strength",
            Self::BeamMomentAgainstCrack => "Moment against what cracks it",
            Self::BeamMomentPressedInMiddle => "Moment if loaded at mid-span",
            Self::BeamMomentStackOutwards => "Stack moved outwards: moment",
            Self::BeamShear => "Shear",
            Self::OnTimberUnderBeam => "bears of the beam once the bags let go",
            Self::BeamMomentOnTimber => "moment in the beam on it",
            Self::BeamBearing => "Bearing at a shim",
            Self::BeamDeflection => "Ends bend up by",
            Self::FaceSlope => "Slope of the face against friction alone",
            Self::FaceSlip => "slips along the face",
            Self::BagShear => "sheared by",
            Self::BagTilt => "tilt that its bags have to take",
            Self::LightPastBend => "light past a bend of the outline",
            Self::PanelForce { panel } => return format!("force on the {panel}").into(),
            Self::PanelHeightLost { panel } => return format!("height lost to the {panel}").into(),
            Self::PanelUnderBag => "Sheet metal under a bag",
            Self::GreatestBasePressure => "Greatest pressure under a base",
            Self::BasePressure => "pressure under it",
            Self::LiesIn(edge) => return format!("In the ground, {}", edge.word()).into(),
            Self::GoesInFurther(edge) => return format!("Further in, {}", edge.word()).into(),
            Self::GroundSlope => "Slope of the ground, before the lift",
            Self::Pull => "Pull along the ground",
            Self::UnchockedPull => "Pull past the chocks",
            Self::ChocksHold => "Chocks have to hold",
            Self::StakedChocksHold => "Staked chocks begin to hold",
            Self::ChocksMissing => "Chocks missing at the tyres",
            Self::StepBears => "load on its step, most in the lift",
            Self::StepHolds => "holds along the ground by friction",
            Self::StrutBears => "load along it, most in the lift",
            Self::StrutBuckles => "folds at",
            Self::StrutFoot => "slope that its foot has to hold",
            Self::StrutStakes => "its stakes have to hold",
            Self::StrapPull => "pull at the strut's rated load",
            Self::Turned => "Turned about its tyres at full height",
            Self::TurnedAgainstBalance => "Turned, against its balance point",
            Self::FallIfBagLetsGo => "Comes down if the bag lets go at full height",
            Self::TyresPushed => "Tyres pushed along the ground, at full height",
        })
    }
}

impl Pivot {
    fn words(self) -> &'static str {
        match self {
            Self::Nose => "Turns about its nose, at x",
            Self::Tail => "Turns about its tail, at x",
            Self::Tyres => "Turns about its tyres, at x across it",
        }
    }
}

impl Row {
    /// What it tells of which parts, in words: "left: height".
    pub fn what(&self) -> String {
        self.subject.heading()
    }
}

//! What is known of a lift: plain data of one moment, which the world fills, and of what
//! happened, which crew and watch note. Debrief and view read both. Holds no handle into the
//! engine; each event says itself in words, and no code reads the words back.

mod finding;
mod jam;
mod limb_record;
mod limb_trace;
mod moment;
mod order_record;
mod settling;
mod supports;

pub use finding::{Finding, LeastThrust, Measured, NearestApproach, Reading};
pub use jam::{Jam, Jammed};
pub use limb_record::{LimbRecord, Strike};
pub use limb_trace::{LimbTrace, OverLimb};
pub use moment::{
    BagState, BaseState, BeamState, CaptureState, ChockState, CrossingState, FillState, Footing,
    LimbState, Load, OutletState, Part, PartId, PartKind, Pose, Shape, Snapshot, StackState,
    StepChockState, StrapState, StrutState, Thrust, VehicleState,
};
pub use order_record::{LeftOpen, OrderRecord, Refusal, Told};
pub use settling::Settling;
pub use supports::{Bearing, Support, TimberAndAir, bearings};

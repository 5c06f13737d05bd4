//! Turns a RON file into a checked, plain [`Scene`]: what stands where, who is
//! trapped, what the crew is told to do, what is hoped for. All problems of a file
//! are reported at once; nothing runs on a bad one. Never knows Bevy or rapier.
//!
//! Space: the ground frame. X runs along the vehicle towards its nose, Y up off the ground, Z
//! to the right when looking along X: to the vehicle's left as it lies on its roof, to its
//! right as it stands on its wheels, away from its roof as it lies on its left side, towards
//! its roof as it lies on its right side. The origin lies on the ground. On its roof it is
//! under that point of the roof which is above the middle of the wheelbase when the vehicle
//! stands on its wheels; else under the middle of the wheelbase, and across the vehicle where
//! the tyres' treads are. SI units, radians.

mod bearing;
mod body;
mod crew;
mod crib;
mod cut;
mod envelope;
mod equipment;
mod faults;
pub mod field_reader;
mod file_kind;
mod kit;
mod leaning_seat;
mod lesson;
mod like_and_change;
mod lists;
mod load;
mod measured;
mod model;
mod near;
mod orders;
mod outcome;
mod person;
mod print;
pub mod problem;
mod rules;
mod sample;
mod say;
mod scene_reader;
pub mod schema;
mod slope;
mod source;
mod spread;
mod step_chock;
pub mod tree;
mod vehicle;

pub use bearing::{Along, BearingEdge, EdgeSection, Print, TREADS, VehicleEdge, Wide};
pub use body::{
    Body, FreePart, Measures, Misfit, MisfitReason, Segment, TrunkLengths, bodies, free_parts,
    people_of, say_people, two_bone,
};
pub use crew::{CrewSize, Drill, TaskKind};
pub use crib::Crib;
pub use cut::{CutFace, Footprint};
pub use envelope::{Clash, Envelope, Solid};
pub use equipment::{
    Aims, Air, Bag, Beam, Capture, CaptureUnder, CarriedBy, Chock, Ground, Limb, Outlet, SolePlate,
    Stack, Strap, StrapEnd, Strut, VoidFill, Wedge,
};
pub use faults::{CrackedTimber, Fault, HiddenFault, SlickTarget};
pub use file_kind::{FileKind, scene_named};
pub use kit::{Kit, Piece, Stock};
pub use leaning_seat::{LeaningSeat, column_on};
pub use lesson::{Lesson, LessonNumber, LessonQuantity, TextPiece};
pub use like_and_change::{choice, text_of, tree_from, tree_of, tree_of_file, tree_of_text};
pub use load::{
    Incomplete, Loaded, load, load_from, load_incomplete, read_and_check, read_shelf,
    scene_from_tree,
};
pub use measured::{MeasuredSlide, Measurements, RaisedBag, Stuff, Weighed};
pub use model::Scene;
pub use near::{choose_from, did_you_mean};
pub use orders::{Order, Until};
pub use outcome::{Cause, Expect, OnFailure, Outcome};
pub use person::{BodyPart, BodySide, Lying, Person};
pub use problem::Problem;
pub use sample::sampled;
pub use say::{list_in_words, named};
pub use slope::SlopeRest;
pub use source::{
    FOLDER, LARGEST_BYTES, Source, builtin_names, files_in, read_text, shipped_in, shipped_text,
    vehicle_names,
};
pub use spread::Spread;
pub use step_chock::StepChock;
pub use vehicle::{
    HalfWidth, Lashed, Opening, Panel, Post, Profile, ProfilePoint, RestPose, RestsOn, SidePose,
    Springs, TYRE_HALF_M, Vehicle, WheelLaw,
};

//! Turns a scene and orders into bodies, joints and steps. The only module that
//! names bevy_rapier3d. Never draws, and never looks at a scene's name or at what
//! its author expects.
//!
//! See [`Yard`], which takes its parts through each tick; each part has a file of its own.

mod above;
mod air;
mod bag;
mod balance;
pub mod beam;
mod bedding;
mod bodies;
mod captures;
mod chocks;
mod crew;
mod crush;
pub mod engine;
mod faults;
mod limbs;
mod loads;
mod people;
mod physics;
mod pins;
mod pneumatics;
mod roof;
mod rupture;
mod set_up;
mod settling;
mod shapes;
mod sight;
mod site;
mod sliding;
mod soil;
pub mod solver;
mod stacks;
mod stakes;
mod step_chocks;
mod straps;
mod struts;
mod suspension;
mod timber_room;
mod travel;
mod vehicle;
mod yard;
mod yielding;

pub use air::{Feed, LegEnd, through_y_j};
pub use bag::GasBag;
pub use balance::Member;
pub use crew::Crew;
pub use physics::{Assumed, Physics};
pub use settling::SettlingYard;
pub use sight::Sight;
pub use solver::TICK_S;
pub use yard::Yard;
pub use yielding::{Law, YieldingSupport, strip_m};

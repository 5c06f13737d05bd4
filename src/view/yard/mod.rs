//! Draws the yard: ground and light, the vehicle, what the crew brought, the casualty, and the
//! camera that walks round them.

pub mod air;
pub mod bag;
pub mod camera;
pub mod camera_path;
pub mod drawing;
pub mod dummy;
pub mod form;
pub mod plain;
pub mod shown;
pub mod strut;
pub mod surroundings;
mod texture;
pub mod timber;
pub mod vehicle;

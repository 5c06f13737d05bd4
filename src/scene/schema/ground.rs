//! The ground: what it is, how steep, how slippery.

use super::entry::{Choice, Flag, Quantity, choice, fields, flag, quantity};
use super::shared_limits::FRICTION_SHARE;
use crate::tables::{Bed, Surface};
use crate::units::Dimension::{Angle, Fraction};

const STEEPEST: f64 = 20_f64.to_radians();

fields! { "ground":
    SURFACE: Choice<Surface> = choice("surface", "what things lie on")
        .or("\"asphalt\"")
        .label("Surface"),
    WET: Flag = flag("wet", "everything is wet, the ground, the timber and the metal", false)
        .label("Wet"),
    SOIL: Choice<Option<Bed>> = choice("soil", "what gives way under stacks, void fill, captures, chocks and the vehicle")
        .or("\"hard\"")
        .label("Soil under bases"),
    SLOPE: Quantity = quantity("slope", "downhill towards the nose", Angle, [-STEEPEST, STEEPEST])
        .or("\"0 deg\"")
        .label("Down to the nose"),
    CROSS_SLOPE: Quantity = quantity("cross_slope", "downhill towards the left of the vehicle on its roof", Angle, [-STEEPEST, STEEPEST])
        .or("\"0 deg\"")
        .label("Down to the left"),
    FRICTION: Quantity = quantity("friction", "share of the table's friction of what lies on the ground", Fraction, FRICTION_SHARE)
        .or("\"100 %\"")
        .label("Friction, of usual"),
}

//! Fields of faults.

use super::entry::{Lengths, Quantity, Refers, Text, fields, length, lengths, name_of, quantity};
use crate::units::Dimension::{Fraction, Mass, Pressure, Time};

/// What goes wrong with the equipment or was not known of the scene.
pub mod fault {
    use super::*;

    fields! { "faults":
        HOSE: Text = name_of("hose", "the outlet whose hose is torn off at the bag", Refers::Hose)
            .alternative(),
        LEAK: Text = name_of("leak", "the bag that has a hole", Refers::Bag).alternative(),
        VALVE: Text = name_of("valve", "the outlet whose valve stays as it is", Refers::Hose)
            .alternative(),
        CROSS: Text = name_of("cross", "an outlet whose hose is exchanged with another's at the controller", Refers::Hose)
            .alternative(),
        REGULATOR: Quantity = quantity("regulator", "another pressure that the regulator lets through", Pressure, [0.0, 20e5])
            .alternative(),
        CYLINDER: Quantity = quantity("cylinder", "the cylinder holds no more than this", Pressure, [0.0, 320e5])
            .alternative(),
        CRACK: Text = name_of("crack", "the stack whose timbers have cracked, or `\"beam\"`", Refers::Timber)
            .alternative(),
        SLICK: Text = name_of("slick", "the stack, void fill, chock or step chock that stands on something slippery, or `\"vehicle\"`", Refers::Base)
            .alternative(),
        LOAD: Quantity = quantity("load", "a load in the vehicle that nobody knows of", Mass, [1.0, 3000.0])
            .alternative(),
        AT: Quantity = quantity("at", "when it comes; at 0 s it is there from the start", Time, [0.0, 3600.0])
            .or("\"0 s\""),
        WITH: Text = name_of("with", "the other outlet, of `cross`", Refers::Hose).needed_there(),
        BORE: Quantity = length("bore", "of a `leak`'s hole", [0.0002, 0.02]).needed_there(),
        TO: Quantity = quantity("to", "share that is left, of the strength of a `crack` or the friction of a `slick`", Fraction, [0.01, 1.0])
            .needed_there(),
        PLACE: Lengths = lengths("place", "of a `load`, in the vehicle's own frame: forwards, up, to its right", 3, [-4.0, 4.0])
            .needed_there(),
    }
}

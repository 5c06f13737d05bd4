//! Fields of the air supply.

use super::entry::{Items, Quantity, Refers, Text, fields, list, name, name_of, quantity};
use crate::units::Dimension::{Conductance, Fraction, Pressure, Volume};

/// Cylinder, regulator and outlets.
pub mod air {
    use super::*;

    const LITRE_M3: f64 = 1e-3;

    fields! { "air":
        CYLINDER: Quantity = quantity("cylinder", "water capacity", Volume, [0.5 * LITRE_M3, 500.0 * LITRE_M3])
            .or("\"6.8 L\"")
            .label("Cylinder"),
        PRESSURE: Quantity = quantity("pressure", "in the cylinder", Pressure, [1e5, 320e5])
            .or("\"300 bar\"")
            .label("Filled to"),
        REGULATOR: Quantity = quantity("regulator", "what it lets through", Pressure, [0.5e5, 20e5])
            .or("\"8 bar\"")
            .label("Regulator set to"),
        OUTLETS: Items = list("of the controller, each with a hose", &outlet::GROUP)
            .absent("one for each bag, of the bag's name"),
    }
}

/// An outlet of the controller with its hose.
pub mod outlet {
    use super::*;

    fields! { "outlets":
        NAME: Text = name("what it is called"),
        TO: Text = name_of("to", "the bag its hose goes to at the start", Refers::Bag)
            .label("Leads to"),
        AND: Text = name_of("and", "a second bag, by a Y in the hose: the two reach one pressure, and the one that bears more feeds the other", Refers::Bag)
            .absent("one bag only")
            .label("And to"),
        OPENING: Quantity = quantity("opening", "the largest share of its conductance which the valve can open to", Fraction, [0.0, 1.0])
            .or("\"100 %\"")
            .label("Valve opens to"),
        CONDUCTANCE: Quantity = quantity("conductance", "sonic conductance of the open valve with its hose", Conductance, [1e-11, 2e-7])
            .or("\"0.5 L/(s bar)\"")
            .label("Valve and hose"),
    }
}

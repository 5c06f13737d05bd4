//! Fields of orders, and when an order is done.

use super::entry::{
    Names, Nested, Quantity, Refers, Text, fields, group, group_at, length, name_of, names_of,
    quantity,
};
use crate::units::Dimension::{Fraction, Time};

/// What the crew is told.
pub mod order {
    use super::*;

    /// Longest time for which one order may go on, s.
    pub const LONGEST_S: f64 = 600.0;

    fields! { "orders":
        RAISE: Names = names_of("raise", "bags to let air into", Refers::Bag).verb("raise", true),
        LOWER: Names = names_of("lower", "bags to let air out of", Refers::Bag).verb("lower", true),
        STOP: Names = names_of("stop", "bags whose valves are closed", Refers::Bag)
            .verb("stop", false),
        LOCK_OUT: Names = names_of("lock_out", "bags whose shut-off is closed: they keep their air whatever the hose does", Refers::Bag)
            .verb("lock out", false),
        UNLOCK: Names = names_of("unlock", "bags whose shut-off is opened again", Refers::Bag)
            .verb("open the shut-off", false),
        MOVE_HOSE: Text = name_of("move_hose", "an outlet whose hose goes to another bag", Refers::Hose)
            .verb("move a hose", false),
        CAPTURE: Names = names_of("capture", "captures that follow the load: as many layers as fit, then wedges", Refers::Capture)
            .verb("capture", false),
        SET_CHOCKS: Names = names_of("set_chocks", "chocks to set", Refers::Chock)
            .verb("set chocks", false),
        WAIT: Nested = group_at("wait", "for what to wait: an `until` with `for`, `rise`, `gap` or `on_timber`", &until::GROUP)
            .verb("wait", true),
        TO: Text = name_of("to", "the other bag, of `move_hose`", Refers::Bag).needed_there(),
        FROM: Text = name_of("from", "the bag that it is taken off, of `move_hose`", Refers::Bag)
            .absent("the bag that the hose leads to; of a Y, the first"),
        OPENING: Quantity = quantity("opening", "share of the valve, of `raise` and `lower`", Fraction, [0.01, 1.0])
            .or("\"100 %\""),
        UNTIL: Nested = group("when a `raise` or a `lower` is done", &until::GROUP)
            .absent("at once: it goes on while the next orders are given"),
        AT_MOST: Quantity = quantity("at_most", "after how long a `raise`, `lower` or `wait` is given up", Time, [0.1, LONGEST_S])
            .absent("60 s, or as long as its `for` says"),
    }
}

/// When an order is done.
pub mod until {
    use super::order::LONGEST_S;
    use super::*;

    fields! { "until":
        FOR: Quantity = quantity("for", "so long", Time, [0.0, LONGEST_S])
            .label("some time has passed")
            .alternative(),
        HEIGHT: Quantity = length("height", "each named bag stands so high; each stops by itself", [0.0, 1.0])
            .label("each bag is as high as")
            .alternative(),
        RISE: Quantity = length("rise", "the vehicle has risen so much over the lift points", [0.0, 2.0])
            .label("the load has risen")
            .alternative(),
        GAP: Quantity = length("gap", "the gap at a limb", [0.0, 2.0])
            .label("the gap at a limb is")
            .alternative(),
        AT: Text = name_of("at", "the limb, of `gap`", Refers::Limb).needed_there(),
        ON_TIMBER: Quantity = quantity("on_timber", "captures bear so much of what they and the bags bear, of `lower` and `wait`", Fraction, [0.01, 1.0])
            .label("captures bear this share")
            .alternative(),
    }
}

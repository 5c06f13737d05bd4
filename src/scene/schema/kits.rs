//! Fields of what a truck carries.

use super::entry::{
    Choice, Count, Items, Pair, Quantity, Text, choice, count, fields, length, list, pair,
    quantity, text,
};
use super::shared_limits::{SIDE, STEP_COUNT, STEP_RISE, STEP_TREAD, STEP_WIDTH, TIMBER_LENGTH};
use crate::tables::Timber;
use crate::units::Dimension::{Force, Pressure, Volume};

const PIECES: [usize; 2] = [1, 1000];
const PIECES_OR_NONE: [usize; 2] = [0, 1000];

/// A truck's kit.
pub mod kit {
    use super::*;

    fields! { "kit":
        NAME: Text = text("name", "what the truck is called"),
        DATA: Text = text("data", "where its data come from").or("\"Source not given.\""),
        TIMBERS: Items = list("timber by section and length", &timbers::GROUP),
        BOARDS: Items = list("pads and sole plates", &boards::GROUP),
        WEDGES: Count = count("wedge_pairs", "pairs of wedges that are driven against each other", PIECES_OR_NONE).or("0"),
        BLOCKS: Items = list("blocks that square a bag to a sloping face", &blocks::GROUP),
        CHOCKS: Count = count("chock_count", "chocks", PIECES_OR_NONE).or("0"),
        STAKES: Count = count("stake_count", "stakes", PIECES_OR_NONE).or("0"),
        STEP_CHOCKS: Items = list("step chocks", &carried_step_chocks::GROUP),
        STRUTS: Items = list("struts", &rated_struts::GROUP),
        STRAPS: Items = list("straps", &rated_straps::GROUP),
        BAGS: Items = list("lifting bags", &lifting_bags::GROUP),
        CYLINDERS: Items = list("cylinders of air", &cylinders::GROUP),
        OUTLETS: Count = count("outlet_count", "valves of its controllers, each with a hose", PIECES_OR_NONE).or("0"),
    }
}

/// Timbers of one section and length.
pub mod timbers {
    use super::*;

    fields! { "timbers":
        SECTION: Choice<Timber> = choice("timber", "nominal size"),
        LENGTH: Quantity = length("length", "of each", [TIMBER_LENGTH[0], 6.0]),
        COUNT: Count = count("count", "how many", PIECES),
    }
}

/// Boards of one size.
pub mod boards {
    use super::*;

    fields! { "boards":
        SIZE: Pair = pair("size", "along and across", [0.1, 2.5]),
        THICKNESS: Quantity = length("thickness", "of each", [0.005, 0.15]),
        COUNT: Count = count("count", "how many", PIECES),
    }
}

/// Angle blocks of one size.
pub mod blocks {
    use super::*;

    fields! { "blocks":
        SIZE: Pair = pair("size", "along and across", SIDE),
        COUNT: Count = count("count", "how many", PIECES),
    }
}

/// Step chocks of one size.
pub mod carried_step_chocks {
    use super::*;

    fields! { "carried_step_chocks":
        RISE: Quantity = length("rise", "of each step", STEP_RISE).or("\"55 mm\""),
        TREAD: Quantity = length("tread", "of each step", STEP_TREAD).or("\"120 mm\""),
        STEPS: Count = count("steps", "steps of each", STEP_COUNT).or("5"),
        WIDTH: Quantity = length("width", "of the steps", STEP_WIDTH).or("\"160 mm\""),
        COUNT: Count = count("count", "how many", PIECES),
    }
}

/// Struts of one rating.
pub mod rated_struts {
    use super::*;

    fields! { "rated_struts":
        CAPACITY: Quantity = quantity("capacity", "the load along it that it is rated for", Force, [100.0, 5e5]),
        COUNT: Count = count("count", "how many", PIECES),
    }
}

/// Straps of one rating.
pub mod rated_straps {
    use super::*;

    fields! { "rated_straps":
        CAPACITY: Quantity = quantity("capacity", "its lashing capacity", Force, [100.0, 5e5]),
        COUNT: Count = count("count", "how many", PIECES),
    }
}

/// Bags of one size.
pub mod lifting_bags {
    use super::*;

    fields! { "lifting_bags":
        SIZE: Pair = pair("size", "laid flat, along and across", [0.15, 1.0]),
        WORKING: Quantity = quantity("working", "pressure at which the relief valve opens", Pressure, [0.2e5, 12e5])
            .or("\"8 bar\""),
        COUNT: Count = count("count", "how many", PIECES),
    }
}

/// Cylinders of one size.
pub mod cylinders {
    use super::*;

    fields! { "cylinders":
        WATER: Quantity = quantity("cylinder", "water capacity", Volume, [0.5e-3, 0.5]).or("\"6.8 L\""),
        FILLED: Quantity = quantity("pressure", "filled to", Pressure, [1e5, 320e5]).or("\"300 bar\""),
        COUNT: Count = count("count", "how many", PIECES),
    }
}

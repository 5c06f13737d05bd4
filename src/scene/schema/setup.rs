//! Fields of what a crew sets up: timber, bags, wedges, the beam.

use super::entry::{
    Choice, Count, Flag, Lengths, Names, Nested, Pair, Quantity, Refers, Text, choice, count,
    fields, flag, group, length, lengths, name, name_of, names_of, pair, quantity,
};
use super::shared_limits::{
    SIDE, STEP_COUNT, STEP_RISE, STEP_TREAD, STEP_WIDTH, STRENGTH_SHARE, TIMBER_LENGTH, YARD,
};
use crate::scene::equipment::CaptureUnder;
use crate::tables::Timber;
use crate::units::Dimension::{Force, Fraction, Pressure};

/// A box crib that carries bags or the beam.
pub mod stack {
    use super::*;

    fields! { "stacks":
        NAME: Text = name("what it is called; no bag may have its name too"),
        AT: Pair = pair("at", "the middle of its top", YARD).label("Place"),
        LAYERS: Count = count("layers", "layers of timber", [1, 24]).label("Layers"),
        MEMBERS: Count = count("members", "timbers in a layer", [2, 6])
            .also("as many as fit side by side")
            .or("2")
            .label("Timbers a layer"),
        TIMBER: Choice<Timber> = choice("timber", "nominal size").or("\"4x4\"").label("Timber"),
        LENGTH: Quantity = length("length", "of each timber", TIMBER_LENGTH)
            .or("\"24 in\"")
            .label("Length"),
        PADS: Lengths = lengths("pads", "solid boards on top, thicknesses from below upwards", 6, [0.005, 0.15])
            .label("Boards on top"),
        SOLE: Nested = group("a board under its lowest layer", &sole::GROUP)
            .absent("none")
            .label("Sole plate"),
        LEAN: Pair = pair("lean", "how far its top layer stands out over its lowest, along and across", [-0.3, 0.3])
            .or("[\"0 mm\", \"0 mm\"]")
            .label("Top leans by"),
        STRENGTH: Quantity = quantity("strength", "of its timbers across the grain, as a share of sound wood's", Fraction, STRENGTH_SHARE)
            .or("\"100 %\"")
            .label("Strength, of usual"),
    }
}

/// A stiff board under a crib.
pub mod sole {
    use super::*;

    fields! { "sole":
        SIZE: Pair = pair("size", "along and across", [0.2, 2.0]),
        THICKNESS: Quantity = length("thickness", "of the board", [0.01, 0.15]).or("\"1.5 in\""),
    }
}

/// Packing that fills a void up to the vehicle.
pub mod void_fill {
    use super::*;

    fields! { "void_fill":
        NAME: Text = name("what it is called"),
        AT: Pair = pair("at", "its middle", YARD).also("under the vehicle").label("Place"),
        TIMBER: Choice<Timber> = choice("timber", "nominal size").or("\"4x4\"").label("Timber"),
        LENGTH: Quantity = length("length", "of each timber", TIMBER_LENGTH)
            .or("\"18 in\"")
            .label("Length"),
        SOLE: Nested = group("a board under its lowest layer", &sole::GROUP)
            .absent("none")
            .label("Sole plate"),
    }
}

/// A chock against the vehicle.
pub mod chock {
    use super::*;

    fields! { "chocks":
        NAME: Text = name("what it is called"),
        AT: Pair = pair("at", "middle of the face that meets the vehicle", YARD).label("Place"),
        STAKED: Flag = flag("staked", "held by stakes; otherwise by friction", false)
            .label("Staked down"),
        SET: Flag = flag("set", "set before the lift; otherwise by the order `set_chocks`", true)
            .label("Set before the lift"),
    }
}

/// A block of steps under an edge of the vehicle.
pub mod step_chock {
    use super::*;

    fields! { "step_chocks":
        NAME: Text = name("what it is called"),
        AT: Pair = pair("at", "middle of the step that bears; a packer fills the room over it", YARD)
            .also("a step and its packer fit under the vehicle there")
            .label("Step that bears"),
        ACROSS: Flag = flag("across", "it lies across the vehicle, as under a sill; otherwise along it, as under a bonnet", true)
            .label("Lies across"),
        RISE: Quantity = length("rise", "of each step", STEP_RISE).or("\"55 mm\"").label("Rise"),
        TREAD: Quantity = length("tread", "of each step", STEP_TREAD)
            .or("\"120 mm\"")
            .label("Tread"),
        STEPS: Count = count("steps", "how many it has", STEP_COUNT).or("5").label("Steps"),
        WIDTH: Quantity = length("width", "of its steps", STEP_WIDTH)
            .or("\"160 mm\"")
            .label("Width"),
    }
}

/// A strut between the ground and the vehicle.
pub mod strut {
    use super::*;

    fields! { "struts":
        NAME: Text = name("what it is called"),
        AT: Pair = pair("at", "middle of its foot plate", YARD).label("Foot"),
        HEAD: Pair = pair("head", "what its head is aimed at, over the ground; the head meets the first of the vehicle on the way there", YARD)
            .label("Aimed at"),
        HEAD_HEIGHT: Quantity = length("head_height", "of what its head is aimed at, over the ground", [0.1, 4.0])
            .label("Aimed at, height"),
        SEATED: Flag = flag("seated", "the head is in a seam, in an opening or behind an edge. It cannot slide out while it is pressed; otherwise friction holds it", false)
            .label("Head seated"),
        DIAMETER: Quantity = length("diameter", "of its steel tube, outside", [0.01, 0.3])
            .or("\"60 mm\"")
            .label("Tube, outside"),
        WALL: Quantity = length("wall", "of its tube", [0.0005, 0.03])
            .or("\"4 mm\"")
            .label("Tube, wall"),
        CAPACITY: Quantity = quantity("capacity", "the load along it that it is rated for", Force, [100.0, 5e5])
            .or("\"20 kN\"")
            .label("Rated for"),
        PLATE: Quantity = length("plate", "side of its square foot plate", [0.1, 0.6])
            .or("\"200 mm\"")
            .label("Foot plate"),
        STAKED: Flag = flag("staked", "its foot is held by stakes; otherwise by friction, and by straps", false)
            .label("Foot staked"),
    }
}

/// A strap that ties two places together.
pub mod strap {
    use super::*;

    fields! { "straps":
        NAME: Text = name("what it is called"),
        STRUT: Text = name_of("strut", "the strut at whose foot one end is", Refers::Strut)
            .absent("none")
            .label("At the foot of"),
        OTHER: Text = name_of("other", "another strut, at whose foot the other end is", Refers::Strut)
            .absent("none")
            .label("And at the foot of"),
        AT: Pair = pair("at", "the end at the vehicle, over the ground; it is fast where the strap first meets the vehicle on the way there", YARD)
            .absent("none")
            .label("At the vehicle"),
        HEIGHT: Quantity = length("height", "of the end at the vehicle, over the ground", [0.0, 4.0])
            .absent("none; needed with `at`")
            .label("At the vehicle, height"),
        ANCHOR: Pair = pair("anchor", "the end that is fast in the ground", YARD)
            .absent("none")
            .label("Anchor in the ground"),
        PRELOAD: Quantity = quantity("preload", "what it is drawn tight to before the lift", Force, [0.0, 2e5])
            .also("at most its capacity")
            .or("\"1 kN\"")
            .label("Drawn tight to"),
        CAPACITY: Quantity = quantity("capacity", "its lashing capacity; it parts at twice that", Force, [100.0, 5e5])
            .or("\"10 kN\"")
            .label("Lashing capacity"),
        ELONGATION: Quantity = quantity("elongation", "how much longer it is at its lashing capacity", Fraction, [0.001, 0.2])
            .or("\"7 %\"")
            .label("Longer at that by"),
    }
}

/// A crib that follows the load as it rises.
pub mod capture {
    use super::*;

    fields! { "captures":
        NAME: Text = name("what it is called"),
        AT: Pair = pair("at", "its middle", YARD).also("under what it follows").label("Place"),
        UNDER: Choice<CaptureUnder> = choice("under", "what it stands under and follows; under the beam it carries that, and so what lies on the beam")
            .or("\"vehicle\"")
            .label("Follows"),
        LAYERS: Count = count("layers", "layers that it starts with", [0, 12])
            .or("1")
            .label("Layers"),
        TIMBER: Choice<Timber> = choice("timber", "of the layers it starts with")
            .or("\"4x4\"")
            .label("Timber"),
        LENGTH: Quantity = length("length", "of each timber", TIMBER_LENGTH)
            .or("\"18 in\"")
            .label("Length"),
        STEP: Choice<Timber> = choice("step", "timber of the layers added on the way")
            .or("\"2x4\"")
            .label("Follows with"),
        STEPS: Count = count("steps", "layers at hand for adding", [0, 24])
            .or("6")
            .label("Layers at hand"),
        SOLE: Nested = group("a board under its lowest layer", &sole::GROUP)
            .absent("none")
            .label("Sole plate"),
    }
}

/// A lifting bag.
pub mod bag {
    use super::*;

    fields! { "bags":
        NAME: Text = name("what it is called"),
        ON: Text = name_of("on", "the stack or the bag it lies on; the lower bag is written first", Refers::Support)
            .also("at most two bags on a stack")
            .label("Lies on"),
        SIZE: Pair = pair("size", "laid flat, along and across", [0.15, 1.0]).label("Size"),
        WORKING: Quantity = quantity("working", "pressure at which its relief valve opens", Pressure, [0.2e5, 12e5])
            .or("\"8 bar\"")
            .label("Working pressure"),
    }
}

/// A wedge between a bag and the vehicle, or between a stack and its bags.
pub mod wedge {
    use super::*;

    fields! { "wedges":
        NAME: Text = name("what it is called"),
        ON: Text = name_of("on", "the stack or bag it lies on", Refers::Support)
            .also("a topmost bag, or a stack: its bags then lean square to the face above")
            .label("Lies on"),
        SIZE: Pair = pair("size", "along and across", SIDE)
            .also("within what it lies on; on a stack its upper face is no smaller than the bags")
            .label("Size"),
    }
}

/// A timber through side windows.
pub mod beam {
    use super::*;

    fields! { "beam":
        AT: Pair = pair("at", "its middle: along the vehicle, and how far off its middle line", YARD)
            .label("Place"),
        THROUGH: Names = names_of("through", "openings of the vehicle it passes through, by name", Refers::Opening)
            .label("Passes through"),
        RESTS_ON: Names = names_of("rests_on", "stacks or bags it lies on, by name", Refers::Support)
            .label("Rests on"),
        TIMBER: Choice<Timber> = choice("timber", "nominal size").or("\"4x6\"").label("Timber"),
        LENGTH: Quantity = length("length", "of the timber", [0.5, 6.0]).label("Length"),
        PAD: Quantity = length("pad", "of a board on each bag that it rests on, as large as the bag; without it a narrow beam sinks into the bag", [0.005, 0.15])
            .absent("none")
            .label("Board on the bags"),
        SHIMS: Flag = flag("shims", "shims fill the room between beam and vehicle", true)
            .label("Shimmed"),
        STRENGTH: Quantity = quantity("strength", "as a share of its grade's", Fraction, STRENGTH_SHARE)
            .or("\"100 %\"")
            .label("Strength, of usual"),
    }
}

//! Fields of a vehicle, a file of its own.

use super::entry::{
    Items, Names, Nested, Pair, Quantity, Refers, Text, fields, group, length, list, name,
    names_of, pair, quantity, text,
};
use crate::units::Dimension::{Angle, Force, Inertia, Mass, Stiffness};

/// The vehicle.
pub mod vehicle {
    use super::*;

    fields! { "vehicle":
        NAME: Text = name("what it is called"),
        DATA: Text = text("data", "where its figures come from"),
        MASS: Quantity = quantity("mass", "of the whole vehicle", Mass, [300.0, 5000.0]),
        COM: Nested = group("centre of mass", &com::GROUP),
        INERTIA: Nested = group("moments about the centre of mass", &inertia::GROUP),
        PROFILE: Nested = group("outline seen from the side", &profile::GROUP),
        HALF_WIDTH: Nested = group("half widths", &half_width::GROUP),
        WHEELS: Nested = group("where its wheels are", &wheels::GROUP),
        POSTS: Items = list("roof posts on both sides, front first; at least two", &post::GROUP)
            .needed(),
        OPENINGS: Items = list("side windows without their glass", &opening::GROUP),
        PANELS: Items = list("sheet metal that gives way", &panel::GROUP),
        ROOF_BEARS: Quantity = quantity("roof_bears", "what a corner of the roof bears before it goes in for good", Force, [500.0, 1e6])
            .absent("one and a half times its weight"),
    }
}

/// Centre of mass.
pub mod com {
    use super::*;

    fields! { "com":
        X: Quantity = length("x", "forwards", [-1.5, 1.5]),
        Y: Quantity = length("y", "up", [0.1, 2.0]),
        Z: Quantity = length("z", "to the right", [-0.4, 0.4]).or("\"0 m\""),
    }
}

/// Moments of inertia.
pub mod inertia {
    use super::*;

    const MOMENT: [f64; 2] = [20.0, 30_000.0];
    const LARGEST: &str = "no larger than the other two together";

    fields! { "inertia":
        ROLL: Quantity = quantity("roll", "about x", Inertia, MOMENT).also(LARGEST),
        YAW: Quantity = quantity("yaw", "about y", Inertia, MOMENT).also(LARGEST),
        PITCH: Quantity = quantity("pitch", "about z", Inertia, MOMENT).also(LARGEST),
    }
}

/// Outline seen from the side.
pub mod profile {
    use super::*;

    const ALONG: [f64; 2] = [-4.0, 4.0];
    const STEEPEST: f64 = 40_f64.to_radians();
    const OVER_THE_BELT: &str = "at least 150 mm above the belt line";

    fields! { "profile":
        NOSE: Pair = pair("nose", "upper edge of the nose", ALONG),
        COWL: Pair = pair("cowl", "foot of the windscreen", ALONG),
        HEADER: Pair = pair("header", "front edge of the roof", ALONG).also(OVER_THE_BELT),
        ROOF_REAR: Pair = pair("roof_rear", "rear edge of the roof", ALONG).also(OVER_THE_BELT),
        DECK_FRONT: Pair = pair("deck_front", "foot of the rear window", ALONG),
        DECK_REAR: Pair = pair("deck_rear", "rear edge of the deck lid", ALONG),
        DECK_SLOPE: Quantity = quantity("deck_slope", "turns the deck lid about its middle to this", Angle, [-STEEPEST, STEEPEST])
            .absent("as its two points have it"),
        FLOOR: Quantity = length("floor", "height of the underbody", [0.05, 1.0]),
        WAIST: Quantity = length("waist", "height at which the body is widest", [0.1, 2.0])
            .also("at least 50 mm above the floor, 20 mm below the lowest point")
            .absent("half way from the floor to the nose's edge"),
    }
}

/// Half widths.
pub mod half_width {
    use super::*;

    const NARROWER: [f64; 2] = [0.3, 1.5];
    const WITHIN: &str = "not wider than the body";

    fields! { "half_width":
        BODY: Quantity = length("body", "at the waist", [0.4, 1.5]),
        ROOF: Quantity = length("roof", "of the roof", NARROWER).also(WITHIN),
        BELT: Quantity = length("belt", "at the highest point of the belt line", NARROWER)
            .also(WITHIN)
            .absent("as the body"),
        SILL: Quantity = length("sill", "at the floor", NARROWER).also(WITHIN).absent("as the body"),
    }
}

/// Wheels.
pub mod wheels {
    use super::*;

    fields! { "wheels":
        RADIUS: Quantity = length("radius", "of a tyre", [0.15, 0.8]),
        FRONT: Quantity = length("front", "where the front wheels are, x", [0.3, 3.5]),
        REAR: Quantity = length("rear", "where the rear wheels are, x", [-3.5, -0.3]),
        TRACK: Quantity = length("track", "between the middles of left and right tyres, 200 mm wide", [0.6, 3.0])
            .also("within the body")
            .absent("nearly flush with the body"),
        RATE: Quantity = quantity("rate", "force per way of one wheel on its spring", Stiffness, [5e3, 5e5])
            .absent("what the body would bob on 1.3 times a second"),
        DROOP: Quantity = length("droop", "how far a wheel goes down from where it stands until its stop, or its spring is slack", [0.0, 0.3])
            .or("\"80 mm\""),
        TYRE: Quantity = quantity("tyre", "force per way of one tyre", Stiffness, [5e4, 5e6])
            .or("\"200 N/mm\""),
    }
}

/// A roof post.
pub mod post {
    use super::*;

    fields! { "posts":
        NAME: Text = name("what it is called"),
        BELT: Quantity = length("belt", "its x at the belt line", [-4.0, 4.0]),
        ROOF: Quantity = length("roof", "its x at the roof", [-4.0, 4.0]),
        WIDTH: Quantity = length("width", "fore and aft", [0.02, 5.0]),
    }
}

/// A side window without its glass.
pub mod opening {
    use super::*;

    fields! { "openings":
        NAME: Text = name("what it is called"),
        BETWEEN: Names = names_of("between", "the two posts it lies between, front first", Refers::Post),
    }
}

/// Sheet metal that gives way.
pub mod panel {
    use super::*;

    fields! { "panels":
        NAME: Text = name("what it is called"),
        X: Pair = pair("x", "its front edge, then its rear edge", [-4.0, 4.0])
            .also("on the outline, at least 50 mm apart"),
        HALF_WIDTH: Quantity = length("half_width", "across the vehicle", [0.1, 1.5])
            .also("beside roof skin 50 mm are left for the rail"),
        STIFFNESS: Quantity = quantity("stiffness", "force per way until it gives", Stiffness, [5e3, 5e6]),
        PLATEAU: Quantity = quantity("plateau", "force at which it gives for good", Force, [100.0, 1e6]),
        DEPTH: Quantity = length("depth", "how far it can be pushed in", [0.005, 0.3])
            .also("no further than to the waist"),
    }
}

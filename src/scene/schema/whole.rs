//! Fields of the scene itself: its texts about itself, who is trapped.

use super::entry::{
    Choice, Count, Flag, Items, Nested, Pair, Quantity, Refers, Text, Word, choice, count, fields,
    flag, group, length, list, name, name_of, pair, quantity, text,
};
use super::shared_limits::{FRICTION_SHARE, SIDE, YARD};
use super::{faults, ground, kits, orders, setup, supply, vehicles};
use crate::scene::crew::TaskKind;
use crate::scene::measured::Stuff;
use crate::scene::outcome::{Cause, OnFailure, Outcome};
use crate::scene::person::{BodyPart, BodySide, Lying};
use crate::scene::vehicle::{Lashed, RestsOn};
use crate::tables::Wood;
use crate::units::Dimension::{Angle, Force, Fraction, Pressure, Stiffness, Time};

/// The scene.
pub mod scene {
    use super::*;

    const STEEPEST_POSE: f64 = 45_f64.to_radians();
    /// A statement about this scene; it holds however the set-up is edited.
    const OWN: Word = Word { inherited: false, outlives_edits: true, judged: false };
    /// A statement about how this lift goes.
    const OF_THE_LESSON: Word = Word { inherited: false, outlives_edits: false, judged: false };

    fields! { "":
        NAME: Text = name("what it is called").word(OWN),
        HEADING: Text = text("group", "its heading on the shelf")
            .or("\"Own scenes\"")
            .word(Word { inherited: true, ..OF_THE_LESSON }),
        TEACHES: Text = text("teaches", "what it teaches, said after the lift").word(OWN),
        AFTER: Text = text("after", "said after the lift, with places such as `{roll}` that the lift fills: measures (below)")
            .absent("nothing")
            .word(OF_THE_LESSON),
        DECIDES: Text = text("decides", "the deciding figure: a measure with a limit (below)")
            .absent("none")
            .word(OF_THE_LESSON),
        NEAR: Flag = flag("near", "small differences turn it", false).word(OF_THE_LESSON),
        TWIN: Text = text("twin", "the scene that differs in one choice and ends the other way, by its file's name; beside this one or on the shelf")
            .absent("none")
            .word(OF_THE_LESSON),
        EXPECT: Nested = group("how it should end; compared with what came out, and nothing else", &expect::GROUP)
            .absent("lifted")
            .word(Word { judged: true, ..OF_THE_LESSON }),
        DATA: Text = text("data", "where its data come from")
            .or("\"Source not given.\"")
            .word(Word { inherited: true, ..OWN }),
        VEHICLE: Nested = group("a shipped vehicle, one in `vehicles/` beside the scene or in `scenes/vehicles/`, by its file's name, or the group itself", &vehicles::vehicle::GROUP)
            .needed(),
        LIES: Choice<RestsOn> = choice("lies", "what the vehicle lies on").or("\"roof\""),
        NOSE_DOWN: Quantity = quantity("nose_down", "on its roof: of several poses in which it would lie still, the one nearest to this", Angle, [-STEEPEST_POSE, STEEPEST_POSE])
            .or("\"0 deg\""),
        LASHED: Choice<Lashed> = choice("lashed", "axles that are lashed to the body, so that they come up with it; on its wheels")
            .or("\"none\""),
        GROUND: Nested = group("the ground", &ground::GROUP).absent("hard dry level asphalt"),
        WOOD: Choice<Wood> = choice("wood", "what all timber is").or("\"douglas fir\""),
        FRICTION: Quantity = quantity("friction", "share of the table's friction, of all pairs", Fraction, FRICTION_SHARE)
            .or("\"100 %\""),
        SPREAD: Nested = group("how far off its values may be", &spread::GROUP)
            .absent("as its fields say"),
        MEASURED: Nested = group("measurements of your own yard, which replace the tables. It is a file in `yards/` beside the scene or in `scenes/yards/`, by its name, or the group itself", &measured::GROUP)
            .absent("none"),
        KIT: Nested = group("the truck's equipment, which the sheet counts the set-up against. It is a file in `kits/` beside the scene or in `scenes/kits/`, by its name, or the group itself", &kits::kit::GROUP)
            .absent("none"),
        CREW: Nested = group("who does the work, from which the sheet works out the job's minutes", &crew::GROUP)
            .absent("as its fields say"),
        ON_FAILURE: Choice<OnFailure> = choice("on_failure", "what the officer does after a failure: calls stop, which shuts every valve and ends the orders; or lets it run. Then no valve is shut and the crew carries on with its orders until all is at rest, so that a class sees the result")
            .or("\"stop\"")
            .word(OWN),
        AIMS: Nested = group("limits that the lift must keep", &aims::GROUP)
            .absent("as its fields say"),
        PEOPLE: Items = list("who lies there", &person::GROUP)
            .absent("one person, on the back, out from under the vehicle on the side where the trapped limbs are"),
        CASUALTY: Items = list("trapped limbs, at least one", &limb::GROUP).needed(),
        STACKS: Items = list("box cribs", &setup::stack::GROUP),
        VOID_FILL: Items = list("packing up to the vehicle", &setup::void_fill::GROUP),
        CHOCKS: Items = list("chocks", &setup::chock::GROUP),
        STEP_CHOCKS: Items = list("blocks of steps under an edge of the vehicle", &setup::step_chock::GROUP),
        STRUTS: Items = list("struts between the ground and the vehicle", &setup::strut::GROUP),
        STRAPS: Items = list("straps or chains between strut feet, the vehicle and the ground", &setup::strap::GROUP),
        CAPTURES: Items = list("cribs that follow the load", &setup::capture::GROUP),
        BAGS: Items = list("lifting bags", &setup::bag::GROUP),
        WEDGES: Items = list("wedges on bags or under them", &setup::wedge::GROUP),
        BEAM: Nested = group("a beam through side windows", &setup::beam::GROUP).absent("none"),
        AIR: Nested = group("the air supply", &supply::air::GROUP).absent("as its fields say"),
        FAULTS: Items = list("what the crew is not told", &faults::fault::GROUP),
        ORDERS: Items = list("what the crew is told, in turn", &orders::order::GROUP),
    }
}

/// How it should end.
pub mod expect {
    use super::*;

    fields! { "expect":
        OUTCOME: Choice<Outcome> = choice("outcome", "how it ends"),
        CAUSE: Choice<Cause> = choice("cause", "the primary cause of a failure").absent("any"),
    }
}

/// How far off a scene's values may be.
pub mod spread {
    use super::*;

    fields! { "spread":
        // Mass of a vehicle of a known kind is known to this share: load, fuel, people (assumed).
        MASS: Quantity = quantity("mass", "share of the vehicle's mass", Fraction, [0.0, 0.5])
            .or("\"10 %\""),
        // Friction is known to this share (assumed): about what wetting takes off the pairs of
        // the table that do not lie on the ground, 10 to 22 %.
        FRICTION: Quantity = quantity("friction", "share of all friction", Fraction, [0.0, 0.5])
            .or("\"15 %\""),
        // Springs and tyres of a class differ so far (assumed): with air in the tyres, load and age.
        SPRINGS: Quantity = quantity("springs", "share of the rates of springs and tyres, and of the droop, of a vehicle on its wheels", Fraction, [0.0, 0.5])
            .or("\"25 %\""),
        // A stack is set by eye to within this, along and across (common practice, no source).
        PLACE: Quantity = length("place", "along and across, of each stack with what lies on it", [0.0, 0.3])
            .or("\"20 mm\""),
    }
}

/// What was measured.
pub mod measured {
    use super::*;

    fields! { "measured":
        DATA: Text = text("data", "how, where and when it was measured"),
        WEIGHTS: Nested = group("weights under the wheels of the scene's vehicle, on the level", &weights::GROUP)
            .absent("as the vehicle's own figures give them"),
        SLIDES: Items = list("angles at which one thing began to slide on another, as wet or dry as the scene is", &slide::GROUP),
        RAISED: Items = list("bags that were raised under a known load", &raised::GROUP),
        DRILLS: Items = list("tasks that the crew was timed at", &drill::GROUP),
    }
}

/// Weights under the wheels.
pub mod weights {
    use super::*;

    const WHEEL: [f64; 2] = [100.0, 30_000.0];

    fields! { "weights":
        FRONT_LEFT: Quantity = quantity("front_left", "under the front left wheel", Force, WHEEL),
        FRONT_RIGHT: Quantity = quantity("front_right", "under the front right wheel", Force, WHEEL),
        REAR_LEFT: Quantity = quantity("rear_left", "under the rear left wheel", Force, WHEEL),
        REAR_RIGHT: Quantity = quantity("rear_right", "under the rear right wheel", Force, WHEEL),
    }
}

/// An angle of sliding.
pub mod slide {
    use super::*;

    fields! { "slides":
        WHAT: Choice<Stuff> = choice("what", "what slid"),
        ON: Choice<Stuff> = choice("on", "on what it lay"),
        ANGLE: Quantity = quantity("angle", "the slope at which it began to", Angle, [1_f64.to_radians(), 60_f64.to_radians()]),
    }
}

/// A bag under a known load.
pub mod raised {
    use super::*;

    fields! { "raised":
        SIZE: Pair = pair("size", "of the flat bag", SIDE),
        LOAD: Quantity = quantity("load", "that it carried", Force, [10.0, 1e6]),
        PRESSURE: Quantity = quantity("pressure", "in it", Pressure, [1e3, 1.5e6]),
        HEIGHT: Quantity = length("height", "between what lay under it and on it", [0.01, 0.6]),
    }
}

/// A task that was timed.
pub mod drill {
    use super::*;

    const TASK_S: [f64; 2] = [1.0, 3600.0];

    fields! { "drills":
        TASK: Choice<TaskKind> = choice("task", "what was done, by the piece"),
        LEAST: Quantity = quantity("least", "the shortest time for one", Time, TASK_S),
        MOST: Quantity = quantity("most", "the longest time for one", Time, TASK_S)
            .also("not less than `least`"),
    }
}

/// The crew.
pub mod crew {
    use super::*;

    fields! { "crew":
        PEOPLE: Count = count("people", "who work, beside who is in command", [2, 30]).or("6"),
    }
}

/// Limits that the lift must keep.
pub mod aims {
    use super::*;

    fields! { "aims":
        ROLL: Quantity = quantity("roll", "largest roll of the vehicle from how it lay", Angle, [0.1_f64.to_radians(), 45_f64.to_radians()])
            .or("\"2 deg\""),
        SLIDE: Quantity = length("slide", "largest travel over the ground where it bears", [0.001, 1.0])
            .or("\"25 mm\""),
        DROP: Quantity = length("drop", "largest fall of the load that nobody ordered", [0.001, 1.0])
            .or("\"25 mm\""),
        // An inch all round is the least at which somebody is drawn out (common practice, no source).
        CLEARANCE: Quantity = length("clearance", "room over a limb's thickness at which somebody can be drawn out; no ending turns on it", [0.0, 0.5])
            .or("\"25 mm\""),
    }
}

/// Somebody who lies there.
pub mod person {
    use super::*;

    const HALF_TURN: f64 = std::f64::consts::PI;

    fields! { "people":
        NAME: Text = name("what the person is called"),
        AT: Pair = pair("at", "the middle between the hips, on the ground", YARD).label("Hips at"),
        HEAD_TOWARDS: Quantity = quantity("head_towards", "the way from the hips to the head over the ground: 0 towards the nose, 90° to the vehicle's left on its roof", Angle, [-HALF_TURN, HALF_TURN])
            .label("Head towards"),
        LIES: Choice<Lying> = choice("lies", "what of the body is down")
            .or("\"on the back\"")
            .label("Lies"),
        STATURE: Quantity = length("stature", "how tall the person is; all measures follow it", [0.8, 2.2])
            .or("\"1.75 m\"")
            .label("Stature"),
        INSIDE: Flag = flag("inside", "in the cabin: only what is trapped, and what joins it to the trunk, lies outside", false)
            .label("In the cabin"),
    }
}

/// A trapped limb.
pub mod limb {
    use super::*;

    fields! { "casualty":
        NAME: Text = name("what it is called"),
        AT: Pair = pair("at", "its middle on the ground", YARD).label("Place"),
        THICKNESS: Quantity = length("thickness", "before it is pressed", [0.02, 0.4])
            .label("Thickness"),
        GAP_NEEDED: Quantity = length("gap_needed", "the gap that frees it", [0.02, 1.0])
            .also("not less than its thickness")
            .label("Gap to free it"),
        SIZE: Pair = pair("size", "along and across", SIDE)
            .or("[\"120 mm\", \"300 mm\"]")
            .label("Size"),
        STIFFNESS: Quantity = quantity("stiffness", "force per shortening", Stiffness, [1e3, 1e6])
            .or("\"15 N/mm\"")
            .label("Stiffness"),
        OF: Text = name_of("of", "whose it is", Refers::Person)
            .absent("the first person's")
            .label("Of"),
        PART: Choice<BodyPart> = choice("part", "which part of the body it is")
            .or("\"lower leg\"")
            .label("Part"),
        SIDE_OF_BODY: Choice<BodySide> = choice("side", "the person's own left or right")
            .absent("the side that is nearer to it")
            .label("Side"),
    }
}

//! The table of every field that a task file can have. The reader takes fields by its entries,
//! and the page of the format is made from it.

use super::model::StopReason;
use crate::scene::schema::entry::{Group, Worded};

impl Worded for StopReason {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

/// The task as a whole.
pub(super) mod whole {
    use crate::scene::schema::entry::{Items, Nested, Text, fields, group, list, name, text};

    fields! { "":
        NAME: Text = name("its title, which gives nothing away"),
        BRIEF: Text = text("brief", "what the first crew is told, in a sentence or two")
            .also("at most 400 characters"),
        SCENE: Text = text("scene", "the set-up that fails: its file's name, beside the task, in the folder above it, or on the shelf")
            .also("a scene with orders"),
        KIT: Text = text("kit", "what is on the truck: the name of a file of a kit, as a scene names one"),
        MEND: Items = list("changes after which it holds, with what is on the truck; shown as the last hint only", &super::mend::GROUP)
            .alternative(),
        NO_GOOD_LIFT: Nested = group("nothing on the truck makes it hold: to stop is right", &super::no_good_lift::GROUP)
            .alternative(),
        HINTS: Nested = group("the first two hints in the instructor's own words", &super::hints::GROUP)
            .absent("worked out from the lift that was played, before one from the sheet"),
    }
}

/// One change of a mend.
pub(super) mod mend {
    use crate::scene::schema::entry::{Text, fields, text};

    fields! { "mend":
        CHANGE: Text = text("change", "PATH=VALUE, as `--change` takes it"),
        SAY: Text = text("say", "the same in words, for the last hint").also("at most 200 characters"),
    }
}

/// Why there is no good lift.
pub(super) mod no_good_lift {
    use super::StopReason;
    use crate::scene::schema::entry::{Choice, Text, choice, fields, text};

    fields! { "no_good_lift":
        WHY: Choice<StopReason> = choice("why", "what is needed instead of a lift with what is there"),
        SAY: Text = text("say", "the same in words, told once the answer is given").also("at most 400 characters"),
    }
}

/// The instructor's own hints.
pub(super) mod hints {
    use crate::scene::schema::entry::{Text, fields, text};

    fields! { "hints":
        LOOK: Text = text("look", "where to look").also("at most 200 characters").absent("worked out"),
        NUMBER: Text = text("number", "the deciding figure with its limit").also("at most 200 characters").absent("worked out"),
    }
}

/// Every group, in the order of the page.
pub const GROUPS: &[Group] = &[whole::GROUP, mend::GROUP, no_good_lift::GROUP, hints::GROUP];

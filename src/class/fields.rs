//! The table of every field that a class file can have. The reader takes fields by its entries,
//! and the page of the format is made from it.

use crate::answer::AnswerSource;
use crate::framing::View;
use crate::scene::schema::entry::{Group, Worded};

impl Worded for AnswerSource {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for View {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

/// The class as a whole.
pub(super) mod whole {
    use crate::scene::schema::entry::{Items, Text, fields, list, name, text};

    fields! { "":
        NAME: Text = name("what it is called; the room does not see it"),
        ABOUT: Text = text("about", "what it is to show and how to hold it, for the instructor"),
        STEPS: Items = list("what is done in turn; the first shows a scene", &super::step::GROUP)
            .needed(),
    }
}

/// One step.
pub(super) mod step {
    use super::{AnswerSource, View};
    use crate::scene::schema::entry::{
        Choice, Items, Names, Nested, Text, choice, fields, group, list, text, texts,
    };

    fields! { "steps":
        SHOW: Text = text("show", "a scene, before its first order: its file's name, beside the class, in the folder above it, or on the shelf")
            .also("a scene with orders")
            .alternative(),
        STOP: Nested = group("plays the lift on to a moment and stands still there", &super::stop::GROUP)
            .alternative(),
        ASK: Text = text("ask", "a question to the room; hands are counted for each choice")
            .also("at most 200 characters")
            .alternative(),
        REVEAL: Text = text("reveal", "plays the lift to its end and shows what was hidden, which choice is right, and this text")
            .also("at most 400 characters; a question before it")
            .alternative(),
        COMPARE: Text = text("compare", "plays the scene and its twin, or the scenes of `beside`, side by side from the start, with this text")
            .also("at most 400 characters; no question open; a scene with a twin, or `beside`")
            .alternative(),
        CARD: Text = text("card", "words for the room over the picture")
            .also("at most 400 characters")
            .alternative(),
        FROM: Choice<AnswerSource> = choice("from", "of `ask`: choices made from what can happen there")
            .absent("none; needed where there are no `choices`"),
        CHOICES: Items = list("of `ask`: the instructor's own choices", &super::own_choice::GROUP)
            .also("2 to 9, no `from`")
            .absent("none; needed where there is no `from`"),
        BESIDE: Names = texts("beside", "of `compare`: the scenes that stand beside it, from left to right")
            .also("1 or 2 scenes with orders")
            .absent("the scene's twin"),
        LOOK: Choice<View> = choice("look", "where the camera goes as the step begins")
            .absent("it stays; before a new scene the three-quarter view"),
        NOTE: Text = text("note", "for the instructor, on the printed pages only").absent("nothing"),
    }
}

/// The moment to stop at.
pub(super) mod stop {
    use crate::scene::schema::entry::{Count, Quantity, count, fields, quantity};
    use crate::units::Dimension::Time;

    fields! { "stop":
        ORDER: Count = count("order", "as the order of this number is given, counted from 1", [1, 64])
            .also("an order of the scene")
            .alternative(),
        TIME: Quantity = quantity("time", "at this time of the lift", Time, [0.1, 1800.0])
            .alternative(),
        FINDING: Count = count("finding", "at the finding of this number in time, counted from 1; at the lift's end where there are fewer", [1, 12])
            .alternative(),
    }
}

/// One of the instructor's own choices.
pub(super) mod own_choice {
    use crate::scene::schema::entry::{Choice, Text, choice, fields, text};
    use crate::scene::{Cause, Outcome};

    fields! { "choices":
        SAY: Text = text("say", "the choice as the room reads it").also("at most 100 characters"),
        ENDING: Choice<Outcome> = choice("ending", "it is right where the lift ends so")
            .absent("however it ends"),
        CAUSE: Choice<Cause> = choice("cause", "it is right where this goes wrong first")
            .absent("whatever goes wrong"),
    }
}

/// Every group, in the order of the page.
pub const GROUPS: &[Group] = &[whole::GROUP, step::GROUP, stop::GROUP, own_choice::GROUP];

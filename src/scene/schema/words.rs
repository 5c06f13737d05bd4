//! The words that a choice of the format knows, and what they stand for.

use super::entry::Worded;
use crate::scene::crew::TaskKind;
use crate::scene::equipment::CaptureUnder;
use crate::scene::measured::Stuff;
use crate::scene::outcome::{Cause, OnFailure, Outcome};
use crate::scene::person::{BodyPart, BodySide, Lying};
use crate::scene::vehicle::{Lashed, RestsOn};
use crate::tables::{BEDS, Bed, Surface, TIMBERS, Timber, WOODS, Wood};

impl Worded for RestsOn {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for TaskKind {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for Stuff {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for Lashed {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for CaptureUnder {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for Lying {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for BodyPart {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for BodySide {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for OnFailure {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for Outcome {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for Cause {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for Surface {
    fn all() -> Vec<(&'static str, Self)> {
        Self::WORDS.to_vec()
    }
}

impl Worded for Wood {
    fn all() -> Vec<(&'static str, Self)> {
        WOODS.iter().map(|wood| (wood.name, *wood)).collect()
    }
}

/// By its nominal size.
impl Worded for Timber {
    fn all() -> Vec<(&'static str, Self)> {
        TIMBERS.iter().map(|timber| (timber.nominal, *timber)).collect()
    }
}

/// What gives way under bases; none where the ground is hard.
impl Worded for Option<Bed> {
    fn all() -> Vec<(&'static str, Self)> {
        let soils = BEDS.iter().map(|bed| (bed.name, Some(*bed)));
        std::iter::once(("hard", None)).chain(soils).collect()
    }
}

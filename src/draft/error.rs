//! Why an edit cannot be done.

use crate::scene::tree::PathError;

/// Why an edit cannot be done; nothing is changed then.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum EditError {
    #[error("it was there before the crew came")]
    Found,
    #[error("it is there already")]
    ThereAlready,
    #[error("it is not there any more")]
    Gone,
    #[error("it cannot be read")]
    Unreadable,
    #[error("the scene's list of these cannot be read")]
    UnreadableList,
    #[error("it has no place of its own; move what it lies on")]
    NoPlace,
    #[error("it has no place of its own")]
    NothingToCentre,
    #[error("there is no place for a {noun} here")]
    NoPlaceFor { noun: &'static str },
    #[error("it is square: a turn changes nothing")]
    Square,
    #[error("it stands so already: that changes nothing")]
    ChangesNothing,
    #[error("there is only one of it; centre it instead")]
    OnlyOne,
    #[error("{twin} stands on the other side already")]
    OtherSideTaken { twin: String },
    #[error("it stands on the middle line: there is no other side")]
    OnTheMiddleLine,
    #[error("it lies on nothing that has another side")]
    NoOtherSide,
    #[error("there is no \"{across}\" on the other side; mirror {on} first")]
    NothingAcross { across: String, on: String },
    #[error("a name cannot be empty")]
    EmptyName,
    #[error("there is a {noun} \"{name}\" already")]
    NameTaken { noun: &'static str, name: String },
    #[error("it has no name")]
    Nameless,
    #[error("the vehicle does not lie still")]
    VehicleNotStill,
    #[error("the vehicle has no opening to pass through")]
    NoOpening,
    #[error("a bag lies on a stack; place a stack first")]
    BagWithoutStack,
    #[error("a wedge lies on a bag; place a bag first")]
    WedgeWithoutBag,
    #[error("a strap is made fast at a strut's foot; place a strut first")]
    StrapWithoutStrut,
    #[error("it is the last hose; lead it to another bag instead")]
    LastHose,
    #[error("every bag has its hose already")]
    NoBagWithoutHose,
    #[error("there is a beam already")]
    SecondBeam,
    #[error(
        "a beam rests on a stack on either side of the vehicle; place one beside a window and \
         mirror it"
    )]
    BeamWithoutStacks,
    #[error(transparent)]
    Path(#[from] PathError),
}

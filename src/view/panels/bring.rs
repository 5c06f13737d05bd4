//! What can be brought to a set-up.

use crate::draft::Kind;

/// What is brought, with the word on its button, its key, and what it is for.
pub const BRING: [(Kind, &str, &str, &str); 8] = [
    (Kind::Stack, "Stack", "S", "A box crib that carries bags or the beam"),
    (Kind::Bag, "Bag", "A", "A lifting bag on the chosen stack, or on the next free one"),
    (Kind::Wedge, "Wedge", "W", "A wedge cut to the face above a bag"),
    (Kind::Beam, "Beam", "I", "A timber through an opening, on the stacks on both sides"),
    (Kind::Capture, "Capture", "C", "A crib that follows the load as it rises"),
    (Kind::VoidFill, "Void fill", "D", "Packing where the vehicle bears"),
    (Kind::Chock, "Chock", "K", "A chock against the vehicle on the ground"),
    (Kind::Outlet, "Hose", "P", "An outlet of the controller with its hose to a bag"),
];

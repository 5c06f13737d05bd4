//! What can be brought to a set-up.

use crate::draft::ItemKind;

/// What is added, with the word on its button, its key, and what it is for.
pub const BRING: [(ItemKind, &str, &str, &str); 11] = [
    (ItemKind::Stack, "Stack", "S", "A box crib that carries bags or the beam"),
    (ItemKind::Bag, "Bag", "A", "A lifting bag on the chosen or the next free stack"),
    (ItemKind::Wedge, "Wedge", "W", "A wedge cut to the face above a bag"),
    (ItemKind::Beam, "Beam", "I", "A timber through an opening, on the stacks on both sides"),
    (ItemKind::Capture, "Capture", "C", "A crib that follows the vehicle or the beam as it rises"),
    (ItemKind::VoidFill, "Void fill", "D", "Packing where the vehicle bears"),
    (ItemKind::Chock, "Chock", "K", "A chock against the vehicle on the ground"),
    (ItemKind::StepChock, "Step chock", ";", "A block of steps under an edge of the vehicle"),
    (ItemKind::Strut, "Strut", "[", "A strut from the ground against the vehicle"),
    (ItemKind::Strap, "Strap", "]", "A strap from a strut's foot to the vehicle"),
    (ItemKind::Outlet, "Hose", "P", "An outlet of the controller with its hose to a bag"),
];

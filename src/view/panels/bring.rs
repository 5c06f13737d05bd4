//! What can be brought to a set-up.

use super::icon::Icon;
use crate::draft::ItemKind;

/// What is added, with the sign and the word on its button, its key, and what it is for.
pub const BRING: [(ItemKind, Icon, &str, &str, &str); 11] = [
    (ItemKind::Stack, Icon::Stack, "Stack", "S", "A box crib that carries bags or the beam"),
    (ItemKind::Bag, Icon::Bag, "Bag", "A", "A lifting bag on the chosen or the next free stack"),
    (ItemKind::Wedge, Icon::Wedge, "Wedge", "W", "A wedge cut to the face above a bag"),
    (
        ItemKind::Beam,
        Icon::Beam,
        "Beam",
        "I",
        "A timber through an opening, on the stacks on both sides",
    ),
    (
        ItemKind::Capture,
        Icon::Capture,
        "Capture",
        "C",
        "A crib that follows the vehicle or the beam as it rises",
    ),
    (ItemKind::VoidFill, Icon::VoidFill, "Void fill", "D", "Packing where the vehicle bears"),
    (ItemKind::Chock, Icon::Chock, "Chock", "K", "A chock against the vehicle on the ground"),
    (
        ItemKind::StepChock,
        Icon::StepChock,
        "Step chock",
        ";",
        "A block of steps under an edge of the vehicle",
    ),
    (ItemKind::Strut, Icon::Strut, "Strut", "[", "A strut from the ground against the vehicle"),
    (ItemKind::Strap, Icon::Strap, "Strap", "]", "A strap from a strut's foot to the vehicle"),
    (
        ItemKind::Outlet,
        Icon::Hose,
        "Hose",
        "P",
        "An outlet of the controller with its hose to a bag",
    ),
];

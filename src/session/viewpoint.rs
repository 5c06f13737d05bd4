//! The places that a lift is looked at from.

/// A place to look from, the same in the window and off screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// From the end at which the lift is made, and from above.
    ThreeQuarter,
    /// Across the vehicle.
    Side,
    /// Along the vehicle.
    Front,
    /// The trapped limbs, from the side on which the casualty lies.
    Casualty,
}

impl View {
    /// Each with its name.
    pub const ALL: [(View, &str); 4] = [
        (View::ThreeQuarter, "Three-quarter"),
        (View::Side, "Side"),
        (View::Front, "Front"),
        (View::Casualty, "Casualty"),
    ];
}

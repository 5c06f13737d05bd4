//! What is drawn over the yard, as plain data: which overlays there are and which are on.

/// Which overlays are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Overlays([bool; Overlay::ALL.len()]);

impl Default for Overlays {
    fn default() -> Self {
        Self::only(&[Overlay::Gaps])
    }
}

/// One of the overlays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Overlay {
    /// The gap at each trapped limb.
    Gaps,
    /// Forces at bearing points.
    Loads,
    /// The thrust line through each stack.
    Thrust,
    /// The bearing corners that it must keep within.
    Corners,
    /// Friction where it is nearly used up.
    Friction,
    /// Bending along the beam.
    Moment,
    /// The centre of mass.
    Mass,
}

impl Overlay {
    /// Each with its name.
    pub const ALL: [(Overlay, &str); 7] = [
        (Overlay::Gaps, "Gaps"),
        (Overlay::Loads, "Loads"),
        (Overlay::Thrust, "Thrust"),
        (Overlay::Corners, "Corners"),
        (Overlay::Friction, "Friction"),
        (Overlay::Moment, "Bending"),
        (Overlay::Mass, "Mass"),
    ];

    fn names() -> String {
        Self::ALL.map(|(_, word)| word.to_lowercase()).join(", ")
    }

    /// What its sign means.
    pub fn about(self) -> &'static str {
        match self {
            Self::Gaps => "Gap at the casualty",
            Self::Loads => "Load carried",
            Self::Thrust => "Thrust line, a cross is outside",
            Self::Corners => "Bearing corners of each layer",
            Self::Friction => "Friction cone, where a slide is near",
            Self::Moment => "Bending moment, on the side in tension",
            Self::Mass => "Centre of mass and plumb line",
        }
    }
}

/// A name that no overlay has.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{name}\" is not an overlay; choose from {}", Overlay::names())]
#[non_exhaustive]
pub struct UnknownOverlay {
    pub name: String,
}

impl Overlays {
    /// These and no others.
    pub fn only(on: &[Overlay]) -> Self {
        Self(Overlay::ALL.map(|(which, _)| on.contains(&which)))
    }

    /// Those of some names, in any case, and no others.
    ///
    /// # Errors
    /// The name that no overlay has.
    pub fn named<'a>(names: impl IntoIterator<Item = &'a str>) -> Result<Self, UnknownOverlay> {
        let mut on = Self::only(&[]);
        for name in names {
            let found = Overlay::ALL.iter().position(|(_, w)| w.eq_ignore_ascii_case(name));
            let index = found.ok_or_else(|| UnknownOverlay { name: name.to_owned() })?;
            on.0[index] = true;
        }
        Ok(on)
    }

    /// Whether one of them is on.
    pub fn has(&self, which: Overlay) -> bool {
        self.0[which as usize]
    }

    /// Switches one on or off.
    pub fn toggle(&mut self, which: Overlay) {
        self.0[which as usize] = !self.0[which as usize];
    }
}

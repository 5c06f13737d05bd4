//! What is drawn over the yard, as plain data: which overlays there are and which are on.

/// Which overlays are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Overlays([bool; Overlay::ALL.len()]);

impl Default for Overlays {
    fn default() -> Self {
        Self::of(&[Overlay::Gaps])
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
    /// Each with its name and its key.
    pub const ALL: [(Overlay, &str, &str); 7] = [
        (Overlay::Gaps, "Gaps", "G"),
        (Overlay::Loads, "Loads", "L"),
        (Overlay::Thrust, "Thrust", "T"),
        (Overlay::Corners, "Corners", "Y"),
        (Overlay::Friction, "Friction", "F"),
        (Overlay::Moment, "Bending", "J"),
        (Overlay::Mass, "Mass", "M"),
    ];

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

impl Overlays {
    /// These and no others.
    pub fn of(on: &[Overlay]) -> Self {
        Self(Overlay::ALL.map(|(which, ..)| on.contains(&which)))
    }

    /// Those of some names, in any case, and no others.
    ///
    /// # Errors
    /// A name that is none, with those that are.
    pub fn named<'a>(names: impl IntoIterator<Item = &'a str>) -> Result<Self, String> {
        let mut on = Self::of(&[]);
        for name in names {
            let found = Overlay::ALL.iter().position(|(_, w, _)| w.eq_ignore_ascii_case(name));
            let index = found.ok_or_else(|| {
                let known = Overlay::ALL.map(|(_, word, _)| word.to_lowercase()).join(", ");
                format!("\"{name}\" is no overlay; choose from {known}")
            })?;
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

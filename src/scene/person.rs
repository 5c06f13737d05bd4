//! Who lies there: how each person lies, and which part of the body is trapped.

/// A person who lies on the ground or in the vehicle. The person lies as the scene says before
/// the lift; nobody moves in it.
#[derive(Clone, Debug)]
pub struct Person {
    pub name: String,
    /// Middle between the hips on the ground, m.
    pub at: [f64; 2],
    pub lies: Lying,
    /// The way from the hips to the head over the ground, rad: 0 towards the nose, a quarter
    /// turn towards +Z.
    pub head_rad: f64,
    pub stature_m: f64,
    /// In the cabin, on what of it lies below: only the trapped limb reaches out.
    pub inside: bool,
}

impl Person {
    /// The way from the hips to the head over the ground, unit length.
    pub fn towards_head(&self) -> [f64; 2] {
        [self.head_rad.cos(), self.head_rad.sin()]
    }
}

/// What of the body is down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lying {
    Back,
    Front,
    LeftSide,
    RightSide,
}

impl Lying {
    pub const WORDS: &[(&str, Self)] = &[
        ("on the back", Self::Back),
        ("on the front", Self::Front),
        ("on the left side", Self::LeftSide),
        ("on the right side", Self::RightSide),
    ];

    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, l)| *l == self).map_or("", |(w, _)| w)
    }

    pub fn on_side(self) -> bool {
        matches!(self, Self::LeftSide | Self::RightSide)
    }
}

/// A part of the body that can be trapped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BodyPart {
    LowerLeg,
    Thigh,
    Foot,
    Forearm,
    UpperArm,
    Hand,
    Pelvis,
    Chest,
    Back,
    Head,
}

impl BodyPart {
    pub const WORDS: &[(&str, Self)] = &[
        ("lower leg", Self::LowerLeg),
        ("thigh", Self::Thigh),
        ("foot", Self::Foot),
        ("forearm", Self::Forearm),
        ("upper arm", Self::UpperArm),
        ("hand", Self::Hand),
        ("pelvis", Self::Pelvis),
        ("chest", Self::Chest),
        ("back", Self::Back),
        ("head", Self::Head),
    ];

    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, p)| *p == self).map_or("", |(w, _)| w)
    }

    pub fn of_leg(self) -> bool {
        matches!(self, Self::LowerLeg | Self::Thigh | Self::Foot)
    }

    pub fn of_arm(self) -> bool {
        matches!(self, Self::Forearm | Self::UpperArm | Self::Hand)
    }
}

/// A side of the body, the person's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BodySide {
    Left,
    Right,
}

impl BodySide {
    pub const WORDS: &[(&str, Self)] = &[("left", Self::Left), ("right", Self::Right)];

    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, s)| *s == self).map_or("", |(w, _)| w)
    }
}

//! How far off a scene's values may be: what is not known for sure.

/// How far off a scene's values may be, either way. Nothing is known of where between
/// the two ends they lie, so each value in between is as likely as any other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Share of the vehicle's mass.
    pub mass_share: f64,
    /// Share of the friction of all pairs together.
    pub friction_share: f64,
    /// Share of the rates of springs and tyres, and of how far a wheel goes down.
    pub springs_share: f64,
    /// Along X and along Z of every stack with what lies on it, m.
    pub place_m: f64,
}

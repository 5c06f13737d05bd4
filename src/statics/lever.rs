//! Levers: what a lift at one place has to carry when the vehicle turns about another.
//!
//! Space: lengths are measured from the pivot, X away from it along the ground and Y up,
//! with the vehicle as it lies at the start (statics of a rigid body; textbook).

/// A place by its distance from the pivot, m: along the ground, and up.
pub type Arm = [f64; 2];

/// Vertical force, N, that holds a body of weight `weight_n` at `lift` once it has turned
/// about its pivot by `turn_rad` (the lift point rising):
/// `F = W (x cos t - y sin t) / (X cos t - Y sin t)`. At the start `F = W x / X`.
pub fn hinge_lift_n(weight_n: f64, com: Arm, lift: Arm, turn_rad: f64) -> f64 {
    let (s, c) = turn_rad.sin_cos();
    weight_n * (com[0] * c - com[1] * s) / (lift[0] * c - lift[1] * s)
}

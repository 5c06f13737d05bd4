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

/// Shares of a load among supports in a row at `places` m, for a load at `at` m: the
/// straight-line distribution, `1/n + (at - mean) (z - mean) / sum (z - mean)^2`. Two
/// supports share by the distance to the other one, one takes all.
pub fn row_shares(places: &[f64], at: f64) -> Vec<f64> {
    let n = places.len() as f64;
    let mean = places.iter().sum::<f64>() / n;
    let spread: f64 = places.iter().map(|z| (z - mean).powi(2)).sum();
    let slope = |z: f64| if spread > 1e-9 { (at - mean) * (z - mean) / spread } else { 0.0 };
    places.iter().map(|&z| 1.0 / n + slope(z)).collect()
}

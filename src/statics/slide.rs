//! Sliding of the vehicle over the ground, and what has to hold it (dry friction;
//! textbook).

/// Weight across the ground and along it, N, on a surface that falls by `slope` along X
/// and `cross` along Z, rad.
pub fn weight_on_slope_n(weight_n: f64, slope_rad: f64, cross_rad: f64) -> (f64, [f64; 2]) {
    let (sx, sz) = (slope_rad.sin(), cross_rad.sin());
    let normal = weight_n * (1.0 - sx * sx - sz * sz).max(0.0).sqrt();
    (normal, [weight_n * sx, weight_n * sz])
}

/// Angle at which a body slides, rad: `atan mu`.
pub fn slide_angle_rad(mu: f64) -> f64 {
    mu.atan()
}

/// Force along the ground that friction leaves to be held by chocks, N; none below 0.
pub fn chocks_hold_n(along_n: f64, mu: f64, pressed_n: f64) -> f64 {
    (along_n - mu * pressed_n).max(0.0)
}

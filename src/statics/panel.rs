//! Sheet metal under a bag: elastic up to a plateau, then it goes on giving way.

/// Height that a lift loses to a panel, m: `F / k` below the plateau, the whole depth above
/// it. Normal to the panel; a vertical load on a sloping panel loses as much, because its
/// share along the normal and the way along the vertical cancel.
pub fn height_lost_m(force_n: f64, stiffness_n_m: f64, plateau_n: f64, depth_m: f64) -> f64 {
    if force_n < plateau_n { (force_n / stiffness_n_m).min(depth_m) } else { depth_m }
}

/// Vertical force at which a panel that slopes by `slope_rad` yields, N.
pub fn yields_n(plateau_n: f64, slope_rad: f64) -> f64 {
    plateau_n / slope_rad.cos()
}

/// How a strip of springs across the vehicle holds against a roll, N m/rad: `k w^2 / 12` (rigid
/// beam on an elastic bed).
pub fn roll_stiffness_nm(stiffness_n_m: f64, half_width_m: f64) -> f64 {
    stiffness_n_m * (2.0 * half_width_m).powi(2) / 12.0
}

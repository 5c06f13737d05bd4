//! Ground under a base: pressure against a presumptive value, and the plate that spreads
//! it (straight-line distribution; textbook).

/// Greatest pressure under a rectangular base of half width `half_m`, Pa, with the load
/// `eccentric_m` off its middle: `N/A (1 + 3 e / b)` while all of it bears, and over the
/// shortened length `3 (b - e)` once it gapes. Without bound past the edge.
pub fn pressure_pa(load_n: f64, area_m2: f64, half_m: f64, eccentric_m: f64) -> f64 {
    let e = eccentric_m.abs();
    let mean = load_n / area_m2;
    if e >= half_m {
        f64::INFINITY
    } else if e <= half_m / 3.0 {
        mean * (1.0 + 3.0 * e / half_m)
    } else {
        mean * 4.0 * half_m / (3.0 * (half_m - e))
    }
}

/// Pressure under a rectangular base of half width `half_m` on soil that gives way, Pa, with
/// the load `eccentric_m` off its middle: even, over the part of the base that has the load
/// in its middle (Meyerhof's effective area; from memory, not verified). Without bound past
/// the edge.
pub fn yielding_pa(load_n: f64, area_m2: f64, half_m: f64, eccentric_m: f64) -> f64 {
    let e = eccentric_m.abs();
    if e >= half_m { f64::INFINITY } else { load_n / (area_m2 * (1.0 - e / half_m)) }
}

/// Area of sole plate that keeps a load to a bearing value, m².
pub fn plate_m2(load_n: f64, bearing_pa: f64) -> f64 {
    load_n / bearing_pa
}

//! Lifting bags: pressure for a force, force and height at a pressure, two bags in a
//! stack, a bag that is shut. The law itself is [`crate::bag_law`].

use crate::bag_law::{DEAD_VOLUME_M3, Membrane};
use crate::units::ATMOSPHERE_PA;
use std::f64::consts::PI;

/// Gauge pressure, Pa, that carries `force_n` at a gap of `gap_m`: `p = F / A(h)`. Without
/// bound where no area is left.
pub fn pressure_needed_pa(bag: Membrane, force_n: f64, gap_m: f64) -> f64 {
    let area = bag.area_m2(gap_m);
    if area > 0.0 { force_n / area } else { f64::INFINITY }
}

/// The greatest gap, m, at which a gauge pressure still carries a force: the smaller root
/// of `(W - u) (L - u) = F / p` with `u = pi h / 2`; under a narrow face by bisection, because
/// less of it bears the higher it stands. None where it cannot even lying flat.
pub fn highest_m(bag: Membrane, gauge_pa: f64, force_n: f64) -> Option<f64> {
    let (w, l) = (bag.width_m, bag.length_m);
    let area = force_n / gauge_pa;
    if gauge_pa <= 0.0 || area > bag.area_m2(0.0) {
        return None;
    }
    if bag.face_m < w {
        let (mut low, mut high) = (0.0, bag.height_limit_m());
        for _ in 0..40 {
            let h = f64::midpoint(low, high);
            if bag.area_m2(h) > area { low = h } else { high = h }
        }
        return Some(f64::midpoint(low, high));
    }
    let u = (w + l - ((w - l).powi(2) + 4.0 * area).sqrt()) / 2.0;
    Some(2.0 * u / PI)
}

/// Two bags on each other under one load: the height they give together, m, and which of
/// them gives less (0 lower, 1 upper). Both carry the whole load, so the pair is as strong
/// as its weaker member. None where one of them cannot carry the load at all.
pub fn pair(bags: [Membrane; 2], gauge_pa: f64, force_n: f64) -> Option<(f64, usize)> {
    let [lower, upper] =
        [highest_m(bags[0], gauge_pa, force_n)?, highest_m(bags[1], gauge_pa, force_n)?];
    Some((lower + upper, usize::from(upper < lower)))
}

/// Air in a bag as `p V`, J: absolute pressure times volume, constant while it is shut and
/// its temperature stays (Boyle).
pub fn air_j(bag: Membrane, gauge_pa: f64, gap_m: f64) -> f64 {
    (gauge_pa + ATMOSPHERE_PA) * bag.volume_m3(gap_m)
}

/// Air in a bag that lies empty, as `p V`, J.
pub fn empty_j() -> f64 {
    ATMOSPHERE_PA * DEAD_VOLUME_M3
}

/// What a shut bag pushes back with per way under a load, N/m, by Boyle and `dV/dh = A`:
/// `(p + p_atm) A^2 / V - p dA/dh`.
pub fn stiffness_n_m(bag: Membrane, force_n: f64, gap_m: f64) -> f64 {
    let (area, gauge_pa) = (bag.area_m2(gap_m), pressure_needed_pa(bag, force_n, gap_m));
    (gauge_pa + ATMOSPHERE_PA) * area * area / bag.volume_m3(gap_m)
        - gauge_pa * bag.area_slope_m(gap_m)
}

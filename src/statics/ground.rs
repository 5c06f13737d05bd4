//! Ground under a base: pressure against a presumptive value, and the plate that spreads
//! it (straight-line distribution; textbook); how far a soil that gives way goes down under a
//! base, and under an edge of the vehicle, which bears on more of it the deeper it is in.

use crate::scene::Print;
use crate::tables::{Bed, FIRM_M};

/// Soil under a whole base as a spring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spring {
    pub stiffness_n_m: f64,
    /// What it bears at most, N.
    pub plateau_n: f64,
}

/// Soil under a base of an area whose bearing strips are `strip_m` wide: pressure per
/// settlement, and the most pressure, times the area.
pub fn spring(bed: Bed, area_m2: f64, strip_m: f64) -> Spring {
    Spring {
        stiffness_n_m: bed.subgrade_pa_m(strip_m) * area_m2,
        plateau_n: bed.plateau_pa * area_m2,
    }
}

/// How far a base goes down, m: `N / k` up to what the soil bears, then until it is firm.
pub fn settles_m(soil: Spring, load_n: f64) -> f64 {
    if load_n < soil.plateau_n { load_n.max(0.0) / soil.stiffness_n_m } else { FIRM_M }
}

/// What soil bears under an edge that is `depth_m` deep in it, N: its plateau over what of the
/// edge lies under the surface; until that, as stiff as under a base as wide, from where its set
/// ends.
pub fn edge_n(bed: Bed, print: Print, depth_m: f64, set_m: f64) -> f64 {
    let area_m2 = print.area_m2();
    let elastic_n = bed.subgrade_pa_m(print.strip_m) * area_m2 * (depth_m - set_m);
    elastic_n.clamp(0.0, bed.plateau_pa * area_m2)
}

/// How much of an edge's depth stays in the soil, m: what it did not bear elastically.
pub fn edge_set_m(bed: Bed, print: Print, depth_m: f64, set_m: f64) -> f64 {
    let elastic_m = bed.plateau_pa / bed.subgrade_pa_m(print.strip_m);
    set_m.max(depth_m - elastic_m)
}

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

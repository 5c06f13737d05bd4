//! Beams: section, stress, deflection. Formulas as in AISC Steel Construction Manual
//! table 3-23 and AWC Design Aid 6 (from memory, not verified); every one of them is held
//! by the tests against integration of the bending line.
//!
//! SI: N, m, Pa.

/// A rectangular section, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    pub width_m: f64,
    pub depth_m: f64,
}

impl Section {
    pub fn area_m2(self) -> f64 {
        self.width_m * self.depth_m
    }
    /// Section modulus `b d² / 6`, m³.
    pub fn modulus_m3(self) -> f64 {
        self.width_m * self.depth_m.powi(2) / 6.0
    }
    /// Second moment `b d³ / 12`, m⁴.
    pub fn inertia_m4(self) -> f64 {
        self.width_m * self.depth_m.powi(3) / 12.0
    }
    /// Largest bending stress, Pa.
    pub fn bending_pa(self, moment_nm: f64) -> f64 {
        moment_nm / self.modulus_m3()
    }
    /// Largest shear stress of a rectangle, `1.5 V / A`, Pa.
    pub fn shear_pa(self, shear_n: f64) -> f64 {
        1.5 * shear_n / self.area_m2()
    }
}

/// The room over a timber on edge that it needs to lie over, m: it turns about the lower edge
/// under the higher end of a sloping face, and its other upper edge has to pass. `width_m`
/// wide, `low_m` high with its shim under the lower end of a face that rises by `slope` a
/// metre: `sqrt(H^2 + (b - t h)^2) - H`, with H under the higher end (geometry).
pub fn lies_over_m(width_m: f64, low_m: f64, slope: f64) -> f64 {
    let high_m = low_m + slope * width_m;
    let reach_m = (width_m - slope * low_m).max(0.0);
    high_m.hypot(reach_m) - high_m
}

/// Simple beam, load in the middle: largest moment `P L / 4` and deflection
/// `P L³ / 48 E I`.
pub fn centre_load(load_n: f64, span_m: f64, ei: f64) -> (f64, f64) {
    (load_n * span_m / 4.0, load_n * span_m.powi(3) / (48.0 * ei))
}

/// A beam pushed up by equal forces at both ends of overhangs `a`, held down at two places
/// `L` apart: constant moment `F a` between them, deflection of the ends
/// `F a² (2 a + 3 L) / 6 E I` and of the middle `F a L² / 8 E I`, the other way.
pub fn two_overhangs(force_n: f64, a_m: f64, span_m: f64, ei: f64) -> (f64, [f64; 2]) {
    let moment = force_n * a_m;
    let ends = moment * a_m * (2.0 * a_m + 3.0 * span_m) / (6.0 * ei);
    (moment, [ends, moment * span_m * span_m / (8.0 * ei)])
}

/// What one of two supports of a beam bears of a load on it, N, from the places of the load, of the
/// support and of the other one along the beam, m: `F (x - o) / (s - o)`, the moments about the
/// other (the law of the lever; textbook).
pub fn lever_share_n(load_n: f64, load_m: f64, support_m: f64, other_m: f64) -> f64 {
    load_n * (load_m - other_m) / (support_m - other_m)
}

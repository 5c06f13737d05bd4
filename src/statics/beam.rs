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

/// Simple beam pushed up at its ends, held down at the one place where the two forces balance:
/// moment `F1 F2 L / (F1 + F2)` there, `P L / 4` where they are equal.
pub fn held_between_nm([one_n, other_n]: [f64; 2], span_m: f64) -> f64 {
    one_n * other_n * span_m / (one_n + other_n)
}

/// An end of a beam that reaches out over what holds it down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overhang {
    /// What pushes its tip up, N.
    pub force_n: f64,
    /// From there to where it is held down, m.
    pub arm_m: f64,
}

impl Overhang {
    /// Moment where it is held down, N m.
    pub fn moment_nm(self) -> f64 {
        self.force_n * self.arm_m
    }
}

/// A beam pushed up at both ends and held down at two places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoOverhangs {
    pub ends: [Overhang; 2],
    /// Between the two places that hold it down, m.
    pub span_m: f64,
}

impl TwoOverhangs {
    /// What holds it down at either place, N, from the moments about the other one:
    /// `F1 + (F1 a1 - F2 a2) / L`.
    pub fn held_n(self) -> [f64; 2] {
        let [one, other] = self.ends;
        let turns_n = (one.moment_nm() - other.moment_nm()) / self.span_m;
        [one.force_n + turns_n, other.force_n - turns_n]
    }

    /// How far the ends bend up from the line through the places that hold it, m, with `ei` in
    /// N m². The moment goes in a line from `M1` to `M2` between them, so that the beam slopes by
    /// `L (2 M1 + M2) / 6 E I` at the first, and the overhang adds `F1 a1³ / 3 E I`.
    pub fn ends_m(self, ei: f64) -> [f64; 2] {
        let end = |one: Overhang, other: Overhang| {
            let turned = self.span_m * (2.0 * one.moment_nm() + other.moment_nm()) / (6.0 * ei);
            turned * one.arm_m + one.moment_nm() * one.arm_m * one.arm_m / (3.0 * ei)
        };
        let [one, other] = self.ends;
        [end(one, other), end(other, one)]
    }

    /// How far its middle bends the other way, `(M1 + M2) L² / 16 E I`, m.
    pub fn middle_m(self, ei: f64) -> f64 {
        let moments_nm: f64 = self.ends.iter().map(|end| end.moment_nm()).sum();
        moments_nm * self.span_m * self.span_m / (16.0 * ei)
    }
}

/// What one of two supports of a beam bears of a load on it, N, from the places of the load, of the
/// support and of the other one along the beam, m: `F (x - o) / (s - o)`, the moments about the
/// other (the law of the lever; textbook).
pub fn lever_share_n(load_n: f64, load_m: f64, support_m: f64, other_m: f64) -> f64 {
    load_n * (load_m - other_m) / (support_m - other_m)
}

//! Turns a lifting bag's flat size and the gap between its faces into contact
//! area, volume, force and tilt: one law for paper, world and picture.
//!
//! An inextensible envelope lies between two flat faces a gap `h` apart; its free
//! edges are half circles of that diameter. A face then touches the envelope over
//! its flat width less half the circle on either side. Because the volume's
//! derivative with the gap is that area, `F = p A = p dV/dh` holds exactly.

use std::f64::consts::PI;

/// Air that a bag holds when its faces touch: hose stub and folds, m³ (assumed).
pub const DEAD_VOLUME_M3: f64 = 0.5e-3;

/// A rectangular bag by its laid-flat size, m, under a face that covers it or under one that is
/// narrower.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Membrane {
    pub width_m: f64,
    pub length_m: f64,
    /// How wide along the width that is which lies on it, m: a timber on edge is narrower.
    pub face_m: f64,
}

/// How much less far the force of a tilted bag moves for every metre of its height, m a radian
/// and metre: the free edge on the opening side turns by pi + phi, the other by pi - phi, and
/// both lie inside the bag's width (strip between two plates, to the first order).
const HEIGHT_EASES: f64 = (PI * PI - 4.0) / 16.0;
/// Turn of a free edge that goes up beside a narrow face and over to the ground, rad.
const BESIDE_RAD: f64 = 1.5 * PI;
/// Places and weights of the five-point Gauss-Legendre rule on -1 to 1.
const GAUSS: [[f64; 2]; 5] = [
    [-0.906_179_845_938_664, 0.236_926_885_056_189_1],
    [-0.538_469_310_105_683_1, 0.478_628_670_499_366_5],
    [0.0, 0.568_888_888_888_888_9],
    [0.538_469_310_105_683_1, 0.478_628_670_499_366_5],
    [0.906_179_845_938_664, 0.236_926_885_056_189_1],
];

/// How the strip across a face stands: what bears of it, m, and how that changes with the gap.
#[derive(Clone, Copy)]
struct Strip {
    bears_m: f64,
    slope: f64,
}

impl Membrane {
    /// A bag by its laid-flat size along X and Z, m, under a face that covers it.
    pub const fn of_size([width_m, length_m]: [f64; 2]) -> Self {
        Self { width_m, length_m, face_m: f64::INFINITY }
    }

    /// The same bag under a face so wide along its width, m, and as long as it.
    pub const fn under(self, face_m: f64) -> Self {
        Self { face_m, ..self }
    }

    /// The gap at which the flat part of the shorter side is used up: `2 W / pi`.
    pub fn height_limit_m(self) -> f64 {
        2.0 * self.width_m.min(self.length_m) / PI
    }

    fn flat(side_m: f64, gap_m: f64) -> f64 {
        (side_m - PI * gap_m / 2.0).max(0.0)
    }

    /// Width and length of the flat patch under a face that covers the bag at gap `gap_m`, m.
    pub fn patch_m(self, gap_m: f64) -> [f64; 2] {
        [Self::flat(self.width_m, gap_m), Self::flat(self.length_m, gap_m)]
    }

    /// Membrane of a half strip that does not lie under a narrow face, m.
    fn free_m(self) -> f64 {
        (self.width_m - self.face_m).max(0.0)
    }

    /// The gap from which on a narrow face bears as one that covers the bag, m.
    fn covered_from_m(self) -> f64 {
        2.0 * self.free_m() / PI
    }

    /// The gap up to which the bag stands against the sides of a narrow face, m.
    fn beside_to_m(self) -> f64 {
        self.free_m() / (BESIDE_RAD + 1.0)
    }

    /// A free edge beside a narrow face is an arc of radius `R` that begins `t` above the level
    /// and ends on the ground: `h = R (1 + cos t)`, and the membrane is as long as it is,
    /// `W - b = R (pi + t + sin t)`. The angle at a gap, rad, by Newton's rule.
    fn wraps_rad(self, gap_m: f64) -> f64 {
        let share = gap_m / self.free_m();
        let [from, to] = [self.beside_to_m(), self.covered_from_m()];
        let mut t = PI / 2.0 * (to - gap_m) / (to - from);
        for _ in 0..6 {
            let (sin, cos) = t.sin_cos();
            let off = 1.0 + cos - share * (PI + t + sin);
            t += off / (sin + share * (1.0 + cos));
        }
        t.clamp(0.0, PI / 2.0)
    }

    /// The strip at an angle of its free edges, its gap, m, and how that falls with the angle,
    /// m a radian.
    fn wrapped(self, t: f64) -> (Strip, [f64; 2]) {
        let (sin, cos) = t.sin_cos();
        let radius = self.free_m() / (PI + t + sin);
        let shrinks = radius * (1.0 + cos) / (PI + t + sin);
        let falls = shrinks * (1.0 + cos) + radius * sin;
        let slope = 2.0 * (shrinks * sin - radius * cos) / falls;
        let strip = Strip { bears_m: self.face_m + 2.0 * radius * sin, slope };
        (strip, [radius * (1.0 + cos), falls])
    }

    /// What bears across the width. The ground's side of it tells the force: under a narrow
    /// face the membrane beside it pulls up as much as it presses more.
    fn strip(self, gap_m: f64) -> Strip {
        if gap_m >= self.covered_from_m() {
            let bears_m = Self::flat(self.width_m, gap_m);
            return Strip { bears_m, slope: if bears_m > 0.0 { -PI / 2.0 } else { 0.0 } };
        }
        if gap_m <= self.beside_to_m() {
            // Up along the face's side, then an arc of three quarters: `W - b + h = R (2 + 3 pi / 2)`.
            let slope = 2.0 / (2.0 + BESIDE_RAD);
            return Strip { bears_m: self.face_m + slope * (self.free_m() + gap_m), slope };
        }
        self.wrapped(self.wraps_rad(gap_m)).0
    }

    /// Area that presses on the ground at gap `gap_m`, m²: what its force is told by.
    pub fn area_m2(self, gap_m: f64) -> f64 {
        self.strip(gap_m).bears_m * Self::flat(self.length_m, gap_m)
    }

    /// Derivative of that area with the gap, m.
    pub fn area_slope_m(self, gap_m: f64) -> f64 {
        let (strip, length) = (self.strip(gap_m), Self::flat(self.length_m, gap_m));
        let shortens = if length > 0.0 { PI / 2.0 } else { 0.0 };
        strip.slope * length - shortens * strip.bears_m
    }

    /// Volume at gap `gap_m`, m³, dead volume included. Constant past the height limit.
    pub fn volume_m3(self, gap_m: f64) -> f64 {
        let h = gap_m.clamp(0.0, self.height_limit_m());
        let (w, l) = (self.width_m, self.length_m);
        let covered = |h: f64| w * l * h - PI * (w + l) * h * h / 4.0 + PI * PI * h.powi(3) / 12.0;
        let (free, from, to) = (self.free_m(), self.beside_to_m(), self.covered_from_m());
        if free == 0.0 {
            return DEAD_VOLUME_M3 + covered(h);
        }
        // What stands beside a narrow face that lies on the ground.
        let radius = free / (2.0 + BESIDE_RAD);
        let mut volume = DEAD_VOLUME_M3 + 2.0 * (BESIDE_RAD / 2.0 + 1.0) * radius * radius * l;
        let low = h.min(from);
        let grows = 2.0 / (2.0 + BESIDE_RAD);
        let first = self.face_m + grows * free;
        let shortens = PI / 2.0;
        volume += first * l * low + (grows * l - first * shortens) * low * low / 2.0
            - grows * shortens * low.powi(3) / 3.0;
        if h > from {
            let t = if h < to { self.wraps_rad(h) } else { 0.0 };
            let half = (PI / 2.0 - t) / 2.0;
            for [place, weight] in GAUSS {
                let (strip, [gap, falls]) = self.wrapped(t + half * (1.0 + place));
                volume += half * weight * falls * strip.bears_m * Self::flat(l, gap);
            }
        }
        volume + covered(h.max(to)) - covered(to)
    }

    /// Force between the faces, N, at a gauge pressure.
    pub fn force_n(self, gauge_pa: f64, gap_m: f64) -> f64 {
        gauge_pa * self.area_m2(gap_m)
    }

    /// How far the force moves over the face for every radian of tilt about the axis along the
    /// width and about the one along the length, m. The strip across the axis moves it towards
    /// the closing side by `pi W / 8 - (pi^2 - 4) h / 16`. The bag's ends bear less where the
    /// gap is wider, which moves the middle of what bears by `pi w^2 / 24 l` more, w and l its
    /// width and length. Under a narrow face the strip gives `b^2 cot t / 2 a`, because only its
    /// edges feel the membrane's pull.
    pub fn tilt_arms_m(self, gap_m: f64) -> [f64; 2] {
        let (across, along) = (self.strip(gap_m), Self::flat(self.length_m, gap_m));
        let arm = |side: f64| (PI * side / 8.0 - HEIGHT_EASES * gap_m).max(0.0);
        // What bears, `w` m far, is `l` wide in the middle and wider by `slope` for each metre of
        // gap: the middle of a trapezium.
        let ends =
            |w: f64, l: f64, slope: f64| if l > 0.0 { -slope * w * w / l / 12.0 } else { 0.0 };
        let about_x = arm(self.length_m) + ends(along, across.bears_m, across.slope);
        let about_z = arm(self.width_m) + ends(across.bears_m, along, -PI / 2.0);
        if gap_m >= self.covered_from_m() {
            return [about_x, about_z];
        }
        if gap_m <= self.beside_to_m() {
            return [about_x, 0.0];
        }
        let t = self.wraps_rad(gap_m);
        let narrow = self.face_m.powi(2) / t.tan() / (2.0 * self.wrapped(t).0.bears_m);
        [about_x, narrow.min(about_z)]
    }

    /// Tilt at which the faces meet on the closing side, rad, for a side across the tilt axis.
    pub fn tilt_limit_rad(self, gap_m: f64, side_m: f64) -> f64 {
        2.0 * gap_m / side_m
    }
}

/// Tilt between a bag's faces past which it may be thrown out, rad, by the friction of its faces:
/// its force stands half of it off each face, so `2 atan mu` (moment and force balance of the
/// strip).
pub fn thrown_out_rad(mu: f64) -> f64 {
    2.0 * mu.atan()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const BAG: Membrane = Membrane::of_size([0.5, 0.5]);

    /// Worked values of the strip model, W = 0.5 m square at 8 bar gauge, from the
    /// closed form F = p (W - pi h / 2)^2.
    #[test]
    fn val_force_and_volume_of_a_square_bag() {
        for (gap_m, kn, litres) in [
            (0.0, 200.0, 0.0),
            (0.02, 175.7, 4.69),
            (0.05, 142.1, 10.64),
            (0.1, 94.1, 17.97),
            (0.15, 55.9, 22.60),
            (0.2, 27.6, 25.16),
        ] {
            assert_relative_eq!(BAG.force_n(8e5, gap_m) / 1e3, kn, max_relative = 2e-3);
            let volume_l = (BAG.volume_m3(gap_m) - DEAD_VOLUME_M3) * 1e3;
            assert_relative_eq!(volume_l, litres, epsilon = 0.01);
        }
    }

    /// `dV/dh = A` over the whole stroke, by central differences and by Simpson's
    /// rule; the second is independent of the slope formula.
    #[test]
    fn val_volume_is_the_integral_of_area() {
        let bag = Membrane::of_size([0.38, 0.6]);
        let limit = bag.height_limit_m();
        for step in 1..=50 {
            let h = limit * f64::from(step) / 50.0;
            let n = 200;
            let dh = h / f64::from(n);
            let simpson: f64 = (0..=n)
                .map(|i| {
                    let weight = match i {
                        0 => 1.0,
                        i if i == n => 1.0,
                        i if i % 2 == 1 => 4.0,
                        _ => 2.0,
                    };
                    weight * bag.area_m2(f64::from(i) * dh)
                })
                .sum::<f64>()
                * dh
                / 3.0;
            assert_relative_eq!(bag.volume_m3(h) - DEAD_VOLUME_M3, simpson, max_relative = 1e-9);
        }
        assert_relative_eq!(bag.area_m2(limit), 0.0, epsilon = 1e-12);
    }

    /// Under a timber 89 mm wide: the closed loop of the membrane is as long as it is at every
    /// gap, the force is the volume's derivative, and the law goes over into that of a wide
    /// face where the timber covers what bears.
    #[test]
    fn val_a_narrow_face_sinks_in() {
        let bag = Membrane::of_size([0.46, 0.46]).under(0.0889);
        let free = 0.46 - 0.0889;
        for step in 1..100 {
            let h = 0.29 * f64::from(step) / 100.0;
            let slope = (bag.volume_m3(h + 1e-5) - bag.volume_m3(h - 1e-5)) / 2e-5;
            assert_relative_eq!(slope, bag.area_m2(h), max_relative = 1e-4);
            let slope = (bag.area_m2(h + 1e-6) - bag.area_m2(h - 1e-6)) / 2e-6;
            assert_relative_eq!(slope, bag.area_slope_m(h), max_relative = 2e-2);
            if h > bag.beside_to_m() && h < bag.covered_from_m() {
                let t = bag.wraps_rad(h);
                let radius = h / (1.0 + t.cos());
                assert_relative_eq!(free, radius * (PI + t + t.sin()), max_relative = 1e-9);
            }
        }
        // By hand at t = 60 deg: R = 371.1 / (pi + pi / 3 + 0.8660) = 73.43 mm, so h = 110.1 mm
        // and 89 + 2 R sin t = 216.1 mm bear, by 460 - 110.1 pi / 2 = 287.0 mm.
        assert_relative_eq!(bag.area_m2(0.110_15), 0.2161 * 0.2870, max_relative = 2e-3);
        let wide = Membrane::of_size([0.46, 0.46]);
        assert_relative_eq!(bag.area_m2(0.25), wide.area_m2(0.25), max_relative = 1e-12);
        assert!(bag.area_m2(0.1) < 0.75 * wide.area_m2(0.1));
    }
}

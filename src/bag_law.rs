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

/// A rectangular bag by its laid-flat size, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Membrane {
    pub width_m: f64,
    pub length_m: f64,
}

impl Membrane {
    /// A bag by its laid-flat size along X and Z, m.
    pub fn of_size([width_m, length_m]: [f64; 2]) -> Self {
        Self { width_m, length_m }
    }

    /// The gap at which the flat part of the shorter side is used up: `2 W / pi`.
    pub fn height_limit_m(self) -> f64 {
        2.0 * self.width_m.min(self.length_m) / PI
    }

    fn flat(side_m: f64, gap_m: f64) -> f64 {
        (side_m - PI * gap_m / 2.0).max(0.0)
    }

    /// Width and length of the flat patch on either face at gap `gap_m`, m.
    pub fn patch_m(self, gap_m: f64) -> [f64; 2] {
        [Self::flat(self.width_m, gap_m), Self::flat(self.length_m, gap_m)]
    }

    /// Area of one face in contact at gap `gap_m`, m².
    pub fn area_m2(self, gap_m: f64) -> f64 {
        let [width, length] = self.patch_m(gap_m);
        width * length
    }

    /// Derivative of the contact area with the gap, m (never positive).
    pub fn area_slope_m(self, gap_m: f64) -> f64 {
        -PI / 2.0 * self.patch_m(gap_m).iter().sum::<f64>()
    }

    /// Volume at gap `gap_m`, m³, dead volume included. Constant past the height limit.
    pub fn volume_m3(self, gap_m: f64) -> f64 {
        let h = gap_m.clamp(0.0, self.height_limit_m());
        let (w, l) = (self.width_m, self.length_m);
        DEAD_VOLUME_M3 + w * l * h - PI * (w + l) * h * h / 4.0 + PI * PI * h.powi(3) / 12.0
    }

    /// Force between the faces, N, at a gauge pressure.
    pub fn force_n(self, gauge_pa: f64, gap_m: f64) -> f64 {
        gauge_pa * self.area_m2(gap_m)
    }

    /// Restoring moment per radian of tilt about the axis along `length` (the
    /// width closes on one side), N m: the contact patch moves by `pi W / 8` a radian.
    pub fn tilt_stiffness_nm(self, force_n: f64, side_m: f64) -> f64 {
        force_n * PI * side_m / 8.0
    }

    /// Tilt at which the faces meet on the closing side, rad, for a side across the tilt axis.
    pub fn tilt_limit_rad(self, gap_m: f64, side_m: f64) -> f64 {
        2.0 * gap_m / side_m
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const BAG: Membrane = Membrane { width_m: 0.5, length_m: 0.5 };

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
        let bag = Membrane { width_m: 0.38, length_m: 0.6 };
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
}

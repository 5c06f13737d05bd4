//! The wheels.

use super::car::Car;
use super::outline::Outline;
use crate::scene::TYRE_HALF_M;
use bevy::prelude::*;

impl Car {
    /// All four wheels.
    pub fn wheels(&mut self, outline: &Outline<'_>) {
        (0..4).for_each(|index| self.wheel(outline, index));
    }

    /// A wheel: front left, front right, rear left, rear right.
    pub fn wheel(&mut self, outline: &Outline<'_>, index: usize) {
        let r = outline.wheel;
        let w = TYRE_HALF_M as f32;
        let tyre = [
            [0.66 * r, -0.82 * w],
            [0.80 * r, -w],
            [0.90 * r, -w],
            [0.97 * r, -0.88 * w],
            [r, -0.62 * w],
            [r, -0.62 * w],
            [r, -0.28 * w],
            [0.975 * r, -0.26 * w],
            [0.975 * r, -0.20 * w],
            [r, -0.18 * w],
            [r, 0.18 * w],
            [0.975 * r, 0.20 * w],
            [0.975 * r, 0.26 * w],
            [r, 0.28 * w],
            [r, 0.62 * w],
            [r, 0.62 * w],
            [0.97 * r, 0.88 * w],
            [0.90 * r, w],
            [0.80 * r, w],
            [0.66 * r, 0.82 * w],
        ];
        let rim = [
            [0.0, 0.52 * w],
            [0.14 * r, 0.50 * w],
            [0.17 * r, 0.42 * w],
            [0.17 * r, 0.42 * w],
            [0.20 * r, 0.30 * w],
            [0.52 * r, 0.30 * w],
            [0.58 * r, 0.66 * w],
            [0.58 * r, 0.66 * w],
            [0.67 * r, 0.84 * w],
            [0.67 * r, 0.70 * w],
        ];
        let side = if index.is_multiple_of(2) { -1.0f32 } else { 1.0 };
        let wheel_x = outline.v.wheel_x_m[index / 2];
        let hub = Vec3::new(wheel_x as f32, r, side * outline.wheel_z);
        let out = Vec3::Z * side;
        self.rubber.lathe(hub, out, &tyre, 40);
        self.alloy.lathe(hub, out, &rim, 40);
        self.dark.lathe(hub, out, &[[0.0, -0.5 * w], [0.64 * r, -0.5 * w]], 24);
        for k in 0..6 {
            let a = std::f32::consts::TAU * k as f32 / 6.0;
            let dir = Vec3::new(a.cos(), a.sin(), 0.0);
            let gap = a + std::f32::consts::TAU / 12.0;
            self.alloy.turned_cuboid(
                hub + dir * 0.37 * r + out * 0.42 * w,
                Vec3::new(0.22 * r, 0.045 * r, 0.12 * w),
                Quat::from_rotation_z(a),
            );
            let hole = Vec3::new(gap.cos(), gap.sin(), 0.0);
            let foot = hub + hole * 0.38 * r + out * 0.30 * w;
            self.dark.bar(foot, foot + out * 0.012, 0.095 * r, 12);
        }
    }
}

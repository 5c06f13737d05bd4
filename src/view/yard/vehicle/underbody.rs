//! The underbody, which shows when the vehicle lies on its roof or its side.

use super::car::Car;
use super::outline::{ARCH_M, Outline, WELL_M};
use bevy::prelude::*;

/// Where the front and the rear wheels are along the vehicle, m.
fn axles(outline: &Outline<'_>) -> [f32; 2] {
    outline.v.wheel_x_m.map(|x| x as f32)
}

impl Car {
    /// What shows on top once it lies on its roof.
    pub fn underbody(&mut self, outline: &Outline<'_>) {
        self.pan(outline);
        self.frame_and_links(outline);
        self.drive_and_tank(outline);
        self.exhaust(outline);
    }

    /// The floor, narrower between the wheels.
    fn pan(&mut self, outline: &Outline<'_>) {
        let y = outline.floor;
        let radius = outline.wheel + ARCH_M;
        let near_wheel =
            |x: f32| outline.v.wheel_x_m.iter().any(|w| (x - *w as f32).abs() < radius);
        let mut xs = outline.stations();
        xs.retain(|x| *x < outline.nose.x - 0.02 && *x > outline.deck_rear.x + 0.02);
        let pan: Vec<Vec<Vec3>> = xs
            .iter()
            .map(|&x| {
                let half =
                    if near_wheel(x) { outline.half - WELL_M } else { outline.side(x, y) - 0.004 };
                [-1.0, -0.4, 0.4, 1.0].map(|s| Vec3::new(x, y + 0.004, s * half)).to_vec()
            })
            .collect();
        self.dark.grid(&pan);
    }

    /// On either side the rails of the frame, the sill, and what guides the wheels.
    fn frame_and_links(&mut self, outline: &Outline<'_>) {
        let y = outline.floor;
        let radius = outline.wheel + ARCH_M;
        let [front, rear] = axles(outline);
        for side in [-1.0, 1.0] {
            // Frame rails, stiffening swages and the jacking edge along the sill.
            let z = side * 0.47 * outline.half;
            self.trim.cuboid(
                Vec3::new(0.5 * (front + rear), y - 0.012, z),
                Vec3::new(0.5 * (front - rear) + 0.35, 0.022, 0.04),
            );
            self.trim.cuboid(
                Vec3::new(0.5 * (front + rear), y - 0.01, side * (outline.half * 0.90)),
                Vec3::new(0.5 * (front - rear) - radius - 0.02, 0.016, 0.012),
            );
            for x in [front, rear] {
                let hub = Vec3::new(x, outline.wheel, side * outline.wheel_z);
                let inboard = Vec3::new(x - 0.10, y + 0.03, side * 0.30);
                self.metal.bar(inboard, hub, 0.022, 10);
                self.metal.bar(
                    Vec3::new(x + 0.18, y + 0.02, side * 0.34),
                    hub - Vec3::Z * side * 0.06,
                    0.018,
                    10,
                );
            }
        }
    }

    /// Tunnel, engine sump and gearbox, fuel tank, rear axle.
    fn drive_and_tank(&mut self, outline: &Outline<'_>) {
        let y = outline.floor;
        let [front, rear] = axles(outline);
        self.trim.cushion(
            Vec3::new(0.5 * (front + rear) - 0.1, y + 0.01, 0.0),
            Vec3::new(0.5 * (front - rear) - 0.25, 0.035, 0.13),
            Quat::IDENTITY,
        );
        self.metal.cushion(
            Vec3::new(front + 0.05, y - 0.005, 0.10),
            Vec3::new(0.24, 0.055, 0.19),
            Quat::IDENTITY,
        );
        self.metal.cushion(
            Vec3::new(front - 0.06, y - 0.002, -0.22),
            Vec3::new(0.19, 0.05, 0.14),
            Quat::IDENTITY,
        );
        self.trim.cushion(
            Vec3::new(rear + 0.52, y - 0.012, -0.12),
            Vec3::new(0.24, 0.06, 0.36),
            Quat::IDENTITY,
        );
        self.metal.bar(
            Vec3::new(rear, y + 0.05, -(outline.half - 0.25)),
            Vec3::new(rear, y + 0.05, outline.half - 0.25),
            0.035,
            12,
        );
    }

    /// Pipe, middle box, over the axle, end box, tail pipe.
    fn exhaust(&mut self, outline: &Outline<'_>) {
        let [front, rear] = axles(outline);
        let z = 0.30;
        let pipe = outline.floor - 0.018;
        let tail = outline.deck_rear.x;
        self.metal.tube(
            &[
                Vec3::new(front + 0.1, pipe + 0.02, 0.12),
                Vec3::new(front - 0.35, pipe, z - 0.08),
                Vec3::new(front - 0.6, pipe, z),
                Vec3::new(rear + 0.45, pipe, z),
                Vec3::new(rear + 0.2, pipe - 0.05, z + 0.03),
                Vec3::new(rear - 0.2, pipe - 0.05, z + 0.03),
                Vec3::new(tail + 0.45, pipe, z),
            ],
            0.026,
            12,
        );
        self.metal.capsule(Vec3::new(0.15, pipe, z), Vec3::new(-0.25, pipe, z), 0.06, 0.06);
        self.metal.capsule(
            Vec3::new(tail + 0.30, pipe + 0.01, -0.12),
            Vec3::new(tail + 0.30, pipe + 0.01, 0.34),
            0.085,
            0.085,
        );
        self.metal.bar(
            Vec3::new(tail + 0.30, pipe + 0.01, 0.42),
            Vec3::new(tail - 0.06, pipe + 0.02, 0.45),
            0.024,
            12,
        );
    }
}

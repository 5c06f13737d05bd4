//! What is inside: seats, dashboard, steering wheel.

use super::car::Car;
use super::outline::{CROWN_M, Outline, SHOULDER_M};
use bevy::prelude::*;

impl Car {
    pub fn inside(&mut self, outline: &Outline<'_>) {
        let [front, rear] = [outline.cowl.x, outline.deck_front.x];
        let xs: Vec<f32> = (0..=12).map(|i| rear + (front - rear) * i as f32 / 12.0).collect();
        let floor = outline.floor + 0.04;
        for side in [-1.0, 1.0] {
            let rows: Vec<Vec<Vec3>> = xs
                .iter()
                .map(|&x| {
                    let z = side * (outline.half_at(x) * outline.belt_share - SHOULDER_M - 0.03);
                    vec![Vec3::new(x, floor, z), Vec3::new(x, outline.belt(x) - CROWN_M, z)]
                })
                .collect();
            self.cloth.grid(&rows);
        }
        let carpet: Vec<Vec<Vec3>> = xs
            .iter()
            .map(|&x| {
                let z = outline.half_at(x) * outline.sill_share.min(outline.belt_share) * 0.97;
                vec![Vec3::new(x, floor, -z), Vec3::new(x, floor, z)]
            })
            .collect();
        self.dark.grid(&carpet);
        for x in [front, rear] {
            let z = outline.half_at(x) * outline.sill_share.min(outline.belt_share) * 0.97;
            let top = outline.belt(x) - 0.015;
            self.dark.quad([
                Vec3::new(x, floor, -z),
                Vec3::new(x, floor, z),
                Vec3::new(x, top, z),
                Vec3::new(x, top, -z),
            ]);
        }
        let belt = outline.belt(0.5 * (front + rear));
        let across = outline.half * 0.86;
        self.trim.cushion(
            Vec3::new(front - 0.22, outline.belt(front) - 0.10, 0.0),
            Vec3::new(0.22, 0.10, across),
            Quat::IDENTITY,
        );
        self.trim.cuboid(
            Vec3::new(rear + 0.10, outline.belt(rear) - 0.035, 0.0),
            Vec3::new(0.11, 0.02, across),
        );
        // Seats end below the belt line: the openings stay free.
        let cabin = front - rear;
        let back_half = 0.5 * (belt - floor - 0.28).clamp(0.15, 0.6);
        let seat = |car: &mut Self, x: f32, z: f32, half: f32| {
            car.cloth.cushion(
                Vec3::new(x, floor + 0.20, z),
                Vec3::new(0.26, 0.09, half),
                Quat::IDENTITY,
            );
            car.cloth.cushion(
                Vec3::new(x - 0.30, floor + 0.22 + back_half, z),
                Vec3::new(0.085, back_half, half),
                Quat::from_rotation_z(0.22),
            );
        };
        for z in [-0.36, 0.36] {
            seat(self, front - 0.46 * cabin, z * outline.half / 0.85, 0.25);
        }
        seat(self, rear + 0.24 * cabin, 0.0, outline.half * 0.72);
        // Steering wheel: a ring turned about its own axis.
        let ring: Vec<[f32; 2]> = (0..=10)
            .map(|k| {
                let a = std::f32::consts::TAU * k as f32 / 10.0;
                [0.18 + 0.014 * a.cos(), 0.014 * a.sin()]
            })
            .collect();
        let wheel =
            Vec3::new(front - 0.42, outline.belt(front) - 0.06, -0.36 * outline.half / 0.85);
        self.dark.lathe(wheel, Vec3::new(-0.85, 0.5, 0.0), &ring, 28);
        self.dark.bar(wheel + Vec3::new(0.25, -0.14, 0.0), wheel, 0.025, 10);
    }
}

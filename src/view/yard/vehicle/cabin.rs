//! The posts, the screens and the doors.

use super::car::Car;
use super::outline::{ARCH_M, CROWN_M, Outline, SHOULDER_M};
use crate::view::yard::form::Form;
use bevy::prelude::*;
use std::f32::consts::PI;

impl Car {
    pub fn posts(&mut self, outline: &Outline<'_>) {
        for post in &outline.v.posts {
            let (foot_x, head_x) = (post.belt_x as f32, post.roof_x as f32);
            for side in [-1.0f32, 1.0] {
                let foot = Vec3::new(
                    foot_x,
                    outline.belt(foot_x) - 0.05,
                    side * (outline.half_at(foot_x) * outline.belt_share - 0.055),
                );
                let head_y =
                    outline.roof_y(head_x.clamp(outline.roof_rear.x, outline.header.x)) - 0.045;
                let head = Vec3::new(head_x, head_y, side * (outline.roof_half - 0.035));
                let half = Vec2::new(post.width_m as f32 / 2.0, 0.028);
                let rows: Vec<Vec<Vec3>> = (0..=8)
                    .map(|i| {
                        let t = i as f32 / 8.0;
                        // Bowed outwards a little, and wider at both ends.
                        let bow = side * 0.018 * (PI * t).sin();
                        let flare =
                            half.x + 0.35 * half.x.min(0.045) * (2.0 * t - 1.0).abs().powi(5);
                        let middle = foot.lerp(head, t) + Vec3::Z * bow;
                        (0..=16)
                            .map(|k| {
                                let a = std::f32::consts::TAU * k as f32 / 16.0;
                                let soft = |v: f32| v.signum() * v.abs().powf(0.5);
                                middle
                                    + Vec3::new(flare * soft(a.cos()), 0.0, half.y * soft(a.sin()))
                            })
                            .collect()
                    })
                    .collect();
                self.paint.grid(&rows);
            }
        }
    }

    /// Windscreen and rear window, faintly tinted. The side windows are open.
    pub fn screens(&mut self, outline: &Outline<'_>) {
        for (foot, head) in
            [(outline.cowl, outline.header), (outline.deck_front, outline.roof_rear)]
        {
            let wide = outline.half_at(foot.x) * outline.belt_share - 0.075;
            let narrow = outline.roof_half - 0.055;
            let rows: Vec<Vec<Vec3>> = (0..=6)
                .map(|i| {
                    let t = i as f32 / 6.0;
                    let p = foot.lerp(head, t);
                    let half = wide + t * (narrow - wide);
                    (-6..=6)
                        .map(|k| {
                            let s = k as f32 / 6.0;
                            Vec3::new(p.x, p.y - 0.02, s * half)
                        })
                        .collect()
                })
                .collect();
            self.glass.grid(&rows);
        }
    }

    /// Door seams, handles, mirrors and the trim along the belt line.
    pub fn doors(&mut self, outline: &Outline<'_>) {
        let radius = outline.wheel + ARCH_M;
        let on_side = |side: f32, x: f32, y: f32, out: f32| {
            Vec3::new(x, y, side * (outline.side(x, y) + out))
        };
        let mut seams: Vec<f32> = outline.v.posts.iter().map(|p| p.belt_x as f32).collect();
        seams.retain(|x| outline.v.wheel_x_m.iter().all(|w| (x - *w as f32).abs() > 0.25));
        for side in [-1.0f32, 1.0] {
            for &x in &seams {
                let low = outline.bottom(x).max(outline.floor + 0.09);
                let high = outline.top(x) - CROWN_M - SHOULDER_M * 0.7;
                let rows: Vec<Vec<Vec3>> = (0..=10)
                    .map(|i| {
                        let y = low + (high - low) * i as f32 / 10.0;
                        [-0.004, 0.004].map(|dx| on_side(side, x + dx, y, 0.0025)).to_vec()
                    })
                    .collect();
                self.dark.grid(&rows);
            }
            let [wheel_front, wheel_rear] = outline.v.wheel_x_m.map(|x| x as f32);
            let strip = |form: &mut Form, from: f32, to: f32, y: &dyn Fn(f32) -> f32, half: f32| {
                let rows: Vec<Vec<Vec3>> = (0..=20)
                    .map(|i| {
                        let x = from + (to - from) * i as f32 / 20.0;
                        [-half, half].map(|dy| on_side(side, x, y(x) + dy, 0.003)).to_vec()
                    })
                    .collect();
                form.grid(&rows);
            };
            strip(
                &mut self.dark,
                wheel_front - radius,
                wheel_rear + radius,
                &|_| outline.floor + 0.09,
                0.003,
            );
            strip(
                &mut self.trim,
                outline.cowl.x - 0.05,
                outline.deck_front.x + 0.05,
                &|x| outline.top(x) - CROWN_M - SHOULDER_M - 0.006,
                0.008,
            );
            // A crease low on the doors.
            strip(
                &mut self.trim,
                wheel_front - radius - 0.03,
                wheel_rear + radius + 0.03,
                &|x| outline.floor + 0.36 * (outline.top(x) - outline.floor),
                0.014,
            );
            for pair in seams.windows(2) {
                let x = pair[1] + 0.16;
                if pair[0] - pair[1] > 0.4 && outline.in_cabin(x) {
                    let y = outline.top(x) - 0.15;
                    let at = on_side(side, x, y, 0.012);
                    self.trim.cushion(at, Vec3::new(0.085, 0.016, 0.014), Quat::IDENTITY);
                }
            }
            let x = outline.cowl.x - 0.16;
            let at = Vec3::new(x, outline.belt(x) + 0.045, side * (outline.half_at(x) + 0.075));
            self.paint.cushion(at, Vec3::new(0.05, 0.06, 0.09), Quat::IDENTITY);
            self.trim.bar(
                at - Vec3::new(0.0, 0.04, side * 0.13),
                at - Vec3::new(0.0, 0.02, 0.0),
                0.02,
                8,
            );
        }
    }
}

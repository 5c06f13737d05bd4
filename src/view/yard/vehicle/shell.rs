//! The shell: sides with their wheel arches, bonnet and deck, both ends, and the roof.

use super::car::Car;
use super::outline::{ARCH_M, CROWN_M, Outline, SHOULDER_M, WELL_M, cuts, share_cuts};
use crate::scene::Panel;
use crate::view::yard::form::Form;
use bevy::prelude::*;
use std::f32::consts::{FRAC_PI_2, PI};

impl Car {
    pub fn sides(&mut self, outline: &Outline<'_>) {
        let stations = outline.stations();
        for side in [-1.0, 1.0] {
            let loft = |low: &dyn Fn(f32) -> f32| -> Vec<Vec<Vec3>> {
                stations
                    .iter()
                    .map(|&x| {
                        outline
                            .section(x, low(x))
                            .into_iter()
                            .map(|p| Vec3::new(x, p.y, side * p.x))
                            .collect()
                    })
                    .collect()
            };
            self.paint.grid(&loft(&|x| outline.bottom(x)));
            // The sill's lower band between the arches, of plain dark plastic.
            let radius = outline.wheel + ARCH_M;
            let [front, rear] = outline.v.wheel_x_m.map(|x| x as f32);
            let band: Vec<Vec<Vec3>> = stations
                .iter()
                .filter(|&&x| x < front - radius && x > rear + radius)
                .map(|&x| {
                    [0.0, 0.03, 0.07]
                        .map(|up| {
                            let y = outline.floor + up;
                            Vec3::new(x, y, side * (outline.side(x, y) + 0.006))
                        })
                        .to_vec()
                })
                .collect();
            self.trim.grid(&band);
            for wheel_x in [front, rear] {
                self.wheel_well(outline, wheel_x, side);
            }
        }
    }

    /// The dark inside of a wheel arch.
    fn wheel_well(&mut self, outline: &Outline<'_>, wheel_x: f32, side: f32) {
        let radius = outline.wheel + ARCH_M;
        let mut rim = vec![Vec2::new(wheel_x + radius, outline.floor)];
        for k in 0..=20 {
            let a = PI * k as f32 / 20.0;
            let (x, y) = (wheel_x + radius * a.cos(), outline.wheel + radius * a.sin());
            rim.push(Vec2::new(x, y.min(outline.top(x) - SHOULDER_M - 0.05)));
        }
        rim.push(Vec2::new(wheel_x - radius, outline.floor));
        let inner = outline.half - WELL_M;
        let rows: Vec<Vec<Vec3>> = rim
            .iter()
            .map(|p| {
                let outer = outline.side(p.x, p.y) - 0.002;
                vec![
                    Vec3::new(p.x, p.y, side * outer),
                    Vec3::new(p.x, p.y, side * (outer - 0.025)),
                    Vec3::new(p.x, p.y, side * inner),
                ]
            })
            .collect();
        self.dark.grid(&rows);
        let hub = Vec3::new(wheel_x, outline.wheel, side * inner);
        for pair in rim.windows(2) {
            let at = |p: Vec2| Vec3::new(p.x, p.y, side * inner);
            self.dark.triangle([hub, at(pair[0]), at(pair[1])], [Vec2::ZERO; 3]);
        }
    }

    /// Bonnet and deck lid.
    pub fn lids(&mut self, outline: &Outline<'_>, zones: &[&Panel]) {
        for [front, rear] in
            [[outline.nose.x, outline.cowl.x], [outline.deck_front.x, outline.deck_rear.x]]
        {
            // Just inside, so that the height is the lid's and not the belt line's.
            let inside =
                |x: f32| x.clamp(rear + 5e-4 * f32::from(u8::from(rear == outline.cowl.x)), front);
            let xs = cuts(rear, front, 12, zones.iter().flat_map(|z| z.x.map(|x| x as f32)));
            let shares = share_cuts(outline.edge(0.5 * (front + rear)), zones);
            let place = |x: f32, share: f32| {
                let x = inside(x);
                let edge = outline.edge(x);
                let y = outline.top(x) - CROWN_M * share * share;
                Vec3::new(x, y, share * edge)
            };
            self.open_surface(&xs, &shares, place, zones);
            // A dark seam along either side of the lid.
            for side in [-1.0f32, 1.0] {
                let rows: Vec<Vec<Vec3>> = xs
                    .iter()
                    .map(|&x| [0.965, 0.98].map(|s| place(x, side * s) + Vec3::Y * 0.002).to_vec())
                    .collect();
                self.trim.grid(&rows);
            }
        }
    }

    /// A painted surface over x and a share of its half width, left open where a
    /// panel is a part of its own.
    fn open_surface(
        &mut self,
        xs: &[f32],
        shares: &[f32],
        place: impl Fn(f32, f32) -> Vec3,
        zones: &[&Panel],
    ) {
        let rows: Vec<Vec<Vec3>> =
            xs.iter().map(|&x| shares.iter().map(|&s| place(x, s)).collect()).collect();
        self.paint.grid_where(&rows, |r, c| {
            let middle = 0.25 * (rows[r][c] + rows[r + 1][c] + rows[r][c + 1] + rows[r + 1][c + 1]);
            !zones.iter().any(|z| {
                (z.x[1] as f32..=z.x[0] as f32).contains(&middle.x)
                    && middle.z.abs() < z.half_width_m as f32
            })
        });
    }

    /// The front or the rear: bumper, lamps, and at the front an air inlet.
    pub fn end(&mut self, outline: &Outline<'_>, front: bool) {
        let (x, way) = if front { (outline.nose.x, 1.0) } else { (outline.deck_rear.x, -1.0) };
        let section = outline.section(x, outline.floor);
        let height = outline.top(x) - outline.floor;
        let bulge = |y: f32| {
            let t = ((y - outline.floor) / height).clamp(0.0, 1.0);
            0.13 * (PI * t).sin().max(0.0).powf(0.7) * (1.0 - 0.35 * t)
        };
        let half_at = |y: f32| {
            let above = section.windows(2).find(|w| w[0].y <= y && y <= w[1].y);
            above.map_or(section[0].x, |w| {
                let t = if w[1].y > w[0].y { (y - w[0].y) / (w[1].y - w[0].y) } else { 0.0 };
                w[0].x + t * (w[1].x - w[0].x)
            })
        };
        // A place on the end's face: share across, height; `out` m in front of it.
        let face = |share: f32, y: f32, out: f32| {
            let depth = bulge(y) * (1.0 - share.abs().powf(2.6));
            Vec3::new(x + way * (depth + out), y, share * half_at(y))
        };
        let shares: Vec<f32> = (-12..=12).map(|i| i as f32 / 12.0).collect();
        let row =
            |y: f32, out: f32| -> Vec<Vec3> { shares.iter().map(|&s| face(s, y, out)).collect() };
        let at = |t: f32| outline.floor + t * height;
        let bumper_top = at(0.40);
        let painted: Vec<Vec<Vec3>> =
            section.iter().map(|p| row(p.y.max(bumper_top), 0.0)).collect();
        self.paint.grid(&painted);
        // The bumper stands out a little and is of plain plastic.
        let bumper: Vec<Vec<Vec3>> =
            [(0.0, 0.0), (0.03, 0.02), (0.2, 0.032), (0.37, 0.025), (0.40, 0.0)]
                .iter()
                .map(|&(t, out)| row(at(t), out))
                .collect();
        self.trim.grid(&bumper);

        let patch = |form: &mut Form, across: [f32; 2], up: [f32; 2], out: f32| {
            let rows: Vec<Vec<Vec3>> = (0..=4)
                .map(|i| {
                    let t = up[0] + (up[1] - up[0]) * i as f32 / 4.0;
                    (0..=8)
                        .map(|k| {
                            let s = across[0] + (across[1] - across[0]) * k as f32 / 8.0;
                            face(s, at(t), out)
                        })
                        .collect()
                })
                .collect();
            form.grid(&rows);
        };
        if front {
            patch(&mut self.dark, [-0.46, 0.46], [0.50, 0.70], 0.006);
            for t in [0.55, 0.60, 0.65] {
                patch(&mut self.trim, [-0.45, 0.45], [t - 0.008, t + 0.008], 0.012);
            }
            patch(&mut self.dark, [-0.5, 0.5], [0.10, 0.24], 0.036);
            for side in [-1.0, 1.0] {
                patch(&mut self.trim, [side * 0.52, side * 0.95], [0.50, 0.74], 0.005);
                patch(&mut self.lamp, [side * 0.54, side * 0.93], [0.53, 0.71], 0.010);
            }
        } else {
            patch(&mut self.dark, [-0.24, 0.24], [0.48, 0.64], 0.005);
            for side in [-1.0, 1.0] {
                patch(&mut self.tail_lamp, [side * 0.60, side * 0.96], [0.52, 0.78], 0.008);
                patch(&mut self.lamp, [side * 0.60, side * 0.76], [0.56, 0.64], 0.012);
            }
        }
    }

    pub fn roof(&mut self, outline: &Outline<'_>, zones: &[&Panel]) {
        let xs = cuts(
            outline.roof_rear.x,
            outline.header.x,
            14,
            zones.iter().flat_map(|z| z.x.map(|x| x as f32)),
        );
        let flat = outline.roof_half - SHOULDER_M;
        let shares = share_cuts(flat, zones);
        // Falls a little towards both screens.
        let dip = |x: f32| {
            let near = (outline.header.x - x).min(x - outline.roof_rear.x);
            0.014 * (1.0 - near / 0.18).clamp(0.0, 1.0).powi(2)
        };
        let place =
            |x: f32, s: f32| Vec3::new(x, outline.roof_y(x) - CROWN_M * s * s - dip(x), s * flat);
        self.open_surface(&xs, &shares, place, zones);
        for side in [-1.0f32, 1.0] {
            let rows: Vec<Vec<Vec3>> = xs
                .iter()
                .map(|&x| {
                    let edge = place(x, side);
                    (0..=8)
                        .map(|i| {
                            let a = 1.25 * FRAC_PI_2 * i as f32 / 8.0;
                            edge + Vec3::new(
                                0.0,
                                -SHOULDER_M * (1.0 - a.cos()),
                                side * SHOULDER_M * a.sin(),
                            )
                        })
                        .collect()
                })
                .collect();
            self.paint.grid(&rows);
            let rail = |p: Vec2| Vec3::new(p.x, p.y - 0.055, side * (outline.roof_half - 0.045));
            self.paint.capsule(rail(outline.header), rail(outline.roof_rear), 0.032, 0.032);
        }
        for p in [outline.header, outline.roof_rear] {
            let at = |side: f32| Vec3::new(p.x, p.y - 0.05, side * (outline.roof_half - 0.045));
            self.paint.capsule(at(-1.0), at(1.0), 0.032, 0.032);
        }
        let lining: Vec<Vec<Vec3>> = xs
            .iter()
            .map(|&x| [-1.0, -0.5, 0.0, 0.5, 1.0].map(|s| place(x, s) - Vec3::Y * 0.05).to_vec())
            .collect();
        self.cloth.grid(&lining);
    }
}

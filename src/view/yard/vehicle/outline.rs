//! The outline of the vehicle, which its mesh is lofted along.

use crate::scene::{Panel, Vehicle};
use bevy::prelude::*;
use std::f32::consts::{FRAC_PI_2, PI};

/// Radius of the body's shoulder and of the roof's edge, m.
pub const SHOULDER_M: f32 = 0.06;
/// How far the middle of bonnet, deck and roof stands above their edges, m.
pub const CROWN_M: f32 = 0.012;
/// Free space between tyre and wheel arch, m.
pub const ARCH_M: f32 = 0.065;
/// How deep a wheel stands in its arch, m.
pub const WELL_M: f32 = 0.31;

/// The vehicle's measures as the mesh needs them.
pub struct Outline<'a> {
    pub v: &'a Vehicle,
    pub nose: Vec2,
    pub cowl: Vec2,
    pub header: Vec2,
    pub roof_rear: Vec2,
    pub deck_front: Vec2,
    pub deck_rear: Vec2,
    pub floor: f32,
    pub half: f32,
    pub roof_half: f32,
    /// Shares of the half width at the belt line and at the floor.
    pub belt_share: f32,
    pub sill_share: f32,
    pub wheel: f32,
    /// Middle of the tyres across, m.
    pub wheel_z: f32,
}

impl<'a> Outline<'a> {
    pub fn new(v: &'a Vehicle) -> Self {
        let at = |p: [f64; 2]| Vec2::new(p[0] as f32, p[1] as f32);
        let p = &v.profile;
        // Sides that are given as upright are drawn a little full all the same.
        let drawn_in = |half: f64, least: f32| {
            let share = (half / v.half_width.body) as f32;
            if v.half_width.upright() { 1.0 - least } else { share }
        };
        Self {
            v,
            nose: at(p.nose),
            cowl: at(p.cowl),
            header: at(p.header),
            roof_rear: at(p.roof_rear),
            deck_front: at(p.deck_front),
            deck_rear: at(p.deck_rear),
            floor: p.floor_y as f32,
            half: v.half_width.body as f32,
            roof_half: v.half_width.roof as f32,
            belt_share: drawn_in(v.half_width.belt, 0.035),
            sill_share: drawn_in(v.half_width.sill, 0.045),
            wheel: v.wheel_radius_m as f32,
            wheel_z: (v.track_m / 2.0) as f32,
        }
    }

    /// Half width of the body at x: narrower towards both ends.
    pub fn half_at(&self, x: f32) -> f32 {
        let front = ((x - (self.nose.x - 0.6)) / 0.6).clamp(0.0, 1.0);
        let rear = ((self.deck_rear.x + 0.5 - x) / 0.5).clamp(0.0, 1.0);
        self.half * (1.0 - 0.13 * front.powf(2.4) - 0.09 * rear.powf(2.4))
    }

    pub fn belt(&self, x: f32) -> f32 {
        self.v.profile.belt_y(f64::from(x)) as f32
    }

    /// Upper edge of the lower body: bonnet, belt line or deck.
    pub fn top(&self, x: f32) -> f32 {
        if x < self.cowl.x && x > self.deck_front.x {
            self.belt(x)
        } else {
            self.v.profile.upper_y(f64::from(x)) as f32
        }
    }

    pub fn in_cabin(&self, x: f32) -> bool {
        x < self.cowl.x && x > self.deck_front.x
    }

    pub fn roof_y(&self, x: f32) -> f32 {
        let t = (x - self.roof_rear.x) / (self.header.x - self.roof_rear.x);
        self.roof_rear.y + t * (self.header.y - self.roof_rear.y)
    }

    /// Lower edge of the body's side at x: the sill, or a wheel arch.
    pub fn bottom(&self, x: f32) -> f32 {
        let radius = self.wheel + ARCH_M;
        let arch = self.v.wheel_x_m.iter().filter_map(|&wheel_x| {
            let dx = x - wheel_x as f32;
            (dx.abs() < radius).then(|| self.wheel + (radius * radius - dx * dx).sqrt())
        });
        // An arch never cuts through the shoulder.
        let limit = self.top(x) - SHOULDER_M - 0.05;
        arch.fold(self.floor, f32::max).min(limit)
    }

    /// Half width of the side at a place: fullest above the middle of its height.
    pub fn side(&self, x: f32, y: f32) -> f32 {
        let t = (y - self.floor) / (self.top(x) - self.floor).max(0.1);
        let lean = if t < 0.55 {
            (1.0 - self.sill_share) * ((0.55 - t) / 0.55).powi(2)
        } else {
            (1.0 - self.belt_share) * ((t - 0.55) / 0.45).powi(2)
        };
        self.half_at(x) * (1.0 - lean)
    }

    /// One side's section from the sill over the shoulder inwards: (half width, height).
    pub fn section(&self, x: f32, bottom: f32) -> Vec<Vec2> {
        const SIDE: usize = 9;
        const ROUND: usize = 5;
        let edge_top = self.top(x) - CROWN_M;
        let shoulder = edge_top - SHOULDER_M;
        let mut points: Vec<Vec2> = (0..=SIDE)
            .map(|i| {
                let y = bottom + (shoulder - bottom) * i as f32 / SIDE as f32;
                Vec2::new(self.side(x, y), y)
            })
            .collect();
        let z = self.side(x, shoulder);
        for i in 1..=ROUND {
            let a = FRAC_PI_2 * i as f32 / ROUND as f32;
            points
                .push(Vec2::new(z - SHOULDER_M * (1.0 - a.cos()), shoulder + SHOULDER_M * a.sin()));
        }
        points.push(Vec2::new(z - SHOULDER_M - 0.03, edge_top));
        points
    }

    /// Half width at which bonnet and deck begin.
    pub fn edge(&self, x: f32) -> f32 {
        self.side(x, self.top(x) - CROWN_M - SHOULDER_M) - SHOULDER_M - 0.03
    }

    /// Places along the body where its section is taken, from nose to tail.
    pub fn stations(&self) -> Vec<f32> {
        let mut xs: Vec<f32> = (1..36)
            .map(|i| self.deck_rear.x + (self.nose.x - self.deck_rear.x) * i as f32 / 36.0)
            .collect();
        xs.extend([self.nose.x, self.deck_rear.x]);
        for &wheel_x in &self.v.wheel_x_m {
            let radius = self.wheel + ARCH_M;
            for k in 0..=24 {
                let dx = -radius * (PI * k as f32 / 24.0).cos();
                xs.push(wheel_x as f32 + dx * 0.9995);
            }
            xs.extend([wheel_x as f32 - radius * 1.0005, wheel_x as f32 + radius * 1.0005]);
        }
        for x in [self.cowl.x, self.deck_front.x] {
            xs.extend([x - 1e-3, x + 1e-3]);
        }
        xs.retain(|x| *x <= self.nose.x && *x >= self.deck_rear.x);
        xs.sort_by(|a, b| b.total_cmp(a));
        xs.dedup_by(|a, b| (*a - *b).abs() < 5e-5);
        xs
    }
}

/// Evenly spread places from `low` to `high` with some more that must be among them.
pub fn cuts(low: f32, high: f32, steps: usize, more: impl Iterator<Item = f32>) -> Vec<f32> {
    let mut all: Vec<f32> =
        (0..=steps).map(|i| low + (high - low) * i as f32 / steps as f32).collect();
    all.extend(more.filter(|x| *x > low + 1e-3 && *x < high - 1e-3));
    all.sort_by(|a, b| b.total_cmp(a));
    all.dedup_by(|a, b| (*a - *b).abs() < 1e-4);
    all
}

/// Shares of a half width, with the edges of the panels among them.
pub fn share_cuts(half: f32, zones: &[&Panel]) -> Vec<f32> {
    let edges = zones.iter().flat_map(|z| [-1.0, 1.0].map(|s| s * z.half_width_m as f32 / half));
    cuts(-1.0, 1.0, 12, edges)
}

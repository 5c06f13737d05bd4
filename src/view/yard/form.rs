//! Turns points into meshes: flat faces, smooth grids, turned profiles, tubes and
//! hulls. Every face's normal follows from its winding.
//! Also what a surface that is seen from both sides is drawn with.

use bevy::asset::RenderAssetUsages;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;

/// What a surface of this colour and roughness is drawn with that is seen from both sides.
pub fn two_sided(base_color: Color, perceptual_roughness: f32) -> StandardMaterial {
    StandardMaterial {
        base_color,
        perceptual_roughness,
        double_sided: true,
        cull_mode: None,
        ..default()
    }
}

/// A mesh being built.
#[derive(Default)]
pub struct Form {
    positions: Vec<[f32; 3]>,
    normals: Vec<[f32; 3]>,
    uvs: Vec<[f32; 2]>,
    colors: Vec<[f32; 4]>,
    indices: Vec<u32>,
}

impl Form {
    fn vertex(&mut self, p: Vec3, n: Vec3, uv: Vec2) -> u32 {
        self.positions.push(p.to_array());
        self.normals.push(n.to_array());
        self.uvs.push(uv.to_array());
        (self.positions.len() - 1) as u32
    }

    /// A flat triangle, with texture places.
    pub fn triangle(&mut self, corners: [Vec3; 3], uvs: [Vec2; 3]) {
        let normal = (corners[1] - corners[0]).cross(corners[2] - corners[0]);
        // Slivers have no normal and show nothing.
        let Some(normal) = normal.try_normalize() else { return };
        let ids = [0, 1, 2].map(|i| self.vertex(corners[i], normal, uvs[i]));
        self.indices.extend(ids);
    }

    /// A flat face of four corners in turn.
    pub fn quad(&mut self, [a, b, c, d]: [Vec3; 4]) {
        self.quad_with([a, b, c, d], [Vec2::ZERO, Vec2::X, Vec2::ONE, Vec2::Y]);
    }

    pub fn quad_with(&mut self, [a, b, c, d]: [Vec3; 4], [ua, ub, uc, ud]: [Vec2; 4]) {
        self.triangle([a, b, c], [ua, ub, uc]);
        self.triangle([a, c, d], [ua, uc, ud]);
    }

    /// A smooth surface over rows of points of equal length. Cells for which
    /// `keep(row, column)` is false stay open.
    pub fn grid_where(&mut self, rows: &[Vec<Vec3>], keep: impl Fn(usize, usize) -> bool) {
        let Some(width) = rows.first().map(Vec::len) else { return };
        let base = self.positions.len() as u32;
        let id = |r: usize, c: usize| base + (r * width + c) as u32;
        let mut sums = vec![Vec3::ZERO; rows.len() * width];
        let mut faces = Vec::new();
        for r in 0..rows.len().saturating_sub(1) {
            for c in 0..width.saturating_sub(1) {
                let (p, q) = (rows[r][c], rows[r][c + 1]);
                let (s, t) = (rows[r + 1][c], rows[r + 1][c + 1]);
                // Weighted by area, so that a narrow cell does not bend its neighbours.
                let normal = (q - p).cross(s - p) + (t - q).cross(s - q);
                for (i, j) in [(r, c), (r, c + 1), (r + 1, c), (r + 1, c + 1)] {
                    sums[i * width + j] += normal;
                }
                if keep(r, c) {
                    faces.extend([id(r, c), id(r, c + 1), id(r + 1, c)]);
                    faces.extend([id(r, c + 1), id(r + 1, c + 1), id(r + 1, c)]);
                }
            }
        }
        for (r, row) in rows.iter().enumerate() {
            for (c, &p) in row.iter().enumerate() {
                let normal = sums[r * width + c].try_normalize().unwrap_or(Vec3::Y);
                self.vertex(p, normal, Vec2::new(c as f32, r as f32));
            }
        }
        self.indices.extend(faces);
    }

    pub fn grid(&mut self, rows: &[Vec<Vec3>]) {
        self.grid_where(rows, |_, _| true);
    }

    /// A box by its middle and half sizes.
    pub fn cuboid(&mut self, middle: Vec3, half: Vec3) {
        self.turned_cuboid(middle, half, Quat::IDENTITY);
    }

    pub fn turned_cuboid(&mut self, middle: Vec3, half: Vec3, turn: Quat) {
        for axis in 0..3 {
            for sign in [-1.0, 1.0] {
                let (b, c) = ((axis + 1) % 3, (axis + 2) % 3);
                let corner = |u: f32, v: f32| {
                    let mut p = Vec3::ZERO;
                    p[axis] = sign * half[axis];
                    p[b] = u * half[b];
                    p[c] = sign * v * half[c];
                    middle + turn * p
                };
                self.quad([
                    corner(-1.0, -1.0),
                    corner(1.0, -1.0),
                    corner(1.0, 1.0),
                    corner(-1.0, 1.0),
                ]);
            }
        }
    }

    /// A box whose upright edges and top are rounded: a cushion.
    pub fn cushion(&mut self, middle: Vec3, half: Vec3, turn: Quat) {
        const STEPS: usize = 20;
        let around = |k: usize, of: usize| std::f32::consts::TAU * k as f32 / of as f32;
        // A superellipsoid of power 1/2: between a box and a ball.
        let soft = |v: f32| v.signum() * v.abs().powf(0.45);
        let rows: Vec<Vec<Vec3>> = (0..=STEPS / 2)
            .map(|i| {
                let up = std::f32::consts::PI * (i as f32 / (STEPS / 2) as f32 - 0.5);
                (0..=STEPS)
                    .map(|k| {
                        let a = around(k, STEPS);
                        let unit = Vec3::new(
                            soft(up.cos()) * soft(a.cos()),
                            soft(up.sin()),
                            soft(up.cos()) * soft(a.sin()),
                        );
                        middle + turn * (unit * half)
                    })
                    .collect()
            })
            .collect();
        self.grid(&rows);
    }

    /// Turns a profile of (distance from the axis, height along it) about the axis.
    pub fn lathe(&mut self, foot: Vec3, axis: Vec3, profile: &[[f32; 2]], sides: usize) {
        let axis = axis.normalize_or(Vec3::Y);
        let u = axis.any_orthonormal_vector();
        let v = axis.cross(u);
        let rows: Vec<Vec<Vec3>> = profile
            .iter()
            .map(|&[radius, along]| {
                (0..=sides)
                    .map(|k| {
                        let a = std::f32::consts::TAU * k as f32 / sides as f32;
                        foot + axis * along + (u * a.cos() + v * a.sin()) * radius
                    })
                    .collect()
            })
            .collect();
        // Rows in pairs, so that the profile's corners stay sharp where it doubles a point.
        let mut start = 0;
        for i in 1..=profile.len() {
            if i == profile.len() || profile[i] == profile[i - 1] {
                self.grid(&rows[start..i]);
                start = i;
            }
        }
    }

    /// A round bar between two points with closed ends.
    pub fn bar(&mut self, a: Vec3, b: Vec3, radius: f32, sides: usize) {
        let length = a.distance(b);
        let profile = [
            [0.0, 0.0],
            [radius, 0.0],
            [radius, 0.0],
            [radius, length],
            [radius, length],
            [0.0, length],
        ];
        self.lathe(a, b - a, &profile, sides);
    }

    /// A round bar with half balls as ends.
    pub fn capsule(&mut self, a: Vec3, b: Vec3, radius_a: f32, radius_b: f32) {
        let length = a.distance(b);
        let half_pi = std::f32::consts::FRAC_PI_2;
        let mut profile: Vec<[f32; 2]> = Vec::new();
        for k in 0..=6 {
            let t = half_pi * k as f32 / 6.0;
            profile.push([radius_a * t.sin(), -radius_a * t.cos()]);
        }
        for k in 0..=6 {
            let t = half_pi * k as f32 / 6.0;
            profile.push([radius_b * t.cos(), length + radius_b * t.sin()]);
        }
        self.lathe(a, b - a, &profile, 16);
    }

    /// A tube along a path.
    pub fn tube(&mut self, path: &[Vec3], radius: f32, sides: usize) {
        let rows: Vec<Vec<Vec3>> = (0..path.len())
            .map(|i| {
                let ahead = path[(i + 1).min(path.len() - 1)] - path[i.saturating_sub(1)];
                let along = ahead.try_normalize().unwrap_or(Vec3::X);
                // One side vector for the whole path keeps it from twisting.
                let side = along.cross(Vec3::Y).try_normalize().unwrap_or(Vec3::Z);
                let up = side.cross(along);
                (0..=sides)
                    .map(|k| {
                        let a = std::f32::consts::TAU * k as f32 / sides as f32;
                        path[i] + (side * a.cos() + up * a.sin()) * radius
                    })
                    .collect()
            })
            .collect();
        self.grid(&rows);
    }

    /// The flat faces of the hull of a few points, as triangles. Coplanar points
    /// give overlapping triangles of one plane, which look like one face.
    pub fn hull_faces(points: &[Vec3]) -> Vec<[Vec3; 3]> {
        let middle = points.iter().sum::<Vec3>() / points.len().max(1) as f32;
        let size = points.iter().map(|p| p.distance(middle)).fold(0.0, f32::max);
        let mut faces = Vec::new();
        for i in 0..points.len() {
            for j in i + 1..points.len() {
                for k in j + 1..points.len() {
                    let (a, b, c) = (points[i], points[j], points[k]);
                    let Some(normal) = (b - a).cross(c - a).try_normalize() else { continue };
                    let off = |p: &Vec3| normal.dot(*p - a);
                    let above = points.iter().any(|p| off(p) > 1e-4 * size);
                    let below = points.iter().any(|p| off(p) < -1e-4 * size);
                    match (above, below) {
                        (false, _) => faces.push([a, b, c]),
                        (true, false) => faces.push([a, c, b]),
                        _ => {}
                    }
                }
            }
        }
        faces
    }

    /// Gives every vertex since the last call this colour (linear).
    pub fn paint(&mut self, color: LinearRgba) {
        self.colors.resize(self.positions.len(), color.to_f32_array());
    }

    /// Gives every vertex since the last call a colour by its place (linear).
    pub fn paint_by(&mut self, color: impl Fn(Vec3) -> LinearRgba) {
        for &p in &self.positions[self.colors.len()..] {
            self.colors.push(color(Vec3::from_array(p)).to_f32_array());
        }
    }

    pub fn is_empty(&self) -> bool {
        self.indices.is_empty()
    }

    pub fn build(mut self) -> Mesh {
        let painted = !self.colors.is_empty();
        if painted {
            self.paint(LinearRgba::WHITE);
        }
        let mesh = Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::default())
            .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, self.positions)
            .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, self.normals)
            .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, self.uvs)
            .with_inserted_indices(Indices::U32(self.indices));
        if painted {
            mesh.with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, self.colors)
        } else {
            mesh
        }
    }
}

//! Turns timbers, boards, wedges and chocks into meshes with grain along their
//! length and rings on their ends.

use super::form::Form;
use super::shown::{Brought, Drawing, Drawn, Follows, half_size, refurnished, vec3};
use super::texture::{self, END_SHARE, SIDE_SHARE, WOOD_END_M, WOOD_LENGTH_M, WOOD_WIDTH_M};
use crate::snapshot::{Part, PartKind, Shape};
use bevy::prelude::*;

/// How far an edge is taken off, m: sawn timber is never sharp, and it catches light.
const CHAMFER_M: f32 = 0.004;

/// One picture in several tones, so that a crib does not look stamped.
#[derive(Resource)]
struct Woods {
    timber: Vec<Handle<StandardMaterial>>,
    board: Handle<StandardMaterial>,
    wedge: Handle<StandardMaterial>,
    chock: Handle<StandardMaterial>,
}

/// How many of the parts have a mesh.
#[derive(Resource, Default)]
struct Built<const YARD: usize>(usize);

pub fn mix(app: &mut App) {
    app.add_systems(Startup, mix_woods);
}

pub fn plugin<const YARD: usize>(app: &mut App) {
    app.init_resource::<Built<YARD>>().add_systems(
        Update,
        ((|mut built: ResMut<Built<YARD>>| built.0 = 0).run_if(refurnished::<YARD>), build::<YARD>)
            .chain()
            .in_set(Drawing::Build),
    );
}

fn mix_woods(
    mut commands: Commands,
    mut images: ResMut<Assets<Image>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let picture = images.add(texture::wood());
    let mut tone = |r, g, b| {
        materials.add(StandardMaterial {
            base_color: Color::srgb(r, g, b),
            base_color_texture: Some(picture.clone()),
            perceptual_roughness: 0.85,
            reflectance: 0.25,
            ..default()
        })
    };
    commands.insert_resource(Woods {
        timber: vec![
            tone(1.0, 1.0, 1.0),
            tone(0.95, 0.93, 0.90),
            tone(0.90, 0.87, 0.82),
            tone(1.0, 0.96, 0.88),
        ],
        board: tone(1.0, 1.0, 0.96),
        wedge: tone(0.98, 0.88, 0.74),
        chock: tone(0.82, 0.76, 0.70),
    });
}

fn build<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    brought: Res<Brought<YARD>>,
    woods: Res<Woods>,
    mut built: ResMut<Built<YARD>>,
    mut meshes: ResMut<Assets<Mesh>>,
) {
    for id in built.0..shown.parts.len() {
        let part = &shown.parts[id];
        let material = match part.kind {
            PartKind::StackTimber { .. }
            | PartKind::VoidFill(_)
            | PartKind::CaptureTimber { .. }
            | PartKind::Beam => &woods.timber[(id * 7 + id / 3) % woods.timber.len()],
            PartKind::Pad { .. } | PartKind::BagPad(_) | PartKind::Sole(_) => &woods.board,
            PartKind::CaptureWedge(_)
            | PartKind::Wedge(_)
            | PartKind::StepPacker(_)
            | PartKind::Shim => &woods.wedge,
            PartKind::Chock(_) | PartKind::StepChock(_) => &woods.chock,
            PartKind::Vehicle
            | PartKind::Panel(_)
            | PartKind::Wheel(_)
            | PartKind::BagFace { .. }
            | PartKind::Strut(_)
            | PartKind::StrutFoot(_)
            | PartKind::Limb(_) => continue,
        };
        commands.spawn((
            Mesh3d(meshes.add(piece(part, id).build())),
            MeshMaterial3d(material.clone()),
            Transform::default(),
            Visibility::Hidden,
            Follows::<YARD>(id),
            ChildOf(brought.0),
        ));
    }
    built.0 = shown.parts.len();
}

/// A piece of wood; `seed` picks the stretch of the picture it was sawn from.
fn piece(part: &Part, seed: usize) -> Form {
    let mut form = Form::default();
    let half = half_size(&part.shape);
    let grain = Grain::along(half, seed);
    match &part.shape {
        Shape::Hull(points) => {
            let points: Vec<Vec3> = points.iter().map(|p| vec3(*p)).collect();
            for face in Form::hull_faces(&points) {
                let normal = (face[1] - face[0]).cross(face[2] - face[0]);
                let axis = main_axis(normal);
                form.triangle(face, face.map(|p| grain.place(p, axis)));
            }
        }
        _ => chamfered(&mut form, half, &grain),
    }
    form
}

fn main_axis(v: Vec3) -> usize {
    let a = v.abs();
    if a.x >= a.y && a.x >= a.z {
        0
    } else if a.y >= a.z {
        1
    } else {
        2
    }
}

/// Where a point of a piece lies on the wood picture.
struct Grain {
    axis: usize,
    half: Vec3,
    /// Shift along and across, as shares of what is free.
    shift: Vec2,
}

impl Grain {
    fn along(half: Vec3, seed: usize) -> Self {
        let part = |k: usize| ((seed * k) % 101) as f32 / 101.0;
        Self { axis: main_axis(half), half, shift: Vec2::new(part(37), part(61)) }
    }

    fn place(&self, p: Vec3, face: usize) -> Vec2 {
        let g = self.axis;
        if face == g {
            // Shrunk to stay inside the end grain's tile.
            let (b, c) = ((g + 1) % 3, (g + 2) % 3);
            let size = WOOD_END_M.max(2.0 * self.half[b]).max(2.0 * self.half[c]);
            let free_b = 1.0 - 2.0 * self.half[b] / size;
            let free_c = 1.0 - 2.0 * self.half[c] / size;
            let u = (p[b] + self.half[b]) / size + self.shift.x * free_b;
            let v = (p[c] + self.half[c]) / size + self.shift.y * free_c;
            let inset = |t: f32| 0.03 + 0.94 * t.clamp(0.0, 1.0);
            return Vec2::new(END_SHARE * inset(u), SIDE_SHARE + (1.0 - SIDE_SHARE) * inset(v));
        }
        let across = 3 - g - face;
        let length = WOOD_LENGTH_M.max(2.0 * self.half[g]);
        let width = WOOD_WIDTH_M.max(2.0 * self.half[across]);
        let free_u = 1.0 - 2.0 * self.half[g] / length;
        let free_v = 1.0 - 2.0 * self.half[across] / width;
        // Neighbouring faces show different stretches.
        let shift_v = (self.shift.y + 0.37 * face as f32).fract();
        let u = (p[g] + self.half[g]) / length + self.shift.x * free_u;
        let v = (p[across] + self.half[across]) / width + shift_v * free_v;
        Vec2::new(u, SIDE_SHARE * (0.01 + 0.97 * v.clamp(0.0, 1.0)))
    }
}

/// A box with its edges taken off.
fn chamfered(form: &mut Form, half: Vec3, grain: &Grain) {
    let cut = CHAMFER_M.min(0.25 * half.min_element());
    let inner = half - Vec3::splat(cut);
    for axis in 0..3 {
        let (b, c) = ((axis + 1) % 3, (axis + 2) % 3);
        for s in [-1.0f32, 1.0] {
            let at = |u: f32, v: f32| {
                let mut p = Vec3::ZERO;
                p[axis] = s * half[axis];
                p[b] = u * inner[b];
                p[c] = s * v * inner[c];
                p
            };
            let face = [at(-1.0, -1.0), at(1.0, -1.0), at(1.0, 1.0), at(-1.0, 1.0)];
            form.quad_with(face, face.map(|p| grain.place(p, axis)));
        }
        // The four edges along this axis.
        for s in [-1.0f32, 1.0] {
            for t in [-1.0f32, 1.0] {
                let at = |along: f32, on_b: bool| {
                    let mut p = Vec3::ZERO;
                    p[axis] = along * inner[axis];
                    p[b] = s * if on_b { half[b] } else { inner[b] };
                    p[c] = t * if on_b { inner[c] } else { half[c] };
                    p
                };
                let mut edge = [at(-1.0, true), at(1.0, true), at(1.0, false), at(-1.0, false)];
                if s * t > 0.0 {
                    edge.reverse();
                }
                let face = if grain.axis == b { c } else { b };
                form.quad_with(edge, edge.map(|p| grain.place(p, face)));
            }
        }
    }
    for k in 0..8 {
        let sign = |bit: u32| if k >> bit & 1 == 1 { 1.0 } else { -1.0 };
        let s = Vec3::new(sign(0), sign(1), sign(2));
        let at = |axis: usize| {
            let mut p = inner;
            p[axis] = half[axis];
            p * s
        };
        let mut corner = [at(0), at(1), at(2)];
        if s.x * s.y * s.z < 0.0 {
            corner.swap(1, 2);
        }
        let face = (grain.axis + 1) % 3;
        form.triangle(corner, corner.map(|p| grain.place(p, face)));
    }
}

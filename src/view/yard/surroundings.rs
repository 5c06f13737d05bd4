//! The training yard: matte ground with a measured field painted on it, a calm
//! sky, one sun with shadows.

use super::form::{Form, two_sided};
use super::shown::{Drawing, Drawn, Root, renewed, shift};
use super::texture::{self, GROUND_M};
use crate::units::UnitSystem;
use bevy::camera::Exposure;
use bevy::light::{
    CascadeShadowConfigBuilder, DirectionalLightShadowMap, GlobalAmbientLight, NotShadowCaster,
};
use bevy::prelude::*;

/// Half the edge of the ground, m. Haze hides its end.
const GROUND_HALF_M: f32 = 70.0;
/// The measured field reaches this far from its middle along X and Z, m.
const FIELD_M: [f32; 2] = [5.0, 4.0];
/// The field's paint lies this far above the ground, so that the two do not flicker.
const PAINT_M: f32 = 0.003;

pub const HORIZON: Color = Color::srgb(0.86, 0.90, 0.93);
const ZENITH: Color = Color::srgb(0.55, 0.70, 0.84);
const PAINT: Color = Color::srgb(0.93, 0.93, 0.88);

/// The daylight of every yard.
pub struct Light {
    pub sun: Color,
    /// Where it stands, seen from the yard.
    pub sun_from: Vec3,
    sun_lux: f32,
    pub sky: Color,
    sky_cd_m2: f32,
    /// Where haze begins, and where nothing else is seen, m.
    pub haze_m: [f32; 2],
}

pub const LIGHT: Light = Light {
    sun: Color::srgb(1.0, 0.965, 0.90),
    sun_from: Vec3::new(3.2, 6.0, 4.2),
    sun_lux: 6000.0,
    sky: Color::srgb(0.84, 0.91, 1.0),
    sky_cd_m2: 480.0,
    haze_m: [18.0, 62.0],
};

impl Light {
    /// How bright a white face is that the sun shines straight on.
    pub fn sun_share(&self) -> f32 {
        self.sun_lux / std::f32::consts::PI * Exposure::default().exposure()
    }

    /// How bright a white face is by the sky alone.
    pub fn sky_share(&self) -> f32 {
        self.sky_cd_m2 * Exposure::default().exposure()
    }
}

#[derive(Component)]
struct Meadow<const YARD: usize>;

/// The light of every yard.
pub fn light(app: &mut App) {
    app.insert_resource(ClearColor(HORIZON))
        .insert_resource(GlobalAmbientLight {
            color: LIGHT.sky,
            brightness: LIGHT.sky_cd_m2,
            ..default()
        })
        .insert_resource(DirectionalLightShadowMap { size: 2048 })
        .add_systems(Startup, light_up);
}

pub fn plugin<const YARD: usize>(app: &mut App) {
    app.add_systems(Startup, hang_sky::<YARD>).add_systems(
        Update,
        (lay_ground::<YARD>.run_if(renewed::<YARD>), paint_field::<YARD>)
            .chain()
            .in_set(Drawing::Build),
    );
}

/// The haze that a camera of the yard looks through.
pub fn haze() -> DistanceFog {
    DistanceFog {
        color: HORIZON,
        falloff: FogFalloff::Linear { start: LIGHT.haze_m[0], end: LIGHT.haze_m[1] },
        ..default()
    }
}

fn light_up(mut commands: Commands) {
    commands.spawn((
        DirectionalLight {
            color: LIGHT.sun,
            illuminance: LIGHT.sun_lux,
            shadow_maps_enabled: true,
            shadow_normal_bias: 0.9,
            ..default()
        },
        CascadeShadowConfigBuilder {
            num_cascades: 1,
            maximum_distance: 16.0,
            first_cascade_far_bound: 16.0,
            ..default()
        }
        .build(),
        Transform::from_translation(LIGHT.sun_from).looking_at(Vec3::ZERO, Vec3::Y),
    ));
}

/// A ball seen from inside, pale at the horizon.
fn hang_sky<const YARD: usize>(
    mut commands: Commands,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let rows: Vec<Vec<Vec3>> = (0..=16)
        .map(|i| {
            let up = (-0.15 + 1.15 * i as f32 / 16.0) * std::f32::consts::FRAC_PI_2;
            (0..=32)
                .map(|k| {
                    let a = std::f32::consts::TAU * k as f32 / 32.0;
                    Vec3::new(up.cos() * a.cos(), up.sin(), up.cos() * a.sin()) * 90.0
                })
                .collect()
        })
        .collect();
    let (low, high) = (HORIZON.to_linear(), ZENITH.to_linear());
    let mut sky = Form::default();
    sky.grid(&rows);
    sky.paint_by(|p| {
        let t = (p.y / 90.0).clamp(0.0, 1.0);
        low * (1.0 - t) + high * t
    });
    commands.spawn((
        Mesh3d(meshes.add(sky.build())),
        MeshMaterial3d(materials.add(StandardMaterial {
            unlit: true,
            fog_enabled: false,
            cull_mode: None,
            ..default()
        })),
        Transform::from_translation(shift(YARD)),
        NotShadowCaster,
    ));
}

fn lay_ground<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    root: Res<Root<YARD>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut images: ResMut<Assets<Image>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    let Some(scene) = &shown.scene else { return };
    let h = GROUND_HALF_M;
    let t = 2.0 * h / GROUND_M;
    let mut form = Form::default();
    form.quad_with(
        [
            Vec3::new(-h, 0.0, -h),
            Vec3::new(-h, 0.0, h),
            Vec3::new(h, 0.0, h),
            Vec3::new(h, 0.0, -h),
        ],
        [Vec2::ZERO, Vec2::new(0.0, t), Vec2::splat(t), Vec2::new(t, 0.0)],
    );
    let wet = scene.ground.wet;
    let shade = if wet { 0.62 } else { 1.0 };
    commands.spawn((
        Mesh3d(meshes.add(form.build())),
        MeshMaterial3d(materials.add(StandardMaterial {
            base_color: Color::linear_rgb(shade, shade, shade),
            base_color_texture: Some(images.add(texture::ground(scene.ground.surface))),
            perceptual_roughness: if wet { 0.45 } else { 0.95 },
            reflectance: if wet { 0.4 } else { 0.15 },
            ..default()
        })),
        NotShadowCaster,
        ChildOf(root.0),
    ));
}

/// Paints the measured field once more where the units or the scene have changed.
fn paint_field<const YARD: usize>(
    mut commands: Commands,
    shown: Res<Drawn<YARD>>,
    root: Res<Root<YARD>>,
    fields: Query<Entity, With<Meadow<YARD>>>,
    mut painted: Local<Option<(u64, UnitSystem)>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut materials: ResMut<Assets<StandardMaterial>>,
) {
    if shown.scene.is_none() || *painted == Some((shown.epoch, shown.units)) {
        return;
    }
    *painted = Some((shown.epoch, shown.units));
    for old in &fields {
        commands.entity(old).despawn();
    }
    // One metre, or two feet.
    let (step_m, per_step, unit) = match shown.units {
        UnitSystem::Si => (1.0, 1, "m"),
        UnitSystem::Us => (0.6096, 2, "ft"),
    };
    let count = FIELD_M.map(|reach| (reach / step_m).floor() as i32);
    let reach = count.map(|n| n as f32 * step_m);
    let (mut lines, mut figures) = (Form::default(), Form::default());
    let stroke = |form: &mut Form, a: Vec2, b: Vec2, width: f32| {
        let side = (b - a).perp().normalize_or_zero() * width / 2.0;
        let at = |p: Vec2| Vec3::new(p.x, PAINT_M, p.y);
        // Clockwise in x, z is upwards in the ground frame.
        form.quad([at(a - side), at(b - side), at(b + side), at(a + side)]);
    };
    for i in -count[0]..=count[0] {
        let x = i as f32 * step_m;
        stroke(&mut lines, Vec2::new(x, -reach[1]), Vec2::new(x, reach[1]), 0.014);
        // Each row is read across the yard: the near one is mostly out of sight.
        for (z, turn) in [(reach[1] + 0.22, -1.0), (-reach[1] - 0.22, 1.0)] {
            let mut text = (i * per_step).unsigned_abs().to_string();
            if i == 0 {
                text = format!("0 {unit}");
            }
            for (a, b) in glyph::strokes(&text, 0.22) {
                let place = |p: Vec2| Vec2::new(x, z) + p * turn;
                stroke(&mut figures, place(a), place(b), 0.035);
            }
        }
    }
    for i in -count[1]..=count[1] {
        let z = i as f32 * step_m;
        stroke(&mut lines, Vec2::new(-reach[0], z), Vec2::new(reach[0], z), 0.014);
    }
    for (form, alpha) in [(lines, 0.34), (figures, 0.8)] {
        commands.spawn((
            Mesh3d(meshes.add(form.build())),
            MeshMaterial3d(materials.add(StandardMaterial {
                alpha_mode: AlphaMode::Blend,
                reflectance: 0.1,
                ..two_sided(PAINT.with_alpha(alpha), 0.95)
            })),
            NotShadowCaster,
            Meadow::<YARD>,
            ChildOf(root.0),
        ));
    }
}

/// Figures as painted on a yard with a stencil: strokes in a box one high.
mod glyph {
    use bevy::prelude::Vec2;

    /// Strokes of a text of this height, m, centred on the origin: u to the right,
    /// v down, as the ground's X and Z.
    pub fn strokes(text: &str, height: f32) -> Vec<(Vec2, Vec2)> {
        let advance = 0.85;
        let width = (text.chars().count() as f32 - 1.0) * advance;
        let mut all = Vec::new();
        for (i, c) in text.chars().enumerate() {
            let shift = Vec2::new(i as f32 * advance - width / 2.0 - 0.3, -0.5);
            for line in outline(c) {
                for pair in line.windows(2) {
                    let place = |p: [f32; 2]| (Vec2::from_array(p) + shift) * height;
                    all.push((place(pair[0]), place(pair[1])));
                }
            }
        }
        all
    }

    fn outline(c: char) -> &'static [&'static [[f32; 2]]] {
        match c {
            '0' => &[&[
                [0.15, 0.0],
                [0.45, 0.0],
                [0.6, 0.2],
                [0.6, 0.8],
                [0.45, 1.0],
                [0.15, 1.0],
                [0.0, 0.8],
                [0.0, 0.2],
                [0.15, 0.0],
            ]],
            '1' => &[&[[0.1, 0.2], [0.35, 0.0], [0.35, 1.0]]],
            '2' => &[&[
                [0.0, 0.2],
                [0.15, 0.0],
                [0.45, 0.0],
                [0.6, 0.2],
                [0.6, 0.4],
                [0.0, 1.0],
                [0.6, 1.0],
            ]],
            '3' => &[&[
                [0.0, 0.0],
                [0.6, 0.0],
                [0.3, 0.4],
                [0.5, 0.45],
                [0.6, 0.65],
                [0.55, 0.9],
                [0.4, 1.0],
                [0.1, 1.0],
                [0.0, 0.85],
            ]],
            '4' => &[&[[0.45, 1.0], [0.45, 0.0], [0.0, 0.68], [0.6, 0.68]]],
            '5' => &[&[
                [0.55, 0.0],
                [0.05, 0.0],
                [0.0, 0.45],
                [0.35, 0.4],
                [0.55, 0.5],
                [0.6, 0.7],
                [0.55, 0.9],
                [0.4, 1.0],
                [0.1, 1.0],
                [0.0, 0.9],
            ]],
            '6' => &[&[
                [0.5, 0.0],
                [0.2, 0.15],
                [0.0, 0.55],
                [0.0, 0.8],
                [0.15, 1.0],
                [0.45, 1.0],
                [0.6, 0.8],
                [0.6, 0.65],
                [0.45, 0.48],
                [0.15, 0.48],
                [0.0, 0.65],
            ]],
            '7' => &[&[[0.0, 0.0], [0.6, 0.0], [0.2, 1.0]]],
            '8' => &[&[
                [0.3, 0.46],
                [0.08, 0.34],
                [0.08, 0.12],
                [0.22, 0.0],
                [0.38, 0.0],
                [0.52, 0.12],
                [0.52, 0.34],
                [0.3, 0.46],
                [0.0, 0.62],
                [0.0, 0.85],
                [0.15, 1.0],
                [0.45, 1.0],
                [0.6, 0.85],
                [0.6, 0.62],
                [0.3, 0.46],
            ]],
            '9' => &[&[
                [0.1, 1.0],
                [0.4, 0.85],
                [0.6, 0.45],
                [0.6, 0.2],
                [0.45, 0.0],
                [0.15, 0.0],
                [0.0, 0.2],
                [0.0, 0.35],
                [0.15, 0.52],
                [0.45, 0.52],
                [0.6, 0.35],
            ]],
            'm' => &[
                &[[0.0, 1.0], [0.0, 0.4]],
                &[[0.0, 0.5], [0.2, 0.4], [0.3, 0.5], [0.3, 1.0]],
                &[[0.3, 0.5], [0.5, 0.4], [0.6, 0.5], [0.6, 1.0]],
            ],
            'f' => &[
                &[[0.55, 0.05], [0.35, 0.0], [0.25, 0.2], [0.25, 1.0]],
                &[[0.05, 0.4], [0.5, 0.4]],
            ],
            't' => &[
                &[[0.25, 0.1], [0.25, 0.85], [0.4, 1.0], [0.55, 0.95]],
                &[[0.05, 0.4], [0.5, 0.4]],
            ],
            _ => &[],
        }
    }
}

//! Plain graphics, for a machine that draws without a graphics card: no shadows, no
//! smooth edges, and matte faces, whose light is worked out in a few lines. A processor
//! that draws by itself takes ten times as long over the usual materials, lit or not.

use super::{shown, surroundings};
use bevy::asset::uuid_handle;
use bevy::mesh::MeshVertexBufferLayoutRef;
use bevy::pbr::{MaterialPipeline, MaterialPipelineKey};
use bevy::prelude::*;
use bevy::render::render_resource::{
    AsBindGroup, Face, RenderPipelineDescriptor, ShaderType, SpecializedMeshPipelineError,
};
use bevy::shader::{Shader, ShaderRef};
use std::collections::HashMap;

const SHADER: Handle<Shader> = uuid_handle!("5a1f0d52-6f0e-4c5b-9d5c-0d1b6b9c7e21");

/// How much of the graphics is left away.
#[derive(Resource, Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlainGraphics {
    /// They are plain.
    pub on: bool,
    /// Where they are not, there are shadows.
    pub shadows: bool,
}

impl Default for PlainGraphics {
    fn default() -> Self {
        Self { on: false, shadows: true }
    }
}

/// A face as plain graphics draw it.
#[derive(Asset, TypePath, AsBindGroup, Clone)]
#[bind_group_data(Kind)]
struct Matte {
    #[uniform(0)]
    look: Paint,
    #[texture(1)]
    #[sampler(2)]
    picture: Option<Handle<Image>>,
    alpha: AlphaMode,
    two_sided: bool,
}

/// As `plain.wgsl` has it.
#[derive(ShaderType, Clone)]
struct Paint {
    color: Vec4,
    lit: f32,
    hazed: f32,
    haze_from_m: f32,
    haze_to_m: f32,
    haze: Vec4,
    to_sun: Vec4,
    sun: Vec4,
    sky: Vec4,
}

/// What the drawing of a face is made ready for.
#[repr(C)]
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Kind {
    picture: bool,
    two_sided: bool,
}

impl From<&Matte> for Kind {
    fn from(matte: &Matte) -> Self {
        Self { picture: matte.picture.is_some(), two_sided: matte.two_sided }
    }
}

impl Material for Matte {
    fn fragment_shader() -> ShaderRef {
        SHADER.into()
    }

    fn alpha_mode(&self) -> AlphaMode {
        self.alpha
    }

    fn enable_prepass() -> bool {
        false
    }

    fn enable_shadows() -> bool {
        false
    }

    fn specialize(
        _: &MaterialPipeline,
        descriptor: &mut RenderPipelineDescriptor,
        _: &MeshVertexBufferLayoutRef,
        key: MaterialPipelineKey<Self>,
    ) -> Result<(), SpecializedMeshPipelineError> {
        descriptor.primitive.cull_mode = (!key.bind_group_data.two_sided).then_some(Face::Back);
        if let Some(fragment) = descriptor.fragment.as_mut()
            && key.bind_group_data.picture
        {
            fragment.shader_defs.push("PICTURE".into());
        }
        Ok(())
    }
}

impl Matte {
    fn new(usual: &StandardMaterial) -> Self {
        let light = surroundings::LIGHT;
        let vec = |c: Color| c.to_linear().to_vec4();
        let yes = |is: bool| f32::from(u8::from(is));
        Self {
            look: Paint {
                color: vec(usual.base_color),
                lit: yes(!usual.unlit),
                hazed: yes(usual.fog_enabled),
                haze_from_m: light.haze_m[0],
                haze_to_m: light.haze_m[1],
                haze: vec(surroundings::HORIZON),
                to_sun: light.sun_from.normalize().extend(0.0),
                sun: vec(light.sun) * light.sun_share(),
                sky: vec(light.sky) * light.sky_share(),
            },
            picture: usual.base_color_texture.clone(),
            alpha: usual.alpha_mode,
            two_sided: usual.cull_mode.is_none(),
        }
    }
}

/// The material of a thing where graphics are not plain.
#[derive(Component)]
struct Usual(Handle<StandardMaterial>);

pub fn plugin(app: &mut App) {
    let shader = Shader::from_wgsl(include_str!("plain.wgsl"), "plain.wgsl");
    // It is there from the start, so a fixed handle can be filled.
    let _ = app.world_mut().resource_mut::<Assets<Shader>>().insert(SHADER.id(), shader);
    app.init_resource::<PlainGraphics>()
        .add_plugins(MaterialPlugin::<Matte>::default())
        .add_systems(Update, (light_plainly, paint).after(shown::Drawing::Build));
}

fn light_plainly(
    on: Res<PlainGraphics>,
    mut usual: Local<Option<Msaa>>,
    mut suns: Query<&mut DirectionalLight>,
    mut cameras: Query<&mut Msaa, With<Camera3d>>,
) {
    let PlainGraphics { on: plain, shadows } = *on;
    for mut camera in &mut cameras {
        let usual = *usual.get_or_insert(*camera);
        camera.set_if_neq(if plain { Msaa::Off } else { usual });
    }
    let shadows = shadows && !plain;
    for mut sun in suns.iter_mut().filter(|sun| sun.shadow_maps_enabled != shadows) {
        sun.shadow_maps_enabled = shadows;
    }
}

/// Gives everything the matte material in place of its usual one, or the usual one back.
fn paint(
    mut commands: Commands,
    on: Res<PlainGraphics>,
    mut mattes: Local<HashMap<AssetId<StandardMaterial>, Handle<Matte>>>,
    usual: Query<(Entity, &MeshMaterial3d<StandardMaterial>)>,
    matte: Query<(Entity, &Usual)>,
    materials: Res<Assets<StandardMaterial>>,
    mut assets: ResMut<Assets<Matte>>,
) {
    if !on.on {
        for (thing, Usual(handle)) in &matte {
            commands
                .entity(thing)
                .remove::<(Usual, MeshMaterial3d<Matte>)>()
                .insert(MeshMaterial3d(handle.clone()));
        }
        mattes.clear();
        return;
    }
    for (thing, MeshMaterial3d(handle)) in &usual {
        let Some(material) = materials.get(handle) else { continue };
        let matte =
            mattes.entry(handle.id()).or_insert_with(|| assets.add(Matte::new(material))).clone();
        commands
            .entity(thing)
            .remove::<MeshMaterial3d<StandardMaterial>>()
            .insert((MeshMaterial3d(matte), Usual(handle.clone())));
    }
    mattes.retain(|id, _| materials.contains(*id));
}

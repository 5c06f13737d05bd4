//! The cameras of the window, and the pictures that they draw into. Each yard is drawn as finely
//! as the machine can, and its picture is shown by the panels' own pass in the yard's part of the
//! window.

use super::detail::Detail;
use super::state::{CurrentSession, WindowInput};
use crate::class::MOST_BESIDE;
use crate::session::View;
use crate::view::yard::camera::{self, BesideCamera, CameraPose, Orbit, YardCamera, lens};
use crate::view::yard::shown::{Drawn, HERE};
use bevy::asset::RenderAssetUsages;
use bevy::camera::RenderTarget;
use bevy::camera::visibility::RenderLayers;
use bevy::light::{DirectionalLightShadowMap, ShadowFilteringMethod};
use bevy::prelude::*;
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat, TextureUsages};
use bevy::render::renderer::RenderAdapterInfo;
use bevy::window::PrimaryWindow;
use bevy_egui::{EguiTextureHandle, EguiUserTextures, PrimaryEguiContext, egui};

/// What the panels call the picture that a yard's camera draws into.
#[derive(Component)]
pub struct Picture(pub egui::TextureId);

pub fn set_cameras(
    mut commands: Commands,
    mut session: ResMut<CurrentSession>,
    shown: Res<Drawn<HERE>>,
    adapter: Option<Res<RenderAdapterInfo>>,
    mut shadows: ResMut<DirectionalLightShadowMap>,
    mut images: ResMut<Assets<Image>>,
    mut textures: ResMut<EguiUserTextures>,
) {
    let no_card = adapter.is_some_and(|a| format!("{:?}", a.device_type) == "Cpu");
    session.without_card(no_card);
    // Anti-aliasing would cost two thirds of the frame rate there.
    let (smooth, soft) = if no_card {
        shadows.size = 1024;
        (Msaa::Off, ShadowFilteringMethod::Hardware2x2)
    } else {
        (Msaa::Sample4, ShadowFilteringMethod::Gaussian)
    };
    let mut picture = || {
        let size = Extent3d { width: 1, height: 1, depth_or_array_layers: 1 };
        let (two, format) = (TextureDimension::D2, TextureFormat::Rgba8UnormSrgb);
        let mut image = Image::new_uninit(size, two, format, RenderAssetUsages::RENDER_WORLD);
        image.texture_descriptor.usage |= TextureUsages::RENDER_ATTACHMENT;
        let image = images.add(image);
        let texture = textures.add_image(EguiTextureHandle::Strong(image.clone()));
        (RenderTarget::from(image), Picture(texture))
    };
    let pose = CameraPose::new(View::ThreeQuarter, &shown);
    commands.spawn((lens(), YardCamera, smooth, soft, Orbit::new(pose), picture()));
    for place in 0..MOST_BESIDE {
        let asleep = Camera { is_active: false, order: 1 + place as isize, ..default() };
        commands.spawn((lens(), BesideCamera(place), smooth, soft, asleep, picture()));
    }
    // After all of them: it shows their pictures.
    let panels = Camera { order: 1 + MOST_BESIDE as isize, ..default() };
    commands.spawn((PrimaryEguiContext, Camera2d, RenderLayers::none(), Msaa::Off, panels));
}

/// Gives the yards' pictures the size of their parts of the window, or a share of it.
pub fn fit_pictures(
    asked: Res<WindowInput>,
    detail: Res<Detail>,
    window: Single<&Window, With<PrimaryWindow>>,
    mut images: ResMut<Assets<Image>>,
    mut cameras: Query<
        (&mut Camera, &mut RenderTarget, &mut Projection, Option<&BesideCamera>),
        With<Camera3d>,
    >,
) {
    let inside = detail.inside(window.physical_size().as_vec2());
    for (mut camera, mut target, mut projection, beside) in &mut cameras {
        let RenderTarget::Image(picture) = &*target else { continue };
        let rect = asked.yards[beside.map_or(0, |BesideCamera(place)| 1 + place)];
        let showing = rect.is_finite() && rect.width() > 8.0 && rect.height() > 8.0;
        if camera.is_active != showing {
            camera.is_active = showing;
        }
        if !showing {
            continue;
        }
        let part = asked.zoom * Vec2::new(rect.width(), rect.height());
        let size = (inside * window.scale_factor() * part).round().as_uvec2().max(UVec2::ONE);
        // Places are told in the window's own logical pixels, however many dots are drawn.
        let scale_factor = size.x as f32 / part.x;
        let fits = images.get(&picture.handle).is_some_and(|image| image.size() == size);
        if fits && picture.scale_factor == scale_factor {
            continue;
        }
        let extent = Extent3d { width: size.x, height: size.y, depth_or_array_layers: 1 };
        if let Some(mut image) = images.get_mut(&picture.handle) {
            image.resize(extent);
        }
        if let RenderTarget::Image(picture) = &mut *target {
            picture.scale_factor = scale_factor;
        }
        if let Projection::Perspective(lens) = &mut *projection {
            lens.fov = camera::fov_rad(part);
        }
    }
}

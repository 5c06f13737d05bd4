//! The cameras of the window, and the parts of it that they draw into.

use super::state::{Asked, CurrentSession};
use crate::session::View;
use crate::view::yard::camera::{self, BesideCamera, CameraPose, Orbit, YardCamera, lens};
use crate::view::yard::shown::{Drawn, HERE};
use bevy::camera::visibility::RenderLayers;
use bevy::camera::{CameraOutputMode, Viewport};
use bevy::light::{DirectionalLightShadowMap, ShadowFilteringMethod};
use bevy::prelude::*;
use bevy::render::render_resource::BlendState;
use bevy::render::renderer::RenderAdapterInfo;
use bevy::window::PrimaryWindow;
use bevy_egui::{EguiContexts, PrimaryEguiContext, egui};

pub fn set_cameras(
    mut commands: Commands,
    mut session: ResMut<CurrentSession>,
    shown: Res<Drawn<HERE>>,
    adapter: Option<Res<RenderAdapterInfo>>,
    mut shadows: ResMut<DirectionalLightShadowMap>,
) {
    let no_card = adapter.is_some_and(|a| format!("{:?}", a.device_type) == "Cpu");
    session.without_card(no_card);
    // There smooth edges would cost two thirds of the pace.
    let (smooth, soft) = if no_card {
        shadows.size = 1024;
        (Msaa::Off, ShadowFilteringMethod::Hardware2x2)
    } else {
        (Msaa::Sample4, ShadowFilteringMethod::Gaussian)
    };
    let pose = CameraPose::of(View::ThreeQuarter, &shown);
    commands.spawn((lens(), YardCamera, smooth, soft, Orbit::new(pose)));
    let asleep = Camera { is_active: false, order: 1, ..default() };
    commands.spawn((lens(), BesideCamera, smooth, soft, asleep));
    commands.spawn((
        PrimaryEguiContext,
        Camera2d,
        RenderLayers::none(),
        Msaa::Off,
        Camera {
            order: 2,
            output_mode: CameraOutputMode::Write {
                blend_state: Some(BlendState::ALPHA_BLENDING),
                clear_color: ClearColorConfig::None,
            },
            clear_color: ClearColorConfig::Custom(Color::NONE),
            ..default()
        },
    ));
}

/// Gives the yards' cameras the free parts of the window.
pub fn fit_viewports(
    asked: Res<Asked>,
    mut contexts: EguiContexts,
    window: Single<&Window, With<PrimaryWindow>>,
    mut cameras: Query<(&mut Camera, &mut Projection, Has<BesideCamera>), With<Camera3d>>,
) -> Result {
    let zoom = contexts.ctx_mut()?.zoom_factor();
    let scale = zoom * window.scale_factor();
    for (mut camera, mut projection, beside) in &mut cameras {
        let size = fit(&mut camera, asked.yards[usize::from(beside)], scale, &window);
        if let (Some(size), Projection::Perspective(lens)) = (size, &mut *projection) {
            lens.fov = camera::fov_rad(size.as_vec2());
        }
    }
    Ok(())
}

/// Fits one camera into its part; its new size, px, where that has changed.
fn fit(
    camera: &mut Mut<'_, Camera>,
    rect: egui::Rect,
    scale: f32,
    window: &Window,
) -> Option<UVec2> {
    let whole = window.physical_size();
    let showing = rect.is_finite() && rect.width() > 8.0 && rect.height() > 8.0;
    if camera.is_active != showing {
        camera.is_active = showing;
    }
    if !showing {
        return None;
    }
    let corner = |p: egui::Pos2| {
        UVec2::new((p.x * scale).max(0.0) as u32, (p.y * scale).max(0.0) as u32).min(whole)
    };
    let (min, max) = (corner(rect.min), corner(rect.max));
    if max.x <= min.x || max.y <= min.y {
        return None;
    }
    let size = max - min;
    let fits = camera
        .viewport
        .as_ref()
        .is_some_and(|v| v.physical_position == min && v.physical_size == size);
    if fits {
        return None;
    }
    camera.viewport = Some(Viewport { physical_position: min, physical_size: size, ..default() });
    Some(size)
}

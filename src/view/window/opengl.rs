//! OpenGL on the display that the window system has opened.

use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::renderer::{
    RenderAdapter, RenderAdapterInfo, RenderInstance, RenderQueue, WgpuWrapper,
};
use bevy::render::settings::{Backends, RenderCreation, WgpuSettings};
use bevy::tasks::block_on;
use bevy::winit::DisplayHandleWrapper;
use std::error::Error;
use std::sync::Arc;
use wgpu::wgt::WgpuHasDisplayHandle;
use wgpu::{
    DeviceDescriptor, Features, Instance, InstanceDescriptor, Limits, PowerPreference,
    RequestAdapterOptions,
};

/// Below five Bevy leaves out the shading of corners, whose shaders OpenGL cannot take.
const MOST_STORAGE_TEXTURES: u32 = 4;

/// Bevy's own renderer with OpenGL for this display. Comes after the window system's plugin.
pub struct OnDisplay;

/// Why there is no renderer.
#[derive(Resource)]
pub struct OpenGlFailure(pub Box<dyn Error + Send + Sync>);

impl Plugin for OnDisplay {
    fn build(&self, app: &mut App) {
        let display = app.world().resource::<DisplayHandleWrapper>().0.clone();
        let render_creation = block_on(open(Box::new(display))).unwrap_or_else(|why| {
            app.insert_resource(OpenGlFailure(why));
            // The other plugins are added all the same; they draw nothing then.
            RenderCreation::from(WgpuSettings { backends: None, ..default() })
        });
        app.add_plugins(RenderPlugin { render_creation, ..default() });
    }
}

/// As Bevy opens a driver, which has no place for a display yet.
async fn open(
    display: Box<dyn WgpuHasDisplayHandle>,
) -> Result<RenderCreation, Box<dyn Error + Send + Sync>> {
    let instance = Instance::new(InstanceDescriptor {
        backends: Backends::GL,
        ..InstanceDescriptor::new_with_display_handle(display)
    });
    let adapter = instance
        .request_adapter(&RequestAdapterOptions {
            power_preference: PowerPreference::HighPerformance,
            ..default()
        })
        .await?;
    let limits = adapter.limits();
    let storage = limits.max_storage_textures_per_shader_stage.min(MOST_STORAGE_TEXTURES);
    let (device, queue) = adapter
        .request_device(&DeviceDescriptor {
            required_features: adapter.features() - Features::all_experimental_mask(),
            required_limits: Limits { max_storage_textures_per_shader_stage: storage, ..limits },
            ..default()
        })
        .await?;
    Ok(RenderCreation::manual(
        device.into(),
        RenderQueue(Arc::new(WgpuWrapper::new(queue))),
        RenderAdapterInfo(WgpuWrapper::new(adapter.get_info())),
        RenderAdapter(Arc::new(WgpuWrapper::new(adapter))),
        RenderInstance(Arc::new(WgpuWrapper::new(instance))),
    ))
}

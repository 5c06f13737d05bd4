//! Draws moments of a lift off screen into PNG files, with the same drawing as the
//! window. Needs a Vulkan driver, no display.

use super::frame::Frame;
use crate::caution::CAUTION;
use crate::debrief::Moment;
use crate::framing::Stand;
use crate::lift::Played;
use crate::scene::Scene;
use crate::session::{Overlay, Overlays, View};
use crate::snapshot::{Finding, Snapshot};
use crate::units::UnitSystem;
use crate::view::driver::DriverError;
use crate::view::overlay::canvas::{Canvas, Keys};
use crate::view::overlay::paint::paint;
use crate::view::picture_error::PictureError;
use crate::view::yard::camera::{YardCamera, lens};
use crate::view::yard::camera_path::CameraPath;
use crate::view::yard::drawing;
use crate::view::yard::shown::{Drawn, HERE};
use crate::view::{driver, theme};
use bevy::app::SubApps;
use bevy::asset::RenderAssetUsages;
use bevy::camera::RenderTarget;
use bevy::log::LogPlugin;
use bevy::prelude::*;
use bevy::render::RenderPlugin;
use bevy::render::render_resource::{
    Extent3d, PollType, TextureDimension, TextureFormat, TextureUsages,
};
use bevy::render::renderer::RenderDevice;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured};
use bevy::window::ExitCondition;
use bevy::winit::WinitPlugin;
use bevy_egui::{
    EguiContexts, EguiGlobalSettings, EguiPlugin, EguiPrimaryContextPass, PrimaryEguiContext, egui,
};
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::Duration;
use web_time::Instant;

/// Frames drawn before the first picture is taken: the fonts need them.
const WARM_UP: usize = 2;
/// After so long a picture that has not come is given up. A busy machine that draws by the
/// processor takes many frames' time for one.
const PATIENCE: Duration = Duration::from_secs(60);
/// Between two looks whether it has come.
const LOOK_AGAIN: Duration = Duration::from_millis(2);

/// A place to take pictures in.
pub struct Studio {
    apps: SubApps,
    scene: Arc<Scene>,
    camera: Entity,
    target: Handle<Image>,
    path: CameraPath,
    /// When what is drawn comes to its end, s.
    end_s: f64,
    warm: bool,
}

/// What is written on the picture's foot; none leaves the foot away.
#[derive(Resource)]
struct Caption(Option<String>);

/// Whether the caution stands on the picture.
#[derive(Resource)]
struct CautionOn(bool);

/// The overlays that are drawn.
#[derive(Resource)]
struct OverlaysOn(Overlays);

impl Studio {
    /// A studio for pictures of this size, px.
    ///
    /// # Errors
    /// One sentence that says that there is no graphics driver, and what mends it.
    pub fn new(width: u32, height: u32, scene: &Scene) -> Result<Self, DriverError> {
        let mut app = App::new();
        app.add_plugins(driver::frame_by_frame(
            DefaultPlugins
                .set(WindowPlugin {
                    primary_window: None,
                    exit_condition: ExitCondition::DontExit,
                    ..default()
                })
                .set(RenderPlugin {
                    render_creation: driver::find()?,
                    // Every shader is ready in the first frame.
                    synchronous_pipeline_compilation: true,
                    ..default()
                })
                .disable::<WinitPlugin>()
                .disable::<LogPlugin>(),
        ))
        .add_plugins(EguiPlugin::default())
        .insert_resource(Caption(Some(String::new())))
        .insert_resource(CautionOn(false))
        .insert_resource(OverlaysOn(Overlays::only(&[Overlay::Gaps, Overlay::Loads])))
        .add_systems(EguiPrimaryContextPass, letter);
        drawing::draw_here(&mut app);
        app.world_mut().resource_mut::<EguiGlobalSettings>().auto_create_primary_context = false;

        let size = Extent3d {
            width: width.clamp(64, 8192),
            height: height.clamp(64, 8192),
            depth_or_array_layers: 1,
        };
        let mut target = Image::new_uninit(
            size,
            TextureDimension::D2,
            TextureFormat::Rgba8UnormSrgb,
            RenderAssetUsages::RENDER_WORLD,
        );
        target.texture_descriptor.usage |= TextureUsages::RENDER_ATTACHMENT;
        app.finish();
        app.cleanup();
        let mut apps = std::mem::take(app.sub_apps_mut());
        let world = apps.main.world_mut();
        let target = world.resource_mut::<Assets<Image>>().add(target);
        let camera = world
            .spawn((lens(), YardCamera, RenderTarget::from(target.clone()), PrimaryEguiContext))
            .id();
        Ok(Self {
            apps,
            scene: Arc::new(scene.clone()),
            camera,
            target,
            path: CameraPath::fixed(View::ThreeQuarter),
            end_s: 0.0,
            warm: false,
        })
    }

    /// The next pictures are taken from where a finding of a lift is seen best, or three-quarter.
    pub fn look_at(&mut self, played: &Played, finding: Option<&Finding>) {
        let history: Vec<&Snapshot> = played.history.iter().collect();
        let stand = |f: &Finding| Stand::before(&played.scene, &played.parts, &history, f.into());
        let path = finding.map(|f| CameraPath::standing(stand(f)));
        self.follow(path.unwrap_or_else(|| CameraPath::fixed(View::ThreeQuarter)), 0.0);
    }

    /// A path that the camera goes along, in a lift that ends at `end_s`.
    pub fn follow(&mut self, path: CameraPath, end_s: f64) {
        (self.path, self.end_s) = (path, end_s);
    }

    /// Draws these overlays and no others.
    pub fn overlay(&mut self, on: Overlays) {
        self.apps.main.world_mut().insert_resource(OverlaysOn(on));
    }

    /// Whether a strip on the picture's foot tells scene, time, gaps and the first finding, and
    /// findings are marked.
    pub fn caption(&mut self, on: bool) {
        self.apps.main.world_mut().resource_mut::<Caption>().0 = on.then(String::new);
    }

    /// Whether the caution stands at the head of the next pictures.
    pub fn caution(&mut self, on: bool) {
        self.apps.main.world_mut().resource_mut::<CautionOn>().0 = on;
    }

    /// Draws one moment.
    ///
    /// # Errors
    /// One sentence when the picture could not be drawn.
    pub fn take(&mut self, moment: &Moment, units: UnitSystem) -> Result<Frame, PictureError> {
        Frame::drawn(self.draw(moment, units)?)
    }

    /// Draws one moment into a PNG file.
    ///
    /// # Errors
    /// One sentence when the picture could not be drawn or written.
    pub fn shoot(
        &mut self,
        moment: &Moment,
        units: UnitSystem,
        path: &Path,
    ) -> Result<(), PictureError> {
        self.take(moment, units)?.save(path)
    }

    fn draw(&mut self, moment: &Moment, units: UnitSystem) -> Result<Image, PictureError> {
        let world = self.apps.main.world_mut();
        // Without a caption nothing is told in words.
        let told = world.resource::<Caption>().0.is_some();
        let findings: &[Finding] = if told { &moment.findings } else { &[] };
        let mut shown = world.resource_mut::<Drawn<HERE>>();
        if shown.scene.is_none() {
            shown.begin(self.scene.clone(), &moment.parts, &moment.snapshot);
        }
        shown.go_on(&moment.parts, &moment.snapshot, findings);
        shown.units = units;
        let pose = self.path.pose(moment.snapshot.t_s, self.end_s, &shown);
        world.entity_mut(self.camera).insert(pose.transform());
        if let Some(text) = &mut world.resource_mut::<Caption>().0 {
            *text = caption(&self.scene, moment, units);
        }
        if !self.warm {
            self.warm = true;
            for _ in 0..WARM_UP {
                self.frame();
            }
        }
        // One frame is thrown away: characters that no picture had yet reach the font texture
        // in it.
        self.awake(false);
        self.frame();
        self.awake(true);
        let slot: Arc<Mutex<Option<Image>>> = Arc::default();
        let filled = slot.clone();
        self.apps.main.world_mut().spawn(Screenshot::image(self.target.clone())).observe(
            move |captured: On<ScreenshotCaptured>| {
                if let Ok(mut slot) = filled.lock() {
                    *slot = Some(captured.image.clone());
                }
            },
        );
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            self.frame();
            // Drawn once; the rest is waiting for the picture to come back.
            self.awake(false);
            if let Some(image) = slot.lock().ok().and_then(|mut slot| slot.take()) {
                self.awake(true);
                return Ok(image);
            }
            std::thread::sleep(LOOK_AGAIN);
        }
        self.awake(true);
        Err(PictureError::NotHandedBack)
    }

    fn awake(&mut self, on: bool) {
        if let Some(mut camera) = self.apps.main.world_mut().get_mut::<Camera>(self.camera) {
            camera.is_active = on;
        }
    }

    fn frame(&mut self) {
        self.apps.update();
        let device = self.apps.main.world().resource::<RenderDevice>();
        // A lost device shows up as a picture that never arrives.
        let _ = device.wgpu_device().poll(PollType::Wait { submission_index: None, timeout: None });
    }
}

/// Scene, time, gaps, and the first thing that went wrong.
fn caption(scene: &Scene, moment: &Moment, units: UnitSystem) -> String {
    let now = &moment.snapshot;
    let mut text = format!("{}    {:.1} s", scene.name, now.t_s);
    for (limb, state) in scene.limbs.iter().zip(&now.limbs) {
        text += &format!(
            "    {} {} of {}",
            limb.name,
            units.gap(state.gap_m),
            units.gap(limb.gap_needed_m)
        );
    }
    if let Some(first) = moment.findings.first() {
        text += &format!("    {:.1} s: {}", first.t_s, first.say(scene, units));
    }
    text
}

/// Overlays, the caution, and the caption on the picture's foot.
fn letter(
    mut contexts: EguiContexts,
    mut dressed: Local<bool>,
    shown: Res<Drawn<HERE>>,
    (caption, caution): (Res<Caption>, Res<CautionOn>),
    on: Res<OverlaysOn>,
    camera: Single<(&Camera, &Transform), With<YardCamera>>,
) -> Result {
    let ctx = contexts.ctx_mut()?;
    if !*dressed {
        theme::apply(ctx);
        *dressed = true;
        // Our fonts are there from the next pass on.
        return Ok(());
    }
    let rect = ctx.viewport_rect();
    let size = (rect.height() / 42.0).clamp(9.0, 40.0);
    let strip = if caption.0.is_some() { 2.6 * size } else { 0.0 };
    let yard = egui::Rect::from_min_max(rect.min, egui::pos2(rect.max.x, rect.max.y - strip));
    let (camera, stand) = *camera;
    let canvas = Canvas { ctx, rect: yard, camera, stand, points: 1.0, size, keys: Keys::Hidden };
    paint(&canvas, &shown, on.0);
    let painter = ctx.layer_painter(egui::LayerId::background());
    if caution.0 {
        let width = rect.width() - 2.0 * size;
        let font = theme::plain(0.8 * size);
        let galley = painter.layout(CAUTION.to_owned(), font, theme::ON_SLATE, width);
        let head =
            egui::Rect::from_min_size(rect.min, egui::vec2(rect.width(), galley.size().y + size));
        painter.rect_filled(head, 0.0, theme::SLATE);
        painter.galley(head.min + egui::vec2(size, 0.5 * size), galley, theme::ON_SLATE);
    }
    let Some(text) = &caption.0 else { return Ok(()) };
    let foot = egui::Rect::from_min_max(egui::pos2(rect.min.x, yard.max.y), rect.max);
    painter.rect_filled(foot, 0.0, theme::SLATE);
    let job = egui::text::LayoutJob {
        wrap: egui::text::TextWrapping::truncate_at_width(rect.width() - 2.0 * size),
        ..egui::text::LayoutJob::simple_singleline(
            text.clone(),
            theme::plain(size),
            theme::ON_SLATE,
        )
    };
    let galley = painter.layout_job(job);
    let at = egui::pos2(foot.min.x + size, foot.center().y - 0.5 * galley.size().y);
    painter.galley(at, galley, theme::ON_SLATE);
    Ok(())
}

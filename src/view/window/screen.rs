//! Draws the screen that is on.

use super::state::{CurrentSession, WindowInput};
use super::viewports::Picture;
use crate::class::MOST_BESIDE;
use crate::session::{Action, Play, Screen, Session, Shown, Stage};
use crate::view::overlay::canvas::{Canvas, Keys};
use crate::view::overlay::marks;
use crate::view::overlay::paint::paint;
use crate::view::panels::input::Inputs;
use crate::view::panels::layout::{LEAST_HEIGHT, LEAST_WIDTH};
use crate::view::panels::lift_screen::lift_screen;
use crate::view::panels::shelf::{self, ShelfState};
use crate::view::panels::state::LiftState;
use crate::view::panels::{class, compare, help, settling, setup, task, told};
use crate::view::theme;
use crate::view::yard::camera::{BesideCamera, YardCamera};
use crate::view::yard::shown::{BESIDE, Drawn, HERE, YARDS};
use bevy::prelude::*;
use bevy::window::PrimaryWindow;
use bevy_egui::egui::emath::GuiRounding;
use bevy_egui::{EguiContexts, egui};

/// How much larger everything is on a big screen.
const BIG_ZOOM: f32 = 1.35;
/// Size of the labels over the yard, points.
const OVERLAY_SIZE: f32 = 15.0;

/// What is seen of the two yards, and by which cameras.
struct Yards<'a> {
    here: &'a Shown,
    beside: [&'a Shown; MOST_BESIDE],
    camera: (&'a Camera, &'a Picture),
    cameras_beside: [(&'a Camera, &'a Picture); MOST_BESIDE],
    /// Where all cameras are.
    stand: &'a Transform,
}

type HereCamera<'w, 's> =
    Single<'w, 's, (&'static Camera, &'static Picture, &'static Transform), With<YardCamera>>;
type CamerasBeside<'w, 's> =
    Query<'w, 's, (&'static BesideCamera, &'static Camera, &'static Picture)>;
type DrawnBeside<'w> = (Res<'w, Drawn<{ BESIDE[0] }>>, Res<'w, Drawn<{ BESIDE[1] }>>);

pub fn draw(
    mut contexts: EguiContexts,
    mut primed_at: Local<f32>,
    session: Res<CurrentSession>,
    shown: (Res<Drawn<HERE>>, DrawnBeside),
    cameras: (HereCamera, CamerasBeside),
    mut asked: ResMut<WindowInput>,
    window: Single<&Window, With<PrimaryWindow>>,
) -> Result {
    let (shown, (first, second)) = shown;
    let (here, cameras_beside) = cameras;
    let (camera, picture, stand) = *here;
    let mut beside = [(camera, picture); MOST_BESIDE];
    for (BesideCamera(place), camera, picture) in &cameras_beside {
        beside[*place] = (camera, picture);
    }
    let ctx = contexts.ctx_mut()?;
    if *primed_at == 0.0 {
        theme::apply(ctx);
        *primed_at = -1.0;
        // Our fonts are there from the next pass on.
        return Ok(());
    }
    let zoom = set_theme_and_zoom(ctx, &session, &window, &mut primed_at);
    let mut ui = egui::Ui::new(
        ctx.clone(),
        "screen".into(),
        egui::UiBuilder::new().layer_id(egui::LayerId::background()).max_rect(ctx.viewport_rect()),
    );
    asked.yards = [egui::Rect::NOTHING; YARDS];
    let mut inputs = match session.screen() {
        Screen::Shelf => shelf::shelf(&mut ui, &ShelfState::new(&session)),
        Screen::Settling(_) if session.class().is_some() => {
            class::waiting(&mut ui, &session.class_shown().unwrap_or_default())
        }
        Screen::Settling(lift) => {
            settling::settling(&mut ui, lift.scene(), lift.waited_s() as f32);
            Inputs::default()
        }
        Screen::Lift(play) => {
            let yards = Yards {
                here: &shown,
                beside: [&first, &second],
                camera: (camera, picture),
                cameras_beside: beside,
                stand,
            };
            let (inputs, free) = draw_lift(&mut ui, &session, play, &yards, zoom);
            asked.yards = free;
            inputs
        }
    };
    // The shelf has a place of its own for it.
    if let Some(words) = session.trouble().filter(|_| !matches!(session.screen(), Screen::Shelf)) {
        told::card(ctx, words, &mut inputs);
    }
    if let Some(classes) = session.class_list() {
        inputs.extend(class::list(ctx, classes));
    }
    if let Some(list) = session.task_list() {
        inputs.extend(task::list(ctx, list, session.seat()));
    }
    if session.help() && !help::help(ctx) {
        inputs.push(Action::Help);
    }
    asked.inputs.extend(inputs);
    asked.typing = ctx.text_edit_focused();
    asked.focused = ctx.memory(|memory| memory.focused().is_some());
    asked.zoom = zoom;
    Ok(())
}

/// Day or night, and the size of everything; gives that size.
fn set_theme_and_zoom(
    ctx: &egui::Context,
    session: &Session,
    window: &Window,
    primed_at: &mut f32,
) -> f32 {
    let settings = session.settings();
    let theme = if settings.dark { egui::Theme::Dark } else { egui::Theme::Light };
    if ctx.theme() != theme {
        ctx.set_theme(theme);
    }
    let wide = (window.width() / LEAST_WIDTH).min(window.height() / LEAST_HEIGHT);
    let zoom = if settings.large_text { BIG_ZOOM } else { 1.0 }.min(wide).max(0.5);
    if (ctx.zoom_factor() - zoom).abs() > 1e-3 {
        ctx.set_zoom_factor(zoom);
    } else if *primed_at != zoom {
        *primed_at = zoom;
        theme::prime(ctx, &[OVERLAY_SIZE, 0.9 * OVERLAY_SIZE]);
    }
    zoom
}

/// The lift on its stage, with what is drawn over its yards; gives what was asked for, and the
/// parts of the window that are free for the yards.
fn draw_lift(
    ui: &mut egui::Ui,
    session: &Session,
    play: &Play,
    yards: &Yards<'_>,
    zoom: f32,
) -> (Inputs, [egui::Rect; YARDS]) {
    let state = LiftState::new(session, play);
    let on_bench = session.bench().filter(|_| state.stage == Stage::SetUp);
    let (inputs, free) = match (on_bench, session.class_shown()) {
        (Some(bench), _) => {
            let (inputs, yard) = setup::screen(ui, &state, bench);
            (inputs, compare::one_yard(yard))
        }
        (None, Some(shown)) => class::screen(ui, &shown, state.compared.as_ref(), state.units),
        (None, None) => lift_screen(ui, &state),
    };
    // On whole pixels, so that a picture of as many dots is shown as it was drawn.
    let free = free.map(|rect| rect.round_to_pixels(ui.pixels_per_point()));
    let rect = free[0];
    show(ui, rect, yards.camera.1);
    let canvas = Canvas {
        ctx: &ui.ctx().clone(),
        rect,
        camera: yards.camera.0,
        stand: yards.stand,
        points: 1.0 / zoom,
        size: OVERLAY_SIZE,
        keys: Keys::Shown,
    };
    let covered = paint(&canvas, yards.here, state.overlays);
    let beside = yards.beside.iter().zip(yards.cameras_beside).zip(&free[1..]);
    for ((shown, (camera, picture)), &rect) in beside.filter(|(_, rect)| rect.is_positive()) {
        // Seen from the same place of the other yard.
        show(ui, rect, picture);
        let canvas = Canvas { rect, camera, keys: Keys::NoLegend, ..canvas };
        paint(&canvas, shown, state.overlays);
    }
    match on_bench {
        Some(bench) => marks::bench(&canvas, yards.here, bench, state.units, covered),
        None if state.stage == Stage::SizeUp => {
            marks::measured(&canvas, yards.here, state.measure, state.units, covered);
        }
        None => {}
    }
    (inputs, free)
}

/// Shows a yard in its part of the window.
fn show(ui: &egui::Ui, rect: egui::Rect, picture: &Picture) {
    let whole = egui::Rect::from_min_max(egui::Pos2::ZERO, egui::pos2(1.0, 1.0));
    let painter = ui.ctx().layer_painter(egui::LayerId::background());
    painter.image(picture.0, rect, whole, egui::Color32::WHITE);
}

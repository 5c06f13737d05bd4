//! Hands what was asked for to the session, lets its time pass, and does what it asks in turn.

use super::detail::Detail;
use super::outside;
use super::state::{CurrentSession, WindowInput};
use crate::session::{Action, Ask, Effect, Lever, MeasureAction, Ray, Session};
use crate::view::panels::input::{Input, Pointer};
use crate::view::yard::camera::{CameraPose, Orbit, YardCamera};
use crate::view::yard::plain::PlainGraphics;
use crate::view::yard::shown::{BESIDE, Drawn, HERE, ground_turn};
use bevy::prelude::*;
use bevy::window::{MonitorSelection, PrimaryWindow, WindowMode};

/// Does what was asked for.
pub fn act(
    mut asked: ResMut<WindowInput>,
    mut session: ResMut<CurrentSession>,
    shown: Res<Drawn<HERE>>,
    mut cameras: Query<&mut Orbit>,
    eye: Query<(&Camera, &Transform), With<YardCamera>>,
    mut windows: Query<&mut Window, With<PrimaryWindow>>,
) {
    let (eye, zoom, corner) = (eye.single().ok(), asked.zoom, asked.yards[0].min);
    let turn = shown.scene.as_ref().map_or(Quat::IDENTITY, |scene| ground_turn(scene));
    // A place in the window as a line of sight in the ground frame.
    let sight = |at: [f32; 2]| -> Option<Ray> {
        let (camera, stand) = eye?;
        let at = (Vec2::from_array(at) - Vec2::new(corner.x, corner.y)) * zoom;
        let ray = camera.viewport_to_world(&GlobalTransform::from(*stand), at).ok()?;
        let ground = |v: Vec3| (turn.inverse() * v).to_array().map(f64::from);
        Some(Ray { from: ground(ray.origin), towards: ground(*ray.direction) })
    };
    let outlets = session.play().map_or(0, |play| play.scene().air.outlets.len());
    let mut held: Vec<Option<Lever>> = vec![None; outlets];
    for input in asked.inputs.take() {
        let action = match input {
            Input::Hold(outlet, lever) => {
                if let Some(slot) = held.get_mut(outlet) {
                    *slot = Some(lever);
                }
                continue;
            }
            Input::Pointer(pointer) => seen_along(pointer, &sight),
            Input::Do(action) => action,
        };
        let effect = session.act(action);
        if let Some(effect) = effect {
            carry_out(effect, &mut session, &mut cameras, &mut windows);
        }
    }
    // What nobody holds any more is let go.
    for (outlet, lever) in held.into_iter().enumerate() {
        session.act(Action::Hold { outlet, lever });
    }
}

/// What a pointer asks for, with places in the window turned into lines of sight.
fn seen_along(pointer: Pointer, sight: &impl Fn([f32; 2]) -> Option<Ray>) -> Action {
    match pointer {
        Pointer::Drag { from, to, by, done } => {
            Action::Bench(Ask::Drag { from: sight(from), to: sight(to), by, done })
        }
        Pointer::Choose(at) => Action::Bench(Ask::Click(sight(at))),
        Pointer::Measure(at) => Action::Measure(MeasureAction::Click(sight(at))),
    }
}

/// Does what the session asks of the window.
fn carry_out(
    effect: Effect,
    session: &mut Session,
    cameras: &mut Query<&mut Orbit>,
    windows: &mut Query<&mut Window, With<PrimaryWindow>>,
) {
    let told = match effect {
        Effect::WholeScreen => {
            for mut window in windows {
                window.mode = match window.mode {
                    WindowMode::Windowed => {
                        WindowMode::BorderlessFullscreen(MonitorSelection::Current)
                    }
                    _ => WindowMode::Windowed,
                };
            }
            None
        }
        Effect::Save { name, text } => {
            let said = outside::save(&name, &text);
            // What is not in the file is told, too.
            Some(session.trouble().map(|why| format!("{said} {why}")).unwrap_or(said))
        }
        Effect::AskForFile => outside::ask_for_file(),
        Effect::ShowPage { title, html } => outside::show_page(&title, &html),
        looking => {
            cameras.iter_mut().for_each(|camera| move_camera(camera, &looking, session));
            None
        }
    };
    if let Some(told) = told {
        session.tell(told);
    }
}

fn move_camera(mut camera: Mut<'_, Orbit>, effect: &Effect, session: &Session) {
    let shown = session.here();
    match *effect {
        Effect::NewLift(view) => camera.jump(CameraPose::new(view, shown)),
        Effect::Look(view) => camera.go(CameraPose::new(view, shown)),
        Effect::Turn(by) => camera.turn(Vec2::from_array(by)),
        Effect::Shift(by) => camera.shift(Vec2::from_array(by)),
        Effect::Nearer(by) => camera.nearer(by),
        Effect::Visit(stand) => camera.go(CameraPose::standing(stand, shown)),
        Effect::WholeScreen
        | Effect::Save { .. }
        | Effect::AskForFile
        | Effect::ShowPage { .. } => {}
    }
}

/// Lets the session's time pass, and shows how things stand then.
pub fn advance(
    time: Res<Time<Real>>,
    mut session: ResMut<CurrentSession>,
    mut shown: ResMut<Drawn<HERE>>,
    mut beside: (ResMut<Drawn<{ BESIDE[0] }>>, ResMut<Drawn<{ BESIDE[1] }>>),
    detail: Res<Detail>,
    mut plain: ResMut<PlainGraphics>,
    mut cameras: Query<&mut Orbit>,
) {
    if let Some(effect) = session.advance(time.delta_secs_f64()) {
        cameras.iter_mut().for_each(|camera| move_camera(camera, &effect, &session));
    }
    shown.follow(session.here());
    let [first, second] = session.beside();
    beside.0.follow(first);
    beside.1.follow(second);
    plain.set_if_neq(PlainGraphics { on: session.plain(), shadows: detail.shadows() });
}

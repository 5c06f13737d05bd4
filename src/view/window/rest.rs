//! How often the window is drawn: in low power 30 times a second, and less where nothing moves.

use super::state::CurrentSession;
use bevy::prelude::*;
use bevy::window::WindowEvent;
use bevy::winit::{UpdateMode, WinitSettings};
use std::time::Duration;

/// The time of a frame in low power.
const FRAME: Duration = Duration::from_nanos(33_333_333);
/// The same where nothing moves: what is touched then answers a tenth of a second late at most.
const STILL_FRAME: Duration = Duration::from_millis(100);
/// Nothing has moved for so long, s; the camera comes to rest in less.
const STILL_AFTER_S: f32 = 1.5;

/// Sets how often the window is drawn.
pub fn rest(
    // A window without a screen has none.
    settings: Option<ResMut<WinitSettings>>,
    time: Res<Time<Real>>,
    session: Res<CurrentSession>,
    mut events: MessageReader<WindowEvent>,
    mut still_s: Local<f32>,
) {
    let moves = events.read().count() > 0 || session.moves();
    *still_s = if moves { 0.0 } else { *still_s + time.delta_secs() };
    let Some(mut settings) = settings else { return };
    let usual = WinitSettings::default();
    // Drawn by the clock alone: neither a moved pointer nor a panel asks for more.
    let by_clock = |wait| UpdateMode::Reactive {
        wait,
        react_to_device_events: false,
        react_to_user_events: false,
        react_to_window_events: false,
    };
    let [focused, unfocused] = match session.low_power() {
        false => [usual.focused_mode, usual.unfocused_mode],
        true => [by_clock(if *still_s < STILL_AFTER_S { FRAME } else { STILL_FRAME }); 2],
    };
    if settings.focused_mode != focused {
        (settings.focused_mode, settings.unfocused_mode) = (focused, unfocused);
    }
}

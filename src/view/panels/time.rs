//! The strip of time below the yard: play, step and the line of time.

use super::icon::Icon;
use super::input::Inputs;
use super::state::LiftState;
use super::widget::{self, ButtonState, button, press, slim_button};
use crate::scene::OnFailure;
use crate::session::Action;
use crate::view::theme;
use bevy_egui::egui::{self, Align, Layout, Pos2, Rect, Sense, Stroke, Ui, vec2};

/// In a window narrower than this the line of time has a row of its own, points.
const TIME_BELOW: f32 = 1400.0;
/// Height of the line of time, and what is between it and the buttons, points.
const TIME_HIGH: f32 = 28.0;
const TIME_GAP: f32 = 2.0;

/// Width of the button back to the latest moment, points.
const NOW_WIDE: f32 = 112.0;

/// Radius of the pins on the line of time, points.
const PIN: f32 = 7.0;

fn time_below(ui: &Ui) -> bool {
    ui.ctx().viewport_rect().width() < TIME_BELOW
}

/// Height of the strip, points.
pub fn height(ui: &Ui) -> f32 {
    if time_below(ui) { widget::BUTTON_HIGH + TIME_GAP + TIME_HIGH } else { widget::BUTTON_HIGH }
}

/// Draws it.
pub fn time(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    ui.spacing_mut().item_spacing.y = TIME_GAP;
    ui.horizontal(|ui| {
        play_buttons(ui, s, actions);
        lead_buttons(ui, s, actions);
        ui.add_space(theme::STEP);
        clock(ui, s);
        ui.add_space(theme::STEP);
        if let Some(share) = s.slowed_to {
            let room = ui.available_width() - NOW_WIDE - 2.0 * theme::STEP;
            too_slow(ui, share, room);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            back_to_now(ui, s, actions);
            ui.add_space(theme::STEP);
            if !time_below(ui) {
                timeline(ui, s, actions);
            }
        });
    });
    if time_below(ui) {
        timeline(ui, s, actions);
    }
}

/// A switch that is on or off.
fn switch(on: bool) -> ButtonState {
    if on { ButtonState::On } else { ButtonState::Plain }
}

/// The buttons that let time pass, and back.
fn play_buttons(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    let (sign, text, look) = match s.playing {
        true => (Icon::Pause, "Pause", ButtonState::Plain),
        false => (Icon::Play, "Play", ButtonState::Main),
    };
    let about = "Plays or pauses the lift";
    if button(ui, press(text, "Space", about).with(sign), look, 116.0).clicked() {
        actions.push(Action::PlayOrPause);
    }
    for (text, key, about, sign, look, action) in [
        ("Slow", "Z", "A quarter of the pace", Icon::Slow, switch(s.slow), Action::SlowOrNot),
        ("Back", ",", "One moment back", Icon::Back, ButtonState::Plain, Action::Step(false)),
        ("Step", ".", "One moment on", Icon::Step, ButtonState::Plain, Action::Step(true)),
        ("Restart", "R", "Back to the start", Icon::Again, ButtonState::Plain, Action::Restart),
    ] {
        if slim_button(ui, press(text, key, about).with(sign), look, 0.0).clicked() {
            actions.push(action);
        }
    }
}

/// Who leads the lift, and what comes after a failure.
fn lead_buttons(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    let (sign, who) = match s.script {
        true => (Icon::Script, "Orders"),
        false => (Icon::Lever, "By hand"),
    };
    let about = "Who leads the lift: the scene's orders, or you";
    if slim_button(ui, press(who, "X", about).with(sign), switch(s.script), 104.0).clicked() {
        actions.push(Action::Script(!s.script));
    }
    let about = "Pauses at the moment when something fails";
    let what = press("Pause on failure", "P", about).with(Icon::Warning);
    if slim_button(ui, what, switch(s.freeze), 0.0).clicked() {
        actions.push(Action::Freeze);
    }
    let runs = s.on_failure == OnFailure::LetRun;
    let about = "After a failure the crew carries on; else the officer calls stop";
    if slim_button(ui, press("Let it run", "N", about), switch(runs), 0.0).clicked() {
        actions.push(Action::OnFailure(s.on_failure.other()));
    }
}

/// The time of the moment on screen.
fn clock(ui: &mut Ui, s: &LiftState<'_>) {
    let clock = format!("{:.1} s", s.now.t_s.max(0.0));
    let (rect, _) = ui.allocate_exact_size(vec2(72.0, 32.0), Sense::hover());
    ui.painter().text(
        Pos2::new(rect.max.x, rect.center().y),
        egui::Align2::RIGHT_CENTER,
        clock,
        theme::bold(theme::FIGURE),
        theme::INK.on(ui),
    );
}

/// The button to the latest moment, which says why the lift stands where it does.
fn back_to_now(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    let note = if s.broken {
        "Stopped"
    } else if s.frozen {
        "Failure here"
    } else if s.looking_back {
        "Back to now"
    } else if s.done {
        "End of run"
    } else {
        "Now"
    };
    let look = if s.looking_back { ButtonState::Main } else { ButtonState::Idle };
    let about = "To the latest moment of the lift";
    if button(ui, press(note, "End", about), look, NOW_WIDE).clicked() && s.looking_back {
        actions.push(Action::ToNow);
    }
}

/// Says that the lift goes on as fast as this machine can; in a narrow window the number alone.
fn too_slow(ui: &mut Ui, share: f64, room: f32) {
    let number = format!("{share:.1} \u{00D7}");
    let whole = format!("{number} real time:\nthis machine is too slow");
    let (font, color) = (theme::plain(theme::SMALL), theme::SOFT.on(ui));
    let fits = ui.painter().layout_no_wrap(whole.clone(), font.clone(), color).size().x <= room;
    let words = egui::RichText::new(if fits { &whole } else { &number }).font(font).color(color);
    ui.add(egui::Label::new(words).extend()).on_hover_text(format!(
        "{number} real time: this machine is too slow. The forces and times shown are still \
         right. Plain graphics (F7) or a single run is faster.",
    ));
    ui.add_space(theme::STEP);
}

/// The whole lift so far as a line; drag along it to look back.
fn timeline(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    let size = vec2(ui.available_width().max(60.0), TIME_HIGH);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::WidgetType::Slider, true, "time of the lift")
    });
    let track = Rect::from_center_size(rect.center(), vec2(rect.width() - 16.0, 6.0));
    // Never shorter than this, so that the first seconds do not fly along it.
    let whole = s.end_s.max(20.0);
    let x = |t: f64| track.min.x + (t.max(0.0) / whole).min(1.0) as f32 * track.width();
    let painter = ui.painter();
    painter.rect_filled(track, 3.0, theme::SUNK.on(ui));
    let played = Rect::from_min_max(track.min, Pos2::new(x(s.end_s), track.max.y));
    painter.rect_filled(played, 3.0, theme::LINE.on(ui));
    let seen = Rect::from_min_max(track.min, Pos2::new(x(s.now.t_s), track.max.y));
    painter.rect_filled(seen, 3.0, theme::BLUE.on(ui));
    // The list of findings is in their order by cause, the line in that of time; of those that
    // would cover each other the first one is shown.
    let mut shown: Vec<f32> = Vec::new();
    for (i, finding) in s.all_findings.iter().enumerate() {
        let x = x(finding.t_s);
        if shown.iter().all(|other| (x - other).abs() > 2.0 * PIN) {
            let at = Pos2::new(x, track.min.y - 6.0);
            widget::pin(painter, at, PIN, &(i + 1).to_string());
            shown.push(x);
        }
    }
    let knob = Pos2::new(x(s.now.t_s), track.center().y);
    painter.circle(knob, 8.0, theme::CARD.on(ui), Stroke::new(2.5, theme::BLUE.on(ui)));
    if (response.dragged() || response.clicked())
        && let Some(at) = response.interact_pointer_pos()
    {
        let share = ((at.x - track.min.x) / track.width()).clamp(0.0, 1.0);
        actions.push(Action::Seek(f64::from(share) * whole));
    }
}

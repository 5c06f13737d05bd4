//! The lift screen around the yard: head, stages, controller, readings, time. Plain
//! egui functions from a [`LiftState`] to [`Action`]s; they know nothing of Bevy.

use super::bench::Ask;
use super::beside::{self, Pair, Which};
use super::camera::View;
use super::controller;
use super::faults;
use super::guide::Guide;
use super::icon;
use super::overlay::{Overlay, Overlays};
use super::plots;
use super::readings;
use super::reel::Reel;
use super::sizeup::{self, Measure, Take};
use super::theme;
use super::widget::{self, Look, Press, button, chip, press};
use crate::debrief::CAUTION;
use crate::scene::{Fault, Scene};
use crate::snapshot::{Finding, Said, Snapshot};
use crate::units::System;
use bevy_egui::egui::{
    self, Align, Color32, Layout, Margin, Pos2, Rect, RichText, Sense, Stroke, Ui, vec2,
};
use std::path::PathBuf;

/// The stages of a rehearsal, in turn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Stage {
    #[default]
    SizeUp,
    SetUp,
    Lift,
    LookBack,
}

impl Stage {
    pub const ALL: [(Stage, &str, &str); 4] = [
        (Stage::SizeUp, "Size up", "F2"),
        (Stage::SetUp, "Set up", "F3"),
        (Stage::Lift, "Lift", "F4"),
        (Stage::LookBack, "Look back", "F5"),
    ];

    /// What is done in it.
    fn about(self) -> &'static str {
        match self {
            Self::SizeUp => "Walk round it, measure, ask",
            Self::SetUp => "Bring and place what lifts, holds and follows; plan the lift",
            Self::Lift => "Levers, gauges, capture, and why it holds",
            Self::LookBack => "What came of it, along time",
        }
    }
}

/// Side of a stage's sign, points.
const TAB_SIGN: f32 = 15.0;

/// Which way a valve is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    Up,
    Down,
}

/// How far a valve opens by hand.
pub(super) const VALVES: [f64; 3] = [0.3, 0.6, 1.0];

/// What hands and keys ask for.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Action {
    /// An outlet is held open this frame.
    Hold(usize, Way),
    NextValve,
    /// Close a bag's shut-off, or open it again.
    Shut {
        bag: usize,
        closed: bool,
    },
    MoveHose {
        outlet: usize,
        to: usize,
    },
    Capture,
    SetChocks,
    Script(bool),
    PlayOrPause,
    SlowOrNot,
    Step(bool),
    Restart,
    Seek(f64),
    ToNow,
    /// Have another run beside this one, or none.
    Beside(Option<Which>),
    /// The next of what can stand there.
    NextBeside,
    /// Stand still when something goes wrong, or play on.
    Freeze,
    /// Begin or leave the guided first lift.
    Guide,
    /// Show or hide the instructor's panel.
    Instructor,
    /// Have a fault happen now.
    Strike(Fault),
    Plain,
    Stage(Stage),
    Look(View),
    /// Drags and scrolling over the yard, points.
    Turn(egui::Vec2),
    Shift(egui::Vec2),
    Nearer(f32),
    /// Go to a finding: to its place and its time.
    Visit(usize),
    Toggle(Overlay),
    Units,
    Big,
    /// Panels light or dark.
    Dark,
    WholeScreen,
    Help,
    Shelf,
    /// Choose a scene on the shelf, or go up and down in it.
    Choose(usize),
    Open(usize),
    /// Open a scene with everything taken away that a crew brings.
    OpenBare(usize),
    /// Begin from nothing but a vehicle.
    Begin(String),
    /// Take an unsaved set-up up again, or throw it away.
    TakeUp(PathBuf),
    ThrowAway(PathBuf),
    Bench(Ask),
    Measure(Take),
}

/// Everything the lift screen shows.
pub(super) struct LiftState<'a> {
    pub scene: &'a Scene,
    pub start: &'a Snapshot,
    pub now: &'a Snapshot,
    pub reel: &'a Reel,
    /// A run to compare with in the plots.
    pub other: Option<&'a Reel>,
    /// Two runs side by side.
    pub pair: Option<Pair<'a>>,
    /// The lesson that differs in one choice.
    pub twin: Option<&'a Scene>,
    /// Findings up to the moment shown.
    pub findings: &'a [Finding],
    /// Findings of the whole lift so far.
    pub all_findings: &'a [Finding],
    pub said: &'a [Said],
    /// Faults that have struck, for the instructor and for looking back.
    pub struck: &'a [(f64, Fault)],
    pub instructor: bool,
    pub guide: Option<&'a Guide>,
    pub most_gap_m: Vec<f64>,
    pub most_load_n: Vec<f64>,
    /// What the lesson says with the numbers so far; only when looking back.
    pub lesson: Vec<String>,
    pub units: System,
    pub stage: Stage,
    pub playing: bool,
    pub slow: bool,
    pub freeze: bool,
    pub frozen: bool,
    pub script: bool,
    pub done: bool,
    pub broken: bool,
    /// Why the lift cannot begin like this.
    pub impossible: Option<&'a str>,
    pub looking_back: bool,
    pub end_s: f64,
    /// Share that a valve opens to by hand.
    pub valve: f64,
    pub held: &'a [Option<Way>],
    pub overlays: Overlays,
    pub measure: &'a Measure,
}

/// Draws the screen; gives what was asked for, and the free rectangles for the yard and the
/// one beside it.
pub(super) fn lift_screen(ui: &mut Ui, s: &LiftState<'_>) -> (Vec<Action>, [Rect; 2]) {
    let mut actions = Vec::new();
    bands(ui, s, s.scene, &mut actions);
    let high = if time_below(ui) { BUTTONS_HIGH + TIME_GAP + TIME_HIGH } else { BUTTONS_HIGH };
    strip(ui, "time", high, |ui| time(ui, s, &mut actions));
    if s.stage == Stage::LookBack {
        let high = plots::height(ui, s);
        strip(ui, "plots", high, |ui| plots::plots(ui, s, &mut actions));
    }
    // Two yards need the width; the keys of the controller work all the same.
    let room_for_controller = s.pair.is_none() || s.stage == Stage::Lift;
    if room_for_controller {
        column(ui, egui::Panel::left("controller"), LEFT, |ui| {
            if s.stage == Stage::SizeUp {
                sizeup::panel(ui, s, &mut actions);
            } else {
                controller::panel(ui, s, &mut actions);
            }
        });
    }
    column(ui, egui::Panel::right("readings"), RIGHT, |ui| readings::panel(ui, s, &mut actions));
    sights(ui, s, &mut actions);
    let yard = ui.available_rect_before_wrap();
    walk(ui, yard, s, &mut actions);
    if let Some(guide) = s.guide {
        guide.card(ui, yard, &mut actions);
    }
    if s.instructor {
        faults::panel(ui, s, yard, &mut actions);
    }
    let yards = match &s.pair {
        Some(pair) => beside::split(ui, yard, pair, s.units, &mut actions),
        None => [yard, Rect::NOTHING],
    };
    (actions, yards)
}

/// Widths of the columns beside the yard, points.
pub(super) const LEFT: f32 = 278.0;
pub(super) const RIGHT: f32 = 312.0;

/// What stands above and below every stage: where one is, in which scene, and the caution.
pub(super) fn bands(ui: &mut Ui, s: &LiftState<'_>, scene: &Scene, actions: &mut Vec<Action>) {
    egui::Panel::top("head")
        .frame(theme::band(theme::SLATE))
        .show_separator_line(false)
        .show(ui, |ui| head(ui, s, scene, actions));
    egui::Panel::bottom("foot")
        .frame(egui::Frame::new().fill(theme::SLATE).inner_margin(Margin::symmetric(14, 5)))
        .show_separator_line(false)
        .show(ui, foot);
}

/// Height of a row of buttons in a strip, points.
pub(super) const BUTTONS_HIGH: f32 = 31.0;

/// A strip below the yard, over its whole width. It has its height from the first frame on,
/// so that nothing jumps on a slow machine.
pub(super) fn strip(ui: &mut Ui, id: &'static str, high: f32, add: impl FnOnce(&mut Ui)) {
    let frame = theme::band(theme::PAPER.on(ui));
    egui::Panel::bottom(id)
        .default_size(high + frame.inner_margin.sum().y)
        .frame(frame)
        .show_separator_line(true)
        .show(ui, add);
}

/// A column beside the yard.
pub(super) fn column(ui: &mut Ui, panel: egui::Panel, width: f32, add: impl FnOnce(&mut Ui)) {
    let frame = egui::Frame::new().fill(theme::PAPER.on(ui)).inner_margin(Margin::symmetric(12, 8));
    panel.exact_size(width).resizable(false).frame(frame).show(ui, |ui| widget::scroll(ui, add));
}

/// Walking around the vehicle by hand.
fn walk(ui: &mut Ui, yard: Rect, s: &LiftState<'_>, actions: &mut Vec<Action>) {
    let response = ui.interact(yard, ui.id().with("yard"), Sense::click_and_drag());
    let drag = response.drag_delta();
    if drag != egui::Vec2::ZERO {
        actions.push(if response.dragged_by(egui::PointerButton::Primary) {
            Action::Turn(drag)
        } else {
            Action::Shift(drag)
        });
    }
    if s.stage == Stage::SizeUp
        && s.measure.tool.is_some()
        && response.clicked()
        && let Some(at) = response.interact_pointer_pos()
    {
        actions.push(Action::Measure(Take::Click([at.x, at.y])));
    }
    let scroll = ui.input(|i| i.smooth_scroll_delta().y);
    if response.hovered() && scroll != 0.0 {
        actions.push(Action::Nearer(scroll));
    }
}

fn head(ui: &mut Ui, s: &LiftState<'_>, scene: &Scene, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        let what = press("Shelf", "Esc", "Back to the scenes; nothing is lost");
        if tab(ui, what, false).clicked() {
            actions.push(Action::Shelf);
        }
        ui.add_space(theme::STEP);
        let tabs_width = 560.0;
        let free = (ui.available_width() - tabs_width).max(120.0);
        ui.allocate_ui(vec2(free, 38.0), |ui| {
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 2.0;
                ui.add(
                    egui::Label::new(
                        RichText::new(&scene.name)
                            .font(theme::bold(theme::HEAD))
                            .color(theme::ON_SLATE),
                    )
                    .truncate(),
                );
                ui.add(
                    egui::Label::new(
                        RichText::new(&scene.teaches)
                            .font(theme::plain(theme::SMALL))
                            .color(theme::ON_SLATE_SOFT),
                    )
                    .truncate(),
                );
            });
        });
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if tab(ui, press("Help", "H", "Every key"), false).clicked() {
                actions.push(Action::Help);
            }
            ui.spacing_mut().item_spacing.x = 2.0;
            for (stage, name, key) in Stage::ALL.into_iter().rev() {
                if tab(ui, press(name, key, stage.about()), s.stage == stage).clicked() {
                    actions.push(Action::Stage(stage));
                }
            }
        });
    });
}

/// A word on the slate head, underlined where it is where one is.
fn tab(ui: &mut Ui, what: Press<'_>, on: bool) -> egui::Response {
    let Press { text, key, about } = what;
    let color = if on { Color32::WHITE } else { theme::ON_SLATE_SOFT };
    let font = if on { theme::bold(theme::BODY) } else { theme::plain(theme::BODY) };
    let words = ui.painter().layout_no_wrap(text.into(), font, color);
    let cap = ui.painter().layout_no_wrap(key.into(), theme::plain(theme::SMALL), color);
    let sign = icon::room(text, TAB_SIGN);
    let size = vec2(sign + words.size().x + cap.size().x + 24.0, 36.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| egui::WidgetInfo::selected(egui::WidgetType::Button, true, on, text));
    if on {
        ui.painter().rect_filled(
            Rect::from_min_max(Pos2::new(rect.min.x, rect.max.y - 3.0), rect.max),
            1.0,
            Color32::WHITE,
        );
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 4.0, Color32::from_white_alpha(24));
    }
    let y = rect.center().y;
    let left = rect.min.x + 9.0;
    icon::paint(ui.painter(), text, Pos2::new(left, y), TAB_SIGN, color);
    let left = left + sign;
    let key_x = left + words.size().x + 6.0;
    let at = Pos2::new(left, y - 0.5 * words.size().y);
    ui.painter().galley(at, words, color);
    let at = Pos2::new(key_x, y - 0.5 * cap.size().y + 1.0);
    ui.painter().galley(at, cap, color.gamma_multiply(0.8));
    response.on_hover_text(about)
}

/// The caution, always in sight.
pub(super) fn foot(ui: &mut Ui) {
    ui.add(
        egui::Label::new(
            RichText::new(CAUTION).font(theme::plain(theme::SMALL)).color(theme::ON_SLATE),
        )
        .wrap(),
    );
}

/// From where one looks, and what is shown over the yard.
pub(super) fn sights(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Vec<Action>) {
    egui::Panel::top("sights")
        .frame(egui::Frame::new().fill(theme::PAPER.on(ui)).inner_margin(Margin::symmetric(8, 5)))
        .show_separator_line(false)
        .show(ui, |ui| chips(ui, s, actions));
}

fn chips(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(4.0, 4.0);
        for (i, (view, name)) in View::ALL.into_iter().enumerate() {
            if chip(ui, press(name, &(i + 1).to_string(), "Where one looks from"), false).clicked()
            {
                actions.push(Action::Look(view));
            }
        }
        ui.add_space(theme::STEP);
        for (which, name, key) in Overlay::ALL {
            if chip(ui, press(name, key, which.about()), s.overlays.has(which)).clicked() {
                actions.push(Action::Toggle(which));
            }
        }
        if matches!(s.stage, Stage::Lift | Stage::LookBack)
            && chip(ui, press("Compare", "F6", "Two runs side by side, in step"), s.pair.is_some())
                .clicked()
        {
            actions.push(Action::NextBeside);
        }
    });
}

/// In a window narrower than this the line of time has a row of its own, points.
const TIME_BELOW: f32 = 1400.0;
/// Height of the line of time, and what is between it and the buttons, points.
const TIME_HIGH: f32 = 28.0;
const TIME_GAP: f32 = 2.0;

fn time_below(ui: &Ui) -> bool {
    ui.ctx().viewport_rect().width() < TIME_BELOW
}

fn time(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.y = TIME_GAP;
    ui.horizontal(|ui| {
        let (text, look) = if s.playing { ("Pause", Look::Plain) } else { ("Play", Look::Main) };
        let about = "Lets the lift go on, or stand still";
        if button(ui, press(text, "Space", about), look, 116.0).clicked() {
            actions.push(Action::PlayOrPause);
        }
        let slow = if s.slow { Look::On } else { Look::Plain };
        if button(ui, press("Slow \u{00D7}1/4", "Z", "A quarter of the pace"), slow, 0.0).clicked()
        {
            actions.push(Action::SlowOrNot);
        }
        if button(ui, press("Back", ",", "One moment back"), Look::Plain, 0.0).clicked() {
            actions.push(Action::Step(false));
        }
        if button(ui, press("Step", ".", "One moment on"), Look::Plain, 0.0).clicked() {
            actions.push(Action::Step(true));
        }
        if button(ui, press("Restart", "R", "From the start once more"), Look::Plain, 0.0).clicked()
        {
            actions.push(Action::Restart);
        }
        let (who, look) = if s.script { ("Script", Look::On) } else { ("By hand", Look::Plain) };
        let about = "Who gives the orders: the scene's script, or you";
        if button(ui, press(who, "X", about), look, 104.0).clicked() {
            actions.push(Action::Script(!s.script));
        }
        let look = if s.freeze { Look::On } else { Look::Plain };
        let about = "Stand still at the moment when something goes wrong";
        if button(ui, press("Stop if amiss", "P", about), look, 0.0).clicked() {
            actions.push(Action::Freeze);
        }
        ui.add_space(theme::STEP);
        let clock = format!("{:.1} s", s.now.t_s.max(0.0));
        let (rect, _) = ui.allocate_exact_size(vec2(72.0, 32.0), Sense::hover());
        ui.painter().text(
            Pos2::new(rect.max.x, rect.center().y),
            egui::Align2::RIGHT_CENTER,
            clock,
            theme::bold(theme::FIGURE),
            theme::INK.on(ui),
        );
        ui.add_space(theme::STEP);
        let note = if s.broken {
            "Stopped"
        } else if s.frozen {
            "Amiss here"
        } else if s.looking_back {
            "Back to now"
        } else if s.done {
            "At its end"
        } else {
            "Now"
        };
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let look = if s.looking_back { Look::Main } else { Look::Idle };
            let about = "To the latest moment of the lift";
            if button(ui, press(note, "End", about), look, 112.0).clicked() && s.looking_back {
                actions.push(Action::ToNow);
            }
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

/// The whole lift so far as a line; drag along it to look back.
fn timeline(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Vec<Action>) {
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
    for finding in s.all_findings {
        widget::finding_sign(painter, Pos2::new(x(finding.t_s), track.min.y - 6.0), 7.0);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::debrief::Moment;
    use crate::lift::Lift;
    use crate::scene;
    use crate::view::shelf;
    use std::sync::Arc;

    fn reel(lift: &Lift) -> Reel {
        let parts = Arc::new(lift.parts().to_vec());
        let first = Moment { parts, snapshot: lift.snapshot().clone(), findings: Vec::new() };
        Reel::new(lift.scene().clone(), first)
    }

    fn state<'a>(lift: &'a Lift, reel: &'a Reel, stage: Stage) -> LiftState<'a> {
        LiftState {
            reel,
            other: None,
            pair: None,
            twin: Some(lift.scene()),
            freeze: false,
            frozen: false,
            scene: lift.scene(),
            start: lift.snapshot(),
            now: lift.snapshot(),
            findings: lift.findings(),
            all_findings: lift.findings(),
            said: lift.said(),
            struck: lift.struck(),
            instructor: true,
            guide: Some(Box::leak(Box::default())),
            most_gap_m: vec![0.1; lift.scene().limbs.len()],
            most_load_n: Vec::new(),
            lesson: Vec::new(),
            units: System::Si,
            stage,
            playing: false,
            slow: false,
            script: true,
            done: false,
            broken: false,
            impossible: None,
            looking_back: false,
            end_s: 12.0,
            valve: 0.3,
            held: &[],
            overlays: Overlays::default(),
            measure: Box::leak(Box::default()),
        }
    }

    fn beam_lift() -> Lift {
        let loaded = scene::load("beam-lift", &[]).expect("a shipped scene loads");
        Lift::new(Arc::new(loaded.scene))
    }

    /// Draws a screen for some frames with the pointer at a place, and gives what it
    /// asked for in the last one.
    fn frames(
        size: egui::Vec2,
        events: &[Vec<egui::Event>],
        mut screen: impl FnMut(&mut Ui) -> Vec<Action>,
    ) -> (Vec<Action>, Vec<egui::epaint::ClippedShape>) {
        let ctx = egui::Context::default();
        theme::apply(&ctx);
        let mut last = (Vec::new(), Vec::new());
        for events in events {
            let input = egui::RawInput {
                screen_rect: Some(Rect::from_min_size(Pos2::ZERO, size)),
                events: events.clone(),
                ..Default::default()
            };
            let mut actions = Vec::new();
            let output = ctx.run_ui(input, |ui| actions = screen(ui));
            last = (actions, output.shapes);
        }
        last
    }

    /// Where a text is drawn.
    fn place_of(text: &str, shapes: &[egui::epaint::ClippedShape]) -> Pos2 {
        shapes
            .iter()
            .find_map(|s| match &s.shape {
                egui::Shape::Text(t) if t.galley.text() == text => {
                    Some(t.pos + 0.5 * t.galley.size())
                }
                _ => None,
            })
            .unwrap_or_else(|| panic!("\"{text}\" is not on screen"))
    }

    fn press(at: Pos2, pressed: bool) -> egui::Event {
        egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Primary,
            pressed,
            modifiers: egui::Modifiers::NONE,
        }
    }

    #[test]
    fn every_screen_draws_at_any_size_and_shows_the_caution() {
        let lift = beam_lift();
        let reel = reel(&lift);
        for size in [vec2(200.0, 120.0), vec2(1280.0, 720.0), vec2(3840.0, 2160.0)] {
            for (stage, ..) in Stage::ALL {
                let state = state(&lift, &reel, stage);
                let (_, shapes) =
                    frames(size, &vec![Vec::new(); 3], |ui| lift_screen(ui, &state).0);
                if size.x > 1000.0 {
                    place_of(CAUTION, &shapes);
                }
            }
            let scenes = [lift.scene().clone()];
            let (_, shapes) = frames(size, &vec![Vec::new(); 3], |ui| {
                let shown = shelf::Shown {
                    scenes: &scenes,
                    chosen: 0,
                    kept: &[],
                    vehicles: &["van".to_owned()],
                    units: System::Us,
                    trouble: Some("trouble"),
                    plain_by_itself: true,
                    twin: Some(&*scenes[0]),
                };
                shelf::shelf(ui, &shown)
            });
            if size.x > 1000.0 {
                place_of(CAUTION, &shapes);
            }
            frames(size, &vec![Vec::new(); 2], |ui| {
                let shown = shelf::Shown {
                    scenes: &[],
                    chosen: 7,
                    kept: &[],
                    vehicles: &[],
                    units: System::Si,
                    trouble: None,
                    plain_by_itself: false,
                    twin: None,
                };
                shelf::shelf(ui, &shown)
            });
        }
    }

    /// A start that cannot be is told in every stage where it could be believed.
    #[test]
    fn an_impossible_start_is_told() {
        let lift = beam_lift();
        let reel = reel(&lift);
        let why = "this start cannot be: the beam and the ground press on each other";
        for stage in [Stage::SizeUp, Stage::Lift, Stage::LookBack] {
            let mut state = state(&lift, &reel, stage);
            let told = |state: &LiftState<'_>| {
                let size = vec2(1280.0, 720.0);
                let (_, shapes) = frames(size, &vec![Vec::new(); 3], |ui| lift_screen(ui, state).0);
                shapes.iter().any(|s| match &s.shape {
                    egui::Shape::Text(t) => t.galley.text().contains(why),
                    _ => false,
                })
            };
            assert!(!told(&state));
            state.impossible = Some(why);
            assert!(told(&state), "{stage:?}");
        }
    }

    /// A button held down asks in every frame, and no more once it is let go.
    #[test]
    fn a_raise_button_holds_its_outlet() {
        let lift = beam_lift();
        let reel = reel(&lift);
        let state = state(&lift, &reel, Stage::Lift);
        let size = vec2(1280.0, 720.0);
        let draw = |ui: &mut Ui| lift_screen(ui, &state).0;
        let (_, shapes) = frames(size, &vec![Vec::new(); 3], draw);
        let at = place_of("Raise", &shapes);
        let over = vec![egui::Event::PointerMoved(at)];
        let down = vec![press(at, true)];
        let held = [Vec::new(), over.clone(), down.clone(), Vec::new()];
        let (actions, _) = frames(size, &held, draw);
        assert_eq!(actions, [Action::Hold(0, Way::Up)]);
        let let_go = [Vec::new(), over, down, vec![press(at, false)], Vec::new()];
        let (actions, _) = frames(size, &let_go, draw);
        assert_eq!(actions, []);
    }
}

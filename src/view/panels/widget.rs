//! The few controls that every panel is made of, in our own look.

use super::icon::{self, Icon};
use super::input::Inputs;
use crate::scene::{Expect, Outcome, Scene};
use crate::session::{Action, EndingsTold};
use crate::view::theme;
use bevy_egui::egui::accesskit;
use bevy_egui::egui::scroll_area::ScrollAreaOutput;
use bevy_egui::egui::{
    self, Align, Align2, Color32, CornerRadius, Layout, Pos2, Rect, Response, RichText, Sense,
    Stroke, StrokeKind, Ui, vec2,
};
use std::f32::consts::PI;

/// Less than this below the edge is nothing to scroll for, points.
const SMALLEST_REST: f32 = 6.0;

/// Less than this of a line beyond an edge is no letter of it, points.
const SOFT_EDGE: f32 = 1.0;

/// Height of the band that says so, points.
pub const MORE_BAND: f32 = 24.0;

pub fn heading(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(theme::bold(theme::HEAD)).color(theme::INK.on(ui)));
}

/// A small heading above a group.
pub fn section(ui: &mut Ui, text: &str) {
    ui.add_space(0.5 * theme::STEP);
    ui.label(RichText::new(text).font(theme::bold(theme::SMALL)).color(theme::SOFT.on(ui)));
}

pub fn body(ui: &mut Ui, text: impl Into<String>) {
    ui.label(RichText::new(text).font(theme::plain(theme::BODY)));
}

pub fn soft(ui: &mut Ui, text: impl Into<String>) -> Response {
    ui.label(RichText::new(text).font(theme::plain(theme::SMALL)).color(theme::SOFT.on(ui)))
}

/// A row as high as a button, with everything in the middle of its height.
pub fn row<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    let shown = ui.scope(|ui| {
        ui.spacing_mut().interact_size.y = BUTTON_HIGH;
        ui.horizontal(add).inner
    });
    shown.inner
}

/// A list over the shelf, with its title, the key that closes it too, and what is said of it.
pub fn over_the_shelf(
    ctx: &egui::Context,
    [title, key, about]: [&str; 3],
    close: &Action,
    add: impl FnOnce(&mut Ui, &mut Inputs),
) -> Inputs {
    let mut actions = Inputs::default();
    let modal = egui::Modal::new(egui::Id::new(title))
        .frame(theme::card(ctx).inner_margin(20))
        .show(ctx, |ui| {
            ui.set_width(640.0_f32.min(ctx.viewport_rect().width() - 80.0));
            row(ui, |ui| {
                heading(ui, title);
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    let back = press("Close", key, "Back to the shelf").with(Icon::Remove);
                    if button(ui, back, ButtonState::Plain, 0.0).clicked() {
                        actions.push(close.clone());
                    }
                });
            });
            soft(ui, about);
            add(ui, &mut actions);
        });
    if modal.should_close() {
        actions.push(close.clone());
    }
    actions
}

/// A list that scrolls up and down: it says to a screen reader how far it has, and to the eye that
/// there is more below.
pub fn scrolled(ui: &mut Ui, area: egui::ScrollArea, add: impl FnOnce(&mut Ui)) {
    let shown = area.show(ui, add);
    let seen = shown.inner_rect;
    ui.ctx().accesskit_node_builder(shown.id.with("scrolled"), |node| {
        node.set_role(accesskit::Role::ScrollView);
        let [x0, y0, x1, y1] = [seen.min.x, seen.min.y, seen.max.x, seen.max.y].map(f64::from);
        node.set_bounds(accesskit::Rect { x0, y0, x1, y1 });
        node.set_scroll_y(f64::from(shown.state.offset.y));
        node.set_scroll_y_min(0.0);
        node.set_scroll_y_max(f64::from((shown.content_size.y - seen.height()).max(0.0)));
    });
    more_below(ui, &shown);
}

/// A column that scrolls where it is too long.
pub fn scroll(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    scrolled(ui, egui::ScrollArea::vertical().auto_shrink([false, false]), add);
}

/// The band at the foot of a list that says that there is more below.
fn more_below(ui: &Ui, shown: &ScrollAreaOutput<()>) {
    let seen = shown.inner_rect;
    let below = shown.content_size.y - seen.height() - shown.state.offset.y;
    if below < SMALLEST_REST {
        return;
    }
    // It hides the line that it would slice, too.
    let edge = seen.max.y - MORE_BAND;
    let top = sliced(ui, seen, edge).unwrap_or(edge);
    let rect = Rect::from_min_max(egui::pos2(seen.min.x, top), seen.max);
    let response = ui.interact(rect, shown.id.with("more"), Sense::click());
    response
        .widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Button, true, "More below"));
    let ground =
        if ui.layer_id().order == egui::Order::Background { theme::PAPER } else { theme::CARD };
    let fill = if response.hovered() { theme::PALE_BLUE } else { ground }.on(ui);
    let painter = ui.painter();
    painter.rect_filled(rect, 0.0, fill);
    painter.hline(rect.x_range(), edge, Stroke::new(1.0, theme::LINE.on(ui)));
    let font = theme::bold(theme::SMALL);
    let (more, color) = ("\u{25BC} more", theme::BLUE.on(ui));
    let at = egui::pos2(rect.center().x, 0.5 * (edge + seen.max.y));
    painter.text(at, Align2::CENTER_CENTER, more, font, color);
    if response.on_hover_text("Shows what is below; the wheel does too").clicked() {
        let mut state = shown.state;
        state.offset.y += below.min(0.8 * seen.height());
        state.store(ui.ctx(), shown.id);
    }
}

/// How far up an edge has to go so that it goes through no line of text in a list; nothing where it
/// goes through none.
fn sliced(ui: &Ui, seen: Rect, edge: f32) -> Option<f32> {
    let mut lines: Vec<Rect> = Vec::new();
    ui.ctx().graphics(|layers| {
        let painted = layers.get(ui.layer_id()).into_iter().flat_map(|list| list.all_entries());
        for clipped in painted {
            let egui::Shape::Text(text) = &clipped.shape else { continue };
            let rows = text.galley.rows.iter();
            let rows = rows.map(|row| row.rect().translate(text.pos.to_vec2()));
            lines.extend(rows.filter(|line| seen.x_range().contains(line.center().x)));
        }
    });
    let mut top = edge;
    // Lines side by side need not be at the same height: above one may be the middle of another.
    while let Some(line) = lines.iter().find(|l| l.min.y < top && l.max.y > top + SOFT_EDGE) {
        top = line.min.y;
    }
    (top < edge).then_some(top)
}

/// How a scene should end, in the words of a finding.
pub fn expected(expect: Expect) -> String {
    match (expect.cause, expect.outcome) {
        (Some(cause), _) => cause.say().to_lowercase(),
        (None, Outcome::Incomplete) => "falls short of its aims".into(),
        (None, Outcome::Lifted | Outcome::Failed) => expect.outcome.word().into(),
    }
}

/// The twin of a lesson whose ending may be told; how the twin ends, and why, where that may be
/// told as well.
pub fn twin(ui: &mut Ui, endings: EndingsTold<'_>, scene: &Scene, twin: Option<&Scene>) {
    let Some(twin) = twin.filter(|_| endings.is_told(scene)) else { return };
    section(ui, "PAIRED LESSON, ONE CHANGE");
    ui.label(RichText::new(&twin.name).font(theme::bold(theme::BODY)));
    if endings.is_told(twin) {
        body(ui, format!("Expected result: {}.", expected(twin.expect)));
        body(ui, &twin.teaches);
    }
}

/// A name on the left, its value on the right.
pub fn fact(ui: &mut Ui, name: &str, value: impl Into<String>) {
    ui.horizontal_top(|ui| {
        let width = 0.42 * ui.available_width();
        ui.scope(|ui| {
            ui.set_width(width);
            ui.add(
                egui::Label::new(
                    RichText::new(name).font(theme::plain(theme::BODY)).color(theme::SOFT.on(ui)),
                )
                .wrap(),
            );
        });
        ui.add(egui::Label::new(RichText::new(value).font(theme::bold(theme::BODY))).wrap());
    });
}

/// Sides of a sign on a button and on a small one, points.
const SIGN: f32 = 15.0;
const SMALL_SIGN: f32 = 11.0;

/// Height of the letters of a dial's scale, points.
const SCALE_TEXT: f32 = 10.0;

/// Height of a button, points.
pub const BUTTON_HIGH: f32 = 31.0;

/// What a button has left and right of its content together, points.
const ROOMY: f32 = 20.0;
const TIGHT: f32 = 12.0;

/// The state of a button.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum ButtonState {
    Plain,
    /// Switched on, or held down.
    On,
    /// The most likely next action.
    Main,
    /// Has no effect now.
    Idle,
}

/// What is pressed: its word and its sign, the key that does the same, and what it does.
#[derive(Clone, Copy)]
pub struct Press<'a> {
    pub sign: Option<Icon>,
    pub text: &'a str,
    pub key: &'a str,
    pub about: &'a str,
}

/// Without a sign.
pub fn press<'a>(text: &'a str, key: &'a str, about: &'a str) -> Press<'a> {
    Press { sign: None, text, key, about }
}

impl Press<'_> {
    /// With a sign before the word.
    pub fn with(self, sign: Icon) -> Self {
        Self { sign: Some(sign), ..self }
    }
}

/// A button with its icon and its key; a tooltip says what it does.
pub fn button(ui: &mut Ui, what: Press<'_>, look: ButtonState, width: f32) -> Response {
    let Press { sign: icon, text, key, about } = what;
    let font = theme::plain(theme::BODY);
    let words = ui.painter().layout_no_wrap(text.into(), font, Color32::PLACEHOLDER);
    let cap = (!key.is_empty()).then(|| {
        ui.painter().layout_no_wrap(key.into(), theme::bold(theme::SMALL), Color32::PLACEHOLDER)
    });
    let cap_width = cap.as_ref().map_or(0.0, |c| c.size().x + 10.0);
    let sign = icon::room(icon, SIGN);
    let content = sign + words.size().x + cap_width + if cap.is_some() { 6.0 } else { 0.0 };
    // In a column of its own width a long word comes nearer to the edge.
    let around = if width > 0.0 { TIGHT } else { ROOMY };
    let size = vec2((content + around).max(width), BUTTON_HIGH);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    response.widget_info(|| {
        egui::WidgetInfo::selected(
            egui::WidgetType::Button,
            look != ButtonState::Idle,
            look == ButtonState::On,
            text,
        )
    });
    let response = response.on_hover_text(about);
    if !ui.is_rect_visible(rect) {
        return response;
    }
    let (mut fill, mut line, mut ink) = match look {
        ButtonState::Plain => (theme::CARD.on(ui), theme::LINE.on(ui), theme::INK.on(ui)),
        ButtonState::On => (theme::BLUE.on(ui), theme::BLUE.on(ui), theme::ON_BLUE.on(ui)),
        ButtonState::Main => (theme::MAIN.on(ui), theme::MAIN.on(ui), theme::ON_SLATE),
        ButtonState::Idle => (theme::SUNK.on(ui), theme::LINE.on(ui), theme::SOFT.on(ui)),
    };
    if response.is_pointer_button_down_on() && look != ButtonState::Idle {
        (fill, line, ink) = (theme::BLUE.on(ui), theme::BLUE.on(ui), theme::ON_BLUE.on(ui));
    } else if response.hovered() && look == ButtonState::Plain {
        (fill, line) = (theme::PALE_BLUE.on(ui), theme::BLUE.on(ui));
    }
    let painter = ui.painter();
    painter.rect(rect, 5.0, fill, Stroke::new(1.0, line), StrokeKind::Inside);
    if response.has_focus() {
        painter.rect_stroke(
            rect.expand(2.0),
            6.0,
            Stroke::new(2.0, theme::BLUE.on(ui)),
            StrokeKind::Inside,
        );
    }
    let left = rect.center().x - 0.5 * content;
    icon::paint(painter, icon, Pos2::new(left, rect.center().y), SIGN, ink);
    let left = left + sign;
    let at = Pos2::new(left, rect.center().y - 0.5 * words.size().y);
    let words_width = words.size().x;
    painter.galley(at, words, ink);
    if let Some(cap) = cap {
        let key_rect = Rect::from_center_size(
            Pos2::new(left + words_width + 6.0 + 0.5 * cap_width, rect.center().y),
            vec2(cap_width, 18.0),
        );
        painter.rect_stroke(
            key_rect,
            3.0,
            Stroke::new(1.0, ink.gamma_multiply(0.55)),
            StrokeKind::Inside,
        );
        let at = key_rect.center() - 0.5 * cap.size();
        painter.galley(at, cap, ink);
    }
    response
}

/// Height of a small button, points.
pub const CHIP_HIGH: f32 = 23.0;

/// A small button with its key in the tool tip; a tick says that it is on.
pub fn chip(ui: &mut Ui, what: Press<'_>, on: bool) -> Response {
    chip_called(ui, what.text, what, on)
}

/// ... with a name that tells it from others that say the same.
pub fn chip_called(ui: &mut Ui, name: &str, what: Press<'_>, on: bool) -> Response {
    let Press { sign: icon, text, key, about } = what;
    let sign = if on { 0.0 } else { icon::room(icon, SMALL_SIGN) };
    let text = if on { format!("\u{2713} {text}") } else { text.to_owned() };
    let ink = if on { theme::BLUE.on(ui) } else { theme::INK.on(ui) };
    let words = ui.painter().layout_no_wrap(text, theme::plain(theme::SMALL), ink);
    let size = vec2(sign + words.size().x + 16.0, CHIP_HIGH);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| egui::WidgetInfo::selected(egui::WidgetType::Button, true, on, name));
    let fill = if on || response.hovered() { theme::PALE_BLUE.on(ui) } else { theme::CARD.on(ui) };
    let line = if on || response.has_focus() { theme::BLUE.on(ui) } else { theme::LINE.on(ui) };
    ui.painter().rect(rect, 11.0, fill, Stroke::new(1.0, line), StrokeKind::Inside);
    let y = rect.center().y;
    if sign > 0.0 {
        icon::paint(ui.painter(), icon, Pos2::new(rect.min.x + 8.0, y), SMALL_SIGN, ink);
    }
    let at = Pos2::new(rect.min.x + 8.0 + sign, y - 0.5 * words.size().y);
    ui.painter().galley(at, words, ink);
    response.on_hover_text(with_its_key(about, key))
}

/// What a thing does, with the key that does the same.
fn with_its_key(about: &str, key: &str) -> String {
    if key.is_empty() { about.to_owned() } else { format!("{about} (key {key})") }
}

/// A button that has its key in the tool tip, where many are side by side.
pub fn slim_button(ui: &mut Ui, what: Press<'_>, look: ButtonState, width: f32) -> Response {
    let about = with_its_key(what.about, what.key);
    button(ui, Press { key: "", about: &about, ..what }, look, width)
}

/// A dial of a share from 0 to 1 with a mark at each quarter and at 1: an arc that fills, and a hand.
/// Its foot says what the scale goes from and to.
pub fn dial(ui: &mut Ui, share: f32, over: bool, scale: &str) {
    let (rect, _) = ui.allocate_exact_size(vec2(56.0, 40.0), Sense::hover());
    let painter = ui.painter();
    let (middle, radius) = (rect.center() + vec2(0.0, 6.0), 19.0);
    let (from, sweep) = (0.80 * PI, 1.40 * PI);
    // The scale goes on past the working pressure by a tenth.
    let angle = |s: f32| from + sweep * (s.clamp(0.0, 1.1) / 1.1);
    let at = |a: f32, r: f32| middle + r * vec2(a.cos(), a.sin());
    let arc = |a: f32, b: f32, r: f32, stroke: Stroke| {
        let points: Vec<Pos2> = (0..=32).map(|i| at(a + (b - a) * i as f32 / 32.0, r)).collect();
        painter.add(egui::Shape::line(points, stroke));
    };
    let color = if over { theme::VERMILION.on(ui) } else { theme::BLUE.on(ui) };
    arc(from, from + sweep, radius, Stroke::new(6.0, theme::SUNK.on(ui)));
    if share > 0.004 {
        arc(from, angle(share), radius, Stroke::new(6.0, color));
    }
    for quarter in [0.0, 0.25, 0.5, 0.75] {
        let mark = angle(quarter);
        let ends = [at(mark, radius + 1.0), at(mark, radius + 4.0)];
        painter.line_segment(ends, Stroke::new(1.0, theme::SOFT.on(ui)));
    }
    let mark = angle(1.0);
    painter.line_segment(
        [at(mark, radius - 6.0), at(mark, radius + 5.0)],
        Stroke::new(2.0, theme::INK.on(ui)),
    );
    let foot = middle + vec2(0.0, 10.0);
    let font = theme::plain(SCALE_TEXT);
    painter.text(foot, Align2::CENTER_CENTER, scale, font, theme::SOFT.on(ui));
    painter.line_segment(
        [middle, at(angle(share), radius - 5.0)],
        Stroke::new(2.0, theme::INK.on(ui)),
    );
    painter.circle_filled(middle, 3.5, theme::INK.on(ui));
}

/// A bar from 0 to 1 with an optional mark on it.
pub fn bar(ui: &mut Ui, share: f32, mark: Option<f32>, color: Color32, height: f32) {
    // A mark goes over its edges.
    let over = if mark.is_some() { 4.0 } else { 1.0 };
    let size = vec2(ui.available_width(), height + 2.0 * over);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let painter = ui.painter();
    let track = rect.shrink2(vec2(0.0, over));
    let round = CornerRadius::same((0.5 * height).min(4.0) as u8);
    painter.rect_filled(track, round, theme::SUNK.on(ui));
    let mut full = track;
    full.max.x = track.min.x + share.clamp(0.0, 1.0) * track.width();
    if full.width() > 1.0 {
        painter.rect_filled(full, round, color);
    }
    if let Some(mark) = mark {
        let x = track.min.x + mark.clamp(0.0, 1.0) * track.width();
        painter.line_segment(
            [Pos2::new(x, rect.min.y), Pos2::new(x, rect.max.y)],
            Stroke::new(2.5, theme::INK.on(ui)),
        );
    }
}

/// The sign of something wrong: a pin with its number in the list, as over the yard, or with "!"
/// where it has none.
pub fn pin(painter: &egui::Painter, at: Pos2, r: f32, number: &str) {
    painter.circle(at, r, theme::VERMILION.day, Stroke::new(1.0, Color32::WHITE));
    painter.text(at, Align2::CENTER_CENTER, number, theme::bold(1.2 * r), Color32::WHITE);
}

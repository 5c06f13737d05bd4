//! The start screen: the shelf of scenes, what the chosen one teaches, a side view
//! of how it lies, and the caution. Also the messages between screens and the keys.

use super::head::foot;
use super::input::Inputs;
use super::widget::{self, Look, button, chip, press, section};
use crate::debrief::{self, CAUTION};
use crate::draft::keep::Kept;
use crate::scene::Scene;
use crate::session::{Action, Chosen, Session};
use crate::units::System;
use crate::view::theme;
use bevy_egui::egui::{
    self, Align, Align2, Color32, Layout, Margin, Pos2, Rect, RichText, Sense, Shape, Stroke, Ui,
    pos2, vec2,
};
use std::path::PathBuf;
use std::sync::Arc;

/// Height of the buttons below what is told of a scene, points.
const ABOUT_FOOT: f32 = 56.0;
/// From this width on there is room for two columns of it, points.
const TWO_COLUMNS: f32 = 1000.0;

/// What the shelf shows.
pub struct ShelfState<'a> {
    pub scenes: &'a [Arc<Scene>],
    pub chosen: usize,
    /// Set-ups that were left unsaved.
    pub kept: &'a [Kept],
    /// Vehicles to begin from nothing with.
    pub vehicles: &'a [String],
    pub units: System,
    pub trouble: Option<&'a str>,
    /// The chosen scene's twin.
    pub twin: Option<&'a Scene>,
    /// Graphics are plain because the machine has no card for more.
    pub plain_by_itself: bool,
}

impl<'a> ShelfState<'a> {
    /// How a session's shelf stands.
    pub fn of(session: &'a Session) -> Self {
        let scenes = session.scenes();
        let by_itself = session.settings().plain_graphics == Chosen::ByItself;
        Self {
            scenes: scenes.all(),
            chosen: scenes.chosen(),
            kept: scenes.unsaved(),
            vehicles: scenes.vehicles(),
            units: session.units(),
            trouble: session.trouble(),
            twin: session.twin_scene(),
            plain_by_itself: session.plain() && by_itself,
        }
    }
}

/// The shelf; gives what was asked for.
pub fn shelf(ui: &mut Ui, s: &ShelfState<'_>) -> Inputs {
    let &ShelfState { scenes, chosen, units, trouble, .. } = s;
    let mut actions = Inputs::default();
    egui::Panel::top("title")
        .frame(egui::Frame::new().fill(theme::SLATE).inner_margin(Margin::symmetric(28, 18)))
        .show_separator_line(false)
        .show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.vertical(|ui| {
                    ui.label(
                        RichText::new("Inchwise")
                            .font(theme::bold(theme::BIG))
                            .color(theme::ON_SLATE),
                    );
                    ui.label(
                        RichText::new(
                            "Rehearse the lift of an overturned vehicle off a trapped casualty.",
                        )
                        .font(theme::plain(theme::BODY))
                        .color(theme::ON_SLATE_SOFT),
                    );
                });
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if button(ui, press("Keys", "H", "Every key"), Look::Plain, 0.0).clicked() {
                        actions.push(Action::Help);
                    }
                    if button(
                        ui,
                        press("First lift, guided", "I", "Learn the window by making a lift"),
                        Look::Plain,
                        0.0,
                    )
                    .clicked()
                    {
                        actions.push(Action::Guide);
                    }
                    if button(ui, press("Large text", "B", "For a big screen"), Look::Plain, 0.0)
                        .clicked()
                    {
                        actions.push(Action::Big);
                    }
                    let text = match ui.theme() {
                        egui::Theme::Light => "Light panels",
                        egui::Theme::Dark => "Dark panels",
                    };
                    if button(
                        ui,
                        press(text, "F8", "Light or dark, for the room"),
                        Look::Plain,
                        0.0,
                    )
                    .clicked()
                    {
                        actions.push(Action::Dark);
                    }
                    let text = match units {
                        System::Si => "Metric",
                        System::Us => "Feet and pounds",
                    };
                    if button(ui, press(text, "U", "The units that are shown"), Look::Plain, 0.0)
                        .clicked()
                    {
                        actions.push(Action::Units);
                    }
                });
            });
        });
    egui::Panel::bottom("foot")
        .frame(egui::Frame::new().fill(theme::SLATE).inner_margin(Margin::symmetric(28, 8)))
        .show_separator_line(false)
        .show(ui, foot);
    egui::Panel::left("scenes")
        .exact_size((0.3 * ui.available_width()).clamp(380.0, 470.0))
        .resizable(false)
        .frame(egui::Frame::new().fill(theme::PAPER.on(ui)).inner_margin(Margin::symmetric(20, 14)))
        .show(ui, |ui| {
            // In sight however long the list is.
            egui::Panel::bottom("begin")
                .frame(egui::Frame::NONE)
                .show_separator_line(false)
                .show(ui, |ui| begin(ui, s.vehicles, &mut actions));
            widget::scroll(ui, |ui| {
                kept(ui, s.kept, &mut actions);
                list(ui, scenes, chosen, &mut actions);
            });
        });
    egui::CentralPanel::default()
        .frame(egui::Frame::new().fill(theme::PAPER.on(ui)).inner_margin(Margin::symmetric(28, 16)))
        .show(ui, |ui| {
            if let Some(trouble) = trouble {
                egui::Frame::new()
                    .fill(theme::PALE_WARN.on(ui))
                    .corner_radius(6)
                    .inner_margin(10)
                    .show(ui, |ui| widget::body(ui, trouble));
            }
            match scenes.get(chosen) {
                Some(scene) => about(ui, s, scene, &mut actions),
                None => widget::body(
                    ui,
                    "There is no scene on the shelf. Put scene files into the folder `scenes` and \
                     start again.",
                ),
            }
        });
    actions
}

/// What was left unsaved, to be taken up again.
fn kept(ui: &mut Ui, kept: &[Kept], actions: &mut Inputs) {
    if kept.is_empty() {
        return;
    }
    ui.label(
        RichText::new("Not saved yet").font(theme::bold(theme::BODY)).color(theme::SOFT.on(ui)),
    );
    for kept in kept {
        theme::card(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.add(
                egui::Label::new(RichText::new(&kept.name).font(theme::bold(theme::BODY)))
                    .truncate(),
            );
            // Work goes only where a hand says so twice, in two places.
            let id = ui.id().with("throw away");
            let asked = ui.data(|d| d.get_temp(id)).as_ref() == Some(&kept.path);
            let ask = |ui: &Ui, path: PathBuf| ui.data_mut(|d| d.insert_temp(id, path));
            ui.horizontal(|ui| {
                widget::soft(ui, if asked { "Gone for good?".into() } else { age(kept.age_s) });
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if asked {
                        if chip(ui, press("Keep it", "", "It stays as it was left"), false)
                            .clicked()
                        {
                            ask(ui, PathBuf::new());
                        }
                        let about = "No way back from this";
                        if chip(ui, press("Yes, throw away", "", about), false).clicked() {
                            actions.push(Action::ThrowAway(kept.path.clone()));
                        }
                        return;
                    }
                    if chip(ui, press("Throw away", "", "Asks once more"), false).clicked() {
                        ask(ui, kept.path.clone());
                    }
                    if chip(ui, press("Go on with it", "", "Opens it as it was left"), false)
                        .clicked()
                    {
                        actions.push(Action::TakeUp(kept.path.clone()));
                    }
                });
            });
        });
    }
}

fn age(s: u64) -> String {
    match s {
        0..60 => "just now".into(),
        60..3600 => format!("{} min ago", s / 60),
        3600..172_800 => format!("{} h ago", s / 3600),
        _ => format!("{} days ago", s / 86_400),
    }
}

/// A set-up of one's own, from nothing but a vehicle.
fn begin(ui: &mut Ui, vehicles: &[String], actions: &mut Inputs) {
    ui.add_space(theme::STEP);
    ui.label(
        RichText::new("New set-up on a").font(theme::bold(theme::BODY)).color(theme::SOFT.on(ui)),
    );
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
        for name in vehicles {
            if chip(
                ui,
                press(&name.replace('-', " "), "", "On its roof, with one limb trapped"),
                false,
            )
            .clicked()
            {
                actions.push(Action::Begin(name.clone()));
            }
        }
    });
}

fn list(ui: &mut Ui, scenes: &[Arc<Scene>], chosen: usize, actions: &mut Inputs) {
    ui.spacing_mut().item_spacing.y = 4.0;
    let mut group = "";
    // Brought into sight once: held there, the list could not be scrolled away from it.
    let id = ui.id().with("in sight");
    let fresh = ui.data(|d| d.get_temp(id)) != Some(chosen);
    ui.data_mut(|d| d.insert_temp(id, chosen));
    for (i, scene) in scenes.iter().enumerate() {
        if scene.group != group {
            group = &scene.group;
            ui.add_space(theme::STEP);
            ui.label(RichText::new(group).font(theme::bold(theme::BODY)).color(theme::SOFT.on(ui)));
        }
        let on = i == chosen;
        let font = if on { theme::bold(theme::HEAD) } else { theme::plain(theme::HEAD) };
        let job = egui::text::LayoutJob {
            wrap: egui::text::TextWrapping::truncate_at_width(ui.available_width() - 28.0),
            ..egui::text::LayoutJob::simple_singleline(scene.name.clone(), font, theme::INK.on(ui))
        };
        let words = ui.painter().layout_job(job);
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), 38.0), Sense::click());
        response.widget_info(|| {
            egui::WidgetInfo::selected(egui::WidgetType::SelectableLabel, true, on, &scene.name)
        });
        if on {
            ui.painter().rect_filled(rect, 6.0, theme::PALE_BLUE.on(ui));
            let edge = Rect::from_min_size(rect.min, vec2(5.0, rect.height()));
            ui.painter().rect_filled(edge, 2.0, theme::BLUE.on(ui));
            if fresh {
                // Clear of the band that says that there is more below.
                ui.scroll_to_rect(rect.expand2(vec2(0.0, widget::MORE_BAND)), None);
            }
        } else if response.hovered() || response.has_focus() {
            ui.painter().rect_filled(rect, 6.0, theme::SUNK.on(ui));
        }
        let at = pos2(rect.min.x + 14.0, rect.center().y - 0.5 * words.size().y);
        ui.painter().galley(at, words, theme::INK.on(ui));
        let response = response.on_hover_text("Enter, or a second click, opens it");
        if response.double_clicked() {
            actions.push(Action::Open(i));
        } else if response.clicked() {
            actions.push(Action::Choose(i));
        }
    }
}

fn about(ui: &mut Ui, s: &ShelfState<'_>, scene: &Scene, actions: &mut Inputs) {
    let units = s.units;
    // The way in stands at the foot, whatever the text above needs.
    let mut above = ui.available_rect_before_wrap();
    above.max.y -= ABOUT_FOOT.min(0.5 * above.height());
    ui.scope_builder(egui::UiBuilder::new().max_rect(above), |ui| {
        widget::scroll(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 6.0;
            ui.label(RichText::new(&scene.name).font(theme::bold(26.0)));
            if ui.available_width() < TWO_COLUMNS {
                teaches(ui, scene, 0.29);
                there(ui, scene, units);
                before(ui, s, scene);
                return;
            }
            ui.spacing_mut().item_spacing.x = 4.0 * theme::STEP;
            ui.columns(2, |columns| {
                let [left, right] = columns else { return };
                // Columns would spread each line over their whole width.
                let ragged = Layout::top_down(Align::LEFT);
                for ui in [&mut *left, &mut *right] {
                    ui.spacing_mut().item_spacing.x = theme::STEP;
                }
                left.with_layout(ragged, |ui| {
                    teaches(ui, scene, 0.49);
                    there(ui, scene, units);
                });
                right.with_layout(ragged, |ui| before(ui, s, scene));
            });
        });
    });
    ui.add_space(theme::STEP);
    ui.horizontal(|ui| {
        if button(
            ui,
            press("Open this scene", "Enter", "As its author set it up"),
            Look::Main,
            240.0,
        )
        .clicked()
        {
            actions.push(Action::Open(s.chosen));
        }
        let about = "The same vehicle and casualty with nothing brought: everything is up to you";
        let pressed = button(ui, press("Set up alone", "N", about), Look::Plain, 0.0);
        if pressed.clicked() {
            actions.push(Action::OpenBare(s.chosen));
        }
        if s.plain_by_itself {
            let note = "Plain graphics: this machine has no graphics card. F7 draws in full.";
            widget::soft(ui, note);
        }
    });
}

/// What the scene teaches, and how its vehicle lies in a picture of that height for its width.
fn teaches(ui: &mut Ui, scene: &Scene, high: f32) {
    ui.add(egui::Label::new(RichText::new(&scene.teaches).font(theme::plain(16.0))).wrap());
    ui.add_space(theme::STEP);
    let wide = ui.available_width().min(900.0);
    let (rect, _) = ui.allocate_exact_size(vec2(wide, high * wide), Sense::hover());
    side_view(ui.painter(), rect, scene);
}

fn there(ui: &mut Ui, scene: &Scene, units: System) {
    ui.columns(2, |columns| {
        let [left, right] = columns else { return };
        section(left, "THERE");
        widget::fact(
            left,
            "Vehicle",
            format!("{}, {}", scene.vehicle.name, units.mass(scene.vehicle.mass_kg)),
        );
        let wet = if scene.ground.wet { "wet" } else { "dry" };
        widget::fact(left, "Ground", format!("{}, {wet}", scene.ground.surface));
        let slope = scene.ground.slope_rad.hypot(scene.ground.cross_slope_rad);
        let slope = if slope < 1e-4 { "level".to_owned() } else { units.angle(slope) };
        widget::fact(left, "Slope", slope);
        for limb in &scene.limbs {
            widget::fact(
                left,
                &format!("Trapped {}", limb.name),
                format!("needs {}", units.gap(limb.gap_needed_m)),
            );
        }
        section(right, "AT HAND");
        widget::fact(right, "Stacks", scene.stacks.len().to_string());
        widget::fact(right, "Lifting bags", scene.bags.len().to_string());
        widget::fact(right, "Beam", if scene.beam.is_some() { "yes" } else { "no" });
        widget::fact(right, "Capture stacks", scene.captures.len().to_string());
        widget::fact(right, "What is expected", widget::expected(scene.expect));
        if let Some(measure) = &scene.lesson.decides {
            widget::fact(right, "What decides", debrief::name(measure));
        }
        if scene.lesson.near {
            widget::fact(right, "Margin", "a near thing");
        }
    });
    widget::soft(ui, &scene.data);
}

/// What can be known before the lift: its orders, and why the twin ends the other way.
fn before(ui: &mut Ui, s: &ShelfState<'_>, scene: &Scene) {
    if let Some(twin) = s.twin {
        widget::twin(ui, twin);
    }
    section(ui, "THE ORDERS");
    if scene.orders.is_empty() {
        widget::soft(ui, "None: the lift is yours to plan.");
    }
    for (i, order) in scene.orders.iter().enumerate() {
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(20.0, 18.0), Sense::hover());
            ui.painter().text(
                rect.right_center(),
                Align2::RIGHT_CENTER,
                (i + 1).to_string(),
                theme::plain(theme::SMALL),
                theme::SOFT.on(ui),
            );
            let words = RichText::new(order.say(scene, s.units)).font(theme::plain(theme::BODY));
            ui.add(egui::Label::new(words).wrap());
        });
    }
}

/// How the vehicle lies, drawn from the scene's own figures: from where +Z points, and from
/// above where it lies on its side.
fn side_view(painter: &egui::Painter, rect: Rect, scene: &Scene) {
    painter.rect_filled(rect, 8.0, Color32::from_rgb(0xE4, 0xEA, 0xEE));
    let Some(pose) = scene.vehicle.pose(scene.lies) else { return };
    let from_above = scene.lies.on_side();
    let v = &scene.vehicle;
    let p = &v.profile;
    let scale = (rect.width() / 5.6).min(rect.height() / 2.75);
    let middle = pose.ground([0.0, v.profile.header[1] / 2.0, 0.0])[2];
    let ground_y = if from_above {
        rect.center().y - middle as f32 * scale
    } else {
        rect.max.y - 0.22 * rect.height()
    };
    // The nose points to the right.
    let screen =
        |[x, y]: [f64; 2]| pos2(rect.center().x + x as f32 * scale, ground_y - y as f32 * scale);
    let at = |[x, y]: [f64; 2]| {
        let [x, y, z] = pose.ground([x, y, 0.0]);
        screen([x, if from_above { -z } else { y }])
    };
    let top = if from_above { rect.min.y } else { ground_y };
    let earth = Rect::from_min_max(pos2(rect.min.x, top), rect.max);
    painter.rect_filled(earth, 8.0, Color32::from_rgb(0xC6, 0xC1, 0xB4));
    // What stands on the ground: over its length along X, and its height or its width.
    let stands = |at: [f64; 2], size: [f64; 2], low: f64, high: f64| {
        let x = [at[0] - size[0] / 2.0, at[0] + size[0] / 2.0];
        let y =
            if from_above { [-at[1] - size[1] / 2.0, -at[1] + size[1] / 2.0] } else { [low, high] };
        Rect::from_two_pos(screen([x[0], y[0]]), screen([x[1], y[1]]))
    };
    let thin = Stroke::new(1.5, theme::INK.day);
    for x in v.wheel_x_m {
        painter.circle(
            at([x, v.wheel_radius_m]),
            v.wheel_radius_m as f32 * scale,
            theme::INK.day,
            thin,
        );
        painter.circle_filled(
            at([x, v.wheel_radius_m]),
            0.55 * v.wheel_radius_m as f32 * scale,
            Color32::from_rgb(0xC9, 0xCC, 0xCE),
        );
    }
    // Lower body in convex pieces, then posts and roof as lines.
    let paint = Color32::from_rgb(0x5C, 0x87, 0xA0);
    let mut stations: Vec<f64> = vec![p.nose[0], p.cowl[0], p.deck_front[0], p.deck_rear[0]];
    stations.sort_by(|a, b| b.total_cmp(a));
    let top = |x: f64| {
        if x <= p.cowl[0] && x >= p.deck_front[0] { p.belt_y(x) } else { p.upper_y(x) }
    };
    for pair in stations.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let piece = vec![at([a, p.floor_y]), at([a, top(a)]), at([b, top(b)]), at([b, p.floor_y])];
        painter.add(Shape::convex_polygon(piece, paint, Stroke::new(1.0, paint)));
    }
    for post in &v.posts {
        let foot = [post.belt_x, p.belt_y(post.belt_x)];
        let head = [post.roof_x, p.upper_y(post.roof_x)];
        let width = (post.width_m as f32 * scale).max(2.0);
        painter.line_segment([at(foot), at(head)], Stroke::new(width, paint));
    }
    painter
        .line_segment([at(p.header), at(p.roof_rear)], Stroke::new((0.06 * scale).max(3.0), paint));
    let wood = Color32::from_rgb(0xC9, 0xA0, 0x6C);
    for stack in &scene.stacks {
        let layers = stack.layers.max(1);
        for layer in 0..layers {
            let (low, high) = (layer as f64, layer as f64 + 1.0);
            let h = stack.timber.height_m;
            let piece = stands(stack.at, [stack.length_m; 2], low * h, high * h);
            painter.rect(
                piece,
                1.0,
                wood,
                Stroke::new(1.0, theme::INK.day),
                egui::StrokeKind::Inside,
            );
        }
    }
    for limb in &scene.limbs {
        let piece = stands(limb.at, limb.size, 0.0, limb.thickness_m);
        painter.rect(
            piece,
            4.0,
            Color32::from_rgb(0x8F, 0xA8, 0x92),
            Stroke::new(1.5, theme::INK.day),
            egui::StrokeKind::Inside,
        );
        let below = if from_above { piece.max.y } else { ground_y };
        let label = pos2(piece.center().x, below + 6.0);
        painter.text(
            label,
            Align2::CENTER_TOP,
            &limb.name,
            theme::bold(theme::SMALL),
            theme::INK.day,
        );
    }
    let com = at([v.com_m[0], v.com_m[1]]);
    let foot = pos2(com.x, if from_above { com.y } else { ground_y });
    painter.extend(Shape::dashed_line(&[com, foot], Stroke::new(1.5, theme::INK.day), 5.0, 4.0));
    painter.circle(com, 6.0, Color32::WHITE, Stroke::new(2.0, theme::INK.day));
    // On a label of its own: the body behind it may be dark.
    let text =
        painter.layout_no_wrap("centre of mass".into(), theme::plain(theme::SMALL), theme::INK.day);
    let label = Align2::LEFT_CENTER.anchor_size(com + vec2(12.0, 0.0), text.size());
    painter.rect_filled(label.expand2(vec2(4.0, 1.0)), 3.0, theme::PAPER.day);
    painter.galley(label.min, text, theme::INK.day);
}

/// A message in the middle of the screen while something takes its time.
pub fn settling(ui: &mut Ui, scene: &Scene, seconds: f32) {
    egui::CentralPanel::default().frame(egui::Frame::new().fill(theme::PAPER.on(ui))).show(
        ui,
        |ui| {
            ui.vertical_centered(|ui| {
                ui.add_space(0.36 * ui.available_height());
                ui.label(RichText::new(&scene.name).font(theme::bold(26.0)));
                ui.add_space(theme::STEP);
                widget::body(ui, "The vehicle comes to rest and the crew builds up");
                ui.add_space(theme::STEP);
                let (rect, _) = ui.allocate_exact_size(vec2(240.0, 8.0), Sense::hover());
                ui.painter().rect_filled(rect, 4.0, theme::SUNK.on(ui));
                // Goes to and fro: how long it takes is not known.
                let t = 0.5 - 0.5 * (seconds * 2.2).cos();
                let knob = Rect::from_center_size(
                    Pos2::new(rect.min.x + 30.0 + t * (rect.width() - 60.0), rect.center().y),
                    vec2(60.0, 8.0),
                );
                ui.painter().rect_filled(knob, 4.0, theme::BLUE.on(ui));
                ui.add_space(4.0 * theme::STEP);
                ui.set_max_width(620.0);
                widget::soft(ui, CAUTION);
            });
        },
    );
}

/// Keys under a heading, each with what it does.
type Keys = (&'static str, &'static [(&'static str, &'static str)]);

/// Every key, in three columns of much the same height.
const KEYS: [[Keys; 2]; 3] = [
    [
        (
            "Air and crew",
            &[
                ("Q / A", "first outlet: hold to raise / to lower"),
                ("W / S", "second outlet"),
                ("E / D", "third outlet"),
                ("V", "how far the valve opens"),
                ("C", "capture: follow the load"),
                ("K", "set the chocks that lie ready"),
                ("X", "script gives the orders, or you do"),
            ],
        ),
        (
            "Screen",
            &[
                ("F2 to F5", "size up, set up, lift, look back"),
                ("F6", "two runs side by side"),
                ("B", "large text for a big screen"),
                ("I", "on the shelf: the guided first lift"),
                ("F7", "plain graphics, for a slow machine"),
                ("F8", "light or dark panels"),
                ("F9", "the instructor's panel"),
                ("U", "metric, or feet and pounds"),
                ("F11", "whole screen"),
                ("H or F1", "these keys"),
                ("Esc", "back to the shelf"),
            ],
        ),
    ],
    [
        (
            "Setting up",
            &[
                ("letters", "bring a thing; each button shows its own"),
                ("drag", "move a thing over the ground"),
                ("arrows", "nudge it: to the nose, tail, left, right"),
                ("N", "how far an arrow moves it"),
                ("Q", "the plan of the lift, or the things"),
                ("+ and -", "more layers, or fewer"),
                ("X O R Del", "mirror, centre, turn, remove"),
                ("E", "do both sides at once"),
                ("Page keys", "choose the next thing, or the one before"),
                ("Ctrl Z / Y", "undo / redo"),
                ("Ctrl S", "save"),
            ],
        ),
        (
            "Measuring",
            &[
                ("N O I", "tape, angle of a face, height of a place"),
                ("Backspace", "wipe the figures off"),
            ],
        ),
    ],
    [
        (
            "Looking",
            &[
                ("1 2 3 4", "three-quarter, side, front, casualty"),
                ("drag", "left: walk around, right: shift, wheel: nearer"),
                ("G", "gaps at the casualty"),
                ("L", "loads at bearing points"),
                ("T", "thrust line through each stack"),
                ("Y", "bearing corners of each layer"),
                ("F", "friction, where a slide is near"),
                ("J", "bending moment along the beam"),
                ("M", "centre of mass and plumb line"),
            ],
        ),
        (
            "Time",
            &[
                ("Space", "play or pause"),
                ("Z", "slow motion"),
                (", and .", "one step back / forwards"),
                ("End", "back to now"),
                ("R", "restart the lift"),
                ("P", "stand still when something goes wrong"),
            ],
        ),
    ],
];

fn keys(ui: &mut Ui, (title, keys): &Keys) {
    section(ui, title);
    for (key, what) in *keys {
        ui.horizontal_top(|ui| {
            ui.scope(|ui| {
                ui.set_width(78.0);
                ui.label(RichText::new(*key).font(theme::bold(theme::BODY)));
            });
            let what = RichText::new(*what).font(theme::plain(theme::BODY));
            ui.add(egui::Label::new(what).wrap());
        });
    }
}

/// The keys, over everything else. True while it is to stay.
pub fn help(ctx: &egui::Context) -> bool {
    let mut stay = true;
    let modal = egui::Modal::new(egui::Id::new("help"))
        .frame(theme::card(ctx).inner_margin(20))
        .show(ctx, |ui| {
            ui.set_width(1020.0_f32.min(ctx.viewport_rect().width() - 80.0));
            ui.horizontal(|ui| {
                widget::heading(ui, "Keys");
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if button(ui, press("Close", "H", "Back to the screen below"), Look::Plain, 0.0)
                        .clicked()
                    {
                        stay = false;
                    }
                });
            });
            ui.columns(3, |columns| {
                for (ui, groups) in columns.iter_mut().zip(KEYS) {
                    ui.with_layout(Layout::top_down(Align::LEFT), |ui| {
                        groups.iter().for_each(|group| keys(ui, group));
                    });
                }
            });
        });
    stay && !modal.should_close()
}

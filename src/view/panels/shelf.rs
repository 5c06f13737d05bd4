//! The start screen: the shelf of scenes, a side view of how the chosen one lies, and the caution.
//! How it ends is told only where it may be known.

use super::head::foot;
use super::icon::Icon;
use super::input::Inputs;
use super::side_view::side_view;
use super::told::told;
use super::widget::{self, ButtonState, button, chip, press, section, slim_button};
use crate::debrief;
use crate::draft::keep::AutosavedDraft;
use crate::scene::Scene;
use crate::session::{Action, Chosen, EndingsTold, Session};
use crate::units::UnitSystem;
use crate::view::theme;
use bevy_egui::egui::{self, Align, Align2, Layout, Margin, Rect, RichText, Sense, Ui, pos2, vec2};
use std::path::PathBuf;
use std::sync::Arc;

/// Height of the buttons below a scene's description, points.
const ABOUT_FOOT: f32 = 56.0;
/// Width of the buttons beside the title, points.
const BUTTONS_WIDE: f32 = 690.0;
/// Vehicles to begin with, side by side.
const VEHICLES_A_ROW: usize = 3;
/// From this width on there is room for two columns of it, points.
const TWO_COLUMNS: f32 = 1000.0;

/// What the shelf shows.
pub struct ShelfState<'a> {
    pub scenes: &'a [Arc<Scene>],
    pub chosen: usize,
    /// Set-ups that were left unsaved.
    pub kept: &'a [AutosavedDraft],
    /// Vehicles to begin from nothing with.
    pub vehicles: &'a [String],
    pub units: UnitSystem,
    pub trouble: Option<&'a str>,
    /// The chosen scene's twin.
    pub twin: Option<&'a Scene>,
    /// Of which scenes it may tell the ending.
    pub endings: EndingsTold<'a>,
    /// Graphics are plain because the machine has no card for more.
    pub plain_by_itself: bool,
    /// Drawn seldom, coarsely and plainly.
    pub low_power: bool,
}

impl<'a> ShelfState<'a> {
    /// How a session's shelf stands.
    pub fn new(session: &'a Session) -> Self {
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
            endings: session.endings_told(),
            plain_by_itself: session.plain() && by_itself && !session.low_power(),
            low_power: session.low_power(),
        }
    }
}

/// The shelf; gives what was asked for.
pub fn shelf(ui: &mut Ui, s: &ShelfState<'_>) -> Inputs {
    let mut actions = Inputs::default();
    egui::Panel::top("title")
        .frame(egui::Frame::new().fill(theme::SLATE).inner_margin(Margin::symmetric(28, 18)))
        .show_separator_line(false)
        .show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.vertical(title);
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    title_buttons(ui, s, &mut actions);
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
            // It stays in sight however long the list is.
            egui::Panel::bottom("begin")
                .frame(egui::Frame::NONE)
                .show_separator_line(false)
                .show(ui, |ui| begin(ui, s, &mut actions));
            widget::scroll(ui, |ui| {
                kept(ui, s.kept, &mut actions);
                list(ui, s.scenes, s.chosen, &mut actions);
            });
        });
    egui::CentralPanel::default()
        .frame(egui::Frame::new().fill(theme::PAPER.on(ui)).inner_margin(Margin::symmetric(28, 16)))
        .show(ui, |ui| {
            if let Some(trouble) = s.trouble {
                trouble_card(ui, trouble, &mut actions);
            }
            match s.scenes.get(s.chosen) {
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

/// The program's name and what it is for.
fn title(ui: &mut Ui) {
    ui.set_max_width(ui.available_width() - BUTTONS_WIDE);
    ui.label(RichText::new("Inchwise").font(theme::bold(theme::BIG)).color(theme::ON_SLATE));
    ui.label(
        RichText::new("Rehearse the lift of an overturned vehicle off a trapped casualty.")
            .font(theme::plain(theme::BODY))
            .color(theme::ON_SLATE_SOFT),
    );
}

/// The buttons beside the title, from the right edge on.
fn title_buttons(ui: &mut Ui, s: &ShelfState<'_>, actions: &mut Inputs) {
    let panels = match ui.theme() {
        egui::Theme::Light => "Light panels",
        egui::Theme::Dark => "Dark panels",
    };
    let units = match s.units {
        UnitSystem::Si => "Metric",
        UnitSystem::Us => "Feet and pounds",
    };
    let spares = "At most 30 frames a second, plain and coarse: spares a battery";
    for (what, on, action) in [
        (press("Keys", "H", "Every key").with(Icon::Help), false, Action::Help),
        (
            press("First lift, guided", "I", "Learn the window by making a lift").with(Icon::First),
            false,
            Action::Guide,
        ),
        (press("Large text", "B", "For a big screen").with(Icon::Letters), false, Action::Big),
        (press("Low power", "F10", spares).with(Icon::Battery), s.low_power, Action::LowPower),
        (press(panels, "F8", "Light or dark, for the room").with(Icon::Half), false, Action::Dark),
        (press(units, "U", "The units that are shown").with(Icon::Tape), false, Action::Units),
    ] {
        let look = if on { ButtonState::On } else { ButtonState::Plain };
        if slim_button(ui, what, look, 0.0).clicked() {
            actions.push(action);
        }
    }
}

/// What cannot be done, and why.
fn trouble_card(ui: &mut Ui, trouble: &str, actions: &mut Inputs) {
    egui::Frame::new().fill(theme::PALE_WARN.on(ui)).corner_radius(6).inner_margin(10).show(
        ui,
        |ui| {
            ui.set_width(ui.available_width());
            told(ui, trouble, actions);
        },
    );
    ui.add_space(theme::STEP);
}

/// What was left unsaved, to be taken up again.
fn kept(ui: &mut Ui, kept: &[AutosavedDraft], actions: &mut Inputs) {
    if kept.is_empty() {
        return;
    }
    ui.label(
        RichText::new("Unsaved drafts").font(theme::bold(theme::BODY)).color(theme::SOFT.on(ui)),
    );
    for kept in kept {
        theme::card(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.add(
                egui::Label::new(RichText::new(&kept.name).font(theme::bold(theme::BODY)))
                    .truncate(),
            );
            // Unsaved work is deleted only after two clicks in two places.
            let id = ui.id().with("throw away");
            let asked = ui.data(|d| d.get_temp(id)).as_ref() == Some(&kept.path);
            let ask = |ui: &Ui, path: PathBuf| ui.data_mut(|d| d.insert_temp(id, path));
            ui.horizontal(|ui| {
                widget::soft(
                    ui,
                    if asked { "Delete permanently?".into() } else { age(kept.age_s) },
                );
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if asked {
                        if chip(ui, press("Keep", "", "It stays as it was left"), false).clicked() {
                            ask(ui, PathBuf::new());
                        }
                        let about = "This cannot be undone";
                        if chip(ui, press("Yes, delete", "", about), false).clicked() {
                            actions.push(Action::ThrowAway(kept.path.clone()));
                        }
                        return;
                    }
                    if chip(ui, press("Delete", "", "Asks once more"), false).clicked() {
                        ask(ui, kept.path.clone());
                    }
                    if chip(ui, press("Open draft", "", "Opens it as it was left"), false).clicked()
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

/// A set-up of the user's own, from nothing but a vehicle; files, and whether endings are told.
fn begin(ui: &mut Ui, s: &ShelfState<'_>, actions: &mut Inputs) {
    ui.add_space(theme::STEP);
    ui.label(
        RichText::new("New set-up on a").font(theme::bold(theme::BODY)).color(theme::SOFT.on(ui)),
    );
    ui.spacing_mut().item_spacing = vec2(6.0, 6.0);
    // In even rows: none is left over alone.
    for row in s.vehicles.chunks(VEHICLES_A_ROW) {
        ui.horizontal(|ui| {
            for name in row {
                let about = "On its roof, with one limb trapped";
                let said = name.replace('-', " ");
                if chip(ui, press(&said, "", about), false).clicked() {
                    actions.push(Action::Begin(name.clone()));
                }
            }
        });
    }
    ui.add_space(0.5 * theme::STEP);
    ui.horizontal_wrapped(|ui| {
        let about = "Your settings, scenes and unsaved set-ups as one file";
        if chip(ui, press("Export everything", "F9", about), false).clicked() {
            actions.push(Action::ExportEverything);
        }
        let about = "A scene file or an export; dropping it here works too";
        if chip(ui, press("Import", "O", about), false).clicked() {
            actions.push(Action::AskForFile);
        }
        let about = "For the instructor: how each lesson ends, before it is played";
        if chip(ui, press("Show endings", "E", about), s.endings.all).clicked() {
            actions.push(Action::ShowEndings);
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
    // The way in stands at the foot, whatever the text above needs.
    let mut above = ui.available_rect_before_wrap();
    above.max.y -= ABOUT_FOOT.min(0.5 * above.height());
    ui.scope_builder(egui::UiBuilder::new().max_rect(above), |ui| {
        widget::scroll(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 6.0;
            ui.label(RichText::new(&scene.name).font(theme::bold(26.0)));
            if ui.available_width() < TWO_COLUMNS {
                lies(ui, s, scene, 0.29);
                there(ui, s, scene);
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
                    lies(ui, s, scene, 0.49);
                    there(ui, s, scene);
                });
                right.with_layout(ragged, |ui| before(ui, s, scene));
            });
        });
    });
    ui.add_space(theme::STEP);
    ui.horizontal(|ui| {
        if button(
            ui,
            press("Open this scene", "Enter", "As its author set it up").with(Icon::On),
            ButtonState::Main,
            180.0,
        )
        .clicked()
        {
            actions.push(Action::Open(s.chosen));
        }
        let about = "The same vehicle and casualty, without any equipment";
        let pressed = button(
            ui,
            press("Start from bare vehicle", "N", about).with(Icon::Add),
            ButtonState::Plain,
            0.0,
        );
        if pressed.clicked() {
            actions.push(Action::OpenBare(s.chosen));
        }
        let about = "For a room with a projector: shown, asked, revealed";
        if button(ui, press("Teach a class", "C", about), ButtonState::Plain, 0.0).clicked() {
            actions.push(Action::Classes);
        }
        let about = "Predict a lift, try it, put it right, or stop";
        if button(ui, press("Practise alone", "P", about), ButtonState::Plain, 0.0).clicked() {
            actions.push(Action::Tasks);
        }
        if s.plain_by_itself {
            let note = "Plain graphics: this machine has no graphics card. F7 draws in full.";
            let note = RichText::new(note).font(theme::plain(theme::SMALL));
            ui.add(egui::Label::new(note.color(theme::SOFT.on(ui))).wrap());
        }
    });
}

/// How the scene's vehicle lies, in a picture of that height for its width; before it what the
/// scene teaches, where that is told.
fn lies(ui: &mut Ui, s: &ShelfState<'_>, scene: &Scene, high: f32) {
    if s.endings.is_told(scene) {
        ui.add(egui::Label::new(RichText::new(&scene.teaches).font(theme::plain(16.0))).wrap());
        ui.add_space(theme::STEP);
    }
    let wide = ui.available_width().min(900.0);
    let (rect, _) = ui.allocate_exact_size(vec2(wide, high * wide), Sense::hover());
    side_view(ui.painter(), rect, scene);
}

fn there(ui: &mut Ui, s: &ShelfState<'_>, scene: &Scene) {
    let units = s.units;
    ui.columns(2, |columns| {
        let [left, right] = columns else { return };
        section(left, "SCENE");
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
        section(right, "EQUIPMENT");
        widget::fact(right, "Stacks", scene.stacks.len().to_string());
        widget::fact(right, "Lifting bags", scene.bags.len().to_string());
        widget::fact(right, "Beam", if scene.beam.is_some() { "yes" } else { "no" });
        widget::fact(right, "Capture stacks", scene.captures.len().to_string());
        if !s.endings.is_told(scene) {
            return;
        }
        widget::fact(right, "Expected", widget::expected(scene.expect));
        if let Some(measure) = &scene.lesson.decides {
            widget::fact(right, "Deciding figure", debrief::name(measure));
        }
        if scene.lesson.near {
            widget::fact(right, "Margin", "narrow");
        }
    });
    widget::soft(ui, &scene.data);
}

/// The orders of the lift. Before them the scene's twin, where the ending is told.
fn before(ui: &mut Ui, s: &ShelfState<'_>, scene: &Scene) {
    widget::twin(ui, s.endings, scene, s.twin);
    section(ui, "THE ORDERS");
    if scene.orders.is_empty() {
        widget::soft(ui, "None: you plan the lift.");
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

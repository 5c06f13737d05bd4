//! The right panel: what each stage is about. Size up: vehicle, ground, casualty.
//! Set up: what is built. Lift: gaps, loads, what went wrong, what was said. Look
//! back: how it went against what was wanted.

use super::controller;
use super::faults;
use super::input::Inputs;
use super::state::LiftState;
use super::widget::{self, chip, press, section};
use super::words::capital;
use crate::practice::{HEADING, NO_POINT, Practice};
use crate::session::{Action, Stage};
use crate::snapshot::LimbState;
use crate::view::theme;
use bevy_egui::egui::{self, Align, Layout, Pos2, RichText, Sense, Ui, vec2};

/// The most orders that are shown.
const SAID_AT_MOST: usize = 40;

pub fn panel(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    ui.spacing_mut().item_spacing.y = 6.0;
    if let Some(why) = &s.impossible {
        egui::Frame::new().fill(theme::PALE_WARN.on(ui)).corner_radius(6).inner_margin(9).show(
            ui,
            |ui| {
                ui.set_width(ui.available_width());
                ui.horizontal_top(|ui| {
                    let (rect, _) = ui.allocate_exact_size(vec2(18.0, 18.0), Sense::hover());
                    widget::pin(ui.painter(), rect.center(), 9.0, "!");
                    ui.vertical(|ui| widget::body(ui, format!("Caution: {why}.")));
                });
            },
        );
    }
    match s.stage {
        Stage::SizeUp => size_up(ui, s),
        Stage::SetUp => {
            widget::heading(ui, "Set-up");
            controller::set_up(ui, s);
        }
        Stage::Lift => {
            widget::heading(ui, "Casualty");
            casualty(ui, s);
            widget::fact(ui, "Risen", s.units.gap(s.now.rise_m));
            widget::fact(ui, "Rolled", rolled(s));
            findings(ui, s, actions);
            said(ui, s);
        }
        Stage::LookBack => look_back(ui, s, actions),
    }
}

fn size_up(ui: &mut Ui, s: &LiftState<'_>) {
    let (scene, u) = (s.scene, s.units);
    widget::heading(ui, "On scene");
    section(ui, "VEHICLE");
    widget::fact(ui, "Kind", &scene.vehicle.name);
    widget::fact(ui, "Nose down", u.angle(level(s.now.vehicle.pitch_rad)));
    section(ui, "GROUND");
    let wet = if scene.ground.wet { "wet" } else { "dry" };
    widget::fact(ui, "Surface", format!("{}, {wet}", scene.ground.surface));
    let fall = |rad: f64, to: [&str; 2]| {
        if rad.abs() < 1e-4 {
            "level".to_owned()
        } else {
            format!("{}, down to the {}", u.angle(rad.abs()), to[usize::from(rad < 0.0)])
        }
    };
    widget::fact(ui, "Along", fall(scene.ground.slope_rad, ["nose", "tail"]));
    widget::fact(ui, "Across", fall(scene.ground.cross_slope_rad, ["left", "right"]));
    section(ui, "CASUALTY");
    casualty(ui, s);
    if s.endings.is_told(scene) {
        section(ui, "THIS SCENE TEACHES");
        widget::body(ui, &scene.teaches);
    }
    widget::twin(ui, s.endings, scene, s.twin);
    widget::soft(ui, &scene.data);
}

/// An angle without the sign that a rounded nothing would have.
fn level(rad: f64) -> f64 {
    if rad.abs() < 0.05_f64.to_radians() { 0.0 } else { rad }
}

/// How far the vehicle has rolled, and which side has come up: what uneven air does.
fn rolled(s: &LiftState<'_>) -> String {
    let rad = level(s.now.vehicle.roll_rad);
    let limit = s.units.angle(s.scene.aims.roll_rad);
    let [left, right] = s.scene.lies.sides();
    let up = match rad {
        _ if rad > 0.0 => format!(", {left} up"),
        _ if rad < 0.0 => format!(", {right} up"),
        _ => String::new(),
    };
    format!("{}{up} (limit {limit})", s.units.angle(rad.abs()))
}

/// Why a gap does not do.
fn not_enough(state: &LimbState) -> &'static str {
    if state.covered { "not enough yet" } else { "no vehicle over it" }
}

/// Gap and load at every trapped limb.
fn casualty(ui: &mut Ui, s: &LiftState<'_>) {
    let none = Default::default();
    for (i, limb) in s.scene.limbs.iter().enumerate() {
        let state = s.now.limbs.get(i).copied().unwrap_or_default();
        let start = s.start.limbs.get(i).unwrap_or(&none);
        let load_n = state.load_n.max(0.0);
        let enough = state.is_clear(limb.gap_needed_m);
        theme::card(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 3.0;
            ui.horizontal(|ui| {
                ui.label(RichText::new(&limb.name).font(theme::bold(theme::BODY)));
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    let (text, color) = if enough {
                        ("\u{2713} gap is enough", theme::GREEN.on(ui))
                    } else {
                        (not_enough(&state), theme::SOFT.on(ui))
                    };
                    ui.label(RichText::new(text).font(theme::bold(theme::SMALL)).color(color));
                });
            });
            ui.horizontal(|ui| {
                ui.label(
                    RichText::new(s.units.gap(state.gap_m))
                        .font(theme::bold(theme::BIG))
                        .color(theme::INK.on(ui)),
                );
                ui.label(
                    RichText::new(format!("of {}", s.units.gap(limb.gap_needed_m)))
                        .font(theme::plain(theme::BODY))
                        .color(theme::SOFT.on(ui)),
                );
            });
            // The mark stands at the gap that frees the limb.
            let whole = 1.25 * limb.gap_needed_m.max(1e-3);
            widget::bar(
                ui,
                (state.gap_m / whole) as f32,
                Some((limb.gap_needed_m / whole) as f32),
                if enough { theme::GREEN } else { theme::BLUE }.on(ui),
                12.0,
            );
            let more = load_n - start.load_n;
            let above = more > 0.05 * start.load_n + 20.0;
            ui.horizontal(|ui| {
                widget::soft(ui, "Load on it");
                let color = if above { theme::VERMILION.on(ui) } else { theme::INK.on(ui) };
                ui.label(
                    RichText::new(s.units.force(load_n))
                        .font(theme::bold(theme::BODY))
                        .color(color),
                );
                ui.label(
                    RichText::new(if above {
                        format!("up from {}", s.units.force(start.load_n))
                    } else {
                        format!("at the start {}", s.units.force(start.load_n))
                    })
                    .font(theme::plain(theme::SMALL))
                    .color(color),
                );
            });
        });
    }
}

fn findings(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    ui.add_space(4.0);
    widget::heading(ui, "What went wrong");
    if s.findings.is_empty() {
        widget::soft(ui, "Nothing so far.");
    }
    for (i, finding) in s.findings.iter().enumerate() {
        let shown = egui::Frame::new()
            .fill(theme::PALE_WARN.on(ui))
            .corner_radius(6)
            .inner_margin(9)
            .show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.spacing_mut().item_spacing.y = 3.0;
                ui.horizontal(|ui| {
                    let (rect, _) = ui.allocate_exact_size(vec2(18.0, 18.0), Sense::hover());
                    widget::pin(ui.painter(), rect.center(), 9.0, &(i + 1).to_string());
                    let cause = finding.cause().say();
                    ui.label(RichText::new(cause).font(theme::bold(theme::BODY)));
                    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                        ui.label(
                            RichText::new(format!("{:.1} s", finding.t_s))
                                .font(theme::bold(theme::BODY)),
                        );
                    });
                });
                widget::body(ui, capital(&finding.say(s.scene, s.units)));
                if let Some(f) = finding.follows
                    && let Some(first) = s.findings.get(f)
                {
                    let cause = format!("Caused by finding {} ({:.1} s)", f + 1, first.t_s);
                    widget::soft(ui, cause);
                }
            });
        let response = ui
            .interact(shown.response.rect, ui.id().with(("finding", i)), Sense::click())
            .on_hover_text("Go to the place and the time");
        response.widget_info(|| {
            egui::WidgetInfo::labeled(egui::WidgetType::Button, true, finding.cause().say())
        });
        if response.hovered() {
            ui.painter().rect_stroke(
                shown.response.rect,
                6.0,
                egui::Stroke::new(1.5, theme::VERMILION.on(ui)),
                egui::StrokeKind::Inside,
            );
        }
        if response.clicked() {
            actions.push(Action::Visit(i));
        }
    }
}

/// What the crew was told, the latest first.
fn said(ui: &mut Ui, s: &LiftState<'_>) {
    ui.add_space(4.0);
    widget::heading(ui, "Orders");
    if s.records.is_empty() {
        widget::soft(ui, "None given yet.");
    }
    for said in s.records.iter().rev().take(SAID_AT_MOST) {
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(50.0, 18.0), Sense::hover());
            ui.painter().text(
                Pos2::new(rect.max.x - 4.0, rect.center().y),
                egui::Align2::RIGHT_CENTER,
                format!("{:.1} s", said.t_s.max(0.0)),
                theme::plain(theme::SMALL),
                theme::SOFT.on(ui),
            );
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                ui.add(
                    egui::Label::new(
                        RichText::new(said.told.say(s.scene, s.units))
                            .font(theme::plain(theme::BODY)),
                    )
                    .wrap(),
                );
                for open in &said.left_open {
                    ui.add(
                        egui::Label::new(
                            RichText::new(open.say(s.scene, s.units))
                                .font(theme::bold(theme::SMALL))
                                .color(theme::VERMILION.on(ui)),
                        )
                        .wrap(),
                    );
                }
                if let Some(why) = &said.refused {
                    let why = why.say(s.scene, s.units);
                    ui.add(
                        egui::Label::new(
                            RichText::new(format!("\u{00D7} not done: {why}"))
                                .font(theme::bold(theme::SMALL))
                                .color(theme::VERMILION.on(ui)),
                        )
                        .wrap(),
                    );
                }
            });
        });
    }
}

fn look_back(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    how_it_went(ui, s, actions);
    practice(ui, s, actions);
    if !s.struck.is_empty() {
        section(ui, "FAULTS TRIGGERED");
        faults::told(ui, s);
    }
    // Of a task nothing is expected: whether it has a good lift is for its lifts to show. A lift
    // that goes on is not told its ending.
    if s.task.is_none() && (s.ended || s.endings.is_told(s.scene)) {
        section(ui, "EXPECTED BY THE SCENE");
        widget::body(ui, widget::expected(s.scene.expect));
    }
    if !s.lesson.is_empty() {
        section(ui, "WHAT IT SHOWS");
        s.lesson.iter().for_each(|line| widget::body(ui, line));
    }
    over_the_limbs(ui, s);
    section(ui, "VEHICLE");
    widget::fact(ui, "Risen", s.units.gap(s.now.rise_m));
    widget::fact(ui, "Rolled", rolled(s));
    widget::fact(ui, "Moved over the ground", s.units.gap(s.now.vehicle.slide_m));
    findings(ui, s, actions);
    said(ui, s);
}

/// What came of the lift, in a few sentences.
fn how_it_went(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    widget::heading(ui, "How it went");
    if s.broken {
        widget::body(ui, "Simulation error: results invalid. Restart.");
    }
    let count = s.all_findings.len();
    let wrong = match count {
        0 => "No limit was passed.".to_owned(),
        1 => "One thing went wrong.".to_owned(),
        n => format!("{n} things went wrong."),
    };
    let enough = s
        .scene
        .limbs
        .iter()
        .enumerate()
        .filter(|(i, limb)| {
            s.now.limbs.get(*i).is_some_and(|state| state.is_clear(limb.gap_needed_m))
        })
        .count();
    let gaps = format!("Gap enough at {enough} of {}.", s.scene.limbs.len());
    ui.label(RichText::new(wrong).font(theme::bold(theme::BODY)));
    ui.label(RichText::new(gaps).font(theme::bold(theme::BODY)));
    if let Some(casualty) = s.practice.and_then(Practice::say_casualty) {
        widget::body(ui, format!("Casualty: {casualty}."));
    }
    if !s.done && !s.looking_back {
        widget::soft(ui, "The lift is not over yet.");
    }
    for harm in &s.harm {
        widget::body(ui, harm);
    }
    if s.stopped {
        widget::soft(ui, "The officer called stop. To let it run: N, then R.");
    }
    let about = "What was done and what happened, to print";
    if chip(ui, press("Show the debrief as a page", "F4", about), false).clicked() {
        actions.push(Action::ShowDebrief);
    }
}

/// The gap over each limb, and what it bore.
fn over_the_limbs(ui: &mut Ui, s: &LiftState<'_>) {
    section(ui, "GAPS");
    for (i, limb) in s.scene.limbs.iter().enumerate() {
        let start = s.start.limbs.get(i).map_or(0.0, |l| l.gap_m);
        let now = s.now.limbs.get(i).map_or(0.0, |l| l.gap_m);
        let most = s.most_gap_m.get(i).copied().unwrap_or_default();
        widget::fact(
            ui,
            &limb.name,
            format!(
                "{} to {}, most {}, needed {}",
                s.units.gap(start),
                s.units.gap(now),
                s.units.gap(most),
                s.units.gap(limb.gap_needed_m)
            ),
        );
    }
    section(ui, "LOAD ON THE CASUALTY");
    for (i, limb) in s.scene.limbs.iter().enumerate() {
        let start = s.start.limbs.get(i).map_or(0.0, |l| l.load_n);
        let most = s.most_load_n.get(i).copied().unwrap_or_default();
        widget::fact(
            ui,
            &limb.name,
            format!("at first {}, most {}", s.units.force(start), s.units.force(most)),
        );
    }
}

/// Whether set-up and lift kept to practice, apart from how it ended: each point leads to its place and its time.
fn practice(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    // They are judged by all that is known, and so only while nothing is added.
    if s.practice.is_none() && !s.playing {
        return;
    }
    ui.add_space(4.0);
    widget::heading(ui, HEADING);
    let Some(practice) = s.practice else {
        widget::soft(ui, "Pause to see them.");
        return;
    };
    if practice.points.is_empty() {
        widget::soft(ui, capital(NO_POINT) + ".");
    }
    for (i, point) in practice.points.iter().enumerate() {
        let shown = theme::card(ui).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 3.0;
            ui.horizontal_top(|ui| {
                ui.label(
                    RichText::new(format!("{:.1} s", point.t_s)).font(theme::bold(theme::BODY)),
                );
                ui.vertical(|ui| widget::body(ui, capital(&point.say(s.scene, s.units))));
            });
            widget::soft(ui, point.rule.source);
        });
        let response = ui
            .interact(shown.response.rect, ui.id().with(("point", i)), Sense::click())
            .on_hover_text("Go to the place and the time");
        response.widget_info(|| {
            egui::WidgetInfo::labeled(egui::WidgetType::Button, true, point.rule.asks)
        });
        if response.clicked() {
            actions.push(Action::VisitPoint(i));
        }
    }
}

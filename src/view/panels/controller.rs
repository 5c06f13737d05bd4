//! The left panel: the air controller with a raise and a lower button for each
//! outlet, each bag with its gauge and shut-off, and what else the crew can be told.

use super::icon::Icon;
use super::input::{Input, Inputs};
use super::state::LiftState;
use super::widget::{self, ButtonState, button, chip, dial, press, section};
use crate::scene::CarriedBy;
use crate::session::{Action, Lever};
use crate::units::{Dimension, UnitSystem};
use crate::view::theme;
use bevy_egui::egui::{self, Align, Layout, RichText, Ui, vec2};

/// Keys of the outlets, raise and lower, from the first on.
pub const OUTLET_KEYS: [(&str, &str); 3] = [("Q", "A"), ("W", "S"), ("E", "D")];

pub fn panel(ui: &mut Ui, s: &LiftState<'_>, actions: &mut Inputs) {
    ui.spacing_mut().item_spacing.y = 4.0;
    ui.spacing_mut().interact_size.y = 22.0;
    ui.horizontal(|ui| {
        widget::heading(ui, "Air");
        widget::soft(ui, whole_pressure(s.units, s.now.cylinder_pa))
            .on_hover_text("Pressure in the cylinder");
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let text = format!("Valve {:.0} %", s.valve * 100.0);
            let about = "How far a valve opens while it is held";
            if chip(ui, press(&text, "V", about), false).clicked() {
                actions.push(Action::NextValve);
            }
        });
    });
    for outlet in 0..s.scene.air.outlets.len() {
        outlet_card(ui, s, outlet, actions);
    }
    ui.horizontal(|ui| {
        // What else the crew can be told.
        let half = 0.5 * (ui.available_width() - theme::STEP);
        let about = "The cribs follow the load: layers are added and wedges driven snug";
        if !s.scene.captures.is_empty()
            && button(
                ui,
                press("Capture", "C", about).with(Icon::Capture),
                ButtonState::Plain,
                half,
            )
            .clicked()
        {
            actions.push(Action::Capture);
        }
        if s.scene.chocks.iter().any(|c| !c.set)
            && button(
                ui,
                press("Set chocks", "K", "Sets the chocks that are ready").with(Icon::Chock),
                ButtonState::Plain,
                half,
            )
            .clicked()
        {
            actions.push(Action::SetChocks);
        }
    });
    widget::heading(ui, "Bags");
    for bag in 0..s.scene.bags.len() {
        bag_card(ui, s, bag, actions);
    }
    for (capture, state) in s.scene.captures.iter().zip(&s.now.captures) {
        let carries = if state.load_n > 1.0 {
            format!("carries {}", s.units.force(state.load_n))
        } else {
            format!("{} gap", s.units.gap(state.clearance_m.max(0.0)))
        };
        widget::soft(ui, format!("{}: {carries}, {} layers ready", capture.name, state.steps_left));
    }
}

/// A cylinder's pressure, which needs no decimals.
fn whole_pressure(units: UnitSystem, pa: f64) -> String {
    match units {
        UnitSystem::Si => format!("cylinder {:.0} bar", pa / 1e5),
        UnitSystem::Us => format!("cylinder {}", units.pressure(pa)),
    }
}

/// From nothing to a bag's working pressure, in the unit that stands under its dial.
fn scale(units: UnitSystem, working_pa: f64) -> String {
    let (unit_pa, _) = Dimension::Pressure.shown_in(units);
    let most = format!("{:.1}", working_pa / unit_pa);
    format!("0\u{2013}{}", most.trim_end_matches(".0"))
}

fn outlet_card(ui: &mut Ui, s: &LiftState<'_>, outlet: usize, actions: &mut Inputs) {
    ui.spacing_mut().button_padding.y = 2.0;
    let bags: Vec<usize> =
        (0..s.now.bags.len()).filter(|&bag| s.now.bags[bag].hose == Some(outlet)).collect();
    let state = s.now.outlets.get(outlet).copied().unwrap_or_default();
    theme::card(ui).show(ui, |ui| {
        ui.horizontal(|ui| {
            let name = &s.scene.air.outlets[outlet].name;
            ui.label(RichText::new(name).font(theme::bold(theme::BODY)));
            if state.burst {
                ui.label(
                    RichText::new("hose burst")
                        .font(theme::bold(theme::SMALL))
                        .color(theme::VERMILION.on(ui)),
                );
            }
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                if bags.len() < 2 {
                    lead_to(ui, s, outlet, bags.first().copied(), "to", actions);
                }
            });
        });
        // A Y's legs each have a line, as two of them do not fit beside a name.
        for (&bag, word) in bags.iter().zip(["to", "and"]).filter(|_| bags.len() > 1) {
            ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
                lead_to(ui, s, outlet, Some(bag), word, actions);
            });
        }
        ui.horizontal(|ui| {
            let half = 0.5 * (ui.available_width() - theme::STEP);
            let keys = OUTLET_KEYS.get(outlet).copied().unwrap_or(("", ""));
            let held = s.held.get(outlet).copied().flatten();
            for (way, text, key) in [(Lever::Up, "Raise", keys.0), (Lever::Down, "Lower", keys.1)] {
                let moving = match way {
                    Lever::Up => state.opening > 0.0,
                    Lever::Down => state.opening < 0.0,
                };
                let on = held == Some(way) || moving;
                let look = if on { ButtonState::On } else { ButtonState::Plain };
                let (sign, about) = match way {
                    Lever::Up => (Icon::Up, "Hold it: air flows into the bag at the hose"),
                    Lever::Down => (Icon::Down, "Hold it: air flows out of the bag at the hose"),
                };
                let what = press(text, key, about).with(sign);
                if button(ui, what, look, half).is_pointer_button_down_on() {
                    actions.push(Input::Hold(outlet, way));
                }
            }
        });
    });
}

/// Where a hose, or a leg of it, leads to, and where else it can.
fn lead_to(
    ui: &mut Ui,
    s: &LiftState<'_>,
    outlet: usize,
    from: Option<usize>,
    word: &str,
    actions: &mut Inputs,
) {
    let to = from.map_or("no bag", |bag| s.scene.bags[bag].name.as_str());
    egui::ComboBox::from_id_salt(("hose", outlet, word))
        .selected_text(RichText::new(format!("{word} {to}")).font(theme::plain(theme::SMALL)))
        .width(118.0)
        .truncate()
        .show_ui(ui, |ui| {
            for (i, choice) in s.scene.bags.iter().enumerate() {
                if ui.selectable_label(from == Some(i), &choice.name).clicked() {
                    let from = from.filter(|_| s.scene.air.outlets[outlet].and.is_some());
                    actions.push(Action::MoveHose { outlet, from, to: i });
                }
            }
        });
}

fn bag_card(ui: &mut Ui, s: &LiftState<'_>, bag: usize, actions: &mut Inputs) {
    let (Some(state), about) = (s.now.bags.get(bag), &s.scene.bags[bag]) else { return };
    theme::card(ui).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        ui.horizontal_top(|ui| {
            ui.vertical(|ui| {
                ui.set_width(60.0);
                let share = (state.gauge_pa / about.working_pa.max(1.0)) as f32;
                dial(ui, share, state.relieving, &scale(s.units, about.working_pa));
                ui.allocate_ui_with_layout(
                    vec2(60.0, 16.0),
                    Layout::top_down(Align::Center),
                    |ui| {
                        ui.label(
                            RichText::new(s.units.pressure(state.gauge_pa))
                                .font(theme::bold(theme::SMALL)),
                        );
                    },
                );
            });
            ui.vertical(|ui| {
                ui.horizontal(|ui| {
                    ui.label(RichText::new(&about.name).font(theme::bold(theme::BODY)))
                        .on_hover_text(format!("On {}", rests_on(s, about.on)));
                    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                        let (text, about) = if state.locked_out {
                            ("Locked", "Locked out: the shut-off is closed; open it again")
                        } else {
                            ("Lock out", "Close the shut-off at the bag")
                        };
                        let name = format!("Shut-off of {}", s.scene.bags[bag].name);
                        let chip = widget::chip_called(
                            ui,
                            &name,
                            press(text, "", about),
                            state.locked_out,
                        );
                        if chip.clicked() {
                            actions.push(Action::Shut { bag, closed: !state.locked_out });
                        }
                    });
                });
                let share = (state.height_m / state.height_limit_m.max(1e-3)) as f32;
                widget::bar(ui, share, None, theme::BLUE.on(ui), 8.0);
                ui.horizontal(|ui| {
                    ui.label(
                        RichText::new(s.units.gap(state.height_m)).font(theme::bold(theme::BODY)),
                    );
                    if state.open && state.gauge_pa > 0.0 {
                        ui.label(
                            RichText::new("open")
                                .font(theme::bold(theme::SMALL))
                                .color(theme::VERMILION.on(ui)),
                        )
                        .on_hover_text("Open to the air: without a hose and not shut off");
                    }
                    if state.relieving {
                        ui.label(
                            RichText::new("relief valve open")
                                .font(theme::bold(theme::SMALL))
                                .color(theme::VERMILION.on(ui)),
                        );
                    }
                    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                        ui.label(
                            RichText::new(s.units.force(state.force_n))
                                .font(theme::bold(theme::BODY)),
                        );
                    });
                });
            });
        });
    });
}

/// What a bag lies on, in words.
fn rests_on<'a>(s: &LiftState<'a>, on: CarriedBy) -> &'a str {
    let name = match on {
        CarriedBy::Stack(i) => s.scene.stacks.get(i).map(|x| x.name.as_str()),
        CarriedBy::Bag(i) => s.scene.bags.get(i).map(|x| x.name.as_str()),
    };
    name.unwrap_or("nothing")
}

/// What lies where, for the stage before the lift.
pub fn set_up(ui: &mut Ui, s: &LiftState<'_>) {
    stacks(ui, s);
    bags(ui, s);
    if let Some(beam) = &s.scene.beam {
        section(ui, "BEAM");
        widget::fact(
            ui,
            beam.timber.nominal,
            format!(
                "{} long, through the {}",
                s.units.span(beam.length_m),
                beam.through.join(", ")
            ),
        );
    }
    stabilisation(ui, s);
    captures(ui, s);
}

fn stacks(ui: &mut Ui, s: &LiftState<'_>) {
    section(ui, "STACKS");
    for (i, stack) in s.scene.stacks.iter().enumerate() {
        theme::card(ui).show(ui, |ui| {
            ui.label(RichText::new(&stack.name).font(theme::bold(theme::BODY)));
            let height = stack.height_m();
            widget::fact(
                ui,
                "Built of",
                format!(
                    "{} layers of {}, {} each",
                    stack.layers, stack.timber.nominal, stack.members
                ),
            );
            if !stack.pads_m.is_empty() {
                widget::fact(ui, "Solid boards on top", stack.pads_m.len().to_string());
            }
            widget::fact(ui, "Height", s.units.gap(height));
            let ratio = height / stack.length_m.max(1e-3);
            widget::fact(ui, "Height to base", format!("{ratio:.1} to 1"));
            if let Some(state) = s.now.stacks.get(i) {
                widget::fact(ui, "Carries now", s.units.load(state.load_n));
                widget::fact(ui, "Top moved", s.units.gap(state.lean_m));
            }
        });
    }
}

fn bags(ui: &mut Ui, s: &LiftState<'_>) {
    section(ui, "BAGS");
    for bag in &s.scene.bags {
        widget::fact(
            ui,
            &bag.name,
            format!(
                "{} by {}, on {}, {}",
                s.units.gap(bag.size[0]),
                s.units.gap(bag.size[1]),
                rests_on(s, bag.on),
                s.units.pressure(bag.working_pa)
            ),
        );
    }
}

/// What holds the vehicle where it is.
fn stabilisation(ui: &mut Ui, s: &LiftState<'_>) {
    section(ui, "STABILISATION");
    let scene = s.scene;
    let none = scene.chocks.is_empty() && scene.step_chocks.is_empty();
    if none && scene.void_fill.is_empty() && scene.struts.is_empty() {
        widget::body(ui, "No chocks, no void fill and no struts.");
    }
    for chock in &scene.chocks {
        let how = match (chock.set, chock.staked) {
            (true, true) => "chock, staked",
            (true, false) => "chock, held by friction",
            (false, _) => "chock, ready",
        };
        widget::fact(ui, &chock.name, how);
    }
    for fill in &scene.void_fill {
        widget::fact(ui, &fill.name, "void fill, wedged snug");
    }
    for chock in &scene.step_chocks {
        widget::fact(ui, &chock.name, "step chock, packed snug");
    }
    for strut in &scene.struts {
        let how = if strut.staked { "strut, its foot staked" } else { "strut" };
        widget::fact(ui, &strut.name, how);
    }
    for strap in &scene.straps {
        let tight = s.units.force(strap.preload_n);
        widget::fact(ui, &strap.name, format!("strap, drawn tight to {tight}"));
    }
}

fn captures(ui: &mut Ui, s: &LiftState<'_>) {
    if s.scene.captures.is_empty() {
        return;
    }
    section(ui, "CAPTURE STACKS");
    for capture in &s.scene.captures {
        widget::fact(
            ui,
            &capture.name,
            format!(
                "{}{} layers of {}, {} more of {} at hand",
                if capture.is_under_beam() { "under the beam, " } else { "" },
                capture.layers,
                capture.timber.nominal,
                capture.steps,
                capture.step.nominal
            ),
        );
    }
}

//! The instructor's panel, hidden until its key: has something go wrong with the
//! equipment now. The one who lifts is told nothing; it shows by what it does.

use super::icon::Icon;
use super::input::Inputs;
use super::state::LiftState;
use super::widget::{self, ButtonState, button, press, section};
use crate::scene::{CrackedTimber, Fault, Scene, SlickTarget};
use crate::session::Action;
use crate::view::theme;
use bevy_egui::egui::{self, Align, Layout, Ui, vec2};

/// Sizes of what can be struck live (assumed: large enough to show within a lift).
const BORE_M: f64 = 0.002;
const REGULATOR_PA: f64 = 1.0e5;
const CYLINDER_PA: f64 = 20.0e5;
const CRACK_LEFT: f64 = 0.4;
/// A sound crib carries a car many times over; this much of it does not.
const CRIB_LEFT: f64 = 0.05;
const SLICK_LEFT: f64 = 0.3;
const LOAD_KG: f64 = 150.0;
const LOAD_PLACE_M: [f64; 3] = [-1.5, 0.7, 0.0];

/// Everything that can be struck in a scene, by kind.
fn choices(scene: &Scene) -> Vec<(&'static str, Vec<Fault>)> {
    let each = |count: usize, of: &dyn Fn(usize) -> Fault| (0..count).map(of).collect::<Vec<_>>();
    let outlets = scene.air.outlets.len();
    let mut air = each(outlets, &|outlet| Fault::Burst { outlet });
    air.extend(each(outlets, &|outlet| Fault::Valve { outlet }));
    if outlets > 1 {
        air.push(Fault::Cross { outlets: [0, 1] });
    }
    air.push(Fault::Regulator { pa: REGULATOR_PA.min(scene.air.regulator_pa) });
    air.push(Fault::Cylinder { pa: CYLINDER_PA.min(scene.air.cylinder_pa) });
    let bags = each(scene.bags.len(), &|bag| Fault::Leak { bag, bore_m: BORE_M });
    let slick = |under| Fault::Slick { under, left: SLICK_LEFT };
    let mut ground = vec![slick(SlickTarget::Vehicle)];
    ground.extend((0..scene.stacks.len()).map(|i| slick(SlickTarget::Stack(i))));
    ground.extend((0..scene.chocks.len()).map(|i| slick(SlickTarget::Chock(i))));
    ground.extend((0..scene.step_chocks.len()).map(|i| slick(SlickTarget::StepChock(i))));
    let mut load = vec![Fault::Load { kg: LOAD_KG, place_m: LOAD_PLACE_M }];
    let crack = |what, left| Fault::Crack { what, left };
    load.extend(scene.beam.as_ref().map(|_| crack(CrackedTimber::Beam, CRACK_LEFT)));
    let stacks = 0..scene.stacks.len();
    load.extend(stacks.map(|i| crack(CrackedTimber::Stack(i), CRIB_LEFT)));
    vec![("AIR", air), ("BAGS", bags), ("GROUND", ground), ("LOAD AND TIMBER", load)]
}

/// The panel over the yard.
pub fn panel(ui: &Ui, s: &LiftState<'_>, rect: egui::Rect, actions: &mut Inputs) {
    let width = 330.0;
    egui::Area::new("instructor".into()).fixed_pos(rect.min + vec2(10.0, 10.0)).show(
        ui.ctx(),
        |ui| {
            theme::card(ui).show(ui, |ui| {
                ui.set_width(width);
                ui.spacing_mut().item_spacing.y = 4.0;
                widget::row(ui, |ui| {
                    widget::heading(ui, "Instructor");
                    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                        if button(
                            ui,
                            press("Hide", "0", "Hides this panel").with(Icon::Remove),
                            ButtonState::Plain,
                            0.0,
                        )
                        .clicked()
                        {
                            actions.push(Action::Instructor);
                        }
                    });
                });
                widget::soft(ui, "Triggers now; revealed in the debrief.");
                let height = (0.45 * rect.height()).max(80.0);
                let area = egui::ScrollArea::vertical().max_height(height).max_width(width);
                widget::scrolled(ui, area, |ui| {
                    for (title, faults) in choices(s.scene) {
                        if faults.is_empty() {
                            continue;
                        }
                        section(ui, title);
                        for fault in faults {
                            if choice(ui, &fault.say(s.scene, s.units)).clicked() {
                                actions.push(Action::Strike(fault));
                            }
                        }
                    }
                    if !s.struck.is_empty() {
                        section(ui, "TRIGGERED");
                    }
                    told(ui, s);
                });
            });
        },
    );
}

/// One of the faults, over as many lines as its words need.
fn choice(ui: &mut Ui, text: &str) -> egui::Response {
    let id = ui.id().with(("strike", text));
    let over = ui.ctx().read_response(id).is_some_and(|r| r.hovered() || r.has_focus());
    let (fill, line) =
        if over { (theme::PALE_BLUE, theme::BLUE) } else { (theme::CARD, theme::LINE) };
    let shown = egui::Frame::new()
        .fill(fill.on(ui))
        .stroke(egui::Stroke::new(1.0, line.on(ui)))
        .corner_radius(11)
        .inner_margin(egui::Margin::symmetric(9, 3))
        .show(ui, |ui| {
            let words = egui::RichText::new(text).font(theme::plain(theme::SMALL));
            ui.add(egui::Label::new(words).wrap().selectable(false));
        });
    let response = ui.interact(shown.response.rect, id, egui::Sense::click());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Button, true, text));
    response.on_hover_text("Triggers now; nobody is told")
}

/// What has struck, and when.
pub fn told(ui: &mut Ui, s: &LiftState<'_>) {
    for (t_s, fault) in s.struck {
        widget::body(ui, format!("{:.1} s: {}", t_s.max(0.0), fault.say(s.scene, s.units)));
    }
}

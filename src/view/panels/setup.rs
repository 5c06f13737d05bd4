//! The set-up stage around the yard: what can be brought and what is there on the left,
//! the chosen thing's figures and what the sheet says on the right, what was done below.
//! Plain egui functions from a [`Bench`] to [`Inputs`]; they know nothing of Bevy.

use super::chosen::chosen;
use super::head::{bands, sights};
use super::icon::Icon;
use super::input::{Inputs, Pointer};
use super::layout::{LEFT, RIGHT, column, strip};
use super::problems::problems;
use super::saving::{done, naming};
use super::state::LiftState;
use super::things::{bring, there};
use super::verdicts::verdicts;
use super::widget::{BUTTON_HIGH, ButtonState, button, press};
use super::{guide, plan, task};
use crate::session::{Action, Ask, Bench};
use crate::view::theme;
use bevy_egui::egui::{self, Margin, Rect, RichText, Sense, Ui, vec2};

/// Draws the stage; gives what was asked for, and the free rectangle for the yard.
pub fn screen(ui: &mut Ui, s: &LiftState<'_>, bench: &Bench) -> (Inputs, Rect) {
    let mut actions = Inputs::default();
    bands(ui, s, &bench.draft.seen().scene, &mut actions);
    strip(ui, "bench", BUTTON_HIGH, |ui| done(ui, bench, s.units, &mut actions));
    column(ui, egui::Panel::left("bring"), LEFT, |ui| {
        sides(ui, bench, &mut actions);
        if bench.planning {
            plan::list(ui, s.units, bench, &mut actions);
        } else {
            bring(ui, &mut actions);
            there(ui, s.units, bench, &mut actions);
        }
    });
    column(ui, egui::Panel::right("chosen"), RIGHT, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        match bench.order {
            Some(index) => {
                plan::chosen(ui, s.units, bench, index, &mut actions);
                problems(ui, s.units, bench, None);
            }
            None => chosen(ui, s.units, bench, &mut actions),
        }
        verdicts(ui, s.units, bench, &mut actions);
    });
    sights(ui, s, &mut actions);
    let yard = ui.available_rect_before_wrap();
    hand(ui, yard, &mut actions);
    if let Some(guide) = s.guide {
        guide::card(ui, guide, yard, &mut actions);
    }
    if let Some(shown) = &s.task {
        task::card(ui, shown, yard, &mut actions);
    }
    if let Some(text) = &bench.note {
        note(ui, yard, text);
    }
    if bench.naming {
        naming(ui, bench, &mut actions);
    }
    (actions, yard)
}

/// What came of the last thing that was asked for, or why not, over the foot of the yard and
/// above its legend; hands reach through it.
fn note(ui: &Ui, yard: Rect, text: &str) {
    egui::Area::new("note".into())
        .pivot(egui::Align2::CENTER_BOTTOM)
        .fixed_pos(yard.center_bottom() - vec2(0.0, 60.0))
        .interactable(false)
        .show(ui.ctx(), |ui| {
            theme::card(ui).inner_margin(Margin::symmetric(14, 9)).show(ui, |ui| {
                ui.set_max_width((yard.width() - 80.0).clamp(120.0, 560.0));
                ui.label(RichText::new(text).font(theme::bold(theme::BODY)));
            });
        });
}

/// Dragging things and walking around.
fn hand(ui: &mut Ui, yard: Rect, actions: &mut Inputs) {
    let response = ui.interact(yard, ui.id().with("yard"), Sense::click_and_drag());
    let point = |p: egui::Pos2| [p.x, p.y];
    let primary = egui::PointerButton::Primary;
    let at = response.interact_pointer_pos();
    if (response.dragged_by(primary) || response.drag_stopped_by(primary))
        && let Some(at) = at
    {
        let from = ui.input(|i| i.pointer.press_origin()).unwrap_or(at);
        let by = response.drag_delta();
        let done = response.drag_stopped_by(primary);
        let (from, to, by) = (point(from), point(at), [by.x, by.y]);
        actions.push(Pointer::Drag { from, to, by, done });
    } else if response.clicked_by(primary)
        && let Some(at) = at
    {
        actions.push(Pointer::Choose(point(at)));
    } else if response.drag_delta() != egui::Vec2::ZERO {
        let by = response.drag_delta();
        actions.push(Action::Shift([by.x, by.y]));
    }
    let scroll = ui.input(|i| i.smooth_scroll_delta().y);
    if response.hovered() && scroll != 0.0 {
        actions.push(Action::Nearer(scroll));
    }
}

/// What is worked on: the things of the set-up, or the plan of the lift.
fn sides(ui: &mut Ui, bench: &Bench, actions: &mut Inputs) {
    ui.horizontal(|ui| {
        let half = 0.5 * (ui.available_width() - theme::STEP);
        let equipment = press("Equipment", "", "Equipment and the scene").with(Icon::Stack);
        let plan = press("Plan", "Q", "The orders of the lift, in turn").with(Icon::Script);
        for (planning, what) in [(false, equipment), (true, plan)] {
            let look =
                if bench.planning == planning { ButtonState::On } else { ButtonState::Plain };
            if button(ui, what, look, half).clicked() {
                actions.push(Action::Bench(Ask::Planning(planning)));
            }
        }
    });
}

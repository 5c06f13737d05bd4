//! The guided first lift: teaches the window by doing. Each step waits until the user has
//! really done it, on a scene of the shelf that holds.

use super::camera::View;
use super::overlay::{Overlay, Overlays};
use super::panels::{Action, Stage};
use super::play::Play;
use super::theme;
use super::widget::{self, Look, button, press};
use crate::snapshot::Said;
use crate::units::System;
use bevy_egui::egui::{self, Align, Layout, Rect, RichText, Ui, vec2};

/// The scene that the first lift is made on, by its file name.
pub(super) const SCENE: &str = "beam-lift";

/// What a step waits for.
#[derive(Clone, Copy, Debug)]
enum Wish {
    Turned,
    Looked(View),
    At(Stage),
    /// The load has risen so far, m.
    Risen(f64),
    /// The cribs have followed the load.
    Captured,
    Shows(Overlay),
    /// Somebody has been told to go on by the script, and every gap is enough.
    Free,
    /// The line of time has been gone back along.
    WentBack,
}

/// What to do, and why.
const STEPS: [(&str, &str, Wish); 10] = [
    (
        "Drag over the yard with the left button: walk round the vehicle.",
        "Look for what it bears on, what could slide or roll, and where the casualty is. \
         The wheel of the mouse goes nearer.",
        Wish::Turned,
    ),
    (
        "Press 4: look at the casualty.",
        "The green line is the free height over each trapped limb. The panel on the right says \
         how much is needed.",
        Wish::Looked(View::Casualty),
    ),
    (
        "Press F3: what has been set up.",
        "Two cribs carry a beam through the windows. Chocks and void fill keep the vehicle \
         from moving while it rises.",
        Wish::At(Stage::SetUp),
    ),
    (
        "Press F4: the lift.",
        "On the left are the controller and the gauges of the bags, on the right what it does \
         for the casualty.",
        Wish::At(Stage::Lift),
    ),
    (
        "Hold Q and W together until the load has risen 30 mm. Let go.",
        "Even air lifts evenly. Only one side, and it rolls. The buttons marked Raise do the \
         same as the keys.",
        Wish::Risen(0.030),
    ),
    (
        "Press C: the cribs follow the load.",
        "Lift a little, follow at once: whatever fails, the load can only fall by what has not \
         been followed yet.",
        Wish::Captured,
    ),
    (
        "Press L: the loads.",
        "Every arrow is a force that is carried now. The chips over the yard show more: thrust \
         lines, friction, bending.",
        Wish::Shows(Overlay::Loads),
    ),
    (
        "Press X: the script goes on with the lift.",
        "It gives the same orders that you can give. Watch the gaps until both are enough. \
         Space stands still and goes on again, Z is slow motion.",
        Wish::Free,
    ),
    (
        "Press F5: look back.",
        "What went wrong, what was gained, and every measure along time.",
        Wish::At(Stage::LookBack),
    ),
    (
        "Drag along a plot or along the line of time.",
        "The yard goes back to that moment. An order given there takes the lift up again from \
         it, and the old run stays as a thin line to compare with.",
        Wish::WentBack,
    ),
];

#[derive(Default)]
pub(super) struct Guide {
    at: usize,
    /// How many orders had been given when the step began.
    said: usize,
}

impl Guide {
    /// Goes on where what the step waits for has been done.
    pub fn see(&mut self, actions: &[Action], play: &Play, stage: Stage, overlays: Overlays) {
        let Some((_, _, wish)) = STEPS.get(self.at) else { return };
        // Going back unsays some.
        self.said = self.said.min(play.said().len());
        let asked = |what: &dyn Fn(&Action) -> bool| actions.iter().any(what);
        let done = match wish {
            Wish::Turned => asked(&|a| matches!(a, Action::Turn(_))),
            Wish::Looked(view) => asked(&|a| *a == Action::Look(*view)),
            Wish::At(goal) => stage == *goal,
            Wish::Risen(m) => play.now().rise_m >= *m,
            Wish::Captured => {
                let captures = |s: &Said| {
                    s.refused.is_none() && s.order.in_units(System::Si).starts_with("capture")
                };
                play.said().iter().skip(self.said).any(captures)
            }
            Wish::Shows(which) => overlays.has(*which),
            Wish::Free => {
                let limbs = &play.scene().limbs;
                play.script()
                    && limbs.iter().zip(&play.now().limbs).all(|(l, s)| s.gap_m >= l.gap_needed_m)
            }
            Wish::WentBack => play.looking_back() && asked(&|a| matches!(a, Action::Seek(_))),
        };
        if done {
            self.at += 1;
            self.said = play.said().len();
        }
    }

    /// The step, over the yard's upper edge.
    pub fn card(&self, ui: &Ui, rect: Rect, actions: &mut Vec<Action>) {
        let width = (rect.width() - 60.0).clamp(120.0, 520.0);
        egui::Area::new("guide".into())
            .fixed_pos(rect.center_top() + vec2(-0.5 * width - 14.0, 10.0))
            .show(ui.ctx(), |ui| {
                theme::card(ui).inner_margin(14).show(ui, |ui| {
                    ui.set_width(width);
                    ui.spacing_mut().item_spacing.y = 6.0;
                    let Some((what, why, _)) = STEPS.get(self.at) else {
                        widget::heading(ui, "That is the whole of it.");
                        widget::body(
                            ui,
                            "H lists every key. Open another scene from the shelf, and make the \
                             lift yourself.",
                        );
                        if button(ui, press("Close", "", "Ends the guided lift"), Look::Main, 0.0)
                            .clicked()
                        {
                            actions.push(Action::Guide);
                        }
                        return;
                    };
                    ui.horizontal(|ui| {
                        widget::soft(
                            ui,
                            format!("First lift, step {} of {}", self.at + 1, STEPS.len()),
                        );
                        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                            if button(
                                ui,
                                press("Leave", "", "Leaves the guide; the lift goes on"),
                                Look::Plain,
                                0.0,
                            )
                            .clicked()
                            {
                                actions.push(Action::Guide);
                            }
                        });
                    });
                    let what = RichText::new(*what).font(theme::bold(theme::HEAD));
                    ui.add(egui::Label::new(what).wrap());
                    widget::body(ui, *why);
                });
            });
    }
}

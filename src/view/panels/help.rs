//! Every key, over everything else.

use super::icon::Icon;
use super::widget::{self, ButtonState, button, press, section};
use crate::view::theme;
use bevy_egui::egui::{self, Align, Layout, RichText, Ui};

/// Keys under a heading, each with what it does.
type KeyTable = (&'static str, &'static [(&'static str, &'static str)]);

/// Every key, in three columns of much the same height.
const KEYS: [[KeyTable; 2]; 3] = [
    [
        (
            "Air and crew",
            &[
                ("Q / A", "first outlet: hold to raise / to lower"),
                ("W / S", "second outlet"),
                ("E / D", "third outlet"),
                ("V", "how far the valve opens"),
                ("C", "capture: follow the load"),
                ("K", "set the chocks that are ready"),
                ("X", "the scene's orders are given, or you lead"),
            ],
        ),
        (
            "Screen",
            &[
                ("5 to 8", "size up, set up, lift, look back"),
                ("9", "two runs side by side"),
                ("B", "large text for a big screen"),
                ("I", "on the shelf: the guided first lift"),
                ("Letter O", "there: open a file"),
                ("E", "there: show endings, for the instructor"),
                ("C", "there: the classes"),
                ("P", "there: tasks to practise alone"),
                ("F2 / F4", "the sheet / the debrief as a page"),
                ("F9", "everything of yours as one file"),
                ("F7", "plain graphics, for a slow machine"),
                ("F8", "light or dark panels"),
                ("Zero", "the instructor's panel"),
                ("F10", "low power, for a battery"),
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
                ("letters", "add equipment; each button shows its own"),
                ("drag", "move a thing over the ground"),
                ("arrows", "nudge it: to the nose, tail, left, right"),
                ("N", "how far an arrow moves it"),
                ("Q", "the plan of the lift, or the equipment"),
                ("+ and -", "more layers, or fewer"),
                ("X O R Del", "mirror, centre, turn, remove"),
                ("E", "do both sides at once"),
                ("Page keys", "choose the next thing, or the one before"),
                ("Ctrl Z / Y", "undo / redo"),
                ("Ctrl S", "save"),
            ],
        ),
        (
            "Measuring, a class, a task",
            &[
                ("N O I", "letters: tape, angle of a face, height of a place"),
                ("Backspace", "clear the figures"),
                ("Page keys", "in a class: next step, step before"),
                ("1 to 9", "in a class: one more hand; Shift: one fewer"),
                ("1 to 9", "in a task: an answer; Enter takes it"),
                ("Home / B", "in a task: the next hint / stop and say why"),
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
                ("N", "in the lift: after a failure, let it run or stop"),
                ("P", "pause when something fails"),
            ],
        ),
    ],
];

/// What the card's heading, its margins and the screen's edge take of its height, points.
const AROUND: f32 = 130.0;

fn keys(ui: &mut Ui, (title, keys): &KeyTable) {
    section(ui, title);
    ui.spacing_mut().item_spacing.y = 3.0;
    for (key, what) in *keys {
        ui.horizontal_top(|ui| {
            ui.scope(|ui| {
                ui.set_width(78.0);
                ui.label(RichText::new(*key).font(theme::bold(theme::SMALL)));
            });
            let what = RichText::new(*what).font(theme::plain(theme::SMALL));
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
            widget::row(ui, |ui| {
                widget::heading(ui, "Keys");
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if button(
                        ui,
                        press("Close", "H", "Back to the screen below").with(Icon::Remove),
                        ButtonState::Plain,
                        0.0,
                    )
                    .clicked()
                    {
                        stay = false;
                    }
                });
            });
            let high = ctx.viewport_rect().height() - AROUND;
            let area = egui::ScrollArea::vertical().max_height(high).min_scrolled_height(high);
            widget::scrolled(ui, area, |ui| {
                ui.columns(3, |columns| {
                    for (ui, groups) in columns.iter_mut().zip(KEYS) {
                        ui.with_layout(Layout::top_down(Align::LEFT), |ui| {
                            groups.iter().for_each(|group| keys(ui, group));
                        });
                    }
                });
            });
        });
    stay && !modal.should_close()
}

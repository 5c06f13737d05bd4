//! The lift screen around the yard: head, stages, controller, readings, time. Plain
//! egui functions from a [`LiftState`] to [`Inputs`]; they know nothing of Bevy.

use super::head::{bands, sights};
use super::input::{Inputs, Pointer};
use super::layout::{LEFT, RIGHT, column, strip};
use super::look::look;
use super::state::LiftState;
use super::time;
use super::{compare, controller, faults, guide, plots, readings, sizeup, task};
use crate::session::Stage;
use crate::view::yard::shown::YARDS;
use bevy_egui::egui::{self, Rect, Ui};

/// Draws the screen; gives what was asked for, and the free rectangles for the yard and those
/// beside it.
pub fn lift_screen(ui: &mut Ui, s: &LiftState<'_>) -> (Inputs, [Rect; YARDS]) {
    let mut actions = Inputs::default();
    bands(ui, s, s.scene, &mut actions);
    let high = time::height(ui);
    strip(ui, "time", high, |ui| time::time(ui, s, &mut actions));
    if s.stage == Stage::LookBack {
        let high = plots::height(ui, s);
        strip(ui, "plots", high, |ui| plots::plots(ui, s, &mut actions));
    }
    // Several yards need the width; the keys of the controller work all the same.
    let room_for_controller = s.compared.is_none() || s.stage == Stage::Lift;
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
        guide::card(ui, guide, yard, &mut actions);
    }
    if let Some(shown) = &s.task {
        task::card(ui, shown, yard, &mut actions);
    }
    if s.instructor {
        faults::panel(ui, s, yard, &mut actions);
    }
    let yards = match &s.compared {
        Some(runs) => compare::split(ui, yard, runs, s.units, Some(&mut actions)),
        None => compare::one_yard(yard),
    };
    (actions, yards)
}

/// Walking around the vehicle by hand.
fn walk(ui: &mut Ui, yard: Rect, s: &LiftState<'_>, actions: &mut Inputs) {
    let response = look(ui, yard, actions);
    if s.stage == Stage::SizeUp
        && s.measure.tool.is_some()
        && response.clicked()
        && let Some(at) = response.interact_pointer_pos()
    {
        actions.push(Pointer::Measure([at.x, at.y]));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::caution::CAUTION;
    use crate::debrief::Moment;
    use crate::lift::Lift;
    use crate::scene::{self, OnFailure};
    use crate::session::{EndingsTold, Lever, LiftTaskShown, Overlays, Reel};
    use crate::units::UnitSystem;
    use crate::view::panels::input::Input;
    use crate::view::panels::shelf;
    use crate::view::theme;
    use bevy_egui::egui::{Pos2, vec2};
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
            compared: None,
            twin: Some(lift.scene()),
            endings: every_ending(),
            freeze: false,
            frozen: false,
            scene: lift.scene(),
            start: lift.snapshot(),
            now: lift.snapshot(),
            findings: lift.findings(),
            all_findings: lift.findings(),
            records: lift.records(),
            struck: lift.struck(),
            instructor: true,
            guide: Some(Box::leak(Box::default())),
            task: Some(LiftTaskShown::default()),
            most_gap_m: vec![0.1; lift.scene().limbs.len()],
            most_load_n: Vec::new(),
            lesson: Vec::new(),
            practice: None,
            units: UnitSystem::Si,
            stage,
            playing: false,
            slow: false,
            slowed_to: Some(0.6),
            script: true,
            on_failure: OnFailure::LetRun,
            stopped: true,
            harm: vec!["Over the arm the vehicle came down 87 mm, at up to 0.90 m/s.".to_owned()],
            done: false,
            ended: false,
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

    fn every_ending() -> EndingsTold<'static> {
        EndingsTold { all: true, played: Box::leak(Box::default()) }
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
        mut screen: impl FnMut(&mut Ui) -> Inputs,
    ) -> (Inputs, Vec<egui::epaint::ClippedShape>) {
        let ctx = egui::Context::default();
        theme::apply(&ctx);
        let mut last = (Inputs::default(), Vec::new());
        for events in events {
            let input = egui::RawInput {
                screen_rect: Some(Rect::from_min_size(Pos2::ZERO, size)),
                events: events.clone(),
                ..Default::default()
            };
            let mut actions = Inputs::default();
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
            for (stage, _) in Stage::ALL {
                let state = state(&lift, &reel, stage);
                let (_, shapes) =
                    frames(size, &vec![Vec::new(); 3], |ui| lift_screen(ui, &state).0);
                if size.x > 1000.0 {
                    place_of(CAUTION, &shapes);
                }
            }
            let scenes = [lift.scene().clone()];
            let (_, shapes) = frames(size, &vec![Vec::new(); 3], |ui| {
                let shown = shelf::ShelfState {
                    scenes: &scenes,
                    chosen: 0,
                    kept: &[],
                    vehicles: &["van".to_owned()],
                    units: UnitSystem::Us,
                    trouble: Some("trouble"),
                    plain_by_itself: true,
                    low_power: true,
                    twin: Some(&*scenes[0]),
                    endings: every_ending(),
                };
                shelf::shelf(ui, &shown)
            });
            if size.x > 1000.0 {
                place_of(CAUTION, &shapes);
            }
            frames(size, &vec![Vec::new(); 2], |ui| {
                let shown = shelf::ShelfState {
                    scenes: &[],
                    chosen: 7,
                    kept: &[],
                    vehicles: &[],
                    units: UnitSystem::Si,
                    trouble: None,
                    plain_by_itself: false,
                    low_power: false,
                    twin: None,
                    endings: every_ending(),
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
            state.impossible = Some(why.to_owned());
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
        let (mut asked, _) = frames(size, &held, draw);
        assert_eq!(asked.take(), [Input::Hold(0, Lever::Up)]);
        let let_go = [Vec::new(), over, down, vec![press(at, false)], Vec::new()];
        let (mut asked, _) = frames(size, &let_go, draw);
        assert_eq!(asked.take(), []);
    }
}

//! Below the set-up: what was done, saving it, and the way on to the lift.

use super::icon::Icon;
use super::input::Inputs;
use super::widget::{self, ButtonState, button, press};
use super::words::capital;
use crate::files;
use crate::session::{Action, Ask, Bench, Stage};
use crate::units::UnitSystem;
use crate::view::theme;
use bevy_egui::egui::{self, Align, Layout, Margin, RichText, Ui};

/// What was done, how it is done, and the way on.
pub fn done(ui: &mut Ui, bench: &Bench, units: UnitSystem, actions: &mut Inputs) {
    ui.horizontal(|ui| {
        let [undo, redo] = bench.draft.undoes();
        let look = |there: bool| if there { ButtonState::Plain } else { ButtonState::Idle };
        let about = |what: Option<&str>| what.map_or_else(|| "Nothing".to_owned(), capital);
        let what = about(undo);
        let pressed =
            button(ui, press("Undo", "Ctrl Z", &what).with(Icon::Undo), look(undo.is_some()), 0.0);
        if pressed.clicked() {
            actions.push(Action::Bench(Ask::Undo));
        }
        let what = about(redo);
        let pressed =
            button(ui, press("Redo", "Ctrl Y", &what).with(Icon::Redo), look(redo.is_some()), 0.0);
        if pressed.clicked() {
            actions.push(Action::Bench(Ask::Redo));
        }
        let both = if bench.both { ButtonState::On } else { ButtonState::Plain };
        let about = "What is done on one side is done on the other";
        if button(ui, press("Both sides", "E", about).with(Icon::Mirror), both, 0.0).clicked() {
            actions.push(Action::Bench(Ask::Both));
        }
        let step = format!("Step {}", units.gap(bench.step_m(units)));
        let about = "How far an arrow key moves things; up is to the nose";
        if button(ui, press(&step, "N", about).with(Icon::Grid), ButtonState::Plain, 0.0).clicked()
        {
            actions.push(Action::Bench(Ask::NextStep));
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let ready = bench.draft.seen().ready().is_some();
            let look = if ready { ButtonState::Main } else { ButtonState::Idle };
            let about = "Builds it up and goes to the lift";
            if button(ui, press("To the lift", "Space", about).with(Icon::On), look, 0.0).clicked()
            {
                actions.push(Action::Stage(Stage::Lift));
            }
            if button(
                ui,
                press("Save as", "", "Under another name").with(Icon::Save),
                ButtonState::Plain,
                0.0,
            )
            .clicked()
            {
                actions.push(Action::Bench(Ask::SaveAs));
            }
            let look = if bench.draft.dirty() { ButtonState::Plain } else { ButtonState::Idle };
            let pressed = button(
                ui,
                press("Save", "Ctrl S", "As a scene file that opens again the same")
                    .with(Icon::Save),
                look,
                0.0,
            );
            if pressed.clicked() && bench.draft.dirty() {
                actions.push(Action::Bench(Ask::Save));
            }
            let dirty = bench.draft.dirty();
            if dirty && let Some(why) = &bench.unkept {
                let about = format!("Nothing is kept here: {why}");
                let pressed = press("Export everything", "F9", &about);
                if button(ui, pressed, ButtonState::Plain, 0.0).clicked() {
                    actions.push(Action::ExportEverything);
                }
            }
            let text = match (dirty, &bench.unkept) {
                (false, _) => "",
                (true, None) => "Unsaved; draft kept.",
                (true, Some(_)) => "Not kept here.",
            };
            ui.add(
                egui::Label::new(
                    RichText::new(text).font(theme::plain(theme::SMALL)).color(theme::SOFT.on(ui)),
                )
                .truncate(),
            );
        });
    });
}

/// Under which name to save.
pub fn naming(ui: &mut Ui, bench: &Bench, actions: &mut Inputs) {
    let id = egui::Id::new("save under");
    let suggested = || {
        let name = &bench.draft.seen().scene.name;
        if bench.draft.path().is_some() { name.clone() } else { format!("{name}, my own") }
    };
    let mut name = ui.data(|d| d.get_temp::<String>(id)).unwrap_or_else(suggested);
    let modal = egui::Modal::new(id.with("modal")).frame(theme::card(ui).inner_margin(20)).show(
        ui.ctx(),
        |ui| {
            ui.set_width(460.0);
            widget::heading(ui, "Save this set-up");
            let edit = egui::TextEdit::singleline(&mut name)
                .id(id)
                .font(theme::plain(theme::HEAD))
                .desired_width(460.0)
                .margin(Margin::symmetric(8, 6))
                .char_limit(80);
            let response = ui.add(edit);
            response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::WidgetType::TextEdit, true, "name of the set-up")
            });
            let path = bench.file_for(&name);
            let there = files::is_file(&path) && bench.draft.path() != Some(path.as_path());
            widget::soft(ui, format!("File: {}", path.display()));
            if there {
                ui.label(
                    RichText::new("There is a file of this name; saving replaces it.")
                        .font(theme::bold(theme::SMALL))
                        .color(theme::INK.on(ui)),
                );
            }
            ui.add_space(theme::STEP);
            let enter = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            if !enter {
                response.request_focus();
            }
            let mut done = None;
            ui.horizontal(|ui| {
                let text = if there { "Replace it" } else { "Save it" };
                let named = !name.trim().is_empty();
                let look = if named { ButtonState::Main } else { ButtonState::Idle };
                // Enter never replaces a file.
                if (button(
                    ui,
                    press(text, "", "Writes the scene file").with(Icon::Save),
                    look,
                    120.0,
                )
                .clicked()
                    || (enter && !there))
                    && named
                {
                    done = Some(Ask::SaveUnder(name.trim().to_owned()));
                }
                if button(
                    ui,
                    press("Not now", "Esc", "Goes on without saving; nothing is lost")
                        .with(Icon::Remove),
                    ButtonState::Plain,
                    0.0,
                )
                .clicked()
                {
                    done = Some(Ask::NotNow);
                }
            });
            done
        },
    );
    ui.data_mut(|d| d.insert_temp(id, name));
    let away = modal.should_close().then_some(Ask::NotNow);
    if let Some(done) = modal.inner.or(away) {
        ui.data_mut(|d| d.remove::<String>(id));
        actions.push(Action::Bench(done));
    }
}

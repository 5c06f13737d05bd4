//! What the sheet says of the set-up.

use super::input::Inputs;
use super::widget::{self, chip, press};
use super::words::capital;
use crate::session::{Action, Bench};
use crate::statics::sheet::{Figure, Limit, Row, RowQuantity, Verdict};
use crate::units::UnitSystem;
use crate::view::theme;
use bevy_egui::egui::{self, RichText, Sense, Ui, vec2};

/// The sheet next to the set-up: what fails first, then what is close, then what holds.
pub fn verdicts(ui: &mut Ui, units: UnitSystem, bench: &Bench, actions: &mut Inputs) {
    ui.add_space(4.0);
    widget::heading(ui, "On paper");
    let hold = bench.rows_hold();
    if !hold {
        let why = if bench.draft.seen().problems.is_empty() {
            "Calculating ..."
        } else {
            "Checked again once everything fits."
        };
        widget::soft(ui, why);
        if !bench.draft.seen().problems.is_empty() {
            return;
        }
    }
    counts(ui, bench);
    let about = "The whole sheet, to read and to print";
    if hold && chip(ui, press("Show as a page", "F2", about), false).clicked() {
        actions.push(Action::ShowSheet);
    }
    job(ui, units, bench);
    if bench.rows.iter().all(|r| r.verdict().is_none()) {
        widget::soft(ui, "Nothing to check: add lifting equipment.");
    }
    let mut rows: Vec<&Row> = bench.rows.iter().filter(|r| r.verdict().is_some()).collect();
    rows.sort_by_key(|row| {
        let order = match row.lift_verdict() {
            Some(Verdict::Fails) => 0,
            Some(Verdict::Close) => 1,
            Some(Verdict::Holds) => 2,
            // What is missing on the truck comes after what the lift does.
            None => 3,
        };
        (order, !bench.is_about_chosen(row))
    });
    for row in rows {
        if let Some(verdict) = row.verdict() {
            row_line(ui, units, row, verdict, bench.is_about_chosen(row));
        }
    }
}

/// How many rows fail, are close, and hold.
fn counts(ui: &mut Ui, bench: &Bench) {
    let count = |v: Verdict| bench.rows.iter().filter(|r| r.lift_verdict() == Some(v)).count();
    ui.horizontal_wrapped(|ui| {
        for v in [Verdict::Fails, Verdict::Close, Verdict::Holds] {
            let (sign, color) = sign_of(v, ui);
            // Nothing of a kind is nothing to look at.
            let color = if count(v) == 0 { theme::SOFT.on(ui) } else { color };
            ui.label(
                RichText::new(format!("{sign} {} {}", v.word(), count(v)))
                    .font(theme::bold(theme::BODY))
                    .color(color),
            );
        }
    });
}

/// A row with its verdict; one about the chosen thing is bold. The tool tip says how it is worked
/// out.
fn row_line(ui: &mut Ui, units: UnitSystem, row: &Row, verdict: Verdict, mine: bool) {
    let (sign, color) = sign_of(verdict, ui);
    let response = ui
        .horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
            ui.painter().text(
                rect.center(),
                egui::Align2::CENTER_CENTER,
                sign,
                theme::bold(theme::BODY),
                color,
            );
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 0.0;
                let font = if mine { theme::bold } else { theme::plain };
                let what = RichText::new(capital(&row.what())).font(font(theme::BODY));
                ui.add(egui::Label::new(what).wrap());
                widget::soft(ui, beside_its_limit(row, units));
            });
        })
        .response;
    response.on_hover_ui(|ui| {
        ui.set_max_width(380.0);
        widget::body(ui, &row.formula);
        widget::body(ui, &row.numbers);
        if !row.note.is_empty() {
            widget::body(ui, &row.note);
        }
        widget::soft(ui, &row.source);
    });
}

/// How long the job takes, as far as it can be told.
fn job(ui: &mut Ui, units: UnitSystem, bench: &Bench) {
    let at = |quantity: &RowQuantity| {
        let row = bench.rows.iter().find(|row| row.quantity() == quantity)?;
        Some(row.result?.show(units))
    };
    let told = [
        ("Ready after", at(&RowQuantity::ReadyToLift)),
        ("casualty out after", at(&RowQuantity::CasualtyOut)),
    ];
    let told: Vec<String> =
        told.into_iter().filter_map(|(what, at)| Some(format!("{what} {}", at?))).collect();
    if !told.is_empty() {
        let measured = bench.draft.seen().scene.measured.as_ref();
        let times = match measured.is_some_and(|measured| !measured.drills.is_empty()) {
            true => "times of your drills",
            false => "assumed times",
        };
        widget::soft(ui, format!("{} ({times}).", told.join(", ")));
    }
}

/// What a row comes to, and its limit or what is needed.
fn beside_its_limit(row: &Row, units: UnitSystem) -> String {
    // The mass beside a load would make the line too long.
    let show = |figure| match figure {
        Figure::Load(n) => Figure::Force(n).show(units),
        other => other.show(units),
    };
    let result = row.result.map(show).unwrap_or_default();
    let limit = |word: &str, figure| format!("{result} ({word} {})", show(figure));
    match row.limit {
        Some(Limit::AtMost(most)) => limit("limit", most),
        Some(Limit::AtLeast(least)) => limit("need", least),
        None => result,
    }
}

fn sign_of(verdict: Verdict, ctx: &egui::Context) -> (&'static str, egui::Color32) {
    match verdict {
        Verdict::Fails => ("\u{00D7}", theme::VERMILION.on(ctx)),
        Verdict::Close => ("\u{25B2}", theme::PURPLE.on(ctx)),
        Verdict::Holds => ("\u{2713}", theme::GREEN.on(ctx)),
    }
}

//! Two runs side by side: their yards, each with its summary below.

use super::input::Inputs;
use super::widget::{self, chip, press};
use super::words::cause_words;
use crate::scene::{self, Scene};
use crate::session::{Action, RunPair, RunSummary, Which};
use crate::snapshot::{Finding, Snapshot};
use crate::units::UnitSystem;
use crate::view::theme;
use bevy_egui::egui::{self, Margin, Rect, RichText, Ui, pos2, vec2};

/// Height of what is told below each yard, points.
const FOOT: f32 = 122.0;
const SEAM: f32 = 4.0;

/// Shares a rectangle out among two yards, each with its run told below; gives the yards.
pub fn split(
    ui: &mut Ui,
    whole: Rect,
    pair: &RunPair<'_>,
    units: UnitSystem,
    actions: &mut Inputs,
) -> [Rect; 2] {
    let middle = whole.center().x;
    let halves = [
        Rect::from_min_max(whole.min, pos2(middle - 0.5 * SEAM, whole.max.y)),
        Rect::from_min_max(pos2(middle + 0.5 * SEAM, whole.min.y), whole.max),
    ];
    let seam = Rect::from_x_y_ranges(halves[0].max.x..=halves[1].min.x, whole.y_range());
    ui.painter().rect_filled(seam, 0.0, theme::SLATE);
    let yards = halves.map(|half| {
        Rect::from_min_max(half.min, pos2(half.max.x, (half.max.y - FOOT).max(half.min.y)))
    });
    for (i, (half, yard)) in halves.into_iter().zip(yards).enumerate() {
        let foot = Rect::from_min_max(pos2(half.min.x, yard.max.y), half.max);
        let builder = egui::UiBuilder::new().max_rect(foot).id_salt(("told", i));
        ui.scope_builder(builder, |ui| {
            ui.set_clip_rect(foot.intersect(ui.clip_rect()));
            egui::Frame::new()
                .fill(theme::CARD.on(ui))
                .inner_margin(Margin::symmetric(10, 5))
                .show(ui, |ui| {
                    ui.set_min_size(foot.size() - vec2(20.0, 10.0));
                    ui.spacing_mut().item_spacing.y = 1.0;
                    match (i, &pair.beside) {
                        (0, _) => told(ui, &pair.here, units),
                        (_, Some(beside)) => {
                            told(ui, beside, units);
                            ui.horizontal(|ui| choice(ui, pair, actions));
                        }
                        (_, None) => {
                            ui.horizontal(|ui| choice(ui, pair, actions));
                            widget::soft(ui, missing(pair));
                        }
                    }
                });
        });
    }
    if pair.beside.is_none() {
        ui.painter().rect_filled(yards[1], 0.0, theme::SUNK.on(ui));
        return [yards[0], Rect::NOTHING];
    }
    yards
}

fn missing(pair: &RunPair<'_>) -> &'static str {
    match pair.which {
        Which::Twin if pair.has[1] => "Settling the twin's vehicle, placing its equipment ...",
        Which::Twin => "This scene has no twin.",
        Which::AsItWas => "No earlier run yet. Go back in time and give another order.",
    }
}

/// Which run is compared with.
fn choice(ui: &mut Ui, pair: &RunPair<'_>, actions: &mut Inputs) {
    ui.spacing_mut().item_spacing.x = 4.0;
    let [before, twin] = pair.has;
    for (there, which, name) in [(before, Which::AsItWas, "As it was"), (twin, Which::Twin, "Twin")]
    {
        if there
            && chip(ui, press(name, "", "The run shown beside this one"), pair.which == which)
                .clicked()
        {
            actions.push(Action::Beside(Some(which)));
        }
    }
    if chip(ui, press("Close", "9", "Back to one yard"), false).clicked() {
        actions.push(Action::Beside(None));
    }
}

fn told(ui: &mut Ui, told: &RunSummary<'_>, units: UnitSystem) {
    let title = RichText::new(&told.title).font(theme::bold(theme::BODY));
    ui.add(egui::Label::new(title).truncate());
    let line = |ui: &mut Ui, text: String, bad: bool| {
        let color = if bad { theme::VERMILION.on(ui) } else { theme::INK.on(ui) };
        let font = if bad { theme::bold(theme::SMALL) } else { theme::plain(theme::SMALL) };
        ui.add(egui::Label::new(RichText::new(text).font(font).color(color)).truncate());
    };
    line(ui, gaps(told.scene, told.now, units), false);
    match told.findings.first() {
        None => line(ui, "No failures so far.".into(), false),
        Some(first) => line(ui, said(first), true),
    }
    let end = ending(told);
    line(ui, end, told.end.is_some() && !told.all_findings.is_empty());
}

fn said(finding: &Finding) -> String {
    format!("{:.1} s  {}", finding.t_s, cause_words(finding.cause()))
}

/// The gap at each limb of that needed.
fn gaps(scene: &Scene, now: &Snapshot, units: UnitSystem) -> String {
    let limb = |(limb, state): (&scene::Limb, &crate::snapshot::LimbState)| {
        let enough = if state.is_clear(limb.gap_needed_m) { " \u{2713}" } else { "" };
        let (gap, needed) = (units.gap(state.gap_m), units.gap(limb.gap_needed_m));
        // The unit is said once.
        let gap = gap.rsplit_once(' ').map_or(gap.as_str(), |(number, _)| number);
        format!("{} {gap} of {needed}{enough}", limb.name)
    };
    scene.limbs.iter().zip(&now.limbs).map(limb).collect::<Vec<_>>().join("    ")
}

/// How the run ended, or that it has not.
fn ending(told: &RunSummary<'_>) -> String {
    let Some(end) = told.end else { return "Still running.".into() };
    let free = told
        .scene
        .limbs
        .iter()
        .zip(&told.last.limbs)
        .all(|(limb, state)| state.is_clear(limb.gap_needed_m));
    let how = match (told.all_findings.first(), free) {
        (Some(first), _) => cause_words(first.cause()).to_lowercase(),
        (None, true) => "every gap is enough".into(),
        (None, false) => "not every gap is enough".into(),
    };
    format!("{end} {:.1} s: {how}.", told.last.t_s)
}

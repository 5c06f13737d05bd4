//! Runs side by side: their yards, each with its summary below.

use super::icon::Icon;
use super::input::Inputs;
use super::widget::{chip, press};
use crate::scene::{self, Scene};
use crate::session::{Action, RunSummary, RunsCompared, Which};
use crate::snapshot::{Finding, Snapshot};
use crate::units::UnitSystem;
use crate::view::theme;
use crate::view::yard::shown::YARDS;
use bevy_egui::egui::{self, Margin, Rect, RichText, Ui, pos2, vec2};

/// Height of what is told below each yard, points.
const FOOT: f32 = 122.0;
const SEAM: f32 = 4.0;

/// A single yard, and nothing beside it.
pub fn one_yard(yard: Rect) -> [Rect; YARDS] {
    let mut yards = [Rect::NOTHING; YARDS];
    yards[0] = yard;
    yards
}

/// Shares a rectangle out among the yards of all runs, each with its run told below; gives the
/// yards. What is compared with can be chosen where actions are asked for.
pub fn split(
    ui: &mut Ui,
    whole: Rect,
    runs: &RunsCompared<'_>,
    units: UnitSystem,
    mut actions: Option<&mut Inputs>,
) -> [Rect; YARDS] {
    // A room is told nothing before it sees it.
    let for_room = actions.is_none();
    let mut yards = [Rect::NOTHING; YARDS];
    let count = (1 + runs.beside.len()).min(YARDS);
    let width = (whole.width() - SEAM * (count - 1) as f32) / count as f32;
    for (place, yard) in yards.iter_mut().enumerate().take(count) {
        let left = whole.min.x + place as f32 * (width + SEAM);
        let part = Rect::from_min_max(pos2(left, whole.min.y), pos2(left + width, whole.max.y));
        if place > 0 {
            let seam = Rect::from_x_y_ranges(left - SEAM..=left, whole.y_range());
            ui.painter().rect_filled(seam, 0.0, theme::SLATE);
        }
        let high = (part.max.y - FOOT).max(part.min.y);
        let picture = Rect::from_min_max(part.min, pos2(part.max.x, high));
        let run = match place {
            0 => Some(&runs.here),
            beside => runs.beside[beside - 1].as_ref(),
        };
        let foot = Rect::from_min_max(pos2(part.min.x, high), part.max);
        let choice = actions.as_deref_mut().filter(|_| place + 1 == count);
        below(ui, foot, |ui| {
            if let Some(run) = run {
                told(ui, run, units, for_room);
            }
            if let Some(actions) = choice {
                ui.horizontal(|ui| choices(ui, runs, actions));
            }
        });
        if run.is_some() {
            *yard = picture;
        } else {
            ui.painter().rect_filled(picture, 0.0, theme::SUNK.on(ui));
            let text = RichText::new(missing(runs)).font(theme::plain(theme::BODY));
            ui.put(picture.shrink(20.0), egui::Label::new(text.color(theme::SOFT.on(ui))).wrap());
        }
    }
    yards
}

/// The strip below a yard.
fn below(ui: &mut Ui, foot: Rect, draw: impl FnOnce(&mut Ui)) {
    let builder = egui::UiBuilder::new().max_rect(foot).id_salt(("told", foot.min.x as i32));
    ui.scope_builder(builder, |ui| {
        ui.set_clip_rect(foot.intersect(ui.clip_rect()));
        let margin = Margin::symmetric(10, 5);
        egui::Frame::new().fill(theme::CARD.on(ui)).inner_margin(margin).show(ui, |ui| {
            ui.set_min_size(foot.size() - vec2(20.0, 10.0));
            ui.spacing_mut().item_spacing.y = 1.0;
            draw(ui);
        });
    });
}

fn missing(runs: &RunsCompared<'_>) -> &'static str {
    match runs.which {
        Which::Twin if runs.has[1] => "Settling the vehicle, placing its equipment ...",
        Which::Twin => "This scene has no twin.",
        Which::AsItWas => "No earlier run yet. Go back in time and give another order.",
    }
}

/// Which run is compared with.
fn choices(ui: &mut Ui, runs: &RunsCompared<'_>, actions: &mut Inputs) {
    ui.spacing_mut().item_spacing.x = 4.0;
    let [before, twin] = runs.has;
    for (there, which, name) in [(before, Which::AsItWas, "As it was"), (twin, Which::Twin, "Twin")]
    {
        if there
            && chip(ui, press(name, "", "The run shown beside this one"), runs.which == which)
                .clicked()
        {
            actions.push(Action::Beside(Some(which)));
        }
    }
    if chip(ui, press("Close", "9", "Back to one yard").with(Icon::Remove), false).clicked() {
        actions.push(Action::Beside(None));
    }
}

/// What a run has come to; for a room larger, and its end only once it is seen.
fn told(ui: &mut Ui, told: &RunSummary<'_>, units: UnitSystem, for_room: bool) {
    let (head, size) = match for_room {
        true => (theme::HEAD, theme::BODY),
        false => (theme::BODY, theme::SMALL),
    };
    let title = RichText::new(&told.title).font(theme::bold(head));
    ui.add(egui::Label::new(title).wrap());
    let line = |ui: &mut Ui, text: String, bad: bool| {
        let color = if bad { theme::VERMILION.on(ui) } else { theme::INK.on(ui) };
        let font = if bad { theme::bold(size) } else { theme::plain(size) };
        ui.add(egui::Label::new(RichText::new(text).font(font).color(color)).truncate());
    };
    line(ui, gaps(told.scene, told.now, units), false);
    match told.findings.first() {
        None => line(ui, "No failures so far.".into(), false),
        Some(first) => line(ui, said(first), true),
    }
    if !for_room || (told.end.is_some() && told.now.t_s >= told.last.t_s) {
        let end = ending(told);
        line(ui, end, told.end.is_some() && !told.all_findings.is_empty());
    }
}

fn said(finding: &Finding) -> String {
    format!("{:.1} s  {}", finding.t_s, finding.cause().say())
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
        (Some(first), _) => first.cause().say().to_lowercase(),
        (None, true) => "every gap is enough".into(),
        (None, false) => "not every gap is enough".into(),
    };
    format!("{end} {:.1} s: {how}.", told.last.t_s)
}

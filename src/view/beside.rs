//! A run beside the one that is worked on: the same lift as it was before the last change
//! of what had been seen, or the lesson's twin by its own script. Both are on screen at the
//! same time of the lift and seen by the same camera, so that what differs is the lift.

use super::panels::Action;
use super::play::TICKS_PER_RECORD;
use super::readings::cause_words;
use super::reel::{Record, Reel, record};
use super::shown::Shown;
use super::theme;
use super::widget::{self, chip, press};
use crate::debrief::Moment;
use crate::lift::Lift;
use crate::scene::{self, Scene};
use crate::snapshot::{Finding, Snapshot};
use crate::units::System;
use bevy_egui::egui::{self, Margin, Rect, RichText, Ui, pos2, vec2};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::sync::{Arc, Mutex};

/// What stands beside the run that is worked on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Which {
    /// The run before the last change.
    AsItWas,
    /// The lesson that differs in one choice.
    Twin,
}

/// A lift that is played by its own script, ahead of whoever looks at it.
pub(super) struct Twin {
    /// The file name that a lesson calls it by.
    of: String,
    lines: Option<Reel>,
    /// None when it has come to its end.
    coming: Option<Mutex<Receiver<Seen>>>,
    scene: Arc<Scene>,
}

struct Seen {
    tick: u64,
    moment: Moment,
    said: usize,
}

impl Twin {
    /// Begins to play it; none where it cannot be read.
    pub fn of(name: &str) -> Option<Self> {
        let scene = Arc::new(scene::load(name, &[]).ok()?.scene);
        let (send, coming) = channel();
        let played = scene.clone();
        std::thread::spawn(move || {
            let mut lift = Lift::new(played);
            let mut parts = Arc::new(lift.parts().to_vec());
            let mut tick = 0;
            loop {
                if parts.as_slice() != lift.parts() {
                    parts = Arc::new(lift.parts().to_vec());
                }
                let moment = Moment {
                    parts: parts.clone(),
                    snapshot: lift.snapshot().clone(),
                    findings: lift.findings().to_vec(),
                };
                let seen = Seen { tick, moment, said: lift.said().len() };
                // Nobody may be looking any more.
                if send.send(seen).is_err() || lift.done() {
                    break;
                }
                for _ in 0..TICKS_PER_RECORD {
                    lift.tick();
                    tick += 1;
                }
            }
        });
        Some(Self { of: name.to_owned(), lines: None, coming: Some(Mutex::new(coming)), scene })
    }

    pub fn is_of(&self, name: &str) -> bool {
        self.of == name
    }

    /// Takes over what has been played; with `wait` not before it has got to a time, s.
    pub fn collect(&mut self, t_s: f64, wait: bool) {
        while let Some(coming) = &self.coming {
            let there = |reel: &Reel| reel.last().moment.snapshot.t_s >= t_s;
            let missing = wait && !self.lines.as_ref().is_some_and(there);
            let got = coming.lock().map_or(Err(TryRecvError::Disconnected), |coming| {
                if missing {
                    coming.recv().map_err(|_| TryRecvError::Disconnected)
                } else {
                    coming.try_recv()
                }
            });
            match got {
                Ok(Seen { tick, moment, said }) => match &mut self.lines {
                    Some(reel) => {
                        let next = record(&reel.lines, tick, moment, said);
                        reel.extend([next]);
                        reel.thin();
                    }
                    None => self.lines = Some(Reel::new(self.scene.clone(), moment)),
                },
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => self.coming = None,
            }
        }
    }

    /// What has been seen of it: nothing while its vehicle still comes to rest.
    pub fn reel(&self) -> Option<&Reel> {
        self.lines.as_ref()
    }

    pub fn over(&self) -> bool {
        self.coming.is_none()
    }
}

/// The moment of a run that belongs to a time, s: its last one where it ended before.
pub(super) fn at(reel: &Reel, t_s: f64) -> &Arc<Record> {
    reel.find(t_s).map_or_else(|| reel.last(), |i| reel.at(i))
}

/// Puts that moment into the yard beside. `anew` where another lift stood there.
pub(super) fn show(reel: &Reel, t_s: f64, units: System, anew: bool, shown: &mut Shown) {
    let Moment { parts, snapshot, findings } = &at(reel, t_s).moment;
    if anew {
        shown.begin(reel.scene.clone(), parts, reel.start());
    }
    shown.units = units;
    if shown.parts != **parts {
        shown.parts.clone_from(parts);
    }
    shown.snapshot.clone_from(snapshot);
    if shown.findings != *findings {
        shown.findings.clone_from(findings);
    }
}

/// One of the two runs, as it is told below its yard.
pub(super) struct Told<'a> {
    pub title: String,
    pub scene: &'a Scene,
    pub now: &'a Snapshot,
    /// Up to the moment on screen, and of the whole run.
    pub findings: &'a [Finding],
    pub all_findings: &'a [Finding],
    /// The last moment that is known, and what it is called where the run goes no further.
    pub last: &'a Snapshot,
    pub end: Option<&'static str>,
}

/// What the lift screen shows of two runs.
pub(super) struct Pair<'a> {
    pub which: Which,
    /// What there is to choose from.
    pub has: [bool; 2],
    pub here: Told<'a>,
    /// None while there is nothing to compare with.
    pub beside: Option<Told<'a>>,
}

/// Height of what is told below each yard, points.
const FOOT: f32 = 92.0;
const SEAM: f32 = 4.0;

/// Shares a rectangle out among two yards, each with its run told below; gives the yards.
pub(super) fn split(
    ui: &mut Ui,
    whole: Rect,
    pair: &Pair<'_>,
    units: System,
    actions: &mut Vec<Action>,
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
                        (0, _) => told(ui, &pair.here, units, |_| {}),
                        (_, Some(beside)) => {
                            told(ui, beside, units, |ui| choice(ui, pair, actions));
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

fn missing(pair: &Pair<'_>) -> &'static str {
    match pair.which {
        Which::Twin if pair.has[1] => "The twin's vehicle comes to rest and its crew builds up.",
        Which::Twin => "This scene has no twin.",
        Which::AsItWas => {
            "Nothing to compare with yet: go back along the line of time, give another order, and \
             the run as it was stands here."
        }
    }
}

/// Which run stands beside.
fn choice(ui: &mut Ui, pair: &Pair<'_>, actions: &mut Vec<Action>) {
    ui.spacing_mut().item_spacing.x = 4.0;
    let [before, twin] = pair.has;
    for (there, which, name) in
        [(before, Which::AsItWas, "As it was"), (twin, Which::Twin, "Its twin")]
    {
        if there
            && chip(ui, press(name, "", "What stands beside this run"), pair.which == which)
                .clicked()
        {
            actions.push(Action::Beside(Some(which)));
        }
    }
    if chip(ui, press("Close", "F6", "Back to one yard"), false).clicked() {
        actions.push(Action::Beside(None));
    }
}

fn told(ui: &mut Ui, told: &Told<'_>, units: System, more: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        let room = ui.available_width();
        // Shorter before the choice is cut.
        ui.scope(|ui| {
            ui.set_max_width((room - 230.0).max(90.0));
            let title = RichText::new(&told.title).font(theme::bold(theme::BODY));
            ui.add(egui::Label::new(title).truncate());
        });
        more(ui);
    });
    let line = |ui: &mut Ui, text: String, bad: bool| {
        let color = if bad { theme::VERMILION.on(ui) } else { theme::INK.on(ui) };
        let font = if bad { theme::bold(theme::SMALL) } else { theme::plain(theme::SMALL) };
        ui.add(egui::Label::new(RichText::new(text).font(font).color(color)).truncate());
    };
    line(ui, gaps(told.scene, told.now, units), false);
    match told.findings.first() {
        None => line(ui, "Nothing has gone wrong so far.".into(), false),
        Some(first) => line(ui, said(first), true),
    }
    let end = ending(told);
    line(ui, end, told.end.is_some() && !told.all_findings.is_empty());
}

fn said(finding: &Finding) -> String {
    format!("{:.1} s  {}: {}", finding.t_s, cause_words(finding.cause), finding.part)
}

/// The gap at each limb of that needed.
fn gaps(scene: &Scene, now: &Snapshot, units: System) -> String {
    let limb = |(limb, state): (&scene::Limb, &crate::snapshot::LimbState)| {
        let enough = if state.gap_m >= limb.gap_needed_m { " \u{2713}" } else { "" };
        let (gap, needed) = (units.gap(state.gap_m), units.gap(limb.gap_needed_m));
        // The unit is said once.
        let gap = gap.rsplit_once(' ').map_or(gap.as_str(), |(number, _)| number);
        format!("{} {gap} of {needed}{enough}", limb.name)
    };
    scene.limbs.iter().zip(&now.limbs).map(limb).collect::<Vec<_>>().join("    ")
}

/// How the run ended, or that it has not.
fn ending(told: &Told<'_>) -> String {
    let Some(end) = told.end else { return "Not at its end yet.".into() };
    let free = told
        .scene
        .limbs
        .iter()
        .zip(&told.last.limbs)
        .all(|(limb, state)| state.gap_m >= limb.gap_needed_m);
    let how = match (told.all_findings.first(), free) {
        (Some(first), _) => cause_words(first.cause).to_lowercase(),
        (None, true) => "every gap is enough".into(),
        (None, false) => "not every gap is enough".into(),
    };
    format!("{end} {:.1} s: {how}.", told.last.t_s)
}

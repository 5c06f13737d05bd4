//! Plays the shelf: every scene to its end, then samples of each within its spread, and reports
//! all on one page. Simulates nothing itself.

use crate::caution::CAUTION;
use crate::debrief::{Debrief, FrameRetention, expectation, play};
use crate::practice::{NO_POINT, Practice};
use crate::printable::{markdown, markdown_code};
use crate::scene::schema::word_keys;
use crate::scene::tree::Node;
use crate::scene::{self, Expect, Loaded, Problem, Source, sampled};
use crate::snapshot::TimberAndAir;
use crate::units::UnitSystem;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

/// One sample in this many may end differently before a lesson has to say `near: true`.
pub const SAMPLES: usize = 20;
const MAY_DIFFER: usize = 1;
/// Folder of the page's pictures, beside the page.
pub const PICTURES: &str = "pictures/lessons";
/// Behind this line the page says how many samples keep their ending.
const MARGINS: &str = "## How sure each ending is\n";

/// A scene of the shelf.
pub struct ShelfScene {
    pub source: Source,
    pub loaded: Loaded,
}

/// Plays a scene as it is written.
pub fn played(entry: &ShelfScene, keep: FrameRetention) -> Debrief {
    play(Arc::new(entry.loaded.scene.clone()), UnitSystem::Si, keep, &mut |_, _| ())
}

/// Plays one sample of a scene within its spread: how it ends.
///
/// # Errors
/// What is wrong with the scene as written.
pub fn sample(entry: &ShelfScene, seed: u64) -> Result<Expect, Vec<Problem>> {
    let scene = sampled(&entry.loaded.doc, seed)?;
    let debrief = play(Arc::new(scene), UnitSystem::Si, FrameRetention::None, &mut |_, _| ());
    Ok(Expect { outcome: debrief.outcome, cause: debrief.cause })
}

/// How the samples of a scene end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Margin {
    /// File name without its ending.
    pub scene: String,
    /// How many end as the scene expects, by the cause expected.
    pub kept: usize,
    pub of: usize,
    /// Digest of all that decides the ending; see [`seal`].
    pub seal: String,
    /// How the others end, each with how many.
    pub otherwise: String,
}

impl Margin {
    pub fn from_endings(entry: &ShelfScene, endings: &[Expect]) -> Self {
        let expect = entry.loaded.scene.expect;
        let kept = |e: &Expect| {
            e.outcome == expect.outcome && expect.cause.is_none_or(|c| Some(c) == e.cause)
        };
        let mut others: BTreeMap<String, usize> = BTreeMap::new();
        for ending in endings.iter().filter(|e| !kept(e)) {
            *others.entry(expectation(*ending)).or_default() += 1;
        }
        let others: Vec<String> = others.iter().map(|(what, n)| format!("{n} {what}")).collect();
        Self {
            scene: entry.source.name(),
            kept: endings.iter().filter(|e| kept(e)).count(),
            of: endings.len(),
            seal: seal(&entry.loaded.doc),
            otherwise: others.join(", "),
        }
    }

    /// Enough samples keep their ending for the lesson not to be near.
    pub fn is_wide(&self) -> bool {
        self.of >= SAMPLES && self.kept + MAY_DIFFER * self.of / SAMPLES >= self.of
    }

    fn row(&self) -> String {
        let Self { scene, kept, of, seal, otherwise } = self;
        let scene = markdown_code(scene);
        format!("| `{scene}` | {kept} of {of} | {otherwise} | {seal} |\n")
    }

    fn parse(row: &str) -> Option<Self> {
        let cells: Vec<&str> = row.strip_prefix("| `")?.split('|').map(str::trim).collect();
        let [scene, counts, otherwise, seal, ..] = cells.as_slice() else { return None };
        let (kept, of) = counts.split_once(" of ")?;
        Some(Self {
            scene: scene.trim_end_matches('`').to_owned(),
            kept: kept.parse().ok()?,
            of: of.parse().ok()?,
            seal: (*seal).to_owned(),
            otherwise: (*otherwise).to_owned(),
        })
    }
}

/// The margins that a page lists.
pub fn margins_of(page: &str) -> Vec<Margin> {
    let behind = page.split_once(MARGINS).map_or("", |(_, behind)| behind);
    behind.lines().filter_map(Margin::parse).collect()
}

/// The page with some of its margins replaced; margins of scenes that no longer exist are
/// dropped.
pub fn with_margins(page: &str, new: &[Margin], shelf: &[ShelfScene]) -> String {
    let head = page.split_once(MARGINS).map_or(page, |(head, _)| head);
    let mut all: BTreeMap<String, Margin> = BTreeMap::new();
    for margin in margins_of(page).iter().chain(new) {
        all.insert(markdown_code(&margin.scene), margin.clone());
    }
    let rows: String = shelf
        .iter()
        .filter_map(|e| all.get(&markdown_code(&e.source.name())))
        .map(Margin::row)
        .collect();
    format!(
        "{head}{MARGINS}\nEach scene is played {SAMPLES} times, from fixed seeds, with another \
         mass, another friction and its stacks a little off, as its `spread` says.\nAt least {} \
         of {SAMPLES} must end as the scene expects, by the same cause, or the scene calls itself \
         a near thing.\nThe seal is of everything in the scene that decides; a changed scene has \
         another, and is to be played again.\n\n| scene | keep their ending | the others | seal \
         |\n|---|---|---|---|\n{rows}",
        SAMPLES - MAY_DIFFER,
    )
}

/// Fields that only describe a scene.
fn tells_only() -> Vec<&'static str> {
    word_keys(|word| !word.judged)
}

/// One number for everything in a scene that decides how it ends, and for the ending it
/// expects.
pub fn seal(doc: &Node) -> String {
    format!("{:08x}", doc.digest(&tells_only()) as u32)
}

/// The page: every scene with what it teaches, how it ended, the number that decides and
/// its twin. `folder` is where the page stands: the pictures that are there are shown.
/// What the page said of the margins before stays.
pub fn page<'a>(
    shelf: &[ShelfScene],
    debriefs: impl IntoIterator<Item = &'a Debrief>,
    before: &str,
    folder: &Path,
) -> String {
    let mut out = format!(
        "# Lessons\n\nEvery scene of the shelf as it was played last.\nWritten by `inchwise shelf \
         --page docs/LESSONS.md`; `tests/lifts/shelf.rs` holds it to the shelf.\nIn each pair one choice \
         differs, and with it the ending.\nNothing but forces decided what happened; what a choice \
         ought to do is common practice in the trade, no source.\n\n{CAUTION}\n"
    );
    let mut group = "";
    for (entry, debrief) in shelf.iter().zip(debriefs) {
        if entry.loaded.scene.group != group {
            group = &entry.loaded.scene.group;
            out += &format!("\n## {}\n", markdown(group));
        }
        out += &section(entry, debrief, shelf, folder);
    }
    let margins = before.split_once(MARGINS).map_or("", |(_, behind)| behind);
    with_margins(&format!("{out}\n{MARGINS}{margins}"), &[], shelf)
}

fn section(entry: &ShelfScene, debrief: &Debrief, shelf: &[ShelfScene], folder: &Path) -> String {
    let (scene, file) = (&entry.loaded.scene, entry.source.name());
    let after = debrief.readings(|r| r.after());
    let decided = debrief.readings(|r| r.decided());
    let mut lines = vec![markdown(&scene.teaches), String::new()];
    lines.push(format!("Ends: {}, after {:.0} s.", ending(debrief), debrief.sim_s));
    lines.extend(decided.map(|d| markdown(&format!("Deciding figure: {d}."))));
    lines.extend(Some(markdown(&after)).filter(|after| !after.is_empty()));
    lines.extend(limbs(debrief).iter().map(|limb| markdown(limb)));
    lines.extend(practised(debrief));
    let twin = scene.lesson.twin.as_deref().and_then(|twin| {
        let other = shelf.iter().find(|e| e.source.name() == twin)?;
        Some(format!(
            "Its twin `{}` differs in {}, and ends: {}.",
            markdown_code(twin),
            choice(entry, other),
            expectation(other.loaded.scene.expect)
        ))
    });
    lines.extend(twin);
    if scene.lesson.near {
        lines.push("A near thing.".to_owned());
    }
    let picture = format!("{PICTURES}/{file}.png");
    let picture = match folder.join(&picture).is_file() {
        true => format!("\n![{}: {}]({picture})\n", markdown(&scene.name), ending(debrief)),
        false => String::new(),
    };
    let [name, file] = [markdown(&scene.name), markdown_code(&file)];
    format!("\n### {name}\n\n`{file}`\n\n{}\n{picture}", lines.join("\n"))
}

/// What became of each limb, what bore the load at the end, and how the casualty lies then.
fn limbs(debrief: &Debrief) -> Vec<String> {
    let u = debrief.units;
    let gaps = debrief.gaps.iter().zip(debrief.limb_records()).map(|(gap, limb)| {
        let [start, needed] = [gap.start_m, gap.needed_m].map(|m| u.gap(m));
        let end = Debrief::end_gap(gap, &limb, u);
        format!(
            "Over the {}: {start} at the start, {end} at the end, {needed} needed. It bore {} at the \
             start.",
            gap.at,
            u.load(gap.start_load_n)
        )
    });
    let mut said: Vec<String> = gaps.collect();
    let end = debrief.history.last();
    let held = end.map(|end| TimberAndAir::at(&debrief.scene, &debrief.parts, end));
    if let Some(held) = held
        && held.timber_n + held.air_n > 0.0
    {
        let per_cent = 100.0 * held.share_on_timber();
        said.push(format!("Timber bore {per_cent:.0} % of what was lifted at the end."));
    }
    let casualty = debrief.practice.as_ref().and_then(Practice::say_casualty);
    said.extend(casualty.map(|casualty| format!("Casualty at the end: {casualty}.")));
    said
}

/// The rules of practice that have a point, by their words on the page of rules.
fn practised(debrief: &Debrief) -> Option<String> {
    let practice = debrief.practice.as_ref()?;
    let words: BTreeSet<&str> = practice.points.iter().map(|point| point.rule.word).collect();
    let words: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    let found = if words.is_empty() { NO_POINT.to_owned() } else { words.join(", ") };
    let until = if practice.failed_s.is_some() { ", up to the failure" } else { "" };
    Some(format!("[Points of practice](PRACTICE.md){until}: {found}."))
}

/// "failed (roll)", of a lift that was played.
fn ending(debrief: &Debrief) -> String {
    expectation(Expect { outcome: debrief.outcome, cause: debrief.cause })
}

/// What two scenes differ in besides their words, as paths.
pub fn differences(one: &ShelfScene, other: &ShelfScene) -> Vec<String> {
    scene::choice(&one.loaded.doc, &other.loaded.doc)
}

fn choice(one: &ShelfScene, other: &ShelfScene) -> String {
    let paths: Vec<String> =
        differences(one, other).iter().map(|path| format!("`{}`", markdown_code(path))).collect();
    paths.join(", ")
}

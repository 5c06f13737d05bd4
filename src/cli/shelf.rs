//! The job of `inchwise shelf`: the list, what came of playing it, and its page.

use super::common::{bar, read_shelf};
use super::failure::{Failure, MET, NOT_MET};
use super::outputs::{Outputs, files_of};
use super::pictures;
use super::say;
use crate::caution::CAUTION;
use crate::debrief::{self, Debrief, FrameRetention, expectation};
use crate::files;
use crate::parallel::{ThreadsError, cores, each};
use crate::scene::{Scene, did_you_mean};
use crate::shelf::{Margin, PICTURES, SAMPLES, ShelfScene, page, played, sample, with_margins};
use crate::units::UnitSystem;
use clap::Args;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

#[derive(Args)]
pub struct ShelfArgs {
    /// Only these scenes of the shelf
    scenes: Vec<String>,
    /// Play every scene: outcome, cause and time taken
    #[arg(long)]
    play: bool,
    /// Play every scene again and again within its spread: how many keep their ending
    #[arg(long, conflicts_with = "play")]
    margins: bool,
    /// How many lifts are played at once [default: as many as there are cores]
    #[arg(long, value_name = "N")]
    threads: Option<NonZeroUsize>,
    /// Write what was found to the page of lessons, and pictures beside it
    #[arg(long, value_name = "FILE")]
    page: Option<PathBuf>,
}

pub fn run(args: &ShelfArgs) -> Result<u8, Failure> {
    let (mut shelf, bad) = read_shelf();
    if let Some(name) = args.scenes.iter().find(|n| !shelf.iter().any(|e| e.source.name() == **n)) {
        let names: Vec<String> = shelf.iter().map(|entry| entry.source.name()).collect();
        let near = did_you_mean(name, names.iter().map(String::as_str));
        return Err(Failure::input(format_args!(
            "{name}: there is no scene of this name on the shelf; {near}`inchwise shelf` lists it"
        )));
    }
    let problems = || Failure::problems(&bad, UnitSystem::Si);
    if !bad.is_empty() && (args.play || args.margins || args.page.is_some()) {
        return Err(problems());
    }
    let read = files_of(shelf.iter().map(|entry| &entry.loaded.doc));
    Outputs::default().and("--page", &args.page).check(&read)?;
    let threads = args.threads.map_or_else(cores, NonZeroUsize::get);
    let wanted = |e: &ShelfScene| args.scenes.is_empty() || args.scenes.contains(&e.source.name());
    let code = if args.margins {
        margins(&shelf, &wanted, threads, args.page.as_deref())?
    } else if let Some(page) = &args.page {
        write_page(&shelf, &wanted, threads, page)?
    } else {
        shelf.retain(wanted);
        let debriefs = match args.play {
            true => play_all(&shelf, threads, FrameRetention::None)?,
            false => Vec::new(),
        };
        list(&shelf, &debriefs)
    };
    if bad.is_empty() { Ok(code) } else { Err(problems()) }
}

/// The list, with what came of playing it where that was done.
fn list(shelf: &[ShelfScene], debriefs: &[Debrief]) -> u8 {
    let mut code = MET;
    let mut group = "";
    for (i, ShelfScene { source, loaded }) in shelf.iter().enumerate() {
        let scene = &loaded.scene;
        if scene.group != group {
            group = &scene.group;
            say::line(group);
        }
        say::line(format_args!("  {}  ({})", scene.name, source.shown()));
        say::line(format_args!("      {}", scene.teaches));
        say::line(format_args!("      {}", before(scene)));
        if let Some(debrief) = debriefs.get(i) {
            say::line(format_args!("      played:   {}", told(debrief)));
            if !debrief.as_expected() {
                code = NOT_MET;
            }
        }
    }
    if !debriefs.is_empty() {
        let differ = debriefs.iter().filter(|d| !d.as_expected()).count();
        let taken: f64 = debriefs.iter().map(|d| d.wall_s).sum();
        say::line(format_args!(
            "\n{} scenes, {differ} end otherwise than expected, {taken:.0} s in all",
            shelf.len()
        ));
    } else {
        say::line(
            "\nNothing was played: `inchwise shelf --play` plays these scenes, in a minute or \
             two, and reports outcome, cause and time taken.",
        );
    }
    say::line(format_args!("\n{CAUTION}"));
    code
}

/// Outcome, cause and time taken.
fn told(debrief: &Debrief) -> String {
    let ending =
        expectation(crate::scene::Expect { outcome: debrief.outcome, cause: debrief.cause });
    let differs = if debrief.as_expected() { "" } else { "  (this run differs)" };
    format!("{ending}, {:.0} s in {:.1} s{differs}", debrief.sim_s, debrief.wall_s)
}

/// What is said of a scene in the list, besides what it teaches: how it should end, the number
/// that decides, its twin, how near.
fn before(scene: &Scene) -> String {
    let lesson = &scene.lesson;
    let decides = lesson.decides.as_ref().map(|m| format!("; decides: {}", debrief::name(m)));
    let twin = lesson.twin.as_ref().map(|twin| format!("; twin: {twin}"));
    let near = lesson.near.then(|| "; a near thing".to_owned());
    let more: String = [decides, twin, near].into_iter().flatten().collect();
    format!("expected: {}{more}", expectation(scene.expect))
}

const LIFTS: &str = "[{bar:30}] {pos} of {len} lifts, {eta} left";

fn play_all(
    shelf: &[ShelfScene],
    threads: usize,
    keep: FrameRetention,
) -> Result<Vec<Debrief>, ThreadsError> {
    with_bar(shelf, threads, |entry| played(entry, keep))
}

/// Does some work for each item, behind a bar.
fn with_bar<T: Sync, R: Send>(
    items: &[T],
    threads: usize,
    work: impl Fn(&T) -> R + Sync,
) -> Result<Vec<R>, ThreadsError> {
    let bar = bar(items.len(), LIFTS);
    let results = each(items, threads, work, &mut |_| {
        bar.inc(1);
        Ok(())
    });
    bar.finish_and_clear();
    results
}

/// Plays the samples of each scene that is wanted, prints how many keep their ending and
/// writes that into the page.
fn margins(
    shelf: &[ShelfScene],
    wanted: &dyn Fn(&ShelfScene) -> bool,
    threads: usize,
    page: Option<&Path>,
) -> Result<u8, Failure> {
    let chosen: Vec<&ShelfScene> = shelf.iter().filter(|e| wanted(e)).collect();
    let lifts: Vec<(&ShelfScene, u64)> = chosen
        .iter()
        .flat_map(|entry| (1..=SAMPLES as u64).map(move |seed| (*entry, seed)))
        .collect();
    let endings = with_bar(&lifts, threads, |(entry, seed)| sample(entry, *seed))?;
    let endings: Result<Vec<_>, _> = endings.into_iter().collect();
    let endings = endings.map_err(|problems| Failure::problems(&problems, UnitSystem::Si))?;
    let margins: Vec<Margin> = chosen
        .iter()
        .zip(endings.chunks(SAMPLES))
        .map(|(e, ends)| Margin::from_endings(e, ends))
        .collect();
    let mut code = MET;
    for (entry, margin) in chosen.iter().zip(&margins) {
        let near = entry.loaded.scene.lesson.near;
        let fits = margin.is_wide() || near;
        let note = match (fits, near) {
            (false, _) => "  too near: say `near: true` or choose other figures",
            (_, true) => "  a near thing",
            _ => "",
        };
        let others = if margin.otherwise.is_empty() { "" } else { ", others " };
        let Margin { scene, kept, of, otherwise, .. } = margin;
        say::line(format_args!("{scene}: {kept} of {of}{others}{otherwise}{note}"));
        if !fits {
            code = NOT_MET;
        }
    }
    if let Some(path) = page {
        let before = page_before(path);
        files::write(path, with_margins(&before, &margins, shelf))?;
    }
    Ok(code)
}

/// What a page says so far, of which the margins stay; nothing where there is none.
fn page_before(path: &Path) -> String {
    const LARGEST_BYTES: u64 = 1 << 24;
    let bytes = files::read(path, LARGEST_BYTES).unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Plays the whole shelf and writes its page; draws the endings that are wanted.
fn write_page(
    shelf: &[ShelfScene],
    wanted: &dyn Fn(&ShelfScene) -> bool,
    threads: usize,
    path: &Path,
) -> Result<u8, Failure> {
    let debriefs = play_all(shelf, threads, FrameRetention::Milestones)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let bar = bar(debriefs.len(), LIFTS);
    for (entry, debrief) in shelf.iter().zip(&debriefs) {
        let file = folder.join(PICTURES).join(format!("{}.png", entry.source.name()));
        if wanted(entry)
            && let Err(why) = pictures::draw_ending(debrief, &file)
        {
            say::problem(format_args!("no new pictures: {why}"));
            break;
        }
        bar.inc(1);
    }
    bar.finish_and_clear();
    let before = page_before(path);
    files::write(path, page(shelf, &debriefs, &before, folder))?;
    for debrief in debriefs.iter().filter(|d| !d.as_expected()) {
        say::problem(format_args!("{}: {}", debrief.scene.name, told(debrief)));
    }
    Ok(if debriefs.iter().all(Debrief::as_expected) { MET } else { NOT_MET })
}

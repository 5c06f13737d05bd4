//! The job of `inchwise shelf`: the list, what came of playing it, and its page.

use super::{BAD_INPUT, MET, NOT_MET, OUR_FAULT, complain, read_shelf};
use crate::debrief::{self, CAUTION, Debrief, Keep, expectation};
use crate::scene::Scene;
use crate::shelf::{Entry, Margin, PICTURES, SAMPLES, each, page, played, sample, with_margins};
use crate::units::System;
use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};
use std::path::{Path, PathBuf};

#[derive(Args)]
pub struct Asked {
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
    threads: Option<usize>,
    /// Write what was found to the page of lessons, and pictures beside it
    #[arg(long, value_name = "FILE")]
    page: Option<PathBuf>,
}

pub fn run(asked: &Asked) -> u8 {
    let (mut shelf, bad) = read_shelf();
    if let Some(name) = asked.scenes.iter().find(|n| !shelf.iter().any(|e| e.source.name() == **n))
    {
        eprintln!("{name}: there is no scene of this name on the shelf; `inchwise shelf` lists it");
        return BAD_INPUT;
    }
    if !bad.is_empty() && (asked.play || asked.margins || asked.page.is_some()) {
        return complain(&bad, System::Si);
    }
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZeroUsize::get);
    let threads = asked.threads.unwrap_or(cores);
    let wanted = |e: &Entry| asked.scenes.is_empty() || asked.scenes.contains(&e.source.name());
    let code = if asked.margins {
        margins(&shelf, &wanted, threads, asked.page.as_deref())
    } else if let Some(page) = &asked.page {
        write_page(&shelf, &wanted, threads, page)
    } else {
        shelf.retain(wanted);
        let debriefs = if asked.play { play_all(&shelf, threads, Keep::Nothing) } else { vec![] };
        list(&shelf, &debriefs)
    };
    if bad.is_empty() { code } else { complain(&bad, System::Si) }
}

/// The list, with what came of playing it where that was done.
fn list(shelf: &[Entry], debriefs: &[Debrief]) -> u8 {
    let mut code = MET;
    let mut group = "";
    for (i, Entry { source, loaded }) in shelf.iter().enumerate() {
        let scene = &loaded.scene;
        if scene.group != group {
            group = &scene.group;
            println!("{group}");
        }
        println!("  {}  ({})", scene.name, source.shown());
        println!("      {}", scene.teaches);
        println!("      {}", before(scene));
        if let Some(debrief) = debriefs.get(i) {
            println!("      played:   {}", told(debrief));
            if !debrief.as_expected() {
                code = NOT_MET;
            }
        }
    }
    if !debriefs.is_empty() {
        let differ = debriefs.iter().filter(|d| !d.as_expected()).count();
        let taken: f64 = debriefs.iter().map(|d| d.wall_s).sum();
        println!(
            "\n{} scenes, {differ} end otherwise than expected, {taken:.0} s in all",
            shelf.len()
        );
    } else {
        println!(
            "\nNothing was played: `inchwise shelf --play` plays these scenes, in a minute or two, and \
             tells outcome, cause and time taken."
        );
    }
    println!("\n{CAUTION}");
    code
}

/// Outcome, cause and time taken.
fn told(debrief: &Debrief) -> String {
    let ending =
        expectation(crate::scene::Expect { outcome: debrief.outcome, cause: debrief.cause });
    let differs = if debrief.as_expected() { "" } else { "  (this run differs)" };
    format!("{ending}, {:.0} s in {:.1} s{differs}", debrief.sim_s, debrief.wall_s)
}

/// What is said of a scene before it is played, besides what it teaches: how it should end,
/// the number that decides, its twin, how near.
pub fn before(scene: &Scene) -> String {
    let lesson = &scene.lesson;
    let decides = lesson.decides.as_ref().map(|m| format!("; decides: {}", debrief::name(m)));
    let twin = lesson.twin.as_ref().map(|twin| format!("; twin: {twin}"));
    let near = lesson.near.then(|| "; a near thing".to_owned());
    let more: String = [decides, twin, near].into_iter().flatten().collect();
    format!("expected: {}{more}", expectation(scene.expect))
}

fn bar(count: usize) -> ProgressBar {
    let bar = ProgressBar::new(count as u64);
    if let Ok(style) = ProgressStyle::with_template("[{bar:30}] {pos} of {len} lifts, {eta} left") {
        bar.set_style(style);
    }
    bar
}

fn play_all(shelf: &[Entry], threads: usize, keep: Keep) -> Vec<Debrief> {
    let bar = bar(shelf.len());
    let debriefs = each(shelf, threads, |entry| played(entry, keep), &mut |done| {
        bar.set_position(done as u64)
    });
    bar.finish_and_clear();
    debriefs
}

/// Plays the samples of each scene that is wanted, prints how many keep their ending and
/// writes that into the page.
fn margins(
    shelf: &[Entry],
    wanted: &dyn Fn(&Entry) -> bool,
    threads: usize,
    page: Option<&Path>,
) -> u8 {
    let chosen: Vec<&Entry> = shelf.iter().filter(|e| wanted(e)).collect();
    let lifts: Vec<(&Entry, u64)> = chosen
        .iter()
        .flat_map(|entry| (1..=SAMPLES as u64).map(move |seed| (*entry, seed)))
        .collect();
    let bar = bar(lifts.len());
    let endings = each(&lifts, threads, |(entry, seed)| sample(entry, *seed), &mut |done| {
        bar.set_position(done as u64);
    });
    bar.finish_and_clear();
    let endings: Result<Vec<_>, _> = endings.into_iter().collect();
    let endings = match endings {
        Ok(endings) => endings,
        Err(problems) => return complain(&problems, System::Si),
    };
    let margins: Vec<Margin> =
        chosen.iter().zip(endings.chunks(SAMPLES)).map(|(e, ends)| Margin::of(e, ends)).collect();
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
        println!("{scene}: {kept} of {of}{others}{otherwise}{note}");
        if !fits {
            code = NOT_MET;
        }
    }
    let Some(path) = page else { return code };
    let before = std::fs::read_to_string(path).unwrap_or_default();
    write(path, &with_margins(&before, &margins, shelf)).map_or(OUR_FAULT, |()| code)
}

/// Plays the whole shelf and writes its page; draws the endings that are wanted.
fn write_page(shelf: &[Entry], wanted: &dyn Fn(&Entry) -> bool, threads: usize, path: &Path) -> u8 {
    let debriefs = play_all(shelf, threads, Keep::Milestones);
    let folder = path.parent().unwrap_or(Path::new(""));
    let bar = bar(debriefs.len());
    for (entry, debrief) in shelf.iter().zip(&debriefs) {
        let file = folder.join(PICTURES).join(format!("{}.png", entry.source.name()));
        if wanted(entry)
            && let Err(why) = draw_ending(debrief, &file)
        {
            eprintln!("no new pictures: {why}");
            break;
        }
        bar.inc(1);
    }
    bar.finish_and_clear();
    let before = std::fs::read_to_string(path).unwrap_or_default();
    if write(path, &page(shelf, &debriefs, &before, folder)).is_err() {
        return OUR_FAULT;
    }
    debriefs.iter().filter(|d| !d.as_expected()).for_each(|d| {
        eprintln!("{}: {}", d.scene.name, told(d));
    });
    if debriefs.iter().all(Debrief::as_expected) { MET } else { NOT_MET }
}

fn write(path: &Path, text: &str) -> Result<(), ()> {
    std::fs::write(path, text)
        .map_err(|why| eprintln!("{}: cannot be written: {why}", path.display()))
}

/// Draws how a lift ended, small.
#[cfg(feature = "view")]
fn draw_ending(debrief: &Debrief, file: &Path) -> Result<(), String> {
    let Some(last) = debrief.moments.last() else { return Ok(()) };
    if let Some(folder) = file.parent() {
        std::fs::create_dir_all(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    }
    let mut studio = crate::view::Studio::new(480, 270, &debrief.scene)?;
    let mut frame = studio.take(last, debrief.units)?;
    frame.soften();
    frame.save(file)
}

#[cfg(not(feature = "view"))]
fn draw_ending(_: &Debrief, _: &Path) -> Result<(), String> {
    Err("this program was built without the feature `view`".into())
}

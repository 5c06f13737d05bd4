//! The command line: turns arguments into one of the program's jobs and its outcome
//! into an exit code.

/// The standard library's own stop the program where nobody reads any more, as behind
/// `inchwise shelf | head`. These go on: files asked for are still written, and the exit code
/// is that of what was done.
macro_rules! println {
    ($($text:tt)*) => {{
        use std::io::Write as _;
        let _ = writeln!(std::io::stdout(), $($text)*);
    }};
}
macro_rules! print {
    ($($text:tt)*) => {{
        use std::io::Write as _;
        let _ = write!(std::io::stdout(), $($text)*);
    }};
}
macro_rules! eprintln {
    ($($text:tt)*) => {{
        use std::io::Write as _;
        let _ = writeln!(std::io::stderr(), $($text)*);
    }};
}

mod fields;
mod film;
mod shelf;
mod sweep;

#[cfg(feature = "view")]
use crate::debrief::Picture;
use crate::debrief::{self, CAUTION, Debrief, Keep, Pictures, expectation};
use crate::scene::{self, Incomplete, Loaded, Outcome, Problem, Scene};
use crate::shelf::Entry;
use crate::statics::sheet::{Sheet, compare};
use crate::units::System;
use clap::{Args, Parser, Subcommand, ValueEnum};
use indicatif::{ProgressBar, ProgressStyle};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

/// The lift met its aims.
const MET: u8 = 0;
/// Our fault, or the machine's: a file that cannot be written, no graphics driver.
const OUR_FAULT: u8 = 1;
/// A scene or a command line that cannot be used.
const BAD_INPUT: u8 = 2;
/// The lift did not meet its aims.
const NOT_MET: u8 = 3;

/// Rehearse the lift of an overturned vehicle off a trapped casualty, with true forces.
#[derive(Parser)]
#[command(name = "inchwise", version, about, after_help = CAUTION)]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
enum Command {
    /// Open the window on a scene
    Open {
        scene: String,
        #[command(flatten)]
        common: Common,
    },
    /// Play a scene's own orders without a window and print the debrief
    Run {
        scene: String,
        #[command(flatten)]
        common: Common,
        /// Write the debrief as JSON
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
        /// Write the time history as CSV
        #[arg(long, value_name = "FILE")]
        csv: Option<PathBuf>,
        /// Draw pictures along the lift into a folder
        #[arg(long, value_name = "DIR")]
        pictures: Option<PathBuf>,
        /// Write the debrief as one printable page with curves and pictures
        #[arg(long, value_name = "FILE")]
        html: Option<PathBuf>,
        /// Print the sheet first: the lift on paper
        #[arg(long)]
        sheet: bool,
        /// Print nothing but problems
        #[arg(long)]
        quiet: bool,
    },
    /// Work a lift out on paper: formulas, numbers, sources, verdicts
    Sheet {
        #[arg(required_unless_present = "compare")]
        scene: Option<String>,
        /// Put other lift methods beside it
        #[arg(long, value_name = "SCENE", num_args = 1..)]
        compare: Vec<String>,
        #[command(flatten)]
        common: Common,
        /// Write the sheet as JSON
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
        /// Write its rows as CSV
        #[arg(long, value_name = "FILE")]
        csv: Option<PathBuf>,
        /// Write it as one printable page with drawings
        #[arg(long, value_name = "FILE")]
        html: Option<PathBuf>,
    },
    /// Read and check scene files
    Check {
        #[arg(required = true)]
        scenes: Vec<String>,
        #[command(flatten)]
        common: Common,
    },
    /// List the fields of a scene that `--set` can change, with limits and defaults
    Fields {
        /// Only those of a group, such as `stacks`, or below a path, such as `vehicle.com`
        group: Option<String>,
    },
    /// List every scene, play them all, write the page of lessons
    Shelf {
        #[command(flatten)]
        asked: shelf::Asked,
    },
    /// Play a scene over a grid of values: a table, and a map of where it stops holding
    Sweep {
        scene: String,
        #[command(flatten)]
        common: Common,
        #[command(flatten)]
        asked: sweep::Asked,
    },
    /// Measure how fast this machine draws a lift, off screen: needs no display
    Frames {
        scene: String,
        #[command(flatten)]
        common: Common,
        /// Frames to draw
        #[arg(long, default_value_t = 600, value_parser = clap::value_parser!(u32).range(1..=100_000))]
        count: u32,
        /// Width and height in pixels
        #[arg(long, num_args = 2, default_values_t = [1920, 1080], value_names = ["W", "H"],
              value_parser = clap::value_parser!(u32).range(64..=8192))]
        size: Vec<u32>,
        /// Without shadows and smooth edges
        #[arg(long)]
        plain: bool,
        /// Write the times as JSON
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
    },
    /// Draw pictures along a lift, off screen
    Film {
        scene: String,
        #[command(flatten)]
        common: Common,
        #[command(flatten)]
        asked: film::Asked,
    },
}

#[derive(Args)]
struct Common {
    /// Change a field of the scene; may be given again. Lists by name or index
    #[arg(long = "set", value_name = "PATH=VALUE")]
    sets: Vec<String>,
    /// Units of what is shown
    #[arg(long, value_enum, default_value_t = Units::Si)]
    units: Units,
}

#[derive(Clone, Copy, ValueEnum)]
enum Units {
    Si,
    Us,
}

impl From<Units> for System {
    fn from(units: Units) -> Self {
        match units {
            Units::Si => Self::Si,
            Units::Us => Self::Us,
        }
    }
}

/// Runs the program.
pub fn main() -> ExitCode {
    let begun = std::time::Instant::now();
    // clap ends the process itself on a wrong command line, with exit code 2.
    let code = match Cli::parse().command {
        None => shelf_window(),
        Some(Command::Open { scene, common }) => open(&scene, &common),
        Some(Command::Run { scene, common, json, csv, pictures, html, sheet, quiet }) => {
            let wanted = Wanted { json, csv, pictures, html, sheet, quiet };
            run(&scene, &common, &wanted)
        }
        Some(Command::Sheet { scene, compare, common, json, csv, html }) => {
            let names: Vec<String> = scene.into_iter().chain(compare).collect();
            sheet(&names, &common, &Papers { json, csv, html })
        }
        Some(Command::Check { scenes, common }) => check(&scenes, &common),
        Some(Command::Fields { group }) => fields::print(group.as_deref()),
        Some(Command::Shelf { asked }) => shelf::run(&asked),
        Some(Command::Sweep { scene, common, asked }) => sweep::run(&scene, &common, &asked),
        Some(Command::Frames { scene, common, count, size, plain, json }) => {
            let size = [size[0], size[1]];
            let wanted = Measured { count: count as usize, size, plain, json, begun };
            frames(&scene, &common, &wanted)
        }
        Some(Command::Film { scene, common, asked }) => film::run(&scene, &common, &asked),
    };
    ExitCode::from(code)
}

/// What `run` is to write besides the text.
struct Wanted {
    json: Option<PathBuf>,
    csv: Option<PathBuf>,
    pictures: Option<PathBuf>,
    html: Option<PathBuf>,
    sheet: bool,
    quiet: bool,
}

/// Files that `sheet` is to write besides the text.
struct Papers {
    json: Option<PathBuf>,
    csv: Option<PathBuf>,
    html: Option<PathBuf>,
}

fn complain(problems: &[Problem], units: System) -> u8 {
    for problem in problems {
        eprintln!("{}", problem.in_units(units));
    }
    let noun = if problems.len() == 1 { "problem" } else { "problems" };
    eprintln!("{} {noun}; nothing was run", problems.len());
    BAD_INPUT
}

fn load(name: &str, common: &Common) -> Result<Loaded, u8> {
    scene::load(name, &common.sets).map_err(|problems| complain(&problems, common.units.into()))
}

/// Plays a scene with a progress bar on stderr where that is a terminal.
fn play(loaded: Loaded, units: System, keep: Keep) -> Debrief {
    let scene = Arc::new(loaded.scene);
    let bar = ProgressBar::new(scene.orders.len() as u64);
    if let Ok(style) = ProgressStyle::with_template("{msg} [{bar:30}] order {pos} of {len}") {
        bar.set_style(style);
    }
    let debrief = debrief::play(scene, units, keep, &mut |t_s, orders| {
        bar.set_position(orders as u64);
        bar.set_message(format!("{t_s:.0} s simulated"));
    });
    bar.finish_and_clear();
    debrief
}

fn verdict(debrief: &Debrief) -> u8 {
    match (debrief.broken, debrief.outcome) {
        (true, _) => OUR_FAULT,
        (_, Outcome::Lifted) => MET,
        _ => NOT_MET,
    }
}

fn run(name: &str, common: &Common, wanted: &Wanted) -> u8 {
    let loaded = match load(name, common) {
        Ok(loaded) => loaded,
        Err(code) => return code,
    };
    let drawn = wanted.pictures.is_some() || wanted.html.is_some();
    let keep = if drawn { Keep::Milestones } else { Keep::Nothing };
    if !wanted.quiet {
        print!("{}", words_before(&loaded.scene));
    }
    if wanted.sheet && !wanted.quiet {
        println!("{}", Sheet::of(&loaded.scene, common.units.into()).text());
    }
    let debrief = play(loaded, common.units.into(), keep);
    if !wanted.quiet {
        print!("{}", debrief.text());
    }
    let mut code = verdict(&debrief);
    let mut failed = |path: &Path, why: &dyn std::fmt::Display| {
        eprintln!("{}: cannot be written: {why}", path.display());
        code = OUR_FAULT;
    };
    if let Some(path) = &wanted.json {
        match debrief.json() {
            Ok(text) => {
                if let Err(why) = std::fs::write(path, text + "\n") {
                    failed(path, &why);
                }
            }
            Err(why) => failed(path, &why),
        }
    }
    if let Some(path) = &wanted.csv
        && let Err(why) = debrief.write_csv(path)
    {
        failed(path, &why);
    }
    if let Some(path) = &wanted.html {
        let page = debrief.html(&pictures(&debrief));
        if let Err(why) = std::fs::write(path, page) {
            failed(path, &why);
        }
    }
    if let Some(dir) = &wanted.pictures
        && let Err(why) = draw(&debrief, dir, wanted.quiet)
    {
        eprintln!("{why}");
        code = OUR_FAULT;
    }
    code
}

/// What a lesson says before it is played: why it ends as it should, what decides, and why
/// its twin ends otherwise.
fn words_before(scene: &Scene) -> String {
    let mut out = format!("What it teaches\n  {}\n  {}\n", scene.teaches, shelf::before(scene));
    let twin = scene.lesson.twin.as_deref().and_then(|twin| scene::load(twin, &[]).ok());
    if let Some(Loaded { scene: twin, .. }) = twin {
        out += &format!("  Its twin, {}: {}\n", expectation(twin.expect), twin.teaches);
    }
    out + "\n"
}

/// One sheet, or several lift methods side by side.
fn sheet(names: &[String], common: &Common, papers: &Papers) -> u8 {
    let mut scenes: Vec<Incomplete> = Vec::new();
    let mut code = MET;
    for name in names {
        match scene::load(name, &common.sets) {
            Ok(Loaded { scene, .. }) => {
                scenes.push(Incomplete { scene, others: Vec::new(), problems: Vec::new() });
            }
            Err(problems) => match scene::load_incomplete(name, &common.sets) {
                Ok(incomplete) => {
                    code = complain(&incomplete.problems, common.units.into());
                    eprintln!("The sheet shows what does not hang on what is wrong.\n");
                    scenes.push(incomplete);
                }
                Err(_) => return complain(&problems, common.units.into()),
            },
        }
    }
    let mut sheets: Vec<Sheet<'_>> =
        scenes.iter().map(|scene| Sheet::of_incomplete(scene, common.units.into())).collect();
    let (text, json, html, csv) = match sheets.len() {
        1 => {
            let sheet = sheets.remove(0);
            let csv = papers.csv.as_ref().map(|path| sheet.write_csv(path));
            (sheet.text(), sheet.json(), papers.html.as_ref().map(|_| sheet.html()), csv)
        }
        _ => {
            let side_by_side = compare(sheets);
            let csv = papers.csv.as_ref().map(|path| side_by_side.write_csv(path));
            let html = papers.html.as_ref().map(|_| side_by_side.html());
            (side_by_side.text(), side_by_side.json(), html, csv)
        }
    };
    print!("{text}");
    let written = [
        (&papers.json, json.map(|text| text + "\n").map_err(|e| e.to_string())),
        (&papers.html, Ok(html.unwrap_or_default())),
    ];
    let mut failed = |path: &Path, why: &dyn std::fmt::Display| {
        eprintln!("{}: cannot be written: {why}", path.display());
        code = OUR_FAULT;
    };
    for (path, text) in written {
        let Some(path) = path else { continue };
        let done = text.and_then(|text| std::fs::write(path, text).map_err(|e| e.to_string()));
        if let Err(why) = done {
            failed(path, &why);
        }
    }
    if let (Some(path), Some(Err(why))) = (&papers.csv, csv) {
        failed(path, &why);
    }
    code
}

fn check(names: &[String], common: &Common) -> u8 {
    let mut code = MET;
    for name in names {
        match scene::load(name, &common.sets) {
            Ok(loaded) => {
                // What no rule sees on paper shows once everything has settled.
                let scene = Arc::new(loaded.scene);
                match debrief::impossible(scene.clone()) {
                    None => println!("{name}: \"{}\" is in order", scene.name),
                    Some(why) => {
                        eprintln!("{name}: {}", why.say(common.units.into()));
                        code = BAD_INPUT;
                    }
                }
            }
            Err(problems) => {
                for problem in &problems {
                    eprintln!("{}", problem.in_units(common.units.into()));
                }
                eprintln!("{name}: {} to mend", problems.len());
                code = BAD_INPUT;
            }
        }
    }
    code
}

/// Every scene that can be read, and the problems of those that cannot.
fn read_shelf() -> (Vec<Entry>, Vec<Problem>) {
    let mut good = Vec::new();
    let mut bad = Vec::new();
    for source in scene::shelf_paths() {
        match scene::load_from(&source, &[]) {
            Ok(loaded) => good.push(Entry { source, loaded }),
            Err(problems) => bad.extend(problems),
        }
    }
    (good, bad)
}

/// Draws the kept moments as numbered PNG files.
#[cfg(feature = "view")]
fn draw(debrief: &Debrief, dir: &Path, quiet: bool) -> Result<(), String> {
    let refuse = |why: String| format!("no pictures: {why}");
    std::fs::create_dir_all(dir).map_err(|e| refuse(format!("{}: {e}", dir.display())))?;
    let bar = ProgressBar::new(debrief.moments.len() as u64);
    let mut studio = crate::view::Studio::new(1280, 720, &debrief.scene).map_err(refuse)?;
    for (index, moment) in debrief.moments.iter().enumerate() {
        let path = dir.join(format!("{index:04}.png"));
        studio.shoot(moment, debrief.units, &path).map_err(refuse)?;
        bar.inc(1);
    }
    bar.finish_and_clear();
    if !quiet {
        println!("{} pictures in {}", debrief.moments.len(), dir.display());
    }
    Ok(())
}

/// Pictures for a page: the start, each finding and the end.
#[cfg(feature = "view")]
fn pictures(debrief: &Debrief) -> Pictures {
    let mut studio = crate::view::Studio::new(960, 540, &debrief.scene)?;
    let times: Vec<f64> = debrief.findings.iter().map(|f| f.t_s).collect();
    let last = debrief.moments.len().saturating_sub(1);
    debrief
        .moments
        .iter()
        .enumerate()
        .filter(|(i, m)| {
            *i == 0 || *i == last || times.iter().any(|t| (t - m.snapshot.t_s).abs() < 1e-6)
        })
        .map(|(_, moment)| {
            let png = studio.take(moment, debrief.units)?.png()?;
            Ok(Picture { t_s: moment.snapshot.t_s, address: crate::view::data_address(&png) })
        })
        .collect()
}

#[cfg(not(feature = "view"))]
fn pictures(_: &Debrief) -> Pictures {
    Err("this program was built without the feature `view`".into())
}

#[cfg(not(feature = "view"))]
fn draw(_: &Debrief, _: &Path, _: bool) -> Result<(), String> {
    Err("no pictures: this program was built without the feature `view`".into())
}

/// What `frames` is to measure, and since when it runs.
#[cfg_attr(not(feature = "view"), allow(dead_code, reason = "there is nothing to measure"))]
struct Measured {
    count: usize,
    size: [u32; 2],
    plain: bool,
    json: Option<PathBuf>,
    begun: std::time::Instant,
}

#[cfg(feature = "view")]
fn frames(name: &str, common: &Common, wanted: &Measured) -> u8 {
    let scene = match load(name, common) {
        Ok(loaded) => loaded,
        Err(code) => return code,
    };
    let Measured { count, size, plain, json, begun } = wanted;
    let written =
        crate::view::frame_times(scene, *size, *count, *plain, *begun).and_then(|times| {
            println!("{times}");
            let Some(path) = json else { return Ok(()) };
            let text = serde_json::to_string_pretty(&times).map_err(|e| e.to_string())?;
            std::fs::write(path, text + "\n").map_err(|e| format!("{}: {e}", path.display()))
        });
    match written {
        Ok(()) => MET,
        Err(why) => {
            eprintln!("{why}");
            OUR_FAULT
        }
    }
}

#[cfg(not(feature = "view"))]
fn frames(_: &str, _: &Common, _: &Measured) -> u8 {
    eprintln!("no frames: this program was built without the feature `view`");
    OUR_FAULT
}

#[cfg(feature = "view")]
fn open(name: &str, common: &Common) -> u8 {
    let loaded = match load(name, common) {
        Ok(loaded) => loaded,
        Err(code) => return code,
    };
    // The shelf is one key away; what is wrong with other scenes is not asked for here.
    let shelf = read_shelf().0.into_iter().map(|entry| entry.loaded).collect();
    match crate::view::open(shelf, Some(loaded), common.units.into()) {
        Ok(()) => MET,
        Err(why) => {
            eprintln!("{why}");
            OUR_FAULT
        }
    }
}

#[cfg(not(feature = "view"))]
fn open(_: &str, _: &Common) -> u8 {
    eprintln!("no window: this program was built without the feature `view`");
    OUR_FAULT
}

/// The window on the shelf. Without a display the built-in lift is told instead.
fn shelf_window() -> u8 {
    #[cfg(feature = "view")]
    {
        let (good, bad) = read_shelf();
        for problem in &bad {
            eprintln!("{problem}");
        }
        let scenes = good.into_iter().map(|entry| entry.loaded).collect();
        match crate::view::open(scenes, None, System::Si) {
            Ok(()) => return MET,
            Err(why) => eprintln!("{why}\n"),
        }
    }
    eprintln!("Playing the built-in scene \"{BUILT_IN}\" without a window instead.\n");
    let common = Common { sets: Vec::new(), units: Units::Si };
    let wanted =
        Wanted { json: None, csv: None, pictures: None, html: None, sheet: false, quiet: false };
    run(BUILT_IN, &common, &wanted)
}

const BUILT_IN: &str = "beam-lift";

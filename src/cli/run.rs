//! The job of `inchwise run`: plays a scene, prints the debrief and writes it as files.

use super::common::{Common, play, verdict};
use super::failure::{Failure, MET, NOT_MET, OUR_FAULT};
use super::outputs::Outputs;
use super::{pictures, say};
use crate::debrief::{Debrief, FrameRetention};
use crate::files;
use crate::statics::sheet::Sheet;
use clap::Args;
use std::fmt::Display;
use std::path::PathBuf;

#[derive(Args, Default)]
pub struct RunArgs {
    /// A scene, by its name on the shelf or by the path of its file
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
    /// End with exit code 3 where a point of practice was found, too
    #[arg(long)]
    strict: bool,
    /// Print the sheet first: the lift on paper
    #[arg(long)]
    sheet: bool,
    /// Print nothing but problems
    #[arg(long)]
    quiet: bool,
}

impl RunArgs {
    /// A scene as it is, told and nothing else.
    pub fn for_scene(scene: &str) -> Self {
        Self { scene: scene.to_owned(), ..Self::default() }
    }
}

pub fn run(args: &RunArgs) -> Result<u8, Failure> {
    let RunArgs { common, .. } = args;
    let loaded = common.load(&args.scene)?;
    let outputs = Outputs::default().and("--json", &args.json).and("--csv", &args.csv);
    outputs.and("--html", &args.html).check(&common.files_read([&args.scene]))?;
    let drawn = args.pictures.is_some() || args.html.is_some();
    let keep = if drawn { FrameRetention::Milestones } else { FrameRetention::None };
    if args.sheet && !args.quiet {
        say::line(Sheet::new(&loaded.scene, common.units.into()).text());
    }
    let debrief = play(loaded, common.units.into(), keep)?;
    if !args.quiet {
        say::text(debrief.text());
    }
    // One file that cannot be written keeps no other from being written.
    let mut code = verdict(&debrief);
    if args.strict && code == MET && has_points(&debrief) {
        code = NOT_MET;
    }
    for failure in write(&debrief, args) {
        say::problem(failure.words);
        code = OUR_FAULT;
    }
    Ok(code)
}

/// The lift did not keep to every rule of practice.
fn has_points(debrief: &Debrief) -> bool {
    debrief.practice.as_ref().is_some_and(|practice| !practice.points.is_empty())
}

/// Writes what was asked for; what could not be written.
fn write(debrief: &Debrief, args: &RunArgs) -> Vec<Failure> {
    let mut failures = Vec::new();
    let mut note = |done: Result<(), Failure>| failures.extend(done.err());
    if let Some(path) = &args.json {
        note(write_text(path, debrief.json().map(|text| text + "\n")));
    }
    if let Some(path) = &args.csv {
        note(write_text(path, debrief.csv()));
    }
    if let Some(path) = &args.html {
        let page = debrief.html(&pictures::for_page(debrief));
        note(files::write(path, page).map_err(Failure::from));
    }
    if let Some(folder) = &args.pictures {
        let drawn = pictures::draw(debrief, folder, args.quiet);
        note(drawn.map_err(|why| Failure::ours(format_args!("no pictures: {why}"))));
    }
    failures
}

/// Writes a text that could be made.
pub fn write_text(
    path: &std::path::Path,
    text: Result<impl AsRef<[u8]>, impl Display>,
) -> Result<(), Failure> {
    let unmade = |why| Failure::ours(format_args!("{}: cannot be written: {why}", path.display()));
    Ok(files::write(path, text.map_err(unmade)?)?)
}

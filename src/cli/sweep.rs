//! The job of `inchwise sweep`: its options, progress and files.

use super::common::{Common, bar};
use super::failure::{Failure, MET, OUR_FAULT};
use super::outputs::{Outputs, files_of};
use super::run::write_text;
use super::say;
use crate::caution::CAUTION;
use crate::files;
use crate::parallel::cores;
use crate::sweep::{
    Axis, BROKEN, Grid, Journal, MOST_SAMPLES, PlayError, Sweep, SweepPart, SweepProgress, Table,
};
use crate::units::UnitSystem;
use clap::Args;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

#[derive(Args)]
pub struct SweepArgs {
    /// A scene, by its name on the shelf or by the path of its file
    scene: String,
    #[command(flatten)]
    common: Common,
    /// A field and its values; may be given again. Several fields joined by & change together
    #[arg(long, required = true, value_name = "PATH=FROM..TO:N or PATH=a,b,c")]
    vary: Vec<String>,
    /// Play each cell so often, with what the scene does not know for sure sampled
    #[arg(long, value_name = "N")]
    spread: Option<usize>,
    /// Which samples: the same seed draws the same ones
    #[arg(long, default_value_t = 1, value_name = "SEED")]
    seed: u64,
    /// How many cells are played at once [default: as many as there are cores]
    #[arg(long, value_name = "N")]
    threads: Option<NonZeroUsize>,
    /// Play one part of the whole only
    #[arg(long, value_name = "I/N")]
    part: Option<String>,
    /// Play nothing: put the CSV tables of all parts together
    #[arg(long, value_name = "FILE", num_args = 1.., conflicts_with_all = ["part", "threads"])]
    join: Vec<PathBuf>,
    /// Write the table as CSV
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write the table as JSON
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Draw the map, as SVG or PNG by the file's ending; may be given again
    #[arg(long, value_name = "FILE")]
    map: Vec<PathBuf>,
    /// Print nothing but problems
    #[arg(long)]
    quiet: bool,
}

pub fn run(args: &SweepArgs) -> Result<u8, Failure> {
    let share = args.part.as_deref().map_or(Ok(SweepPart::WHOLE), SweepPart::parse);
    let share = share.map_err(|why| Failure::option("--part", why))?;
    let sweep = read(args)?;
    let (outputs, journal) = check_files(args, &sweep)?;
    let journal = journal.map(|path| Journal::open(&path, &sweep)).transpose();
    let mut journal = journal.map_err(Failure::ours)?;
    let table = match args.join.is_empty() {
        true => play(&sweep, share, args, journal.as_mut()).map_err(Failure::ours)?,
        false => Table::joined(&sweep, &args.join).map_err(|why| Failure::option("--join", why))?,
    };
    write(&sweep, &table, args)?;
    if let Some(journal) = journal {
        journal.remove().map_err(Failure::ours)?;
    }
    if outputs && !args.quiet {
        for (end, count) in table.counts() {
            say::line(format_args!("{count:>6}  {end}"));
        }
        say::line(CAUTION);
    }
    Ok(if table.has(BROKEN) { OUR_FAULT } else { MET })
}

/// What is to be swept, checked before anything is played.
fn read(args: &SweepArgs) -> Result<Sweep, Failure> {
    let axes: Result<Vec<Axis>, _> = args.vary.iter().map(|text| Axis::parse(text)).collect();
    let grid = axes.and_then(Grid::new).map_err(|why| Failure::option("--vary", why))?;
    if let Some(n) = args.spread.filter(|n| !(1..=MOST_SAMPLES).contains(n)) {
        let why = format_args!("{n} is outside 1 to {MOST_SAMPLES}");
        return Err(Failure::option("--spread", why));
    }
    for path in &args.map {
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        if !matches!(ending.as_deref(), Some("svg" | "png")) {
            let why = format_args!(
                "{} ends in neither .svg nor .png; name the kind of picture by its ending",
                path.display()
            );
            return Err(Failure::option("--map", why));
        }
    }
    #[cfg(not(feature = "view"))]
    if let Some(path) = args.map.iter().find(|path| is_png(path)) {
        raster("")
            .map_err(|why| Failure::option("--map", format_args!("{}: {why}", path.display())))?;
    }
    let common = &args.common;
    Sweep::new(&args.scene, &common.changes, grid, args.spread, args.seed)
        .map_err(|problems| Failure::problems(&problems, UnitSystem::Si))
}

/// Whether any file is to be written, and where the journal stands: next to the first one,
/// until all are written. What is only joined has none.
fn check_files(args: &SweepArgs, sweep: &Sweep) -> Result<(bool, Option<PathBuf>), Failure> {
    let outputs = Outputs::default()
        .and("--csv", &args.csv)
        .and("--json", &args.json)
        .and("--map", &args.map);
    let any = args.csv.is_some() || args.json.is_some() || !args.map.is_empty();
    let mut read = files_of(sweep.trees());
    read.extend(args.join.iter().filter_map(|path| path.canonicalize().ok()));
    let first = outputs.first_file().filter(|_| args.join.is_empty());
    let journal = first.map(|(option, path)| (option.to_owned(), Journal::beside(path)));
    let outputs = match &journal {
        Some((option, path)) => outputs.and(&format!("the journal of {option}"), [path]),
        None => outputs,
    };
    outputs.check(&read)?;
    Ok((any, journal.map(|(_, path)| path)))
}

fn play(
    sweep: &Sweep,
    share: SweepPart,
    args: &SweepArgs,
    journal: Option<&mut Journal>,
) -> Result<Table, PlayError> {
    if let Some(dropped) = journal.as_ref().map(|journal| journal.dropped()).filter(|n| *n > 0) {
        say::problem(format_args!(
            "{dropped} lines of the journal are not as they were written and count for nothing; \
             their cells are played again"
        ));
    }
    let bar = bar(0, "[{bar:30}] cell {pos} of {len}, {eta} left");
    let mut begun = false;
    let threads = args.threads.map_or_else(cores, NonZeroUsize::get);
    let table = sweep.play(share, threads, journal, &mut |told: SweepProgress| {
        bar.set_length(told.of as u64);
        bar.set_position(told.done as u64);
        if !begun && !told.kept {
            // The cells of an earlier run say nothing about the speed of this one.
            bar.reset_eta();
            begun = true;
        }
    });
    bar.finish_and_clear();
    table
}

/// Writes what is asked for; prints the table where nothing is.
fn write(sweep: &Sweep, table: &Table, args: &SweepArgs) -> Result<(), Failure> {
    let csv = table.csv().map_err(Failure::ours)?;
    if let Some(path) = &args.csv {
        files::write(path, &csv)?;
    }
    if let Some(path) = &args.json {
        write_text(path, table.json(sweep))?;
    }
    if !args.map.is_empty() {
        let svg = table.map(sweep, args.common.units.into()).map_err(Failure::ours)?;
        for path in &args.map {
            match is_png(path) {
                true => write_text(path, raster(&svg))?,
                false => files::write(path, &svg)?,
            }
        }
    }
    if args.csv.is_none() && args.json.is_none() && args.map.is_empty() {
        say::text(String::from_utf8_lossy(&csv));
    }
    Ok(())
}

fn is_png(path: &Path) -> bool {
    path.extension().is_some_and(|e| e.eq_ignore_ascii_case("png"))
}

#[cfg(feature = "view")]
use crate::sweep::png as raster;

#[cfg(not(feature = "view"))]
fn raster(_: &str) -> Result<Vec<u8>, &'static str> {
    Err("this program was built without the feature `view`, and draws maps as SVG only")
}

//! The job of `inchwise sweep`: its options, progress and files.

use super::{BAD_INPUT, Common, MET, OUR_FAULT, complain};
use crate::scene::CAUTION;
use crate::sweep::{Axis, BROKEN, Grid, MOST_SAMPLES, Share, Sweep, Table, Told};
use crate::units::System;
use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};
use std::path::{Path, PathBuf};

#[derive(Args)]
pub struct Asked {
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
    threads: Option<usize>,
    /// Play one part of the whole only
    #[arg(long, value_name = "I/N")]
    shard: Option<String>,
    /// Play nothing: put the CSV tables of all parts together
    #[arg(long, value_name = "FILE", num_args = 1.., conflicts_with_all = ["shard", "threads"])]
    merge: Vec<PathBuf>,
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

/// A command line that cannot be used.
fn misused(why: &str) -> u8 {
    eprintln!("{why}");
    BAD_INPUT
}

pub fn run(name: &str, common: &Common, asked: &Asked) -> u8 {
    let axes: Result<Vec<Axis>, String> = asked.vary.iter().map(|text| Axis::parse(text)).collect();
    let grid = match axes.and_then(Grid::new) {
        Ok(grid) => grid,
        Err(why) => return misused(&format!("--vary: {why}")),
    };
    let share = match asked.shard.as_deref().map_or(Ok(Share::WHOLE), Share::parse) {
        Ok(share) => share,
        Err(why) => return misused(&format!("--shard: {why}")),
    };
    if let Some(n) = asked.spread.filter(|n| !(1..=MOST_SAMPLES).contains(n)) {
        return misused(&format!("--spread: {n} is outside 1 to {MOST_SAMPLES}"));
    }
    for path in &asked.map {
        let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
        if !matches!(ending.as_deref(), Some("svg" | "png")) {
            return misused(&format!(
                "--map: {} ends in neither .svg nor .png; name the kind of picture by its ending",
                path.display()
            ));
        }
    }
    let sweep = match Sweep::new(name, &common.sets, grid, asked.spread, asked.seed) {
        Ok(sweep) => sweep,
        Err(problems) => return complain(&problems, System::Si),
    };
    let table = if asked.merge.is_empty() {
        match play_sweep(&sweep, share, asked) {
            Ok(table) => table,
            Err(why) => {
                eprintln!("{why}");
                return OUR_FAULT;
            }
        }
    } else {
        match Table::merged(&sweep, &asked.merge) {
            Ok(table) => table,
            Err(why) => return misused(&format!("--merge: {why}")),
        }
    };
    if let Err(why) = write_sweep(&sweep, &table, common.units.into(), asked) {
        eprintln!("{why}");
        return OUR_FAULT;
    }
    if table.has(BROKEN) { OUR_FAULT } else { MET }
}

/// The journal stands beside the first file that is asked for, until all are written.
fn journal_of(asked: &Asked) -> Option<PathBuf> {
    let first = asked.csv.iter().chain(&asked.json).chain(&asked.map).next()?;
    let mut name = first.clone().into_os_string();
    name.push(".journal");
    Some(name.into())
}

fn play_sweep(sweep: &Sweep, share: Share, asked: &Asked) -> Result<Table, String> {
    let threads = asked.threads.unwrap_or_else(|| {
        std::thread::available_parallelism().map_or(1, std::num::NonZeroUsize::get)
    });
    let bar = ProgressBar::new(0);
    if let Ok(style) = ProgressStyle::with_template("[{bar:30}] cell {pos} of {len}, {eta} left") {
        bar.set_style(style);
    }
    let mut begun = false;
    let table = sweep.play(share, threads, journal_of(asked).as_deref(), &mut |told: Told| {
        bar.set_length(told.of as u64);
        bar.set_position(told.done as u64);
        if !begun && !told.kept {
            // What an earlier run did says nothing of how fast this one is.
            bar.reset_eta();
            begun = true;
        }
    });
    bar.finish_and_clear();
    table
}

fn write_sweep(sweep: &Sweep, table: &Table, units: System, asked: &Asked) -> Result<(), String> {
    let csv = table.csv()?;
    if let Some(path) = &asked.csv {
        write_whole(path, &csv)?;
    }
    if let Some(path) = &asked.json {
        write_whole(path, table.json(sweep)?.as_bytes())?;
    }
    if !asked.map.is_empty() {
        let svg = table.map(sweep, units)?;
        for path in &asked.map {
            if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("png")) {
                raster(&svg, path)?;
            } else {
                write_whole(path, svg.as_bytes())?;
            }
        }
    }
    match journal_of(asked) {
        Some(journal) => {
            // After --merge there is none.
            let _ = std::fs::remove_file(journal);
            if !asked.quiet {
                for (end, count) in table.counts() {
                    println!("{count:>6}  {end}");
                }
                println!("{CAUTION}");
            }
        }
        None => print!("{}", String::from_utf8_lossy(&csv)),
    }
    Ok(())
}

/// Writes a file so that it is there whole or not at all.
fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let mut beside = path.to_owned().into_os_string();
    beside.push(".part");
    let beside = PathBuf::from(beside);
    std::fs::write(&beside, bytes)
        .and_then(|()| std::fs::rename(&beside, path))
        .map_err(|why| format!("{}: cannot be written: {why}", path.display()))
}

#[cfg(feature = "view")]
fn raster(svg: &str, path: &Path) -> Result<(), String> {
    crate::sweep::write_png(svg, path)
        .map_err(|why| format!("{}: cannot be written: {why}", path.display()))
}

#[cfg(not(feature = "view"))]
fn raster(_: &str, path: &Path) -> Result<(), String> {
    Err(format!(
        "{}: this program was built without the feature `view`, and draws maps as SVG only",
        path.display()
    ))
}

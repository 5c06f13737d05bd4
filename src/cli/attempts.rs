//! The job of `inchwise attempts`: shows the log of attempts at tasks, and writes it as a page to
//! print and as a table.

use super::common::Units;
use super::failure::{Failure, MET};
use super::outputs::Outputs;
use super::say;
use crate::files;
use crate::task::{AttemptLog, attempts_csv, attempts_page, attempts_text};
use crate::units::UnitSystem;
use clap::Args;
use std::collections::BTreeSet;
use std::path::PathBuf;

#[derive(Args)]
pub struct AttemptsArgs {
    /// Read this log instead of your own
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Units of what is shown
    #[arg(long, value_enum, default_value_t = Units::Si)]
    units: Units,
    /// Write the attempts as one printable page
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Write the attempts as a table, SI
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
}

pub fn run(args: &AttemptsArgs) -> Result<u8, Failure> {
    let units = UnitSystem::from(args.units);
    let path = args.log.clone().or_else(|| files::places().attempts);
    let Some(path) = path else {
        return Err(Failure::option("--log", "this system has no folder of yours; give a file"));
    };
    if args.log.is_some() && !files::is_file(&path) {
        let path = path.display();
        return Err(Failure::option("--log", format_args!("there is no file {path}")));
    }
    let read: BTreeSet<PathBuf> = path.canonicalize().ok().into_iter().collect();
    Outputs::default().and("--html", &args.html).and("--csv", &args.csv).check(&read)?;
    let attempts = AttemptLog::at(Some(&path)).read().map_err(Failure::input)?;
    say::text(attempts_text(&attempts, units));
    if let Some(path) = &args.html {
        files::write(path, attempts_page(&attempts, units))?;
    }
    if let Some(path) = &args.csv {
        files::write(path, attempts_csv(&attempts).map_err(Failure::ours)?)?;
    }
    Ok(MET)
}

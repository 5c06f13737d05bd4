//! The job of `inchwise sheet`: a lift on paper, or several lift methods side by side.

use super::common::Common;
use super::failure::{Failure, MET, OUR_FAULT};
use super::outputs::Outputs;
use super::run::write_text;
use super::say;
use crate::scene::{self, Incomplete, Loaded};
use crate::statics::sheet::{Sheet, compare};
use crate::units::UnitSystem;
use clap::Args;
use std::convert::Infallible;
use std::path::PathBuf;

#[derive(Args)]
pub struct SheetArgs {
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
}

pub fn run(args: &SheetArgs) -> Result<u8, Failure> {
    let SheetArgs { common, json, csv, html, .. } = args;
    let units = UnitSystem::from(common.units);
    let names: Vec<&String> = args.scene.iter().chain(&args.compare).collect();
    let outputs = Outputs::default().and("--json", json).and("--csv", csv).and("--html", html);
    outputs.check(&common.files_read(names.iter().copied()))?;
    let (scenes, mut code) = read(&names, common)?;
    let mut sheets: Vec<Sheet<'_>> =
        scenes.iter().map(|scene| Sheet::from_incomplete(scene, units)).collect();
    let (text, as_json, as_csv, page) = match sheets.len() {
        1 => {
            let sheet = sheets.remove(0);
            (sheet.text(), sheet.json(), sheet.csv(), html.as_ref().map(|_| sheet.html()))
        }
        _ => {
            let all = compare(sheets);
            (all.text(), all.json(), all.csv(), html.as_ref().map(|_| all.html()))
        }
    };
    say::text(text);
    let page = Ok::<_, Infallible>(page.unwrap_or_default());
    let written = [
        json.as_ref().map(|path| write_text(path, as_json.map(|text| text + "\n"))),
        csv.as_ref().map(|path| write_text(path, as_csv)),
        html.as_ref().map(|path| write_text(path, page)),
    ];
    for failure in written.into_iter().flatten().filter_map(Result::err) {
        say::problem(failure.words);
        code = OUR_FAULT;
    }
    Ok(code)
}

/// The scenes, as far as they can be read, and the exit code of those that are not in order.
fn read(names: &[&String], common: &Common) -> Result<(Vec<Incomplete>, u8), Failure> {
    let mut scenes = Vec::new();
    let mut code = MET;
    for name in names {
        match scene::load(name, &common.changes) {
            Ok(Loaded { scene, .. }) => {
                scenes.push(Incomplete { scene, others: Vec::new(), problems: Vec::new() });
            }
            Err(problems) => {
                let Ok(incomplete) = scene::load_incomplete(name, &common.changes) else {
                    return Err(Failure::problems(&problems, common.units.into()));
                };
                let failure = Failure::problems(&incomplete.problems, common.units.into());
                say::problem(failure.words);
                say::problem("The sheet shows what does not depend on what is wrong.\n");
                code = failure.code;
                scenes.push(incomplete);
            }
        }
    }
    Ok((scenes, code))
}

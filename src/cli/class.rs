//! The job of `inchwise class`: plays the scenes of a class, prints its plan with what comes of
//! each step, and writes the instructor's pages with the answer sheet.

use super::common::{Units, play};
use super::failure::{Failure, MET, NOT_MET};
use super::outputs::{Outputs, files_of};
use super::say;
use crate::class::{self, ClassPlan, ClassScene};
use crate::debrief::{Debrief, FrameRetention};
use crate::files;
use crate::scene::Loaded;
use crate::units::UnitSystem;
use clap::Args;
use std::collections::BTreeSet;
use std::path::PathBuf;

#[derive(Args)]
pub struct ClassArgs {
    /// A class file, or the name of a class on the shelf
    class: String,
    /// Units of what is shown
    #[arg(long, value_enum, default_value_t = Units::Si)]
    units: Units,
    /// Write the instructor's pages and the answer sheet as one printable page
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
}

pub fn run(args: &ClassArgs) -> Result<u8, Failure> {
    let units = UnitSystem::from(args.units);
    let class = class::load(&args.class).map_err(|problems| Failure::problems(&problems, units))?;
    let mut read: BTreeSet<PathBuf> = files_of(class.scenes.iter().map(|shown| &shown.doc));
    read.extend(PathBuf::from(&args.class).canonicalize().ok());
    Outputs::default().and("--html", &args.html).check(&read)?;
    let played = class.scenes.iter().map(|ClassScene { scene, doc, .. }| {
        let loaded = Loaded { scene: (**scene).clone(), doc: doc.clone() };
        play(loaded, units, FrameRetention::None)
    });
    let played = played.collect::<Result<Vec<Debrief>, Failure>>()?;
    let plan = ClassPlan { class: &class, played: played.iter().collect(), units };
    say::text(plan.text());
    if let Some(path) = &args.html {
        files::write(path, plan.html())?;
    }
    Ok(if plan.misfits().is_empty() { MET } else { NOT_MET })
}

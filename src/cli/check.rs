//! The job of `inchwise check`: reads scene files and lets each settle.

use super::common::Common;
use super::failure::{BAD_INPUT, Failure, MET};
use super::say;
use crate::debrief;
use crate::scene;
use crate::units::UnitSystem;
use clap::Args;
use std::sync::Arc;

#[derive(Args)]
pub struct CheckArgs {
    #[arg(required = true)]
    scenes: Vec<String>,
    #[command(flatten)]
    common: Common,
}

pub fn run(CheckArgs { scenes, common }: &CheckArgs) -> Result<u8, Failure> {
    let units = UnitSystem::from(common.units);
    let mut code = MET;
    for name in scenes {
        match scene::load(name, &common.changes) {
            Ok(loaded) => {
                // What no rule sees on paper shows once everything has settled.
                let scene = Arc::new(loaded.scene);
                match debrief::start(scene.clone()) {
                    Ok(unrest) => {
                        say::line(format_args!("{name}: \"{}\" is in order", scene.name));
                        let other_poses = scene.vehicle.say_other_poses(scene.lies, units);
                        // What a scene does not say is said here.
                        let lain = scene.people.is_empty().then(|| {
                            let people = scene::say_people(&scene).join(" ");
                            format!("nobody is named in `people`, so that: {people}")
                        });
                        let unrest = unrest.map(|finding| finding.say(&scene, units));
                        for note in [other_poses, lain, unrest].into_iter().flatten() {
                            say::line(format_args!("  note: {note}"));
                        }
                    }
                    Err(jam) => {
                        say::problem(jam.problem(&loaded.doc).in_units(units));
                        say::problem(format_args!("{name}: 1 to mend"));
                        code = BAD_INPUT;
                    }
                }
            }
            Err(problems) => {
                for problem in &problems {
                    say::problem(problem.in_units(units));
                }
                say::problem(format_args!("{name}: {} to mend", problems.len()));
                code = BAD_INPUT;
            }
        }
    }
    Ok(code)
}

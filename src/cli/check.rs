//! The job of `inchwise check`: reads scene files and lets each settle, and reads class files and
//! task files with the scenes that they name.

use super::common::Common;
use super::failure::{BAD_INPUT, Failure, MET};
use super::say;
use crate::class;
use crate::debrief;
use crate::scene::{self, Problem};
use crate::task;
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
    let mut code = MET;
    for name in scenes {
        let is_class = class::FILES.is_named(name);
        let is_task = !is_class && task::FILES.is_named(name);
        if (is_class || is_task) && !common.changes.is_empty() {
            let text = "changes scenes only; edit the file of the class or the task";
            return Err(Failure::option("--change", text));
        }
        let good = match (is_class, is_task) {
            (true, _) => check_class(name, common),
            (_, true) => check_task(name, common),
            _ => check_scene(name, common),
        };
        if !good {
            code = BAD_INPUT;
        }
    }
    Ok(code)
}

/// Tells what is wrong with a class; true where nothing is.
fn check_class(name: &str, common: &Common) -> bool {
    match class::load(name) {
        Ok(class) => {
            let (steps, scenes) = (class.steps.len(), class.scenes.len());
            say::line(format_args!(
                "{name}: \"{}\" is in order: {steps} steps on {scenes} scenes; `inchwise class` \
                 plays them",
                class.name
            ));
            true
        }
        Err(problems) => told(name, &problems, common.units.into()),
    }
}

/// Tells what is wrong with a task; true where nothing is. What comes of it is not told.
fn check_task(name: &str, common: &Common) -> bool {
    match task::load(name) {
        Ok(task) => {
            say::line(format_args!(
                "{name}: \"{}\" is in order; `inchwise task --play` plays it",
                task.name
            ));
            true
        }
        Err(problems) => told(name, &problems, common.units.into()),
    }
}

/// Tells what is wrong with a scene; true where nothing is.
fn check_scene(name: &str, common: &Common) -> bool {
    let units = UnitSystem::from(common.units);
    let loaded = match scene::load(name, &common.changes) {
        Ok(loaded) => loaded,
        Err(problems) => return told(name, &problems, units),
    };
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
            true
        }
        Err(jam) => told(name, &[jam.problem(&loaded.doc)], units),
    }
}

/// Tells problems; false, because there are some.
fn told(name: &str, problems: &[Problem], units: UnitSystem) -> bool {
    for problem in problems {
        say::problem(problem.in_units(units));
    }
    say::problem(format_args!("{name}: {} to correct", problems.len()));
    false
}

//! The job of `inchwise task`: prints the brief of a task as it is handed out; for the instructor
//! plays it, tells every answer, and what of the file the lifts do not bear out.

use super::common::{Units, play};
use super::failure::{Failure, MET, NOT_MET};
use super::say;
use crate::debrief::{self, FrameRetention};
use crate::scene::{Loaded, Scene};
use crate::task::{self, LiftTask, LiftTaskPlan, PlayedTask, WayOut, kit_short, obvious_changes};
use crate::units::UnitSystem;
use clap::Args;
use std::sync::Arc;

#[derive(Args)]
pub struct TaskArgs {
    /// A task file, or the name of a task on the shelf
    task: String,
    /// Units of what is shown
    #[arg(long, value_enum, default_value_t = Units::Si)]
    units: Units,
    /// For the instructor: play it as it is handed out and with its mend, or with the obvious
    /// changes where it says that nothing makes it hold, and tell every answer
    #[arg(long)]
    play: bool,
}

pub fn run(args: &TaskArgs) -> Result<u8, Failure> {
    let units = UnitSystem::from(args.units);
    let task = task::load(&args.task).map_err(|problems| Failure::problems(&problems, units))?;
    if !args.play {
        say::text(task.brief_text());
        return Ok(MET);
    }
    let loaded = Loaded { scene: (*task.scene).clone(), doc: task.doc.clone() };
    let as_handed_out = play(loaded, units, FrameRetention::None)?;
    // A start that cannot be is no lift that holds, and is told as that.
    let tried = to_try(&task, units).into_iter().map(|(changes, scene)| {
        let debrief = debrief::play(scene, units, FrameRetention::None, &mut |_, _| {});
        PlayedTask { changes, debrief: Arc::new(debrief) }
    });
    let tried: Vec<PlayedTask> = tried.collect();
    let plan = LiftTaskPlan { task: &task, as_handed_out: &as_handed_out, tried: &tried, units };
    say::text(plan.text());
    Ok(if plan.misfits().is_empty() { MET } else { NOT_MET })
}

/// The changes that the file's word is held against, each with its scene: the mend, or the obvious
/// changes that can be made with what is on the truck.
fn to_try(task: &LiftTask, units: UnitSystem) -> Vec<(Vec<String>, Arc<Scene>)> {
    match &task.way_out {
        WayOut::Mend { mends, scene } => {
            vec![(mends.iter().map(|mend| mend.change.clone()).collect(), scene.clone())]
        }
        WayOut::NoGoodLift { .. } => {
            let made = obvious_changes(task).into_iter();
            let made = made.filter_map(|changes| Some((task.with(&changes)?, changes)));
            let made = made.map(|(scene, changes)| (changes, Arc::new(scene)));
            made.filter(|(_, scene)| kit_short(scene, units).is_empty()).collect()
        }
    }
}

//! A task on paper: the brief as it is handed out, and for the instructor what comes of it in lifts
//! that were played, with what of the file they do not bear out.

use super::attempt::{Lifted, kit_short};
use super::hints::HintPair;
use super::model::{LiftTask, WayOut};
use super::prediction::Prediction;
use crate::answer::say_ending;
use crate::caution::CAUTION;
use crate::debrief::Debrief;
use crate::scene::Outcome;
use crate::statics::sheet::written;
use crate::units::UnitSystem;
use std::fmt::Write;
use std::sync::Arc;

impl LiftTask {
    /// What is handed out, as text.
    pub fn brief_text(&self) -> String {
        format!(
            "{}\n\n{}\nOn the truck: {}.\n\nSay what will come of this set-up before you lift it. \
             Then make it hold with what is on the truck and the fewest changes, or stop and say \
             why.\n\n{CAUTION}\n",
            self.name,
            self.brief,
            self.kit()
        )
    }
}

/// A lift of a task that was played.
pub struct PlayedTask {
    /// The changes to the set-up.
    pub changes: Vec<String>,
    pub debrief: Arc<Debrief>,
}

/// A task beside lifts of it that were played.
pub struct LiftTaskPlan<'a> {
    pub task: &'a LiftTask,
    /// As it is handed out.
    pub as_handed_out: &'a Debrief,
    /// With the task's own correction, or with the obvious changes where it says that nothing
    /// makes it hold.
    pub tried: &'a [PlayedTask],
    pub units: UnitSystem,
}

impl LiftTaskPlan<'_> {
    /// What the lifts do not bear out, one sentence each.
    pub fn misfits(&self) -> Vec<String> {
        let mut misfits = Vec::new();
        if self.as_handed_out.outcome == Outcome::Lifted {
            misfits.push("it holds as it is handed out".to_owned());
        }
        misfits.extend(
            kit_short(&self.task.scene, self.units)
                .into_iter()
                .map(|short| format!("the truck is short of what stands there: {short}")),
        );
        let holds = |played: &PlayedTask| {
            played.debrief.outcome == Outcome::Lifted
                && kit_short(&played.debrief.scene, self.units).is_empty()
        };
        match &self.task.way_out {
            WayOut::Mend { .. } => {
                if !self.tried.iter().any(holds) {
                    misfits.push("it does not hold with its correction and its truck".to_owned());
                }
            }
            WayOut::NoGoodLift { .. } => {
                misfits.extend(self.tried.iter().filter(|played| holds(played)).map(|played| {
                    format!("it holds with an obvious change: {}", played.changes.join(", "))
                }));
            }
        }
        misfits
    }

    /// The instructor's plan as text: it has every answer.
    pub fn text(&self) -> String {
        written(|out| self.write_text(out))
    }

    fn write_text(&self, out: &mut String) -> std::fmt::Result {
        let Self { task, as_handed_out, tried, units } = self;
        writeln!(out, "{}\n{}\nOn the truck: {}.\n", task.name, task.brief, task.kit())?;
        let lifted = Lifted::new(Prediction::default(), as_handed_out, *units);
        writeln!(out, "As it is handed out: {}", as_handed_out.outcome.word())?;
        for [of, _, was] in lifted.said.beside(&lifted.happened, *units) {
            writeln!(out, "    {of}: {was}")?;
        }
        writeln!(out, "    {}", lifted.happened.why)?;
        let hints = HintPair::of_lift(as_handed_out, *units).or_own(task);
        writeln!(out, "Hints: 1. {}", hints.look)?;
        writeln!(out, "       2. {}", hints.number)?;
        writeln!(out, "       3. {}", task.last_hint())?;
        for PlayedTask { changes, debrief } in *tried {
            writeln!(out, "With {}: {}", changes.join(", "), debrief.outcome.word())?;
            writeln!(out, "    {}", say_ending(debrief, *units))?;
        }
        for why in self.misfits() {
            writeln!(out, "\nMend this: {why}.")?;
        }
        writeln!(out, "\n{CAUTION}")
    }
}

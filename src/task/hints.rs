//! The first two hints: where to look, and the number there beside its limit. Worked out from the
//! lift that was played; before one, from the sheet. The last hint is the task's own.

use super::model::LiftTask;
use super::prediction::Area;
use crate::debrief::Debrief;
use crate::scene::Scene;
use crate::statics::sheet::{Row, Sheet, Verdict};
use crate::units::UnitSystem;

/// Where to look, and the number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HintPair {
    pub look: String,
    pub number: String,
}

impl HintPair {
    /// From a lift: of what went wrong first, else of what fell short.
    pub fn of_lift(debrief: &Debrief, units: UnitSystem) -> Self {
        let scene = &*debrief.scene;
        if let Some(first) = debrief.findings.first() {
            let area = Area::of(scene, first.place).say(scene).to_lowercase();
            return Self {
                look: format!(
                    "Look at {}, {area}, from {:.1} s on.",
                    named(debrief, &first.part),
                    first.began_s.max(0.0)
                ),
                number: format!("At {:.1} s {}.", first.t_s, first.say(scene, units)),
            };
        }
        if let Some((said, why)) =
            debrief.records.iter().find_map(|said| Some((said, said.refused.as_ref()?)))
        {
            let order = said.told.say(scene, units);
            return Self {
                look: format!("Look at the order \"{order}\", at {:.1} s.", said.t_s),
                number: format!("It could not be done: {}.", why.say(scene, units)),
            };
        }
        let short = debrief.gaps.iter().filter(|gap| !gap.is_enough());
        match short.max_by(|a, b| (a.needed_m - a.end_m).total_cmp(&(b.needed_m - b.end_m))) {
            Some(gap) => Self {
                look: format!("Look at the gap over the {}.", gap.at),
                number: format!(
                    "It reached {}, and {} frees it.",
                    units.gap(gap.end_m),
                    units.gap(gap.needed_m)
                ),
            },
            None => Self::nothing(),
        }
    }

    /// From the sheet: of the first row that fails, else of the first that is close.
    pub fn on_paper(scene: &Scene, units: UnitSystem) -> Self {
        let sheet = Sheet::new(scene, units);
        let with = |verdict| sheet.rows.iter().find(|row| row.lift_verdict() == Some(verdict));
        with(Verdict::Fails).or_else(|| with(Verdict::Close)).map_or_else(Self::nothing, |row| {
            Self {
                look: format!("Look at the sheet (F2): {}.", row.what()),
                number: format!("It says {}.", beside_limit(row, units)),
            }
        })
    }

    fn nothing() -> Self {
        Self {
            look: "Nothing stands out: lift it, and look again.".to_owned(),
            number: "No number is past its limit.".to_owned(),
        }
    }

    /// With the instructor's own words where there are some.
    pub fn or_own(self, task: &LiftTask) -> Self {
        let own = task.hints.clone();
        Self { look: own.look.unwrap_or(self.look), number: own.number.unwrap_or(self.number) }
    }
}

fn beside_limit(row: &Row, units: UnitSystem) -> String {
    let show = |figure: crate::statics::sheet::Figure| figure.show(units);
    let result = row.result.map(show).unwrap_or_default();
    let limit = row.limit.map(|limit| format!(", and {} is the limit", show(limit.figure())));
    format!("{result}{}", limit.unwrap_or_default())
}

/// A part as one speaks of it.
fn named(debrief: &Debrief, part: &str) -> String {
    let known = debrief.parts.iter().find(|known| known.name == part);
    let spoken = known.map_or(part, |known| known.spoken());
    let scene = &*debrief.scene;
    let is = |name: &String| name == part;
    let noun = match () {
        // A word of its own needs none.
        () if spoken != part => "",
        () if scene.bags.iter().any(|bag| is(&bag.name)) => " bag",
        () if scene.stacks.iter().any(|stack| is(&stack.name)) => " stack",
        () if scene.captures.iter().any(|capture| is(&capture.name)) => " capture",
        () => "",
    };
    format!("the {spoken}{noun}")
}

//! What to try next: a few lines, no more than a crew takes along.

use super::advice::advice;
use super::report::Debrief;
use crate::scene::tree::{Node, Value};
use crate::scene::{self, Outcome, choice};
use crate::statics::sheet::{Sheet, Verdict};
use crate::units::UnitSystem;

/// The most lines.
const MOST: usize = 4;

impl Debrief {
    /// The twin's difference first: one choice apart, and the ending is another one.
    pub(super) fn tips(&self, units: UnitSystem) -> Vec<String> {
        let mut tips: Vec<String> = self.twin_tip().into_iter().collect();
        if let Some(first) = self.findings.first() {
            let advice = advice(&first.measured);
            tips.push(format!("{advice} (Common practice, no source.)"));
        }
        for said in &self.records {
            for open in &said.left_open {
                tips.push(format!(
                    "{}. Close a bag's shut-off before its hose comes off.",
                    open.say(&self.scene, units)
                ));
            }
            let Some(refused) = said.refused else { continue };
            let why = refused.say(&self.scene, units);
            let order = said.told.say(&self.scene, units);
            tips.push(format!("\"{order}\" could not be done: {why}. Correct that first."));
        }
        let short = self.gaps.iter().filter(|g| g.end_m < g.needed_m && self.findings.is_empty());
        for g in short {
            tips.push(format!(
                "Raise further: {} still needs {}.",
                g.at,
                units.gap(g.needed_m - g.end_m)
            ));
        }
        let sheet = Sheet::new(&self.scene, units);
        let weak = sheet.rows.iter().filter(|r| r.lift_verdict() == Some(Verdict::Fails));
        let told = match self.outcome {
            Outcome::Lifted => "It was lifted, but the sheet does not pass this",
            _ => "On paper this fails already",
        };
        for row in weak {
            let limit = row.limit.map_or(String::new(), |l| l.figure().show(units));
            let result = row.result.map_or(String::new(), |f| f.show(units));
            tips.push(format!("{told}: {}, {result}, limit {limit}.", row.what()));
        }
        if tips.is_empty() {
            tips.push(
                "Change one thing and play it again: no chocks on a slope, a taller stack, one \
                 valve opened less. Find out how much it takes to fail."
                    .into(),
            );
        }
        tips.truncate(MOST);
        tips
    }

    /// What the twin does in another way; none where the scene has no twin.
    fn twin_tip(&self) -> Option<String> {
        let name = self.scene.lesson.twin.as_deref()?;
        let play = format!("Play its twin: inchwise run {name}");
        let read = |name: &str| scene::load(name, &[]).ok();
        let Some(twin) = read(name) else { return Some(play) };
        // The twin names this scene in turn; one that was changed and renamed is another one.
        let own = twin.scene.lesson.twin.as_deref().and_then(read);
        let own = own.filter(|own| own.scene.name == self.scene.name);
        let differs = own.map(|own| say_choice(&own.doc, &twin.doc));
        Some(match differs {
            Some(differs) => {
                format!("Its twin \"{}\" differs in {differs}. {play}", twin.scene.name)
            }
            None => play,
        })
    }
}

/// What two scenes differ in, in plain words: "its bags, its wedge and its orders".
fn say_choice(one: &Node, other: &Node) -> String {
    let mut keys: Vec<String> = Vec::new();
    for path in choice(one, other) {
        let key = path.split('.').next().unwrap_or_default().to_owned();
        if !keys.contains(&key) {
            keys.push(key);
        }
    }
    // A list of one thing on either side is that thing.
    let is_one = |doc: &Node, key: &str| match doc.get(key).map(|node| &node.value) {
        Some(Value::List(items)) => items.len() == 1,
        _ => false,
    };
    let say = |key: &String| {
        let words = key.replace('_', " ");
        let one_thing = [one, other].iter().all(|doc| is_one(doc, key));
        let noun = words.strip_suffix('s').filter(|_| one_thing).unwrap_or(&words);
        match key.as_str() {
            "lies" | "nose_down" => "how it lies".to_owned(),
            "on_failure" => "what the officer does after a failure".to_owned(),
            _ => format!("its {noun}"),
        }
    };
    let said: Vec<String> = keys.iter().map(say).collect();
    match said.as_slice() {
        [front @ .., last] if !front.is_empty() => format!("{} and {last}", front.join(", ")),
        said => said.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_twin_does_in_another_way_is_told_in_plain_words() {
        let doc = |name: &str| scene::load(name, &[]).unwrap_or_else(|_| panic!("{name}")).doc;
        let said = |one, other| say_choice(&doc(one), &doc(other));
        assert_eq!(said("capture-late", "capture-each-inch"), "its orders");
        let wedge = said("deck-lid-tall", "deck-lid-wedged");
        assert!(wedge.contains("its wedge") && !wedge.contains(['.', '_']), "{wedge}");
    }
}

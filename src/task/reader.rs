//! Reads a task: each field by its entry in the table, the scene and the kit that it names, and
//! whether its changes can be made. All that is wrong is told at once.

use super::FILES;
use super::fields::{hints, mend, no_good_lift, whole};
use super::model::{LiftTask, Mend, OwnHints, WayOut};
use crate::scene::field_reader::{Fields, all};
use crate::scene::problem::{Problem, Problems};
use crate::scene::schema::entry::{Text, Typed};
use crate::scene::schema::{scene as field, word_keys};
use crate::scene::tree::{Node, Place, Value};
use crate::scene::{
    Loaded, Source, builtin_names, choose_from, load_from as load_scene, scene_from_tree,
    scene_named,
};
use std::sync::Arc;

/// The most characters of what is read at one look, and of one line.
const WORDS_AT_MOST: usize = 400;
const LINE_AT_MOST: usize = 200;

/// Reads and checks a task by its path or by its name on the shelf.
///
/// # Errors
/// Everything that is wrong with it, with its scene and with its changes.
pub fn load(name: &str) -> Result<LiftTask, Vec<Problem>> {
    load_from(&FILES.find(name)?)
}

/// Reads and checks a task. A task from outside finds shipped scenes and kits only.
///
/// # Errors
/// As [`load`].
pub fn load_from(source: &Source) -> Result<LiftTask, Vec<Problem>> {
    let tree = FILES.tree_of(source)?;
    let problems = Problems::default();
    let read = Written::read(&Fields::new(&tree, "", &problems));
    let told = problems.into_told(&tree.place, |told| told);
    match read {
        Some(written) if told.is_empty() => written.task(source, &tree),
        _ => Err(told),
    }
}

/// What stands in a task file.
struct Written {
    name: String,
    brief: String,
    scene: String,
    kit: String,
    way_out: WrittenWayOut,
    hints: OwnHints,
}

/// A way out whose changes have not been made yet.
enum WrittenWayOut {
    Mend(Vec<Mend>),
    NoGoodLift(WayOut),
}

impl Written {
    fn read(f: &Fields<'_>) -> Option<Self> {
        let (name, brief) = (f.take(whole::NAME), f.take_short(whole::BRIEF, WORDS_AT_MOST));
        let (scene, kit) = (f.take(whole::SCENE), f.take(whole::KIT));
        let way_out = way_out(f);
        let own = own_hints(f);
        f.end();
        Some(Self {
            name: name?,
            brief: brief?,
            scene: scene?,
            kit: kit?,
            way_out: way_out?,
            hints: own?,
        })
    }

    /// The task, with its scene read, and read again with its mend.
    fn task(self, source: &Source, tree: &Node) -> Result<LiftTask, Vec<Problem>> {
        let at = |key: &str, text: String| {
            let place = tree.get(key).map_or(&tree.place, |node| &node.place).clone();
            vec![Problem { place, path: key.to_owned(), text: text.into() }]
        };
        let Some(of_scene) = scene_named(source, &self.scene) else {
            let text = format!(
                "there is no scene of this name beside the task or on the shelf; {}",
                choose_from(&self.scene, &builtin_names())
            );
            return Err(at(whole::SCENE.key(), text));
        };
        let kit = format!("{}={}", field::KIT.key(), quoted(&self.kit));
        // The kit stands in the task, whatever it is put into the scene by.
        let in_task = |problems: Vec<Problem>| -> Vec<Problem> {
            let place = |problem: &Problem| match &problem.place {
                Place::Change(text) if **text == kit => tree.place_of(&[whole::KIT.key()]).clone(),
                place => place.clone(),
            };
            problems.into_iter().map(|p| Problem { place: place(&p), ..p }).collect()
        };
        let loaded = load_scene(&of_scene, std::slice::from_ref(&kit)).map_err(in_task)?;
        let Loaded { scene: lesson, doc } = loaded;
        if lesson.orders.is_empty() {
            let text = "has no orders, so nothing would be played; give it some";
            return Err(at(whole::SCENE.key(), text.to_owned()));
        }
        let way_out = match self.way_out {
            WrittenWayOut::NoGoodLift(way_out) => way_out,
            WrittenWayOut::Mend(mends) => {
                let made = mends.iter().map(|mend| mend.change.clone());
                let changes: Vec<String> = std::iter::once(kit.clone()).chain(made).collect();
                let mended = load_scene(&of_scene, &changes)?;
                WayOut::Mend { mends, scene: Arc::new(mended.scene) }
            }
        };
        let doc = handed_out(doc, &self.name, &self.brief);
        let scene = Arc::new(scene_from_tree(&doc)?);
        Ok(LiftTask {
            file: source.name(),
            name: self.name,
            brief: self.brief,
            scene_file: self.scene,
            scene,
            doc,
            lesson: Arc::new(lesson),
            way_out,
            hints: self.hints,
        })
    }
}

/// A text as a value of RON.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.escape_default())
}

/// A scene's tree as a task hands it out: what the scene says of itself and of its ending is
/// taken out, so that nothing of it can be shown before the lift.
fn handed_out(mut doc: Node, name: &str, brief: &str) -> Node {
    let of_the_lesson = word_keys(|word| !word.outlives_edits);
    if let Value::Table(fields) = &mut doc.value {
        fields.retain(|(key, _)| !of_the_lesson.contains(&key.as_str()));
        for (key, text) in [(field::NAME.key(), name), (field::TEACHES.key(), brief)] {
            let node = Node { place: Place::Hand, value: Value::Text(text.to_owned()) };
            fields.retain(|(there, _)| there != key);
            fields.push((key.to_owned(), node));
        }
    }
    doc
}

fn way_out(f: &Fields<'_>) -> Option<WrittenWayOut> {
    match [f.has(whole::MEND), f.has(whole::NO_GOOD_LIFT)] {
        [true, false] => {
            let items = f.list(whole::MEND);
            if items.is_empty() {
                f.complain(whole::MEND.key(), "needs at least one change that makes it hold");
                return None;
            }
            let mends = all(items.iter().map(|g| {
                let (change, say) = (g.take(mend::CHANGE), g.take_short(mend::SAY, LINE_AT_MOST));
                g.end();
                Some(Mend { change: change?, say: say? })
            }));
            mends.map(WrittenWayOut::Mend)
        }
        [false, true] => {
            let g = f.group(whole::NO_GOOD_LIFT)?;
            let why = g.take(no_good_lift::WHY);
            let say = g.take_short(no_good_lift::SAY, WORDS_AT_MOST);
            g.end();
            Some(WrittenWayOut::NoGoodLift(WayOut::NoGoodLift { why: why?, say: say? }))
        }
        [both, _] => {
            let text = match both {
                true => "says both how to correct it and that nothing can; leave one out",
                false => {
                    "says neither how to correct it nor that nothing can; write `mend: [(change: \
                     \"chocks.nose left.staked=true\", say: \"...\")]`, or `no_good_lift: (why: \
                     \"more_kit\", say: \"...\")`"
                }
            };
            f.complain(if both { whole::NO_GOOD_LIFT.key() } else { "" }, text);
            None
        }
    }
}

fn own_hints(f: &Fields<'_>) -> Option<OwnHints> {
    let g = f.group_or_bare(whole::HINTS);
    let line = |entry: Typed<Text>| match g.has(entry) {
        true => g.take_short(entry, LINE_AT_MOST).map(Some),
        false => Some(None),
    };
    let (look, number) = (line(hints::LOOK), line(hints::NUMBER));
    g.end();
    Some(OwnHints { look: look?, number: number? })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::task::GROUPS;

    /// Every field of the table is one that the reader asks for: what it lists where it meets
    /// one that it does not know.
    #[test]
    fn every_field_of_the_table_is_read() {
        let told = |way_out: &str| {
            let text = format!(
                "(name: \"x\", brief: \"x\", scene: \"beam-lift\", kit: \"rescue-truck\", odd: 1, \
                 hints: (odd: 1), {way_out})"
            );
            let source = Source::Handed { name: "x".to_owned(), text };
            let told = load_from(&source).err().expect("is told");
            told.iter().map(|problem| format!("{problem}\n")).collect::<String>()
        };
        let text = told("mend: [(change: \"a=1\", say: \"x\", odd: 1)]")
            + &told("no_good_lift: (why: \"wait\", say: \"x\", odd: 1)");
        for field in GROUPS.iter().flat_map(|group| group.fields) {
            let mut known = text.lines().filter_map(|line| line.split_once("known fields are "));
            let named = known.any(|(_, list)| list.split(", ").any(|key| key.trim() == field.key));
            assert!(named, "`{}` is never read:\n{text}", field.key);
        }
    }
}

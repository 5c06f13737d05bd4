//! Reads a class: each field by its entry in the table, the scenes that it names, and what its
//! steps say together. All that is wrong is told at once.

use super::FILES;
use super::fields::{own_choice, step, stop, whole};
use super::model::{
    Class, ClassQuestion, ClassScene, ClassStep, ClassStepKind, MOST_BESIDE, StopAt,
};
use crate::answer::{Answer, AnswerTest};
use crate::scene::field_reader::{Fields, all};
use crate::scene::problem::{Problem, Problems};
use crate::scene::{
    Loaded, Source, builtin_names, choose_from, load_from as load_scene, scene_named,
};
use std::cell::RefCell;
use std::sync::Arc;

/// The most characters of a question, of other words for the room, and of a choice, so that they
/// can be read from the back row.
const ASK_AT_MOST: usize = 200;
const WORDS_AT_MOST: usize = 400;
const CHOICE_AT_MOST: usize = 100;
/// Each choice has a number key.
const CHOICES: [usize; 2] = [2, 9];

/// Reads and checks a class by its path or by its name on the shelf.
///
/// # Errors
/// Everything that is wrong with it and with the scenes that it names.
pub fn load(name: &str) -> Result<Class, Vec<Problem>> {
    load_from(&FILES.find(name)?)
}

/// Reads and checks a class. A class from outside finds shipped scenes only.
///
/// # Errors
/// As [`load`].
pub fn load_from(source: &Source) -> Result<Class, Vec<Problem>> {
    let tree = FILES.tree_of(source)?;
    let problems = Problems::default();
    let reader = Reader { source, scenes: RefCell::default(), unread: RefCell::default() };
    let class = reader.class(&Fields::new(&tree, "", &problems));
    let mut told = problems.into_told(&tree.place, |told| told);
    told.extend(reader.unread.into_inner());
    match class {
        Some((name, about, steps)) if told.is_empty() => {
            Ok(Class { name, about, scenes: reader.scenes.into_inner(), steps })
        }
        _ => Err(told),
    }
}

struct Reader<'a> {
    source: &'a Source,
    scenes: RefCell<Vec<ClassScene>>,
    /// What is wrong with scenes that are named.
    unread: RefCell<Vec<Problem>>,
}

impl Reader<'_> {
    fn class(&self, f: &Fields<'_>) -> Option<(String, String, Vec<ClassStep>)> {
        let (name, about) = (f.take(whole::NAME), f.take(whole::ABOUT));
        let items = f.list(whole::STEPS);
        if items.is_empty() {
            f.complain(
                whole::STEPS.key(),
                "needs at least one step; write `steps: [(show: \"beam-lift\")]`",
            );
        }
        f.end();
        let mut order = StepOrder::default();
        let steps = all(items.iter().map(|g| {
            let Some(step) = self.step(g, order.scene) else {
                order.lost = true;
                return None;
            };
            order.follow(g, &step.kind, &self.scenes.borrow());
            Some(step)
        }));
        if order.open && !order.lost {
            f.complain(whole::STEPS.key(), "ends with an open question; add a `reveal`");
        }
        Some((name?, about?, steps.filter(|steps| !steps.is_empty())?))
    }

    /// A step; `on` is the scene that is on before it.
    fn step(&self, g: &Fields<'_>, on: Option<usize>) -> Option<ClassStep> {
        let keys: Vec<&'static str> = step::GROUP.alternatives().map(|field| field.key).collect();
        let told: Vec<&'static str> = keys.iter().copied().filter(|key| g.has_key(key)).collect();
        let (look, note) = (g.take_if_there(step::LOOK), g.take_if_there(step::NOTE));
        let &[verb] = told.as_slice() else {
            let found = if told.is_empty() { "none".into() } else { told.join(" and ") };
            g.complain(
                "",
                format!(
                    "give exactly one action per step; found {found}; choose one of {}",
                    keys.join(", ")
                ),
            );
            return None;
        };
        let kind = match verb {
            _ if verb == step::SHOW.key() => self.shown(g).map(ClassStepKind::Show),
            _ if verb == step::STOP.key() => self.stop(g, on).map(ClassStepKind::Stop),
            _ if verb == step::ASK.key() => self.question(g, on).map(ClassStepKind::Ask),
            _ if verb == step::REVEAL.key() => {
                g.take_short(step::REVEAL, WORDS_AT_MOST).map(ClassStepKind::Reveal)
            }
            _ if verb == step::COMPARE.key() => {
                let words = g.take_short(step::COMPARE, WORDS_AT_MOST);
                let beside = self.beside(g);
                words.zip(beside).map(|(words, beside)| ClassStepKind::Compare { words, beside })
            }
            _ => g.take_short(step::CARD, WORDS_AT_MOST).map(ClassStepKind::Card),
        };
        if verb != step::ASK.key() {
            for key in [step::FROM.key(), step::CHOICES.key()] {
                if g.has_key(key) {
                    g.complain(key, "belongs to `ask`; put it there or take it out");
                }
            }
        }
        if verb != step::COMPARE.key() && g.has_key(step::BESIDE.key()) {
            g.complain(step::BESIDE.key(), "belongs to `compare`; put it there or take it out");
        }
        g.end();
        Some(ClassStep { kind: kind?, look: look?, note: note? })
    }

    /// The place of the scene that a step shows.
    fn shown(&self, g: &Fields<'_>) -> Option<usize> {
        self.place_of(g, step::SHOW.key(), g.take(step::SHOW)?)
    }

    /// The places of the scenes that stand beside the one that is on; none for its twin.
    fn beside(&self, g: &Fields<'_>) -> Option<Vec<usize>> {
        if !g.has_key(step::BESIDE.key()) {
            return Some(Vec::new());
        }
        let files = g.take(step::BESIDE)?;
        if !(1..=MOST_BESIDE).contains(&files.len()) {
            let text = format!("names {} scenes; name 1 or {MOST_BESIDE}", files.len());
            g.complain(step::BESIDE.key(), text);
            return None;
        }
        all(files.into_iter().map(|file| self.place_of(g, step::BESIDE.key(), file)))
    }

    /// The place of a scene by its file's name; it is read where it is new.
    fn place_of(&self, g: &Fields<'_>, key: &str, file: String) -> Option<usize> {
        if let Some(known) = self.scenes.borrow().iter().position(|scene| scene.file == file) {
            return Some(known);
        }
        let complain = |text: String| g.complain(key, text);
        let Some(source) = scene_named(self.source, &file) else {
            complain(format!(
                "there is no scene of this name beside the class or on the shelf; {}",
                choose_from(&file, &builtin_names())
            ));
            return None;
        };
        match load_scene(&source, &[]) {
            Ok(Loaded { scene, .. }) if scene.orders.is_empty() => {
                complain("has no orders, so nothing would be played; give it some".to_owned());
                None
            }
            Ok(Loaded { scene, doc }) => {
                let mut scenes = self.scenes.borrow_mut();
                scenes.push(ClassScene { file, scene: Arc::new(scene), doc });
                Some(scenes.len() - 1)
            }
            Err(problems) => {
                self.unread.borrow_mut().extend(problems);
                None
            }
        }
    }

    fn stop(&self, g: &Fields<'_>, on: Option<usize>) -> Option<StopAt> {
        let at = g.group(step::STOP)?;
        let keys: Vec<&'static str> = stop::GROUP.alternatives().map(|field| field.key).collect();
        if keys.iter().filter(|key| at.has_key(key)).count() != 1 {
            at.complain("", format!("needs exactly one of {}", keys.join(", ")));
            return None;
        }
        let read = if at.has(stop::ORDER) {
            at.take(stop::ORDER).map(StopAt::Order)
        } else if at.has(stop::TIME) {
            at.take(stop::TIME).map(StopAt::Time)
        } else {
            at.take(stop::FINDING).map(StopAt::Finding)
        };
        at.end();
        if let (Some(StopAt::Order(number)), Some(on)) = (read, on) {
            let scenes = self.scenes.borrow();
            let ClassScene { file, scene, .. } = &scenes[on];
            if number > scene.orders.len() {
                at.complain(
                    stop::ORDER.key(),
                    format!(
                        "{number} is no order of {file}, which has {}; choose 1 to {0}",
                        scene.orders.len()
                    ),
                );
                return None;
            }
        }
        read
    }

    fn question(&self, g: &Fields<'_>, on: Option<usize>) -> Option<ClassQuestion> {
        let ask = g.take_short(step::ASK, ASK_AT_MOST);
        let answers = match [g.has(step::FROM), g.has(step::CHOICES)] {
            [true, false] => {
                let from = g.take(step::FROM);
                let scenes = self.scenes.borrow();
                // Without a scene, which is told elsewhere, there is nothing to choose.
                from.zip(on).map(|(from, on)| from.answers(&scenes[on].scene))
            }
            [false, true] => own_choices(g),
            [both, _] => {
                let text = match both {
                    true => "has choices of both kinds; leave out `from` or `choices`",
                    false => {
                        "needs choices; write `from: \"cause\"`, or `choices: [(say: \"...\"), \
                         (say: \"...\")]`"
                    }
                };
                g.complain(step::ASK.key(), text);
                None
            }
        };
        Some(ClassQuestion { ask: ask?, answers: answers? })
    }
}

fn own_choices(g: &Fields<'_>) -> Option<Vec<Answer>> {
    let items = g.list(step::CHOICES);
    let [least, most] = CHOICES;
    if !(least..=most).contains(&items.len()) {
        let text = format!("has {} choices; give {least} to {most}", items.len());
        g.complain(step::CHOICES.key(), text);
        return None;
    }
    all(items.iter().map(|choice| {
        let say = choice.take_short(own_choice::SAY, CHOICE_AT_MOST);
        let ending = choice.take_if_there(own_choice::ENDING);
        let cause = choice.take_if_there(own_choice::CAUSE);
        choice.end();
        let ending = ending?.map(AnswerTest::Ends);
        let cause = cause?.map(|cause| AnswerTest::First(vec![cause]));
        Some(Answer { say: say?, tests: ending.into_iter().chain(cause).collect() })
    }))
}

/// What the steps so far came to.
#[derive(Default)]
struct StepOrder {
    /// The scene that is on.
    scene: Option<usize>,
    /// A question waits for its reveal.
    open: bool,
    /// A step before could not be read, so that what it lacks is not told of the others.
    lost: bool,
}

impl StepOrder {
    /// Takes the next step in; tells where it cannot come there.
    fn follow(&mut self, g: &Fields<'_>, kind: &ClassStepKind, scenes: &[ClassScene]) {
        let (key, closes) = match kind {
            ClassStepKind::Show(_) => (step::SHOW.key(), true),
            ClassStepKind::Stop(_) => (step::STOP.key(), false),
            ClassStepKind::Ask(_) => (step::ASK.key(), true),
            ClassStepKind::Reveal(_) => (step::REVEAL.key(), false),
            ClassStepKind::Compare { .. } => (step::COMPARE.key(), true),
            ClassStepKind::Card(_) => (step::CARD.key(), false),
        };
        let complain = |text: &str| {
            if !self.lost {
                g.complain(key, text);
            }
        };
        let is_show = matches!(kind, ClassStepKind::Show(_));
        if self.scene.is_none() && !is_show {
            complain("comes before any scene; put a `show` before it");
        }
        if self.open && closes {
            complain("comes while a question is open; put a `reveal` before it");
        }
        match kind {
            ClassStepKind::Show(scene) => (self.scene, self.open) = (Some(*scene), false),
            ClassStepKind::Ask(_) => self.open = true,
            ClassStepKind::Reveal(_) if !self.open => {
                complain("reveals nothing; put an `ask` before it");
            }
            ClassStepKind::Reveal(_) => self.open = false,
            ClassStepKind::Compare { beside, .. } if beside.is_empty() => {
                let on = self.scene.and_then(|scene| scenes.get(scene));
                if let Some(ClassScene { file, scene, .. }) = on
                    && scene.lesson.twin.is_none()
                {
                    g.complain(key, format!("{file} has no twin; show a scene that names one"));
                }
            }
            ClassStepKind::Stop(_) | ClassStepKind::Compare { .. } | ClassStepKind::Card(_) => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::class::fields::GROUPS;

    /// Every field of the table is one that the reader asks for: what it lists where it meets
    /// one that it does not know.
    #[test]
    fn every_field_of_the_table_is_read() {
        let text = "(name: \"x\", about: \"x\", odd: 1, steps: [(show: \"beam-lift\", odd: 1), \
                    (stop: (time: \"1 s\", odd: 1)), (ask: \"x\", choices: [(say: \"x\", odd: 1), \
                    (say: \"y\")]), (reveal: \"x\"), (card: \"x\", odd: 1)])";
        let source = Source::Handed { name: "x".to_owned(), text: text.to_owned() };
        let told = load_from(&source).err().expect("is told");
        let text: String = told.iter().map(|problem| format!("{problem}\n")).collect();
        for field in GROUPS.iter().flat_map(|group| group.fields) {
            let known = text.lines().filter(|line| line.contains("known fields are "));
            let named = |line: &str| {
                let (_, list) = line.split_once("known fields are ").unwrap_or_default();
                list.split(", ").any(|key| key.trim() == field.key)
            };
            assert!(known.clone().any(named), "`{}` is never read:\n{text}", field.key);
        }
    }
}

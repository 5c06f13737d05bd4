//! Random legal set-ups, built as a hand builds them: a vehicle as it lies on some ground, and
//! things that are brought, moved and changed one by one. An edit that breaks a rule is undone,
//! so that whatever comes out is a scene that `check` finds in order.

use crate::fuzz::seed;
use arbtest::arbitrary::{Result, Unstructured};
use arbtest::arbtest;
use inchwise::draft::{self, Draft, Edit, Entry, Item, ItemKind, order};
use inchwise::scene::tree::{Node, Place, Value};
use inchwise::scene::{self, schema};
use inchwise::units::UnitSystem;
use std::sync::LazyLock;

/// What every one of them is brought first: without it nothing is lifted.
const TO_LIFT: [ItemKind; 3] = [ItemKind::Stack, ItemKind::Bag, ItemKind::Outlet];

/// What is needed for a lift is tried so often, each time in another place or way.
const TRIES: usize = 4;

/// The shipped scenes, without what a crew brought.
static BARE: LazyLock<Vec<Node>> = LazyLock::new(|| {
    let bare = |name: &String| {
        let mut draft = Draft::new(scene::tree_of(name, &[]).ok()?).ok()?;
        draft.edit(&Edit::Bare, false, UnitSystem::Si).ok()?;
        draft.seen().ready().is_some().then(|| draft.doc().clone())
    };
    let bare: Vec<Node> = scene::builtin_names().iter().filter_map(bare).collect();
    assert!(bare.len() > 20, "{} of the shipped scenes can be begun from", bare.len());
    bare
});

fn hand(value: Value) -> Node {
    Node { place: Place::Hand, value }
}

fn text(text: impl Into<String>) -> Node {
    hand(Value::Text(text.into()))
}

/// From 0 to 1.
fn share(u: &mut Unstructured<'_>) -> Result<f64> {
    Ok(f64::from(u.arbitrary::<u16>()?) / f64::from(u16::MAX))
}

fn between(u: &mut Unstructured<'_>, least: f64, most: f64) -> Result<f64> {
    Ok(least + (most - least) * share(u)?)
}

/// The set-up with a number, the same each time, as a tree.
pub fn set_up(number: u64) -> Node {
    let mut made = None;
    arbtest(|u| {
        made = Some(built(u)?);
        Ok(())
    })
    .seed(seed(number))
    .run();
    made.expect("4096 bytes are enough for a set-up")
}

fn built(u: &mut Unstructured<'_>) -> Result<Node> {
    let mut build = Build { draft: begun(u)? };
    for kind in TO_LIFT {
        for _ in 0..TRIES {
            if build.draft.items(kind).is_empty() {
                build.bring(u, kind)?;
            }
        }
    }
    for _ in 0..u.int_in_range(0..=8)? {
        let kind = *u.choose(&ItemKind::BROUGHT)?;
        build.bring(u, kind)?;
    }
    for _ in 0..u.int_in_range(0..=10)? {
        build.change(u)?;
    }
    for _ in 0..TRIES {
        if order::orders_in(build.draft.doc()).is_empty() {
            build.order(u, &order::VERBS[0])?;
        }
    }
    for _ in 0..u.int_in_range(2..=6)? {
        let verb = u.choose(&order::VERBS)?;
        build.order(u, verb)?;
    }
    Ok(build.draft.doc().clone())
}

/// A vehicle and somebody under it, on another ground, lying in another way.
fn begun(u: &mut Unstructured<'_>) -> Result<Draft> {
    let mut doc = u.choose(&BARE)?.clone();
    if u.ratio(1, 2)?
        && let Some(Value::Text(vehicle)) = doc.get("vehicle").map(|node| &node.value)
        && let Ok(draft) = draft::from_nothing(vehicle)
    {
        doc = draft.doc().clone();
    }
    let fields = schema::GROUPS.iter().find(|group| group.key.is_empty()).expect("the scene's");
    for field in fields.fields {
        if !u.ratio(1, 4)? {
            continue;
        }
        let written = doc.get(field.key).cloned();
        if let Some(value) = another(u, field, field.value(written.as_ref()))? {
            let mut new = doc.clone();
            if new.set(field.key, hand(value)).is_ok() && is_legal(&new) {
                doc = new;
            }
        }
    }
    Ok(Draft::new(doc).expect("it breaks no rule"))
}

fn is_legal(doc: &Node) -> bool {
    matches!(scene::read_and_check(doc), (Some(_), problems) if problems.is_empty())
}

/// Another value of a field, near the one that it has; none where the field holds words.
fn another(u: &mut Unstructured<'_>, field: &draft::Field, value: Value) -> Result<Option<Value>> {
    Ok(match (field.entry, value) {
        (Entry::Quantity(_), Value::Text(was)) => near(u, &was)?.map(Value::Text),
        (Entry::Pair | Entry::Lengths(_), Value::List(was)) => {
            let mut new = Vec::new();
            for node in was {
                let Value::Text(length) = &node.value else { return Ok(None) };
                let Some(length) = near(u, length)? else { return Ok(None) };
                new.push(text(length));
            }
            Some(Value::List(new))
        }
        (Entry::Count(least, most), Value::Number(was)) => {
            let new = was + f64::from(u.int_in_range(-3..=3)?);
            Some(Value::Number(new.clamp(least as f64, most as f64)))
        }
        (Entry::Flag, Value::Flag(was)) => Some(Value::Flag(!was)),
        (Entry::Choice(words), _) => Some(Value::Text((*u.choose(&(words.0)())?).to_owned())),
        _ => None,
    })
}

/// A quantity up to a third more or less, and a little apart, as one whose value is zero must be.
fn near(u: &mut Unstructured<'_>, was: &str) -> Result<Option<String>> {
    let end = was.find(' ').unwrap_or(was.len());
    let Ok(figure) = was[..end].parse::<f64>() else { return Ok(None) };
    let unit = was[end..].trim();
    let apart = match unit {
        "deg" => 4.0,
        "m" => 0.15,
        "mm" => 30.0,
        "in" => 1.0,
        _ => 0.0,
    };
    let new = figure * between(u, 0.7, 1.4)? + between(u, -apart, apart)?;
    Ok(Some(format!("{new:.3} {unit}")))
}

struct Build {
    draft: Draft,
}

impl Build {
    /// Does an edit, and undoes it where it breaks a rule.
    fn edit(&mut self, edit: &Edit, both: bool) {
        let before = self.draft.doc().clone();
        let done = self.draft.edit(edit, both, UnitSystem::Si);
        if done.is_err() || self.draft.seen().ready().is_none() {
            self.draft = Draft::new(before).expect("it was read before");
        }
    }

    fn bring(&mut self, u: &mut Unstructured<'_>, kind: ItemKind) -> Result<()> {
        let at = match u.ratio(1, 4)? {
            true => Some([between(u, -2.4, 2.4)?, between(u, -1.2, 1.2)?]),
            false => None,
        };
        let both = u.arbitrary()?;
        self.edit(&Edit::Add { kind, at, on: None }, both);
        Ok(())
    }

    /// Moves one thing, or changes one of its fields.
    fn change(&mut self, u: &mut Unstructured<'_>) -> Result<()> {
        let kinds = [ItemKind::BROUGHT.as_slice(), &[ItemKind::Ground, ItemKind::Air]].concat();
        let kind = *u.choose(&kinds)?;
        let items = self.draft.items(kind);
        if items.is_empty() {
            return Ok(());
        }
        let item = *u.choose(&items)?;
        let both = u.arbitrary()?;
        if let Some([x, z]) = item.at(self.draft.doc())
            && u.ratio(1, 3)?
        {
            let at = [x + between(u, -0.2, 0.2)?, z + between(u, -0.2, 0.2)?];
            self.edit(&Edit::Move { item, at }, both);
            return Ok(());
        }
        let fields = draft::fields(kind);
        let field = *u.choose(&fields)?;
        let value = field.value(item.node(self.draft.doc()));
        if let Some(value) = another(u, field, value)? {
            self.edit(&Edit::Set { item, key: field.key, value }, both);
        }
        Ok(())
    }

    /// One more order of a kind, until something random.
    fn order(&mut self, u: &mut Unstructured<'_>, verb: &order::Verb) -> Result<()> {
        let mut new = order::fresh(&self.draft, verb);
        if verb.lasts {
            let limb = Item::new(ItemKind::Limb, 0).name(self.draft.doc());
            let (way, ..) = *u.choose(&order::WAYS)?;
            let figure = match way {
                "for" => format!("{:.1} s", between(u, 0.5, 6.0)?),
                "on_timber" => format!("{:.0} %", between(u, 10.0, 95.0)?),
                _ => format!("{:.0} mm", between(u, 10.0, 220.0)?),
            };
            new = order::with(&new, "until", Some(order::group(way, &figure, &limb)));
            new = order::with(
                &new,
                "opening",
                Some(text(format!("{:.0} %", between(u, 3.0, 100.0)?))),
            );
            new = order::with(&new, "at_most", Some(text("15 s")));
        }
        let orders = [order::orders_in(self.draft.doc()), &[new]].concat();
        self.edit(&Edit::Orders(orders), false);
        Ok(())
    }
}

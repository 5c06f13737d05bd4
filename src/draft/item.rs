//! The things of a set-up: their kinds, and where each stands in a scene's tree.

use crate::scene::schema::{air, scene};
use crate::scene::tree::{Node, Place, Value};
use crate::units::{self, Dimension, INCH_M, UnitSystem};

/// What a set-up is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ItemKind {
    Stack,
    Bag,
    Wedge,
    Beam,
    Capture,
    VoidFill,
    Chock,
    StepChock,
    Strut,
    Strap,
    Outlet,
    Limb,
    /// Somebody who lies there.
    Person,
    /// Cylinder and regulator.
    Air,
    Ground,
}

impl ItemKind {
    /// What a crew brings, in the order in which it is listed.
    pub const BROUGHT: [Self; 11] = [
        Self::Stack,
        Self::Bag,
        Self::Wedge,
        Self::Beam,
        Self::Capture,
        Self::VoidFill,
        Self::Chock,
        Self::StepChock,
        Self::Strut,
        Self::Strap,
        Self::Outlet,
    ];
    /// What is there before anything is brought.
    pub const FOUND: [Self; 4] = [Self::Person, Self::Limb, Self::Air, Self::Ground];

    /// The way to it in a scene's tree.
    pub(super) fn way(self) -> &'static [&'static str] {
        match self {
            Self::Stack => const { &[scene::STACKS.key()] },
            Self::Bag => const { &[scene::BAGS.key()] },
            Self::Wedge => const { &[scene::WEDGES.key()] },
            Self::Beam => const { &[scene::BEAM.key()] },
            Self::Capture => const { &[scene::CAPTURES.key()] },
            Self::VoidFill => const { &[scene::VOID_FILL.key()] },
            Self::Chock => const { &[scene::CHOCKS.key()] },
            Self::StepChock => const { &[scene::STEP_CHOCKS.key()] },
            Self::Strut => const { &[scene::STRUTS.key()] },
            Self::Strap => const { &[scene::STRAPS.key()] },
            Self::Outlet => const { &[scene::AIR.key(), air::OUTLETS.key()] },
            Self::Limb => const { &[scene::CASUALTY.key()] },
            Self::Person => const { &[scene::PEOPLE.key()] },
            Self::Air => const { &[scene::AIR.key()] },
            Self::Ground => const { &[scene::GROUND.key()] },
        }
    }

    /// There is at most one, without a name.
    pub fn single(self) -> bool {
        matches!(self, Self::Beam | Self::Air | Self::Ground)
    }

    pub fn noun(self) -> &'static str {
        match self {
            Self::Stack => "stack",
            Self::Bag => "bag",
            Self::Wedge => "wedge",
            Self::Beam => "beam",
            Self::Capture => "capture",
            Self::VoidFill => "void fill",
            Self::Chock => "chock",
            Self::StepChock => "step chock",
            Self::Strut => "strut",
            Self::Strap => "strap",
            Self::Outlet => "hose",
            Self::Limb => "limb",
            Self::Person => "person",
            Self::Air => "air supply",
            Self::Ground => "ground",
        }
    }
}

/// One thing of a set-up, by its kind and its place in the scene's list of that kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Item {
    pub kind: ItemKind,
    pub index: usize,
}

impl Item {
    pub fn new(kind: ItemKind, index: usize) -> Self {
        Self { kind, index }
    }

    /// Its values in a tree; none where it is not written there.
    pub fn node(self, doc: &Node) -> Option<&Node> {
        let here = self.kind.way().iter().try_fold(doc, |node, key| node.get(key))?;
        match &here.value {
            _ if self.kind.single() => Some(here).filter(|n| n.value != Value::Nothing),
            Value::List(items) => items.get(self.index),
            _ => None,
        }
    }

    /// What it is called.
    pub fn name(self, doc: &Node) -> String {
        let named = || match &self.node(doc)?.get("name")?.value {
            Value::Text(name) => Some(name.trim().to_owned()),
            _ => None,
        };
        named().unwrap_or_else(|| self.kind.noun().to_owned())
    }

    /// The middle of it on the ground, m, where it has one that can be read.
    pub fn at(self, doc: &Node) -> Option<[f64; 2]> {
        let Value::List(pair) = &self.node(doc)?.get("at")?.value else { return None };
        let [x, z] = pair.as_slice() else { return None };
        let length = |node: &Node| match &node.value {
            Value::Text(text) => units::parse(text, Dimension::Length).ok(),
            _ => None,
        };
        Some([length(x)?, length(z)?])
    }
}

/// A value that was put there by hand.
pub(super) fn hand(value: Value) -> Node {
    Node { place: Place::Hand, value }
}

pub(super) fn text(text: impl Into<String>) -> Node {
    hand(Value::Text(text.into()))
}

/// A length as it is written into a scene: to the tenth of a millimetre, or to the
/// hundredth of an inch.
pub fn length_text(units: UnitSystem, m: f64) -> String {
    let trimmed = |value: f64, digits: usize| {
        let text = format!("{value:.digits$}");
        let text = text.trim_end_matches('0').trim_end_matches('.').to_owned();
        if text == "-0" { "0".to_owned() } else { text }
    };
    match units {
        UnitSystem::Si => format!("{} m", trimmed(m, 4)),
        UnitSystem::Us => format!("{} in", trimmed(m / INCH_M, 2)),
    }
}

/// Things of a kind in a tree, in its order.
pub(super) fn items(doc: &Node, kind: ItemKind) -> Vec<Item> {
    if kind.single() {
        let there = kind != ItemKind::Beam || Item::new(kind, 0).node(doc).is_some();
        return there.then_some(Item::new(kind, 0)).into_iter().collect();
    }
    let list = kind.way().iter().try_fold(doc, |node, key| node.get(key));
    let count = match list.map(|n| &n.value) {
        Some(Value::List(items)) => items.len(),
        _ => 0,
    };
    (0..count).map(|index| Item::new(kind, index)).collect()
}

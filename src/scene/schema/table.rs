//! The table as it is shown: rows with their paths, limits and defaults in words.

use super::entry::{Absent, Entry, Field, Group, Role, Word};
use super::faults::fault;
use super::ground;
use super::kits::{
    blocks, boards, carried_step_chocks, cylinders, kit, lifting_bags, rated_straps, rated_struts,
    timbers,
};
use super::orders::{order, until};
use super::setup::{
    bag, beam, capture, chock, sole, stack, step_chock, strap, strut, void_fill, wedge,
};
use super::supply::{air, outlet};
use super::vehicles::{com, half_width, inertia, opening, panel, post, profile, vehicle, wheels};
use super::whole::{
    aims, crew, drill, expect, limb, measured, person, raised, scene, slide, spread, weights,
};
use crate::units::{Dimension, UnitSystem};

/// A least length below this is shown in millimetres, m.
const SHORT_M: f64 = 0.1;

/// Every group, in the order of the page.
pub const GROUPS: &[Group] = &[
    scene::GROUP,
    expect::GROUP,
    ground::GROUP,
    spread::GROUP,
    measured::GROUP,
    weights::GROUP,
    slide::GROUP,
    raised::GROUP,
    drill::GROUP,
    crew::GROUP,
    aims::GROUP,
    person::GROUP,
    limb::GROUP,
    stack::GROUP,
    sole::GROUP,
    void_fill::GROUP,
    chock::GROUP,
    step_chock::GROUP,
    strut::GROUP,
    strap::GROUP,
    capture::GROUP,
    bag::GROUP,
    wedge::GROUP,
    beam::GROUP,
    air::GROUP,
    outlet::GROUP,
    kit::GROUP,
    timbers::GROUP,
    boards::GROUP,
    blocks::GROUP,
    carried_step_chocks::GROUP,
    rated_struts::GROUP,
    rated_straps::GROUP,
    lifting_bags::GROUP,
    cylinders::GROUP,
    fault::GROUP,
    order::GROUP,
    until::GROUP,
    vehicle::GROUP,
    com::GROUP,
    inertia::GROUP,
    profile::GROUP,
    half_width::GROUP,
    wheels::GROUP,
    post::GROUP,
    opening::GROUP,
    panel::GROUP,
];

/// A field with a way to it from the top of a scene.
pub struct FieldRow {
    /// Dotted; where a list is passed, its items' names stand as NAME, or their numbers as N.
    pub path: String,
    /// Key of the group that it belongs to.
    pub group: &'static str,
    pub field: &'static Field,
}

/// Every field by every way to it.
pub fn rows() -> Vec<FieldRow> {
    fn walk(group: &'static Group, before: &str, out: &mut Vec<FieldRow>) {
        for field in group.fields {
            let path = format!("{before}{}", field.key);
            out.push(FieldRow { path: path.clone(), group: group.key, field });
            match field.entry {
                Entry::Group(inner) => walk(inner, &format!("{path}."), out),
                Entry::List(inner) => {
                    let named = inner.fields.iter().any(|field| field.key == "name");
                    let item = if named { "NAME" } else { "N" };
                    walk(inner, &format!("{path}.{item}."), out);
                }
                _ => {}
            }
        }
    }
    let mut out = Vec::new();
    walk(&scene::GROUP, "", &mut out);
    out
}

/// Keys of a scene's texts about itself that a test accepts.
pub fn word_keys(of_kind: impl Fn(Word) -> bool) -> Vec<&'static str> {
    let words = scene::GROUP.fields.iter().filter(|field| match field.role {
        Role::Word(word) => of_kind(word),
        _ => false,
    });
    words.map(|field| field.key).collect()
}

impl Entry {
    /// What stands there, in words.
    pub fn noun(self) -> String {
        match self {
            Self::Quantity(dimension) => dimension.noun().to_owned(),
            Self::Pair => "two lengths".to_owned(),
            Self::Lengths(most) => format!("at most {most} lengths"),
            Self::Count(..) => "a whole number".to_owned(),
            Self::Flag => "true or false".to_owned(),
            Self::Text => "a text".to_owned(),
            Self::Choice(_) => "a word".to_owned(),
            Self::Name(_) => "a name".to_owned(),
            Self::Names(_) => "a name or a list of names".to_owned(),
            Self::Group(_) => "a group".to_owned(),
            Self::List(_) => "a list".to_owned(),
        }
    }

    fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Quantity(dimension) => Some(dimension),
            Self::Pair | Self::Lengths(_) => Some(Dimension::Length),
            _ => None,
        }
    }
}

impl Field {
    /// The unit in which its limits are shown; `None` where it has no unit.
    pub fn unit(&self) -> Option<&'static str> {
        /// Lengths that stay below this are shown in millimetres, m.
        const SMALL_M: f64 = 0.5;
        let dimension = self.entry.dimension()?;
        let small = self.limits.is_some_and(|ends| ends.iter().all(|end| end.abs() < SMALL_M));
        Some(match dimension {
            Dimension::Length if small => "mm",
            Dimension::Length => "m",
            Dimension::Force => "N",
            other => other.shown_in(UnitSystem::Si).1,
        })
    }

    /// What its value must keep to; empty where anything goes.
    pub fn limits(&self) -> String {
        let figure = |si: f64| {
            let unit = self.unit().unwrap_or_default();
            let shown = match self.entry.dimension() {
                Some(Dimension::Length) if unit == "mm" => si * 1e3,
                Some(Dimension::Length | Dimension::Force) | None => si,
                Some(other) => si / other.shown_in(UnitSystem::Si).0,
            };
            let text = format!("{shown:.4}");
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        };
        let own = match (self.entry, self.limits) {
            (Entry::Count(least, most), _) => format!("{least} to {most}"),
            (Entry::Flag, _) => "true or false".to_owned(),
            (Entry::Choice(_), _) => {
                let words = self.choices().into_iter().map(|word| format!("`\"{word}\"`"));
                words.collect::<Vec<_>>().join(", ")
            }
            (entry, Some([least, most])) => {
                let unit = self.unit().unwrap_or_default();
                // A short lower limit with a long upper one gets a unit of its own.
                let short = unit == "m" && least > 0.0 && least < SHORT_M;
                let first = match short {
                    true => format!("{:.0} mm", least * 1e3),
                    false => figure(least),
                };
                let range = format!("{first} to {} {unit}", figure(most));
                match entry {
                    Entry::Pair => format!("each {range}"),
                    Entry::Lengths(count) => format!("at most {count}, each {range}"),
                    _ => range,
                }
            }
            _ => String::new(),
        };
        [own.as_str(), self.also]
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect::<Vec<_>>()
            .join("; ")
    }

    /// What holds where it is left out, in words.
    pub fn left_out(&self) -> String {
        match self.absent {
            Absent::Needed => "needed".to_owned(),
            Absent::NeededThere => "needed there".to_owned(),
            Absent::Means(words) => words.to_owned(),
            Absent::Takes("[]") => "none".to_owned(),
            Absent::Takes(ron) => match self.entry {
                // Words stand as they are written, figures without their quotes.
                Entry::Choice(_) => format!("`{ron}`"),
                Entry::Quantity(_) | Entry::Pair => ron.trim_matches(['[', ']']).replace('"', ""),
                _ => ron.to_owned(),
            },
        }
    }
}

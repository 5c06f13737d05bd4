//! What can be set of each kind of thing: the fields of the scene's format with a label,
//! how they are typed, and the scene reader's default.

use super::Kind;
use crate::scene::doc::{Node, Value, parse_set_value};
use crate::tables::{Surface, TIMBERS};
use crate::units::{Dimension, System};

/// How a field is typed or chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Entry {
    /// One quantity with its unit.
    Quantity(Dimension),
    /// Two lengths: along the vehicle and across it.
    Pair,
    /// Any number of lengths.
    Lengths,
    /// A whole number from and to.
    Count(usize, usize),
    Flag,
    Timber,
    Surface,
    /// The name of a stack or a bag, or several of them.
    Support,
    Supports,
    /// The name of a bag.
    Bag,
    /// Names of the vehicle's openings.
    Openings,
}

/// One field of a kind.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    pub key: &'static str,
    pub label: &'static str,
    pub entry: Entry,
    /// What the scene reader takes where it is left out, in RON; empty where it must be given.
    pub default: &'static str,
}

const fn field(
    key: &'static str,
    label: &'static str,
    entry: Entry,
    default: &'static str,
) -> Field {
    Field { key, label, entry, default }
}

const LENGTH: Entry = Entry::Quantity(Dimension::Length);
const PRESSURE: Entry = Entry::Quantity(Dimension::Pressure);
const ANGLE: Entry = Entry::Quantity(Dimension::Angle);
const AT: Field = field("at", "Place", Entry::Pair, "");

/// Every field of a kind but its name, in the order in which they are shown.
pub fn fields(kind: Kind) -> &'static [Field] {
    const STACK: &[Field] = &[
        AT,
        field("layers", "Layers", Entry::Count(1, 24), ""),
        field("members", "Timbers a layer", Entry::Count(2, 6), "2"),
        field("timber", "Timber", Entry::Timber, "\"4x4\""),
        field("length", "Length", LENGTH, "\"24 in\""),
        field("pads", "Boards on top", Entry::Lengths, "[]"),
        field("strength", "Strength, of usual", Entry::Quantity(Dimension::Fraction), "\"100 %\""),
    ];
    const BAG: &[Field] = &[
        field("on", "Lies on", Entry::Support, ""),
        field("size", "Size", Entry::Pair, ""),
        field("working", "Working pressure", PRESSURE, "\"8 bar\""),
    ];
    const WEDGE: &[Field] =
        &[field("on", "Lies on", Entry::Bag, ""), field("size", "Size", Entry::Pair, "")];
    const BEAM: &[Field] = &[
        AT,
        field("through", "Passes through", Entry::Openings, ""),
        field("rests_on", "Rests on", Entry::Supports, ""),
        field("timber", "Timber", Entry::Timber, "\"4x6\""),
        field("length", "Length", LENGTH, ""),
        field("shims", "Shimmed", Entry::Flag, "true"),
        field("strength", "Strength, of usual", Entry::Quantity(Dimension::Fraction), "\"100 %\""),
    ];
    const CAPTURE: &[Field] = &[
        AT,
        field("layers", "Layers", Entry::Count(0, 12), "1"),
        field("timber", "Timber", Entry::Timber, "\"4x4\""),
        field("length", "Length", LENGTH, "\"18 in\""),
        field("step", "Follows with", Entry::Timber, "\"2x4\""),
        field("steps", "Layers at hand", Entry::Count(0, 24), "6"),
    ];
    const VOID_FILL: &[Field] = &[
        AT,
        field("timber", "Timber", Entry::Timber, "\"4x4\""),
        field("length", "Length", LENGTH, "\"18 in\""),
    ];
    const CHOCK: &[Field] = &[
        AT,
        field("staked", "Staked down", Entry::Flag, "false"),
        field("set", "Set before the lift", Entry::Flag, "true"),
    ];
    const OUTLET: &[Field] = &[
        field("to", "Leads to", Entry::Bag, ""),
        field("opening", "Valve opens to", Entry::Quantity(Dimension::Fraction), "\"100 %\""),
        field(
            "conductance",
            "Valve and hose",
            Entry::Quantity(Dimension::Conductance),
            "\"0.5 L/(s bar)\"",
        ),
    ];
    const LIMB: &[Field] = &[
        AT,
        field("thickness", "Thickness", LENGTH, ""),
        field("gap_needed", "Gap to free it", LENGTH, ""),
        field("size", "Size", Entry::Pair, "[\"120 mm\", \"300 mm\"]"),
        field("stiffness", "Stiffness", Entry::Quantity(Dimension::Stiffness), "\"15 N/mm\""),
    ];
    const AIR: &[Field] = &[
        field("cylinder", "Cylinder", Entry::Quantity(Dimension::Volume), "\"6.8 L\""),
        field("pressure", "Filled to", PRESSURE, "\"300 bar\""),
        field("regulator", "Regulator set to", PRESSURE, "\"8 bar\""),
    ];
    const GROUND: &[Field] = &[
        field("surface", "Surface", Entry::Surface, "\"asphalt\""),
        field("wet", "Wet", Entry::Flag, "false"),
        field("slope", "Down to the nose", ANGLE, "\"0 deg\""),
        field("cross_slope", "Down to the left", ANGLE, "\"0 deg\""),
        field("friction", "Friction, of usual", Entry::Quantity(Dimension::Fraction), "\"100 %\""),
    ];
    match kind {
        Kind::Stack => STACK,
        Kind::Bag => BAG,
        Kind::Wedge => WEDGE,
        Kind::Beam => BEAM,
        Kind::Capture => CAPTURE,
        Kind::VoidFill => VOID_FILL,
        Kind::Chock => CHOCK,
        Kind::Outlet => OUTLET,
        Kind::Limb => LIMB,
        Kind::Air => AIR,
        Kind::Ground => GROUND,
    }
}

impl Field {
    /// Its value in a thing's node: as written, or the default.
    pub fn value(&self, node: Option<&Node>) -> Value {
        let written = node.and_then(|n| n.get(self.key)).map(|n| n.value.clone());
        written
            .filter(|v| *v != Value::Nothing)
            .unwrap_or_else(|| parse_set_value(self.default, &"".into()).value)
    }

    /// What can be chosen where it is not typed.
    pub fn choices(&self) -> Vec<&'static str> {
        match self.entry {
            Entry::Timber => TIMBERS.iter().map(|t| t.nominal).collect(),
            Entry::Surface => Surface::WORDS.iter().map(|(word, _)| *word).collect(),
            _ => Vec::new(),
        }
    }
}

/// A value as it is typed: a list's items with commas between.
pub fn to_typed(value: &Value) -> String {
    match value {
        Value::Text(text) => text.clone(),
        Value::Number(n) => format!("{n}"),
        Value::Flag(flag) => if *flag { "yes" } else { "no" }.into(),
        Value::Nothing => String::new(),
        Value::List(items) => {
            items.iter().map(|n| to_typed(&n.value)).collect::<Vec<_>>().join(", ")
        }
        Value::Table(_) => "...".into(),
    }
}

/// What was typed, as a value. A bare number gets the unit of the system in use.
pub fn from_typed(entry: Entry, typed: &str, units: System) -> Value {
    let quantity = |text: &str, dimension: Dimension| {
        let text = text.trim();
        match text.parse::<f64>() {
            Ok(_) => Value::Text(format!("{text} {}", unit(dimension, units))),
            Err(_) => Value::Text(text.to_owned()),
        }
    };
    let lengths = || {
        let parts = typed.split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
        Value::List(parts.map(|part| super::hand(quantity(part, Dimension::Length))).collect())
    };
    match entry {
        Entry::Quantity(dimension) => quantity(typed, dimension),
        Entry::Pair | Entry::Lengths => lengths(),
        Entry::Count(..) => match typed.trim().parse::<f64>() {
            Ok(n) if n.is_finite() => Value::Number(n),
            _ => Value::Text(typed.trim().to_owned()),
        },
        Entry::Flag => Value::Flag(typed.trim() == "yes"),
        Entry::Supports | Entry::Openings => {
            Value::List(typed.split(',').map(|t| super::text(t.trim())).collect())
        }
        Entry::Timber | Entry::Surface | Entry::Support | Entry::Bag => {
            Value::Text(typed.trim().to_owned())
        }
    }
}

/// The unit that a bare number is taken in.
pub fn unit(dimension: Dimension, units: System) -> &'static str {
    let si = units == System::Si;
    match dimension {
        Dimension::Length => {
            if si {
                "mm"
            } else {
                "in"
            }
        }
        Dimension::Mass => {
            if si {
                "kg"
            } else {
                "lb"
            }
        }
        Dimension::Angle => "deg",
        Dimension::Pressure => {
            if si {
                "bar"
            } else {
                "psi"
            }
        }
        Dimension::Stress => {
            if si {
                "MPa"
            } else {
                "psi"
            }
        }
        Dimension::Force => {
            if si {
                "N"
            } else {
                "lbf"
            }
        }
        Dimension::Time => "s",
        Dimension::Volume => {
            if si {
                "L"
            } else {
                "ft3"
            }
        }
        Dimension::Inertia => "kg m2",
        Dimension::Stiffness => {
            if si {
                "N/mm"
            } else {
                "lbf/in"
            }
        }
        Dimension::Conductance => "L/(s bar)",
        Dimension::Fraction => "%",
    }
}

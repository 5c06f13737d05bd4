//! What can be set of each kind of thing: the fields of the scene's format with a label,
//! how they are typed, and the scene reader's default.

use super::Kind;
use crate::scene::doc::{Node, Value, parse_set_value};
use crate::tables::{BEDS, Surface, TIMBERS};
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
    Soil,
    /// None, or a board: along, across, thick.
    Sole,
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
const SOLE: Field = field("sole", "Sole plate", Entry::Sole, "");

/// Every field of a kind but its name, in the order in which they are shown.
pub fn fields(kind: Kind) -> &'static [Field] {
    const STACK: &[Field] = &[
        AT,
        field("layers", "Layers", Entry::Count(1, 24), ""),
        field("members", "Timbers a layer", Entry::Count(2, 6), "2"),
        field("timber", "Timber", Entry::Timber, "\"4x4\""),
        field("length", "Length", LENGTH, "\"24 in\""),
        field("pads", "Boards on top", Entry::Lengths, "[]"),
        SOLE,
        field("lean", "Top leans by", Entry::Pair, "[\"0 mm\", \"0 mm\"]"),
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
        SOLE,
    ];
    const VOID_FILL: &[Field] = &[
        AT,
        field("timber", "Timber", Entry::Timber, "\"4x4\""),
        field("length", "Length", LENGTH, "\"18 in\""),
        SOLE,
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
        field("soil", "Soil under bases", Entry::Soil, "\"hard\""),
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
            Entry::Soil => std::iter::once("hard").chain(BEDS.iter().map(|b| b.name)).collect(),
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
    let length = |part: &str| super::hand(quantity(part.trim(), Dimension::Length));
    let parts = || typed.split([',', ';']);
    let blank = || parts().all(|part| part.trim().is_empty());
    match entry {
        Entry::Quantity(dimension) => quantity(typed, dimension),
        // A blank keeps its place: the other side is not meant.
        Entry::Pair if blank() => Value::List(Vec::new()),
        Entry::Pair => Value::List(parts().map(length).collect()),
        Entry::Lengths => {
            Value::List(parts().filter(|part| !part.trim().is_empty()).map(length).collect())
        }
        Entry::Count(..) => match typed.trim().parse::<f64>() {
            Ok(n) if n.is_finite() => Value::Number(n),
            _ => Value::Text(typed.trim().to_owned()),
        },
        Entry::Flag => Value::Flag(typed.trim() == "yes"),
        Entry::Supports | Entry::Openings => {
            Value::List(typed.split(',').map(|t| super::text(t.trim())).collect())
        }
        Entry::Timber | Entry::Surface | Entry::Soil | Entry::Support | Entry::Bag => {
            Value::Text(typed.trim().to_owned())
        }
        Entry::Sole if blank() => Value::Nothing,
        Entry::Sole => {
            let mut parts = parts().map(length);
            let sides: Vec<Node> = parts.by_ref().take(2).collect();
            let mut fields = vec![("size".to_owned(), super::hand(Value::List(sides)))];
            fields.extend(parts.next().map(|thick| ("thickness".to_owned(), thick)));
            Value::Table(fields)
        }
    }
}

/// A sole plate's parts as they are typed: along, across, thick; none where there is none.
pub fn sole_parts(value: &Value) -> Option<[String; 3]> {
    let Value::Table(fields) = value else { return None };
    let of = |key: &str| fields.iter().find(|(k, _)| k == key).map(|(_, n)| &n.value);
    let mut sides = match of("size") {
        Some(Value::List(sides)) => sides.iter().map(|n| to_typed(&n.value)).collect(),
        _ => Vec::new(),
    };
    sides.resize(2, String::new());
    let thick = of("thickness").map_or_else(|| "1.5 in".to_owned(), to_typed);
    let [along, across]: [String; 2] = sides.try_into().ok()?;
    Some([along, across, thick])
}

/// A quantity that was written in the other system's unit, in this one's; any other text as
/// it is.
pub fn in_units(written: &str, dimension: Dimension, units: System) -> String {
    const US: [&str; 7] = ["in", "ft", "lb", "psi", "lbf", "lbf/in", "ft3"];
    let named = written.trim().trim_start_matches(|c: char| !c.is_alphabetic());
    let own = unit(dimension, units);
    // Some are the same in both.
    let shared = own == unit(dimension, System::Si) && own == unit(dimension, System::Us);
    let Ok(si) = crate::units::parse(written, dimension) else { return written.to_owned() };
    let Ok(one) = crate::units::parse(&format!("1 {own}"), dimension) else {
        return written.to_owned();
    };
    if shared || US.contains(&named) == (units == System::Us) {
        return written.to_owned();
    }
    let digits = if units == System::Us { 2 } else { 1 };
    let figure = format!("{:.digits$}", si / one);
    let figure = figure.trim_end_matches('0').trim_end_matches('.');
    format!("{} {own}", if figure == "-0" { "0" } else { figure })
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

#[cfg(test)]
mod tests {
    use super::*;

    /// 24 in are 609.6 mm and 1 psi is 6.894757 kPa by definition; 0.45 m are 17.72 in.
    #[test]
    fn a_figure_is_shown_in_the_units_in_use() {
        use Dimension::{Angle, Length, Pressure};
        for (written, dimension, units, shown) in [
            ("24 in", Length, System::Si, "609.6 mm"),
            ("24 in", Length, System::Us, "24 in"),
            ("0.45 m", Length, System::Us, "17.72 in"),
            ("-0.45 m", Length, System::Us, "-17.72 in"),
            ("510 mm", Length, System::Si, "510 mm"),
            ("8 bar", Pressure, System::Us, "116.03 psi"),
            ("100 psi", Pressure, System::Si, "6.9 bar"),
            ("5 deg", Angle, System::Us, "5 deg"),
            ("wide", Length, System::Us, "wide"),
        ] {
            assert_eq!(in_units(written, dimension, units), shown);
        }
    }

    #[test]
    fn a_sole_plate_is_typed_in_parts() {
        let value = from_typed(Entry::Sole, "900, 600 mm, 2 in", System::Si);
        let parts = ["900 mm", "600 mm", "2 in"].map(str::to_owned);
        assert_eq!(sole_parts(&value), Some(parts));
        assert_eq!(from_typed(Entry::Sole, "", System::Si), Value::Nothing);
        assert_eq!(sole_parts(&Value::Nothing), None);
        // What is emptied stays empty: the others keep their places.
        let value = from_typed(Entry::Sole, ", 600 mm, 2 in", System::Si);
        assert_eq!(sole_parts(&value), Some(["", "600 mm", "2 in"].map(str::to_owned)));
        let Value::List(pair) = from_typed(Entry::Pair, ", 600", System::Si) else { panic!() };
        assert_eq!(pair.iter().map(|n| to_typed(&n.value)).collect::<Vec<_>>(), ["", "600 mm"]);
        assert_eq!(from_typed(Entry::Pair, " , ", System::Si), Value::List(Vec::new()));
    }
}

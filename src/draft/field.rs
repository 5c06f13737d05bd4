//! What can be set of each kind of thing, by the table of fields: how it is shown and typed.

use super::item::{ItemKind, hand, text};
use crate::scene::schema::{
    self, Group, air, bag, beam, capture, chock, ground, limb, outlet, person, stack, step_chock,
    strap, strut, void_fill, wedge,
};
use crate::scene::tree::{Node, Value, parse_change_value};
use crate::units::{Dimension, UnitSystem};

pub use schema::{Entry, Field, Refers};

/// Every field of a kind that the editor shows, in the order in which they are shown.
pub fn fields(kind: ItemKind) -> Vec<&'static Field> {
    const fn group(kind: ItemKind) -> &'static Group {
        match kind {
            ItemKind::Stack => &stack::GROUP,
            ItemKind::Bag => &bag::GROUP,
            ItemKind::Wedge => &wedge::GROUP,
            ItemKind::Beam => &beam::GROUP,
            ItemKind::Capture => &capture::GROUP,
            ItemKind::VoidFill => &void_fill::GROUP,
            ItemKind::Chock => &chock::GROUP,
            ItemKind::StepChock => &step_chock::GROUP,
            ItemKind::Strut => &strut::GROUP,
            ItemKind::Strap => &strap::GROUP,
            ItemKind::Outlet => &outlet::GROUP,
            ItemKind::Limb => &limb::GROUP,
            ItemKind::Person => &person::GROUP,
            ItemKind::Air => &air::GROUP,
            ItemKind::Ground => &ground::GROUP,
        }
    }
    group(kind).fields.iter().filter(|field| field.edited_as.is_some()).collect()
}

impl Field {
    /// Its value in a thing's node: as written, or what the reader takes where it is left out.
    pub fn value(&self, node: Option<&Node>) -> Value {
        let written = node.and_then(|n| n.get(self.key)).map(|n| n.value.clone());
        let default = || self.default().map(|ron| parse_change_value(ron, &"".into()).value);
        written.filter(|v| *v != Value::Nothing).or_else(default).unwrap_or(Value::Nothing)
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
pub fn from_typed(entry: Entry, typed: &str, units: UnitSystem) -> Value {
    let quantity = |text: &str, dimension: Dimension| {
        let text = text.trim();
        match text.parse::<f64>() {
            Ok(_) => Value::Text(format!("{text} {}", unit(dimension, units))),
            Err(_) => Value::Text(text.to_owned()),
        }
    };
    let length = |part: &str| hand(quantity(part.trim(), Dimension::Length));
    let parts = || typed.split([',', ';']);
    let blank = || parts().all(|part| part.trim().is_empty());
    match entry {
        Entry::Quantity(dimension) => quantity(typed, dimension),
        // A blank keeps its place: the other side is not meant.
        Entry::Pair if blank() => Value::List(Vec::new()),
        Entry::Pair => Value::List(parts().map(length).collect()),
        Entry::Lengths(_) => {
            Value::List(parts().filter(|part| !part.trim().is_empty()).map(length).collect())
        }
        Entry::Count(..) => match typed.trim().parse::<f64>() {
            Ok(n) if n.is_finite() => Value::Number(n),
            _ => Value::Text(typed.trim().to_owned()),
        },
        Entry::Flag => Value::Flag(typed.trim() == "yes"),
        Entry::Names(_) => Value::List(typed.split(',').map(|t| text(t.trim())).collect()),
        Entry::Text | Entry::Choice(_) | Entry::Name(_) | Entry::List(_) => {
            Value::Text(typed.trim().to_owned())
        }
        // A sole plate is the only group that is typed.
        Entry::Group(_) if blank() => Value::Nothing,
        Entry::Group(_) => {
            let mut parts = parts().map(length);
            let sides: Vec<Node> = parts.by_ref().take(2).collect();
            let mut fields = vec![("size".to_owned(), hand(Value::List(sides)))];
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
pub fn in_units(written: &str, dimension: Dimension, units: UnitSystem) -> String {
    const US: [&str; 7] = ["in", "ft", "lb", "psi", "lbf", "lbf/in", "ft3"];
    let named = written.trim().trim_start_matches(|c: char| !c.is_alphabetic());
    let own = unit(dimension, units);
    // Some are the same in both.
    let shared = own == unit(dimension, UnitSystem::Si) && own == unit(dimension, UnitSystem::Us);
    let Ok(si) = crate::units::parse(written, dimension) else { return written.to_owned() };
    let Ok(one) = crate::units::parse(&format!("1 {own}"), dimension) else {
        return written.to_owned();
    };
    if shared || US.contains(&named) == (units == UnitSystem::Us) {
        return written.to_owned();
    }
    let digits = if units == UnitSystem::Us { 2 } else { 1 };
    let figure = format!("{:.digits$}", si / one);
    let figure = figure.trim_end_matches('0').trim_end_matches('.');
    format!("{} {own}", if figure == "-0" { "0" } else { figure })
}

/// The unit that a bare number is taken in.
pub fn unit(dimension: Dimension, units: UnitSystem) -> &'static str {
    let [si, us] = match dimension {
        Dimension::Length => ["mm", "in"],
        Dimension::Mass => ["kg", "lb"],
        Dimension::Angle => ["deg"; 2],
        Dimension::Pressure => ["bar", "psi"],
        Dimension::Stress => ["MPa", "psi"],
        Dimension::Force => ["N", "lbf"],
        Dimension::Time => ["s"; 2],
        Dimension::Volume => ["L", "ft3"],
        Dimension::Inertia => ["kg m2"; 2],
        Dimension::Stiffness => ["N/mm", "lbf/in"],
        Dimension::Conductance => ["L/(s bar)"; 2],
        Dimension::Fraction => ["%"; 2],
    };
    if units == UnitSystem::Si { si } else { us }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 24 in are 609.6 mm and 1 psi is 6.894757 kPa by definition; 0.45 m are 17.72 in.
    #[test]
    fn a_figure_is_shown_in_the_units_in_use() {
        use Dimension::{Angle, Length, Pressure};
        for (written, dimension, units, shown) in [
            ("24 in", Length, UnitSystem::Si, "609.6 mm"),
            ("24 in", Length, UnitSystem::Us, "24 in"),
            ("0.45 m", Length, UnitSystem::Us, "17.72 in"),
            ("-0.45 m", Length, UnitSystem::Us, "-17.72 in"),
            ("510 mm", Length, UnitSystem::Si, "510 mm"),
            ("8 bar", Pressure, UnitSystem::Us, "116.03 psi"),
            ("100 psi", Pressure, UnitSystem::Si, "6.9 bar"),
            ("5 deg", Angle, UnitSystem::Us, "5 deg"),
            ("wide", Length, UnitSystem::Us, "wide"),
        ] {
            assert_eq!(in_units(written, dimension, units), shown);
        }
    }

    #[test]
    fn a_sole_plate_is_typed_in_parts() {
        let value =
            from_typed(Entry::Group(&schema::sole::GROUP), "900, 600 mm, 2 in", UnitSystem::Si);
        let parts = ["900 mm", "600 mm", "2 in"].map(str::to_owned);
        assert_eq!(sole_parts(&value), Some(parts));
        assert_eq!(
            from_typed(Entry::Group(&schema::sole::GROUP), "", UnitSystem::Si),
            Value::Nothing
        );
        assert_eq!(sole_parts(&Value::Nothing), None);
        // What is emptied stays empty: the others keep their places.
        let value =
            from_typed(Entry::Group(&schema::sole::GROUP), ", 600 mm, 2 in", UnitSystem::Si);
        assert_eq!(sole_parts(&value), Some(["", "600 mm", "2 in"].map(str::to_owned)));
        let Value::List(pair) = from_typed(Entry::Pair, ", 600", UnitSystem::Si) else { panic!() };
        assert_eq!(pair.iter().map(|n| to_typed(&n.value)).collect::<Vec<_>>(), ["", "600 mm"]);
        assert_eq!(from_typed(Entry::Pair, " , ", UnitSystem::Si), Value::List(Vec::new()));
    }
}

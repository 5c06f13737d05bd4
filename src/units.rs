//! Turns text such as "48 in", "8 bar" or "1300 kg" into SI numbers, and SI
//! numbers back into what the reader is used to. Never holds a bare number that
//! has a unit: a quantity is text outside and SI inside.
//!
//! Conversion factors are exact by definition (international yard and pound,
//! 1959; NIST Special Publication 811, appendix B) unless noted.

use crate::printable::brief;
use std::fmt;

/// Standard acceleration of gravity, m/s² (exact, CGPM 1901).
pub const GRAVITY_M_S2: f64 = 9.80665;
/// Standard atmosphere, Pa (exact).
pub const ATMOSPHERE_PA: f64 = 101_325.0;

/// An inch, m (exact).
pub const INCH_M: f64 = 0.0254;
const POUND_KG: f64 = 0.453_592_37;
const POUND_FORCE_N: f64 = POUND_KG * GRAVITY_M_S2;
/// A pound-force on a square inch, Pa (exact, from the international pound and inch).
pub const PSI_PA: f64 = POUND_FORCE_N / (INCH_M * INCH_M);

/// A text with figures in it, ready in either unit system, because the reader may change
/// systems after it was written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct UnitText([String; 2]);

impl UnitText {
    /// The text as it is said in each system.
    pub fn new(say: impl Fn(UnitSystem) -> String) -> Self {
        Self([UnitSystem::Si, UnitSystem::Us].map(say))
    }

    pub fn in_units(&self, units: UnitSystem) -> &str {
        &self.0[usize::from(units == UnitSystem::Us)]
    }
}

/// A text without figures.
impl From<String> for UnitText {
    fn from(text: String) -> Self {
        Self([text.clone(), text])
    }
}

impl From<&str> for UnitText {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

/// What a quantity measures. Each dimension knows the units it may be written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    Length,
    Mass,
    Angle,
    Pressure,
    /// Stress in a material.
    Stress,
    Force,
    Time,
    Volume,
    Inertia,
    Stiffness,
    /// Sonic conductance of a valve, ISO 6358: volume flow per unit of upstream pressure.
    Conductance,
    Fraction,
}

impl Dimension {
    /// Unit name and the factor that turns it into SI.
    fn table(self) -> &'static [(&'static str, f64)] {
        const DEG: f64 = std::f64::consts::PI / 180.0;
        match self {
            Self::Length => {
                &[("m", 1.0), ("mm", 1e-3), ("cm", 1e-2), ("in", INCH_M), ("ft", 12.0 * INCH_M)]
            }
            Self::Mass => &[("kg", 1.0), ("t", 1000.0), ("lb", POUND_KG)],
            Self::Angle => &[("deg", DEG), ("rad", 1.0)],
            Self::Pressure => {
                &[("bar", 1e5), ("kPa", 1e3), ("MPa", 1e6), ("Pa", 1.0), ("psi", PSI_PA)]
            }
            Self::Stress => &[("MPa", 1e6), ("psi", PSI_PA)],
            Self::Force => &[("N", 1.0), ("kN", 1e3), ("lbf", POUND_FORCE_N)],
            Self::Time => &[("s", 1.0), ("min", 60.0)],
            Self::Volume => &[("L", 1e-3), ("m3", 1.0), ("ft3", 0.028_316_846_592)],
            Self::Inertia => &[("kg m2", 1.0)],
            Self::Stiffness => &[
                ("N/mm", 1e3),
                ("kN/mm", 1e6),
                ("kN/m", 1e3),
                ("N/m", 1.0),
                ("lbf/in", POUND_FORCE_N / INCH_M),
            ],
            Self::Conductance => &[("L/(s bar)", 1e-8)],
            Self::Fraction => &[("%", 0.01)],
        }
    }

    /// The unit that a reader is used to on an axis, and what it is in SI.
    pub fn shown_in(self, system: UnitSystem) -> (f64, &'static str) {
        let unit = match (self, system) {
            (Self::Length, UnitSystem::Si) => "mm",
            (Self::Length, UnitSystem::Us) => "in",
            (Self::Mass, UnitSystem::Us) => "lb",
            (Self::Pressure, UnitSystem::Us) => "psi",
            (Self::Force, UnitSystem::Si) => "kN",
            (Self::Force, UnitSystem::Us) => "lbf",
            (Self::Volume, UnitSystem::Us) => "ft3",
            (Self::Stiffness, UnitSystem::Us) => "lbf/in",
            _ => self.table()[0].0,
        };
        let found = self.table().iter().find(|(name, _)| *name == unit);
        found.map_or((1.0, ""), |(name, factor)| (*factor, *name))
    }

    /// One correct way to write it, used when an error shows the mend.
    pub fn example(self) -> &'static str {
        match self {
            Self::Length => "\"24 in\" or \"600 mm\"",
            Self::Mass => "\"1300 kg\" or \"2900 lb\"",
            Self::Angle => "\"6 deg\"",
            Self::Pressure => "\"8 bar\" or \"116 psi\"",
            Self::Stress => "\"20 MPa\" or \"2900 psi\"",
            Self::Force => "\"5 kN\" or \"1100 lbf\"",
            Self::Time => "\"20 s\"",
            Self::Volume => "\"6.8 L\"",
            Self::Inertia => "\"1800 kg m2\"",
            Self::Stiffness => "\"60 N/mm\"",
            Self::Conductance => "\"0.5 L/(s bar)\"",
            Self::Fraction => "\"40 %\"",
        }
    }

    /// The mend that an error shows.
    fn how_to_write(self) -> String {
        format!("write {} such as {}", self.noun(), self.example())
    }

    fn units(self) -> String {
        self.table().iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", ")
    }

    /// The dimension in plain words.
    pub fn noun(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Mass => "a mass",
            Self::Angle => "an angle",
            Self::Pressure => "a pressure",
            Self::Stress => "a stress",
            Self::Force => "a force",
            Self::Time => "a time",
            Self::Volume => "a volume",
            Self::Inertia => "a moment of inertia",
            Self::Stiffness => "a stiffness",
            Self::Conductance => "a valve conductance",
            Self::Fraction => "a share",
        }
    }

    /// An SI value in this dimension's first unit, for error texts.
    pub fn show(self, si: f64) -> String {
        Self::show_in(self.table()[0], si)
    }

    /// An SI value in the unit of a quantity beside which it is told.
    pub fn show_beside(self, written: &str, si: f64) -> String {
        let ends = |(unit, _): &&(&str, f64)| written.trim_end().ends_with(unit);
        let longest = self.table().iter().filter(ends).max_by_key(|(unit, _)| unit.len());
        Self::show_in(*longest.unwrap_or(&self.table()[0]), si)
    }

    fn show_in((unit, factor): (&str, f64), si: f64) -> String {
        let shown = si / factor;
        // Up to six digits, without trailing zeros.
        let text = format!("{shown:.6}");
        let text = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            &text
        };
        format!("{text} {unit}")
    }
}

/// Reads a quantity such as `48 in` as SI. The text is a number, an optional
/// space and a unit of `dimension`.
///
/// # Errors
/// What is wrong, with a correct way to write it.
pub fn parse(text: &str, dimension: Dimension) -> Result<f64, QuantityError> {
    let text = text.trim();
    // The number ends where the first character that cannot belong to it starts;
    // an `e` counts only when an exponent follows.
    let bytes = text.as_bytes();
    let mut end = 0;
    while end < bytes.len() {
        let part_of_number = match bytes[end] {
            b'0'..=b'9' | b'.' => true,
            b'+' | b'-' => end == 0 || matches!(bytes[end - 1], b'e' | b'E'),
            b'e' | b'E' => end > 0 && matches!(bytes.get(end + 1), Some(b'0'..=b'9' | b'+' | b'-')),
            _ => false,
        };
        if !part_of_number {
            break;
        }
        end += 1;
    }
    let (number, unit) = (&text[..end], text[end..].trim());
    let written = || brief(text, 80).into_owned();
    let value: f64 = number.parse().map_err(|source| QuantityError::NoNumber {
        text: written(),
        dimension,
        source,
    })?;
    if !value.is_finite() {
        return Err(QuantityError::TooLarge { text: written(), dimension });
    }
    if unit.is_empty() {
        return Err(QuantityError::NoUnit { text: written(), dimension });
    }
    match dimension.table().iter().find(|(name, _)| *name == unit) {
        Some((_, factor)) => Ok(value * factor),
        None => Err(QuantityError::OtherUnit {
            text: written(),
            unit: brief(unit, 40).into(),
            dimension,
        }),
    }
}

/// Why a text is no quantity of a dimension; each message shows a correct way to write it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum QuantityError {
    #[error("\"{text}\" does not start with a number; {}", .dimension.how_to_write())]
    NoNumber { text: String, dimension: Dimension, source: std::num::ParseFloatError },
    #[error("\"{text}\" is too large to be a number; {}", .dimension.how_to_write())]
    TooLarge { text: String, dimension: Dimension },
    #[error("\"{text}\" has no unit; {}", .dimension.how_to_write())]
    NoUnit { text: String, dimension: Dimension },
    #[error(
        "\"{text}\": \"{unit}\" is not a unit of {}; use one of {}",
        .dimension.noun().trim_start_matches("a ").trim_start_matches("an "),
        .dimension.units()
    )]
    OtherUnit { text: String, unit: String, dimension: Dimension },
}

/// Reads a quantity whose unit tells what it measures.
pub fn read(text: &str) -> Option<(Dimension, f64)> {
    use Dimension::{
        Angle, Conductance, Force, Fraction, Inertia, Length, Mass, Pressure, Stiffness, Time,
        Volume,
    };
    [Length, Mass, Angle, Pressure, Force, Time, Volume, Inertia, Stiffness, Conductance, Fraction]
        .into_iter()
        .find_map(|dimension| Some((dimension, parse(text, dimension).ok()?)))
}

/// The units a reader is used to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum UnitSystem {
    #[default]
    Si,
    Us,
}

/// A number with this many decimals, never "-0".
fn decimals(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    match text.strip_prefix('-') {
        Some(bare) if bare.chars().all(|c| matches!(c, '0' | '.')) => bare.to_owned(),
        _ => text,
    }
}

/// A share in whole hundredths; never "-0 %".
pub fn percent(share: f64) -> String {
    format!("{:.0} %", (100.0 * share).round() + 0.0)
}

/// A difference in whole hundredths, with its sign unless it is zero.
pub fn percent_apart(share: f64) -> String {
    let hundredths = (100.0 * share).round();
    if hundredths == 0.0 { "0 %".to_owned() } else { format!("{hundredths:+.0} %") }
}

impl UnitSystem {
    /// Lengths of the order of a gap or a bag's height: mm or in.
    pub fn gap(self, m: f64) -> String {
        match self {
            Self::Si => format!("{} mm", decimals(m * 1e3, 0)),
            Self::Us => format!("{} in", decimals(m / INCH_M, 2)),
        }
    }
    /// Lengths of the order of a vehicle: m or ft.
    pub fn span(self, m: f64) -> String {
        match self {
            Self::Si => format!("{} m", decimals(m, 2)),
            Self::Us => format!("{} ft", decimals(m / (12.0 * INCH_M), 1)),
        }
    }
    /// Forces: N below 1 kN, kN above, or lbf.
    pub fn force(self, n: f64) -> String {
        match self {
            Self::Si if n.abs() < 1000.0 => format!("{} N", decimals(n, 0)),
            Self::Si => format!("{} kN", decimals(n / 1e3, 1)),
            Self::Us => format!("{} lbf", decimals(n / POUND_FORCE_N, 0)),
        }
    }
    /// Loads that a crew thinks of as weight: the force and, in SI, the mass that weighs as much, to
    /// two figures. In US units the pound-force says both.
    pub fn load(self, n: f64) -> String {
        let kg = n.abs() / GRAVITY_M_S2;
        let mass = match self {
            Self::Us => return self.force(n),
            Self::Si if kg < 0.5 => return self.force(n),
            Self::Si if kg < 9.95 => format!("{kg:.1} kg"),
            Self::Si if kg < 99.5 => format!("{kg:.0} kg"),
            Self::Si if kg < 995.0 => format!("{:.0} kg", 10.0 * (kg / 10.0).round()),
            Self::Si => format!("{:.1} t", kg / 1e3),
        };
        format!("{} ({mass})", self.force(n))
    }
    /// Gauge pressures: bar or psi.
    pub fn pressure(self, pa: f64) -> String {
        match self {
            Self::Si => format!("{} bar", decimals(pa / 1e5, 2)),
            Self::Us => format!("{} psi", decimals(pa / PSI_PA, 0)),
        }
    }
    /// Masses: kg or lb.
    pub fn mass(self, kg: f64) -> String {
        match self {
            Self::Si => format!("{} kg", decimals(kg, 0)),
            Self::Us => format!("{} lb", decimals(kg / POUND_KG, 0)),
        }
    }
    /// Stress in timber: MPa or psi.
    pub fn stress(self, pa: f64) -> String {
        match self {
            Self::Si if pa >= 1e9 => format!("{:.1} GPa", pa / 1e9),
            Self::Si => format!("{:.2} MPa", pa / 1e6),
            Self::Us if pa >= 1e9 => format!("{:.2} million psi", pa / PSI_PA / 1e6),
            Self::Us => format!("{:.0} psi", pa / PSI_PA),
        }
    }
    /// Pressure on the ground: kPa or psf.
    pub fn ground_pressure(self, pa: f64) -> String {
        match self {
            Self::Si => format!("{:.0} kPa", pa / 1e3),
            Self::Us => format!("{:.0} psf", pa / PSI_PA * 144.0),
        }
    }
    /// Moments: kN m or lbf ft.
    pub fn moment(self, nm: f64) -> String {
        match self {
            Self::Si => format!("{:.2} kN m", nm / 1e3),
            Self::Us => format!("{:.0} lbf ft", nm / (POUND_FORCE_N * 12.0 * INCH_M)),
        }
    }
    /// Areas: m² or square feet.
    pub fn area(self, m2: f64) -> String {
        match self {
            Self::Si => format!("{m2:.3} m²"),
            Self::Us => format!("{:.2} ft²", m2 / (12.0 * INCH_M).powi(2)),
        }
    }
    /// Free air: litres or cubic feet.
    pub fn free_air(self, m3: f64) -> String {
        match self {
            Self::Si if m3 < 0.01 => format!("{:.1} L", m3 * 1e3),
            Self::Si => format!("{:.0} L", m3 * 1e3),
            Self::Us if m3 < 0.01 => format!("{:.2} ft³", m3 / 0.028_316_846_592),
            Self::Us => format!("{:.1} ft³", m3 / 0.028_316_846_592),
        }
    }
    /// A quantity of a kind, as above; shares in per cent.
    pub fn show(self, dimension: Dimension, si: f64) -> String {
        match dimension {
            Dimension::Length => self.gap(si),
            Dimension::Mass => self.mass(si),
            Dimension::Angle => self.angle(si),
            Dimension::Pressure => self.pressure(si),
            Dimension::Stress => self.stress(si),
            Dimension::Force => self.force(si),
            Dimension::Volume => self.free_air(si),
            Dimension::Time => format!("{} s", decimals(si, 1)),
            Dimension::Fraction => format!("{} %", decimals(100.0 * si, 0)),
            Dimension::Inertia | Dimension::Stiffness | Dimension::Conductance => {
                dimension.show(si)
            }
        }
    }
    /// Speeds of a load that comes down: m/s or ft/s.
    pub fn speed(self, m_s: f64) -> String {
        match self {
            Self::Si => format!("{} m/s", decimals(m_s, 2)),
            Self::Us => format!("{} ft/s", decimals(m_s / (12.0 * INCH_M), 1)),
        }
    }
    /// Angles are degrees in both systems.
    pub fn angle(self, rad: f64) -> String {
        format!("{}°", decimals(rad.to_degrees(), 1))
    }
}

impl fmt::Display for UnitSystem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Si => "si",
            Self::Us => "us",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Held against NIST SP 811 appendix B.8: 1 in = 25.4 mm, 1 lb = 0.45359237 kg,
    /// 1 lbf = 4.448222 N, 1 psi = 6.894757 kPa.
    #[test]
    fn val_units_against_nist_sp_811() {
        for (text, dimension, si) in [
            ("48 in", Dimension::Length, 1.2192),
            ("8 ft", Dimension::Length, 2.4384),
            ("1lb", Dimension::Mass, 0.453_592_37),
            ("1 lbf", Dimension::Force, 4.448_222),
            ("1 psi", Dimension::Pressure, 6894.757),
            ("-6 deg", Dimension::Angle, -0.104_719_755),
            ("1.5e2 mm", Dimension::Length, 0.15),
            ("40 %", Dimension::Fraction, 0.4),
        ] {
            assert_relative_eq!(parse(text, dimension).unwrap(), si, max_relative = 1e-6);
        }
    }

    #[test]
    fn nothing_is_shown_as_minus_nothing() {
        assert_eq!(UnitSystem::Si.gap(-0.0), "0 mm");
        assert_eq!(UnitSystem::Si.force(-0.3), "0 N");
        assert_eq!(UnitSystem::Si.force(-4.6), "-5 N");
        assert_eq!(UnitSystem::Us.gap(-0.001), "-0.04 in");
    }

    /// A kilogram weighs 9.80665 N.
    #[test]
    fn val_a_load_is_a_force_and_the_mass_that_weighs_as_much() {
        let si = |n| UnitSystem::Si.load(n);
        assert_eq!(si(49.0 * 9.80665), "481 N (49 kg)");
        assert_eq!(si(-20.0 * 9.80665), "-196 N (20 kg)");
        assert_eq!(si(453.0 * 9.80665), "4.4 kN (450 kg)");
        assert_eq!(si(998.0 * 9.80665), "9.8 kN (1.0 t)");
        assert_eq!(si(1320.0 * 9.80665), "12.9 kN (1.3 t)");
        assert_eq!([si(0.0), si(-0.0), si(4.0)], ["0 N", "0 N", "4 N"]);
        assert_eq!(UnitSystem::Us.load(448.2222), "101 lbf");
    }

    /// Shown figures, held against NIST SP 811 appendix B.8: 1 psf = 47.88026 Pa,
    /// 1 lbf ft = 1.355818 N m, 1 ft² = 0.09290304 m², 1 ft³ = 28.31685 L.
    #[test]
    fn val_shown_figures_against_nist_sp_811() {
        let us = UnitSystem::Us;
        assert_eq!(us.ground_pressure(1500.0 * 47.88026), "1500 psf");
        assert_eq!(us.moment(100.0 * 1.355818), "100 lbf ft");
        assert_eq!(us.area(0.092_903_04), "1.00 ft²");
        assert_eq!(us.free_air(0.283_168_5), "10.0 ft³");
        assert_eq!(us.stress(500.0 * 6894.757), "500 psi");
        assert_eq!(us.stress(1.6e6 * 6894.757), "1.60 million psi");
        let si = UnitSystem::Si;
        assert_eq!([si.stress(3.45e6), si.stress(11.03e9)], ["3.45 MPa", "11.0 GPa"]);
        assert_eq!([si.free_air(6.8e-3), si.free_air(1.827)], ["6.8 L", "1827 L"]);
        assert_eq!([si.ground_pressure(71.8e3), si.moment(1620.0)], ["72 kPa", "1.62 kN m"]);
    }

    #[test]
    fn a_limit_is_told_in_the_unit_that_was_typed() {
        let length = Dimension::Length;
        assert_eq!(length.show_beside("500 mm", 0.4), "400 mm");
        assert_eq!(length.show_beside("30 in", 0.0254), "1 in");
        assert_eq!(length.show_beside("9 m", 0.4), "0.4 m");
        assert_eq!(Dimension::Pressure.show_beside("9 kPa", 1e5), "100 kPa");
    }

    #[test]
    fn a_wrong_quantity_says_how_to_write_it() {
        assert!(parse("48", Dimension::Length).unwrap_err().to_string().contains("has no unit"));
        assert!(
            parse("48 kg", Dimension::Length).unwrap_err().to_string().contains("use one of m, mm")
        );
        assert!(parse("NaN m", Dimension::Length).unwrap_err().to_string().contains("number"));
        assert!(parse("1e999 m", Dimension::Length).unwrap_err().to_string().contains("too large"));
        assert!(parse("", Dimension::Mass).is_err());
    }
}

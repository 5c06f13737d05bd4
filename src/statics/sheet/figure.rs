//! A number of the sheet with what it measures, and a limit to it.

use crate::units::UnitSystem;

/// A number with what it measures, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Figure {
    Force(f64),
    Mass(f64),
    /// A length of the order of a gap.
    Gap(f64),
    /// A length of the order of a vehicle.
    Span(f64),
    /// Gauge pressure of air.
    Air(f64),
    /// Stress in timber.
    Stress(f64),
    /// Pressure on the ground.
    Ground(f64),
    Angle(f64),
    Moment(f64),
    Area(f64),
    /// Free air.
    Volume(f64),
    Time(f64),
    /// A time that a crew works, s, told in minutes.
    Work(f64),
    /// A plain ratio or a count.
    Number(f64),
}

impl Figure {
    pub fn value(self) -> f64 {
        match self {
            Self::Force(v)
            | Self::Mass(v)
            | Self::Gap(v)
            | Self::Span(v)
            | Self::Air(v)
            | Self::Stress(v)
            | Self::Ground(v)
            | Self::Angle(v)
            | Self::Moment(v)
            | Self::Area(v)
            | Self::Volume(v)
            | Self::Time(v)
            | Self::Work(v)
            | Self::Number(v) => v,
        }
    }

    /// The SI unit of [`Self::value`].
    pub fn unit(self) -> &'static str {
        match self {
            Self::Force(_) => "N",
            Self::Mass(_) => "kg",
            Self::Gap(_) | Self::Span(_) => "m",
            Self::Air(_) | Self::Stress(_) | Self::Ground(_) => "Pa",
            Self::Angle(_) => "rad",
            Self::Moment(_) => "N m",
            Self::Area(_) => "m2",
            Self::Volume(_) => "m3",
            Self::Time(_) | Self::Work(_) => "s",
            Self::Number(_) => "1",
        }
    }

    /// As the reader is used to it.
    pub fn show(self, units: UnitSystem) -> String {
        if !self.value().is_finite() {
            return "without bound".into();
        }
        match self {
            Self::Force(v) => units.force(v),
            Self::Mass(v) => units.mass(v),
            Self::Gap(v) => units.gap(v),
            Self::Span(v) => units.span(v),
            Self::Air(v) => units.pressure(v),
            Self::Stress(v) => units.stress(v),
            Self::Ground(v) => units.ground_pressure(v),
            Self::Angle(v) => units.angle(v),
            Self::Moment(v) => units.moment(v),
            Self::Area(v) => units.area(v),
            Self::Volume(v) => units.free_air(v),
            Self::Time(v) => format!("{v:.0} s"),
            Self::Work(v) => format!("{:.0} min", v / 60.0),
            Self::Number(v) if v.fract().abs() < 1e-9 => format!("{v:.0}"),
            Self::Number(v) => format!("{v:.2}"),
        }
    }
}

/// Which way a limit works.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    AtMost(Figure),
    AtLeast(Figure),
}

impl Limit {
    pub fn figure(self) -> Figure {
        match self {
            Self::AtMost(f) | Self::AtLeast(f) => f,
        }
    }

    /// Share of the limit that is left at a value; negative past it.
    pub(super) fn left(self, value: f64) -> f64 {
        let limit = self.figure().value();
        if !limit.is_finite() {
            return 1.0;
        }
        let room = match self {
            Self::AtMost(_) => limit - value,
            Self::AtLeast(_) => value - limit,
        };
        // A share of zero is undefined: a limit of zero is either kept or missed.
        if limit == 0.0 { if room < 0.0 { -1.0 } else { 1.0 } } else { room / limit.abs() }
    }
}

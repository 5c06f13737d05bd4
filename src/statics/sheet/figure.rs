//! A number of the sheet with what it measures, and a limit to it.

use crate::units::{UnitSystem, percent};

/// A number with what it measures, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Figure {
    Force(f64),
    /// A force that a crew thinks of as weight, N.
    Load(f64),
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
            | Self::Load(v)
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
            Self::Force(_) | Self::Load(_) => "N",
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
            Self::Load(v) => units.load(v),
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

    /// What is left of a limit that is not zero at a value, as people say it: "58 % to spare",
    /// "4 % over", "12 times the limit", "30 % short".
    pub(super) fn say_left(self, value: f64) -> String {
        let left = self.left(value);
        let past = match self {
            Self::AtMost(_) => "over",
            Self::AtLeast(_) => "short",
        };
        let times = |share: f64| format!("{share:.*}", usize::from(share < 9.95));
        match (self, left) {
            (Self::AtLeast(_), left) if left > 1.0 => {
                format!("{} times the need", times(1.0 + left))
            }
            (_, left) if left >= 0.005 => format!("{} to spare", percent(left.min(1.0))),
            (_, left) if left >= 0.0 => "only just".to_owned(),
            (_, left) if left > -0.005 => format!("just {past}"),
            (Self::AtMost(_), left) if left <= -1.0 => {
                format!("{} times the limit", times(1.0 - left))
            }
            (Self::AtLeast(_), left) if left < -1.0 => {
                format!("short by {} times the need", times(-left))
            }
            _ => format!("{} {past}", percent(-left)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Below a limit people say what is to spare, past it by how much, far past it how many times.
    #[test]
    fn what_is_left_of_a_limit_is_said_as_people_say_it() {
        let most = |n| Limit::AtMost(Figure::Force(100.0)).say_left(n);
        let least = |n| Limit::AtLeast(Figure::Force(100.0)).say_left(n);
        for (said, found) in [
            ("58 % to spare", most(42.0)),
            ("100 % to spare", most(-30.0)),
            ("only just", most(99.9)),
            ("just over", most(100.1)),
            ("4 % over", most(104.0)),
            ("99 % over", most(199.0)),
            ("2.5 times the limit", most(250.0)),
            ("12 times the limit", most(1158.0)),
            ("40 % to spare", least(140.0)),
            ("3.0 times the need", least(300.0)),
            ("30 % short", least(70.0)),
            ("100 % short", least(0.0)),
            ("short by 1.5 times the need", least(-50.0)),
        ] {
            assert_eq!(found, said);
        }
    }
}

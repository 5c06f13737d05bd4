//! A strut stands steep enough to bear.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::snapshot::PartKind;
use crate::units::Dimension;

/// A flatter strut pushes its foot outwards harder than it holds the vehicle up, rad: 45 deg.
const LEAST_RAD: f64 = std::f64::consts::FRAC_PI_4;

pub(super) static RULE: Rule = Rule {
    word: "strut_angle",
    asks: "a strut stands steep enough to bear",
    unit: Unit::Si(Dimension::Angle),
    limit: RuleLimit::AtLeast(LEAST_RAD),
    takes: "the angle between the ground and the line from a strut's foot to what its head is \
            aimed at; at 45° it pushes its foot outwards as hard as it holds the vehicle up",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "{} stood at {} to the ground (at least {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let Some(now) = record.set_up() else { return Vec::new() };
    let struts = record.scene.struts.iter().enumerate();
    let stands = struts.map(|(i, strut)| (i, strut, strut.to_ground_rad()));
    let flat = stands.filter(|(.., rad)| *rad < LEAST_RAD);
    flat.map(|(i, strut, rad)| {
        let place = record.place_of(PartKind::StrutFoot(i), now);
        RULE.point((now.t_s, &strut.name, place), Some(rad), LEAST_RAD)
    })
    .collect()
}

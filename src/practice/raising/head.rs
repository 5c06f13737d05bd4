//! Nobody's head lies under a load that air holds.

use crate::practice::record::{Record, passes};
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::{BodyPart, FreePart, free_parts};
use crate::units::Dimension;

/// An edge less high than this over the ground is over a head, m (taken: about the height of the
/// belt line of a car on its roof).
const LEAST_M: f64 = 1.0;

pub(super) static RULE: Rule = Rule {
    word: "head",
    asks: "nobody's head lies under a load that air holds",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtLeast(LEAST_M),
    takes: "while air bears, the least room between the ground under a head and the vehicle \
            straight above it; heads in the vehicle or already under it are left out",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "the {} lay under the load while air held it, with the vehicle {} over the ground there \
             (at least {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let parts = free_parts(record.scene);
    let heads: Vec<(usize, &FreePart)> =
        parts.iter().enumerate().filter(|(_, part)| part.part == BodyPart::Head).collect();
    // Head and neck lie one behind the other, under one name.
    let first_of = |(_, head): &&(usize, &FreePart)| {
        heads.iter().find(|(_, other)| other.name == head.name).map(|(_, first)| first.at)
            == Some(head.at)
    };
    let points = heads.iter().filter(first_of).filter_map(|(_, head)| {
        let of_it = || heads.iter().filter(|(_, other)| other.name == head.name);
        // By how much the room falls short of the limit.
        let moments = record.lift().filter_map(|now| {
            record.bearing_bag(now)?;
            let rooms = of_it().filter_map(|(i, _)| now.over_people_m.get(*i)).copied();
            Some((now, (), LEAST_M - rooms.reduce(f64::min)?))
        });
        let (now, (), short_m) = passes(0.0, moments)?;
        Some(RULE.point((now.t_s, &head.name, head.at), Some(LEAST_M - short_m), LEAST_M))
    });
    points.collect()
}

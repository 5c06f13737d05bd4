//! A pad lies between a bag and sheet metal.

use crate::practice::record::{BEARS_N, Record, passes};
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::Bag;
use crate::snapshot::{PartKind, Snapshot};
use crate::units::Dimension;

pub(super) static RULE: Rule = Rule {
    word: "pad",
    asks: "a pad or a wedge lies between a bag and sheet metal",
    unit: Unit::Si(Dimension::Force),
    limit: RuleLimit::AtMost(BEARS_N),
    takes: "what the vehicle presses on a bag's own face",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "{} bore up to {} on bare sheet metal, with no pad between them (limit {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let bags = record.scene.bags.iter().enumerate();
    let point = |(bag, spec): (usize, &Bag)| {
        let face = PartKind::BagFace { bag, upper: true };
        let id = record.parts.iter().position(|part| part.kind == face)?;
        let moments = record.history.iter().map(|now| (*now, (), bare_n(record, id, now)));
        let (now, (), most_n) = passes(BEARS_N, moments)?;
        let place = record.place_of(face, now);
        Some(RULE.point((now.t_s, &spec.name, place), Some(most_n), BEARS_N))
    };
    bags.filter_map(point).collect()
}

/// What the vehicle presses on a part at a moment, N.
fn bare_n(record: &Record<'_>, id: usize, now: &Snapshot) -> f64 {
    let is_vehicle = |part: usize| record.parts.get(part).is_some_and(|p| p.kind.is_vehicle());
    let between = |on: usize, by: Option<usize>| {
        (on == id && by.is_some_and(is_vehicle)) || (by == Some(id) && is_vehicle(on))
    };
    let loads = now.loads.iter().filter(|load| between(load.on, load.by));
    loads.map(|load| load.force[1].abs()).sum()
}

//! No bag gets more than its working pressure from the regulator.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::Order;
use crate::snapshot::PartKind;
use crate::units::Dimension;

/// Pressures that differ by less than this are the same, Pa: a gauge tells no finer.
const SAME_PA: f64 = 1e3;

pub(super) static RULE: Rule = Rule {
    word: "regulator",
    asks: "the regulator gives no bag more than its working pressure",
    unit: Unit::Si(Dimension::Pressure),
    limit: RuleLimit::OfThePart("at most the bag's working pressure"),
    takes: "what the regulator is set to, beside the least working pressure of the bags that a \
            hose went to",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "the regulator stood at {}, and {} is made for {}",
            point.shown(u),
            point.part,
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let Some(now) = record.set_up() else { return Vec::new() };
    let (bags, air) = (&record.scene.bags, &record.scene.air);
    let at_first = air.outlets.iter().flat_map(|outlet| outlet.bags());
    let moved = record.orders().filter_map(|(_, order)| match order {
        Order::MoveHose { to, .. } => Some(*to),
        _ => None,
    });
    let weakest =
        at_first.chain(moved).min_by(|a, b| bags[*a].working_pa.total_cmp(&bags[*b].working_pa));
    let point = weakest.and_then(|bag| {
        let limit_pa = bags[bag].working_pa;
        let place = record.place_of(PartKind::BagFace { bag, upper: true }, now);
        (air.regulator_pa > limit_pa + SAME_PA).then(|| {
            RULE.point((now.t_s, &bags[bag].name, place), Some(air.regulator_pa), limit_pa)
        })
    });
    point.into_iter().collect()
}

//! A bag stays below the pressure at which its relief valve opens.

use crate::practice::record::{Record, passes};
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::Bag;
use crate::snapshot::PartKind;
use crate::units::Dimension;

/// A bag this near to its working pressure has come to it, Pa: a gauge tells no finer. It never
/// holds more, because its relief valve lets go there.
const SAME_PA: f64 = 1e3;

pub(super) static RULE: Rule = Rule {
    word: "bag_pressure",
    asks: "a bag stays below its working pressure, at which its relief valve opens",
    unit: Unit::Si(Dimension::Pressure),
    limit: RuleLimit::OfThePart("less than the bag's working pressure, by 0.01 bar or more"),
    takes: "the largest pressure in each bag",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "{} reached {} (limit {}): its relief valve opens there",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let bags = record.scene.bags.iter().enumerate();
    let point = |(bag, spec): (usize, &Bag)| {
        let moments = record
            .history
            .iter()
            .filter_map(|now| Some((*now, (), now.bags.get(bag)?.gauge_pa + SAME_PA)));
        let (now, (), most_pa) = passes(spec.working_pa, moments)?;
        let place = record.place_of(PartKind::BagFace { bag, upper: true }, now);
        let figure = Some(most_pa - SAME_PA);
        Some(RULE.point((now.t_s, &spec.name, place), figure, spec.working_pa))
    };
    bags.filter_map(point).collect()
}

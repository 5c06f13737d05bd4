//! No bag holds more than its working pressure.

use crate::practice::record::{Record, passes};
use crate::practice::rule::{COMMON, Limit, Point, Rule, Unit};
use crate::scene::Bag;
use crate::snapshot::PartKind;
use crate::units::Dimension;

/// A relief valve that begins to open is no point, Pa: a gauge tells no finer.
const SAME_PA: f64 = 1e3;

pub(super) static RULE: Rule = Rule {
    word: "bag_pressure",
    asks: "no bag holds more than its working pressure",
    unit: Unit::Si(Dimension::Pressure),
    limit: Limit::OfThePart("at most the bag's working pressure"),
    takes: "the largest pressure in each bag; its relief valve opens at its working pressure",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "{} held up to {}, and is made for {}",
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
            .filter_map(|now| Some((*now, (), now.bags.get(bag)?.gauge_pa - SAME_PA)));
        let (now, (), most_pa) = passes(spec.working_pa, moments)?;
        let place = record.place_of(PartKind::BagFace { bag, upper: true }, now);
        let figure = Some(most_pa + SAME_PA);
        Some(RULE.point((now.t_s, &spec.name, place), figure, spec.working_pa))
    };
    bags.filter_map(point).collect()
}

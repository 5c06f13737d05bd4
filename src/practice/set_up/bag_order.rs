//! Of two bags, the larger lies below.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::{Bag, CarriedBy};
use crate::snapshot::PartKind;
use crate::units::Dimension;

/// The upper bag is no larger than the lower one.
const MOST: f64 = 1.0;

pub(super) static RULE: Rule = Rule {
    word: "bag_order",
    asks: "of two bags on each other, the larger lies below",
    unit: Unit::Si(Dimension::Fraction),
    limit: RuleLimit::AtMost(MOST),
    takes: "the area of the upper bag as a share of that of the lower one, both laid flat; they \
            always lie middle on middle here",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "{} is {} as large as the bag under it (limit {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let Some(now) = record.set_up() else { return Vec::new() };
    let bags = &record.scene.bags;
    let area_m2 = |bag: &Bag| bag.size[0] * bag.size[1];
    let point = |(i, bag): (usize, &Bag)| {
        let CarriedBy::Bag(below) = bag.on else { return None };
        let share = area_m2(bag) / area_m2(&bags[below]);
        let place = record.place_of(PartKind::BagFace { bag: i, upper: true }, now);
        (share > MOST).then(|| RULE.point((now.t_s, &bag.name, place), Some(share), MOST))
    };
    bags.iter().enumerate().filter_map(point).collect()
}

//! A bag's shut-off is closed before its hose comes off.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::snapshot::PartKind;
use crate::units::Dimension;

pub(super) static RULE: Rule = Rule {
    word: "shut_off",
    asks: "a bag's shut-off is closed before its hose comes off",
    unit: Unit::Si(Dimension::Pressure),
    limit: RuleLimit::AtMost(0.0),
    takes: "what a bag holds that is left without a hose and with its shut-off open",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "{} held {} when it was left without a hose and with its shut-off open",
            point.part,
            point.shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let left = record.records.iter().flat_map(|r| r.left_open.iter().map(|open| (r.t_s, open)));
    let point = |(t_s, open): (f64, &crate::snapshot::LeftOpen)| {
        let now = record.at(t_s)?;
        let place = record.place_of(PartKind::BagFace { bag: open.bag, upper: true }, now);
        let name = record.scene.bags[open.bag].name.as_str();
        Some(RULE.point((t_s, name, place), Some(open.gauge_pa), 0.0))
    };
    left.filter_map(point).collect()
}

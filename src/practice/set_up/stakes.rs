//! Stakes are driven only where the ground takes them.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::snapshot::PartKind;
use crate::tables::stake_holds_n;

pub(super) static RULE: Rule = Rule {
    word: "stakes",
    asks: "stakes are driven only where the ground takes them",
    unit: Unit::Number,
    limit: RuleLimit::AtMost(0.0),
    takes: "chocks and feet of struts that are staked into asphalt or concrete",
    source: COMMON,
    find,
    say: |point, scene, u| {
        format!(
            "chocks and feet of struts staked into {}, which takes no stake: {}",
            scene.ground.surface,
            point.shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (scene, ground) = (record.scene, &record.scene.ground);
    if stake_holds_n(ground.surface, ground.soil, ground.wet).is_some() {
        return Vec::new();
    }
    let chocks = scene.chocks.iter().enumerate().filter(|(_, chock)| chock.staked);
    let chocks = chocks.filter_map(|(i, chock)| {
        Some((record.chock_set_s(i)?, chock.name.as_str(), PartKind::Chock(i)))
    });
    let struts = scene.struts.iter().enumerate().filter(|(_, strut)| strut.staked);
    let struts = struts.map(|(i, strut)| (0.0, strut.name.as_str(), PartKind::StrutFoot(i)));
    let staked: Vec<(f64, &str, PartKind)> = chocks.chain(struts).collect();
    let first = staked.iter().min_by(|a, b| a.0.total_cmp(&b.0));
    let point = first.and_then(|&(set_s, name, kind)| {
        let place = record.place_of(kind, record.at(set_s)?);
        Some(RULE.point((set_s, name, place), Some(staked.len() as f64), 0.0))
    });
    point.into_iter().collect()
}

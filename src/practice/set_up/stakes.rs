//! Stakes are driven only where the ground takes them.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Limit, Point, Rule, Unit};
use crate::snapshot::PartKind;
use crate::tables::stake_holds_n;

pub(super) static RULE: Rule = Rule {
    word: "stakes",
    asks: "stakes are driven only where the ground takes them",
    unit: Unit::Number,
    limit: Limit::AtMost(0.0),
    takes: "chocks that are staked into asphalt or concrete",
    source: COMMON,
    find,
    say: |point, scene, u| {
        format!(
            "chocks staked into {}, which takes no stake: {}",
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
    let set: Vec<(usize, f64)> =
        chocks.filter_map(|(i, _)| Some((i, record.chock_set_s(i)?))).collect();
    let first = set.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1));
    let point = first.and_then(|(i, set_s)| {
        let place = record.place_of(PartKind::Chock(i), record.at(set_s)?);
        let at = (set_s, scene.chocks[i].name.as_str(), place);
        Some(RULE.point(at, Some(set.len() as f64), 0.0))
    });
    point.into_iter().collect()
}

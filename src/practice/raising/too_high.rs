//! The load is lifted no higher than needed.

use crate::practice::record::{Record, passes};
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::Limb;
use crate::units::Dimension;

/// More than the gap that is needed, m (taken: room for one more layer of 2x4 and its wedges).
const LIMIT_M: f64 = 0.050;

pub(super) static RULE: Rule = Rule {
    word: "too_high",
    asks: "the load is lifted no higher than needed",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtMost(LIMIT_M),
    takes: "by how much the shortest gap of all exceeded its limb's need; the need is the \
            scene's gap, or the limb's thickness and the working clearance where that is more",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "the load was lifted until even {} had {} more than it needs (limit {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let scene = record.scene;
    let needed_m = |limb: &Limb| limb.gap_needed_m.max(limb.thickness_m + scene.aims.clearance_m);
    let moments = record.history.iter().filter_map(|now| {
        let limbs = scene.limbs.iter().zip(&now.limbs).enumerate();
        let spare = limbs.map(|(i, (limb, state))| (i, state.gap_m - needed_m(limb)));
        let (limb, spare_m) = spare.min_by(|a, b| a.1.total_cmp(&b.1))?;
        Some((*now, limb, spare_m))
    });
    let point = passes(LIMIT_M, moments).map(|(now, i, most_m)| {
        let limb = &scene.limbs[i];
        let place = [limb.at[0], limb.thickness_m / 2.0, limb.at[1]];
        RULE.point((now.t_s, &limb.name, place), Some(most_m), LIMIT_M)
    });
    point.into_iter().collect()
}

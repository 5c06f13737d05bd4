//! Nobody lies at the end under a load that nothing but air keeps off them.

use crate::practice::record::{Record, unheld_m};
use crate::practice::rule::{Point, Rule, RuleLimit, Unit};
use crate::units::Dimension;

/// Wedges that were driven snug seat by less than this, m (assumed).
const SEATS_M: f64 = 0.010;

pub(super) static RULE: Rule = Rule {
    word: "under_air",
    asks: "nobody lies at the end under a load that only air keeps off them",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::OfThePart("at most the room over the limb, or 10 mm where that is less"),
    takes: "how far the load would come down onto the nearest capture stack without air, beside \
            the least room over a limb; wedges seat by less than 10 mm",
    source: "EN 13731:2007, introduction, for timber beside bags; the rest is common practice, no \
             source",
    find,
    say: |point, _, u| {
        format!(
            "at the end the load would come down {} onto {} without its air (limit {})",
            point.shown(u),
            point.part,
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let Some(end) = record.end else { return Vec::new() };
    let limbs = record.scene.limbs.iter().zip(&end.limbs);
    let room = limbs.map(|(limb, state)| (limb, (state.gap_m - limb.thickness_m).max(0.0)));
    let Some((limb, room_m)) = room.min_by(|a, b| a.1.total_cmp(&b.1)) else { return Vec::new() };
    let limit_m = room_m.max(SEATS_M);
    let falls_m = unheld_m(end);
    let on_air = record.bearing_bag(end).is_some();
    let place = [limb.at[0], limb.thickness_m / 2.0, limb.at[1]];
    (on_air && falls_m > limit_m)
        .then(|| RULE.point((end.t_s, &limb.name, place), Some(falls_m), limit_m))
        .into_iter()
        .collect()
}

//! What was lifted rests on timber at the end.

use crate::practice::record::{ON_TIMBER, Record};
use crate::practice::rule::{Point, Rule, RuleLimit, Unit};
use crate::units::Dimension;

pub(super) static RULE: Rule = Rule {
    word: "on_timber",
    asks: "what was lifted rests on timber at the end",
    unit: Unit::Si(Dimension::Fraction),
    limit: RuleLimit::AtLeast(ON_TIMBER),
    takes: "what capture stacks bear at the end, as a share of what they and the bags bear; \
            four fifths are taken, so that air is a back-up only",
    source: "EN 13731:2007, introduction, for timber beside bags; the share is common practice, no \
             source",
    find,
    say: |point, _, u| {
        format!(
            "{} of what was lifted rested on timber at the end, and the rest on air (at least {})",
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let Some(end) = record.end else { return Vec::new() };
    let share = record.share_on_timber(end).filter(|share| *share < ON_TIMBER);
    let at = (end.t_s, record.scene.vehicle.name.as_str(), end.vehicle.com);
    share.map(|share| RULE.point(at, Some(share), ON_TIMBER)).into_iter().collect()
}

//! On ground that falls sideways the low side of the vehicle is held.

use crate::practice::going::braces;
use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};

/// One strap or strut at least.
const LEAST: f64 = 1.0;
/// A slope from which friction is not relied on, rad: 3 deg (assumed). It pulls with a twentieth of
/// the weight. What stays on the ground in a lift may be a third of that weight, and wet grass that
/// slides holds a seventh of what presses on it.
const SLOPE_RAD: f64 = 3.0 * std::f64::consts::PI / 180.0;

pub(super) static RULE: Rule = Rule {
    word: "low_side",
    asks: "on ground that falls sideways the vehicle is held against going down it",
    unit: Unit::Number,
    limit: RuleLimit::AtLeast(LEAST),
    takes: "where the ground falls by 3° or more the way that no chock reaches; straps to the \
            ground on the high side count, and struts that lean against the low side, their feet \
            tied or staked; timber under the vehicle holds by friction alone and does not",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "straps and struts that held the vehicle against going sideways downhill: {} (at \
             least {})",
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (Some(now), scene) = (record.set_up(), record.scene) else { return Vec::new() };
    // Chocks reach along X, and along Z where the vehicle lies on its side.
    let axis = usize::from(!scene.lies.on_side());
    let slope_rad = [scene.ground.slope_rad, scene.ground.cross_slope_rad][axis];
    if scene.bags.is_empty() || slope_rad.abs() < SLOPE_RAD {
        return Vec::new();
    }
    let count = braces(record, now, axis, slope_rad) as f64;
    let at = (now.t_s, scene.vehicle.name.as_str(), now.vehicle.com);
    (count < LEAST).then(|| RULE.point(at, Some(count), LEAST)).into_iter().collect()
}

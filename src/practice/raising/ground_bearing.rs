//! A stack presses on the ground no harder than it bears.

use crate::practice::record::{Record, passes};
use crate::practice::rule::{Point, Rule, RuleLimit, Unit};
use crate::scene::Ground;
use crate::snapshot::{PartKind, Snapshot};
use crate::tables::BEARING_SAFETY;

/// What is kept of what soil bears at most: one half (assumed). A building keeps a third, for
/// good; a lift is over in minutes.
const RESERVE: f64 = 2.0;

pub(super) static RULE: Rule = Rule {
    word: "ground_bearing",
    asks: "a stack presses on the ground no harder than it bears, or stands on a sole plate",
    unit: Unit::OnGround,
    limit: RuleLimit::OfThePart(
        "at most half of what the soil bears: 108 kPa on grass, 215 kPa on gravel",
    ),
    takes: "the greatest load of a stack, a capture stack or a step chock; it is spread over the \
            lowest timbers and the stiff part of the sole plate, or over all of the step chock; \
            pavement is left out",
    source: "IBC table 1806.2 (2012), presumptive values, three times which soil bears at most \
             (assumed); that half of that is enough for a lift is common practice, no source",
    find,
    say: |point, _, u| {
        format!(
            "{} pressed on the ground with up to {} (limit {})",
            point.part,
            point.shown(u),
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let scene = record.scene;
    let Some(limit_pa) = limit_pa(&scene.ground) else { return Vec::new() };
    let point = |name: &str, kind: PartKind, pressure_pa: &dyn Fn(&Snapshot) -> Option<f64>| {
        let moments = record.history.iter().filter_map(|now| Some((*now, (), pressure_pa(now)?)));
        let (now, (), most_pa) = passes(limit_pa, moments)?;
        let place = record.place_of(kind, now);
        Some(RULE.point((now.t_s, name, place), Some(most_pa), limit_pa))
    };
    let stacks = scene.stacks.iter().enumerate().filter_map(|(i, stack)| {
        let kind = PartKind::StackTimber { stack: i, layer: 0 };
        let pressure_pa =
            |now: &Snapshot| Some(now.stacks.get(i)?.load_n / stack.bearing_area_m2());
        point(&stack.name, kind, &pressure_pa)
    });
    let captures = scene.captures.iter().enumerate().filter_map(|(i, capture)| {
        let kind = PartKind::CaptureTimber { capture: i, layer: 0 };
        let pressure_pa =
            |now: &Snapshot| Some(now.captures.get(i)?.load_n / capture.bearing_area_m2());
        point(&capture.name, kind, &pressure_pa)
    });
    let steps = scene.step_chocks.iter().enumerate().filter_map(|(i, chock)| {
        let [x, z] = chock.size_m();
        let pressure_pa = |now: &Snapshot| Some(now.step_chocks.get(i)?.load_n / (x * z));
        point(&chock.name, PartKind::StepChock(i), &pressure_pa)
    });
    stacks.chain(captures).chain(steps).collect()
}

/// What the ground is taken to bear under a lift, Pa; none on pavement.
fn limit_pa(ground: &Ground) -> Option<f64> {
    let most_pa = match ground.soil {
        Some(bed) => bed.plateau_pa,
        None => BEARING_SAFETY * ground.surface.soil().bearing_pa?,
    };
    Some(most_pa / RESERVE)
}

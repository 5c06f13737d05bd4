//! Most of a bag lies under the load.

use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::{CarriedBy, Envelope, Solid};
use crate::snapshot::PartKind;
use crate::units::Dimension;

/// Three quarters of it.
const LEAST: f64 = 0.75;
/// A bag is looked at in so many spots along either side.
const SPOTS: usize = 20;
/// No vehicle reaches so far from the middle line, m.
const FAR_M: f64 = 10.0;

pub(super) static RULE: Rule = Rule {
    word: "bag_under",
    asks: "most of a bag lies under the load",
    unit: Unit::Si(Dimension::Fraction),
    limit: RuleLimit::AtLeast(LEAST),
    takes: "the share of a topmost bag, laid flat, that has the vehicle over it as it lies before \
            the lift, its windows counted in; a bag that bears a beam is left out",
    source: COMMON,
    find,
    say: |point, _, u| {
        format!(
            "{} of {} lay under the vehicle (at least {})",
            point.shown(u),
            point.part,
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let scene = record.scene;
    let (Some(now), Some(envelope)) = (record.set_up(), Envelope::new(&scene.vehicle, scene.lies))
    else {
        return Vec::new();
    };
    let bears_beam = |bag: usize| {
        scene.beam.as_ref().is_some_and(|beam| beam.pad_on(CarriedBy::Bag(bag)).is_some())
    };
    let point = |bag: usize| {
        let share = share_under(&envelope, record.bag_at(bag)?, scene.bags[bag].size);
        let place = record.place_of(PartKind::BagFace { bag, upper: true }, now);
        (share < LEAST)
            .then(|| RULE.point((now.t_s, &scene.bags[bag].name, place), Some(share), LEAST))
    };
    record.topmost_bags().filter(|bag| !bears_beam(*bag)).filter_map(point).collect()
}

/// The share of a level rectangle that has the vehicle above it, 0 to 1.
fn share_under(envelope: &Envelope<'_>, at: [f64; 2], size: [f64; 2]) -> f64 {
    let spot =
        |axis: usize, i: usize| at[axis] + size[axis] * ((i as f64 + 0.5) / SPOTS as f64 - 0.5);
    let spots = (0..SPOTS).flat_map(|i| (0..SPOTS).map(move |j| [spot(0, i), spot(1, j)]));
    // Some of it on either side: an open window is in the vehicle, too.
    let is_in = |[x, z]: [f64; 2], to_m: f64| {
        let strip = Solid { x: [x, x], z: [z.min(to_m), z.max(to_m)], top: 0.0 };
        envelope.underside_over(&strip).is_some()
    };
    let under = spots.filter(|spot| is_in(*spot, -FAR_M) && is_in(*spot, FAR_M)).count();
    under as f64 / (SPOTS * SPOTS) as f64
}

//! The void beside a limb that the lift can press is packed before the lift.

use crate::practice::beside::{BESIDE_M, apart_m};
use crate::practice::record::Record;
use crate::practice::rule::{COMMON, Point, Rule, RuleLimit, Unit};
use crate::scene::{Limb, Order};
use crate::units::Dimension;

/// A lift nearer than this to the centre of mass turns the vehicle about neither end, m
/// (assumed).
const MIDDLE_M: f64 = 0.1;

pub(super) static RULE: Rule = Rule {
    word: "packing",
    asks: "the void beside a limb beyond the centre of mass is packed before the first air",
    unit: Unit::Si(Dimension::Length),
    limit: RuleLimit::AtMost(BESIDE_M),
    takes: "from the limb's edge to the nearest void fill, step of a step chock, or capture \
            stack that was snug under the vehicle by then; a limb on the lifted side is guarded \
            by timber that follows",
    source: COMMON,
    find,
    say: |point, _, u| {
        let nearest = match point.figure {
            Some(_) => format!("the nearest packing stood {} from it", point.shown(u)),
            None => "there was none".to_owned(),
        };
        format!(
            "no packing stood beside {}, where the lift can press it: {nearest} (limit {})",
            point.part,
            point.limit_shown(u)
        )
    },
};

fn find(record: &Record<'_>) -> Vec<Point> {
    let (Some(now), Some((com, arm))) = (record.set_up(), record.lever()) else {
        return Vec::new();
    };
    let scene = record.scene;
    if arm[0].hypot(arm[1]) < MIDDLE_M {
        return Vec::new();
    }
    let snug = |capture: usize| {
        record.orders_of_set_up().any(
            |order| matches!(order, Order::Capture { captures } if captures.contains(&capture)),
        )
    };
    let fill = scene.void_fill.iter().map(|fill| (fill.at, [fill.length_m; 2]));
    let steps = scene.step_chocks.iter().map(|chock| (chock.at, chock.step_size_m()));
    let captures = scene.captures.iter().enumerate();
    let captures = captures.filter(|(i, capture)| !capture.is_under_beam() && snug(*i));
    let captures = captures.map(|(_, capture)| (capture.at, [capture.length_m; 2]));
    let packing: Vec<([f64; 2], [f64; 2])> = fill.chain(steps).chain(captures).collect();
    let pressed = |limb: &&Limb| (0..2).map(|i| (limb.at[i] - com[i]) * arm[i]).sum::<f64>() > 0.0;
    let point = |limb: &Limb| {
        let nearest = packing.iter().map(|&(at, sides_m)| apart_m(limb, at, sides_m));
        let nearest = nearest.reduce(f64::min);
        let place = [limb.at[0], limb.thickness_m / 2.0, limb.at[1]];
        nearest
            .is_none_or(|m| m > BESIDE_M)
            .then(|| RULE.point((now.t_s, &limb.name, place), nearest, BESIDE_M))
    };
    scene.limbs.iter().filter(pressed).filter_map(point).collect()
}

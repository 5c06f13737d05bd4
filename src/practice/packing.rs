//! The void beside a limb that the lift can press is packed before the lift.

use super::record::Record;
use super::rule::{COMMON, Limit, Point, Rule, Unit};
use crate::scene::{Limb, Order};
use crate::units::Dimension;

/// Packing this far from a limb is beside it, m (taken: the length of a short timber, 18 in).
const BESIDE_M: f64 = 0.457;
/// A lift nearer than this to the centre of mass turns the vehicle about neither end, m
/// (assumed).
const MIDDLE_M: f64 = 0.1;

pub(super) static RULE: Rule = Rule {
    word: "packing",
    asks: "the void beside a limb beyond the centre of mass is packed before the first air",
    unit: Unit::Si(Dimension::Length),
    limit: Limit::AtMost(BESIDE_M),
    takes: "from the limb's edge to the nearest void fill, or to a capture stack that was driven \
            snug by then; what lies on the lifted side is guarded by timber that follows",
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
    let Some((air_s, com, arm)) = record.lever() else { return Vec::new() };
    let scene = record.scene;
    if arm[0].hypot(arm[1]) < MIDDLE_M {
        return Vec::new();
    }
    let snug = |capture: usize| {
        record.orders().any(|(t_s, order)| {
            t_s <= air_s
                && matches!(order, Order::Capture { captures } if captures.contains(&capture))
        })
    };
    let fill = scene.void_fill.iter().map(|fill| (fill.at, fill.length_m));
    let captures = scene.captures.iter().enumerate();
    let captures = captures.filter(|(i, capture)| !capture.is_under_beam() && snug(*i));
    let packing: Vec<([f64; 2], f64)> =
        fill.chain(captures.map(|(_, capture)| (capture.at, capture.length_m))).collect();
    let pressed = |limb: &&Limb| (0..2).map(|i| (limb.at[i] - com[i]) * arm[i]).sum::<f64>() > 0.0;
    let point = |limb: &Limb| {
        let nearest = packing.iter().map(|&(at, side_m)| apart_m(limb, at, side_m));
        let nearest = nearest.reduce(f64::min);
        let place = [limb.at[0], limb.thickness_m / 2.0, limb.at[1]];
        nearest
            .is_none_or(|m| m > BESIDE_M)
            .then(|| RULE.point((air_s, &limb.name, place), nearest, BESIDE_M))
    };
    scene.limbs.iter().filter(pressed).filter_map(point).collect()
}

/// From a limb's edge to that of a square crib, over the ground, m.
fn apart_m(limb: &Limb, at: [f64; 2], side_m: f64) -> f64 {
    let [x, z] = [0, 1].map(|i| {
        let room = (limb.at[i] - at[i]).abs() - (limb.size[i] + side_m) / 2.0;
        room.max(0.0)
    });
    x.hypot(z)
}

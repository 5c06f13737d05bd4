//! Loads, thrust lines, heights and labels of the lift.

use super::canvas::{LETTERS, SCALE, SvgCanvas, ViewSide};
use crate::statics::plan::{LiftPlan, Plan};
use crate::statics::plane::LaidOut;
use crate::statics::{gap, stacks as crib};
use crate::units::UnitSystem;

/// Thrust lines, loads and labels of the lift, from one side.
pub fn marks(c: &mut SvgCanvas, look: ViewSide, u: UnitSystem, plan: &Plan, lift: &LiftPlan) {
    let scene = &plan.scene;
    let end = lift.end();
    let mut seen: Vec<f64> = Vec::new();
    for point in &lift.points {
        let s = &scene.stacks[point.stack];
        let middle = look.across(s.at);
        // Stacks behind one another are labelled once.
        if seen.iter().any(|x| (x - middle).abs() < 0.05) {
            continue;
        }
        seen.push(middle);
        let force = lift.force_n(point, &end) + point.dead_n;
        let stand = lift.column(point, lift.rise_m);
        let (enters, side) = match look {
            ViewSide::Side => (stand.lean.enters_m, stand.sideways_n),
            ViewSide::Tail => (0.0, 0.0),
        };
        let top = s.height_m();
        let down = |d: f64| [middle + crib::thrust_m(enters, side, force, d), top - d];
        let above = [down(0.0)[0] - side / force * 0.45, top + 0.45];
        c.line("thrust", above, down(top));
        c.arrow(above, down(0.0));
        let each =
            if lift.points.len() > 1 && look == ViewSide::Side { " on each stack" } else { "" };
        c.label([down(top)[0], 0.0], format!("{}{each}", u.force(force)));
        // Height of the stack beside it, on the side away from the vehicle's middle.
        let out = if middle < 0.1 { -1.0 } else { 1.0 };
        let text = u.gap(top);
        let room = 0.06 + text.chars().count() as f64 * LETTERS * 0.60 / SCALE;
        let edge = middle + out * s.length_m / 2.0;
        let x = out * clear_of(scene, look, out, out * edge, room);
        c.line("lead", [edge, top], [x, top]);
        c.dimension(x, 0.0, top);
        let anchor = if out < 0.0 { "end" } else { "start" };
        c.text(anchor, [x + out * 0.03, (top - 0.12).max(0.03)], &text);
    }
    for (i, limb) in scene.limbs.iter().enumerate() {
        if let Some(free) = gap::gap_m(scene, end.side_pose, end.roll, i) {
            let x = look.across(limb.at);
            c.dimension(x, 0.0, free);
            c.label([x, 0.0], format!("gap {} {}", limb.name, u.gap(free)));
        }
    }
    let com = end.side_pose.ground(plan.balance.com);
    let at = if look == ViewSide::Side { com } else { [-plan.com[2], com[1]] };
    c.circle("com", at, 0.035);
    c.line("com", [at[0] - 0.06, at[1]], [at[0] + 0.06, at[1]]);
    c.line("plumb", at, [at[0], 0.0]);
    c.label([at[0], 0.0], format!("W {}", u.force(plan.weight_n)));
    if look == ViewSide::Side
        && let Some(pivot) = plan.pivot_x(&end)
    {
        let n = plan.stands_n(&end);
        c.arrow([pivot, -0.16], [pivot, 0.0]);
        c.label([pivot, -0.10], format!("bears {}", u.force(n)));
    }
}

/// What stands on the ground: its place and its length, m.
pub fn standing(scene: &LaidOut) -> impl Iterator<Item = ([f64; 2], f64)> {
    let stacks = scene.stacks.iter().map(|s| (s.at, s.length_m));
    let fills = scene.void_fill.iter().map(|f| (f.at, f.length_m));
    let captures = scene.captures.iter().map(|c| (c.at, c.length_m));
    stacks.chain(fills).chain(captures)
}

/// Where a height that takes `room` m is written: outwards from `edge`, past all that would
/// cover it. Distances count along `out`, 1 or -1, m.
fn clear_of(scene: &LaidOut, look: ViewSide, out: f64, edge: f64, room: f64) -> f64 {
    let mut spans: Vec<[f64; 2]> = standing(scene)
        .map(|(at, length)| (out * look.across(at), length / 2.0))
        .map(|(middle, half)| [middle - half, middle + half])
        .collect();
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let past = |x: f64, [from, to]: [f64; 2]| {
        if from < x + room && to + 0.06 > x { to + 0.06 } else { x }
    };
    spans.into_iter().fold(edge + 0.06, past)
}

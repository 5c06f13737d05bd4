//! Stacks as they are measured: the line that the load takes down through each, and how far
//! its top has gone.

use super::bodies::Bodies;
use super::engine::Engine;
use super::loads::LEAST_LOAD_N;
use crate::scene::{Scene, Stack};
use crate::snapshot::{Footing, Load, PartId, PartKind, StackState, Thrust};

/// Sum of the forces through one joint of a stack.
#[derive(Clone, Copy, Default)]
struct Through {
    force: [f64; 3],
    /// Sum of vertical force times place.
    moment: [f64; 3],
}

impl Through {
    fn add(&mut self, force: [f64; 3], point: [f64; 3]) {
        for axis in 0..3 {
            self.force[axis] += force[axis];
            self.moment[axis] += force[1] * point[axis];
        }
    }
}

/// The stack and layer that a part belongs to.
fn layer_of(kind: PartKind) -> Option<(usize, usize)> {
    match kind {
        PartKind::StackTimber { stack, layer } | PartKind::Pad { stack, layer } => {
            Some((stack, layer))
        }
        _ => None,
    }
}

/// Middle of each layer of each stack, m; a stack's own where a layer has no part.
fn layer_middles(engine: &Engine, bodies: &Bodies, scene: &Scene) -> Vec<Vec<[f64; 2]>> {
    let none = |stack: &Stack| vec![([0.0; 2], 0.0); stack.layers_with_pads()];
    let mut sums: Vec<Vec<([f64; 2], f64)>> = scene.stacks.iter().map(none).collect();
    for (part, body) in bodies.parts.iter().zip(&bodies.handles) {
        let Some((stack, layer)) = layer_of(part.kind) else { continue };
        let at = engine.bodies[*body].translation();
        let (sum, count) = &mut sums[stack][layer];
        sum[0] += f64::from(at.x);
        sum[1] += f64::from(at.z);
        *count += 1.0;
    }
    let middle = |stack: &Stack, (sum, count): ([f64; 2], f64)| {
        if count == 0.0 { stack.at } else { sum.map(|s| s / count) }
    };
    let stacks = scene.stacks.iter().zip(sums);
    stacks.map(|(stack, sums)| sums.into_iter().map(|sum| middle(stack, sum)).collect()).collect()
}

/// Middle of the top of every stack, m.
pub(super) fn tops(engine: &Engine, bodies: &Bodies, scene: &Scene) -> Vec<[f64; 2]> {
    let middles = layer_middles(engine, bodies, scene);
    scene.stacks.iter().zip(&middles).map(|(stack, middles)| top(stack, middles)).collect()
}

fn top(stack: &Stack, middles: &[[f64; 2]]) -> [f64; 2] {
    middles.last().copied().unwrap_or(stack.at)
}

/// What each stack bears, and how far its top has gone from `tops_before`, where it was set.
pub(super) fn states(
    engine: &Engine,
    bodies: &Bodies,
    scene: &Scene,
    loads: &[Load],
    tops_before: &[[f64; 2]],
) -> Vec<StackState> {
    let through = through_joints(bodies, scene, loads);
    let middles = layer_middles(engine, bodies, scene);
    let state = |(index, joints): (usize, Vec<Through>)| {
        let (stack, middles) = (&scene.stacks[index], &middles[index]);
        let top = top(stack, middles);
        let before = tops_before.get(index).copied().unwrap_or(top);
        let lean_m = (top[0] - before[0]).hypot(top[1] - before[1]);
        StackState {
            load_n: joints.last().map_or(0.0, |j| (0.0 - j.force[1]).max(0.0)),
            lean_m,
            thrust: thrust(stack, middles, &joints),
        }
    };
    through.into_iter().enumerate().map(state).collect()
}

/// What goes through each joint of each stack; the lowest is on the ground, the highest under
/// what the stack bears.
fn through_joints(bodies: &Bodies, scene: &Scene, loads: &[Load]) -> Vec<Vec<Through>> {
    let none = |stack: &Stack| vec![Through::default(); stack.layers_with_pads() + 1];
    let mut through: Vec<Vec<Through>> = scene.stacks.iter().map(none).collect();
    let is_sole =
        |part: PartId, stack| bodies.parts[part].kind == PartKind::Sole(Footing::Stack(stack));
    let is_top = |stack: usize, layer| layer + 1 == scene.stacks[stack].layers_with_pads();
    for load in loads {
        let on = layer_of(bodies.parts[load.on].kind);
        let by = load.by.and_then(|by| layer_of(bodies.parts[by].kind));
        let down = load.force.map(|f| -f);
        match (on, by) {
            (Some((s, a)), Some((t, b))) if s == t && a != b => {
                let (joint, force) = if a > b { (a, down) } else { (b, load.force) };
                through[s][joint].add(force, load.point);
            }
            (Some((s, 0)), None) if load.by.is_none_or(|by| is_sole(by, s)) => {
                through[s][0].add(down, load.point);
            }
            (None, Some((s, 0))) if is_sole(load.on, s) => {
                through[s][0].add(load.force, load.point);
            }
            (Some((s, layer)), None) if is_top(s, layer) => {
                through[s][layer + 1].add(load.force, load.point);
            }
            (None, Some((s, layer))) if is_top(s, layer) => {
                through[s][layer + 1].add(down, load.point);
            }
            _ => {}
        }
    }
    through
}

/// Where the load's line crosses each joint that carries something.
fn thrust(stack: &Stack, middles: &[[f64; 2]], joints: &[Through]) -> Vec<Thrust> {
    let count = stack.layers_with_pads();
    let crossing = |(joint, j): (usize, &Through)| {
        let point = j.moment.map(|m| m / j.force[1]);
        let middle = middles[joint.min(count - 1)];
        let half = stack.joint_half_m(joint);
        let margin = |at: f64, middle: f64, half: f64| half - (at - middle).abs();
        let corner =
            |[x, z]: [f64; 2]| [middle[0] + x * half[0], point[1], middle[1] + z * half[1]];
        Thrust {
            point,
            force: j.force,
            corners: [[-1.0, -1.0], [-1.0, 1.0], [1.0, 1.0], [1.0, -1.0]].map(corner),
            margin_m: margin(point[0], middle[0], half[0])
                .min(margin(point[2], middle[1], half[1])),
        }
    };
    let joints = joints.iter().enumerate();
    joints.filter(|(_, j)| j.force[1] < -LEAST_LOAD_N).map(crossing).collect()
}

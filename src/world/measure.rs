//! Reads a moment off the bodies: poses, loads at every contact, the thrust line
//! through each stack, gaps and loads at the limbs, travel and roll of the vehicle.

use super::shapes::{plain, vector};
use super::{TICK_S, Yard};
use crate::snapshot::{
    BagState, CaptureState, Footing, LimbState, Load, PartId, PartKind, Pose, Snapshot, StackState,
    Thrust, VehicleState,
};
use bevy_rapier3d::rapier::prelude::*;
use std::f64::consts::PI;

/// Contacts under this carry nothing worth showing, N.
const LEAST_LOAD_N: f64 = 1.0;
/// The vehicle bears on the ground where it presses harder than this, N.
const BEARS_N: f64 = 100.0;

/// The gap of a limb that nothing is above any more, m: as far as one looks up.
const CLEAR_M: f64 = 3.5;

/// What later moments are measured against.
#[derive(Clone)]
pub struct Start {
    /// In the vehicle's frame, above each topmost bag.
    lift_points: Vec<(Vector, f64)>,
    roll_rad: f64,
    stack_tops: Vec<[f64; 2]>,
}

impl Start {
    pub(super) fn of(yard: &Yard, first: &Snapshot) -> Self {
        let vehicle = *yard.engine.bodies[yard.bodies[yard.vehicle]].position();
        let scene = &yard.scene;
        let lift_points = (0..scene.bags.len())
            .filter(|&i| !scene.bags.iter().any(|b| b.on == crate::scene::Rest::Bag(i)))
            .map(|i| {
                let top = yard.engine.bodies[yard.bags[i].upper].translation();
                (vehicle.inverse_transform_point(top), f64::from(top.y))
            })
            .collect();
        Self {
            lift_points,
            roll_rad: first.vehicle.roll_rad,
            stack_tops: (0..scene.stacks.len()).map(|s| yard.layer_middle(s, None)).collect(),
        }
    }
}

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

impl Yard {
    pub(super) fn measure(&mut self) -> Snapshot {
        let asleep = self.engine.asleep();
        if asleep && self.snapshot.asleep && self.snapshot.poses.len() == self.bodies.len() {
            // Nothing has moved and the forces of sleeping bodies stay true.
            let mut same = self.snapshot.clone();
            same.t_s = self.t_s();
            same.outlets = self.outlet_states();
            // Hoses and shut-offs are changed by hand while all is at rest, too.
            for (index, (state, bag)) in same.bags.iter_mut().zip(&self.bags).enumerate() {
                state.locked_out = bag.locked_out;
                state.hose = self.outlet_of(index);
            }
            same.cylinder_pa = self.cylinder.gauge_pa();
            return same;
        }
        let loads = self.loads();
        let vehicle = self.vehicle_state(&loads);
        let rise: Vec<f64> = self.start.as_ref().map_or_else(Vec::new, |start| {
            let pose = *self.engine.bodies[self.bodies[self.vehicle]].position();
            let rise = |(local, y): &(Vector, f64)| f64::from((pose * *local).y) - y;
            start.lift_points.iter().map(rise).collect()
        });
        Snapshot {
            t_s: self.t_s(),
            poses: self
                .bodies
                .iter()
                .enumerate()
                .map(|(part, body)| {
                    // A part that was taken away keeps its last pose; nothing draws it.
                    if self.parts[part].present {
                        self.engine.pose(*body)
                    } else {
                        self.snapshot.poses.get(part).copied().unwrap_or(Pose::ORIGIN)
                    }
                })
                .collect(),
            vehicle,
            bags: self.bag_states(),
            outlets: self.outlet_states(),
            cylinder_pa: self.cylinder.gauge_pa(),
            limbs: self.limb_states(),
            stacks: self.stack_states(&loads),
            captures: self.capture_states(&loads),
            bases: self.base_states(),
            crossings: self.crossing_states(&loads),
            beam: self.beam_state(&loads),
            rise_m: if rise.is_empty() {
                0.0
            } else {
                rise.iter().sum::<f64>() / rise.len() as f64
            },
            lift_rise_m: rise,
            loads,
            asleep,
            order: self.snapshot.order,
        }
    }

    /// Every load between parts, or between a part and the ground.
    fn loads(&self) -> Vec<Load> {
        let part_of = |body| {
            self.bodies.iter().enumerate().find(|(p, b)| **b == body && self.parts[*p].present)
        };
        let mut raw = self.engine.loads();
        raw.retain(|l| f64::from(l.force.length()) > LEAST_LOAD_N);
        // Look each body up once; a few dozen parts need no map.
        raw.into_iter()
            .filter_map(|l| {
                let (on, by) = (part_of(l.on).map(|(p, _)| p), part_of(l.by).map(|(p, _)| p));
                let (point, force) = (plain(l.point), plain(l.force));
                match (on, by) {
                    (Some(on), by) => Some(Load { on, by, point, force }),
                    // The ground is never the one that is listed as pushed.
                    (None, Some(by)) => {
                        Some(Load { on: by, by: None, point, force: force.map(|f| -f) })
                    }
                    (None, None) => None,
                }
            })
            .collect()
    }

    fn is_vehicle(&self, part: PartId) -> bool {
        matches!(self.parts[part].kind, PartKind::Vehicle | PartKind::Panel(_))
    }

    fn vehicle_state(&mut self, loads: &[Load]) -> VehicleState {
        let body = &self.engine.bodies[self.bodies[self.vehicle]];
        let pose = *body.position();
        // What pointed along +Z before it settled, as it points now.
        let lay = self.scene.vehicle.pose(self.scene.lies).map_or(PI, |pose| pose.turn_rad);
        let across = plain(pose.rotation * vector([0.0, lay.sin(), lay.cos()]));
        let nose = pose.rotation * Vector::X;
        let com = plain(body.center_of_mass());
        let on_ground: Vec<&Load> =
            loads.iter().filter(|l| l.by.is_none() && self.is_vehicle(l.on)).collect();
        let ground_n: f64 = on_ground.iter().map(|l| l.force[1]).sum();

        // Travel of the bearing places, weighted by what they bear: a vehicle that only
        // turns about its nose does not slide.
        if ground_n > BEARS_N {
            let mut step = [0.0; 2];
            for load in &on_ground {
                let body = &self.engine.bodies[self.bodies[load.on]];
                let v = body.velocity_at_point(vector(load.point));
                let share = load.force[1] / ground_n;
                step[0] += share * f64::from(v.x) * TICK_S;
                step[1] += share * f64::from(v.z) * TICK_S;
            }
            self.slip[0] += step[0];
            self.slip[1] += step[1];
        }
        let roll = across[1].atan2(across[0].hypot(across[2]).copysign(across[2]));
        VehicleState {
            roll_rad: roll - self.start.as_ref().map_or(0.0, |s| s.roll_rad),
            pitch_rad: -f64::from(nose.y).clamp(-1.0, 1.0).asin(),
            com,
            slide_m: self.slip[0].hypot(self.slip[1]),
            ground_n,
        }
    }

    fn bag_states(&self) -> Vec<BagState> {
        self.bags
            .iter()
            .enumerate()
            .map(|(index, bag)| BagState {
                height_m: bag.height_m,
                height_limit_m: bag.membrane.height_limit_m(),
                gauge_pa: bag.gauge_pa,
                force_n: bag.force_n,
                tilt_rad: bag.tilt_rad,
                shear_m: bag.shear_m,
                locked_out: bag.locked_out,
                hose: self.outlet_of(index),
                relieving: bag.relieving,
            })
            .collect()
    }

    fn limb_states(&self) -> Vec<LimbState> {
        let scene = &self.scene;
        (0..scene.limbs.len())
            .map(|index| {
                let limb = &scene.limbs[index];
                // What the spring feels, not what the contact reads: it is steadier.
                let load_n = self.limbs[index].force_n(&self.engine);
                let [x, z] = limb.at;
                let [hx, hz] = limb.size.map(|s| s / 2.0);
                let gap_m = [
                    [x, z],
                    [x - hx, z - hz],
                    [x - hx, z + hz],
                    [x + hx, z - hz],
                    [x + hx, z + hz],
                ]
                .into_iter()
                .filter_map(|[x, z]| self.underside(x, z))
                .reduce(f64::min)
                .unwrap_or(CLEAR_M);
                LimbState { gap_m, load_n }
            })
            .collect()
    }

    fn capture_states(&self, loads: &[Load]) -> Vec<CaptureState> {
        (0..self.scene.captures.len())
            .map(|index| {
                let in_capture = |part: PartId| match self.parts[part].kind {
                    PartKind::CaptureTimber { capture, .. } => capture == index,
                    PartKind::CaptureWedge(capture) => capture == index,
                    _ => false,
                };
                let load_n = loads
                    .iter()
                    .filter(|l| {
                        l.by.is_some_and(|by| {
                            (in_capture(l.on) && self.is_vehicle(by))
                                || (in_capture(by) && self.is_vehicle(l.on))
                        })
                    })
                    .map(|l| l.force[1].abs())
                    .sum();
                CaptureState {
                    load_n,
                    clearance_m: self.capture_room(index),
                    steps_left: self.captures[index].steps_left,
                }
            })
            .collect()
    }

    /// Middle of a layer (the topmost where none is named), m.
    fn layer_middle(&self, stack: usize, layer: Option<usize>) -> [f64; 2] {
        let wanted =
            layer.unwrap_or_else(|| self.scene.stacks[stack].layers_with_pads().saturating_sub(1));
        let (mut sum, mut count) = ([0.0; 2], 0.0);
        for (part, body) in self.parts.iter().zip(&self.bodies) {
            if stack_layer(part.kind) == Some((stack, wanted)) {
                let at = self.engine.bodies[*body].translation();
                sum[0] += f64::from(at.x);
                sum[1] += f64::from(at.z);
                count += 1.0;
            }
        }
        if count == 0.0 { self.scene.stacks[stack].at } else { sum.map(|s| s / count) }
    }

    fn stack_states(&self, loads: &[Load]) -> Vec<StackState> {
        let scene = &self.scene;
        let mut through: Vec<Vec<Through>> = scene
            .stacks
            .iter()
            .map(|s| vec![Through::default(); s.layers_with_pads() + 1])
            .collect();
        let is_sole =
            |part: PartId, stack| self.parts[part].kind == PartKind::Sole(Footing::Stack(stack));
        for load in loads {
            let on = stack_layer(self.parts[load.on].kind);
            let by = load.by.and_then(|by| stack_layer(self.parts[by].kind));
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
                (Some((s, layer)), None) if layer + 1 == scene.stacks[s].layers_with_pads() => {
                    through[s][layer + 1].add(load.force, load.point);
                }
                (None, Some((s, layer))) if layer + 1 == scene.stacks[s].layers_with_pads() => {
                    through[s][layer + 1].add(down, load.point);
                }
                _ => {}
            }
        }
        through
            .into_iter()
            .enumerate()
            .map(|(index, joints)| {
                let stack = &scene.stacks[index];
                let count = stack.layers_with_pads();
                let thrust: Vec<Thrust> = joints
                    .iter()
                    .enumerate()
                    .filter(|(_, j)| j.force[1] < -LEAST_LOAD_N)
                    .map(|(joint, j)| {
                        let point = j.moment.map(|m| m / j.force[1]);
                        let middle = self.layer_middle(index, Some(joint.min(count - 1)));
                        let half = stack.joint_half_m(joint);
                        let margin = |at: f64, middle: f64, half: f64| half - (at - middle).abs();
                        let corner = |[x, z]: [f64; 2]| {
                            [middle[0] + x * half[0], point[1], middle[1] + z * half[1]]
                        };
                        Thrust {
                            point,
                            force: j.force,
                            corners: [[-1.0, -1.0], [-1.0, 1.0], [1.0, 1.0], [1.0, -1.0]]
                                .map(corner),
                            margin_m: margin(point[0], middle[0], half[0])
                                .min(margin(point[2], middle[1], half[1])),
                        }
                    })
                    .collect();
                let top = self.layer_middle(index, None);
                let lean_m = self.start.as_ref().map_or(0.0, |start| {
                    (top[0] - start.stack_tops[index][0]).hypot(top[1] - start.stack_tops[index][1])
                });
                StackState { load_n: -joints.last().map_or(0.0, |j| j.force[1]), lean_m, thrust }
            })
            .collect()
    }
}

/// The stack and layer that a part belongs to.
fn stack_layer(kind: PartKind) -> Option<(usize, usize)> {
    match kind {
        PartKind::StackTimber { stack, layer } | PartKind::Pad { stack, layer } => {
            Some((stack, layer))
        }
        _ => None,
    }
}

//! The loads: an arrow for every force that is carried.

use super::canvas::Pen;
use super::colours::LOAD;
use super::labels::Label;
use crate::session::Shown;
use crate::snapshot::{PartId, PartKind};
use crate::view::yard::shown::vec3;
use bevy::prelude::*;

/// Loads smaller than this are left out, N: they carry nothing and hide the rest.
pub const SMALLEST_N: f64 = 250.0;

/// All that one thing puts on the vehicle.
struct LoadOnVehicle {
    /// What bears: a kind and an index, or none for the ground.
    by: Option<(usize, usize)>,
    force: Vec3,
    /// Places weighted by force, and the weights.
    moment: Vec3,
    weight: f32,
}

fn bearings(shown: &Shown) -> Vec<LoadOnVehicle> {
    let is_vehicle = |id: PartId| {
        shown.parts.get(id).is_some_and(|p| p.kind.is_vehicle() || p.kind == PartKind::Beam)
    };
    // What belongs together is one bearing: a capture stack's wedges, a chock.
    let group = |by: Option<PartId>| {
        by.and_then(|id| shown.parts.get(id)).map(|part| match part.kind {
            PartKind::CaptureTimber { capture, .. } | PartKind::CaptureWedge(capture) => {
                (0, capture)
            }
            PartKind::VoidFill(i) => (1, i),
            PartKind::Chock(i) => (2, i),
            PartKind::BagFace { bag, .. } | PartKind::Wedge(bag) | PartKind::BagPad(bag) => {
                (3, bag)
            }
            PartKind::Limb(i) => (4, i),
            PartKind::StepChock(i) | PartKind::StepPacker(i) => (7, i),
            PartKind::Strut(i) | PartKind::StrutFoot(i) => (6, i),
            _ => (5, by.unwrap_or_default()),
        })
    };
    let mut sums: Vec<LoadOnVehicle> = Vec::new();
    for load in &shown.snapshot.loads {
        // Only what carries the vehicle; not what the vehicle's parts do to each other.
        if !is_vehicle(load.on) || load.by.is_some_and(is_vehicle) {
            continue;
        }
        let (force, point) = (vec3(load.force), vec3(load.point));
        let (by, weight) = (group(load.by), force.length());
        match sums.iter_mut().find(|s| s.by == by) {
            Some(sum) => {
                sum.force += force;
                sum.moment += point * weight;
                sum.weight += weight;
            }
            None => sums.push(LoadOnVehicle { by, force, moment: point * weight, weight }),
        }
    }
    sums
}

pub fn load_arrows(pen: &Pen<'_>, shown: &Shown, labels: &mut Vec<Label>) {
    let mut carried: Vec<(Vec3, Vec3)> = bearings(shown)
        .into_iter()
        .filter(|b| b.weight > 0.0)
        .map(|b| (b.moment / b.weight, b.force))
        .collect();
    let Some(scene) = &shown.scene else { return };
    for (stack, state) in scene.stacks.iter().zip(&shown.snapshot.stacks) {
        let at = stack.at.map(|v| v as f32);
        carried.push((Vec3::new(at[0], 0.0, at[1]), Vec3::Y * state.load_n as f32));
    }
    carried.retain(|(_, force)| f64::from(force.length()) >= SMALLEST_N);
    let most = carried.iter().map(|(_, force)| force.length()).fold(1.0, f32::max);
    for (point, force) in carried {
        // Long for the largest load, never too short to see.
        let length = 0.16 + 0.34 * force.length() / most;
        let tail = pen.screen.at(point - force.normalize_or(Vec3::Y) * length);
        if let (Some(tip), Some(tail)) = (pen.screen.at(point), tail) {
            pen.arrow(tail, tip, LOAD);
            let text = shown.units.force(f64::from(force.length()));
            labels.push(Label { at: tail, text, color: LOAD });
        }
    }
}

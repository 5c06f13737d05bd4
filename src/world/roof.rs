//! The roof gives way at its corners: rails and posts bear what the vehicle's file says, and
//! past it go in for good. Driven by the loads that the contacts measure, as crushed timber
//! is: a face is only ever drawn back.

use super::bodies::Bodies;
use super::engine::{ColliderHandle, Engine, Pose};
use super::shapes::{ROOF_CORNERS, plain, vector};
use crate::scene::Vehicle;
use crate::snapshot::{Load, PartId, PartKind};

/// A corner that bears twice what it can goes in by this in a tick, m, and by no more than this:
/// slower than what lies on it falls, so that it never lets go of its load.
const TICK_M: f64 = 5e-4;
/// Loads this much above the belt line are the roof's, m: posts stand 20 mm in the body.
const OVER_BELT_M: f64 = 0.02;
/// So much of a post is left standing over the belt line at least, m (assumed).
const LEFT_M: f64 = 0.10;

/// The roof's corners, in the order of [`super::shapes::roof_corner`].
#[derive(Clone, Default)]
pub(super) struct Roof {
    shapes: Vec<(usize, ColliderHandle)>,
    set_m: [f64; ROOF_CORNERS],
}

impl Roof {
    /// A roof of these shapes, each with its corner.
    pub fn new(shapes: Vec<(usize, ColliderHandle)>) -> Self {
        Self { shapes, set_m: [0.0; ROOF_CORNERS] }
    }

    /// The corner that a shape belongs to.
    pub fn corner_of(&self, shape: ColliderHandle) -> Option<usize> {
        self.shapes.iter().find(|(_, other)| *other == shape).map(|(corner, _)| *corner)
    }

    /// The most that a corner has gone in, m.
    pub fn set_m(&self) -> f64 {
        self.set_m.into_iter().fold(0.0, f64::max)
    }

    /// Lets corners go in that bore more in the last step than they can.
    pub fn give(
        &mut self,
        engine: &mut Engine,
        bodies: &Bodies,
        (part, vehicle): (PartId, &Vehicle),
        loads: &[Load],
    ) {
        let presses_n = presses_n(engine, bodies, (part, vehicle), loads);
        let p = &vehicle.profile;
        let most_m = p.header[1].min(p.roof_rear[1])
            - p.belt_y(p.header[0]).max(p.belt_y(p.roof_rear[0]))
            - LEFT_M;
        for (corner, n) in presses_n.into_iter().enumerate() {
            let over = n / vehicle.roof_n - 1.0;
            let grows_m = (TICK_M * over).min(TICK_M).min(most_m - self.set_m[corner]);
            if grows_m > 0.0 {
                self.set_m[corner] += grows_m;
                let pose = Pose::from_translation(vector([0.0, -self.set_m[corner], 0.0]));
                for (_, shape) in self.shapes.iter().filter(|(of, _)| *of == corner) {
                    engine.move_shape(*shape, pose);
                }
                engine.wake_all();
            }
        }
    }
}

/// Shares of a load at a place of the roof, forwards and to its right, m, that its corners bear, by
/// the levers of the rails between them.
fn corner_shares(vehicle: &Vehicle, x: f64, z: f64) -> [f64; ROOF_CORNERS] {
    let (p, half) = (&vehicle.profile, vehicle.half_width.roof);
    let front = ((x - p.roof_rear[0]) / (p.header[0] - p.roof_rear[0])).clamp(0.0, 1.0);
    let right = ((z + half) / (2.0 * half)).clamp(0.0, 1.0);
    let sides = [1.0 - right, right];
    let [left, right] = sides.map(|side| [front * side, (1.0 - front) * side]);
    [left[0], right[0], left[1], right[1]]
}

/// What presses each corner of the roof into the vehicle, N.
fn presses_n(
    engine: &Engine,
    bodies: &Bodies,
    (part, vehicle): (PartId, &Vehicle),
    loads: &[Load],
) -> [f64; ROOF_CORNERS] {
    let pose = *bodies.rigid(engine, part).position();
    let p = &vehicle.profile;
    let is_roof = |part: PartId| matches!(bodies.parts[part].kind, PartKind::Vehicle);
    let mut presses_n = [0.0; ROOF_CORNERS];
    for load in loads {
        let sign = match load.by {
            _ if is_roof(load.on) => 1.0,
            Some(by) if is_roof(by) => -1.0,
            _ => continue,
        };
        let [x, y, z] = plain(pose.inverse_transform_point(vector(load.point)));
        let over_belt = (p.deck_front[0]..=p.cowl[0]).contains(&x) && y > p.belt_y(x) + OVER_BELT_M;
        if over_belt {
            let [_, up, _] = plain(pose.rotation.inverse() * vector(load.force));
            for (presses_n, share) in presses_n.iter_mut().zip(corner_shares(vehicle, x, z)) {
                *presses_n -= sign * up * share;
            }
        }
    }
    presses_n
}

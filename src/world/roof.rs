//! The roof gives way at its corners: rails and posts bear what the vehicle's file says, and
//! past it go in for good. Driven by the loads that the contacts measure, as crushed timber
//! is: a face is only ever drawn back. Between its corners the roof goes in with them, header,
//! rails and skin, by the levers of the rails: each place by the corners' shares in a load there.

use super::bodies::Bodies;
use super::engine::{ColliderHandle, Engine};
use super::shapes::{ROOF_CORNERS, hull, plain, vector};
use crate::scene::Vehicle;
use crate::snapshot::{Load, PartId, PartKind};

/// A corner that bears twice what it can goes in by this in a tick, m, and by no more than this:
/// slower than what lies on it falls, so that it never lets go of its load.
const TICK_M: f64 = 5e-4;
/// Loads this much above the belt line are the roof's, m: posts stand 20 mm in the body.
const OVER_BELT_M: f64 = 0.02;
/// So much of a post is left standing over the belt line at least, m (assumed).
const LEFT_M: f64 = 0.10;

/// The roof's pieces, and how far its corners have gone in, in the order of [`corner_shares`].
#[derive(Clone, Default)]
pub(super) struct Roof {
    pieces: Vec<Piece>,
    set_m: [f64; ROOF_CORNERS],
    /// What pressed its corners a tick ago, N: a blow that is over by then bends nothing.
    pressed_n: [f64; ROOF_CORNERS],
}

/// A slab of the roof, or a post.
#[derive(Clone)]
struct Piece {
    /// Its corners as the roof was, in the vehicle's frame, m.
    points: Vec<[f64; 3]>,
    shape: ColliderHandle,
}

impl Roof {
    /// A roof of these pieces.
    pub fn new(pieces: impl Iterator<Item = (Vec<[f64; 3]>, ColliderHandle)>) -> Self {
        let pieces = pieces.map(|(points, shape)| Piece { points, shape }).collect();
        Self { pieces, ..Self::default() }
    }

    /// Whether a shape is of the front half of the roof; none where it is not of the roof at all.
    pub fn is_front(&self, shape: ColliderHandle, vehicle: &Vehicle) -> Option<bool> {
        let piece = self.pieces.iter().find(|piece| piece.shape == shape)?;
        let x = piece.points.iter().map(|p| p[0]).sum::<f64>() / piece.points.len() as f64;
        Some(x >= vehicle.roof_middle_x())
    }

    /// How far the roof has gone in at a place of it, forwards and to its right, m.
    pub fn set_at_m(&self, vehicle: &Vehicle, x: f64, z: f64) -> f64 {
        set_at_m(self.set_m, vehicle, x, z)
    }

    /// The most that a corner has gone in, m.
    pub fn set_m(&self) -> f64 {
        self.set_m.into_iter().fold(0.0, f64::max)
    }

    /// Lets corners go in that bore more in the last step than they can; whether any has.
    pub fn give(
        &mut self,
        engine: &mut Engine,
        bodies: &Bodies,
        (part, vehicle): (PartId, &Vehicle),
        loads: &[Load],
    ) -> bool {
        let presses_n = presses_n(engine, bodies, (part, vehicle), loads);
        let p = &vehicle.profile;
        let most_m = p.header[1].min(p.roof_rear[1])
            - p.belt_y(p.header[0]).max(p.belt_y(p.roof_rear[0]))
            - LEFT_M;
        let before_n = std::mem::replace(&mut self.pressed_n, presses_n);
        let mut gave = false;
        for (corner, set_m) in self.set_m.iter_mut().enumerate() {
            let over = presses_n[corner].min(before_n[corner]) / vehicle.roof_n - 1.0;
            let grows_m = (TICK_M * over).min(TICK_M).min(most_m - *set_m);
            if grows_m > 0.0 {
                *set_m += grows_m;
                gave = true;
            }
        }
        if gave {
            self.follow(engine, vehicle);
            engine.wake_all();
        }
        gave
    }

    /// Has every piece stand where its corners are. A post's foot is in the body and stays.
    fn follow(&mut self, engine: &mut Engine, vehicle: &Vehicle) {
        let set_m = self.set_m;
        for piece in &mut self.pieces {
            let is_roof = |[x, y, _]: [f64; 3]| y > vehicle.profile.belt_y(x) + OVER_BELT_M;
            let gone_in = piece.points.iter().map(|&[x, y, z]| {
                let set_m = if is_roof([x, y, z]) { set_at_m(set_m, vehicle, x, z) } else { 0.0 };
                [x, y - set_m, z]
            });
            if let Some(form) = hull(&gone_in.collect::<Vec<_>>()) {
                piece.shape = engine.replace(piece.shape, form);
            }
        }
    }
}

/// Shares of a load at a place of the roof, forwards and to its right, m, that its corners bear, by
/// the levers of the rails between them: front left, front right, rear left, rear right.
fn corner_shares(vehicle: &Vehicle, x: f64, z: f64) -> [f64; ROOF_CORNERS] {
    let (p, half) = (&vehicle.profile, vehicle.half_width.roof);
    let front = ((x - p.roof_rear[0]) / (p.header[0] - p.roof_rear[0])).clamp(0.0, 1.0);
    let right = ((z + half) / (2.0 * half)).clamp(0.0, 1.0);
    let sides = [1.0 - right, right];
    let [left, right] = sides.map(|side| [front * side, (1.0 - front) * side]);
    [left[0], right[0], left[1], right[1]]
}

/// How far a roof whose corners have gone in by so much has at a place, m.
fn set_at_m(corners_m: [f64; ROOF_CORNERS], vehicle: &Vehicle, x: f64, z: f64) -> f64 {
    let shares = corner_shares(vehicle, x, z);
    shares.iter().zip(corners_m).map(|(share, set_m)| share * set_m).sum()
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
    // The skin hangs in the roof.
    let is_roof = |part: PartId| match bodies.parts[part].kind {
        PartKind::Vehicle => true,
        PartKind::Panel(index) => vehicle.panels[index].on_roof(p),
        _ => false,
    };
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
